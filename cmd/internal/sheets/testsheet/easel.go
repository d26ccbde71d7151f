package testsheet

import (
	"math"
	"strings"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
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
	through reorder.Matrix
}

func (e easel) points(points []reorder.Point) []reorder.Point {
	out := make([]reorder.Point, len(points))
	for i, p := range points {
		out[i] = e.through.Apply(p)
	}
	return out
}

func (e easel) drawLine(from, to reorder.Point, width float64) { e.drawPolyline(width, from, to) }

func (e easel) drawSegment(s Segment, width float64) { e.drawLine(s.From, s.To, width) }

func (e easel) drawPolyline(width float64, points ...reorder.Point) {
	e.drawing.Polyline(e.points(points), pdf.Pen{Width: width})
}

func (e easel) drawPolygon(width float64, points ...reorder.Point) {
	e.drawing.Polygon(e.points(points), pdf.Pen{Width: width})
}

func (e easel) fill(shade float64, points ...reorder.Point) {
	e.drawing.FillPolygon(e.points(points), shade)
}

func (e easel) drawCircle(centre reorder.Point, radius, width float64) {
	e.drawing.Circle(e.through.Apply(centre), radius, pdf.Pen{Width: width})
}

func (e easel) drawDot(centre reorder.Point, radius, shade float64) {
	e.drawing.FillCircle(e.through.Apply(centre), radius, shade)
}

// drawCross draws a cross of two lines, each reaching so far from the middle.
func (e easel) drawCross(at reorder.Point, reach, width float64) {
	e.drawLine(reorder.Point{X: at.X - reach, Y: at.Y}, reorder.Point{X: at.X + reach, Y: at.Y}, width)
	e.drawLine(reorder.Point{X: at.X, Y: at.Y - reach}, reorder.Point{X: at.X, Y: at.Y + reach}, width)
}

// writeText writes one line of text by its anchor on the baseline.
func (e easel) writeText(at reorder.Point, t pdf.Text) {
	dir := e.through.Direction(reorder.Point{X: 1})
	t.Angle += math.Atan2(dir.Y, dir.X) * 180 / math.Pi
	e.drawing.Text(e.through.Apply(at), t)
}

// writeWord writes a word of capitals or digits with its middle at a point.
func (e easel) writeWord(middle reorder.Point, text string, font pdf.Font, size, shade float64) {
	e.writeText(reorder.Point{X: middle.X, Y: middle.Y - size*capHeight/2},
		pdf.Text{Text: text, Font: font, Size: size, Grey: shade, Anchor: pdf.AnchorCentre})
}

// writing is text of several lines.
type writing struct {
	font    pdf.Font
	size    float64 // mm
	leading float64 // mm from line to line
	shade   float64
	anchor  pdf.Anchor
}

// breakLines breaks a text so that no line is longer than a width in mm.
func (w writing) breakLines(text string, width float64) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(text) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && pdf.TextWidth(longer, w.font, w.size) > width {
			out = append(out, line)
			longer = word
		}
		line = longer
	}
	return append(out, line)
}

// write sets a text below a point and returns where the next line would stand.
func (e easel) write(top reorder.Point, w writing, text string, width float64) reorder.Point {
	at := reorder.Point{X: top.X, Y: top.Y - w.size*capHeight}
	for _, line := range w.breakLines(text, width) {
		e.writeText(at, pdf.Text{Text: line, Font: w.font, Size: w.size, Grey: w.shade, Anchor: w.anchor})
		at.Y -= w.leading
	}
	return reorder.Point{X: top.X, Y: at.Y + w.size*capHeight}
}
