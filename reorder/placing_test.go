package reorder

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"foldwright/reorder/geom"
)

var (
	a4 = geom.Size{W: 210, H: 297}
	a5 = geom.Size{W: 148, H: 210}
)

func uniform(s geom.Size) func(int) geom.Size { return func(int) geom.Size { return s } }

// shown is where a page's box comes to lie, in the frame of its panel as the
// page is read: distances to the spine, fore-edge, head and tail of the panel.
type shown struct{ spine, fore, head, tail float64 }

func (s shown) String() string {
	return fmt.Sprintf("spine %.2f fore %.2f head %.2f tail %.2f", s.spine, s.fore, s.head, s.tail)
}

// margins measures every placed page of a book against its panel.
func margins(t *testing.T, p Placement, size func(int) geom.Size) map[int]shown {
	t.Helper()
	out := map[int]shown{}
	side := func(panels []Panel, placed []Placed) {
		byPage := map[int]Panel{}
		for _, pn := range panels {
			byPage[pn.Page] = pn
		}
		for _, pl := range placed {
			pn := byPage[pl.Page]
			b := pl.Matrix.Bounds(size(pl.Page).Rect())
			to := map[geom.Towards]float64{geom.Up: pn.Rect.Y1 - b.Y1, geom.Down: b.Y0 - pn.Rect.Y0, geom.Left: b.X0 - pn.Rect.X0, geom.Right: pn.Rect.X1 - b.X1}
			opposite := map[geom.Towards]geom.Towards{geom.Up: geom.Down, geom.Down: geom.Up, geom.Left: geom.Right, geom.Right: geom.Left}
			out[pl.Page] = shown{to[pn.Spine], to[opposite[pn.Spine]], to[pn.Head], to[opposite[pn.Head]]}
			if up := pl.Matrix.Direction(geom.Point{X: 0, Y: 1}); size(pl.Page).W < size(pl.Page).H && geom.TowardsOf(geom.Point{X: up.X / math.Hypot(up.X, up.Y), Y: up.Y / math.Hypot(up.X, up.Y)}) != pn.Head {
				t.Errorf("page %d does not stand with its head %s", pl.Page, pn.Head)
			}
			if pl.Clip != pn.Rect {
				t.Errorf("page %d is clipped to %v, not to its panel %v", pl.Page, pl.Clip, pn.Rect)
			}
		}
	}
	for _, s := range p.Sheets {
		side(s.Sheet.Front, s.Front)
		side(s.Sheet.Back, s.Back)
	}
	return out
}

