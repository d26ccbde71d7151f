package output

import (
	"fmt"
	"image"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/sample"
)

const marksDPI = 150

// drawn is the sides of a print file as pictures.
func drawn(t *testing.T, folder, name string) []*image.Gray {
	t.Helper()
	doc := rendertest.Open(t, filepath.Join(folder, name))
	var sides []*image.Gray
	for page := 1; page <= doc.Pages(); page++ {
		g, err := doc.Gray(t.Context(), page, marksDPI)
		if err != nil {
			t.Fatal(err)
		}
		sides = append(sides, g)
	}
	return sides
}

// darkAlong finds the spans of x, in mm, in which a picture is dark somewhere
// between two heights y, in mm from its lower edge.
func darkAlong(g *image.Gray, low, high float64) (spans [][2]float64) {
	px := float64(marksDPI) / 25.4
	b := g.Bounds()
	dark := false
	for x := 0; x <= b.Dx(); x++ {
		now := false
		for y := b.Max.Y - int(high*px); y < b.Max.Y-int(low*px) && x < b.Dx(); y++ {
			now = now || g.GrayAt(x, y).Y < 160
		}
		switch {
		case now && !dark:
			spans = append(spans, [2]float64{float64(x) / px})
		case !now && dark:
			spans[len(spans)-1][1] = float64(x) / px
		}
		dark = now
	}
	return spans
}

func marks(t *testing.T, words string) (m options.Marks) {
	t.Helper()
	if err := m.UnmarshalText([]byte(words)); err != nil {
		t.Fatal(err)
	}
	return m
}

// TestStairsOnTheSewnBack lays the folds of all gatherings side by side, as
// they lie on a sewn back, and finds stairs: each block begins where the one
// before it ends. A pair that is swapped breaks them.
func TestStairsOnTheSewnBack(t *testing.T) {
	o := options.Options{Printer: "by-hand-long", Sheets: 2, Marks: marks(t, "collation")}
	source := printtest.Book(t, 52)
	d, err := draftOf(t.Context(), source, o, setting(t))
	if err != nil {
		t.Fatal(err)
	}
	folder, plan := prepared(t, source, o, setting(t))
	sides := drawn(t, folder, plan.Runs[0].Files()[0])
	var back [][2]float64
	for _, g := range d.Book.Gatherings {
		outermost := g.Sheets[0].Number
		page := slices.IndexFunc(d.Runs[0].Passes[0].Images, func(i printer.Image) bool { return i.Sheet == outermost })
		// The fold of a folio is the middle of its long edge; a folded gathering
		// shows a strip of it as wide as it is thick.
		middle := plan.Paper.H / 2
		spans := darkAlong(sides[page], middle+1, middle+1.4) // beside the side name
		if len(spans) != 1 {
			t.Fatalf("gathering %d has blocks at %v", g.Number, spans)
		}
		back = append(back, spans[0])
	}
	if len(back) != 7 {
		t.Fatalf("%d gatherings", len(back))
	}
	for i := 1; i < len(back); i++ {
		if math.Abs(back[i][0]-back[i-1][0]-8) > 0.3 || math.Abs(back[i][0]-back[i-1][1]) > 0.6 {
			t.Errorf("the block of gathering %d lies at %.1f to %.1f mm, of gathering %d at %.1f to %.1f", i, back[i-1][0], back[i-1][1], i+1, back[i][0], back[i][1])
		}
	}
	first := d.Sheet(d.Runs[0], 1).Sheet
	_, name := d.NameSpan(d.SideName(d.Runs[0], 1, reorder.Front), first.Front)
	if head, _ := first.Front[0].SpineEdge(); back[0][0] < name.Minus(head).Length()+3 {
		t.Errorf("the stairs begin at %.1f mm, where side names reach to %v", back[0][0], name)
	}
}

