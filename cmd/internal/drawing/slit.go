package drawing

import (
	"fmt"

	"foldwright/reorder"
)

// Slit is a folded edge that is cut open as far as the next fold needs it.
type Slit struct {
	Lies Flat
	Edge reorder.Towards
	From reorder.Towards // the end from which the knife goes
	To   float64         // mm, where it stops, from the left or the near end
}

func (s Slit) Title() string { return "Slit the fold at the " + edges[s.Edge] }

func (s Slit) Desc() string {
	ends := map[reorder.Towards]string{reorder.Up: "far", reorder.Left: "left-hand", reorder.Down: "near", reorder.Right: "right-hand"}
	from := map[reorder.Towards]string{reorder.Up: "near", reorder.Down: "near", reorder.Left: "left-hand", reorder.Right: "left-hand"}[s.From]
	return fmt.Sprintf("The paper lies with %s. A thick arrow, the way of the knife, runs along the fold at the %s from its %s end, and stops %s mm from its %s end.",
		s.Lies.desc(), edges[s.Edge], ends[s.From], reorder.Millimetres(tenth(s.To)), from)
}

func (s Slit) draw(c *canvas) float64 {
	scale := s.Lies.scale(flatLong)
	v, _, ground := pair(s.Lies, scale, 18)
	v.origin.x = 40
	s.Lies.draw(c, v, place{}, scale)
	w, d, t := s.Lies.Size.W*scale, s.Lies.Size.H*scale, s.Lies.thick()
	to := s.To * scale
	const off = 7.0 // the arrow runs beside the edge
	var from, stop place
	switch s.Edge {
	case reorder.Right, reorder.Left:
		x := w + off
		if s.Edge == reorder.Left {
			x = -off
		}
		from, stop = place{x, d + 6, t}, place{x, to, t}
		if s.From == reorder.Down {
			from.y = -6
		}
	default:
		y := d + off
		if s.Edge == reorder.Down {
			y = -off
		}
		from, stop = place{w + 6, y, t}, place{to, y, t}
		if s.From == reorder.Left {
			from.x = -6
		}
	}
	c.arrow("k", v.of(from), v.of(stop))
	c.text("b", point{v.at(w, d/2, t).x + 30, ground - 20}, "knife")
	return captions(c, ground, "open the fold as far as the arrow goes")
}

// Bolts is folded edges that are cut open once the book is sewn.
type Bolts struct {
	Lies  Flat
	Spine reorder.Towards
	Edges []reorder.Towards
}

func (b Bolts) Title() string { return "Cut the bolts open" }

func (b Bolts) Desc() string {
	var at []string
	for _, e := range b.Edges {
		at = append(at, edges[e])
	}
	return fmt.Sprintf("The gathering lies as it is read, with %s. A dashed line, the way of the knife, runs along the fold at the %s. The %s is the spine: it stays.",
		b.Lies.desc(), listed(at), edges[b.Spine])
}

func (b Bolts) draw(c *canvas) float64 {
	scale := b.Lies.scale(flatLong)
	v, _, ground := pair(b.Lies, scale, 20)
	v.origin.x = 70
	b.Lies.draw(c, v, place{}, scale)
	w, d, t := b.Lies.Size.W*scale, b.Lies.Size.H*scale, b.Lies.thick()
	p := func(x, y, z float64) point { return v.at(x, y, z) }
	labelFold(c, v, b.Lies, b.Spine, scale, "spine")
	for _, e := range b.Edges {
		along := b.Lies.edge(p, e, w, d, t)
		dx, dy := 0.0, 0.0
		switch e {
		case reorder.Up:
			dy = -6
		case reorder.Down:
			dy = 6 + t
		case reorder.Left:
			dx = -7
		case reorder.Right:
			dx = 7
		}
		for i := range along {
			along[i].x, along[i].y = along[i].x+dx, along[i].y+dy
		}
		c.line("k d", along...)
	}
	return captions(c, ground+6, "dashed: the knife, once the book is sewn")
}
