package reorder

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

func TestTrimTo(t *testing.T) {
	leaf := geom.Size{W: 148.5, H: 210}
	got, err := TrimTo(leaf, geom.Size{W: 140, H: 200}, BindLeft)
	if want := (Trim{Head: 5, Tail: 5, ForeEdge: 8.5}); err != nil || got != want || got.Of(leaf, BindLeft) != (geom.Size{W: 140, H: 200}) {
		t.Errorf("%v, %v, want %v", got, err, want)
	}
	if got, err := TrimTo(leaf, geom.Size{W: 148.52, H: 210}, BindLeft); err != nil || got != (Trim{}) {
		t.Errorf("within rounding: %v, %v", got, err)
	}
	for _, to := range []geom.Size{{W: 150, H: 200}, {W: 140, H: 211}, {W: 0, H: 100}, {W: 100, H: -1}} {
		if _, err := TrimTo(leaf, to, BindLeft); refusal.Of(err) != refusal.Plan {
			t.Errorf("a leaf of %v is trimmed to %v: %v", leaf, to, err)
		}
	}
}

// A page that fits exactly fills what is left of its leaf: its head, tail and
// fore-edge lie on the cuts, and its spine edge lies on the fold or, on inner
// leaves, as far beyond it as the leaf creeps out.
func TestPagesFillTrimmedLeaves(t *testing.T) {
	trim := Trim{Head: 2, Tail: 5, ForeEdge: 3}
	const creep = Creep(0.2)
	for _, fold := range Folds() {
		for _, bind := range []Bind{BindLeft, BindRight, BindTop} {
			form, sheets := anyForm(fold, bind)
			book := oneGathering(t, form, sheets)
			size := trim.Of(book.PanelSize(), bind)
			pl, err := Placing{Stand: AgainstSpine, Wide: WideShrink, Trim: trim, Creep: creep}.Place(book, func(int) geom.Size { return size })
			if err != nil {
				t.Fatal(fold, bind, err)
			}
			if math.Abs(pl.Scale-1) > 1e-9 {
				t.Fatalf("%s: scale %v", fold, pl.Scale)
			}
			for _, s := range pl.Sheets {
				for i, p := range slices.Concat(s.Front, s.Back) {
					panel := slices.Concat(s.Sheet.Front, s.Sheet.Back)[i]
					c := creep.At(panel.Depth)
					want := p.Trimmed
					cut := map[geom.Towards]float64{}
					cut[geom.Left], cut[geom.Down] = want.X0-p.Clip.X0, want.Y0-p.Clip.Y0
					cut[geom.Right], cut[geom.Up] = p.Clip.X1-want.X1, p.Clip.Y1-want.Y1
					foreEdge := geom.Towards((panel.Spine+1)%4 + 1)
					head := panel.Head
					if bind == BindTop {
						head = head%4 + 1 // the left as the page is read
					}
					tail := geom.Towards((head+1)%4 + 1)
					if math.Abs(cut[panel.Spine])+math.Abs(cut[foreEdge]-3-c)+math.Abs(cut[head]-2)+math.Abs(cut[tail]-5) > 1e-9 {
						t.Fatalf("%s, %s, page %d: cut by %v, spine %s, head %s", fold, bind, p.Page, cut, panel.Spine, panel.Head)
					}
					switch panel.Spine {
					case geom.Left:
						want.X0 -= c
					case geom.Right:
						want.X1 += c
					case geom.Up:
						want.Y1 += c
					case geom.Down:
						want.Y0 -= c
					}
					if got := p.Matrix.Bounds(size.Rect()); !got.IsWithin(want, 1e-9) || !want.IsWithin(got, 1e-9) {
						t.Fatalf("%s, %s, page %d at depth %d stands at %v, want %v", fold, bind, p.Page, panel.Depth, got, want)
					}
				}
			}
		}
	}
}

