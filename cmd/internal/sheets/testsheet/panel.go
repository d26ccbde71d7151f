package testsheet

import (
	"fmt"
	"math"

	"foldwright/cmd/internal/pdf"
	"foldwright/printer"
	"foldwright/reorder/geom"
)

// hint is a thing to do, in words and as a small drawing.
type hint struct {
	when, says string
	draw       func(sketch)
}

// hintsForPrinting is what to do until both sides are printed.
func (s Sheet) hintsForPrinting(way printer.TwoSided) []hint {
	sheet, blank, it := "the sheet", "a blank sheet", "it"
	if s.Numeral != "" {
		sheet, blank, it = "the three sheets", "each of three blank sheets", "them"
	}
	pencil := hint{"Before", fmt.Sprintf("Pencil a cross on the upper side of %s.", blank), drawPencil}
	pin := hint{"Last", "Push a pin through the cross at “K”. Read the number at the hole.", drawPin}
	if way == printer.Automatic {
		return []hint{
			pencil,
			{"First", fmt.Sprintf("Load %s and print %s, two-sided, actual size.", it, BothFile), drawLoad},
			{"Then", "Let the printer turn the paper. Look how it lies when it comes out.", drawDelivered},
			pin,
		}
	}
	return []hint{
		pencil,
		{"First", fmt.Sprintf("Load %s and print %s at actual size.", it, FrontFile), drawLoad},
		{"Then", fmt.Sprintf("Put %s back as you would a stack. Print %s.", sheet, BackFile), drawPutBack},
		pin,
	}
}

func (s Sheet) hintsForReading() []hint {
	across, along := Rulers(s.Paper)
	return []hint{
		{"The pin", "Which number is beside the hole? “K” and that number are the answer.", drawPin},
		{"The light", "Hold it to the light, the front towards you. Which of its lines meets one of the other side exactly?", drawLight},
		{"The rule", fmt.Sprintf("Measure from ring to ring: it should be %.0f mm across and %.0f mm along.", across.Length, along.Length), drawRule},
		{"The edge", "Which is the outermost step that has its black end? Three are numbered.", drawEdge},
	}
}

const (
	panelGap  = 6.0
	panelHigh = 30.0
	iconWide  = 22.0
	iconHigh  = 24.0
	// On paper narrower than this the words stand without drawings.
	panelWide = 105.0
)

func (s Sheet) drawPanel(e easel, hints []hint) {
	r := s.inner()
	top := Circle(s.Paper).Y - CircleRadius - 17
	title := writing{font: pdf.HelveticaBold, size: 3.2, leading: 4.6, anchor: pdf.AnchorLeft}
	words := writing{font: pdf.Helvetica, size: 3, leading: 4, anchor: pdf.AnchorLeft}
	if r.Size().W < panelWide {
		room := top - r.Y0
		for _, h := range hints {
			room -= title.leading + float64(len(words.breakLines(h.says, r.Size().W)))*words.leading + 1.5
		}
		if room < 0 {
			return // what was said on the screen has to do
		}
		at := geom.Point{X: r.X0, Y: top}
		for _, h := range hints {
			at = e.write(at, title, h.when, r.Size().W)
			at = e.write(at, words, h.says, r.Size().W)
			at.Y -= 1.5
		}
		return
	}
	wide := (r.Size().W - panelGap) / 2
	// The rows share what lies between the circle and the scale at the tail.
	space := (top - r.Y0 - 2*panelHigh) / 2
	for i, h := range hints {
		x := r.X0 + float64(i%2)*(wide+panelGap)
		y := top - space/2 - float64(i/2)*(panelHigh+space)
		h.draw(sketch{e, geom.Point{X: x, Y: y - iconHigh}})
		at := geom.Point{X: x + iconWide + 3, Y: y - 2}
		at = e.write(at, title, h.when, wide)
		e.write(at, words, h.says, wide-iconWide-3)
	}
}

// sketch draws in mm from its lower left corner.
type sketch struct {
	easel
	corner geom.Point
}

func (s sketch) p(x, y float64) geom.Point { return s.corner.Plus(geom.Point{X: x, Y: y}) }

// path is points given as x, y, x, y...
func (s sketch) path(xy ...float64) []geom.Point {
	out := make([]geom.Point, 0, len(xy)/2)
	for i := 0; i+1 < len(xy); i += 2 {
		out = append(out, s.p(xy[i], xy[i+1]))
	}
	return out
}

const stroke = 0.35 // mm

func (s sketch) drawShape(shade float64, xy ...float64) {
	s.fill(shade, s.path(xy...)...)
	s.drawPolygon(stroke, s.path(xy...)...)
}

func (s sketch) drawLines(width float64, xy ...float64) { s.drawPolyline(width, s.path(xy...)...) }

