package printtest

import (
	"math"
	"testing"

	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// The verniers resolve 0.25 mm (issue 4, part 1) in both directions, whichever
// way the back is turned, and sizes of the image that differ by up to a
// percent on the two faces can be taken out.
func TestVerniersReadTheShift(t *testing.T) {
	for _, name := range []string{"a4", "letter"} {
		paper := parsed(t, name)
		size := paper.Size
		centre := testsheet.Circle(paper)
		for _, turned := range []bool{false, true} {
			for _, scale := range []float64{1, 0.99, 1.01} {
				for shift := -3.0; shift <= 3; shift += 0.1 {
					dx, dy := shift, -shift/2
					back := func(p geom.Point) geom.Point {
						p = geom.Point{X: centre.X + (p.X-centre.X)*scale, Y: centre.Y + (p.Y-centre.Y)*scale}
						if turned {
							p = geom.HalfTurn(size).Apply(p)
						}
						return geom.Point{X: size.W - p.X + dx, Y: p.Y + dy}
					}
					for _, v := range testsheet.Verniers(paper) {
						want := dx
						if v.Edge == geom.Right || v.Edge == geom.Left {
							want = dy
						}
						got, ok := ReadVernier(v, paper, func(p geom.Point) geom.Point { return p }, back)
						if !ok {
							t.Fatalf("%s, %s: nothing to read at shift %.1f", name, v.Edge, shift)
						}
						limit := testsheet.Resolution/2 + 1e-9
						if scale != 1 {
							got = got / testsheet.Resolution * (testsheet.FrontPitch - testsheet.BackPitch*scale)
							limit = 0.2
						}
						if math.Abs(got-want) > limit && math.Abs(want) <= v.Range()-testsheet.Resolution {
							t.Errorf("%s, %s, back at %.2f: shift %.2f is read as %.2f", name, v.Edge, scale, want, got)
						}
					}
				}
			}
		}
	}
}

func TestVerniersReadLargeShiftsRoughly(t *testing.T) {
	paper := parsed(t, "a4")
	shifted := func(by float64) func(geom.Point) geom.Point {
		return func(p geom.Point) geom.Point { return geom.Point{X: 210 - p.X + by, Y: p.Y} }
	}
	same := func(p geom.Point) geom.Point { return p }
	head := testsheet.Verniers(paper)[0]
	if got, ok := ReadVernier(head, paper, same, shifted(-7.4)); !ok || got != -7.5 {
		t.Errorf("-7.4 mm is read as %g, %v", got, ok)
	}
	if _, ok := ReadVernier(head, paper, same, shifted(30)); ok {
		t.Error("a shift of 30 mm is read off the scale")
	}
}

func parsed(t *testing.T, name string) reorder.Paper {
	t.Helper()
	paper, err := reorder.ParsePaper(name)
	if err != nil {
		t.Fatal(err)
	}
	return paper
}
