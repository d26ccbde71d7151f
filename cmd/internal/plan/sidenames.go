package plan

import (
	"fmt"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Side names stand on the fold itself, where the sewing hides them. Where no
// fold is sewn they stand beside the spine edge, where glue or thread goes, and
// on a concertina on what the next sheet is glued over.
const (
	NameSize   = 6 * geom.Inch / 72 // mm, the font's size: 6 pt, the least that is read at arm's length (common practice, no source)
	NameGrey   = 0.55               // light enough not to shine through
	nameStart  = 15.0               // mm from the head, beyond what printers cannot reach
	nameBeside = 5.0                // mm from a spine edge without a fold
	nameHigh   = 1.5                // mm that letters reach to either side of their line
)

// names is how much side names say: as much as the folds of the job have room for.
type names int

const (
	noNames   names = iota // no fold has room, or none are wanted
	leastName              // the sheet, and of pieces and copies which one
	shortName              // and the run
	mostNames              // and of whole sheets the gathering
	fullNames              // and the place in it
)

// HasNames tells whether the sides bear names, and NamesTellRun whether these say which
// place a sheet has in its run.
func (d *Draft) HasNames() bool     { return d.names != noNames }
func (d *Draft) NamesTellRun() bool { return d.names > leastName }

// SideName is what is written on the first piece of a side.
func (d *Draft) SideName(run Run, inRun int, side reorder.Side) string {
	return d.PieceName(run, inRun, side, d.Sheet(run, inRun).Sheet.Pieces[0])
}

// PieceName is what is written along the fold of a piece: the sheet's number
// in the book, the piece's place in its gathering, and the sheet's place in the
// run, so that a double feed, a dropped stack or pieces mixed up can be seen
// and put right.
func (d *Draft) PieceName(run Run, inRun int, side reorder.Side, p reorder.Piece) string {
	return d.nameOf(d.names, run, inRun, side, p)
}

func (d *Draft) nameOf(says names, run Run, inRun int, side reorder.Side, p reorder.Piece) string {
	s := d.Sheet(run, inRun).Sheet
	which := ""
	if n := d.Options.HowOften(); n > 1 {
		which = fmt.Sprintf(" \u00b7 copy %d of %d", d.CopyOf(s.Number), n)
	}
	switch pieces := len(s.Pieces) > 1; {
	case d.Book.Form.Copies:
		which += fmt.Sprintf(" \u00b7 copy %d of %d", p.Number, p.Of)
	case pieces && says == fullNames:
		which += fmt.Sprintf(" \u00b7 gathering %d, piece %d of %d", p.Gathering, p.Number, p.Of)
	case pieces:
		which += fmt.Sprintf(" \u00b7 %d, %d of %d", p.Gathering, p.Number, p.Of)
	case says == fullNames:
		which += fmt.Sprintf(" \u00b7 gathering %d, %d of %d", p.Gathering, p.Number, p.Of)
	case says == mostNames:
		which += fmt.Sprintf(" \u00b7 gathering %d", p.Gathering)
	}
	if says > leastName {
		which += fmt.Sprintf(" \u00b7 run %d, %d of %d", run.Number, inRun, run.Sheets)
	}
	return fmt.Sprintf("sheet %d, %s%s", s.Number, side, which)
}

// chooseNames finds the longest names that stand clear of the marks on every side.
func (d *Draft) chooseNames() names {
	says := fullNames
	if d.Options.NoSideNames {
		says = noNames
	}
	for _, run := range d.Runs {
		for i := range run.Sheets {
			s := d.Sheet(run, i+1).Sheet
			for k, piece := range s.Pieces {
				for _, side := range []reorder.Side{reorder.Front, reorder.Back} {
					panels := s.On(side, k+1)
					for ; says != noNames && len(panels) > 0; says-- {
						if _, _, ok := d.nameSpan(d.nameOf(says, run, i+1, side, piece), panels); ok {
							break
						}
					}
				}
			}
		}
	}
	return says
}

// nameLine is where the name of a piece with the given panels stands.
func (d *Draft) nameLine(panels []reorder.Panel) (head, tail geom.Point) {
	scheme := d.Book.Form.Fold.Scheme()
	if scheme.Strip {
		return d.gluedStrip(panels)
	}
	head, tail = panels[0].SpineEdge()
	if scheme.Held == reorder.Sewn {
		return head, tail
	}
	beside := panels[0].Spine.Opposite().Unit().Times(max(nameBeside, d.room.Margin+nameHigh))
	return head.Plus(beside), tail.Plus(beside)
}

// gluedStrip is the middle of the strip of a sheet that lies beyond its panels.
func (d *Draft) gluedStrip(panels []reorder.Panel) (from, to geom.Point) {
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

// NameSpan is from where to where the name of a piece with the given panels stands.
func (d *Draft) NameSpan(name string, panels []reorder.Panel) (from, to geom.Point) {
	from, to, _ = d.nameSpan(name, panels)
	return from, to
}

func (d *Draft) nameSpan(name string, panels []reorder.Panel) (from, to geom.Point, ok bool) {
	head, tail := d.nameLine(panels)
	low, high := d.room.NameRoom(d.Paper.Size, head, tail)
	width := pdf.TextWidth(name, pdf.Helvetica, NameSize)
	start := max(low, min(nameStart, high-width))
	along := tail.Minus(head).Unit()
	return head.Plus(along.Times(start)), head.Plus(along.Times(start + width)), start+width <= high
}

// nameEnd is where the longest name on a front ends, in mm from the fold's head.
func (d *Draft) nameEnd() float64 {
	longest := 0.0
	for _, run := range d.Runs {
		for i := range run.Sheets {
			s := d.Sheet(run, i+1).Sheet
			for k, piece := range s.Pieces {
				if panels := s.On(reorder.Front, k+1); d.HasNames() && len(panels) > 0 {
					head, _ := d.nameLine(panels)
					_, end := d.NameSpan(d.PieceName(run, i+1, reorder.Front, piece), panels)
					longest = max(longest, end.Minus(head).Length())
				}
			}
		}
	}
	return longest
}