// TestMarksChangeNoPage compares print files with and without marks: nothing
// but the fold, and what is trimmed off, looks different.
func TestMarksChangeNoPage(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 16)
	for _, name := range []string{"by-hand-short", "by-hand-long"} {
		o := options.Options{Printer: name, Trim: options.Trim{Given: true, Head: 6, Tail: 7, ForeEdge: 8}, Caliper: 0.1, Marks: marks(t, "none")}
		bare, plan := prepared(t, source, o, setting(t))
		o.Marks = options.UsualMarks
		full, _ := prepared(t, source, o, setting(t))
		for _, file := range plan.Runs[0].Files() {
			before, after := drawn(t, bare, file), drawn(t, full, file)
			for i := range before {
				changed := different(before[i], after[i])
				for _, mm := range changed {
					fold := math.Abs(mm.Y - 148.5)
					// Heads and tails lie at the long edges, fore-edges at the short ones.
					head := math.Min(mm.X, 210-mm.X)
					if fold > reorder.FoldStrip+0.2 && fold < 140.5-0.5 && head > 6-0.2 {
						t.Fatalf("%s, %s, side %d: a mark at %v", name, file, i+1, mm)
					}
				}
				if len(changed) == 0 {
					t.Errorf("%s, %s, side %d: no marks", name, file, i+1)
				}
			}
		}
	}
}

// TestMarksOfEveryFormChangeNoPage does the same for forms that are folded
// oftener or cut: whatever looks different with marks lies outside the trimmed
// leaves, give or take a pixel, or in the strip at the fold that is sewn through.
func TestMarksOfEveryFormChangeNoPage(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 30)
	const pixel = 0.2
	forms := map[string]options.Options{
		"quarto":            {Fold: reorder.Quarto},
		"octavo, cut in 2":  {Fold: reorder.Octavo, Cut: 2},
		"sixteenmo":         {Fold: reorder.Sixteenmo},
		"duodecimo":         {Fold: reorder.Duodecimo},
		"folio, cut in 4":   {Fold: reorder.Folio, Cut: 4, Bind: reorder.BindRight},
		"quarto at the top": {Fold: reorder.Quarto, Bind: reorder.BindTop},
		"cut by the run":    {Fold: reorder.Folio, Cut: 2, Sheets: 1, CutBy: options.CutByRun},
		"loose":             {Fold: reorder.Loose},
	}
	names := slices.Sorted(maps.Keys(forms))
	for _, name := range sample.Of(t, names, 2, slices.Index(names, "octavo, cut in 2")) {
		o := forms[name]
		o.Printer, o.Paper, o.Trim, o.Caliper = "by-hand-long", "a3", options.Trim{Given: true, Head: 4, Tail: 3, ForeEdge: 5}, 0.1
		o.Marks = marks(t, "none")
		bare, plan := prepared(t, source, o, setting(t))
		o.Marks = options.UsualMarks
		full, _ := prepared(t, source, o, setting(t))
		d, err := draftOf(t.Context(), source, o, setting(t))
		if err != nil {
			t.Fatal(name, err)
		}
		marked := 0
		for k, file := range plan.Runs[0].Files() {
			before, after := drawn(t, bare, file), drawn(t, full, file)
			for i, image := range d.Runs[0].Passes[k].Images {
				pages := d.Sheet(d.Runs[0], image.Sheet)
				for _, mm := range different(before[i], after[i]) {
					marked++
					for _, panel := range pages.Sheet.Side(image.Side) {
						r := panel.TrimmedRect(d.Trim, d.Options.CreepIn(d.Book))
						off := map[geom.Towards]float64{panel.Spine: reorder.FoldStrip}
						r = r.Inset(off[geom.Left]+pixel, off[geom.Down]+pixel, off[geom.Right]+pixel, off[geom.Up]+pixel)
						if mm.X > r.X0 && mm.X < r.X1 && mm.Y > r.Y0 && mm.Y < r.Y1 {
							t.Fatalf("%s, %s, page %d: a mark at %v on the page at place %d", name, file, i+1, mm, panel.Place)
						}
					}
				}
			}
		}
		if marked == 0 {
			t.Errorf("%s: no marks", name)
		}
	}
}

// different is the middles of the pixels that differ, in mm.
func different(a, b *image.Gray) (at []geom.Point) {
	px := float64(marksDPI) / 25.4
	for y := range a.Bounds().Dy() {
		for x := range a.Bounds().Dx() {
			if a.GrayAt(x, y) != b.GrayAt(x, y) {
				at = append(at, geom.Point{X: (float64(x) + 0.5) / px, Y: (float64(a.Bounds().Dy()-y) - 0.5) / px})
			}
		}
	}
	return at
}

