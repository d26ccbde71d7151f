package testsheet

import (
	"math"
	"testing"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// papers are those that the sheet is made for, smallest first.
var papers = []string{"a5", "iso-b5", "executive", "a4", "letter", "legal", "a3"}

func parsed(t *testing.T, name string) reorder.Paper {
	t.Helper()
	paper, err := reorder.ParsePaper(name)
	if err != nil {
		t.Fatal(err)
	}
	return paper
}

func distance(a, b geom.Point) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

func TestCornersGoClockwiseFromTheHeadsLeft(t *testing.T) {
	for _, name := range papers {
		paper := parsed(t, name)
		w, h := paper.Size.W, paper.Size.H
		for i, near := range []geom.Point{{X: 0, Y: h}, {X: w, Y: h}, {X: w, Y: 0}, {X: 0, Y: 0}} {
			at := Corner(paper, i)
			if d := distance(at, near); d > 36 {
				t.Errorf("%s: corner %d is %.1f mm away from its corner of the sheet", name, i, d)
			}
			// A pin through a mark of the front comes out at (W - x, y) of the
			// back and hits a mark there, whichever way the back is turned.
			if got := Corner(paper, i^1); distance(got, geom.Point{X: w - at.X, Y: at.Y}) > 1e-9 {
				t.Errorf("%s: the pin at corner %d comes out beside the mark", name, i)
			}
			if distance(LetterAt(paper, i), NumberAt(paper, i)) < 10 {
				t.Errorf("%s: letter and number of corner %d cover each other", name, i)
			}
			for j := range Letters {
				if j != i && distance(at, NumberAt(paper, j)) < distance(at, NumberAt(paper, i))+20 {
					t.Errorf("%s: the number of corner %d is as near to the mark of corner %d", name, j, i)
				}
			}
			for _, edge := range []float64{at.X, at.Y, w - at.X, h - at.Y} {
				if edge < 16+markRadius {
					t.Errorf("%s: the mark of corner %d reaches into the outer 16 mm", name, i)
				}
			}
		}
	}
}

func TestRulersAreWholeCentimetresFromMarkToMark(t *testing.T) {
	for _, c := range []struct {
		paper         string
		across, along float64
	}{{"a4", 170, 250}, {"letter", 170, 230}, {"a5", 100, 170}} {
		paper := parsed(t, c.paper)
		across, along := Rulers(paper)
		if across.Length != c.across || along.Length != c.along {
			t.Errorf("%s: %g and %g mm", c.paper, across.Length, along.Length)
		}
		if distance(across.End(), Corner(paper, 1)) > 1e-9 || distance(along.End(), Corner(paper, 0)) > 1e-9 {
			t.Errorf("%s: a ruler does not end in a mark", c.paper)
		}
	}
}

func TestLadderStepsStandAtTheirDistance(t *testing.T) {
	for _, name := range papers {
		paper := parsed(t, name)
		for i, l := range Ladders(paper) {
			for step := 1; step <= LadderSteps; step++ {
				m := l.Step(step).Middle()
				d := [4]float64{paper.Size.H - m.Y, paper.Size.W - m.X, m.Y, m.X}[i]
				if math.Abs(d-float64(step)) > 1e-9 {
					t.Errorf("%s: step %d at the %s stands %.2f mm from it", name, step, l.Edge, d)
				}
			}
		}
	}
}

func TestSmallPaperIsRefused(t *testing.T) {
	if err := Check(parsed(t, "a6")); refusal.Of(err) != refusal.Plan || refusal.Hint(err).IsZero() {
		t.Errorf("a6: %v", err)
	}
	for _, name := range papers {
		if err := Check(parsed(t, name)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}
