package drawing

import (
	"strings"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

// ink puts a drawing onto a page of a PDF, where no style sheet says how lines look.
type ink struct {
	page  *pdf.Drawing
	at    geom.Point // upper left corner on the page, mm
	scale float64    // mm for each unit
	down  float64    // units by which it is drawn lower
}

// OnPage draws onto a page: at is the upper left corner, width is in mm. It returns
// the height in mm.
func OnPage(page *pdf.Drawing, d Drawing, at geom.Point, width float64) (high float64) {
	scale := width / wide
	return d.draw(&canvas{ink: &ink{page: page, at: at, scale: scale}}) * scale
}

// HeightAt is how high a drawing is at a width, both in mm.
func HeightAt(d Drawing, width float64) float64 {
	return OnPage(new(pdf.Drawing), d, geom.Point{}, width)
}

// look is what a class says of lines and areas; it is that of [Style], in units.
type look struct {
	width float64
	dash  []float64
	fill  bool
	grey  float64 // of what is filled
}

var looks = map[string]look{
	"":  {width: 1.4},
	"o": {width: 1.4, fill: true, grey: 1},
	"w": {fill: true, grey: 1},
	"h": {width: 0.8},
	"f": {width: 2.4},
	"k": {width: 3},
	"d": {width: 1.4, dash: []float64{5, 4}},
	"q": {width: 1.4, dash: []float64{2.5, 3}, fill: true, grey: 1},
	"y": {width: 3, dash: []float64{1.8, 1.4}},
	"s": {width: 1.4, fill: true},
}

// lookOf is what several classes say together.
func lookOf(class string) look {
	out := looks[""]
	for name := range strings.FieldsSeq(class) {
		one := looks[name]
		if one.width != looks[""].width {
			out.width = one.width
		}
		if one.dash != nil {
			out.dash = one.dash
		}
		if one.fill {
			out.fill, out.grey = true, one.grey
		}
	}
	return out
}

func (i *ink) to(p point) geom.Point {
	return geom.Point{X: i.at.X + p.x*i.scale, Y: i.at.Y - (p.y+i.down)*i.scale}
}

func (i *ink) drawPath(class string, closed bool, lines [][]point) {
	l := lookOf(class)
	pen := pdf.Pen{Width: l.width * i.scale, Dash: lists.Map(l.dash, func(d float64) float64 { return d * i.scale })}
	for _, line := range lines {
		points := lists.Map(line, i.to)
		if l.fill {
			i.page.FillPolygon(points, l.grey)
		}
		if closed {
			i.page.DrawPolygon(points, pen)
		} else {
			i.page.DrawPolyline(points, pen)
		}
	}
}

func (i *ink) writeText(class string, at point, text string, degrees int) {
	t := pdf.Text{Text: text, Font: pdf.Helvetica, Size: letterHigh * i.scale, Anchor: pdf.AnchorLeft, Angle: -float64(degrees)}
	for name := range strings.FieldsSeq(class) {
		switch name {
		case "b":
			t.Font = pdf.HelveticaBold
		case "c":
			t.Anchor = pdf.AnchorCentre
		case "e":
			t.Anchor = pdf.AnchorRight
		case "m":
			t.Font, t.Anchor = pdf.HelveticaBold, pdf.AnchorCentre
		case "n":
			t.Font, t.Anchor, t.Size = pdf.HelveticaBold, pdf.AnchorCentre, 17*i.scale
		}
	}
	i.page.WriteText(i.to(at), t)
}
