package testsheet

import "foldwright/reorder"

// Ruler is a line to be measured, on both faces the same. It begins and ends
// in pin marks, and a tick stands every 10 mm.
type Ruler struct {
	Zero    reorder.Point
	Towards reorder.Point // the direction, of length 1
	Length  float64       // mm, whole centimetres
}

// End is where the ruler ends.
func (r Ruler) End() reorder.Point { return r.At(r.Length) }

// At is the point so many mm from the zero point.
func (r Ruler) At(mm float64) reorder.Point {
	return reorder.Point{X: r.Zero.X + r.Towards.X*mm, Y: r.Zero.Y + r.Towards.Y*mm}
}

// Rulers are the rulers that are measured: across the sheet, along its short
// edge, from the head's left to its right; and along the sheet, from the
// tail's left to the head's left. Two more run along the other two edges.
func Rulers(paper reorder.Paper) (across, along Ruler) {
	size := frame(paper).Size()
	across = Ruler{Corner(paper, 0), reorder.Point{X: 1}, size.W}
	along = Ruler{Corner(paper, 3), reorder.Point{Y: 1}, size.H}
	return across, along
}
