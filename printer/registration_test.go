package printer_test

import (
	"math"
	"testing"

	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// misprinting is a printer with every error that a registration knows.
var misprinting = virtual.Errors{
	Shift:         geom.Point{X: 1.7, Y: -2.3},
	Second:        geom.Point{X: -0.6, Y: 1.1},
	Stretch:       geom.Point{X: 0.008, Y: -0.004},
	SecondStretch: geom.Point{X: 0.003, Y: -0.009},
}

// TestCorrectionUndoesEveryError prints a mark on the front and the back of a
// sheet with a misprinting printer of every kind, with a correction worked out
// from its errors, and finds both where they were planned.
func TestCorrectionUndoesEveryError(t *testing.T) {
	sheet := geom.Size{W: 210, H: 297}
	mark := geom.Point{X: 13, Y: 31}
	e := misprinting
	scale := printer.Scalings{
		Front: printer.Scaling{Across: 1 + e.Stretch.X, Along: 1 + e.Stretch.Y},
		Back:  printer.Scaling{Across: 1 + e.SecondStretch.X, Along: 1 + e.SecondStretch.Y},
	}
	for _, facts := range virtual.All() {
		p, err := virtual.New[printer.Image](facts)
		if err != nil {
			t.Fatal(err)
		}
		var files [][]printer.Image
		for _, f := range facts.Files(1, true) {
			files = append(files, f.Images)
		}
		done, err := p.WithErrors(e).Make(files...)
		if err != nil {
			t.Fatal(err)
		}
		// Seen through from the front, right stays right if the sheet was turned
		// about its short edge, up stays up if about its long edge.
		registration := printer.Registration{Both: printer.Shift{Right: e.Shift.X, Up: e.Shift.Y}}
		if facts.FlipEdge == printer.LongEdge {
			registration.Back = printer.Shift{Right: -e.Second.X, Up: e.Second.Y}
		} else {
			registration.Back = printer.Shift{Right: e.Second.X, Up: -e.Second.Y}
		}
		for _, seen := range []virtual.Seen[printer.Image]{done[0].Front, done[0].Back} {
			inFile := printer.Correction(sheet, seen.Image.Side, seen.Image.HalfTurn, registration, scale).Apply(mark)
			got := seen.Place(inFile, sheet)
			if math.Hypot(got.X-mark.X, got.Y-mark.Y) > 1e-9 {
				t.Errorf("%+v: a mark planned at %v of the %s lies at %v", facts, mark, seen.Image.Side, got)
			}
		}
	}
}

// TestOffsetChangesItsSignOnTheBack: "the left offset when the sheet turns
// about the long edge, the top offset when about the short edge" (a printer
// language's reference on calibration offsets).
func TestOffsetChangesItsSignOnTheBack(t *testing.T) {
	sheet := geom.Size{W: 210, H: 297}
	both := printer.Registration{Both: printer.Shift{Right: 2, Up: 3}}
	middle := sheet.Rect().Centre()
	on := func(side reorder.Side, halfTurn bool) geom.Point {
		m := printer.Correction(sheet, side, halfTurn, both, printer.Scalings{})
		if halfTurn {
			m = m.Then(geom.HalfTurn(sheet)) // as it lies on the sheet
		}
		p := m.Apply(middle)
		by := geom.Point{X: p.X - middle.X, Y: p.Y - middle.Y}
		if side == reorder.Back {
			by.X = -by.X // seen through from the front
		}
		return by
	}
	front := on(reorder.Front, false)
	if long := on(reorder.Back, false); long.X != -front.X || long.Y != front.Y {
		t.Errorf("turned about the long edge: front %v, back %v", front, long)
	}
	if short := on(reorder.Back, true); short.X != front.X || short.Y != -front.Y {
		t.Errorf("turned about the short edge: front %v, back %v", front, short)
	}
}
