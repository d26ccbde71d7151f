package proof

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/cmd/internal/testkit/written"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
	"foldwright/reorder/sample"
)

const demo = "../../../testdata/larkhaven.pdf"

// prepare writes the folder of a job.
func prepare(t *testing.T, source string, o options.Options) string {
	t.Helper()
	folder, _ := written.Folder(t, source, o)
	return folder
}

// proved is what a proof of a folder finds.
func proved(t *testing.T, folder, source string) Result {
	t.Helper()
	p := opened(t, folder)
	files := []string{source}
	if source == "" { // of a blank book
		files = nil
	}
	found, err := p.Check(t.Context(), Options{Renderer: rendertest.Shared(t), Source: openSource(t, files...)})
	if err != nil {
		t.Fatal(err)
	}
	if len(found.Why) > 0 || found.Unseen > 0 {
		t.Errorf("not compared: %q", found.Why)
	}
	return found
}

// openSource opens files that are read one after the other.
func openSource(t *testing.T, files ...string) *survey.Source {
	t.Helper()
	var sources []*survey.Source
	for _, file := range files {
		s, err := survey.Open(t.Context(), file, "", rendertest.Shared(t))
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { s.Close() })
		sources = append(sources, s)
	}
	return survey.Together(rendertest.Shared(t), sources...)
}

func opened(t *testing.T, folder string) *Print {
	t.Helper()
	p, err := Open(t.Context(), folder)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { p.Close() })
	return p
}

// bench is a folder whose files are damaged.
type bench struct {
	t      *testing.T
	folder string
	print  *Print // before the damage
}

// rewrite writes a print file anew from its own pages. change gets them as they
// are, each a side with one page placed as it lies.
func (b bench) rewrite(name string, change func([]pdf.Side) []pdf.Side) {
	b.t.Helper()
	path := filepath.Join(b.folder, name)
	doc, err := pdf.Open(b.t.Context(), path, pdf.Options{})
	if err != nil {
		b.t.Fatal(err)
	}
	paper := b.print.plan.paper()
	var sides []pdf.Side
	for i := range doc.Pages() {
		sides = append(sides, pdf.Side{Pages: []pdf.Placed{{From: doc, Page: i + 1, Matrix: geom.Identity, Clip: paper.Rect()}}})
	}
	b.write(name, paper, change(sides))
	if err := doc.Close(); err != nil {
		b.t.Fatal(err)
	}
}

func (b bench) write(name string, paper geom.Size, sides []pdf.Side) {
	b.t.Helper()
	path := filepath.Join(b.folder, name)
	var out strings.Builder
	if err := pdf.Write(context.Background(), &out, pdf.PrintFile{Paper: paper, Sides: sides}); err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(out.String()), 0o600); err != nil {
		b.t.Fatal(err)
	}
}

// spot is where a page of the source is printed.
func (b bench) spot(page int) (file string, at int, panel geom.Rect, printed geom.Matrix, place Place) {
	b.t.Helper()
	for i, p := range b.print.Places {
		if i+1 != page {
			continue
		}
		from := b.print.sideAt(p)
		if from.File == nil {
			b.t.Fatalf("page %d is not printed", page)
		}
		m := inverse(from.View.Then(p.Lies))
		return from.File.Name, from.Page, m.Bounds(p.Size.Rect()), m, p
	}
	b.t.Fatalf("there is no page %d", page)
	return
}

// alter lays what stands at a place, changed by a matrix on the page as it is
// read, on white in the place of what stands there. A change nil leaves it white.
func (b bench) alter(page int, change *geom.Matrix) { b.put(page, page, change) }

// put lays what is printed for one page in the place of another.
func (b bench) put(at, page int, change *geom.Matrix) {
	b.t.Helper()
	toFile, toPage, toPanel, toPrinted, _ := b.spot(at)
	fromFile, fromPage, _, fromPrinted, place := b.spot(page)
	source, err := pdf.Open(b.t.Context(), filepath.Join(b.print.Folder, fromFile), pdf.Options{})
	if err != nil {
		b.t.Fatal(err)
	}
	b.rewrite(toFile, func(sides []pdf.Side) []pdf.Side {
		s := &sides[toPage-1]
		s.Pages = around4(s.Pages[0], toPanel)
		if change == nil {
			return sides
		}
		m := inverse(fromPrinted).Then(*change).Then(toPrinted)
		clip := toPanel.Common(m.Bounds(fromPrinted.Bounds(place.Size.Rect())))
		s.Pages = append(s.Pages, pdf.Placed{From: source, Page: fromPage, Matrix: m, Clip: clip})
		return sides
	})
	if err := source.Close(); err != nil {
		b.t.Fatal(err)
	}
}

