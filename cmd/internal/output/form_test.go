package output

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
	"foldwright/reorder/sample"
)

// byHand is the profiles of both flip edges.
var byHand = []string{"by-hand-long", "by-hand-short"}

// formOptions is a job in every fold with every cut and nest, and in the ways
// of binding, cutting and turning that differ.
func formOptions() []options.Options {
	var all []options.Options
	for _, fold := range []reorder.Fold{reorder.Folio, reorder.Quarto, reorder.Octavo, reorder.Sixteenmo} {
		for _, cut := range []int{1, 2, 4} {
			for _, nest := range []reorder.Nest{reorder.Inset, reorder.Together} {
				o := options.Options{Fold: fold, Cut: cut, Nest: nest}
				all = append(all, o)
				if nest == reorder.Inset && cut < 4 {
					o.Bind = reorder.BindTop
					all = append(all, o)
				}
			}
		}
		all = append(all, options.Options{Fold: fold, Cut: 2, Bind: reorder.BindRight, Leaf: reorder.Landscape})
	}
	for _, fold := range []reorder.Fold{reorder.Duodecimo, reorder.Loose, reorder.Pouch, reorder.Concertina} {
		for _, bind := range []reorder.Bind{reorder.BindLeft, reorder.BindRight, reorder.BindTop} {
			all = append(all, options.Options{Fold: fold, Bind: bind})
		}
	}
	return append(all,
		options.Options{Fold: reorder.Loose, CopiesAcross: true},
		options.Options{Fold: reorder.Concertina, Leaf: reorder.Landscape, Overlap: 15},
		options.Options{Fold: reorder.Folio, Cut: 2, CutEdge: reorder.TailEdge},
		options.Options{Fold: reorder.Folio, Cut: 2, CutBy: options.CutByRun, Sheets: 1},
		options.Options{Fold: reorder.Octavo, Cut: 2, CutBy: options.CutByRun, CutEdge: reorder.TailEdge, Run: options.Run{Most: 1}},
	)
}

// hardForms is the last ones, which no other form is like, and the first of every fold
// with more than one gathering cut or inset.
func hardForms(all []options.Options) (places []int) {
	seen := map[reorder.Fold]bool{}
	for at, o := range all {
		if alone := at >= len(all)-5; alone || !seen[o.Fold] && (o.Cut == 0 || o.Cut == 2) {
			places = append(places, at)
			seen[o.Fold] = true
		}
	}
	return places
}

// flipEdges is the profiles of both, or of one for each form in turn.
func flipEdges(at int) []string {
	if sample.Full() {
		return byHand
	}
	return byHand[at%2:][:1]
}

// handworked writes a job's folder and returns it with what the hands are told.
func handworked(t *testing.T, source string, o options.Options, set surrounding) (folder string, d Job) {
	t.Helper()
	d, err := draftOf(t.Context(), source, o, set)
	if err != nil {
		t.Fatalf("%+v: %v", o, err)
	}
	folder = filepath.Join(t.TempDir(), "out")
	if _, err := d.Write(t.Context(), folder, false, silent{}); err != nil {
		t.Fatal(err)
	}
	return folder, d
}

// madeBooks follows the handwork and finds every page where plan.json has it.
func madeBooks(t *testing.T, stack []paper.Sheet, j printtest.Job, d Job) [][]paper.Face {
	t.Helper()
	books, err := paper.Follow(stack, d.Handwork)
	if err != nil {
		t.Fatalf("%+v: %v", d.Book.Form, err)
	}
	var pages []int
	for _, g := range j.Gatherings {
		pages = append(pages, g.Pages...)
	}
	if len(pages)%2 == 1 {
		pages = append(pages, 0) // the back of a strip's last panel
	}
	for _, faces := range books {
		if err := papertest.Check(faces, papertest.Labels(pages)); err != nil {
			t.Fatalf("%+v, %s: %v", d.Book.Form, d.Profile.Name, err)
		}
	}
	return books
}

// corner is where the lower left corner of a page of the given size, printed at
// the book's scale, stands on a face, if it lies against the spine.
func corner(f paper.Face, d Job, page geom.Size) geom.Point {
	shown := geom.Size{W: page.W * d.Placement.Scale, H: page.H * d.Placement.Scale}
	x, y := (f.Size.W-shown.W)/2, (f.Size.H-shown.H)/2
	switch bind := d.Book.Form.Bind; {
	case bind == reorder.BindTop && f.Recto:
		y = f.Size.H - shown.H
	case bind == reorder.BindTop:
		y = 0
	case (bind == reorder.BindLeft) == f.Recto:
		x = 0
	default:
		x = f.Size.W - shown.W
	}
	return geom.Point{X: x, Y: y}
}

