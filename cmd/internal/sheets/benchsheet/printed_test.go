package benchsheet

import (
	"image"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/cmd/internal/testkit/written"
	"foldwright/reorder/sample"
)

// linesAlong is where dark lines cross the level y, in mm from the picture's
// left edge: the middle of the darkness of each.
func linesAlong(picture *image.Gray, y float64) []float64 {
	const mm = 25.4 / dpi
	b := picture.Bounds()
	row := b.Dy() - 1 - int(y/mm)
	turned := image.NewGray(image.Rect(0, 0, 1, b.Dx()))
	for x := range b.Dx() {
		turned.SetGray(0, b.Dx()-1-x, picture.GrayAt(x, row))
	}
	lines := linesAcross(turned, 0)
	slices.Sort(lines)
	return lines
}

// printedMarks is the stations that are printed in the innermost folds of a
// job, in mm from the untrimmed head, one list for each gathering. The fold of a
// folio lies across the middle of its sheet.
func printedMarks(t *testing.T, folder string, made plan.Plan) (all [][]float64) {
	t.Helper()
	for _, run := range made.Runs {
		for _, name := range run.Files() {
			doc := rendertest.Open(t, filepath.Join(folder, name))
			for page := 1; page <= doc.Pages(); page++ {
				picture, err := doc.Gray(t.Context(), page, dpi)
				if err != nil {
					t.Fatal(err)
				}
				fold := made.Paper.H / 2
				if len(linesAlong(picture, fold+1.8)) == 0 {
					continue
				}
				point := linesAlong(picture, fold)
				if len(point) != 1 {
					t.Fatalf("%s, page %d: %d head marks", name, page, len(point))
				}
				var places []float64
				for _, x := range linesAlong(picture, fold+1.8) {
					if point[0] > made.Paper.W/2 { // the head lies at the right
						x = made.Paper.W - x
					}
					places = append(places, x)
				}
				slices.Sort(places)
				all = append(all, places)
			}
		}
	}
	return all
}

// The marks printed in the innermost folds, the piercing guide and the plan
// agree on where the holes are, for every structure, measured from what a
// printer would be sent.
func TestPrintedMarksAreTheGuides(t *testing.T) {
	type book struct{ name, paper string }
	books := []book{{"flat-back", "letter"}} // in two parts
	for _, name := range structure.Names() {
		books = append(books, book{name, "a4"})
	}
	pamphlet := slices.Index(books, book{"pamphlet", "a4"})
	for _, b := range sample.Of(t, books, 1, 0, pamphlet) {
		name, paper := b.name, b.paper
		sheets := 3
		if name == "pamphlet" {
			sheets = 6
		}
		var marks options.Marks
		if err := marks.UnmarshalText([]byte("stations")); err != nil {
			t.Fatal(err)
		}
		o := options.Options{
			Structure: name, Paper: paper, Printer: "by-hand-long", Sheets: sheets, Marks: marks, NoSideNames: true, Dummy: true,
			Trim: options.Trim{Given: true, Head: 4, Tail: 3, ForeEdge: 2},
		}
		folder, made := written.Folder(t, printtest.Book(t, 24), o)
		printed := printedMarks(t, folder, made)
		if made.Structure.Sewn == binding.Side {
			if len(printed) > 0 {
				t.Errorf("%s: marks in folds that are not sewn", name)
			}
			continue
		}
		if len(printed) != len(made.Gatherings) {
			t.Errorf("%s on %s: %d of %d gatherings are marked", name, paper, len(printed), len(made.Gatherings))
		}
		books, err := made.Bench(folder)
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := binding.Measure(books[0], binding.Options{Structure: made.Structure})
		if err != nil {
			t.Fatal(err)
		}
		g := Guide{"x", made.Paper.Size, sheet}
		doc := drawn(t, g.Paper, g.Sides())
		var guide []float64 // without the ends of the strips
		for i, part := range g.Parts() {
			picture, err := doc.Gray(t.Context(), i+1, dpi)
			if err != nil {
				t.Fatal(err)
			}
			for _, y := range linesAcross(picture, foldX+tickReach/2) {
				if at := part.From + part.Top - y; at > part.From+0.5 && at < part.To-0.5 {
					guide = append(guide, at)
				}
			}
		}
		for i, places := range printed {
			if len(places) != len(guide) || len(guide) != len(made.Stations) {
				t.Fatalf("%s on %s, gathering %d: printed %.2f, guide %.2f, plan %.2f", name, paper, i+1, places, guide, made.Stations)
			}
			for k := range places {
				if math.Abs(places[k]-guide[k]) > 0.1 || math.Abs(places[k]-4-made.Stations[k]) > 0.1 {
					t.Errorf("%s on %s, gathering %d: printed at %.3f mm, on the guide at %.3f, planned at %.3f and the trim of 4", name, paper, i+1, places[k], guide[k], made.Stations[k])
				}
			}
		}
	}
}