// around4 is a page without one of its panels: what lies left, right, below
// and above of it.
func around4(p pdf.Placed, panel geom.Rect) []pdf.Placed {
	var out []pdf.Placed
	for _, r := range []geom.Rect{
		{X0: p.Clip.X0, Y0: p.Clip.Y0, X1: panel.X0, Y1: p.Clip.Y1},
		{X0: panel.X1, Y0: p.Clip.Y0, X1: p.Clip.X1, Y1: p.Clip.Y1},
		{X0: panel.X0, Y0: p.Clip.Y0, X1: panel.X1, Y1: panel.Y0},
		{X0: panel.X0, Y0: panel.Y1, X1: panel.X1, Y1: p.Clip.Y1},
	} {
		if r.Size().W > 0.01 && r.Size().H > 0.01 {
			q := p
			q.Clip = r
			out = append(out, q)
		}
	}
	return out
}

// plan changes plan.json.
func (b bench) plan(change func(map[string]any)) {
	b.t.Helper()
	path := filepath.Join(b.folder, plan.File)
	data, err := os.ReadFile(path)
	if err != nil {
		b.t.Fatal(err)
	}
	var made map[string]any
	if err := json.Unmarshal(data, &made); err != nil {
		b.t.Fatal(err)
	}
	change(made)
	if data, err = json.Marshal(made); err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o600); err != nil {
		b.t.Fatal(err)
	}
}

func (b bench) copyFile(from, to string) {
	b.t.Helper()
	data, err := os.ReadFile(from)
	if err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(b.folder, to), data, 0o600); err != nil {
		b.t.Fatal(err)
	}
}

// damage is one way in which files can be wrong, and what a proof has to say.
type damage struct {
	name string
	do   func(bench)
	says map[int]string // of each page, as an expression; exactly these are wrong
	also []string       // of files and the stack
}

// the same for many pages.
func all(pages []int, what string) map[int]string {
	out := map[int]string{}
	for _, p := range pages {
		out[p] = what
	}
	return out
}

func moving(x, y float64) *geom.Matrix {
	m := geom.Translate(x, y)
	return &m
}

// scaled is about the middle of the page.
func scaled(size geom.Size, s float64) *geom.Matrix {
	c := size.Rect().Centre()
	m := geom.Translate(-c.X, -c.Y).Then(geom.Enlarge(s)).Then(geom.Translate(c.X, c.Y))
	return &m
}

func turning(size geom.Size) *geom.Matrix {
	m := geom.HalfTurn(size)
	return &m
}

// Pages 1 to 24 of the demo book on six sheets: two gatherings of 12 pages, a
// run for each. Page 2 is nearly empty.
func demoOptions() options.Options {
	return options.Options{Pages: options.Pages{{First: 1, Last: 24}}, Gatherings: options.Sizes{3, 3}, Run: options.Run{Gathering: true}}
}

const (
	front1, back1 = "run-01-front.pdf", "run-01-back.pdf"
	front2, back2 = "run-02-front.pdf", "run-02-back.pdf"
)

// Of a folio's gathering of 12 pages the fronts carry 1, 12, 3, 10, 5, 8 and
// the backs the others.
var (
	fronts1 = []int{1, 3, 5, 8, 10, 12}
	backs1  = []int{2, 4, 6, 7, 9, 11}
	fronts2 = []int{13, 15, 17, 20, 22, 24}
)

