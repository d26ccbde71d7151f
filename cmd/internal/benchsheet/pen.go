package benchsheet

import (
	"strings"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
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
	size reorder.Size
}

func pt(x, y float64) reorder.Point { return reorder.Point{X: x, Y: y} }

func (p *page) line(x0, y0, x1, y1, width float64) {
	p.Line(pt(x0, y0), pt(x1, y1), pdf.Pen{Width: width})
}

func (p *page) dashed(x0, y0, x1, y1 float64) {
	p.Line(pt(x0, y0), pt(x1, y1), pdf.Pen{Width: thin, Dash: []float64{2, 1.5}})
}

// say writes a line that begins at a point.
func (p *page) say(x, y, size float64, text string) {
	p.Text(pt(x, y), pdf.Text{Text: text, Font: pdf.Helvetica, Size: size, Anchor: pdf.AnchorLeft})
}

func (p *page) strong(x, y, size float64, text string) {
	p.Text(pt(x, y), pdf.Text{Text: text, Font: pdf.HelveticaBold, Size: size, Anchor: pdf.AnchorLeft})
}

func (p *page) middle(x, y, size float64, text string) {
	p.Text(pt(x, y), pdf.Text{Text: text, Font: pdf.Helvetica, Size: size, Anchor: pdf.AnchorCentre})
}

// upright writes a line upwards with its middle at a point.
func (p *page) upright(x, y, size float64, font pdf.Font, text string) {
	p.Text(pt(x, y), pdf.Text{Text: text, Font: font, Size: size, Anchor: pdf.AnchorCentre, Angle: 90})
}

// turned writes a line upwards from a point, or ending there.
func (p *page) turned(x, y float64, anchor pdf.Anchor, text string) {
	p.Text(pt(x, y), pdf.Text{Text: text, Font: pdf.Helvetica, Size: small, Anchor: anchor, Angle: 90})
}

// lines breaks a text so that no line is longer than a width.
func lines(text string, size, width float64) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(text) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && pdf.TextWidth(longer, pdf.Helvetica, size) > width {
			out = append(out, line)
			longer = word
		}
		line = longer
	}
	return append(out, line)
}

// paragraph writes a text within a width and returns where the next line stands.
func (p *page) paragraph(x, y, size, width float64, text string) float64 {
	for _, line := range lines(text, size, width) {
		p.say(x, y, size, line)
		y -= size * 1.4
	}
	return y
}

// rule is 100 mm and 4 in long, to be held against a ruler.
func (p *page) rule(x, y float64) {
	p.line(x, y, x+100, y, thin)
	for i := range 11 {
		p.line(x+float64(i)*10, y, x+float64(i)*10, y+2, thin)
	}
	p.say(x, y+3, small, "100 mm: if it is not, print again at actual size (100 percent)")
	for i := range 5 {
		p.line(x+float64(i)*25.4, y, x+float64(i)*25.4, y-2, thin)
	}
	p.line(x+100, y, x+101.6, y, thin)
	p.say(x, y-4.8, small, "4 in")
}
