package drawing

import (
	"fmt"
	"math"
	"strings"

	"foldwright/printer"
	"foldwright/reorder"
)

// Nest is folded pieces that are laid into each other's middles, seen from the
// end of their folds. The names are from the outermost inwards.
type Nest struct {
	Names []string
	More  bool // and so on
}

func (n Nest) Describe() (title, desc string) {
	desc = fmt.Sprintf("Seen from the end: an opened fold lies outermost, %s. Into its middle, fold into fold, goes %s.",
		n.Names[0], strings.Join(n.Names[1:], ", then "))
	if n.More {
		desc += " And so on."
	}
	return "Lay into each other", desc
}

func (n Nest) draw(c *canvas) float64 {
	const step, rise, half = 26.0, 42.0, 62.0
	middle := 72.0
	base := 10 + rise + step*float64(len(n.Names)-1)
	for i, name := range n.Names {
		y := base - step*float64(i)
		c.drawLine("f", point{middle - half, y - rise}, point{middle - 6, y - 3}, point{middle, y}, point{middle + 6, y - 3}, point{middle + half, y - rise})
		if i > 0 {
			c.drawArrow("", point{middle, y + 4}, point{middle, y + 15})
		}
		if i == 0 {
			name += ", outermost"
		}
		c.writeText("", point{middle + half + 8, y - rise + 8}, name)
	}
	if n.More {
		c.writeText("", point{middle - 14, base - step*float64(len(n.Names)-1) - 14}, "...")
	}
	return writeCaptions(c, base, "seen from the end of the folds")
}

// Present is a gathering, or a leaf, that is brought into the position in which
// it is read.
type Present struct {
	Before, After Flat
	reorder.Present
}

func (p Present) Describe() (title, desc string) {
	desc = fmt.Sprintf("The paper lies with %s. ", p.Before.desc())
	switch p.turn() {
	case printer.TurnLong:
		desc += "It is turned over, like the page of a book. Then it lies"
	case printer.RotateHalf:
		desc += "It is turned half round, flat on the table. Then it lies"
	default:
		desc = "The paper lies"
	}
	desc += fmt.Sprintf(" with %s; the spine is at the %s, and the first page is on top, upright.", p.After.desc(), Edges[p.Spine])
	return "How it is read", desc
}

func (p Present) turn() printer.Reload {
	switch {
	case p.TurnOver:
		return printer.TurnLong
	case p.Quarters == 2:
		return printer.RotateHalf
	}
	return printer.AsDelivered
}

func (p Present) draw(c *canvas) float64 {
	scale := math.Min(66/p.Before.Size.W, 92/p.Before.Size.H)
	_, then, ground := views(p.Before, scale, 34)
	first := view{point{flatLeft, ground}}
	w, d, t := p.Before.Size.W*scale, p.Before.Size.H*scale, p.Before.thick()
	turn := p.turn()
	if turn == printer.AsDelivered {
		then.origin.x = 90
	} else {
		p.Before.draw(c, first, place{}, scale)
		turnArrow(c, first, turn, w, d, t)
		drawStep(c, ground)
		then.origin.x = thenLeft + 14
	}
	p.After.draw(c, then, place{}, scale)
	w, d = p.After.Size.W*scale, p.After.Size.H*scale
	// The bar of the page's head, as in the pictures of sheets.
	c.drawLine("k", then.all(place{w * 0.25, d - 8, t}, place{w * 0.75, d - 8, t})...)
	middle := then.at(w/2, d*0.45, t)
	c.writeTag(point{middle.x, middle.y - 5}, "first")
	c.writeTag(point{middle.x, middle.y + 8}, "page")
	labelFold(c, then, p.After, p.Spine, scale, "spine")
	line := map[printer.Reload]string{printer.AsDelivered: "it lies as it is read", printer.RotateHalf: "half round, flat on the table", printer.TurnLong: "over, like the page of a book"}[turn]
	return writeCaptions(c, ground, line)
}

// Backs is the folded spines of gatherings on each other, with the dark blocks
// that go down them like stairs.
type Backs struct{ Gatherings int }

func (b Backs) Describe() (title, desc string) {
	return "The spines of the gatherings",
		fmt.Sprintf("%s on each other, seen at their folds. On each fold is a dark block, and from the first to the last, on top of each other, the blocks go down like stairs, without a gap.",
			reorder.Count(b.Gatherings, "gathering"))
}

func (b Backs) draw(c *canvas) float64 {
	n := min(b.Gatherings, 8)
	const high, left, right = 11.0, 10.0, 190.0
	for i := range n {
		y := 6 + float64(i)*high
		c.drawBox("o", left, y, right, y+high)
		x := left + 14 + float64(i)*17
		c.drawBox("s", x, y, x+17, y+high)
	}
	c.writeText("", point{198, 16}, "first")
	c.writeText("", point{198, 6 + float64(n)*high - 1}, map[bool]string{true: "and so on", false: "last"}[b.Gatherings > n])
	c.writeText("", point{left - 8, 6 + float64(n)*high + lineHigh}, "head")
	c.writeText("e", point{right, 6 + float64(n)*high + lineHigh}, "tail")
	return 6 + float64(n)*high + lineHigh + 6
}
