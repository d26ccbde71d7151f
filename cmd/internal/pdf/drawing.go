package pdf

import (
	"math"
	"strconv"

	"foldwright/reorder/geom"
)

// Pen is how a line is drawn. The zero value draws nothing.
type Pen struct {
	Width float64   // mm
	Grey  float64   // 0 is black, 1 is white
	Dash  []float64 // lengths of dashes and gaps in mm; none: a whole line
}

// Drawing collects marks on a side, in mm from the side's lower left corner.
// The zero value is empty and ready to use. A copy shares its marks up to that
// moment; draw on one of the two only.
type Drawing struct {
	operators
	fonts [lastFont]bool
}

// operators are those of a content stream.
type operators []byte

// op writes an operator behind numbers of at most four decimals.
func (o *operators) op(name string, v ...float64) {
	for _, n := range v {
		*o = append(appendNumber(*o, n, 4), ' ')
	}
	*o = append(append(*o, name...), '\n')
}

// dash sets the lengths of dashes and gaps; none: a whole line.
func (o *operators) dash(lengths []float64) {
	*o = append(*o, '[')
	o.op("] 0 d", lengths...)
}

// path goes from point to point.
func (o *operators) path(points ...geom.Point) {
	name := "m"
	for _, p := range points {
		o.op(name, p.X, p.Y)
		name = "l"
	}
}

// ellipse goes round a centre in four curves.
func (o *operators) ellipse(c geom.Point, rx, ry float64) {
	const k = 0.5522847498 // the usual distance of the control points for a quarter circle
	o.op("m", c.X+rx, c.Y)
	o.op("c", c.X+rx, c.Y+k*ry, c.X+k*rx, c.Y+ry, c.X, c.Y+ry)
	o.op("c", c.X-k*rx, c.Y+ry, c.X-rx, c.Y+k*ry, c.X-rx, c.Y)
	o.op("c", c.X-rx, c.Y-k*ry, c.X-k*rx, c.Y-ry, c.X, c.Y-ry)
	o.op("c", c.X+k*rx, c.Y-ry, c.X+rx, c.Y-k*ry, c.X+rx, c.Y)
}

// Empty tells whether nothing has been drawn.
func (d *Drawing) Empty() bool { return len(d.operators) == 0 }

// appendTo adds the drawing to a side's content.
func (d *Drawing) appendTo(content []byte) []byte {
	if d.Empty() {
		return content
	}
	content = append(content, "q 2.8346457 0 0 2.8346457 0 0 cm\n"...)
	return append(append(content, d.operators...), "Q\n"...)
}

// Line draws a straight line.
func (d *Drawing) Line(from, to geom.Point, p Pen) { d.Polyline([]geom.Point{from, to}, p) }

// Polyline draws straight lines from point to point.
func (d *Drawing) Polyline(points []geom.Point, p Pen) { d.stroke(p, "S", points) }

// Polygon draws a closed line through the points.
func (d *Drawing) Polygon(points []geom.Point, p Pen) { d.stroke(p, "s", points) }

// FillPolygon fills the shape within the points; 0 is black, 1 is white.
func (d *Drawing) FillPolygon(points []geom.Point, grey float64) {
	if len(points) < 3 {
		return
	}
	d.op("g", grey)
	d.path(points...)
	d.op("f")
}

// Rect draws the outline of a rectangle.
func (d *Drawing) Rect(r geom.Rect, p Pen) {
	if d.pen(p) {
		d.op("re S", r.X0, r.Y0, r.X1-r.X0, r.Y1-r.Y0)
	}
}

// FillRect fills a rectangle; 0 is black, 1 is white.
func (d *Drawing) FillRect(r geom.Rect, grey float64) {
	d.op("g", grey)
	d.op("re f", r.X0, r.Y0, r.X1-r.X0, r.Y1-r.Y0)
}

// Circle draws a circle of the given radius in mm.
func (d *Drawing) Circle(centre geom.Point, radius float64, p Pen) {
	if d.pen(p) {
		d.ellipse(centre, radius, radius)
		d.op("s")
	}
}

// FillCircle fills a circle of the given radius in mm; 0 is black, 1 is white.
func (d *Drawing) FillCircle(centre geom.Point, radius, grey float64) {
	d.op("g", grey)
	d.ellipse(centre, radius, radius)
	d.op("f")
}

// Text writes one line with its anchor at a point of the baseline.
func (d *Drawing) Text(at geom.Point, t Text) {
	if t.Text == "" || t.Font <= 0 || t.Font >= lastFont {
		return
	}
	d.fonts[t.Font] = true
	back := 0.0
	switch t.Anchor {
	case AnchorCentre:
		back = t.Width() / 2
	case AnchorRight:
		back = t.Width()
	}
	sin, cos := math.Sincos(t.Angle * math.Pi / 180)
	d.op("BT")
	d.op("g", t.Grey)
	d.operators = append(append(append(d.operators, '/'), fontNames[t.Font].key...), ' ')
	d.op("Tf", t.Size)
	d.op("Tm", cos, sin, -sin, cos, at.X-back*cos, at.Y-back*sin)
	d.show(t)
	d.op("ET")
}

// show writes the letters of a line.
func (d *Drawing) show(t Text) {
	if t.Font.IsEmbedded() {
		d.operators = appendGlyphs(d.operators, t.Font, t.Text)
		d.op(" Tj")
		return
	}
	d.operators = append(d.operators, '(')
	for _, c := range winAnsi(t.Text) {
		if c == '(' || c == ')' || c == '\\' {
			d.operators = append(d.operators, '\\')
		}
		d.operators = append(d.operators, c)
	}
	d.op(") Tj")
}

// Within draws another drawing moved, turned or mirrored by a map, and no more of it than what lies in a
// rectangle of this side.
func (d *Drawing) Within(window geom.Rect, m geom.Matrix, part Drawing) {
	if part.Empty() || window.IsEmpty() {
		return
	}
	for f, used := range part.fonts {
		d.fonts[f] = d.fonts[f] || used
	}
	d.op("q")
	d.op("re W n", window.X0, window.Y0, window.X1-window.X0, window.Y1-window.Y0)
	d.operators = append(appendMatrix(d.operators, m), " cm\n"...)
	d.operators = append(d.operators, part.operators...)
	d.op("Q")
}

func (d *Drawing) stroke(p Pen, paint string, points []geom.Point) {
	if len(points) < 2 || !d.pen(p) {
		return
	}
	d.path(points...)
	d.op(paint)
}

// pen sets width, colour and dash; a pen without width draws nothing.
func (d *Drawing) pen(p Pen) bool {
	if p.Width <= 0 {
		return false
	}
	d.op("w", p.Width)
	d.op("G", p.Grey)
	d.dash(p.Dash)
	return true
}

// appendNumber writes a number with at most so many decimals.
func appendNumber(b []byte, v float64, decimals int) []byte {
	unit := math.Pow10(decimals)
	r := math.Round(v*unit) / unit
	if r == 0 {
		r = 0 // not minus zero
	}
	return strconv.AppendFloat(b, r, 'f', -1, 64)
}
