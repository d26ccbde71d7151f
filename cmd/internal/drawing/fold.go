package drawing

import (
	"fmt"
	"math"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// Halves are the moving and the other part of a pile.
var Halves = map[reorder.Over][2]string{
	reorder.RightOverLeft: {"right", "left"}, reorder.LeftOverRight: {"left", "right"},
	reorder.FarOverNear: {"far", "near"}, reorder.NearOverFar: {"near", "far"},
}

// LineOf is the line between the two parts.
func LineOf(o reorder.Over) reorder.Line {
	return map[bool]reorder.Line{true: reorder.Level, false: reorder.Upright}[o == reorder.FarOverNear || o == reorder.NearOverFar]
}

// Fold is a fold: what lies there, the crease, and what lies there then.
type Fold struct {
	Before Flat
	reorder.FoldOver
	After Flat
	Sewn  bool // the fold that is sewn through
}

func (f Fold) Describe() (title, desc string) {
	half := Halves[f.Over]
	desc = fmt.Sprintf("The paper lies with %s. A dashed crease runs %s. An arrow goes over the crease: the %s edge comes to lie on the %s one. Then it lies with %s.",
		f.Before.desc(), f.Before.LineRuns(LineOf(f.Over), f.At), half[0], half[1], f.After.desc())
	if f.Sewn {
		desc += fmt.Sprintf(" The fold at the %s is the one that is sewn through.", Edges[FoldEdge(f.Over)])
	}
	return fmt.Sprintf("Fold the %s half over the %s one", half[0], half[1]), desc
}

// LineRuns is where a line across the paper runs.
func (f Flat) LineRuns(line reorder.Line, at float64) string {
	if line == reorder.Level {
		return fmt.Sprintf("from left to right, %s from the near edge", f.length(at))
	}
	return fmt.Sprintf("from near to far, %s from the left edge", f.length(at))
}

// FoldEdge is the edge at which a new fold lies.
func FoldEdge(over reorder.Over) geom.Towards {
	return map[reorder.Over]geom.Towards{
		reorder.RightOverLeft: geom.Right, reorder.LeftOverRight: geom.Left, reorder.FarOverNear: geom.Up, reorder.NearOverFar: geom.Down,
	}[over]
}

func (f Fold) draw(c *canvas) float64 {
	scale := f.Before.scale(flatLong)
	rise := 10.0
	if LineOf(f.Over) == reorder.Upright {
		rise = 24
	}
	first, then, ground := views(f.Before, scale, rise+20)
	f.Before.draw(c, first, place{}, scale)
	t := f.Before.thick()
	c.drawLine("d", lineAcross(first, f.Before, LineOf(f.Over), f.At, scale)...)
	c.drawArrow("k", wayOver(first, f.Before, f.Over, f.At, scale, t)...)
	drawStep(c, ground)
	f.After.draw(c, then, place{}, scale)
	labelFold(c, then, f.After, FoldEdge(f.Over), scale, map[bool]string{true: "sewn fold", false: "fold"}[f.Sewn])
	return writeCaptions(c, ground, fmt.Sprintf("%s edge onto the %s one", Halves[f.Over][0], Halves[f.Over][1]))
}

// lineAcross is a line across the upper side, standing out a little at both ends.
func lineAcross(v view, f Flat, line reorder.Line, at, scale float64) []point {
	const out = 7.0
	w, d, t := f.Size.W*scale, f.Size.H*scale, f.thick()
	if line == reorder.Level {
		return v.all(place{-out, at * scale, t}, place{w + out, at * scale, t})
	}
	return v.all(place{at * scale, -out, t}, place{at * scale, d + out, t})
}

// wayOver is the way of one half over a line onto the other.
func wayOver(v view, f Flat, over reorder.Over, at, scale, z float64) []point {
	const steps = 12
	w, d := f.Size.W*scale, f.Size.H*scale
	a := at * scale
	from, to := math.Pi*0.08, math.Pi*0.92
	if over == reorder.LeftOverRight || over == reorder.NearOverFar {
		from, to = to, from
	}
	return arc(steps, from, to, func(cos, sin float64) point {
		if LineOf(over) == reorder.Level {
			r := math.Min(a, d-a) * 0.7
			return v.at(w*0.3, a+r*cos, z+1.2*r*sin)
		}
		r := math.Min(a, w-a) * 0.7
		return v.at(a+r*cos, d*0.5, z+1.2*r*sin)
	})
}

func labelFold(c *canvas, v view, f Flat, e geom.Towards, scale float64, word string) {
	w, d, t := f.Size.W*scale, f.Size.H*scale, f.thick()
	switch e {
	case geom.Up:
		c.writeText("", v.at(4, d, t+5), word)
	case geom.Left:
		at := v.at(0, d/2, t)
		c.writeText("e", point{at.x - 6, at.y - 4}, word)
	case geom.Down:
		c.writeText("", v.at(4, 0, -14), word)
	case geom.Right:
		at := v.at(w, d*0.45, t)
		c.writeText("", point{at.x + 6, at.y + 11}, word)
	}
}

// Slit is a folded edge that is cut open as far as the next fold needs it.
type Slit struct {
	Lies Flat
	reorder.SlitBolt
}

// Ends are the ends of an edge.
var Ends = map[geom.Towards]string{geom.Up: "far", geom.Left: "left-hand", geom.Down: "near", geom.Right: "right-hand"}

func (s Slit) Describe() (title, desc string) {
	from := map[geom.Towards]string{geom.Up: "near", geom.Down: "near", geom.Left: "left-hand", geom.Right: "left-hand"}[s.From]
	return "Slit the fold at the " + Edges[s.Edge],
		fmt.Sprintf("The paper lies with %s. A thick arrow, the way of the knife, runs along the fold at the %s from its %s end, and stops %s from its %s end.",
			s.Lies.desc(), Edges[s.Edge], Ends[s.From], s.Lies.length(s.To), from)
}

func (s Slit) draw(c *canvas) float64 {
	scale := s.Lies.scale(flatLong)
	v, _, ground := views(s.Lies, scale, 18)
	v.origin.x = 40
	s.Lies.draw(c, v, place{}, scale)
	w, d, t := s.Lies.Size.W*scale, s.Lies.Size.H*scale, s.Lies.thick()
	// beyond is how far from the left or the near edge something lies that is so far beyond an edge.
	beyond := func(edge geom.Towards, by float64) float64 {
		return map[geom.Towards]float64{geom.Up: d + by, geom.Left: -by, geom.Down: -by, geom.Right: w + by}[edge]
	}
	beside, begin, to := beyond(s.Edge, 7), beyond(s.From, 6), s.To*scale
	from, stop := place{beside, begin, t}, place{beside, to, t}
	if s.Edge == geom.Up || s.Edge == geom.Down {
		from, stop = place{begin, beside, t}, place{to, beside, t}
	}
	c.drawArrow("k", v.all(from, stop)...)
	c.writeText("b", point{v.at(w, d/2, t).x + 30, ground - 20}, "knife")
	return writeCaptions(c, ground, "open the fold as far as the arrow goes")
}

// Bolts is folded edges that are cut open once the book is sewn.
type Bolts struct {
	Lies  Flat
	Spine geom.Towards
	reorder.OpenBolts
}

func (b Bolts) Describe() (title, desc string) {
	at := lists.Map(b.Edges, func(e geom.Towards) string { return Edges[e] })
	return "Cut the bolts open", fmt.Sprintf("The gathering lies as it is read, with %s. A dashed line, the way of the knife, runs along the fold at the %s. The %s is the spine: it stays.",
		b.Lies.desc(), refusal.List(at, "and"), Edges[b.Spine])
}

func (b Bolts) draw(c *canvas) float64 {
	scale := b.Lies.scale(flatLong)
	v, _, ground := views(b.Lies, scale, 20)
	v.origin.x = 70
	b.Lies.draw(c, v, place{}, scale)
	w, d, t := b.Lies.Size.W*scale, b.Lies.Size.H*scale, b.Lies.thick()
	labelFold(c, v, b.Lies, b.Spine, scale, "spine")
	for _, e := range b.Edges {
		along := b.Lies.edge(v.at, e, w, d, t)
		dx, dy := 7*e.Unit().X, -6*e.Unit().Y
		if e == geom.Down {
			dy += t
		}
		for i := range along {
			along[i].x, along[i].y = along[i].x+dx, along[i].y+dy
		}
		c.drawLine("k d", along...)
	}
	return writeCaptions(c, ground+6, "dashed: the knife, once the book is sewn")
}
