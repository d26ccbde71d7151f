package paper_test

import (
	"errors"
	"testing"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
)

func onePile(t *testing.T, s paper.Sheet) paper.Pile {
	t.Helper()
	p, err := paper.NewPile([]paper.Sheet{s})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A fold that isn't in the middle leaves part of the lower layer to be seen.
func TestFoldOffTheMiddle(t *testing.T) {
	up := geom.Point{Y: 1}
	s := paper.Sheet{Size: tall,
		Front: []paper.Mark{{"left", geom.Point{X: 10, Y: 50}, up}, {"middle", geom.Point{X: 100, Y: 50}, up}, {"right", geom.Point{X: 200, Y: 50}, up}},
		Back:  []paper.Mark{{"behind left", geom.Point{X: 200, Y: 90}, up}, {"behind right", geom.Point{X: 10, Y: 90}, up}},
	}
	for _, c := range []struct {
		over  reorder.Over
		at    float64
		width float64
		want  map[string]geom.Point
	}{
		{reorder.RightOverLeft, 150, 150, map[string]geom.Point{"left": {X: 10, Y: 50}, "behind right": {X: 100, Y: 90}}},
		{reorder.LeftOverRight, 60, 150, map[string]geom.Point{"right": {X: 140, Y: 50}, "behind left": {X: 50, Y: 90}}},
		{reorder.RightOverLeft, 80, 130, map[string]geom.Point{"behind right": {X: 10, Y: 90}}},
	} {
		p := onePile(t, s).Fold(c.over, c.at)
		if !isSame(p.Size().W, c.width) {
			t.Errorf("%s at %g: %g mm wide, want %g", c.over, c.at, p.Size().W, c.width)
		}
		for _, m := range p.UppermostMarks() {
			if want, ok := c.want[m.Label]; !ok || !isSame(m.At.X, want.X) || !isSame(m.At.Y, want.Y) {
				t.Errorf("%s at %g: %s is seen at %v, want %v", c.over, c.at, m.Label, m.At, want)
			}
			delete(c.want, m.Label)
		}
		if len(c.want) > 0 {
			t.Errorf("%s at %g: not seen: %v", c.over, c.at, c.want)
		}
	}
}

// A mark on a fold belongs to one of the two pages, one on the sheet's edge is not lost.
func TestMarksOnLines(t *testing.T) {
	up := geom.Point{Y: 1}
	s := paper.Sheet{Size: tall, Front: []paper.Mark{
		{"fold", geom.Point{X: 105, Y: 10}, up}, {"edge", geom.Point{X: 210, Y: 20}, up},
		{"head", geom.Point{X: 50, Y: 297}, up}, {"corner", geom.Point{}, up},
	}}
	found := map[string]int{}
	for _, f := range onePile(t, s).Fold(reorder.RightOverLeft, 105).Faces(geom.Right) {
		for _, m := range f.Marks {
			found[m.Label]++
		}
	}
	for _, m := range s.Front {
		if found[m.Label] != 1 {
			t.Errorf("%s is found %d times", m.Label, found[m.Label])
		}
	}
}

func TestNearOverFarIsFarOverNearFromTheOtherSide(t *testing.T) {
	s := cockerellOctavo.sheet(broad)
	one := onePile(t, s).Fold(reorder.NearOverFar, 148.5)
	other := onePile(t, s).Rotate(2).Fold(reorder.FarOverNear, 148.5).Rotate(2)
	if a, b := labels(one.UppermostMarks()), labels(other.UppermostMarks()); a != b || a == "" {
		t.Errorf("%q and %q are uppermost", a, b)
	}
}

func TestHeld(t *testing.T) {
	s := paper.Sheet{Size: tall}
	folio := onePile(t, s).Fold(reorder.RightOverLeft, 105)
	if err := folio.CheckHeld(geom.Right); err != nil {
		t.Errorf("at its fold: %v", err)
	}
	if err := folio.CheckHeld(geom.Left); !errors.Is(err, paper.ErrLoose) {
		t.Errorf("at its fore-edge: %v", err)
	}
	left, right := onePile(t, s).Cut(reorder.Upright, 105)
	if err := right.TurnOver().LayOn(left).CheckHeld(geom.Right); !errors.Is(err, paper.ErrLoose) {
		t.Errorf("cut instead of folded: %v", err)
	}
	// The fold of the outer sheet is cut away; what is left is too narrow to reach the inner one's fold.
	narrow, _ := folio.Cut(reorder.Upright, 80)
	outer, inner := narrow.Singly(), folio
	around := outer[0].LayOn(inner).LayOn(outer[1])
	if err := around.CheckHeld(geom.Right); !errors.Is(err, paper.ErrLoose) {
		t.Errorf("fold cut away: %v", err)
	}
	// The second fold crosses the first: half of the leaves hang on a bolt only.
	if err := onePile(t, s).Fold(reorder.RightOverLeft, 105).Fold(reorder.FarOverNear, 148.5).CheckHeld(geom.Right); !errors.Is(err, paper.ErrLoose) {
		t.Errorf("held at the first of two folds: %v", err)
	}
}

func TestIntoRefuses(t *testing.T) {
	s := paper.Sheet{Size: tall}
	folio, quarto := onePile(t, s).Fold(reorder.RightOverLeft, 105), onePile(t, s).Fold(reorder.RightOverLeft, 105).Fold(reorder.FarOverNear, 148.5)
	if _, err := quarto.InsertInto(folio); !errors.Is(err, paper.ErrNest) {
		t.Errorf("a quarto into a folio: %v", err)
	}
	if _, err := onePile(t, s).InsertInto(onePile(t, s)); !errors.Is(err, paper.ErrNest) {
		t.Errorf("into a flat sheet: %v", err)
	}
}

// The hands give back a new pile and leave the old one alone.
func TestPilesStayAsTheyAre(t *testing.T) {
	p := onePile(t, cockerellOctavo.sheet(broad))
	before := labels(p.UppermostMarks())
	p.TurnOver()
	p.Fold(reorder.RightOverLeft, 105)
	p.Cut(reorder.Level, 100)
	p.Rotate(3)
	if after := labels(p.UppermostMarks()); after != before || p.Size() != tall {
		t.Errorf("%s, %s became %s, %s", before, tall, after, p.Size())
	}
}
