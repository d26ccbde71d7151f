package testsheet

import (
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Ruler is a line to be measured, on both faces the same. It begins and ends
// in pin marks, and a tick stands every 10 mm.
type Ruler struct {
	Zero    geom.Point
	Towards geom.Point // the direction, of length 1
	Length  float64    // mm, whole centimetres
}

// End is where the ruler ends.
func (r Ruler) End() geom.Point { return r.At(r.Length) }

// At is the point so many mm from the zero point.
func (r Ruler) At(mm float64) geom.Point { return r.Zero.Plus(r.Towards.Times(mm)) }

// Rulers are the rulers that are measured: across the sheet, along its short
// edge, from the head's left to its right; and along the sheet, from the
// tail's left to the head's left. Two more run along the other two edges.
func Rulers(paper reorder.Paper) (across, along Ruler) {
	size := frame(paper).Size()
	across = Ruler{Corner(paper, 0), geom.Point{X: 1}, size.W}
	along = Ruler{Corner(paper, 3), geom.Point{Y: 1}, size.H}
	return across, along
}

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
	Edge  geom.Towards
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
	x, y := l.stepX(step), -float64(step)
	return Segment{l.place.at(x-stepWidth/2, y), l.place.at(x+stepWidth/2, y)}
}

func (l Ladder) stepX(step int) float64 { return (float64(step) - (LadderSteps+1)/2.0) * stepPitch }

// A vernier's lines on the front and on the back stand so far apart, in mm.
// The difference is what it resolves.
const (
	FrontPitch = 4.0
	BackPitch  = 3.75
	Resolution = FrontPitch - BackPitch
)

// Vernier is a pair of scales, one on each face, that are held to the light
// together, the front towards the person. The line of the front that runs on
// straight into one of the back carries the number that tells how far the back
// lies to the right of the front (at head and tail) or above it (at the right
// and the left). A triangle on the back, over the millimetre ticks at the
// middle of the front's frame, tells roughly the same and how far beyond the
// scale a larger shift is.
//
// Both scales are symmetrical about the middle of the edge and lie at the same
// distance from opposite edges, so they meet whichever way the back is turned.
type Vernier struct {
	Edge  geom.Towards
	Lines int // on either side of the zero line
	place place
}

// The scales begin and end so far inwards of the frame, in mm. Front and back overlap by
// 2 mm, so that they still meet if the back lies further in or out.
const (
	vernierLabel = 6.0
	frontFrom    = 8.0
	frontTo      = 15.0
	backFrom     = 13.0
	backTo       = 20.0
	vernierRoom  = 25.0 // mm of the frame at either end, taken by the corner
	mostLines    = 15
)

// RoughTicks is how far the millimetre ticks at the middle of the front's
// frame go to either side.
const RoughTicks = 10

// Verniers are the verniers of a sheet, in the order of [Edges].
func Verniers(paper reorder.Paper) [4]Vernier {
	var out [4]Vernier
	r := frame(paper)
	for i, e := range Edges {
		length := r.Size().W
		if e == geom.Left || e == geom.Right {
			length = r.Size().H
		}
		out[i] = Vernier{e, min(mostLines, int((length/2-vernierRoom)/FrontPitch)), placeAt(e, r)}
	}
	return out
}

// Range is the largest shift in mm that the scale shows, to either side.
func (v Vernier) Range() float64 { return float64(v.Lines) * Resolution }

// Front is a line of the front, -Lines to Lines; it stands for a shift of
// line times [Resolution].
func (v Vernier) Front(line int) Segment {
	x := float64(line) * FrontPitch
	return Segment{v.place.at(x, -frontFrom), v.place.at(x, -frontTo)}
}

// Back is a line of the back, -Lines to Lines.
func (v Vernier) Back(line int) Segment {
	x := float64(line) * BackPitch
	return Segment{v.place.at(x, -backFrom), v.place.at(x, -backTo)}
}

// Pointer is the tip of the triangle on the back.
func (v Vernier) Pointer() geom.Point { return v.place.at(0, 0) }