// TestHeadMarkLiesAtTheHead on the innermost back, whichever way the printer
// turns it: the number of a page stands nearer to its head than to its tail.
func TestHeadMarkLiesAtTheHead(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 16)
	for _, name := range []string{"by-hand-short", "by-hand-long", "automatic-short", "automatic-long"} {
		o := options.Options{Printer: name, Sheets: 4, Marks: marks(t, "stations"), NoSideNames: true}
		folder, plan := prepared(t, source, o, setting(t))
		files := plan.Runs[0].Files()
		file := files[len(files)-1]
		sides := drawn(t, folder, file)
		doc := rendertest.Open(t, filepath.Join(folder, file))
		found := 0
		for i, side := range sides {
			heads := darkAlong(side, 148.5-0.1, 148.5+0.1)
			words, err := doc.Words(t.Context(), i+1)
			if err != nil {
				t.Fatal(err)
			}
			innermost := slices.ContainsFunc(words, func(w render.Word) bool { return w.Text == "p8" || w.Text == "p9" })
			if !innermost {
				if len(heads) > 0 {
					t.Errorf("%s: a mark in a fold that is not the innermost: %v", name, heads)
				}
				continue
			}
			found++
			stations := darkAlong(side, 148.5+1.2, 148.5+2.4)
			if len(heads) != 1 || len(stations) != 5 {
				t.Fatalf("%s: marks in the innermost fold at %v, stations at %v", name, heads, stations)
			}
			head := 0.0
			if words[0].Origin.X > 105 {
				head = 210
			}
			if d := math.Abs(heads[0][0] - head); d > 8 {
				t.Errorf("%s: the head mark lies %.1f mm from the head", name, d)
			}
			// One gathering is a pamphlet: five holes in equal gaps, 25 mm from the ends.
			for k, want := range []float64{25, 65, 105, 145, 185} {
				if at := (stations[k][0] + stations[k][1]) / 2; math.Abs(at-want) > 0.2 {
					t.Errorf("%s: station %d at %.2f mm, want %.1f", name, k+1, at, want)
				}
			}
		}
		if found != 1 {
			t.Errorf("%s: %d innermost backs", name, found)
		}
	}
}

// TestLettersInPrintFiles reads the letter or number of each gathering on the
// front of its outermost sheet.
func TestLettersInPrintFiles(t *testing.T) {
	source := printtest.Book(t, 40)
	for words, want := range map[string]string{"letter": "[A B C D E]", "number": "[1 2 3 4 5]", "none": "[]", "fold,collation": "[]"} {
		folder, plan := prepared(t, source, options.Options{Printer: "by-hand-long", Sheets: 2, Marks: marks(t, words)}, setting(t))
		doc := rendertest.Open(t, filepath.Join(folder, plan.Runs[0].Files()[0]))
		found := []string{}
		for page := 1; page <= doc.Pages(); page++ {
			all, err := doc.Words(t.Context(), page)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range all {
				if math.Abs(w.Origin.Y-148.5) < reorder.FoldStrip && w.Origin.X > 190 {
					found = append(found, w.Text)
				}
			}
		}
		slices.Sort(found)
		if got := fmt.Sprint(found); got != want {
			t.Errorf("%s: %s, want %s", words, got, want)
		}
	}
}

func TestStationsThatCannotBe(t *testing.T) {
	o := options.Options{Stations: options.Lengths{20, 100, 205}, Trim: options.Trim{Given: true, Head: 5, Tail: 5, ForeEdge: 5}}
	want := "stations at 20 mm, 100 mm, 205 mm do not fit on a spine of 200 mm"
	if _, err := draftOf(t.Context(), printtest.Book(t, 8), o, setting(t)); err == nil || err.Error() != want {
		t.Errorf("got %v, want %q", err, want)
	}
}

// TestMarksAreExplained on the run sheet, and only those that are there.
func TestMarksAreExplained(t *testing.T) {
	for words, want := range map[string]string{
		"none": "{false false false false false 0}", "cut,corners": "{false false false false false 0}",
		"fold,number": "{true false false false false 2}", "fold,cut,collation,stations,corners,letter": "{true false true true false 1}",
	} {
		if got := fmt.Sprint(drafted(t, 8, options.Options{Marks: marks(t, words)}).RunSheet().Marks); got != want {
			t.Errorf("%s: %s, want %s", words, got, want)
		}
	}
}