// TestPrintFilesMakeTheBookInEveryForm reads the print files back with PDFium,
// prints them on printers of both flip edges, cuts and folds the sheets as the
// run sheet tells, and expects pages 1..n upright where they belong.
func TestPrintFilesMakeTheBookInEveryForm(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 29)
	set := setting(t)
	r := new(printtest.Reader)
	all := formOptions()
	for at, o := range sample.Of(t, all, 2, hardForms(all)...) {
		for _, o.Printer = range flipEdges(at) {
			folder, d := handworked(t, source, o, set)
			j := printtest.Load(t, folder)
			if want := 2; !d.Book.Form.IsTwoSided() {
				if len(j.Runs[0].Files()) != 1 {
					t.Fatalf("%+v: files %v, want fronts only", o, j.Runs[0].Files())
				}
			} else if len(j.Runs[0].Files()) != want {
				t.Fatalf("%+v: files %v", o, j.Runs[0].Files())
			}
			books := madeBooks(t, j.Print(t, r, printtest.Printer(t, j.Profile.Facts)), j, d)
			if copies := len(books); copies == 2 != o.CopiesAcross {
				t.Fatalf("%+v: %d books", o, copies)
			}
			for _, faces := range books {
				for _, f := range faces {
					at := corner(f, d, geom.Size{W: printtest.PageWidth, H: 210})
					at.X += printtest.MarkX * d.Placement.Scale
					at.Y += (210 - printtest.MarkY) * d.Placement.Scale
					for _, m := range f.Marks {
						if math.Abs(m.At.X-at.X) > 0.1 || math.Abs(m.At.Y-at.Y) > 0.1 {
							t.Fatalf("%+v: page %s stands at %v, want %v", o, m.Label, m.At, at)
						}
					}
				}
			}
		}
	}
}

// TestPiecesAreNamed: every piece of a cut sheet bears its own name in its fold.
func TestPiecesAreNamed(t *testing.T) {
	source := printtest.Book(t, 24)
	for _, c := range []struct {
		o    options.Options
		want []string
	}{
		{options.Options{Cut: 2, Gatherings: options.Sizes{3}}, []string{
			"sheet 2, front · gathering 1, piece 2 of 6 · run 1, 2 of 3", "sheet 2, front · gathering 1, piece 5 of 6 · run 1, 2 of 3",
		}},
		{options.Options{Cut: 2, CutBy: options.CutByRun, Gatherings: options.Sizes{1, 2}}, []string{
			"sheet 2, front · gathering 1, piece 2 of 2 · run 1, 2 of 3", "sheet 2, front · gathering 2, piece 3 of 4 · run 1, 2 of 3",
		}},
		{options.Options{Fold: reorder.Loose, CopiesAcross: true}, []string{
			"sheet 2, front · copy 1 of 2 · run 1, 2 of 12", "sheet 2, front · copy 2 of 2 · run 1, 2 of 12",
		}},
		{options.Options{Fold: reorder.Pouch}, []string{"sheet 2, front · gathering 2, 1 of 1 · run 1, 2 of 12"}},
		{options.Options{Fold: reorder.Concertina}, []string{"sheet 2, front · gathering 1, 2 of 12 · run 1, 2 of 12"}},
		{options.Options{Fold: reorder.Quarto}, []string{"sheet 2, front · gathering 1, 2 of 2 · run 1, 2 of 3"}},
	} {
		c.o.Printer = "by-hand-long"
		folder, d := handworked(t, source, c.o, setting(t))
		front := rendertest.Open(t, filepath.Join(folder, "run-01-front.pdf"))
		text := ""
		for page := 1; page <= front.Pages(); page++ {
			words, err := front.Words(t.Context(), page)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range words {
				text += w.Text + " "
			}
		}
		for _, name := range c.want {
			if strings.Count(text, name) != 1 {
				t.Errorf("%+v: %q stands there %d times in %q", d.Book.Form, name, strings.Count(text, name), text)
			}
		}
	}
}