func place(t *testing.T, p Placing, pages int, size func(int) geom.Size) Placement {
	t.Helper()
	book, err := Arrange(a4, FolioForm, numbered(pages), [][]int{{(pages + 3) / 4}})
	if err != nil {
		t.Fatal(err)
	}
	out, err := p.Place(book, size)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func expectMargins(t *testing.T, got map[int]shown, want shown) {
	t.Helper()
	for page, m := range got {
		for _, d := range []float64{m.spine - want.spine, m.fore - want.fore, m.head - want.head, m.tail - want.tail} {
			if math.Abs(d) > 0.005 {
				t.Errorf("page %d stands at %v, want %v", page, m, want)
				break
			}
		}
	}
}

func TestA5OnHalfAnA4IsFullSize(t *testing.T) {
	p := place(t, Placing{Stand: AgainstSpine, Wide: WideTurn}, 8, uniform(a5))
	if math.Abs(p.Scale-1) > 1e-9 {
		t.Errorf("scale is %v", p.Scale)
	}
	expectMargins(t, margins(t, p, uniform(a5)), shown{0, 0.5, 0, 0})
}

func TestFitEnlarges(t *testing.T) {
	a6 := geom.Size{W: 105, H: 148}
	p := place(t, Placing{Stand: AgainstSpine}, 8, uniform(a6))
	if want := 148.5 / 105; math.Abs(p.Scale-want) > 1e-9 {
		t.Errorf("scale is %v, want %v", p.Scale, want)
	}
}

func TestGutterStandsAtTheFoldOfRectosAndVersos(t *testing.T) {
	p := place(t, Placing{Scale: 0.9, Stand: AgainstSpine, Gutter: 5}, 8, uniform(a5))
	w, h := 148*0.9, 210*0.9
	expectMargins(t, margins(t, p, uniform(a5)), shown{5, 148.5 - 5 - w, (210 - h) / 2, (210 - h) / 2})
	p = place(t, Placing{Scale: 0.9, Stand: InMiddle, Gutter: 5}, 8, uniform(a5))
	spare := 148.5 - 5 - w
	expectMargins(t, margins(t, p, uniform(a5)), shown{5 + spare/2, spare / 2, (210 - h) / 2, (210 - h) / 2})
}

func TestGutterMakesFitSmaller(t *testing.T) {
	p := place(t, Placing{Stand: AgainstSpine, Gutter: 10}, 8, uniform(a5))
	if want := 138.5 / 148; math.Abs(p.Scale-want) > 1e-9 {
		t.Errorf("scale is %v, want %v", p.Scale, want)
	}
}

// TestClassicMargins is check-value 1.15: "the back margin should be the
// smallest, the head margin the next, the fore-edge a little wider, and the
// tail widest of all" (Cockerell 1901, p. 42).
func TestClassicMargins(t *testing.T) {
	for name, box := range map[string]geom.Size{"a5": a5, "narrow": {W: 120, H: 190}, "text block": {W: 100, H: 150}, "square": {W: 100, H: 100}, "wide": {W: 150, H: 100}, "high": {W: 80, H: 200}} {
		p := place(t, Placing{Stand: Classic}, 8, uniform(box))
		for page, m := range margins(t, p, uniform(box)) {
			if !(0 < m.spine && m.spine < m.head && m.head < m.fore && m.fore < m.tail) {
				t.Errorf("%s: page %d has margins %v", name, page, m)
			}
		}
		if len(p.Notes) > 0 {
			t.Errorf("%s: %v", name, p.Notes)
		}
	}
	// At full size nothing is spare, so the order cannot be kept; it is said.
	p := place(t, Placing{Stand: Classic, Scale: 1}, 4, uniform(a5))
	if len(p.Notes) != 4 || p.Notes[0].Kind != Uneven {
		t.Errorf("at full size: %v", p.Notes)
	}
}

func TestBoundRightPutsTheSpineOnTheOtherSide(t *testing.T) {
	form := FolioForm
	form.Bind = BindRight
	book, err := Arrange(a4, form, numbered(8), [][]int{{2}})
	if err != nil {
		t.Fatal(err)
	}
	p, err := Placing{Scale: 0.9, Stand: AgainstSpine, Gutter: 5}.Place(book, uniform(a5))
	if err != nil {
		t.Fatal(err)
	}
	expectMargins(t, margins(t, p, uniform(a5)), shown{5, 148.5 - 5 - 148*0.9, (210 - 189) / 2.0, (210 - 189) / 2.0})
}

func mixed(page int) geom.Size {
	switch page {
	case 3:
		return geom.Size{W: 210, H: 148} // a wide plate
	case 5:
		return geom.Size{W: 160, H: 240} // larger
	case 6:
		return geom.Size{W: 100, H: 150} // smaller
	}
	return a5
}

func TestMixedSizes(t *testing.T) {
	p := place(t, Placing{Stand: AgainstSpine, Wide: WideTurn}, 8, mixed)
	if p.Most != a5 || math.Abs(p.Scale-1) > 1e-9 {
		t.Errorf("most pages are %v, scale %v", p.Most, p.Scale)
	}
	want := []Note{{3, Turned, 0}, {5, Shrunk, 210.0 / 240}}
	if fmt.Sprint(p.Notes) != fmt.Sprint(want) {
		t.Errorf("notes are %v, want %v", p.Notes, want)
	}
	got := margins(t, p, mixed)
	expectMargins(t, map[int]shown{3: got[3], 1: got[1]}, shown{0, 0.5, 0, 0})
	expectMargins(t, map[int]shown{6: got[6]}, shown{0, 48.5, 30, 30})
	expectMargins(t, map[int]shown{5: got[5]}, shown{0, 8.5, 0, 0})
}

func TestWidePagesStandWithTheirHeadToTheLeft(t *testing.T) {
	p := place(t, Placing{Stand: AgainstSpine, Wide: WideTurn}, 8, mixed)
	for _, s := range p.Sheets {
		for _, side := range []struct {
			panels []Panel
			placed []Placed
		}{{s.Sheet.Front, s.Front}, {s.Sheet.Back, s.Back}} {
			for i, pl := range side.placed {
				if pl.Page != 3 {
					continue
				}
				// As the panel is read, left is a quarter turn from its head.
				left := geom.Towards(side.panels[i].Head.Quarters()+1)%4 + 1
				if up := geom.TowardsOf(pl.Matrix.Direction(geom.Point{X: 0, Y: 1})); up != left {
					t.Errorf("the wide page's head points %s, want %s", up, left)
				}
			}
		}
	}
	p = place(t, Placing{Stand: AgainstSpine, Wide: WideShrink}, 8, mixed)
	if len(p.Notes) != 2 || p.Notes[0] != (Note{3, Shrunk, 148.5 / 210}) {
		t.Errorf("shrunk instead of turned: %v", p.Notes)
	}
}

func TestEachPageFitsByItself(t *testing.T) {
	p := place(t, Placing{Stand: AgainstSpine, Wide: WideTurn, Each: true}, 8, mixed)
	got := margins(t, p, mixed)
	if m := got[6]; m.spine != 0 || math.Min(math.Abs(m.fore), math.Abs(m.head)) > 1e-9 {
		t.Errorf("the small page stands at %v", m)
	}
}

func TestWhatLeavesItsPanelIsRefused(t *testing.T) {
	book, err := Arrange(a4, FolioForm, numbered(8), [][]int{{2}})
	if err != nil {
		t.Fatal(err)
	}
	_, err = Placing{Scale: 1, Stand: AgainstSpine, Wide: WideTurn}.Place(book, mixed)
	var leaves *LeavesPanelError
	if !errors.As(err, &leaves) || err.Error() != "page 5 would not fit into the panel at 100 percent" {
		t.Fatalf("got %v", err)
	}
	if want := 210.0 / 240; math.Abs(leaves.Fits-want) > 1e-9 {
		t.Errorf("the scale that fits is %v, want %v", leaves.Fits, want)
	}
	if _, err := (Placing{Scale: Scale(leaves.Fits), Stand: AgainstSpine, Wide: WideTurn}).Place(book, mixed); err != nil {
		t.Errorf("at the scale that fits: %v", err)
	}
	p, err := Placing{Scale: 1, Stand: AgainstSpine, Wide: WideTurn, Clip: true}.Place(book, mixed)
	if err != nil || len(p.Notes) != 2 || p.Notes[1].Kind != Clipped {
		t.Errorf("clipped: %v, %v", p.Notes, err)
	}
	if _, err := (Placing{Stand: AgainstSpine, Gutter: 149}).Place(book, mixed); err == nil {
		t.Error("a gutter wider than the panel is taken")
	}
}

func TestPagesText(t *testing.T) {
	for want, pages := range map[string][]int{
		"page 7": {7}, "pages 1, 2": {1, 2}, "pages 1, 2, 3, 4, 5 and 2 more": {1, 2, 3, 4, 5, 6, 7},
	} {
		if got := PagesText(pages); got != want {
			t.Errorf("%v: %q, want %q", pages, got, want)
		}
	}
}