func damages(t *testing.T) []damage {
	a5 := geom.Size{W: 148.5, H: 210}
	onAll := func(name string, m geom.Matrix) func(bench) {
		return func(b bench) {
			b.rewrite(name, func(sides []pdf.Side) []pdf.Side {
				for i := range sides {
					sides[i].Pages[0].Matrix = m
				}
				return sides
			})
		}
	}
	reversed := func(name string) func(bench) {
		return func(b bench) {
			b.rewrite(name, func(sides []pdf.Side) []pdf.Side {
				slices.Reverse(sides)
				return sides
			})
		}
	}
	remove := func(names ...string) func(bench) {
		return func(b bench) {
			for _, name := range names {
				if err := os.Remove(filepath.Join(b.folder, name)); err != nil {
					b.t.Fatal(err)
				}
			}
		}
	}
	other := func(o options.Options, names ...string) func(bench) {
		return func(b bench) {
			folder := prepare(t, demo, o)
			for _, name := range names {
				b.copyFile(filepath.Join(folder, name), name)
			}
		}
	}
	long := demoOptions()
	long.Printer = "by-hand-long"
	return []damage{
		{"two pages exchanged", func(b bench) { b.put(3, 5, moving(0, 0)); b.put(5, 3, moving(0, 0)) },
			map[int]string{3: "page 5 is there instead", 5: "page 3 is there instead"}, nil},
		{"a recto and a verso exchanged", func(b bench) { b.put(7, 8, moving(0, 0)); b.put(8, 7, moving(0, 0)) },
			map[int]string{7: "page 8 is there instead", 8: "page 7 is there instead"}, nil},
		{"a page turned", func(b bench) { b.alter(9, turning(a5)) }, map[int]string{9: "it is upside down"}, nil},
		{"a page turned that is another", func(b bench) { b.put(10, 12, turning(a5)) }, map[int]string{10: "page 12 is there instead, upside down"}, nil},
		{"a page twice", func(b bench) { b.put(11, 4, moving(0, 0)) }, map[int]string{11: "page 4 is there instead"}, nil},
		{"a page blanked", func(b bench) { b.alter(6, nil) }, map[int]string{6: "nothing is printed there"}, nil},
		{"a nearly empty page blanked", func(b bench) { b.alter(2, nil) }, map[int]string{2: "nothing is printed there"}, nil},
		{"a page shifted", func(b bench) { b.alter(17, moving(5, 0)) }, map[int]string{17: `it is (4\.9|5\.0|5\.1) mm too far to the right`}, nil},
		{"a page shifted a little", func(b bench) { b.alter(17, moving(0, 1.2)) }, map[int]string{17: `it is 1\.[123] mm too far to the head`}, nil},
		{"a page larger", func(b bench) { b.alter(18, scaled(a5, 1.03)) }, map[int]string{18: `it is (2\.9|3\.0|3\.1) percent too large`}, nil},
		{"a page's edge lost", func(b bench) {
			_, _, _, _, place := b.spot(8)
			narrow := place.Size.Rect().Inset(0, 0, 20, 0)
			file, at, panel, printed, _ := b.spot(8)
			b.rewrite(file, func(sides []pdf.Side) []pdf.Side {
				s := &sides[at-1]
				whole := s.Pages[0]
				s.Pages = around4(whole, panel)
				whole.Clip = printed.Bounds(narrow)
				s.Pages = append(s.Pages, whole)
				return sides
			})
		}, map[int]string{8: "it differs from the source"}, nil},
		{"a word lost", func(b bench) {
			file, at, _, printed, _ := b.spot(5)
			b.rewrite(file, func(sides []pdf.Side) []pdf.Side {
				patch := printed.Bounds(geom.Rect{X0: 60, Y0: 120, X1: 66, Y1: 124})
				sides[at-1].Drawing.FillPolygon([]geom.Point{{X: patch.X0, Y: patch.Y0}, {X: patch.X1, Y: patch.Y0}, {X: patch.X1, Y: patch.Y1}, {X: patch.X0, Y: patch.Y1}}, 1)
				return sides
			})
		}, map[int]string{5: "it differs from the source"}, nil},
		{"a stray mark", func(b bench) {
			file, at, _, printed, _ := b.spot(19)
			b.rewrite(file, func(sides []pdf.Side) []pdf.Side {
				sides[at-1].Drawing.DrawLine(printed.Apply(geom.Point{X: 100, Y: 12}), printed.Apply(geom.Point{X: 130, Y: 12}), pdf.Pen{Width: 0.4})
				return sides
			})
		}, map[int]string{19: "it differs from the source"}, nil},
		{"the back file reversed", reversed(back1), all([]int{2, 6, 7, 11}, "is there instead"), nil},
		{"the front file reversed", reversed(front1), all([]int{1, 5, 8, 12}, "is there instead"), nil},
		{"all backs shifted", onAll(back1, geom.Translate(0, 5)), all(backs1, `^it is (4\.9|5\.0|5\.1) mm too far to the right$`), nil},
		{"all backs turned", onAll(back1, geom.HalfTurn(geom.Size{W: 210, H: 297})), all(backs1, "upside down"), nil},
		{"fitted to the page by a print dialog", onAll(front2, *scaled(geom.Size{W: 210, H: 297}, 0.97)), all(fronts2, `(2\.9|3\.0|3\.1) percent too small`), nil},
		{"another printer's files", other(long, front1, back1, front2, back2), all([]int{2, 4, 6, 7, 9, 11, 14, 16, 18, 19, 21, 23}, "upside down"), nil},
		{"a front file of another gathering", func(b bench) { b.copyFile(filepath.Join(b.folder, front2), front1) }, map[int]string{
			1: "page 13 is there instead", 3: "page 15 is there instead", 5: "page 17 is there instead", 8: "page 20 is there instead", 10: "page 22 is there instead", 12: "page 24 is there instead",
		}, nil},
		{"a side missing in the back file", func(b bench) {
			b.rewrite(back2, func(sides []pdf.Side) []pdf.Side { return slices.Delete(sides, 1, 2) })
		}, map[int]string{
			14: "nothing is printed there", 23: "nothing is printed there", 16: "page 14 is there instead", 21: "page 23 is there instead",
		}, []string{"run-02-front.pdf has 3 pages and run-02-back.pdf 2"}},
		{"no back file", remove(back1), all(backs1, "nothing is printed there"), nil},
		{"a run missing", remove(front2, back2), all([]int{13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24}, "nothing is printed there"),
			[]string{"the files print 3 sheets, the gatherings need 6"}},
		{"paper of another size", func(b bench) {
			b.rewrite(front1, func(sides []pdf.Side) []pdf.Side {
				b.write("letter.pdf", geom.Size{W: 215.9, H: 279.4}, sides)
				return sides
			})
			b.copyFile(filepath.Join(b.folder, "letter.pdf"), front1)
		}, all(fronts1, "does not have the size of the paper"), []string{front1 + ", page 1: its size is 215.9 x 279.4 mm, the paper is 210 x 297 mm"}},
		{"gatherings counted off wrongly", func(b bench) {
			b.plan(func(p map[string]any) {
				for i, g := range p["gatherings"].([]any) {
					g.(map[string]any)["sheets"] = []int{2, 4}[i]
				}
			})
		}, all([]int{5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24}, "is there instead"), nil},
		{"a correction that the profile does not know", func(b bench) {
			b.plan(func(p map[string]any) {
				profile, err := profiles.Store{}.Find("by-hand-short")
				if err != nil {
					b.t.Fatal(err)
				}
				profile.Registration.Back = printer.Shift{Right: 2}
				p["profile"] = profile
			})
		}, all([]int{2, 4, 6, 7, 9, 11, 14, 16, 18, 19, 21, 23}, `^it is (1\.9|2\.0|2\.1) mm too far to the tail$`), nil},
	}
}

