package cli

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/profiles"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/sample"
)

// coverOf prints a cover of one sheet on a simulated printer that misprints by errors, as the words of the command say:
// a page, put back as for the book, the page after it on its back; or both at once.
func coverOf(t *testing.T, file string, facts printer.Facts, errors virtual.Errors) virtual.Finished[printtest.Page] {
	t.Helper()
	pages := new(printtest.Reader).Pages(t, file)
	if len(pages) != 2 {
		t.Fatalf("%s has %d pages", file, len(pages))
	}
	files := [][]printtest.Page{pages}
	if facts.TwoSided == printer.ByHand {
		files = [][]printtest.Page{pages[:1], pages[1:]}
	}
	done, err := printtest.Printer(t, facts).WithErrors(errors).Make(files...)
	if err != nil {
		t.Fatal(err)
	}
	return done[0]
}

// where is a word on a side: its place, and the way of its line.
func where(t *testing.T, side virtual.Seen[printtest.Page], word string) (at, along geom.Point) {
	t.Helper()
	for _, w := range side.Image.Words {
		if w.Text == word {
			sin, cos := math.Sincos(w.Angle * math.Pi / 180)
			return side.Place(w.Origin, side.Image.Size), side.Direction(geom.Point{X: cos, Y: sin})
		}
	}
	t.Fatalf("no %q among %v", word, side.Image.Words)
	return
}

// On every printer, also on one that shifts and stretches what it prints and was learned, the inside of a card cover lies behind
// its outside: the first page of the PDF with the second on its back, the last with the last but one; and of a case
// the boards lie behind its panels.
func TestInsideOfCoversRegistersOnEveryPrinter(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	source := printtest.Book(t, 20)
	all := virtual.All()
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	for _, i := range sample.Of(t, order, 5, 0, 130) {
		facts := all[i]
		name := fmt.Sprintf("printer-%d", i)
		made := profiles.Profile{Format: profiles.Format, Name: name, Facts: facts}
		// What the learned printer does wrong; the signs on the back are those of printer.TestCorrectionUndoesEveryError.
		wrong := virtual.Errors{Shift: geom.Point{X: 1.7, Y: -2.3}, Second: geom.Point{X: -0.6, Y: 1.1}}
		made.Registration = printer.Registration{Both: printer.Shift{Right: 1.7, Up: -2.3}, Back: printer.Shift{Right: -0.6, Up: -1.1}}
		if facts.FlipEdge == printer.LongEdge {
			made.Registration.Back = printer.Shift{Right: 0.6, Up: 1.1}
		}
		text, err := made.YAML()
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+".yaml"), text, 0o600); err != nil {
			t.Fatal(err)
		}
		job, card, boards := filepath.Join(dir, name), filepath.Join(dir, name+"-card.pdf"), filepath.Join(dir, name+"-case.pdf")
		run(t, "prepare", source, "--quiet", "--profiles", dir, "--printer", name, "--take-covers", "4", "--out", job)
		run(t, "cover", job, "--quiet", "--paper", "a3", "--kind", "card", "--spine", "4mm", "--inside", "--out", card)
		run(t, "cover", job, "--quiet", "--paper", "a3", "--kind", "case", "--structure", "flat-back", "--spine", "4mm", "--board", "2mm", "--spine-title", "TIDES", "--inside", "--out", boards)

		sheet := coverOf(t, card, facts, wrong)
		wide := sheet.Front.Image.Size
		through := func(p geom.Point) geom.Point { return geom.Point{X: wide.W - p.X, Y: p.Y} }
		// Both pages of a leaf bear their mark as far from their left edge: of the outside from the spine, of the inside from
		// the fore-edge. They are as large as fills a leaf of 148.5 x 210 mm with 3 mm of bleed at three edges.
		scale := max(151.5/printtest.PageWidth, 216.0/210)
		apart := (printtest.PageWidth - 2*printtest.MarkX) * scale
		for outside, inside := range map[string]string{"p1": "p2", "p20": "p19"} {
			at, along := where(t, sheet.Front, outside)
			behind, back := where(t, sheet.Back, inside)
			want := at.Plus(along.Times(apart))
			if d := through(behind).Minus(want); math.Hypot(d.X, d.Y) > 0.15 {
				t.Errorf("%+v: %s lies behind %s at %.2f, want %.2f", facts, inside, outside, through(behind), want)
			}
			if turned := (geom.Point{X: -back.X, Y: back.Y}).Plus(along); math.Hypot(turned.X, turned.Y) > 1e-3 {
				t.Errorf("%+v: behind %s, read along %v, %s is read along %v", facts, outside, along, inside, back)
			}
		}
		checkFold(t, sheet, wide, 4)

		sheet = coverOf(t, boards, facts, wrong)
		title, _ := where(t, sheet.Front, "TIDES")
		spine, _ := where(t, sheet.Back, "spine")
		front, _ := where(t, sheet.Back, "front")
		back, _ := where(t, sheet.Back, "back")
		// On A3 the cover stands turned: across it is along the sheet.
		if d := math.Abs(title.Y - spine.Y); d > 4 || (front.Y-spine.Y)*(back.Y-spine.Y) >= 0 {
			t.Errorf("%+v: the title of the spine at %.1f, its strip at %.1f, the boards at %.1f and %.1f", facts, title.Y, spine.Y, front.Y, back.Y)
		}
	}
}

