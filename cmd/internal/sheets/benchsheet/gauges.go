package benchsheet

import (
	"fmt"
	"slices"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder/geom"
)

// Where the gauges stand on their page, in mm: strips as wide as what they
// measure, and a corner of the cloth.
const (
	gaugeTop  = 62.0 // from the page's upper edge
	gaugeHigh = 72.0
	gaugeStep = 44.0 // from strip to strip
	cornerTop = gaugeTop + gaugeHigh + 26
	boardSeen = 40.0 // of the board at the corner
)

type gauge struct {
	name, use string
	width     float64 // mm
}

// gauges is the strips that are better laid on than read.
func (b BenchSheet) gauges() []gauge {
	s := b.Sheet.Structure
	return slices.DeleteFunc([]gauge{
		{"square", "lay it along the edge of the leaves: the board projects this far", s.Square.Middle()},
		{"joint", "lay it between board and spine strip", b.Sheet.Joint.Most},
		{"turn-in", "lay it along the boards and draw the edge of the cloth", s.TurnIn.Middle()},
		{"lacing holes", "lay it along the spine edge of the board: make the holes at its other side", s.LacingHoles.Middle()},
	}, func(g gauge) bool { return g.width <= 0 })
}

func gaugeX(i int) float64 { return margin + 6 + float64(i)*gaugeStep }

// corner is the corner of the cloth as the gauge has it, and where on its edges
// the cut begins, in mm.
func (b BenchSheet) corner() (at geom.Point, cut float64) {
	at = pt(margin+6, b.Paper.H-cornerTop)
	return at, binding.CornerCut(b.Sheet.Structure.TurnIn.Middle(), b.Sheet.Board.Most)
}

// boardKnown says for which boards the gauges are while the board is not measured.
func (b BenchSheet) boardKnown() string {
	if b.Sheet.Board.IsExact() {
		return ""
	}
	board := b.Sheet.Units.Length(binding.Exactly(b.Sheet.Board.Most))
	return " The joint and the corner are for boards of " + board + ": measure yours, and print this page again if they differ."
}

func (b BenchSheet) gaugePage() *page {
	p := &page{size: b.Paper}
	y := b.Paper.H - margin - large*0.72
	p.writeStrong(margin, y, large, "Gauges, at exact size")
	p.write(margin, y-5, small, fmt.Sprintf("%s: %s", b.Title, b.Sheet.Structure.Title))
	p.writeParagraph(margin, y-11, small, b.Paper.W-2*margin, "Glue this page to card and cut out the gauges. Each strip is as wide as what it is named after: lay it on instead of measuring."+b.boardKnown())
	top := b.Paper.H - gaugeTop
	for i, g := range b.gauges() {
		x := gaugeX(i)
		r := geom.Rect{X0: x, Y0: top - gaugeHigh, X1: x + g.width, Y1: top}
		p.DrawRect(r, pdf.Pen{Width: thin})
		p.writeStrong(x, top+3, usual, g.name)
		p.write(x, top-gaugeHigh-4.5, small, b.Sheet.Units.Length(binding.Exactly(g.width)))
		words, room := x+g.width+2, gaugeStep-g.width-6
		if room < 12 {
			words, room = x+2, g.width-4
		}
		p.writeParagraph(words, top-6, small, room, g.use)
	}
	at, cut := b.corner()
	turn := b.Sheet.Structure.TurnIn.Middle()
	size := turn + boardSeen
	p.writeStrong(at.X, at.Y+3, usual, "corner of the cloth")
	p.FillRect(geom.Rect{X0: at.X + turn, Y0: at.Y - size, X1: at.X + size, Y1: at.Y - turn}, 0.9)
	p.DrawPolyline([]geom.Point{pt(at.X+turn, at.Y-size), pt(at.X+turn, at.Y-turn), pt(at.X+size, at.Y-turn)}, pdf.Pen{Width: thin})
	p.writeMiddle(at.X+turn+boardSeen/2, at.Y-turn-boardSeen/2, usual, "board")
	p.DrawPolyline([]geom.Point{pt(at.X, at.Y-size), pt(at.X, at.Y), pt(at.X+size, at.Y)}, pdf.Pen{Width: thin})
	p.DrawLine(pt(at.X+cut, at.Y), pt(at.X, at.Y-cut), pdf.Pen{Width: thin})
	p.writeParagraph(at.X+size+6, at.Y-6, small, b.Paper.W-margin-at.X-size-6, fmt.Sprintf(
		"Cut it out along the slanting line and the other edges. Lay the grey corner on a corner of the board: the outer edges show where the cloth ends. "+
			"Along the slanting line cut off the corner of the cloth, %s from the board.", b.Sheet.Units.Length(binding.Exactly(b.Sheet.Board.Most))))
	p.drawRule(margin, margin+8, b.Sheet.Units)
	return p
}