// drawBow is an arc about a point, from one angle to another in degrees, with an
// arrow's head at its end.
func (s sketch) drawBow(x, y, rx, ry, from, to float64) {
	const parts = 24
	var xy []float64
	for i := 0; i <= parts; i++ {
		a := (from + (to-from)*float64(i)/parts) * math.Pi / 180
		xy = append(xy, x+rx*math.Cos(a), y+ry*math.Sin(a))
	}
	s.drawLines(bold, xy...)
	n := len(xy)
	s.drawTip(xy[n-2], xy[n-1], xy[n-2]-xy[n-6], xy[n-1]-xy[n-5])
}

// drawTip is an arrow's head at a point, in a direction.
func (s sketch) drawTip(x, y, dx, dy float64) {
	l := math.Hypot(dx, dy)
	dx, dy = dx/l, dy/l
	s.fill(black, s.path(x+dx*1.2, y+dy*1.2, x-dx*1.6-dy*1.3, y-dy*1.6+dx*1.3, x-dx*1.6+dy*1.3, y-dy*1.6-dx*1.3)...)
}

// drawPrinter is a box seen from the front with a tray below and a delivery on top.
func (s sketch) drawPrinter() {
	s.drawShape(white, 3, 4, 19, 4, 19, 15, 3, 15)
	s.drawLines(stroke, 5, 12.5, 17, 12.5)
	s.drawShape(black, 5.5, 6.4, 16.5, 6.4, 16.5, 7.4, 5.5, 7.4)
}

func drawPencil(s sketch) {
	s.drawShape(white, 1, 4, 13, 4, 18, 17, 6, 17)
	s.drawLines(bold, 7, 8.5, 12, 12.5)
	s.drawLines(bold, 7.6, 12.6, 11.4, 8.4)
	s.drawShape(white, 12, 12.5, 13.1, 14.9, 18.6, 22.5, 20.6, 21, 15.1, 13.4)
	s.drawLines(stroke, 13.1, 14.9, 15.1, 13.4)
	s.fill(black, s.path(12, 12.5, 12.5, 13.6, 13.3, 12.9)...)
}

func drawLoad(s sketch) {
	s.drawPrinter()
	s.drawShape(white, 6.5, 13.7, 15.5, 13.7, 15.5, 22.5, 6.5, 22.5)
	s.drawLines(bold, 11, 21, 11, 16.5)
	s.drawTip(11, 16.5, 0, -4.5)
}

// drawDelivered is a printer with a sheet in front of it.
func drawDelivered(s sketch) {
	s.drawPrinter()
	s.drawShape(tint, 6.5, 7, 15.5, 7, 17.5, 0.5, 4.5, 0.5)
	s.drawLines(stroke, 8, 5, 14, 5)
	s.drawLines(stroke, 7.4, 3, 14.6, 3)
}

// drawPutBack is a printed sheet that goes back into a printer.
func drawPutBack(s sketch) {
	drawDelivered(s)
	s.drawShape(white, 6.5, 13.7, 15.5, 13.7, 15.5, 22.5, 6.5, 22.5)
	s.drawBow(16.5, 10.5, 5, 8, -75, 85)
}

func drawPin(s sketch) {
	s.drawShape(white, 1, 5, 15, 5, 20, 14, 6, 14)
	s.drawLines(stroke, 6, 11.5, 9, 11.5)
	s.drawLines(stroke, 7.5, 13, 7.5, 10)
	s.drawLines(bold, 7.5, 11.5, 7.5, 20)
	s.drawLines(bold, 7.5, 4.6, 7.5, 1)
	s.drawDot(s.p(7.5, 21), 1.4, black)
}

// drawLight is a sheet before a lamp, with two scales that meet.
func drawLight(s sketch) {
	s.drawCircle(s.p(11, 12), 5, stroke)
	for i := range 12 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 6)
		s.drawLines(stroke, 11+6.2*cos, 12+6.2*sin, 11+10*cos, 12+10*sin)
	}
	s.drawShape(white, 4.5, 3, 17.5, 3, 17.5, 21, 4.5, 21)
	for i := -2; i <= 2; i++ {
		x := float64(i)
		s.drawLines(stroke, 11+2.4*x, 12, 11+2.4*x, 16)
		s.drawLines(stroke, 12.2+1.8*x, 12, 12.2+1.8*x, 8)
	}
}

func drawRule(s sketch) {
	s.drawLines(bold, 2, 15, 20, 15)
	s.drawLines(bold, 2, 13.5, 2, 16.5)
	s.drawLines(bold, 20, 13.5, 20, 16.5)
	s.drawShape(tint, 1, 6, 21, 6, 21, 12.5, 1, 12.5)
	for i := range 10 {
		x, y := 2+2*float64(i), 11.0
		if i%5 == 0 {
			y = 9.7
		}
		s.drawLines(stroke, x, 12.5, x, y)
	}
}

func drawEdge(s sketch) {
	s.drawLines(stroke, 1, 20, 21, 20)
	for i := range 6 {
		x, y := 2+3.2*float64(i), 18-2*float64(i)
		cut := math.Min(y, 14.6)
		s.fill(light, s.path(x, 4, x+2.4, 4, x+2.4, cut, x, cut)...)
		if y < 14.6 {
			s.drawLines(bold, x, y, x+2.4, y)
		}
	}
}
