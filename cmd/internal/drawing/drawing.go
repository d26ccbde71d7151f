package drawing

import (
	"html"
	"strconv"
)

// Drawing is something that can be drawn.
type Drawing interface {
	// Title says in a few words what is drawn.
	Title() string
	// Desc says what is to be seen, to somebody who does not see it.
	Desc() string
	// draw draws it from the upper left corner on and returns its height; all
	// drawings are wide units wide.
	draw(c *canvas) float64
}

// wide is the width of a drawing in its own units. Its letters are 12 units
// high, so that they have 12 pixels where the drawing is shown 300 pixels wide.
const wide = 300.0

// Style is the CSS of drawings, for the page that holds them.
const Style = `.drawing { display: block; width: 100%; height: auto; }
.drawing text { font-size: 12px; fill: #000; }
.drawing .b { font-weight: 700; }
.drawing .c { text-anchor: middle; }
.drawing .n { font-size: 17px; font-weight: 700; text-anchor: middle; }
.drawing .m { font-size: 12px; font-weight: 700; text-anchor: middle; }
.drawing path { fill: none; stroke: #000; stroke-width: 1.4; stroke-linejoin: round; stroke-linecap: round; }
.drawing .o { fill: #fff; }
.drawing .w { fill: #fff; stroke: none; }
.drawing .h { stroke-width: .8; }
.drawing .e { text-anchor: end; }
.drawing .f { stroke-width: 2.4; }
.drawing .k { stroke-width: 3; }
.drawing .d { stroke-dasharray: 5 4; }
.drawing .q { stroke-dasharray: 2.5 3; fill: #fff; }
.drawing .y { stroke-width: 3; stroke-dasharray: 1.8 1.4; stroke-linecap: butt; }
.drawing .s { fill: #000; }`

// Append appends a drawing as an SVG element. id begins the ids in it and must
// stand nowhere else on the page.
func Append(out []byte, d Drawing, id string) []byte {
	var c canvas
	high := d.draw(&c)
	out = append(out, `<svg class="drawing" viewBox="0 0 `...)
	out = appendTenth(out, wide)
	out = append(out, ' ')
	out = appendTenth(out, high)
	out = append(out, `" role="img" aria-labelledby="`...)
	out = append(out, id+`-title `+id+`-desc"><title id="`+id+`-title">`...)
	out = append(out, html.EscapeString(d.Title())...)
	out = append(out, `</title><desc id="`+id+`-desc">`...)
	out = append(out, html.EscapeString(d.Desc())...)
	out = append(out, `</desc>`...)
	out = append(out, c.out...)
	return append(out, `</svg>`...)
}

// appendTenth writes a length to a tenth of a unit, without a nought at the end.
func appendTenth(out []byte, v float64) []byte {
	n := int(v*10 + 0.5)
	if v < 0 {
		n = -int(-v*10 + 0.5)
		if n < 0 {
			out, n = append(out, '-'), -n
		}
	}
	out = strconv.AppendInt(out, int64(n/10), 10)
	if n%10 != 0 {
		out = append(out, '.', byte('0'+n%10))
	}
	return out
}