// checkFold lays the cover around a book and opens it: the page inside the front is read at the left of the spine, the
// first page of the text at its right, all as upright as the front.
func checkFold(t *testing.T, s virtual.Finished[printtest.Page], size geom.Size, spine float64) {
	t.Helper()
	sheet := printtest.Printed(size, s)
	find := func(marks []paper.Mark, label string) paper.Mark {
		for _, m := range marks {
			if m.Label == label {
				return m
			}
		}
		t.Fatalf("no page %s", label)
		return paper.Mark{}
	}
	front, last := find(sheet.Front, "1"), find(sheet.Front, "20")
	// Front and last page have their heads the same way, and the front lies at the right of the last when it stands upright.
	right := geom.Point{X: front.Head.Y, Y: -front.Head.X}
	d := front.At.Minus(last.At)
	if across := d.X*right.X + d.Y*right.Y; math.Hypot(front.Head.X-last.Head.X, front.Head.Y-last.Head.Y) > 1e-3 || across < 148+spine {
		t.Errorf("the front stands %.1f mm to the right of the last page", across)
	}
	in, out := find(sheet.Back, "2"), find(sheet.Back, "19")
	right = geom.Point{X: in.Head.Y, Y: -in.Head.X}
	d = out.At.Minus(in.At)
	if across := d.X*right.X + d.Y*right.Y; across < 148+spine {
		t.Errorf("inside, page 19 stands %.1f mm to the right of page 2", across)
	}
}

// The cover of a book from several files takes its pages from those that hold them, also when they have moved, and from
// no other file that has their name.
func TestCoverOfSeveralFiles(t *testing.T) {
	dir := t.TempDir()
	for name, first := range map[string]int{"first.pdf": 1, "second.pdf": 9, "third.pdf": 17} {
		data, err := os.ReadFile(printtest.BookFrom(t, first, 8))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	at := func(name string) string { return filepath.Join(dir, name) }
	run(t, "prepare", at("first.pdf"), at("second.pdf"), at("third.pdf"), "--quiet", "--half-titles", "--printer", "automatic-long", "--take-covers", "4", "--out", at("job"))
	check := func(out string, more ...string) {
		t.Helper()
		run(t, append([]string{"cover", at("job"), "--quiet", "--paper", "a3", "--kind", "card", "--spine", "4mm", "--inside", "--out", at(out)}, more...)...)
		pages := new(printtest.Reader).Pages(t, at(out))
		for i, want := range [][]string{{"p1", "p24"}, {"p2", "p23"}} {
			var marks []string
			for _, m := range pages[i].Marks() {
				marks = append(marks, "p"+m.Label)
			}
			slices.Sort(marks)
			if !slices.Equal(marks, want) {
				t.Errorf("%s, page %d of the cover: %v, want %v", out, i+1, marks, want)
			}
		}
	}
	check("cover.pdf")
	if err := os.Rename(at("third.pdf"), at("last.pdf")); err != nil {
		t.Fatal(err)
	}
	check("again.pdf", "--source", at("first.pdf"), "--source", at("second.pdf"), "--source", at("last.pdf"))
	// The second is not asked for: none of its pages stands on the cover.
	for _, wrong := range [][]string{{"--source", at("first.pdf")}, {"--source", at("first.pdf"), "--source", at("last.pdf"), "--source", at("second.pdf")}} {
		var out, says bytes.Buffer
		args := append([]string{"cover", at("job"), "--kind", "card", "--spine", "4mm", "--out", at("wrong.pdf")}, wrong...)
		if status := Run(t.Context(), args, Surroundings{In: strings.NewReader(""), Out: &out, Err: &says, Region: "GB"}); status != Unreadable {
			t.Errorf("%v: status %d, %s", wrong, status, says.String())
		}
	}
}