// TestFormsRefusedOrWarned says no where nothing can come of it, and warns
// where it is hard.
func TestFormsRefusedOrWarned(t *testing.T) {
	source := printtest.Book(t, 200)
	set := setting(t)
	for _, c := range []struct {
		o    options.Options
		want string
	}{
		{options.Options{Cut: 3}, "'cut' is 1, 2, 4, 8 or 16, not 3"},
		{options.Options{Fold: reorder.Loose, Cut: 2}, "'fold: loose' cannot be used with 'cut'"},
		{options.Options{Fold: reorder.Pouch, Cut: 2}, "'fold: pouch' cannot be used with 'cut'"},
		{options.Options{Fold: reorder.Concertina, Cut: 2}, "'fold: concertina' cannot be used with 'cut'"},
		{options.Options{Fold: reorder.Duodecimo, Cut: 2}, "'fold: duodecimo' cannot be used with 'cut'"},
		{options.Options{Fold: reorder.Duodecimo, Sheets: 2}, "'fold: duodecimo' is folded one sheet at a time"},
		{options.Options{Fold: reorder.Pouch, Sheets: 2}, "'fold: pouch' is folded one sheet at a time"},
		{options.Options{Fold: reorder.Pouch, Gatherings: options.Sizes{60, 40}}, "with the fold pouch a gathering is one sheet, not 60"},
		{options.Options{Fold: reorder.Loose, Sheets: 2}, "'fold: loose' makes one gathering of all sheets"},
		{options.Options{Fold: reorder.Concertina, Gatherings: options.Sizes{3}}, "'fold: concertina' makes one gathering of all sheets"},
		{options.Options{Fold: reorder.Loose, Nest: reorder.Inset}, "'nest' needs folio, quarto, octavo or sixteenmo, not 'fold: loose'"},
		{options.Options{CopiesAcross: true}, "'copies-across' needs 'fold: loose'"},
		{options.Options{Pieces: 3}, "'pieces: 3' needs 'cut: 2'"},
		{options.Options{Fold: reorder.Concertina, Pieces: 3}, "'fold: concertina' makes one gathering of all sheets"},
		{options.Options{Cut: 2, Pieces: 3, Sheets: 2}, "'pieces: 3' and 'sheets: 2' cannot be used together"},
		{options.Options{Cut: 2, Pieces: 3, Gatherings: options.Sizes{4, 2}}, "'pieces: 3' and 'gatherings: 4,2' cannot be used together"},
		{options.Options{Cut: 2, Pieces: 3, Fewest: 4}, "'fewest: 4' is more than 'pieces: 3'"},
		{options.Options{Cut: 2, CutBy: options.CutByRun, Pieces: 5, Run: options.Run{Most: 2}}, "'cut-by: run': a gathering of more than 2 sheets does not fit into one run"},
		{options.Options{Cut: 2, Nest: reorder.Together, Pieces: 60}, "50 pieces folded together as folio make 50 thicknesses at the last fold, and no more than 32 can be folded"},
		{options.Options{Overlap: 10}, "'overlap' needs 'fold: concertina'"},
		{options.Options{CutEdge: reorder.TailEdge}, "'cut-edge' needs 'cut: 2'"},
		{options.Options{Cut: 4, CutEdge: reorder.TailEdge}, "with this fold and cut not every cut edge is at the tail"},
		{options.Options{CutBy: options.CutByRun}, "'cut-by' needs 'cut: 2' or 'cut: 4'"},
		{options.Options{Cut: 2, CutBy: options.CutByRun, OnlyGathering: 1}, "'only-gathering' needs 'cut-by: gathering'"},
		{options.Options{Cut: 2, CutBy: options.CutByRun, Sheets: 3, Run: options.Run{Most: 2}}, "'cut-by: run': a gathering of more than 2 sheets does not fit into one run"},
		{options.Options{Leaf: reorder.Landscape}, "the fold folio, bound at the left, does not make a landscape leaf from a sheet of 210 x 297 mm"},
		{options.Options{Fold: reorder.Quarto, Nest: reorder.Together, Gatherings: options.Sizes{17, 8}}, "17 sheets folded together as quarto make 34 thicknesses at the last fold, and no more than 32 can be folded"},
		{options.Options{Bind: reorder.BindTop, Place: reorder.Classic}, "classic margins are for a spine at the left or the right"},
	} {
		_, err := draftOf(t.Context(), source, c.o, set)
		if err == nil {
		}
		if err == nil || err.Error() != c.want || refusal.Of(err) != refusal.Use && refusal.Of(err) != refusal.Plan {
			t.Errorf("%+v: got %v, want %q", c.o, err, c.want)
		}
	}
	const thick, hard = "thicknesses of paper at once", "hard to fold by hand"
	for _, c := range []struct {
		o    options.Options
		want []string
	}{
		{options.Options{Fold: reorder.Folio, Nest: reorder.Together, Gatherings: options.Sizes{16, 16, 18}}, []string{"18 " + thick}},
		{options.Options{Fold: reorder.Folio, Nest: reorder.Together, Gatherings: options.Sizes{16, 16, 16, 2}}, nil},
		{options.Options{Fold: reorder.Folio, Gatherings: options.Sizes{25, 25}}, nil}, // inset: each is folded by itself
		{options.Options{Fold: reorder.Quarto, Nest: reorder.Together, Gatherings: options.Sizes{16, 9}}, []string{"32 " + thick}},
		{options.Options{Fold: reorder.Octavo, Sheets: 3}, []string{hard}},
		{options.Options{Fold: reorder.Octavo, Sheets: 2}, nil},
		{options.Options{Fold: reorder.Sixteenmo, Sheets: 2}, []string{hard}},
		{options.Options{Fold: reorder.Sixteenmo}, nil},
		{options.Options{Fold: reorder.Sixteenmo, Nest: reorder.Together, Sheets: 3}, []string{"24 " + thick, hard}},
	} {
		d, err := draftOf(t.Context(), source, c.o, set)
		if err != nil {
			t.Fatalf("%+v: %v", c.o, err)
		}
		said := strings.Join(phrase.Strings(d.Warnings(), nil), "\n")
		for _, w := range c.want {
			if !strings.Contains(said, w) {
				t.Errorf("%+v: no warning of %q in %q", c.o, w, said)
			}
		}
		if len(c.want) == 0 && (strings.Contains(said, thick) || strings.Contains(said, hard)) {
			t.Errorf("%+v: a warning in %q", c.o, said)
		}
	}
}

