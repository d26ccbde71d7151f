package drawing

import (
	"html"
	"math"
	"slices"
	"testing"

	"foldwright/printer"
)

// numbersDrawn are the numbers in a drawing of a pin, where they stand.
func numbersDrawn(t *testing.T, d Drawing) map[string]point {
	t.Helper()
	out := map[string]point{}
	for _, m := range inText.FindAllStringSubmatch(string(Append(nil, d, "d")), -1) {
		if text := html.UnescapeString(m[7]); slices.Contains(backCorners, text) {
			out[text] = point{number(m[1]), number(m[2])}
		}
	}
	if len(out) != 4 {
		t.Fatalf("%+v: numbers at %v", d, out)
	}
	return out
}

// TestThePinFindsItsNumber: beside the hole in the drawing stands the number that the drawing is about, worked
// out here with a sheet of two faces: a pin that goes in at the upper left comes out at the upper right of the
// other side, turned over like a page, and at the same place where both prints are on one side.
func TestThePinFindsItsNumber(t *testing.T) {
	seen := map[string]bool{}
	for i := range 4 {
		p := Pin{i&1 > 0, i&2 > 0}
		hole := point{174 + 96, 22}
		if p.OneFace {
			hole = point{30, 22}
		}
		nearest, near := "", math.Inf(1)
		for text, at := range numbersDrawn(t, p) {
			if d := math.Hypot(at.x-hole.x, at.y-hole.y); d < near {
				nearest, near = text, d
			}
		}
		if nearest != p.Number() {
			t.Errorf("%+v: the drawing shows %s at the hole", p, nearest)
		}
		seen[nearest] = true
	}
	if len(seen) != 4 {
		t.Errorf("only %v are drawn", seen)
	}
}

// TestTheVernierMeetsWhereItSays: at the reading a line of the front stands on one of the back, and nowhere near it
// on another one.
func TestTheVernierMeetsWhereItSays(t *testing.T) {
	for meets := -8; meets <= 8; meets++ {
		l := Light{4, 3.75, float64(meets) * 0.25}
		for f := -8; f <= 8; f++ {
			off := math.Inf(1)
			for b := -9; b <= 9; b++ {
				off = min(off, math.Abs(float64(f)*l.Front-(float64(b)*l.Back+l.Reading)))
			}
			if far := f - l.Meets(); far < 15 && far > -15 && (off < 0.01) != (far == 0) { // 15 lines of the front are as long as 16 of the back
				t.Errorf("reading %g: line %d is off by %g, and %d is said to meet", l.Reading, f, off, l.Meets())
			}
		}
	}
}

// TestEveryStackTurnsUnderTheHand: the four ways of putting a stack back are four drawings.
func TestEveryStackTurnsUnderTheHand(t *testing.T) {
	seen := map[string]bool{}
	for r := printer.AsDelivered; r <= printer.TurnShort; r++ {
		seen[string(Append(nil, Move{Stack{Where: Delivery, Sheets: 3, Up: Either, Under: Either}, r, Tray}, "d"))] = true
	}
	if len(seen) != 4 {
		t.Errorf("%d drawings", len(seen))
	}
}
