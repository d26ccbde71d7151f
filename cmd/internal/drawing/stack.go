package drawing

import (
	"fmt"
	"math"

	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/enum"
)

// Content is what is on a side of a sheet.
type Content int

const (
	Blank Content = iota + 1
	Front
	Back
	Either // whichever it may be: nobody knows yet
)

var contentWords = enum.Words{What: "face", List: []string{"blank", "front", "back", "?"}}

func (f Content) String() string { return contentWords.Of(int(f)) }

// inPlural is what is on the sides of a stack, in a sentence.
func (f Content) inPlural() string {
	switch f {
	case Blank:
		return "are blank"
	case Either:
		return "may be blank or printed"
	}
	return "are the " + f.thing() + "s"
}

// Where is where a stack lies.
type Where int

const (
	Tray Where = iota + 1
	Delivery
	Table
	Aside      // on the table, beside the printer
	BesideTray // on the table, waiting to be loaded as it would lie in the tray
)

// onTable tells whether the stack lies neither in the tray nor in the delivery.
func (w Where) onTable() bool { return w != Tray && w != Delivery }

var placeWords = enum.Words{What: "place", List: []string{"the tray", "the delivery", "the table", "the table", "the table"}}

func (w Where) short() string { return placeWords.Of(int(w)) }

func (w Where) into() string {
	if w.onTable() {
		return w.String()
	}
	return "into " + w.short()
}

