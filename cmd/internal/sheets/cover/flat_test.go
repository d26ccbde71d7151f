package cover

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// bench is the figures of a book.
func bench(t *testing.T, name string, leaf geom.Size, bind reorder.Bind, m binding.Measured) binding.Sheet {
	t.Helper()
	rules, err := structure.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	book := binding.Book{Leaf: leaf, Bind: bind, Leaves: 160, Gatherings: 20, Sheets: 80, Caliper: reorder.OfficeCaliper, CaliperOf: "office paper", Paper: "iso_a4_210x297mm"}
	if rules.Sewn == binding.OneFold {
		book.Gatherings = 1
	}
	sheet, err := binding.Measure(book, binding.Options{Structure: rules, Measured: m})
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

var (
	measured = binding.Measured{Block: 16, Spine: 19.2, Board: 2.4}
	leaves   = []geom.Size{{W: 74, H: 105}, {W: 145.5, H: 204}, {W: 139.7, H: 215.9}, {W: 200, H: 140}}
	binds    = []reorder.Bind{reorder.BindLeft, reorder.BindRight, reorder.BindTop}
)

// eachFlat visits covers of all kinds, structures, sizes and edges of the spine.
func eachFlat(t *testing.T, visit func(name string, f Flat, s binding.Sheet)) {
	t.Helper()
	seen := 0
	for _, name := range structure.Names() {
		for _, leaf := range leaves {
			for _, bind := range binds {
				s := bench(t, name, leaf, bind, measured)
				for _, kind := range []Kind{Card, Case, Jacket, Label} {
					f, err := Lay(kind, s, Sizes{})
					if kind == Case && s.Structure.Cover == binding.Paper {
						if err == nil {
							t.Errorf("%s: a case without boards", name)
						}
						continue
					}
					if err != nil {
						t.Fatalf("%s, %s: %v", name, kind, err)
					}
					seen++
					visit(fmt.Sprintf("%s of %s, %s, spine at the %s", kind, leaf, name, bind), f, s)
				}
			}
		}
	}
	if seen < 200 {
		t.Fatalf("only %d covers", seen)
	}
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// The panels lie edge to edge, have widths, and add up to the sheet. That of a case is the cloth that the bench says.
func TestPanelsAddUp(t *testing.T) {
	eachFlat(t, func(name string, f Flat, s binding.Sheet) {
		at := 0.0
		for _, p := range f.Panels {
			if !near(p.X0, at) || p.Width() <= 0 {
				t.Errorf("%s: %s from %.2f to %.2f, where %.2f is reached", name, p.Part, p.X0, p.X1, at)
			}
			at = p.X1
		}
		if !near(at, f.Size.W) {
			t.Errorf("%s: panels up to %.2f on a sheet of %s", name, at, f.Size)
		}
		switch {
		case f.Kind == Case && (!near(f.Size.W, s.ClothW.Middle()) || !near(f.Size.H, s.ClothH.Middle())):
			t.Errorf("%s: %s, and the bench cuts cloth of %s x %s", name, f.Size, s.ClothW, s.ClothH)
		case f.Kind == Card && s.Structure.Cover == binding.Paper && s.Structure.Sewn != binding.Side:
			i := slices.IndexFunc(s.After, func(g binding.Figure) bool { return g.Name == "paper cover, flat" })
			flaps := 2 * s.Structure.TurnIn.Middle()
			if g := s.After[i]; !near(f.Size.W, g.Amount.Middle()+flaps) || !near(f.Size.H, g.Height.Middle()) {
				t.Errorf("%s: %s, and the bench has %s and flaps of %.0f mm", name, f.Size, g.Value, flaps)
			}
		}
	})
}

// around goes around the block in cross-section, as the cover lies when it is folded: from the middle of the spine, in mm.
// It returns where each panel of one half begins and ends, in the direction from the spine to the fore-edge, as long as it
// goes that way.
func around(f Flat, part Part) map[Part][2]float64 {
	middle := f.Size.W / 2
	out := map[Part][2]float64{}
	i := slices.IndexFunc(f.Panels, func(p Panel) bool { return p.Part == part })
	step := 1
	if f.Panels[i].X1 <= middle {
		step = -1
	}
	along := 0.0
	for k := slices.IndexFunc(f.Panels, func(p Panel) bool { return p.Part == Spine }) + step; k >= 0 && k < len(f.Panels); k += step {
		p := f.Panels[k]
		out[p.Part] = [2]float64{along, along + p.Width()}
		along += p.Width()
	}
	return out
}

// A cover folded around its book covers it: its spine lies on the spine, middle on middle; its sides end where the boards
// or the leaves with their squares do; what goes around a board is as wide as the board is thick, and what is turned in
// reaches further than around it. The front lies on the side of the book where it is read.
func TestFoldedCoverFitsTheBook(t *testing.T) {
	eachFlat(t, func(name string, f Flat, s binding.Sheet) {
		if f.Kind == Label {
			spine := s.SpineOver.Middle()
			if f.Size.W > spine || f.Size.H > s.Book.Leaf.H {
				t.Errorf("%s: a label of %s on a spine of %.1f mm", name, f.Size, spine)
			}
			return
		}
		spine, _ := f.Panel(Spine)
		if !near((spine.X0+spine.X1)/2, f.Size.W/2) {
			t.Errorf("%s: the spine is not in the middle", name)
		}
		want := s.SpineOver.Middle()
		if f.Kind != Card && s.Structure.Cover != binding.Paper && s.Structure.Spine == binding.Flat {
			want += 2 * s.Board.Middle()
		}
		if !near(spine.Width(), want) {
			t.Errorf("%s: a spine of %.2f for one of %.2f mm", name, spine.Width(), want)
		}
		square, boards := s.Structure.Square.Middle(), s.Structure.Cover != binding.Paper
		if f.Kind == Card && boards {
			square = 0 // flush with the leaves
		}
		if high := f.Size.H - 2*f.TurnIn; !near(high, s.Book.Leaf.H+2*square) {
			t.Errorf("%s: %.2f mm high for leaves of %.2f and squares of %.2f", name, high, s.Book.Leaf.H, square)
		}
		for _, part := range []Part{Front, Back} {
			lies := around(f, part)
			if !near(lies[part][1], s.Book.Leaf.W+square) {
				t.Errorf("%s: the %s ends %.2f mm from the spine, leaf and square at %.2f", name, part, lies[part][1], s.Book.Leaf.W+square)
			}
			if f.Kind == Case && !near(lies[part][0], s.Joint.Middle()) {
				t.Errorf("%s: the board begins %.2f mm from the spine, want the joint of %.2f", name, lies[part][0], s.Joint.Middle())
			}
			if f.Kind == Case && lies[TurnIn][1]-lies[TurnIn][0] < 3*s.Board.Middle() {
				t.Errorf("%s: a turn-in of %.2f mm around boards of %.2f", name, lies[TurnIn][1]-lies[TurnIn][0], s.Board.Middle())
			}
			if f.Kind == Jacket && boards && !near(lies[Edge][1]-lies[Edge][0], s.Board.Middle()) {
				t.Errorf("%s: %.2f mm around the edge of a board of %.2f", name, lies[Edge][1]-lies[Edge][0], s.Board.Middle())
			}
		}
		front, _ := f.Panel(Front)
		if isRight := front.X0 > f.Size.W/2; isRight != (s.Book.Bind != reorder.BindRight) {
			t.Errorf("%s: the front lies from %.1f mm", name, front.X0)
		}
	})
}

// VAUGHN p. 118: cloth is two boards, the back, two joints and 1 1/2 in wide, and the board and 1 1/2 in high.
func TestCaseIsVaughns(t *testing.T) {
	s := bench(t, "case", geom.Size{W: 146, H: 203.2}, reorder.BindLeft, measured)
	f, err := Lay(Case, s, Sizes{})
	if err != nil {
		t.Fatal(err)
	}
	if want := 2*s.BoardW.Middle() + 19.2 + 2*s.Joint.Middle() + 1.5*geom.Inch; !near(f.Size.W, want) {
		t.Errorf("%.3f mm wide, want %.3f", f.Size.W, want)
	}
	if want := s.BoardH.Middle() + 1.5*geom.Inch; !near(f.Size.H, want) {
		t.Errorf("%.3f mm high, want %.3f", f.Size.H, want)
	}
}

// Pictures on front and back leave no gap between them and the spine, and none to the edges; a flap stays free.
func TestPicturesReachAsFarAsTheyShould(t *testing.T) {
	eachFlat(t, func(name string, f Flat, s binding.Sheet) {
		if f.Kind == Label {
			return
		}
		const bleed = 3.0
		spine, _ := f.Panel(Spine)
		for _, part := range []Part{Front, Back} {
			area, _ := f.PictureArea(part, bleed)
			panel, _ := f.Panel(part)
			inner, outer := area.X0, area.X1
			edge := f.Size.W + bleed
			meets := spine.X1
			if panel.X0 < f.Size.W/2 {
				inner, outer, edge, meets = area.X1, area.X0, -bleed, spine.X0
			}
			if f.Panels[0].Part == Flap {
				flap := f.Panels[len(f.Panels)-1].X0
				if edge < 0 {
					flap = f.Panels[0].X1
				}
				edge = flap
			}
			if !near(inner, meets) || !near(outer, edge) || !near(area.Y0, -bleed) || !near(area.Y1, f.Size.H+bleed) {
				t.Errorf("%s: the %s covers %.1f; the spine ends at %.1f, and it should reach %.1f", name, part, area, meets, edge)
			}
		}
	})
}

// Nothing is cut by an estimate, and what is measured is asked for by its option.
func TestEstimatesAreNotCutBy(t *testing.T) {
	for _, c := range []struct {
		structure string
		kind      Kind
		m         binding.Measured
		o         Sizes
		want      []string
	}{
		{"case", Case, binding.Measured{}, Sizes{}, []string{"spine", "board"}},
		{"case", Case, binding.Measured{Block: 16}, Sizes{}, []string{"spine", "board"}}, // the thread swells it
		{"case", Case, binding.Measured{Spine: 19}, Sizes{}, []string{"board"}},
		{"case", Jacket, binding.Measured{Spine: 19, Board: 2}, Sizes{}, nil},
		{"flat-back", Card, binding.Measured{Block: 16}, Sizes{}, []string{"spine"}},
		{"flat-back", Card, binding.Measured{Spine: 19}, Sizes{}, nil},
		{"pamphlet", Card, binding.Measured{}, Sizes{}, []string{"block-thickness"}},
		{"pamphlet", Card, binding.Measured{Block: 16}, Sizes{}, nil},
		{"long-stitch", Jacket, binding.Measured{Block: 16}, Sizes{}, nil},
		{"case", Label, binding.Measured{}, Sizes{}, []string{"spine"}},
		{"case", Label, binding.Measured{}, Sizes{Label: OnFront}, nil},
		{"case", Label, binding.Measured{}, Sizes{Size: geom.Size{W: 10, H: 60}}, nil},
	} {
		s := bench(t, c.structure, leaves[1], reorder.BindLeft, c.m)
		var got []string
		for _, l := range Lacks(c.kind, s, c.m, c.o) {
			got = append(got, l.Key)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s, %s, %+v: lacks %q, want %q", c.structure, c.kind, c.m, got, c.want)
		}
		// Whatever lacks nothing has a spine that is known.
		if len(got) == 0 && c.kind != Label && !s.SpineOver.IsExact() {
			t.Errorf("%s, %s, %+v: the spine is %s", c.structure, c.kind, c.m, s.SpineOver)
		}
	}
}
