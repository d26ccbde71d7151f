package drawing

import (
	"fmt"
	"math"

	"foldwright/printer"
)

// turnWords is how a stack is turned as a whole on its way.
var turnWords = map[printer.Reload]string{
	printer.AsDelivered: "without a turn", printer.RotateHalf: "half round, flat",
	printer.TurnLong: "over, like the page of a book", printer.TurnShort: "over, like the leaf of a wall calendar",
}

// turnedWords is the same, told afterwards.
func turnedWords(r printer.Reload) string {
	if r == printer.AsDelivered {
		return turnWords[r]
	}
	return "turned " + turnWords[r]
}

// Corner is a corner of a stack with a mark on its upper or lower side. The
// near and far edge are the short ones.
type Corner struct {
	Far, Right bool
	Side       Side // zero: there is no mark
}

// Turn is where the corner lies once the stack has been turned.
func (k Corner) Turn(r printer.Reload) Corner {
	switch r {
	case printer.RotateHalf:
		k.Far, k.Right = !k.Far, !k.Right
	case printer.TurnLong:
		k.Right = !k.Right
	case printer.TurnShort:
		k.Far = !k.Far
	}
	if printer.TurnsOver(r) {
		k.Side = k.Side.Other()
	}
	return k
}

func (k Corner) String() string {
	return map[bool]string{false: "near ", true: "far "}[k.Far] + map[bool]string{false: "left corner", true: "right corner"}[k.Right]
}

// draw draws a dot on the upper side, a dashed ring where it is on the lower one.
func (k Corner) draw(c *canvas, v view, b block) {
	if k.Side == 0 {
		return
	}
	const in, radius = 9.0, 5.5
	x, y, z := in, in*1.3, b.thick
	if k.Right {
		x = b.wide - in
	}
	if k.Far {
		y = b.deep - in*1.3
	}
	if k.Right && !k.Far { // the lifted corner is no place for a mark
		y = cornerY + 3
		x = b.wide - in + 1
	}
	ring := arc(17, 0, 2*math.Pi, func(cos, sin float64) point { return v.at(x+radius*cos, y+1.3*radius*sin, z) })
	c.drawArea(map[Side]string{Upper: "s", Lower: "q"}[k.Side], ring[:16]...)
}

// Move is a stack that is taken from one place to another as one block.
type Move struct {
	From Stack
	Turn printer.Reload
	To   Where
}

// Corners is where a mark lies that shows what becomes of the stack, at first and then.
func (m Move) Corners() (first, then Corner) {
	first = Corner{Side: Upper}
	return first, first.Turn(m.Turn)
}

// Then is the stack as it lies at last.
func (m Move) Then() Stack { return m.From.Put(m.Turn, m.To) }

func (m Move) Describe() (title, desc string) {
	turned := turnedWords(m.Turn)
	title = fmt.Sprintf("From %s to %s, %s", m.From.Where.short(), m.To.short(), turned)
	if m.From.Where.String() == m.To.String() {
		title = "The stack, " + turned
	}
	what := "The whole stack"
	if m.From.Sheets == 1 {
		what = "The sheet"
	}
	from, to := m.Corners()
	return title, fmt.Sprintf("%s lies %s, the %s up. It is laid %s %s, and then lies with the %s up. A dot in the %s of the upper side shows the turn: it ends in the %s, on the %s side.",
		what, m.From.Where, m.From.Up.thing(), m.To, turned, m.Then().Up.thing(), from, to, to.Side)
}

const secondX = 172.0 // where the second stack of a move stands

func (m Move) draw(c *canvas) float64 {
	before, after := m.From.block(), m.Then().block()
	t := before.thick
	ground := m.From.Where.roomAbove(t) + 8
	first, second := view{point{14, ground}}, view{point{secondX, ground}}
	before.mark, after.mark = m.Corners()
	m.From.Where.draw(c, first, t, m.Turn == printer.AsDelivered)
	before.draw(c, first)
	m.To.draw(c, second, t, true)
	after.draw(c, second)
	turnArrow(c, first, m.Turn, sheetWide, sheetDeep, t)
	y := ground - upward*sheetDeep*0.3
	c.drawArrow("k", point{secondX - 46, y}, point{secondX - 16, y})
	base := ground + 26
	c.writeText("b", point{4, base}, m.From.Where.short())
	c.writeText("b", point{secondX - 6, base}, m.To.short())
	c.writeText("c", point{wide / 2, base + lineHigh + 2}, turnWords[m.Turn])
	return base + lineHigh + 8
}

// turnArrow draws the arrow of a turn on paper of the given measures.
func turnArrow(c *canvas, v view, r printer.Reload, wide, deep, thick float64) {
	const steps = 14
	switch r {
	case printer.RotateHalf:
		r := 0.46 * deep
		c.drawArrow("k", arc(steps, -0.35, math.Pi-0.45, func(cos, sin float64) point { return v.at(wide/2+r*cos, deep/2+r*sin, thick+16) })...)
	case printer.TurnLong:
		c.drawLine("d", v.all(place{wide, -16, thick}, place{wide, deep + 22, thick})...)
		c.drawArrow("k", arc(steps, math.Pi, 0.2, func(cos, sin float64) point { return v.at(wide+30*cos, deep*0.8, thick+2+30*sin) })...)
	case printer.TurnShort:
		c.drawLine("d", v.all(place{-18, deep, thick}, place{wide + 18, deep, thick})...)
		c.drawArrow("k", arc(steps, math.Pi, 0.2, func(cos, sin float64) point { return v.at(wide*0.75, deep+38*cos, thick+2+34*sin) })...)
	}
}
