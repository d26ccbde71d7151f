package testsheet

import (
	"math"

	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// Letters mark the corners of the front, clockwise from the head's left.
var Letters = [4]string{"A", "B", "C", "D"}

// Numbers mark the corners of the back, clockwise from the head's left.
var Numbers = [4]string{"1", "2", "3", "4"}

// The pin marks stand so far from the edges, at least, in mm: a mark reaches
// markRadius further and must stay clear of the outer 16 mm.
const (
	markInset  = 20.0
	markRadius = 3.8
)

// The letter and the number of a corner stand so far inwards of its pin mark,
// both ways, that neither covers the other if both are printed on one face.
const (
	letterInset = 9.5
	numberInset = 19.0
)

// Corner is the pin mark of a corner, on both faces the same: 0 to 3, clockwise
// from the head's left. The marks' distances from each other are whole
// centimetres, so that they can be measured.
func Corner(paper reorder.Paper, corner int) reorder.Point { return moveInwards(paper, corner, 0) }

// LetterAt is the middle of the corner's letter on the front.
func LetterAt(paper reorder.Paper, corner int) reorder.Point {
	return moveInwards(paper, corner, letterInset)
}

// NumberAt is the middle of the corner's number on the back.
func NumberAt(paper reorder.Paper, corner int) reorder.Point {
	return moveInwards(paper, corner, numberInset)
}

// moveInwards gives a point so many millimetres, both ways, inwards of a pin mark.
func moveInwards(paper reorder.Paper, corner int, by float64) reorder.Point {
	r := frame(paper).Inset(by, by, by, by)
	return [4]reorder.Point{{X: r.X0, Y: r.Y1}, {X: r.X1, Y: r.Y1}, {X: r.X1, Y: r.Y0}, {X: r.X0, Y: r.Y0}}[corner]
}

// frame is the rectangle whose corners are the pin marks.
func frame(paper reorder.Paper) reorder.Rect {
	inset := func(length float64) float64 {
		return (length - math.Floor((length-2*markInset)/10)*10) / 2
	}
	x, y := inset(paper.Size.W), inset(paper.Size.H)
	return paper.Size.Rect().Inset(x, y, x, y)
}

// CircleRadius is the radius in mm of the circle for the pencil cross.
const CircleRadius = 14.0

// Circle is the middle of the circle for the pencil cross: the middle of the
// sheet, on both faces.
func Circle(paper reorder.Paper) reorder.Point { return paper.Size.Rect().Centre() }

// Smallest is the smallest paper, in mm, on which the test sheet finds room.
var Smallest = reorder.Size{W: 140, H: 200}

// Check refuses a paper that is too small for the test sheet.
func Check(paper reorder.Paper) error {
	if paper.Size.W < Smallest.W || paper.Size.H < Smallest.H {
		return refusal.Plan.New("paper %q is too small for the test sheet, which needs %s", paper.Name, Smallest.String()).Advise("take larger paper: the printer turns all paper alike")
	}
	return nil
}
