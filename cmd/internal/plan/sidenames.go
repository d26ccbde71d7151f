package plan

import (
	"fmt"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"math"
)

// Side names stand on the fold itself, where the sewing hides them. Where no
// fold is sewn they stand beside the spine edge, where glue or thread goes, and
// on a concertina on what the next sheet is glued over.
const (
	nameSize   = 1.7  // mm, the font's size
	NameGrey   = 0.55 // light enough not to shine through
	nameStart  = 15.0 // mm from the head, beyond what printers cannot reach
	nameBeside = 5.0  // mm from a spine edge without a fold
	nameRim    = 2.0  // mm that a name keeps from both ends of its line
)

// SideName is what is written on the first piece of a side.
func (d *Draft) SideName(run Run, inRun int, side reorder.Side) string {
	return d.PieceName(run, inRun, side, d.Sheet(run, inRun).Sheet.Pieces[0])
}

// PieceName is what is written along the fold of a piece: the sheet's number
// in the book, the piece's place in its gathering, and the sheet's place in the
// run, so that a double feed, a dropped stack or pieces mixed up can be seen
// and put right.
func (d *Draft) PieceName(run Run, inRun int, side reorder.Side, p reorder.Piece) string {
	s := d.Sheet(run, inRun).Sheet
	what := ""
	switch {
	case d.Book.Form.Copies:
		return fmt.Sprintf("sheet %d, %s \u00b7 copy %d of %d \u00b7 run %d, %d of %d",
			s.Number, side, p.Number, p.Of, run.Number, inRun, run.Sheets)
	case len(s.Pieces) > 1:
		what = "piece "
	}
	return fmt.Sprintf("sheet %d, %s \u00b7 gathering %d, %s%d of %d \u00b7 run %d, %d of %d",
		s.Number, side, p.Gathering, what, p.Number, p.Of, run.Number, inRun, run.Sheets)
}

// NameLine is where the name of a piece with the given panels stands.
func (d *Draft) NameLine(panels []reorder.Panel) (head, tail geom.Point) {
	scheme := d.Book.Form.Fold.Scheme()
	if scheme.Strip {
		return d.gluedOver(panels)
	}
	head, tail = panels[0].SpineEdge()
	if scheme.Held == reorder.Sewn {
		return head, tail
	}
	beside := panels[0].Spine.Opposite().Unit().Times(nameBeside)
	return head.Plus(beside), tail.Plus(beside)
}

// gluedOver is the middle of the strip of a sheet that lies beyond its panels.
func (d *Draft) gluedOver(panels []reorder.Panel) (from, to geom.Point) {
	low, high := d.Paper.Size.H, 0.0
	for _, p := range panels {
		low, high = min(low, p.Rect.Y0), max(high, p.Rect.Y1)
	}
	y := (high + d.Paper.Size.H) / 2
	if low > d.Paper.Size.H-high {
		y = low / 2
	}
	return geom.Point{X: 0, Y: y}, geom.Point{X: d.Paper.Size.W, Y: y}
}

// NameSpan is where a name begins and ends on its line, in mm from the line's
// head, and the size of its font: smaller where the line is short.
func NameSpan(name string, length float64) (start, end, size float64) {
	width := pdf.TextWidth(name, pdf.Helvetica, nameSize)
	switch {
	case nameStart+width <= length-nameStart:
		return nameStart, nameStart + width, nameSize
	case width <= length-2*nameRim:
		return (length - width) / 2, (length + width) / 2, nameSize
	}
	return nameRim, length - nameRim, nameSize * (length - 2*nameRim) / width
}

// NameEnd is where the longest name on a front ends, in mm from the fold's head.
func (d *Draft) NameEnd() float64 {
	longest := 0.0
	if d.Options.NoSideNames {
		return longest
	}
	length := d.Book.Form.Bind.TurnToSide(d.Book.PanelSize()).H
	for _, run := range d.Runs {
		for i := range run.Sheets {
			for _, piece := range d.Sheet(run, i+1).Sheet.Pieces {
				_, end, _ := NameSpan(d.PieceName(run, i+1, reorder.Front, piece), length)
				longest = math.Max(longest, end)
			}
		}
	}
	return longest
}