// TestUsualSheets is the default of --sheets by fold: folio 4, quarto 2, octavo
// and sixteenmo 1, divided by the cut, at least 1.
func TestUsualSheets(t *testing.T) {
	source := printtest.Book(t, 100)
	for _, c := range []struct {
		fold reorder.Fold
		want [3]int // for cuts of 1, 2 and 4
	}{
		{reorder.Folio, [3]int{4, 2, 1}}, {reorder.Quarto, [3]int{2, 1, 1}}, {reorder.Octavo, [3]int{1, 1, 1}}, {reorder.Sixteenmo, [3]int{1, 1, 1}},
	} {
		var got [3]int
		for i, cut := range []int{1, 2, 4} {
			d, err := draftOf(t.Context(), source, options.Options{Fold: c.fold, Cut: cut}, setting(t))
			if err != nil {
				t.Fatal(err)
			}
			got[i] = d.Options.Sheets
		}
		if got != c.want {
			t.Errorf("%s: %v, want %v", c.fold, got, c.want)
		}
	}
}

// TestPlanOfHiddenFaces: faces that are never seen have no entry, and single
// leaves and a strip are one gathering.
func TestPlanOfHiddenFaces(t *testing.T) {
	source := printtest.Book(t, 9)
	for fold, want := range map[reorder.Fold]string{
		reorder.Pouch:      "[1 2] [3 4] [5 6] [7 8] [9 0]",
		reorder.Concertina: "[1 2 3 4 5 6 7 8 9 0]",
		reorder.Loose:      "[1 2 3 4 5 6 7 8 9 0]",
	} {
		_, plan := prepared(t, source, options.Options{Fold: fold, Printer: "automatic-long"}, setting(t))
		var got []string
		for _, g := range plan.Gatherings {
			got = append(got, fmt.Sprint(g.Pages))
		}
		if strings.Join(got, " ") != want || plan.Options.Fold != fold {
			t.Errorf("%s: %v, want %s", fold, got, want)
		}
		oneSided := slices.Equal(plan.Runs[0].Files(), []string{"run-01-front.pdf"})
		if oneSided != (fold != reorder.Loose) {
			t.Errorf("%s: files %v", fold, plan.Runs[0].Files())
		}
	}
}
