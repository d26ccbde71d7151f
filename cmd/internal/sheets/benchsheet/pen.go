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

type page struct {
	pdf.Drawing
	size geom.Size
}

func pt(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }

func (p *page) drawLine(x0, y0, x1, y1, width float64) {
	p.DrawLine(pt(x0, y0), pt(x1, y1), pdf.Pen{Width: width})
}

func (p *page) drawDashed(x0, y0, x1, y1 float64) {
	p.DrawLine(pt(x0, y0), pt(x1, y1), pdf.Pen{Width: thin, Dash: []float64{2, 1.5}})
}

// write writes a line that begins at a point.
func (p *page) write(x, y, size float64, text string) {
	p.WriteText(pt(x, y), pdf.Text{Text: text, Font: pdf.Helvetica, Size: size, Anchor: pdf.AnchorLeft})
}

func (p *page) writeStrong(x, y, size float64, text string) {
	p.WriteText(pt(x, y), pdf.Text{Text: text, Font: pdf.HelveticaBold, Size: size, Anchor: pdf.AnchorLeft})
}

func (p *page) writeMiddle(x, y, size float64, text string) {
	p.WriteText(pt(x, y), pdf.Text{Text: text, Font: pdf.Helvetica, Size: size, Anchor: pdf.AnchorCentre})
}

// writeTurned writes a line upwards by a point of it.
func (p *page) writeTurned(x, y float64, anchor pdf.Anchor, text string) {
	p.WriteText(pt(x, y), pdf.Text{Text: text, Font: pdf.Helvetica, Size: small, Anchor: anchor, Angle: 90})
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
		step, long, parts, name = geom.Inch/2, 4*geom.Inch, 8, "4 in"
	}
	p.drawLine(x, y, x+long, y, thin)
	for i := range parts + 1 {
		p.drawLine(x+float64(i)*step, y, x+float64(i)*step, y+2, thin)
	}
	p.write(x, y-4, small, "Exact size. This rule is "+name+" long: if it is not, print again at actual size (100 percent).")
}

// drawGrain is an arrow with two heads along the grain.
func (p *page) drawGrain(x, top, bottom float64) {
	p.drawLine(x, top, x, bottom, thin)
	p.FillPolygon([]geom.Point{pt(x, top), pt(x-1, top-2.4), pt(x+1, top-2.4)}, 0)
	p.FillPolygon([]geom.Point{pt(x, bottom), pt(x-1, bottom+2.4), pt(x+1, bottom+2.4)}, 0)
}

// drawDimension draws a dimension line at an angle, at a level across it; place is where so many
// mm along it stand. A name stands in the line, which is broken for it, or beyond the line if it is
// wider than its stretch.
func (p *page) drawDimension(level, angle float64, stretches []stretch, place func(float64) float64) {
	at := func(along, off float64) geom.Point {
		if angle == 0 {
			return pt(along, level+off)
		}
		return pt(level-off, along)
	}
	tick := func(along float64) { p.DrawLine(at(along, -1.2), at(along, 1.2), pdf.Pen{Width: hair}) }
	tick(place(0))
	done := 0.0
	for _, s := range stretches {
		if s.width == 0 {
			continue
		}
		from, to := place(done), place(done+s.width)
		done += s.width
		p.DrawLine(at(from, 0), at(to, 0), pdf.Pen{Width: hair})
		tick(to)
		middle, half := (from+to)/2, pdf.TextWidth(s.name, pdf.Helvetica, small)/2+1
		switch fits := 2*half+1 <= math.Abs(to-from); {
		case fits:
			a, b := at(middle-half, -1.3), at(middle+half, 1.3)
			p.FillRect(geom.Rect{X0: min(a.X, b.X), Y0: a.Y, X1: max(a.X, b.X), Y1: b.Y}, 1)
			p.WriteText(at(middle, -small*0.35), pdf.Text{Text: s.name, Font: pdf.Helvetica, Size: small, Anchor: pdf.AnchorCentre, Angle: angle})
		case angle == 0:
			p.writeMiddle(middle, level-4, small, s.name)
		default:
			p.WriteText(pt(level-1.8, middle-small*0.35), pdf.Text{Text: s.name, Font: pdf.Helvetica, Size: small, Anchor: pdf.AnchorRight})
		}
	}
}
