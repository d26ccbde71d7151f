package drawing

import (
	"fmt"
	"math"
	"slices"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// Flat is paper that lies on the table to be cut or folded.
type Flat struct {
	Size   geom.Size // mm, as it lies
	Layers int       // thicknesses of paper on each other
	Folds  []geom.Towards
	Units  binding.Units // that lengths are told in
}

func (f Flat) length(mm float64) string { return lengthIn(f.Units, mm) }

// lengthIn writes a length to a tenth of a millimetre, or to a 32nd of an inch.
func lengthIn(u binding.Units, mm float64) string {
	if u == binding.Inches {
		return u.Length(binding.Exactly(mm))
	}
	return geom.Millimetres(math.Round(mm*10)/10) + " mm"
}

// Edges are the edges of what lies before the person.
var Edges = map[geom.Towards]string{
	geom.Up: "far edge", geom.Left: "left edge", geom.Down: "near edge", geom.Right: "right edge",
}

// HasFold tells whether there is a fold at an edge.
func (f Flat) HasFold(edge geom.Towards) bool { return slices.Contains(f.Folds, edge) }

func (f Flat) desc() string {
	out := nearestEdge(f.Size)
	if out == "" {
		out = ", square"
	}
	out = out[2:]
	var folds []string
	for _, e := range []geom.Towards{geom.Up, geom.Left, geom.Down, geom.Right} {
		if f.HasFold(e) {
			folds = append(folds, Edges[e])
		}
	}
	if len(folds) == 1 {
		out += " and a fold at the " + folds[0]
	} else if len(folds) > 1 {
		out += " and folds at the " + refusal.List(folds, "and")
	}
	if f.Layers > 1 {
		out += fmt.Sprintf(", %d thicknesses of paper", f.Layers)
	}
	return out
}

func (f Flat) thick() float64 {
	if f.Layers < 2 {
		return 1
	}
	return math.Min(15, 3+0.8*float64(f.Layers))
}

// scale is the units for a millimetre at which the larger side has the given length.
func (f Flat) scale(long float64) float64 { return long / math.Max(f.Size.W, f.Size.H) }

// draw draws the paper with its lower near left corner at a place.
func (f Flat) draw(c *canvas, v view, at place, scale float64) {
	w, d, t := f.Size.W*scale, f.Size.H*scale, f.thick()
	p := func(x, y, z float64) point { return v.at(at.x+x, at.y+y, at.z+z) }
	c.drawArea("o", p(0, 0, 0), p(w, 0, 0), p(w, d, 0), p(w, d, t), p(0, d, t), p(0, 0, t))
	c.drawLine("h", p(0, 0, t), p(w, 0, t), p(w, d, t))
	c.drawLine("h", p(w, 0, 0), p(w, 0, t))
	var open [][]point
	for i := range min(f.Layers-1, 4) {
		z := t * float64(i+1) / float64(min(f.Layers, 5))
		if !f.HasFold(geom.Down) {
			open = append(open, []point{p(0, 0, z), p(w, 0, z)})
		}
		if !f.HasFold(geom.Right) {
			open = append(open, []point{p(w, 0, z), p(w, d, z)})
		}
	}
	c.drawLines("h", open)
	for _, e := range f.Folds {
		c.drawLine("f", f.edge(p, e, w, d, t)...)
	}
}

func (f Flat) edge(p func(x, y, z float64) point, e geom.Towards, w, d, t float64) []point {
	switch e {
	case geom.Up:
		return []point{p(0, d, t), p(w, d, t)}
	case geom.Left:
		return []point{p(0, 0, t), p(0, d, t)}
	case geom.Down:
		return []point{p(0, 0, t), p(w, 0, t)}
	}
	return []point{p(w, 0, t), p(w, d, t)}
}

// Lengths of drawings of two states side by side.
const (
	flatLong = 100.0 // the larger side of what lies there first
	flatLeft = 10.0  // where it lies
	thenLeft = 164.0 // where it lies afterwards
)

// views is a view of what lies there first and one of what becomes of it. rise is
// the room above the ground that they take.
func views(f Flat, scale, rise float64) (first, then view, ground float64) {
	ground = upward*f.Size.H*scale + f.thick() + rise
	return view{point{flatLeft, ground}}, view{point{thenLeft, ground}}, ground
}

// drawStep draws the arrow from what lies there first to what becomes of it.
func drawStep(c *canvas, ground float64) {
	c.drawArrow("k", point{thenLeft - 34, ground - 8}, point{thenLeft - 10, ground - 8})
}

// writeCaptions writes lines of text below a drawing of which the ground is given,
// and returns the height of all.
func writeCaptions(c *canvas, ground float64, lines ...string) float64 {
	y := ground + 8
	for _, l := range lines {
		y += lineHigh
		c.writeText("", point{2, y}, l)
	}
	return y + 6
}
