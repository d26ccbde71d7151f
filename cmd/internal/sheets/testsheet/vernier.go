package testsheet

import (
	"math"

	"foldwright/reorder"
)

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
	Edge  Edge
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
		if e == Left || e == Right {
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

// RoughTick is the outer end of a millimetre tick on the front's frame,
// -[RoughTicks] to RoughTicks.
func (v Vernier) RoughTick(mm int) reorder.Point { return v.place.at(float64(mm), roughLength) }

// Pointer is the tip of the triangle on the back.
func (v Vernier) Pointer() reorder.Point { return v.place.at(0, 0) }

// Read is what a person reads at the vernier who holds the sheet to the light,
// the front towards them: the number of the line of the front that runs on
// best into one of the back, near the place where the triangle points. front and
// back tell where a point of the front's and the back's page has come to lie
// on the paper as it is seen then, in mm. A shift beyond the scale is read off the ticks,
// to half a millimetre. It is false if no triangle shows near the scale.
func (v Vernier) Read(paper reorder.Paper, front, back func(reorder.Point) reorder.Point) (mm float64, ok bool) {
	offset := func(p, from reorder.Point) (along, across float64) {
		x, y := p.X-from.X, p.Y-from.Y
		return x*v.place.along.X + y*v.place.along.Y, x*v.place.outward.X + y*v.place.outward.Y
	}
	for _, behind := range Verniers(paper) {
		rough, across := offset(back(behind.Pointer()), front(v.Pointer()))
		if math.Abs(rough) > RoughTicks+2 || math.Abs(across) > RoughTicks+2 {
			continue
		}
		if math.Abs(rough) > v.Range()+Resolution/2 {
			return math.Round(rough*2) / 2, true
		}
		best, reading := math.Inf(1), 0.0
		for f := -v.Lines; f <= v.Lines; f++ {
			if says := float64(f) * Resolution; math.Abs(says-rough) > 1 {
				continue
			}
			for b := -behind.Lines; b <= behind.Lines; b++ {
				gap, _ := offset(back(behind.Back(b).Middle()), front(v.Front(f).Middle()))
				if math.Abs(gap) < best {
					best, reading = math.Abs(gap), float64(f)*Resolution
				}
			}
		}
		return reading, true
	}
	return 0, false
}
