package benchsheet

import (
	"math"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder/geom"
)

// Widths of lines and sizes of letters in mm.
const (
	hair  = 0.15
	thin  = 0.25
	bold  = 0.6
	small = 2.7
	usual = 3.2
	large = 5.5
)

// margin is what printers surely reach, in mm.
const margin = 12.0

// page is a side that is being drawn.
type page struct {
	pdf.Drawing
	size geom.Size
}

func pt(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }

func (p *page) drawLine(x0, y0, x1, y1, width float64) {
	p.Line(pt(x0, y0), pt(x1, y1), pdf.Pen{Width: width})
}

func (p *page) drawDashed(x0, y0, x1, y1 float64) {
	p.Line(pt(x0, y0), pt(x1, y1), pdf.Pen{Width: thin, Dash: []float64{2, 1.5}})
}

// write writes a line that begins at a point.
func (p *page) write(x, y, size float64, text string) {
	p.Text(pt(x, y), pdf.Text{Text: text, Font: pdf.Helvetica, Size: size, Anchor: pdf.AnchorLeft})
}

func (p *page) writeStrong(x, y, size float64, text string) {
	p.Text(pt(x, y), pdf.Text{Text: text, Font: pdf.HelveticaBold, Size: size, Anchor: pdf.AnchorLeft})
}

func (p *page) writeMiddle(x, y, size float64, text string) {
	p.Text(pt(x, y), pdf.Text{Text: text, Font: pdf.Helvetica, Size: size, Anchor: pdf.AnchorCentre})
}

// writeUpright writes a line upwards with its middle at a point.
func (p *page) writeUpright(x, y, size float64, font pdf.Font, text string) {
	p.Text(pt(x, y), pdf.Text{Text: text, Font: font, Size: size, Anchor: pdf.AnchorCentre, Angle: 90})
}

// writeTurned writes a line upwards from a point, or ending there.
func (p *page) writeTurned(x, y float64, anchor pdf.Anchor, text string) {
	p.Text(pt(x, y), pdf.Text{Text: text, Font: pdf.Helvetica, Size: small, Anchor: anchor, Angle: 90})
}

// breakLines breaks a text so that no line is longer than a width.
func breakLines(text string, size, width float64) []string {
	return pdf.Text{Text: text, Font: pdf.Helvetica, Size: size}.Lines(width)
}

// writeParagraph writes a text within a width and returns where the next line stands.
func (p *page) writeParagraph(x, y, size, width float64, text string) float64 {
	for _, line := range breakLines(text, size, width) {
		p.write(x, y, size, line)
		y -= size * 1.4
	}
	return y
}

// drawRule is 100 mm or 4 in long, to be held against a ruler: the scale bar of a
// page that is drawn at exact size.
func (p *page) drawRule(x, y float64, u binding.Units) {
	step, long, parts, name := 10.0, 100.0, 10, "100 mm"
	if u == binding.Inches {
		step, long, parts, name = inch/2, 4*inch, 8, "4 in"
	}
	p.drawLine(x, y, x+long, y, thin)
	for i := range parts + 1 {
		p.drawLine(x+float64(i)*step, y, x+float64(i)*step, y+2, thin)
	}
	p.write(x, y-4, small, "Exact size. This rule is "+name+" long: if it is not, print again at actual size (100 percent).")
}

const inch = 25.4

// drawGrain is an arrow with two heads along the grain.
func (p *page) drawGrain(x, top, bottom float64) {
	p.drawLine(x, top, x, bottom, thin)
	p.FillPolygon([]geom.Point{pt(x, top), pt(x-1, top-2.4), pt(x+1, top-2.4)}, 0)
	p.FillPolygon([]geom.Point{pt(x, bottom), pt(x-1, bottom+2.4), pt(x+1, bottom+2.4)}, 0)
}

// measureAcross and down are dimension lines, from mark to mark, each stretch with its
// text. A text that is wider than its stretch stands beyond the line.
func (p *page) measureAcross(y float64, marks []float64, texts ...string) {
	p.drawLine(marks[0], y, marks[len(marks)-1], y, hair)
	for _, x := range marks {
		p.drawLine(x, y-1.2, x, y+1.2, hair)
	}
	for i, text := range texts {
		x := (marks[i] + marks[i+1]) / 2
		if pdf.TextWidth(text, pdf.Helvetica, small)+3 > math.Abs(marks[i+1]-marks[i]) {
			p.writeMiddle(x, y-4, small, text)
			continue
		}
		p.writeLabel(x, y, text, 0)
	}
}

func (p *page) measureDown(x float64, marks []float64, texts ...string) {
	p.drawLine(x, marks[0], x, marks[len(marks)-1], hair)
	for _, y := range marks {
		p.drawLine(x-1.2, y, x+1.2, y, hair)
	}
	for i, text := range texts {
		y := (marks[i] + marks[i+1]) / 2
		if pdf.TextWidth(text, pdf.Helvetica, small)+3 > math.Abs(marks[i+1]-marks[i]) {
			p.Text(pt(x-1.8, y-small*0.35), pdf.Text{Text: text, Font: pdf.Helvetica, Size: small, Anchor: pdf.AnchorRight})
			continue
		}
		p.writeLabel(x, y, text, 90)
	}
}

// writeLabel stands in the middle of a line, which is broken for it.
func (p *page) writeLabel(x, y float64, text string, angle float64) {
	half := pdf.TextWidth(text, pdf.Helvetica, small)/2 + 1
	r := geom.Rect{X0: x - half, Y0: y - 1.3, X1: x + half, Y1: y + 1.3}
	at := pt(x, y-small*0.35)
	if angle != 0 {
		r = geom.Rect{X0: x - 1.3, Y0: y - half, X1: x + 1.3, Y1: y + half}
		at = pt(x+small*0.35, y)
	}
	p.FillRect(r, 1)
	p.Text(at, pdf.Text{Text: text, Font: pdf.Helvetica, Size: small, Anchor: pdf.AnchorCentre, Angle: angle})
}
