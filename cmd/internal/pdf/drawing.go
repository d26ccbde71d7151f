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
	ops   []byte
	fonts [lastFont]bool
}

// Empty tells whether nothing has been drawn.
func (d *Drawing) Empty() bool { return len(d.ops) == 0 }

// appendTo adds the drawing to a side's content.
func (d *Drawing) appendTo(content []byte) []byte {
	if d.Empty() {
		return content
	}
	content = append(content, "q 2.8346457 0 0 2.8346457 0 0 cm\n"...)
	return append(append(content, d.ops...), "Q\n"...)
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
	d.put(grey).op("g")
	d.path(points)
	d.op("f")
}

// Rect draws the outline of a rectangle.
func (d *Drawing) Rect(r geom.Rect, p Pen) {
	if d.pen(p) {
		d.put(r.X0, r.Y0, r.X1-r.X0, r.Y1-r.Y0).op("re S")
	}
}

// FillRect fills a rectangle; 0 is black, 1 is white.
func (d *Drawing) FillRect(r geom.Rect, grey float64) {
	d.put(grey).op("g")
	d.put(r.X0, r.Y0, r.X1-r.X0, r.Y1-r.Y0).op("re f")
}

// Circle draws a circle of the given radius in mm.
func (d *Drawing) Circle(centre geom.Point, radius float64, p Pen) {
	if d.pen(p) {
		d.round(centre, radius)
		d.op("s")
	}
}

// FillCircle fills a circle of the given radius in mm; 0 is black, 1 is white.
func (d *Drawing) FillCircle(centre geom.Point, radius, grey float64) {
	d.put(grey).op("g")
	d.round(centre, radius)
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
	d.put(t.Grey).op("g")
	d.ops = append(append(append(d.ops, '/'), t.Font.key()...), ' ')
	d.put(t.Size).op("Tf")
	d.put(cos, sin, -sin, cos, at.X-back*cos, at.Y-back*sin).op("Tm")
	d.ops = append(d.ops, '(')
	for _, c := range winAnsi(t.Text) {
		if c == '(' || c == ')' || c == '\\' {
			d.ops = append(d.ops, '\\')
		}
		d.ops = append(d.ops, c)
	}
	d.op(") Tj")
	d.op("ET")
}

func (d *Drawing) stroke(p Pen, paint string, points []geom.Point) {
	if len(points) < 2 || !d.pen(p) {
		return
	}
	d.path(points)
	d.op(paint)
}

// pen sets width, colour and dash; a pen without width draws nothing.
func (d *Drawing) pen(p Pen) bool {
	if p.Width <= 0 {
		return false
	}
	d.put(p.Width).op("w")
	d.put(p.Grey).op("G")
	d.ops = append(d.ops, '[')
	d.put(p.Dash...)
	d.op("] 0 d")
	return true
}

func (d *Drawing) path(points []geom.Point) {
	for i, p := range points {
		d.put(p.X, p.Y)
		if i == 0 {
			d.op("m")
		} else {
			d.op("l")
		}
	}
}

// round is a circle's outline of four curves.
func (d *Drawing) round(c geom.Point, r float64) {
	const k = 0.5522847498 // the usual distance of the control points for a quarter circle
	d.put(c.X+r, c.Y).op("m")
	d.put(c.X+r, c.Y+k*r, c.X+k*r, c.Y+r, c.X, c.Y+r).op("c")
	d.put(c.X-k*r, c.Y+r, c.X-r, c.Y+k*r, c.X-r, c.Y).op("c")
	d.put(c.X-r, c.Y-k*r, c.X-k*r, c.Y-r, c.X, c.Y-r).op("c")
	d.put(c.X+k*r, c.Y-r, c.X+r, c.Y-k*r, c.X+r, c.Y).op("c")
}

// put writes numbers, each followed by a blank.
func (d *Drawing) put(v ...float64) *Drawing {
	for _, n := range v {
		d.ops = append(appendNumber(d.ops, n, 4), ' ')
	}
	return d
}

func (d *Drawing) op(name string) { d.ops = append(append(d.ops, name...), '\n') }

// appendNumber writes a number with at most so many decimals.
func appendNumber(b []byte, v float64, decimals int) []byte {
	unit := math.Pow10(decimals)
	r := math.Round(v*unit) / unit
	if r == 0 {
		r = 0 // no minus nought
	}
	return strconv.AppendFloat(b, r, 'f', -1, 64)
}
