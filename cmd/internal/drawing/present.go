package drawing

import (
	"fmt"
	"math"

	"foldwright/reorder"
)

// Present is a gathering, or a leaf, that is brought into the position in which
// it is read.
type Present struct {
	Before   Flat
	TurnOver bool // like the page of a book
	Half     bool // then half round, flat
	After    Flat
	Spine    reorder.Towards
}

func (p Present) Title() string { return "How it is read" }

func (p Present) Desc() string {
	out := fmt.Sprintf("The paper lies with %s. ", p.Before.desc())
	switch {
	case p.TurnOver:
		out += "It is turned over, like the page of a book. Then it lies"
	case p.Half:
		out += "It is turned half round, flat on the table. Then it lies"
	default:
		out = "The paper lies"
	}
	out += fmt.Sprintf(" with %s; the spine is at the %s, and the first page is on top, upright.", p.After.desc(), edges[p.Spine])
	return out
}

func (p Present) draw(c *canvas) float64 {
	scale := math.Min(66/p.Before.Size.W, 92/p.Before.Size.H)
	_, then, ground := pair(p.Before, scale, 34)
	first := view{point{flatLeft, ground}}
	w, d, t := p.Before.Size.W*scale, p.Before.Size.H*scale, p.Before.thick()
	turn := NoTurn
	switch {
	case p.TurnOver:
		turn = OverLong
	case p.Half:
		turn = HalfFlat
	}
	if turn == NoTurn {
		then.origin.x = 90
	} else {
		p.Before.draw(c, first, place{}, scale)
		turn.arrow(c, first, w, d, t)
		goes(c, ground)
		then.origin.x = thenLeft + 14
	}
	p.After.draw(c, then, place{}, scale)
	w, d = p.After.Size.W*scale, p.After.Size.H*scale
	// The bar of the page's head, as in the pictures of sheets.
	c.line("k", then.all(place{w * 0.25, d - 8, t}, place{w * 0.75, d - 8, t})...)
	middle := then.at(w/2, d*0.45, t)
	c.tag(point{middle.x, middle.y - 5}, "first")
	c.tag(point{middle.x, middle.y + 8}, "page")
	labelFold(c, then, p.After, p.Spine, scale, "spine")
	line := map[Turn]string{NoTurn: "it lies as it is read", HalfFlat: "half round, flat on the table", OverLong: "over, like the page of a book"}[turn]
	return captions(c, ground, line)
}

// Press is a pile between boards under a weight.
type Press struct{ What string }

func (p Press) Title() string { return "Press" }

func (p Press) Desc() string {
	return fmt.Sprintf("Seen from the side: the %s between two boards, a weight on the upper one.", p.What)
}

func (p Press) draw(c *canvas) float64 {
	box := func(class string, x0, y0, x1, y1 float64) {
		c.area(class, point{x0, y0}, point{x1, y0}, point{x1, y1}, point{x0, y1})
	}
	box("o", 80, 6, 150, 40)
	c.text("c", point{115, 27}, "weight")
	box("o", 40, 40, 190, 48)
	for i := range 6 {
		box("o", 56, 48+float64(i)*6, 174, 54+float64(i)*6)
	}
	box("o", 40, 84, 190, 92)
	c.text("", point{198, 70}, p.What)
	c.text("", point{198, 49}, "board")
	c.text("", point{198, 93}, "board")
	return 100
}
