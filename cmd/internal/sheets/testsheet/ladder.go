package testsheet

import "foldwright/reorder"

// LadderSteps is the number of steps of a ladder. Step 1 ends 1 mm from the
// edge, step 16 ends 16 mm from it.
const LadderSteps = 16

const (
	stepWidth = 2.2  // mm
	stepPitch = 2.7  // mm
	stepFoot  = 17.0 // mm from the edge: where all steps begin
)

// Ladder is a row of bars at one edge, on both faces the same. Each bar ends
// in a black line, 1 mm further from the edge than the one before: the
// lines that are missing tell how far the printer reaches.
type Ladder struct {
	Edge  Edge
	place place
}

// Ladders are the ladders of a side, in the order of [Edges].
func Ladders(paper reorder.Paper) [4]Ladder {
	var out [4]Ladder
	for i, e := range Edges {
		out[i] = Ladder{e, placeAt(e, paper.Size.Rect())}
	}
	return out
}

// Step is the black line at the end of a step, 1 to [LadderSteps], which is its
// distance from the edge in mm.
func (l Ladder) Step(step int) Segment {
	x := l.stepX(step)
	return Segment{
		l.place.at(x-stepWidth/2, -float64(step)),
		l.place.at(x+stepWidth/2, -float64(step)),
	}
}

func (l Ladder) stepX(step int) float64 { return (float64(step) - (LadderSteps+1)/2.0) * stepPitch }