// At a scale that was asked for a page may stand in what is cut off, as long as
// it stays on its leaf.
func TestPagesMayStandInTheTrim(t *testing.T) {
	book := oneGathering(t, FolioForm, 1)
	a5 := func(int) geom.Size { return geom.Size{W: 148, H: 210} }
	p := Placing{Scale: 1, Stand: AgainstSpine, Wide: WideTurn, Trim: Trim{3, 3, 3}}
	if pl, err := p.Place(book, a5); err != nil || len(pl.Notes) > 0 {
		t.Errorf("%v, %v", pl.Notes, err)
	}
	p.Scale = 1.01
	var leaves *LeavesPanelError
	if _, err := p.Place(book, a5); !errors.As(err, &leaves) || math.Abs(leaves.Fits-1) > 1e-9 {
		t.Errorf("got %v", err)
	}
	for _, trim := range []Trim{{-1, 0, 0}, {100, 110, 0}, {0, 0, 149}} {
		if _, err := (Placing{Stand: AgainstSpine, Wide: WideTurn, Trim: trim}).Place(book, a5); refusal.Of(err) != refusal.Plan {
			t.Errorf("%v is trimmed off: %v", trim, err)
		}
	}
}

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
	book, err := Arrange(geom.Size{W: 210, H: 297}, form, numbered(sheets*form.PagesPerSheet()), [][]int{{sheets}})
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
	page := geom.Size{W: 60, H: 40}
	for _, fold := range Folds() {
		for _, bind := range []Bind{BindLeft, BindRight, BindTop} {
			form, sheets := anyForm(fold, bind)
			book := oneGathering(t, form, sheets)
			for _, stand := range []Stand{AgainstSpine, InMiddle, Classic} {
				if bind == BindTop && stand == Classic {
					continue // refused
				}
				still := Placing{Scale: 0.4, Stand: stand, Gutter: 5, Wide: WideShrink}
				moved := still
				moved.Creep = 0.1
				name := fmt.Sprintf("%s, %s, %s", fold, bind, stand)
				a, err := still.Place(book, func(int) geom.Size { return page })
				if err != nil {
					t.Fatal(name, err)
				}
				b, err := moved.Place(book, func(int) geom.Size { return page })
				if err != nil {
					t.Fatal(name, err)
				}
				for i, s := range a.Sheets {
					for _, side := range []Side{Front, Back} {
						for k, p := range s.Side(side) {
							panel := s.Sheet.Side(side)[k]
							before := p.Matrix.Apply(geom.Point{})
							after := b.Sheets[i].Side(side)[k].Matrix.Apply(geom.Point{})
							towards := map[geom.Towards]geom.Point{geom.Up: {X: 0, Y: 1}, geom.Down: {X: 0, Y: -1}, geom.Left: {X: -1, Y: 0}, geom.Right: {X: 1, Y: 0}}[panel.Spine]
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

// Pounds of 500 sheets, derived from the basis sizes and 453.59237 g to the
// pound: bond 17 x 22 in 3.7597, text 25 x 38 in 1.4801, cover 20 x 26 in
// 2.7041, index 25.5 x 30.5 in 1.8080 g/m2 per lb.
func TestPounds(t *testing.T) {
	for basis, want := range map[Basis]float64{Bond: 3.7597, BookText: 1.4801, Cover: 2.7041, IndexCard: 1.8080} {
		if got := basis.GSM(1); math.Abs(got-want) > 0.00005 {
			t.Errorf("a pound of %s is %.5f g/m2, want %.4f", basis, got, want)
		}
	}
	for text, want := range map[string]float64{
		"16lb-bond": 60.16, "20lb-bond": 75.19, "24lb-bond": 90.23, "28lb-bond": 105.27, "32lb-bond": 120.31,
		"60lb-text": 88.81, "60lb-bond": 225.58, "65lb-cover": 175.77, "110lb-index": 198.88, "80": 80, "80g": 80, " 80G ": 80,
	} {
		var w Weight
		if err := w.UnmarshalText([]byte(text)); err != nil || math.Abs(w.GSM-want) > 0.006 {
			t.Errorf("%s is %.2f g/m2 (%v), want %.2f", text, w.GSM, err, want)
		}
		var again Weight
		if err := again.UnmarshalText([]byte(w.String())); err != nil || again != w {
			t.Errorf("%s is written as %s and read again as %v (%v)", text, w, again, err)
		}
	}
	// A sheet of A4 of 80 g/m2 weighs 4.99 g, derived.
	if grams := 80 * 0.210 * 0.297; math.Abs(grams-4.99) > 0.005 {
		t.Errorf("a sheet of A4 weighs %.3f g", grams)
	}
}

func TestWeightsRefused(t *testing.T) {
	for text, want := range map[string]string{
		"60lb":       `weight "60lb" does not name the kind of paper that the pounds belong to; write 60lb-bond (226 g/m2), 60lb-text (89 g/m2), 60lb-cover (162 g/m2) or 60lb-index (108 g/m2)`,
		"60lb-card":  "does not name the kind",
		"60lbbond":   "does not name the kind",
		"heavy":      "is not a weight of paper",
		"":           "is not a weight of paper",
		"-80":        "is not a weight of paper",
		"nan":        "is not a weight of paper",
		"lb-bond":    "is not a weight of paper",
		"5":          "would be 5 g/m2; paper for books is between 20 and 500 g/m2",
		"200lb-bond": "would be 752 g/m2",
	} {
		var w Weight
		err := w.UnmarshalText([]byte(text))
		if refusal.Of(err) != refusal.Use {
			t.Errorf("%q is taken as %v (%v)", text, w, err)
			continue
		}
		if got := err.Error() + "; " + refusal.Hint(err).String(); !strings.Contains(got, want) {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

// Paper merchants' figures, "guide only": 20 lb bond 0.097 mm, 24 lb 0.12 mm,
// 80 g/m2 writing paper about 0.10 mm.
func TestEstimatedCaliper(t *testing.T) {
	for text, want := range map[string]float64{"20lb-bond": 0.097, "24lb-bond": 0.12, "80": 0.10} {
		var w Weight
		if err := w.UnmarshalText([]byte(text)); err != nil {
			t.Fatal(err)
		}
		c := w.Caliper()
		if math.Abs(c.Usual-want) > 0.005 || c.Least > want || c.Most < want || c.IsExact() {
			t.Errorf("%s is estimated as %v, want about %.3f", text, c, want)
		}
	}
	if c := MeasuredCaliper(0.1); !c.IsExact() || c.Times(40).Usual != 4 {
		t.Errorf("a measured caliper is %v", c)
	}
}

// Bulk is the thickness of 8 pages times pages / 8 (paper merchant's table):
// 0.016 in gives 500 pages to the inch, and 320 pages are 0.64 in.
func TestBulk(t *testing.T) {
	leaf := MeasuredCaliper(0.016 * geom.Inch / 4)
	if got := leaf.Times(320/2).Usual / geom.Inch; math.Abs(got-0.64) > 1e-9 {
		t.Errorf("320 pages are %.4f in thick, want 0.64", got)
	}
	if got := leaf.Times(500/2).Usual / geom.Inch; math.Abs(got-1) > 1e-9 {
		t.Errorf("500 pages are %.4f in thick, want 1", got)
	}
}
