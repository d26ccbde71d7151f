package testsheet

import (
	"fmt"

	"foldwright/cmd/internal/pdf"
	"foldwright/printer"
	"foldwright/reorder"
)

// hint is a thing to do, in words and as a small drawing.
type hint struct {
	when, says string
	draw       func(e easel, r reorder.Rect)
}

// hintsForPrinting is what to do until both faces are printed.
func (s Sheet) hintsForPrinting(way printer.TwoSided) []hint {
	sheet, sheets := "the sheet", "a blank sheet"
	if s.Numeral != "" {
		sheet, sheets = "the three sheets", "each of three blank sheets"
	}
	pencil := hint{"Before", fmt.Sprintf("Pencil a cross onto the upper face of %s.", sheets), drawPencil}
	pin := hint{"Last", "Push a pin through the cross at “A”. Read the number at the hole.", drawPin}
	if way == printer.Automatic {
		return []hint{
			pencil,
			{"First", fmt.Sprintf("Load %s and print %s, two-sided, actual size.", pronounFor(s), BothFile), drawLoad},
			{"Then", "Let the printer turn the paper. Look how it comes to lie.", drawDelivered},
			pin,
		}
	}
	return []hint{
		pencil,
		{"First", fmt.Sprintf("Load %s and print %s at actual size.", pronounFor(s), FrontFile), drawLoad},
		{"Then", fmt.Sprintf("Put %s back as you would a stack. Print %s.", sheet, BackFile), drawPutBack},
		pin,
	}
}

func pronounFor(s Sheet) string {
	if s.Numeral != "" {
		return "them"
	}
	return "it"
}

// hintsForReading is what to read when both are.
func (s Sheet) hintsForReading() []hint {
	across, along := Rulers(s.Paper)
	return []hint{
		{"The pin", "Which number stands beside the hole? “A” and that number are the answer.", drawPin},
		{"The light", "Hold it to the light, the front towards you. Which line runs straight on?", drawLight},
		{"The rule", fmt.Sprintf("Measure from ring to ring: it should be %.0f mm across and %.0f mm along.", across.Length, along.Length), drawRule},
		{"The edge", "Which step is the outermost that has its black end? Three are numbered.", drawEdge},
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

// drawPanel draws four hints below the circle.
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
		at := reorder.Point{X: r.X0, Y: top}
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
		h.draw(e, reorder.Rect{X0: x, Y0: y - iconHigh, X1: x + iconWide, Y1: y})
		at := reorder.Point{X: x + iconWide + 3, Y: y - 2}
		at = e.write(at, title, h.when, wide)
		e.write(at, words, h.says, wide-iconWide-3)
	}
}
