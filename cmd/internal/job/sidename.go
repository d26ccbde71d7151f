package job

import (
	"fmt"
	"math"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
)

// Side names stand on the fold itself, where the sewing hides them.
const (
	nameSize  = 1.7  // mm, the font's size
	nameGrey  = 0.55 // light enough not to shine through
	nameStart = 15.0 // mm from the head, beyond what printers cannot reach
)

// sideName is what is written along the fold of a side: the sheet's number in
// the book, its place in its gathering, and its place in the run, so that a
// double feed or a dropped stack can be seen and put right.
func (d *Draft) sideName(run RunFiles, inRun int, side reorder.Side) string {
	s := d.sheet(run, inRun).Sheet
	g := d.Book.Gatherings[s.Gathering-1]
	return fmt.Sprintf("sheet %d, %s \u00b7 gathering %d, %d of %d \u00b7 run %d, %d of %d",
		s.Number, side, s.Gathering, s.InGather, len(g.Sheets), run.Number, inRun, run.Sheets())
}

// nameSpan is where a name begins and ends on a fold, in mm from its head.
func nameSpan(name string, length float64) (start, end float64) {
	start = nameStart
	width := pdf.TextWidth(name, pdf.Helvetica, nameSize)
	if start+width > length-start {
		start = math.Max(0, (length-width)/2)
	}
	return start, start + width
}

// nameEnd is where the longest name on a front ends, in mm from the fold's head.
func (d *Draft) nameEnd() float64 {
	longest := 0.0
	if d.Options.NoSideNames {
		return longest
	}
	height := d.Book.PanelSize().H
	for _, run := range d.Runs {
		for i := range run.Sheets() {
			_, end := nameSpan(d.sideName(run, i+1, reorder.Front), height)
			longest = math.Max(longest, end)
		}
	}
	return longest
}

// drawName writes a side's name along the fold of its first panel, from the
// head towards the tail. m is the correction that the whole image goes through.
func drawName(d *pdf.Drawing, name string, panels []reorder.Panel, m reorder.Matrix) {
	if len(panels) == 0 {
		return
	}
	head, tail := panels[0].SpineEdge()
	head, tail = m.Apply(head), m.Apply(tail)
	dx, dy := tail.X-head.X, tail.Y-head.Y
	length := math.Hypot(dx, dy)
	dx, dy = dx/length, dy/length
	const size = nameSize
	start, _ := nameSpan(name, length)
	const middle = 0.36 // of the size: half the height of the capitals
	d.Text(reorder.Point{
		X: head.X + dx*start + dy*size*middle,
		Y: head.Y + dy*start - dx*size*middle,
	}, pdf.Text{
		Text:   name,
		Font:   pdf.Helvetica,
		Size:   size,
		Grey:   nameGrey,
		Angle:  math.Atan2(dy, dx) * 180 / math.Pi,
		Anchor: pdf.AnchorLeft,
	})
}