func (w Where) String() string {
	if w.onTable() {
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

var sideWords = enum.Words{What: "side", List: []string{"upper", "lower"}}

func (s Side) String() string { return sideWords.Of(int(s)) }

// Other is the opposite side.
func (s Side) Other() Side { return Upper + Lower - s }

// Way is where the side looks.
func (s Side) Way() string {
	if s == Upper {
		return "up"
	}
	return "down"
}

// Stack is sheets on each other, all lying alike.
type Stack struct {
	Where     Where
	Sheets    int
	Up, Under Content // of every sheet, of the side that looks up and of the one that looks down
	// Top and Bottom are the names on the fronts of the top and the bottom
	// sheet; empty: without names.
	Top, Bottom string
	Next        Side   // which side gets printed next; zero: none
	Slip        string // on a slip of paper upon it; empty: there is none
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
	if r.Turns() {
		s.Up, s.Under, s.Top, s.Bottom = s.Under, s.Up, s.Bottom, s.Top
	}
	return s
}

func (s Stack) Title() string {
	if s.Sheets == 1 {
		return "The sheet " + s.Where.String()
	}
	return "The stack " + s.Where.String()
}

func (s Stack) Desc() string {
	out := fmt.Sprintf("%d sheets lie %s. The upper faces %s, the lower faces %s.", s.Sheets, s.Where, s.Up.inPlural(), s.Under.inPlural())
	if s.Sheets == 1 {
		out = fmt.Sprintf("One sheet lies %s. Its upper face is %s, its lower face %s.", s.Where, s.Up.inSingular(), s.Under.inSingular())
	}
	switch {
	case s.Top == "":
	case s.Sheets == 1:
		out += fmt.Sprintf(" On its front: %s.", s.Top)
	default:
		out += fmt.Sprintf(" On the front of the top sheet: %s. On the front of the bottom sheet: %s.", s.Top, s.Bottom)
	}
	switch {
	case s.Next == 0:
	case s.Sheets == 1:
		out += fmt.Sprintf(" Its %s face is printed next.", s.Next)
	default:
		out += fmt.Sprintf(" The %s faces are printed next.", s.Next)
	}
	if s.Slip != "" {
		out += fmt.Sprintf(" On it lies a slip of paper: %s.", s.Slip)
	}
	return out
}

// inSingular is the same of a single sheet.
func (f Content) inSingular() string {
	switch f {
	case Blank:
		return "blank"
	case Either:
		return "blank or printed"
	}
	return "the " + f.thing()
}

// thing is the side as a thing.
func (f Content) thing() string {
	switch f {
	case Blank:
		return "blank face"
	case Either:
		return "face that came out on top" // whichever it is
	}
	return "printed " + f.String()
}

// thickness is how thick a stack is drawn: enough to tell few from many.
func thickness(sheets int) float64 {
	if sheets == 1 {
		return 0
	}
	return math.Min(30, 2+3*math.Sqrt(float64(sheets)))
}

const calloutX = 152.0 // where names begin

func (s Stack) draw(c *canvas) float64 {
	t := thickness(s.Sheets)
	top, bottom := s.callouts()
	ground := math.Max(64, s.Where.roomAbove(t))
	v := view{point{18, ground}}
	s.Where.draw(c, v, t, true)
	b := s.block(t)
	b.draw(c, v)
	if s.Slip != "" {
		slip := v.all(place{2, 66, t}, place{62, 66, t}, place{62, 96, t}, place{2, 96, t})
		c.area("o", slip...)
		c.text("m", point{(slip[0].x + slip[2].x) / 2, (slip[0].y+slip[2].y)/2 + 4}, s.Slip)
	}
	// Names stand beside the sheets that bear them.
	y := letterHigh + 2
	edge := v.at(sheetWide, sheetDeep*0.7, t)
	c.line("h", edge, point{calloutX - 4, y - 4})
	y = c.column(calloutX, y, top)
	if len(bottom) > 0 {
		y = math.Max(y+6, ground-letterHigh)
		edge = v.at(sheetWide, sheetDeep*0.35, 0)
		c.line("h", edge, point{calloutX - 4, y - 4})
		y = c.column(calloutX, y, bottom)
	}
	under := ground + 26
	tip := v.all(mirror(place{sheetWide, 0, t}, place{sheetWide - cornerX, 0, t}, place{sheetWide, cornerY, t}))[0]
	c.line("h", point{tip.x + 4, tip.y - 4}, point{tip.x - 8, under - 10})
	c.text("", point{8, under}, "underside: "+s.Under.String())
	return math.Max(under+6, y-lineHigh+6)
}

func (s Stack) block(t float64) block {
	return block{wide: sheetWide, deep: sheetDeep, thick: t, sheets: s.Sheets, up: s.Up, under: s.Under}
}

// callouts is what stands beside the top and the bottom sheet, the first line
// of each being its heading.
func (s Stack) callouts() (top, bottom []string) {
	const most = 21
	count := reorder.Count(s.Sheets, "sheet")
	top = []string{count, s.Where.String()}
	if s.Next != 0 {
		top = append(top, "the "+s.Next.String()+" face is", "printed next")
	}
	if s.Top == "" {
		return top, nil
	}
	if s.Sheets == 1 {
		return append(top, wrap(s.Top, most)...), nil
	}
	top = append(append(top, "top sheet:"), wrap(s.Top, most)...)
	return top, append([]string{"bottom sheet:"}, wrap(s.Bottom, most)...)
}

// column writes lines below each other, the first one bold, and returns where
// the next would stand.
func (c *canvas) column(x, y float64, lines []string) float64 {
	for i, l := range lines {
		class := ""
		if i == 0 {
			class = "b"
		}
		c.text(class, point{x, y}, l)
		y += lineHigh
	}
	return y
}

// draw draws the place on which a stack of the given thickness lies, and the
// printer behind it, if need be with the way of the paper.
func (w Where) draw(c *canvas, v view, thick float64, way bool) {
	const rim = 9.0
	left, right, near, far := -rim, sheetWide+rim, -rim, sheetDeep+rim
	if w.onTable() {
		c.line("h", v.all(place{left - 2, near - 4, 0}, place{right + 14, near - 4, 0})...)
		return
	}
	high := thick + printerHigh
	c.area("o", v.all(place{left, far, 0}, place{right, far, 0}, place{right, far, high}, place{left, far, high})...)
	c.text("", v.at(left+6, far, high-16), "printer")
	from, to := place{right - 15, far, thick + 4}, place{right - 15, far, high - 8}
	if w == Delivery {
		from.z, to.z = high-4, thick+8
	}
	if way {
		c.arrow("", v.all(from, to)...)
	}
	c.area("o", v.all(place{left, near, 0}, place{right, near, 0}, place{right, far, 0}, place{left, far, 0})...)
	if w == Tray { // guides at both sides
		const guide = 13.0
		c.area("o", v.all(place{left, near, 0}, place{left, far, 0}, place{left, far, guide}, place{left, near, guide})...)
		c.area("o", v.all(place{right, near + 40, 0}, place{right, far, 0}, place{right, far, guide}, place{right, near + 40, guide})...)
		return
	}
	// a stop at the near end
	c.area("o", v.all(place{left, near, -6}, place{right, near, -6}, place{right, near, 4}, place{left, near, 4})...)
}

// printerHigh is how far the printer rises above a stack.
const printerHigh = 28.0

// roomAbove is the room that what lies there takes above the ground.
func (w Where) roomAbove(thick float64) float64 {
	if w.onTable() {
		return upward*sheetDeep + thick + 4
	}
	return upward*(sheetDeep+9) + thick + printerHigh + 4
}
