package drawing

import (
	"fmt"
	"strings"

	"foldwright/printer"
)

// held is a test sheet looked at straight on, upright or turned half round: x and y
// are shares of its width and height, from its upper left corner if it is held upright.
type held struct {
	corner     point // the upper left one, as it is drawn
	wide, high float64
	halfTurn   bool
}

func (s held) at(x, y float64) point {
	if s.halfTurn {
		x, y = 1-x, 1-y
	}
	return point{s.corner.x + x*s.wide, s.corner.y + y*s.high}
}

func (s held) drawOutline(c *canvas) {
	c.drawBox("o", s.corner.x, s.corner.y, s.corner.x+s.wide, s.corner.y+s.high)
}

// write writes a word with its middle at a place.
func (s held) write(c *canvas, class string, x, y float64, text string) {
	at := s.at(x, y)
	if s.halfTurn {
		c.writeTurned(class, point{at.x, at.y - 5}, text, 180)
		return
	}
	c.writeText(class, point{at.x, at.y + 5}, text)
}

// writeCorners writes a letter into each corner, clockwise from the upper left, so far inwards.
func (s held) writeCorners(c *canvas, class string, letters []string, in float64) {
	x, y := in/s.wide, in/s.high
	for i, at := range [][2]float64{{x, y}, {1 - x, y}, {1 - x, 1 - y}, {x, 1 - y}} {
		s.write(c, class, at[0], at[1], letters[i])
	}
}

// Letters and numbers in the corners of a test sheet, clockwise from the upper left.
var (
	frontCorners = []string{"K", "L", "M", "N"}
	backCorners  = []string{"1", "2", "3", "4"}
	cornersOf    = map[Content][]string{Front: frontCorners, Back: backCorners}
)

// drawSides draws the two sides of a test sheet beside each other, from a level down.
func drawSides(c *canvas, top float64) (front, other held) {
	front = held{corner: point{30, top}, wide: 96, high: 124}
	other = front
	other.corner.x = 174
	front.drawOutline(c)
	other.drawOutline(c)
	return front, other
}

// labelSides writes below each of the two what it is, and returns the height of the drawing.
func labelSides(c *canvas, front, other held, label string) float64 {
	low := front.corner.y + front.high + 16
	c.writeText("c", point{front.corner.x + front.wide/2, low}, "the side with K")
	c.writeText("c", point{other.corner.x + other.wide/2, low}, label)
	return low + 8
}

// Pin is a test sheet through whose cross at K a pin was pushed: which number is at the hole
// follows from how its two prints lie to each other.
type Pin struct {
	OneFace  bool // both prints are on one face
	HalfTurn bool // the print of the back is upside down, once the sheet is turned over like a page
}

// Number is the number at the hole.
func (p Pin) Number() string {
	return map[Pin]string{{true, false}: "1", {false, false}: "2", {true, true}: "3", {false, true}: "4"}[p]
}

func (p Pin) Describe() (title, desc string) {
	title = "At the hole is the number " + p.Number()
	upright := map[bool]string{false: "the right way up", true: "upside down"}[p.HalfTurn]
	if p.OneFace {
		return title, fmt.Sprintf("Letters and numbers are all on one side, the numbers %s. In the corner of the K is the number %s. The other side is blank.", upright, p.Number())
	}
	return title, fmt.Sprintf("A pin goes through the corner K of the front. Turned over like the page of a book, the back is %s, and the hole is beside its number %s.", upright, p.Number())
}

func (p Pin) draw(c *canvas) float64 {
	front, other := drawSides(c, 22)
	front.writeCorners(c, "n", frontCorners, 20)
	printed, label, in := other, "its other side", 24.0
	if p.OneFace {
		printed, label, in = front, "its other side: blank", 38
	}
	printed.halfTurn = p.HalfTurn
	printed.writeCorners(c, "n", backCorners, in)
	if !p.OneFace {
		front.write(c, "c", 0.5, 0.5, "front")
		printed.write(c, "c", 0.5, 0.5, "back")
	}
	hole := point{front.corner.x + 8, front.corner.y + 8}
	c.drawLine("f", hole, point{hole.x - 8, hole.y - 24})
	c.drawArea("s", ring(point{hole.x - 8, hole.y - 24}, 4)...)
	c.drawArea("s", ring(hole, 3)...)
	out := point{other.corner.x + other.wide - 8, other.corner.y + 8}
	c.drawArea("s", ring(out, 3)...)
	c.drawLine("f", out, point{out.x + 6, out.y - 18})
	return labelSides(c, front, other, label)
}

// PencilCross is where the pencil cross is: in the circle on the side with the letters, or on the other side.
type PencilCross struct{ Printed bool }

func (p PencilCross) Describe() (title, desc string) {
	if p.Printed {
		return "The pencil cross is in the circle",
			"The side with the letters K L M N has the pencil cross in the circle in its middle. The other side has none."
	}
	return "The pencil cross is on the other side",
		"The side with the letters K L M N has an empty circle in its middle. The pencil cross is on its other side."
}

func (p PencilCross) draw(c *canvas) float64 {
	front, other := drawSides(c, 6)
	front.writeCorners(c, "m", frontCorners, 14)
	c.drawArea("", ring(front.at(0.5, 0.5), 18)...)
	on := other
	if p.Printed {
		on = front
	}
	drawPencilCross(c, on.at(0.5, 0.5))
	return labelSides(c, front, other, "its other side")
}

// drawPencilCross draws a cross in pencil.
func drawPencilCross(c *canvas, at point) {
	c.drawLine("k", point{at.x - 9, at.y - 10}, point{at.x + 9, at.y + 9})
	c.drawLine("k", point{at.x - 10, at.y + 9}, point{at.x + 10, at.y - 9})
}