// TestDamageIsFoundAndNamed damages good files in every way that its table
// tells, and expects exactly the pages that are wrong to be named, with what is
// wrong with them.
func TestDamageIsFoundAndNamed(t *testing.T) {
	t.Parallel()
	good := prepare(t, demo, demoOptions())
	if found := proved(t, good, demo); len(found.Faults) > 0 {
		t.Fatalf("nothing is damaged yet: %v", found.Faults)
	}
	all := damages(t)
	for _, d := range sample.Of(t, all, 1, hard(all, func(d damage) string { return d.name },
		"a nearly empty page blanked", "a page shifted a little", "a page turned that is another")...) {
		t.Run(d.name, func(t *testing.T) {
			b := bench{t, filepath.Join(t.TempDir(), "book-print"), opened(t, good)}
			if err := os.CopyFS(b.folder, os.DirFS(good)); err != nil {
				t.Fatal(err)
			}
			d.do(b)
			found := proved(t, b.folder, demo)
			if len(found.Faults) == 0 {
				t.Fatal("not found")
			}
			d.compare(t, found)
		})
	}
}

func (d damage) compare(t *testing.T, found Result) {
	var also []string
	pages := map[int]string{}
	for _, f := range found.Faults {
		t.Log(f)
		switch {
		case f.Sheet == 0:
			also = append(also, f.What)
		case f.Page == 0:
			t.Errorf("a blank is said to be wrong: %v", f)
		default:
			pages[f.Page] = f.What
		}
		if f.Sheet != 0 && !strings.Contains(f.String(), fmt.Sprintf("(sheet %d, %s)", f.Sheet, f.Place.Side)) {
			t.Errorf("sheet and side are not named: %v", f)
		}
	}
	for _, want := range d.also {
		if !slices.ContainsFunc(also, func(s string) bool { return strings.Contains(s, want) }) {
			t.Errorf("%q is not among %q", want, also)
		}
	}
	if len(d.says) == 0 {
		return
	}
	for page, want := range d.says {
		if got, ok := pages[page]; !ok || !regexp.MustCompile(want).MatchString(got) {
			t.Errorf("page %d: %q, want %q", page, got, want)
		}
	}
	for page, got := range pages {
		if _, ok := d.says[page]; !ok {
			t.Errorf("page %d is right and said to be wrong: %q", page, got)
		}
	}
}

