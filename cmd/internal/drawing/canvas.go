package drawing

import (
	"html"
	"math"
	"strings"
	"unicode/utf8"
)

// point is a place on the drawing: x to the right, y down.
type point struct{ x, y float64 }

// canvas is a drawing on its way to SVG.
type canvas struct{ out []byte }

// line draws a line through the points.
func (c *canvas) line(class string, points ...point) { c.trace(class, points, false) }

// area draws the outline of an area.
func (c *canvas) area(class string, points ...point) { c.trace(class, points, true) }

func (c *canvas) trace(class string, points []point, closed bool) {
	c.open(class)
	c.along(points)
	if closed {
		c.out = append(c.out, 'z')
	}
	c.close()
}

// lines draws several lines as one path.
func (c *canvas) lines(class string, lines [][]point) {
	if len(lines) == 0 {
		return
	}
	c.open(class)
	for _, l := range lines {
		c.along(l)
	}
	c.close()
}

func (c *canvas) open(class string) {
	c.out = append(c.out, `<path`...)
	if class != "" {
		c.out = append(c.out, ` class="`+class+`"`...)
	}
	c.out = append(c.out, ` d="`...)
}

func (c *canvas) close() { c.out = append(c.out, `"/>`...) }

func (c *canvas) along(points []point) {
	for i, p := range points {
		switch {
		case i > 0 && math.Round(10*p.y) == math.Round(10*points[i-1].y):
			c.out = appendTenth(append(c.out, 'H'), p.x)
			continue
		case i > 0 && math.Round(10*p.x) == math.Round(10*points[i-1].x):
			c.out = appendTenth(append(c.out, 'V'), p.y)
			continue
		case i > 0:
			c.out = append(c.out, 'L')
		default:
			c.out = append(c.out, 'M')
		}
		c.out = appendTenth(c.out, p.x)
		c.out = append(c.out, ' ')
		c.out = appendTenth(c.out, p.y)
	}
}

// shift begins a group that is moved down; the caller closes it.
func (c *canvas) shift(y float64) {
	c.out = append(c.out, `<g transform="translate(0 `...)
	c.out = appendTenth(c.out, y)
	c.out = append(c.out, `)">`...)
}

// text writes a line of text, its base line through the point.
func (c *canvas) text(class string, at point, text string) { c.turned(class, at, text, 0) }

// turned writes a line of text turned clockwise by degrees about the point.
func (c *canvas) turned(class string, at point, text string, degrees int) {
	c.out = append(c.out, `<text x="`...)
	c.out = appendTenth(c.out, at.x)
	c.out = append(c.out, `" y="`...)
	c.out = appendTenth(c.out, at.y)
	if class != "" {
		c.out = append(c.out, `" class="`+class...)
	}
	if degrees != 0 {
		c.out = append(c.out, `" transform="rotate(`...)
		c.out = appendTenth(c.out, float64(degrees))
		c.out = append(c.out, ' ')
		c.out = appendTenth(c.out, at.x)
		c.out = append(c.out, ' ')
		c.out = appendTenth(c.out, at.y)
		c.out = append(c.out, ')')
	}
	c.out = append(c.out, `">`...)
	c.out = append(c.out, html.EscapeString(text)...)
	c.out = append(c.out, `</text>`...)
}

const (
	letterHigh = 12.0
	lineHigh   = 15.0
	letterWide = 7.0 // on average, for the broadest fonts that readers have
)

// tag writes a word in the middle of a face, on a white ground.
func (c *canvas) tag(at point, word string) {
	half := float64(utf8.RuneCountInString(word))*letterWide/2 + 2
	c.area("w", point{at.x - half, at.y - 8}, point{at.x + half, at.y - 8}, point{at.x + half, at.y + 8}, point{at.x - half, at.y + 8})
	c.text("b c", point{at.x, at.y + 4}, word)
}

// arrow draws a line with a head at its end.
func (c *canvas) arrow(class string, points ...point) {
	c.line(class, points...)
	to := points[len(points)-1]
	from := points[len(points)-2]
	length := math.Hypot(to.x-from.x, to.y-from.y)
	dx, dy := (to.x-from.x)/length, (to.y-from.y)/length
	tip := point{to.x + 4*dx, to.y + 4*dy}
	c.area("s", tip, point{tip.x - 9*dx + 4*dy, tip.y - 9*dy - 4*dx}, point{tip.x - 9*dx - 4*dy, tip.y - 9*dy + 4*dx})
}

// wrapped is a side name in lines of at most so many letters: it is broken
// where it has its dots, and at commas where that is not enough.
func wrapped(name string, most int) []string {
	var lines []string
	for part := range strings.SplitSeq(name, " \u00b7 ") {
		line := ""
		for i, piece := range strings.SplitAfter(part, ", ") {
			if i > 0 && utf8.RuneCountInString(line+piece) > most {
				lines = append(lines, strings.TrimSpace(line))
				line = ""
			}
			line += piece
		}
		lines = append(lines, line)
	}
	return lines
}
