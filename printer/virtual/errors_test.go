package virtual

import (
	"math"
	"testing"

	"foldwright/printer"
	"foldwright/reorder/geom"
)

// A printer that puts everything 2 mm to the right and 3 mm up: on the sheet,
// seen through from the front, the back's offset changes its sign across if
// the sheet turns about its long edge and along if about its short edge (a
// printer language's reference on calibration offsets).
func TestShiftOnTheBack(t *testing.T) {
	size := geom.Size{W: 210, H: 297}
	middle := geom.Point{X: 105, Y: 148.5}
	for edge, want := range map[printer.FlipEdge]geom.Point{
		printer.LongEdge: {X: -2, Y: 3}, printer.ShortEdge: {X: 2, Y: -3},
	} {
		f := usual
		f.FlipEdge = edge
		done, err := mustNew(t, f).WithErrors(Errors{Shift: geom.Point{X: 2, Y: 3}}).Make([]int{1}, []int{2})
		if err != nil {
			t.Fatal(err)
		}
		front, back := done[0].Front.Place(middle, size), done[0].Back.Place(middle, size)
		if front != (geom.Point{X: 107, Y: 151.5}) {
			t.Errorf("flip-edge %s: the front's middle lies at %v", edge, front)
		}
		if got := (geom.Point{X: 105 - back.X, Y: back.Y - 148.5}); got != want {
			t.Errorf("flip-edge %s: the back's middle lies %v off", edge, got)
		}
	}
}

func TestStretchAndAskew(t *testing.T) {
	size := geom.Size{W: 200, H: 300}
	e := Errors{
		Stretch: geom.Point{X: 0.01}, SecondStretch: geom.Point{Y: -0.02},
		SecondAskew: math.Pi / 2, Second: geom.Point{X: 1},
		Wander: func() geom.Point { return geom.Point{Y: 0.5} },
	}
	f := usual
	f.FlipEdge = printer.LongEdge
	done, err := mustNew(t, f).WithErrors(e).Make([]int{1}, []int{2})
	if err != nil {
		t.Fatal(err)
	}
	near := func(a, b geom.Point) bool { return math.Hypot(a.X-b.X, a.Y-b.Y) < 1e-9 }
	if got := done[0].Front.Place(geom.Point{X: 200, Y: 300}, size); !near(got, geom.Point{X: 201, Y: 300}) {
		t.Errorf("the front's corner lies at %v", got)
	}
	// 100 to the right and 150 up becomes 147 to the left and 100 up, shifted by 1 and 0.5.
	if got := done[0].Back.Place(geom.Point{X: 200, Y: 300}, size); !near(got, geom.Point{X: 100 - 147 + 1, Y: 150 + 100 + 0.5}) {
		t.Errorf("the back's corner lies at %v", got)
	}
}

// A printer that does not look prints over a print; the first stays the side's own.
func TestOverprinting(t *testing.T) {
	p := mustNew(t, usual).WithOverprinting().WithReload(printer.TurnLong)
	done, err := p.Make([]int{1}, []int{2})
	if err != nil {
		t.Fatal(err)
	}
	front := done[0].Front
	if front.Image != 1 || front.Over == nil || front.Over.Image != 2 || front.Over.Over != nil || done[0].Back.Printed {
		t.Errorf("%+v", done[0])
	}
}