// TestProfileOfTheOtherKindIsRefused puts a profile that turns the paper itself into the plan
// of a stack that is put back by hand.
func TestProfileOfTheOtherKindIsRefused(t *testing.T) {
	b := bench{t, prepare(t, demo, demoOptions()), nil}
	b.plan(func(p map[string]any) {
		profile, err := profiles.Store{}.Find("automatic-long")
		if err != nil {
			t.Fatal(err)
		}
		p["profile"] = profile
	})
	if _, err := Open(t.Context(), b.folder); refusal.Of(err) != refusal.Plan {
		t.Errorf("got %v", err)
	}
}

// TestSourceIsTheRightOne refuses another file than the job was made from.
func TestSourceIsTheRightOne(t *testing.T) {
	data, err := os.ReadFile(demo)
	if err != nil {
		t.Fatal(err)
	}
	source := filepath.Join(t.TempDir(), "larkhaven.pdf")
	if err := os.WriteFile(source, data, 0o600); err != nil {
		t.Fatal(err)
	}
	folder := prepare(t, source, demoOptions())
	if err := os.Remove(source); err != nil {
		t.Fatal(err)
	}
	other := filepath.Join(t.TempDir(), "larkhaven.pdf")
	if err := os.WriteFile(other, append(data, '\n'), 0o600); err != nil {
		t.Fatal(err)
	}
	p := opened(t, folder)
	_, err = p.Check(t.Context(), Options{Renderer: rendertest.Shared(t), Source: openSource(t, other)})
	if refusal.Of(err) != refusal.Source {
		t.Errorf("got %v", err)
	}
	t.Chdir(t.TempDir())
	_, err = p.FindSources(nil)
	if refusal.Of(err) != refusal.Source {
		t.Errorf("got %v", err)
	}
}

// TestProofLeavesTheFolderAlone compares every byte of the folder before and after.
func TestProofLeavesTheFolderAlone(t *testing.T) {
	t.Parallel()
	folder := prepare(t, demo, demoOptions())
	before := contents(t, folder)
	p := opened(t, folder)
	if _, err := p.Check(t.Context(), Options{Renderer: rendertest.Shared(t), Source: openSource(t, demo)}); err != nil {
		t.Fatal(err)
	}
	if err := p.WriteBook(t.Context(), io.Discard); err != nil {
		t.Fatal(err)
	}
	if after := contents(t, folder); after != before {
		t.Errorf("the folder has changed")
	}
}

func contents(t *testing.T, folder string) string {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&out, "%s %d\n%s", e.Name(), len(data), data)
	}
	return out.String()
}

// TestWrongNumbersAreFound changes what number the plan begins with, and where numbers are to stand.
func TestWrongNumbersAreFound(t *testing.T) {
	t.Parallel()
	folder := prepare(t, demo, options.Options{Pages: few, Numbers: reorder.NumbersOuter})
	if faults := proved(t, folder, demo).Faults; len(faults) > 0 {
		t.Fatalf("nothing is wrong yet: %v", faults)
	}
	file := filepath.Join(folder, "plan.json")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for old, other := range map[string]string{`"numbers-from": 1`: `"numbers-from": 2`, `"numbers": "outer"`: `"numbers": "centre"`} {
		changed := strings.Replace(string(data), old, other, 1)
		if changed == string(data) {
			t.Fatalf("%s is not in the plan", old)
		}
		if err := os.WriteFile(file, []byte(changed), 0o600); err != nil {
			t.Fatal(err)
		}
		found := proved(t, folder, demo)
		if len(found.Faults) != 15 {
			t.Errorf("%s: %d faults, of 15 pages", other, len(found.Faults))
		}
		for _, f := range found.Faults {
			if !strings.Contains(f.What, "running number") {
				t.Errorf("%s: %s", other, f)
			}
		}
	}
}
