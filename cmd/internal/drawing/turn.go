package drawing

import (
	"fmt"
	"math"
)

// Turn is how a stack is turned as a whole on its way.
type Turn int

const (
	NoTurn    Turn = iota + 1
	HalfFlat       // half round, flat on the table
	OverLong       // over about a long edge, like the page of a book
	OverShort      // over about a short edge, like the leaf of a wall calendar
)

func (t Turn) String() string {
	switch t {
	case HalfFlat:
		return "half round, flat"
	case OverLong:
		return "over, like the page of a book"
	case OverShort:
		return "over, like the leaf of a wall calendar"
	}
	return "without a turn"
}

// done is the turn as it is told afterwards.
func (t Turn) done() string {
	if t == NoTurn {
		return t.String()
	}
	return "turned " + t.String()
}

// Corner is a corner of a stack with a mark on its upper or lower face. The
// near and far edge are the short ones.
type Corner struct {
	Far, Right bool
	Face       Side // zero: there is no mark
}

// Turned is where the corner lies once the stack has been turned.
func (k Corner) Turned(t Turn) Corner {
	switch t {
	case HalfFlat:
		k.Far, k.Right = !k.Far, !k.Right
	case OverLong:
		k.Right = !k.Right
	case OverShort:
		k.Far = !k.Far
	}
	if (t == OverLong || t == OverShort) && k.Face != 0 {
		k.Face = Upper + Lower - k.Face
	}
	return k
}

func (k Corner) String() string {
	end, side := "near", "left"
	if k.Far {
		end = "far"
	}
	if k.Right {
		side = "right"
	}
	return end + " " + side + " corner"
}

// draw draws a dot on the upper face, a dashed ring where it is on the lower one.
func (k Corner) draw(c *canvas, v view, b block) {
	if k.Face == 0 {
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
	var ring []point
	for i := range 16 {
		a := 2 * math.Pi * float64(i) / 16
		ring = append(ring, v.at(x+radius*math.Cos(a), y+1.3*radius*math.Sin(a), z))
	}
	if k.Face == Upper {
		c.area("s", ring...)
	} else {
		c.area("q", ring...)
	}
}

// Move is a stack that is taken from one place to another as one block.
type Move struct {
	From Stack
	Turn Turn
	To   Stack
	Mark Corner // of the stack as it lies first, so that one sees what becomes of it
}

func (m Move) Title() string {
	if m.From.Where == m.To.Where {
		return fmt.Sprintf("The stack, %s", m.Turn.done())
	}
	return fmt.Sprintf("From %s to %s, %s", m.From.Where.short(), m.To.Where.short(), m.Turn.done())
}

func (m Move) Desc() string {
	what := "The whole stack"
	if m.From.Sheets == 1 {
		what = "The sheet"
	}
	to := m.Mark.Turned(m.Turn)
	ends := "on the upper face"
	if to.Face == Lower {
		ends = "on the lower face"
	}
	return fmt.Sprintf("%s lies %s, the %s up. It is laid %s %s, and then lies with the %s up. A dot in the %s of the upper face shows the turn: it ends in the %s, %s.",
		what, m.From.Where, m.From.Up.face(), m.To.Where.into(), m.Turn.done(), m.To.Up.face(), m.Mark, to, ends)
}

// face is the face as a thing.
func (f Face) face() string {
	if f == Blank {
		return "blank face"
	}
	return "printed " + f.String()
}

func (w Where) short() string {
	switch w {
	case Tray:
		return "the tray"
	case Delivery:
		return "the delivery"
	}
	return "the table"
}

func (w Where) into() string {
	switch w {
	case Tray:
		return "into the tray"
	case Delivery:
		return "into the delivery"
	}
	return "on the table"
}

const secondX = 172.0 // where the second stack of a move stands

func (m Move) draw(c *canvas) float64 {
	t := math.Min(16, thickness(m.From.Sheets))
	ground := m.From.Where.above(t) + 8
	first, second := view{point{14, ground}}, view{point{secondX, ground}}
	m.From.Where.draw(c, first, t, m.Turn == NoTurn)
	b := m.From.block(t)
	b.mark = m.Mark
	b.draw(c, first)
	m.To.Where.draw(c, second, t, true)
	b = m.To.block(t)
	b.mark = m.Mark.Turned(m.Turn)
	b.draw(c, second)
	m.Turn.arrow(c, first, sheetWide, sheetDeep, t)
	y := ground - upward*sheetDeep*0.3
	c.arrow("k", point{secondX - 46, y}, point{secondX - 16, y})
	base := ground + 26
	c.text("b", point{4, base}, m.From.Where.short())
	c.text("b", point{secondX - 6, base}, m.To.Where.short())
	c.text("c", point{wide / 2, base + lineHigh + 2}, m.Turn.String())
	return base + lineHigh + 8
}

// arrow draws the arrow of the turn on paper of the given measures.
func (t Turn) arrow(c *canvas, v view, wide, deep, thick float64) {
	const steps = 14
	var way []point
	switch t {
	case HalfFlat:
		r := 0.46 * deep
		for i := range steps {
			a := -0.35 + (math.Pi-0.1)*float64(i)/(steps-1)
			way = append(way, v.at(wide/2+r*math.Cos(a), deep/2+r*math.Sin(a), thick+16))
		}
	case OverLong:
		c.line("d", v.all(place{wide, -16, thick}, place{wide, deep + 22, thick})...)
		for i := range steps {
			a := math.Pi - (math.Pi-0.2)*float64(i)/(steps-1)
			way = append(way, v.at(wide+30*math.Cos(a), deep*0.8, thick+2+30*math.Sin(a)))
		}
	case OverShort:
		c.line("d", v.all(place{-18, deep, thick}, place{wide + 18, deep, thick})...)
		for i := range steps {
			a := math.Pi - (math.Pi-0.2)*float64(i)/(steps-1)
			way = append(way, v.at(wide*0.75, deep+38*math.Cos(a), thick+2+34*math.Sin(a)))
		}
	default:
		return
	}
	c.arrow("k", way...)
}
