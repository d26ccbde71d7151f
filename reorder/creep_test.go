package reorder

import (
	"fmt"
	"math"
	"slices"
	"testing"
)

// Check-value 2.2, derived: with a pinched fold sheet k of a gathering of
// folios stands out (k-1) t. t = 0.097 mm: four sheets 0, 0.097, 0.194, 0.291;
// eight sheets 0.679 at the innermost. Half round: times pi/2, square: times 2;
// four sheets of 0.1 mm: 0.30, 0.47, 0.60 mm.
func TestCreepOfFolios(t *testing.T) {
	creep := PinchedFold.Creep(0.097)
	for k, want := range []float64{0, 0.097, 0.194, 0.291} {
		if got := creep.At(k); math.Abs(got-want) > 1e-9 {
			t.Errorf("sheet %d stands out %.3f mm, want %.3f", k+1, got, want)
		}
	}
	for sheets, want := range map[int]float64{1: 0, 4: 0.291, 8: 0.679} {
		if got := creep.At(oneGathering(t, FolioForm, sheets).Depth()); math.Abs(got-want) > 1e-9 {
			t.Errorf("%d sheets creep %.3f mm, want %.3f", sheets, got, want)
		}
	}
	depth := oneGathering(t, FolioForm, 4).Depth()
	for bend, want := range map[Bend]float64{PinchedFold: 0.30, RoundFold: 0.47, SquareFold: 0.60} {
		if got := bend.Creep(0.1).At(depth); math.Abs(got-want) > 0.005 {
			t.Errorf("bend %d: %.3f mm, want %.2f", bend, got, want)
		}
	}
}

func oneGathering(t *testing.T, form Form, sheets int) Book {
	t.Helper()
	book, err := Arrange(Size{210, 297}, form, numbered(sheets*form.PagesPerSheet()), []int{sheets})
	if err != nil {
		t.Fatal(err)
	}
	return book
}

// The figures are worked by hand. In a quarto the sheet lies double in the
// fold: leaves 1 and 4 outside, 2 and 3 inside them, so a second sheet laid in
// begins two thicknesses further in. An octavo has four thicknesses in its
// fold. A folio cut in two from two sheets is four folded pieces.
func TestDepthOfLeaves(t *testing.T) {
	quarto, octavo := FolioForm, FolioForm
	quarto.Fold, octavo.Fold = Quarto, Octavo
	together, halves := quarto, FolioForm
	together.Nest, halves.Cut = Together, 2
	for _, c := range []struct {
		name   string
		form   Form
		sheets int
		want   []int   // the depth of each leaf
		total  float64 // mm with paper of 0.1 mm
	}{
		{"quarto, one sheet", quarto, 1, []int{0, 1, 1, 0}, 0.1},
		{"quarto, two sheets inset", quarto, 2, []int{0, 1, 2, 3, 3, 2, 1, 0}, 0.3},
		{"quarto, two sheets together", together, 2, []int{0, 1, 2, 3, 3, 2, 1, 0}, 0.3},
		{"octavo, one sheet", octavo, 1, []int{0, 1, 2, 3, 3, 2, 1, 0}, 0.3},
		{"octavo, two sheets inset", octavo, 2, []int{0, 1, 2, 3, 4, 5, 6, 7, 7, 6, 5, 4, 3, 2, 1, 0}, 0.7},
		{"folio cut in two, two sheets", halves, 2, []int{0, 1, 2, 3, 3, 2, 1, 0}, 0.3},
	} {
		book := oneGathering(t, c.form, c.sheets)
		got := make([]int, len(c.want))
		for _, s := range book.Sheets() {
			for _, p := range append(slices.Clone(s.Front), s.Back...) {
				got[(p.Place-1)/2] = p.Depth
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: the leaves lie %v thicknesses deep, want %v", c.name, got, c.want)
		}
		if total := PinchedFold.Creep(0.1).At(book.Depth()); math.Abs(total-c.total) > 1e-9 {
			t.Errorf("%s creeps %.2f mm, want %.2f", c.name, total, c.total)
		}
	}
}

func TestMeasuredCreep(t *testing.T) {
	if got := MeasuredCreep(0.6, 3).At(2); math.Abs(got-0.4) > 1e-9 {
		t.Errorf("the third of four leaves, the innermost of which stands out 0.6 mm, moves by %.3f mm", got)
	}
	if got := MeasuredCreep(0.6, 0); got != 0 {
		t.Errorf("a gathering of one leaf deep creeps %v", got)
	}
}

// anyForm is a form of the fold, cut and of several sheets where it can be.
func anyForm(fold Fold, bind Bind) (form Form, sheets int) {
	form, sheets = Form{Fold: fold, Cut: 2, Nest: Inset, Bind: bind}, 2
	if fold.Scheme().Whole {
		form.Cut, sheets = 1, 1
	}
	if fold == Concertina {
		form.Overlap = 10
	}
	return form, sheets
}

// "There must be less furniture in the backs of the inner sheet than the
// outer" (Cowie's Printer's Pocket-book and Manual, p. 31): the back margin
// shrinks on inner sheets, and does so by the leaf's depth, on both pages of a
// leaf, for every fold and binding edge; nothing else moves.
func TestPagesOfInnerLeavesMoveTowardsTheSpine(t *testing.T) {
	page := Size{60, 40}
	for _, fold := range Folds() {
		for _, bind := range []Bind{BindLeft, BindRight, BindTop} {
			form, sheets := anyForm(fold, bind)
			book := oneGathering(t, form, sheets)
			for _, stand := range []Stand{OnFold, Centred, Classic} {
				if bind == BindTop && stand == Classic {
					continue // refused
				}
				still := Placing{Scale: 0.4, Stand: stand, Gutter: 5, Wide: WideShrink}
				moved := still
				moved.Creep = 0.1
				name := fmt.Sprintf("%s, %s, %s", fold, bind, stand)
				a, err := still.Place(book, func(int) Size { return page })
				if err != nil {
					t.Fatal(name, err)
				}
				b, err := moved.Place(book, func(int) Size { return page })
				if err != nil {
					t.Fatal(name, err)
				}
				for i, s := range a.Sheets {
					for _, side := range []Side{Front, Back} {
						for k, p := range s.Side(side) {
							panel := s.Sheet.Side(side)[k]
							before := p.Matrix.Apply(Point{})
							after := b.Sheets[i].Side(side)[k].Matrix.Apply(Point{})
							towards := map[Towards]Point{Up: {0, 1}, Down: {0, -1}, Left: {-1, 0}, Right: {1, 0}}[panel.Spine]
							want := 0.1 * float64(panel.Depth)
							if math.Abs(after.X-before.X-want*towards.X) > 1e-9 || math.Abs(after.Y-before.Y-want*towards.Y) > 1e-9 {
								t.Fatalf("%s: page %d at depth %d moves from %v to %v, want %.1f mm %s",
									name, p.Page, panel.Depth, before, after, want, panel.Spine)
							}
						}
					}
				}
			}
		}
	}
}
