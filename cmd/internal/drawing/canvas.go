package drawing

import (
	_ "embed"
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Drawing is something that can be drawn.
type Drawing interface {
	// Describe says in a few words what is drawn, and at length what is to be seen, to somebody who does not see it.
	Describe() (title, desc string)
	// draw draws it from the upper left corner on and returns its height; all
	// drawings are wide units wide.
	draw(c *canvas) float64
}

// wide is the width of a drawing in its own units. Its letters are 12 units
// high, so that they have 12 pixels where the drawing is shown 300 pixels wide.
const wide = 300.0

// Style is the CSS of drawings, for the page that holds them.
//
//go:embed drawing.css
var Style string

// Append appends a drawing as an SVG element. id begins the ids in it and must
// stand nowhere else on the page.
func Append(out []byte, d Drawing, id string) []byte {
	var c canvas
	high := d.draw(&c)
	title, desc := d.Describe()
	out = fmt.Appendf(out, `<svg class="drawing" viewBox="0 0 %v %s" role="img" aria-labelledby="%s-title %s-desc"><title id="%s-title">%s</title><desc id="%s-desc">%s</desc>`,
		wide, appendTenth(nil, high), id, id, id, html.EscapeString(title), id, html.EscapeString(desc))
	return append(append(out, c.out...), `</svg>`...)
}

// appendTenth writes a length to a tenth of a unit, without a nought at the end.
func appendTenth(out []byte, v float64) []byte {
	n := int(math.Round(v * 10))
	if n < 0 {
		out, n = append(out, '-'), -n
	}
	out = strconv.AppendInt(out, int64(n/10), 10)
	if n%10 != 0 {
		out = append(out, '.', byte('0'+n%10))
	}
	return out
}

// point is a place on the drawing: x to the right, y down.
type point struct{ x, y float64 }

// canvas is a drawing on its way to SVG, or onto a page.
type canvas struct {
	out  []byte
	ink  *ink // of a page; nil: SVG
	fine bool // places are written to a thousandth of a unit, for what is measured in the drawing
}

func (c *canvas) appendPlace(out []byte, v float64) []byte {
	if c.fine {
		return strconv.AppendFloat(out, math.Round(v*1000)/1000, 'f', -1, 64)
	}
	return appendTenth(out, v)
}

// isSame tells whether two coordinates are written alike.
func (c *canvas) isSame(a, b float64) bool {
	steps := 10.0
	if c.fine {
		steps = 1000
	}
	return math.Round(steps*a) == math.Round(steps*b)
}

func (c *canvas) drawLine(class string, points ...point) { c.drawPath(class, "", points) }

func (c *canvas) drawArea(class string, points ...point) { c.drawPath(class, "z", points) }

// drawBox draws a rectangle between two of its corners.
func (c *canvas) drawBox(class string, x0, y0, x1, y1 float64) {
	c.drawArea(class, point{x0, y0}, point{x1, y0}, point{x1, y1}, point{x0, y1})
}

func (c *canvas) drawLines(class string, lines [][]point) {
	if len(lines) > 0 {
		c.drawPath(class, "", lines...)
	}
}

// drawPath draws lines as one path that ends in a command.
func (c *canvas) drawPath(class, end string, lines ...[]point) {
	if c.ink != nil {
		c.ink.drawPath(class, end != "", lines)
		return
	}
	c.out = append(c.out, `<path`...)
	if class != "" {
		c.out = append(c.out, ` class="`+class+`"`...)
	}
	c.out = append(c.out, ` d="`...)
	for _, points := range lines {
		c.addPoints(points)
	}
	c.out = append(c.out, end+`"/>`...)
}

func (c *canvas) addPoints(points []point) {
	for i, p := range points {
		switch {
		case i > 0 && c.isSame(p.y, points[i-1].y):
			c.out = c.appendPlace(append(c.out, 'H'), p.x)
			continue
		case i > 0 && c.isSame(p.x, points[i-1].x):
			c.out = c.appendPlace(append(c.out, 'V'), p.y)
			continue
		case i > 0:
			c.out = append(c.out, 'L')
		default:
			c.out = append(c.out, 'M')
		}
		c.out = c.appendPlace(c.out, p.x)
		c.out = append(c.out, ' ')
		c.out = c.appendPlace(c.out, p.y)
	}
}

// lower moves down what a function draws.
func (c *canvas) lower(y float64, draw func()) {
	if c.ink != nil {
		c.ink.down += y
		draw()
		c.ink.down -= y
		return
	}
	c.out = fmt.Appendf(c.out, `<g transform="translate(0 %s)">`, appendTenth(nil, y))
	draw()
	c.out = append(c.out, "</g>"...)
}

// writeText writes a line of text, its base line through the point.
func (c *canvas) writeText(class string, at point, text string) { c.writeTurned(class, at, text, 0) }

// writeTurned writes a line of text turned clockwise by degrees about the point.
func (c *canvas) writeTurned(class string, at point, text string, degrees int) {
	if c.ink != nil {
		c.ink.writeText(class, at, text, degrees)
		return
	}
	x, y := c.appendPlace(nil, at.x), c.appendPlace(nil, at.y)
	c.out = fmt.Appendf(c.out, `<text x="%s" y="%s`, x, y)
	if class != "" {
		c.out = append(c.out, `" class="`+class...)
	}
	if degrees != 0 {
		c.out = fmt.Appendf(c.out, `" transform="rotate(%d %s %s)`, degrees, x, y)
	}
	c.out = append(c.out, `">`+html.EscapeString(text)+`</text>`...)
}

const (
	letterHigh = 12.0
	lineHigh   = 15.0
	letterWide = 7.0 // on average, for the broadest fonts that readers have
)

// writeTag writes a word in the middle of a side, on a white ground.
func (c *canvas) writeTag(at point, word string) {
	half := float64(utf8.RuneCountInString(word))*letterWide/2 + 2
	c.drawBox("w", at.x-half, at.y-8, at.x+half, at.y+8)
	c.writeText("b c", point{at.x, at.y + 4}, word)
}

// arc is so many points of an arc from one angle to another; place makes of the cosine and the sine of an angle
// a point of the drawing.
func arc(points int, from, to float64, place func(cos, sin float64) point) []point {
	way := make([]point, points)
	for i := range way {
		sin, cos := math.Sincos(from + (to-from)*float64(i)/float64(points-1))
		way[i] = place(cos, sin)
	}
	return way
}

// ring is a circle as corners enough to look round.
func ring(at point, radius float64) []point {
	return arc(13, 0, 2*math.Pi, func(cos, sin float64) point { return point{at.x + radius*cos, at.y + radius*sin} })[:12]
}

// drawArrow draws a line with a head at its end.
func (c *canvas) drawArrow(class string, points ...point) {
	c.drawLine(class, points...)
	to := points[len(points)-1]
	from := points[len(points)-2]
	length := math.Hypot(to.x-from.x, to.y-from.y)
	dx, dy := (to.x-from.x)/length, (to.y-from.y)/length
	tip := point{to.x + 4*dx, to.y + 4*dy}
	c.drawArea("s", tip, point{tip.x - 9*dx + 4*dy, tip.y - 9*dy - 4*dx}, point{tip.x - 9*dx - 4*dy, tip.y - 9*dy + 4*dx})
}

// Series is several drawings that belong to one thing to do, one after the other.
type Series struct {
	What  string
	Steps []Drawing
}

func (s Series) Describe() (title, desc string) {
	var out []string
	for i, d := range s.Steps {
		_, step := d.Describe()
		out = append(out, fmt.Sprintf("%d: %s", i+1, step))
	}
	return s.What, strings.Join(out, " ")
}

func (s Series) draw(c *canvas) float64 {
	y := 0.0
	for i, d := range s.Steps {
		high := 0.0
		c.lower(y, func() {
			c.writeText("b", point{2, letterHigh}, fmt.Sprintf("%d.", i+1))
			high = d.draw(c)
		})
		y += high + 6
	}
	return y
}
