package drawing

import (
	"math"

	"foldwright/printer"
)

// Content is what is on a side of a sheet.
type Content int

const (
	Blank Content = iota + 1
	Front
	Back
	Either // whichever it may be: nobody knows yet
)

func (f Content) String() string { return [...]string{"", "blank", "front", "back", "?"}[f] }

// Where is where a stack lies.
type Where int

const (
	Tray Where = iota + 1
	Delivery
	Table
	Aside      // on the table, beside the printer
	BesideTray // on the table, waiting to be loaded as it would lie in the tray
)

// isOnTable tells whether the stack lies neither in the tray nor in the delivery.
func (w Where) isOnTable() bool { return w != Tray && w != Delivery }

func (w Where) short() string {
	return [...]string{"", "the tray", "the delivery", "the table", "the table", "the table"}[w]
}

func (w Where) String() string {
	if w.isOnTable() {
		return "on the table"
	}
	return "in " + w.short()
}

// Side is the upper or the lower side of what lies there.
type Side int

const (
	Upper Side = iota + 1
	Lower
)

func (s Side) String() string { return [...]string{"", "upper", "lower"}[s] }

// Other is the opposite side.
func (s Side) Other() Side { return Upper + Lower - s }

// Way is where the side looks.
func (s Side) Way() string { return [...]string{"", "up", "down"}[s] }

// Stack is sheets on each other, all lying alike.
type Stack struct {
	Where     Where
	Sheets    int
	Up, Under Content // of every sheet, of the side that looks up and of the one that looks down
	// Top and Bottom are the names on the fronts of the top and the bottom
	// sheet; empty: without names.
	Top, Bottom string
}

// Fronts is the side on which the fronts lie.
func (s Stack) Fronts() Side {
	if s.Up == Front {
		return Upper
	}
	return Lower
}

// Put is the stack once it has been turned as a whole and laid somewhere.
func (s Stack) Put(r printer.Reload, where Where) Stack {
	s.Where = where
	if printer.TurnsOver(r) {
		s.Up, s.Under, s.Top, s.Bottom = s.Under, s.Up, s.Bottom, s.Top
	}
	return s
}

func (f Content) thing() string {
	switch f {
	case Blank:
		return "blank side"
	case Either:
		return "side that came out on top" // whichever it is
	}
	return "printed " + f.String()
}

// block is the stack as it is drawn, thick enough to tell few sheets from many.
func (s Stack) block() block {
	thick := 0.0
	if s.Sheets > 1 {
		thick = math.Min(16, 2+3*math.Sqrt(float64(s.Sheets)))
	}
	return block{wide: sheetWide, deep: sheetDeep, thick: thick, sheets: s.Sheets, up: s.Up, under: s.Under}
}

// drawAt draws the stack where it lies, so far from the left, if need be with the way of the paper. It returns
// how it is looked at and how thick it is.
func (s Stack) drawAt(c *canvas, left float64, way bool) (v view, thick float64) {
	b := s.block()
	v = view{point{left, s.Where.roomAbove(b.thick) + 4}}
	s.Where.draw(c, v, b.thick, way)
	b.draw(c, v)
	return v, b.thick
}

// draw draws the place on which a stack of the given thickness lies, and the
// printer behind it, if need be with the way of the paper.
func (w Where) draw(c *canvas, v view, thick float64, way bool) {
	const rim = 9.0
	left, right, near, far := -rim, sheetWide+rim, -rim, sheetDeep+rim
	if w.isOnTable() {
		c.drawLine("h", v.all(place{left - 2, near - 4, 0}, place{right + 14, near - 4, 0})...)
		return
	}
	high := thick + printerHigh
	c.drawArea("o", v.all(place{left, far, 0}, place{right, far, 0}, place{right, far, high}, place{left, far, high})...)
	c.writeText("", v.at(left+6, far, high-16), "printer")
	from, to := place{right - 15, far, thick + 4}, place{right - 15, far, high - 8}
	if w == Delivery {
		from.z, to.z = high-4, thick+8
	}
	if way {
		c.drawArrow("", v.all(from, to)...)
	}
	c.drawArea("o", v.all(place{left, near, 0}, place{right, near, 0}, place{right, far, 0}, place{left, far, 0})...)
	if w == Tray { // guides at both sides
		const guide = 13.0
		c.drawArea("o", v.all(place{left, near, 0}, place{left, far, 0}, place{left, far, guide}, place{left, near, guide})...)
		c.drawArea("o", v.all(place{right, near + 40, 0}, place{right, far, 0}, place{right, far, guide}, place{right, near + 40, guide})...)
		return
	}
	// a stop at the near end
	c.drawArea("o", v.all(place{left, near, -6}, place{right, near, -6}, place{right, near, 4}, place{left, near, 4})...)
}

// printerHigh is how far the printer rises above a stack.
const printerHigh = 28.0

// roomAbove is the room that what lies there takes above the ground.
func (w Where) roomAbove(thick float64) float64 {
	if w.isOnTable() {
		return upward*sheetDeep + thick + 4
	}
	return upward*(sheetDeep+9) + thick + printerHigh + 4
}
