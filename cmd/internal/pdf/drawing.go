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

// add writes an operator behind numbers of at most four decimals.
func (o *operators) add(name string, v ...float64) {
	for _, n := range v {
		*o = append(appendNumber(*o, n, 4), ' ')
	}
	*o = append(append(*o, name...), '\n')
}

// setDash sets the lengths of dashes and gaps; none: a whole line.
func (o *operators) setDash(lengths []float64) {
	*o = append(*o, '[')
	o.add("] 0 d", lengths...)
}

// addPath goes from point to point.
func (o *operators) addPath(points ...geom.Point) {
	name := "m"
	for _, p := range points {
		o.add(name, p.X, p.Y)
		name = "l"
	}
}

// addEllipse goes round a centre in four curves.
func (o *operators) addEllipse(c geom.Point, rx, ry float64) {
	const k = 0.5522847498 // the usual distance of the control points for a quarter circle
	o.add("m", c.X+rx, c.Y)
	o.add("c", c.X+rx, c.Y+k*ry, c.X+k*rx, c.Y+ry, c.X, c.Y+ry)
	o.add("c", c.X-k*rx, c.Y+ry, c.X-rx, c.Y+k*ry, c.X-rx, c.Y)
	o.add("c", c.X-rx, c.Y-k*ry, c.X-k*rx, c.Y-ry, c.X, c.Y-ry)
	o.add("c", c.X+k*rx, c.Y-ry, c.X+rx, c.Y-k*ry, c.X+rx, c.Y)
}

// IsEmpty tells whether nothing has been drawn.
func (d *Drawing) IsEmpty() bool { return len(d.operators) == 0 }

// appendTo adds the drawing to a side's content.
func (d *Drawing) appendTo(content []byte) []byte {
	if d.IsEmpty() {
		return content
	}
	content = append(content, "q 2.8346457 0 0 2.8346457 0 0 cm\n"...)
	return append(append(content, d.operators...), "Q\n"...)
}

// DrawLine draws a straight line.
func (d *Drawing) DrawLine(from, to geom.Point, p Pen) { d.DrawPolyline([]geom.Point{from, to}, p) }

// DrawPolyline draws straight lines from point to point.
func (d *Drawing) DrawPolyline(points []geom.Point, p Pen) { d.stroke(p, "S", points) }

// DrawPolygon draws a closed line through the points.
func (d *Drawing) DrawPolygon(points []geom.Point, p Pen) { d.stroke(p, "s", points) }

// FillPolygon fills the shape within the points; 0 is black, 1 is white.
func (d *Drawing) FillPolygon(points []geom.Point, grey float64) {
	if len(points) < 3 {
		return
	}
	d.add("g", grey)
	d.addPath(points...)
	d.add("f")
}

// DrawRect draws the outline of a rectangle.
func (d *Drawing) DrawRect(r geom.Rect, p Pen) {
	if d.takePen(p) {
		d.add("re S", r.X0, r.Y0, r.X1-r.X0, r.Y1-r.Y0)
	}
}

// FillRect fills a rectangle; 0 is black, 1 is white.
func (d *Drawing) FillRect(r geom.Rect, grey float64) {
	d.add("g", grey)
	d.add("re f", r.X0, r.Y0, r.X1-r.X0, r.Y1-r.Y0)
}

// DrawCircle draws a circle of the given radius in mm.
func (d *Drawing) DrawCircle(centre geom.Point, radius float64, p Pen) {
	if d.takePen(p) {
		d.addEllipse(centre, radius, radius)
		d.add("s")
	}
}

// FillCircle fills a circle of the given radius in mm; 0 is black, 1 is white.
func (d *Drawing) FillCircle(centre geom.Point, radius, grey float64) {
	d.add("g", grey)
	d.addEllipse(centre, radius, radius)
	d.add("f")
}

// WriteText writes one line with its anchor at a point of the baseline.
func (d *Drawing) WriteText(at geom.Point, t Text) {
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
	d.add("BT")
	d.add("g", t.Grey)
	d.operators = append(append(append(d.operators, '/'), fontNames[t.Font].key...), ' ')
	d.add("Tf", t.Size)
	d.add("Tm", cos, sin, -sin, cos, at.X-back*cos, at.Y-back*sin)
	d.show(t)
	d.add("ET")
}

// show writes the letters of a line.
func (d *Drawing) show(t Text) {
	if t.Font.IsEmbedded() {
		d.operators = appendGlyphs(d.operators, t.Font, t.Text)
		d.add(" Tj")
		return
	}
	d.operators = append(d.operators, '(')
	for _, c := range winAnsi(t.Text) {
		if c == '(' || c == ')' || c == '\\' {
			d.operators = append(d.operators, '\\')
		}
		d.operators = append(d.operators, c)
	}
	d.add(") Tj")
}

// DrawWithin draws another drawing moved, turned or mirrored by a map, and no more of it than what lies in a
// rectangle of this side.
func (d *Drawing) DrawWithin(window geom.Rect, m geom.Matrix, part Drawing) {
	if part.IsEmpty() || window.IsEmpty() {
		return
	}
	for f, used := range part.fonts {
		d.fonts[f] = d.fonts[f] || used
	}
	d.add("q")
	d.add("re W n", window.X0, window.Y0, window.X1-window.X0, window.Y1-window.Y0)
	d.operators = append(appendMatrix(d.operators, m), " cm\n"...)
	d.operators = append(d.operators, part.operators...)
	d.add("Q")
}

func (d *Drawing) stroke(p Pen, paint string, points []geom.Point) {
	if len(points) < 2 || !d.takePen(p) {
		return
	}
	d.addPath(points...)
	d.add(paint)
}

// takePen sets width, colour and dash; a pen without width draws nothing.
func (d *Drawing) takePen(p Pen) bool {
	if p.Width <= 0 {
		return false
	}
	d.add("w", p.Width)
	d.add("G", p.Grey)
	d.setDash(p.Dash)
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