// Topmost is sheets with numerals as they lie, from the top down.
type Topmost struct{ Numerals []string }

func (t Topmost) Describe() (title, desc string) {
	return "Sheet " + t.Numerals[0] + " lies on top",
		"The sheets lie on each other, a little apart. From the top down they are " + strings.Join(t.Numerals, ", ") + "."
}

func (t Topmost) draw(c *canvas) float64 {
	const across, high, step = 92.0, 112.0, 26.0
	n := float64(len(t.Numerals) - 1)
	for i := len(t.Numerals) - 1; i >= 0; i-- {
		by := step * float64(i)
		x, y := (wide-across-n*step)/2+by, 6+n*12-by*12/step
		c.drawBox("o", x, y, x+across, y+high)
		if i > 0 {
			c.writeText("m", point{x + across - step/2, y + 24}, t.Numerals[i])
			continue
		}
		c.writeText("n", point{x + across/2, y + high/2 + 6}, t.Numerals[i])
		c.writeText("c", point{x + across/2, y + high/2 - 16}, "sheet")
	}
	return 6 + n*12 + high + 6
}

// Landing is where the next sheet comes to rest, seen from the side.
type Landing struct{ Next printer.Stacks }

func (l Landing) where() string {
	return map[printer.Stacks]string{printer.OnTop: "on top of", printer.Beneath: "beneath"}[l.Next]
}

func (l Landing) Describe() (title, desc string) {
	return "Each sheet lands " + l.where() + " the one before it",
		"Seen from the side, a sheet comes out of the printer and comes to rest " + l.where() + " the sheets that lie in the delivery."
}

func (l Landing) draw(c *canvas) float64 {
	const floor, left, right = 96.0, 100.0, 230.0
	c.drawBox("o", 14, 12, 80, floor+8)
	c.writeText("", point{20, 30}, "printer")
	c.drawLine("k", point{80, floor + 4}, point{right + 40, floor + 4}, point{right + 40, floor - 14})
	base := floor
	if l.Next == printer.Beneath {
		base -= 24
	}
	for i := range 2 {
		c.drawLine("f", point{left, base - 7*float64(i)}, point{right, base - 7*float64(i)})
	}
	c.writeText("", point{left + 6, base - 16}, "come before")
	y := base - 46
	if l.Next == printer.Beneath {
		y = floor - 6
	}
	c.drawLine("y", point{84, y}, point{190, y})
	c.drawArrow("k", point{194, y}, point{right - 4, y})
	c.writeText("", point{left + 6, floor + 24}, map[printer.Stacks]string{printer.OnTop: "the next comes on top", printer.Beneath: "the next comes beneath"}[l.Next])
	return floor + 32
}

// Sheets is test sheets as they come out of the printer, with their numerals.
type Sheets struct{ Numerals []string }

func (s Sheets) Describe() (title, desc string) {
	if len(s.Numerals) < 2 {
		return "One test sheet", "One sheet with letters in its corners."
	}
	return "Test sheets " + strings.Join(s.Numerals, ", "), "Sheets with letters in their corners, each with its numeral."
}

func (s Sheets) draw(c *canvas) float64 {
	n := max(1, len(s.Numerals))
	const across, high = 84.0, 108.0
	gap := (wide - across*float64(n)) / float64(n+1)
	for i := range n {
		h := held{corner: point{gap + (across+gap)*float64(i), 6}, wide: across, high: high}
		h.drawOutline(c)
		h.writeCorners(c, "m", frontCorners, 13)
		if i < len(s.Numerals) {
			h.write(c, "n", 0.5, 0.5, s.Numerals[i])
		}
	}
	return high + 12
}

// Pencilled is blank sheets in the tray, a pencil cross on the side of each that lies up.
type Pencilled struct{ Count int }

func (p Pencilled) Describe() (title, desc string) {
	title = "A pencil cross on the side that lies up"
	if p.Count == 1 {
		return title, "A blank sheet lies in the tray. A cross is pencilled in the middle of its upper side."
	}
	return title, fmt.Sprintf("%d blank sheets lie in the tray. A cross is pencilled in the middle of the upper side of each.", p.Count)
}

func (p Pencilled) draw(c *canvas) float64 {
	v, thick := Stack{Where: Tray, Sheets: p.Count, Under: Blank}.drawAt(c, 18, false)
	drawPencilCross(c, v.at(sheetWide*0.47, sheetDeep*0.55, thick))
	c.writeText("b", point{156, letterHigh + 8}, fmt.Sprintf("%d blank", p.Count))
	c.writeText("", point{156, letterHigh + 8 + lineHigh}, "pencil cross up")
	return v.origin.y + 14
}

// PutIn is a sheet that is still on its way back into the tray: how, is for the person to choose.
type PutIn struct{ Count int }

func (p PutIn) Describe() (title, desc string) {
	return "From the delivery back into the tray",
		"What has come out is lifted over into the tray, as you would put back a stack. Remember what you do with it."
}

func (p PutIn) draw(c *canvas) float64 {
	first, _ := Stack{Where: Delivery, Sheets: p.Count, Up: Either, Under: Either}.drawAt(c, 14, true)
	ground := first.origin.y
	Tray.draw(c, view{point{secondX, ground}}, 0, false)
	c.drawArrow("k", point{secondX - 46, ground - 20}, point{secondX - 16, ground - 20})
	c.writeText("b", point{4, ground + 22}, Delivery.short())
	c.writeText("b", point{secondX - 6, ground + 22}, Tray.short())
	return ground + 30
}
