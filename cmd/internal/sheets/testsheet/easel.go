package testsheet

import (
	"math"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

// Widths of lines in mm, and greys.
const (
	hair  = 0.15
	thin  = 0.25
	bold  = 0.5
	black = 0.0
	grey  = 0.45
	light = 0.78
	tint  = 0.9
	white = 1.0
)

// capHeight is the height of capitals and digits of Helvetica in parts of the
// font's size (Adobe's Core14 AFM files: CapHeight 718).
const capHeight = 0.718

// easel draws on a side through a map, so that a side can be corrected for what the
// printer does to it. Letters keep their size: the corrections are too small
// to be seen in them.
type easel struct {
	drawing *pdf.Drawing
	through geom.Matrix
}

func (e easel) points(points []geom.Point) []geom.Point {
	return lists.Map(points, e.through.Apply)
}

func (e easel) drawLine(from, to geom.Point, width float64) { e.drawPolyline(width, from, to) }

func (e easel) drawSegment(s Segment, width float64) { e.drawLine(s.From, s.To, width) }

func (e easel) drawPolyline(width float64, points ...geom.Point) {
	e.drawing.DrawPolyline(e.points(points), pdf.Pen{Width: width})
}

func (e easel) drawPolygon(width float64, points ...geom.Point) {
	e.drawing.DrawPolygon(e.points(points), pdf.Pen{Width: width})
}

func (e easel) fill(shade float64, points ...geom.Point) {
	e.drawing.FillPolygon(e.points(points), shade)
}

func (e easel) drawCircle(centre geom.Point, radius, width float64) {
	e.drawing.DrawCircle(e.through.Apply(centre), radius, pdf.Pen{Width: width})
}

func (e easel) drawDot(centre geom.Point, radius, shade float64) {
	e.drawing.FillCircle(e.through.Apply(centre), radius, shade)
}

// drawCross is a cross of two lines, each reaching so far from the middle.
func (e easel) drawCross(at geom.Point, reach, width float64) {
	for _, way := range []geom.Point{{X: reach}, {Y: reach}} {
		e.drawLine(at.Minus(way), at.Plus(way), width)
	}
}

type arrow struct {
	tip          geom.Point
	neck, bottom float64 // their y
	head, shaft  float64 // half their widths
}

func (e easel) drawArrow(a arrow, shade, width float64) {
	at := func(x, y float64) geom.Point { return geom.Point{X: a.tip.X + x, Y: y} }
	outline := []geom.Point{
		a.tip, at(a.head, a.neck), at(a.shaft, a.neck), at(a.shaft, a.bottom),
		at(-a.shaft, a.bottom), at(-a.shaft, a.neck), at(-a.head, a.neck),
	}
	e.fill(shade, outline...)
	e.drawPolygon(width, outline...)
}

// writeText is one line of text by its anchor on the baseline.
func (e easel) writeText(at geom.Point, t pdf.Text) {
	dir := e.through.Direction(geom.Point{X: 1})
	t.Angle += math.Atan2(dir.Y, dir.X) * 180 / math.Pi
	e.drawing.WriteText(e.through.Apply(at), t)
}

// writeWord is a word of capitals or digits with its middle at a point.
func (e easel) writeWord(middle geom.Point, text string, font pdf.Font, size, shade float64) {
	e.writeText(geom.Point{X: middle.X, Y: middle.Y - size*capHeight/2},
		pdf.Text{Text: text, Font: font, Size: size, Grey: shade, Anchor: pdf.AnchorCentre})
}

type writing struct {
	font    pdf.Font
	size    float64 // mm
	leading float64 // mm from line to line
	shade   float64
	anchor  pdf.Anchor
}

// breakLines breaks a text so that no line is longer than a width in mm.
func (w writing) breakLines(text string, width float64) []string {
	return pdf.Text{Text: text, Font: w.font, Size: w.size}.Lines(width)
}

// write sets a text below a point and returns where the next line would stand.
func (e easel) write(top geom.Point, w writing, text string, width float64) geom.Point {
	at := geom.Point{X: top.X, Y: top.Y - w.size*capHeight}
	for _, line := range w.breakLines(text, width) {
		e.writeText(at, pdf.Text{Text: line, Font: w.font, Size: w.size, Grey: w.shade, Anchor: w.anchor})
		at.Y -= w.leading
	}
	return geom.Point{X: top.X, Y: at.Y + w.size*capHeight}
}
