package testsheet

import (
	"math"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// Edge is one of the four edges of a side as it is looked at.
type Edge int

const (
	Head Edge = iota + 1
	Right
	Tail
	Left
)

// Edges are all of them, clockwise from the head.
var Edges = [4]Edge{Head, Right, Tail, Left}

func (e Edge) String() string {
	switch e {
	case Head:
		return "head"
	case Right:
		return "right"
	case Tail:
		return "tail"
	case Left:
		return "left"
	}
	return "no edge"
}

// outward is the direction from the middle of the sheet to the edge.
func (e Edge) outward() geom.Point {
	switch e {
	case Head:
		return geom.Point{Y: 1}
	case Right:
		return geom.Point{X: 1}
	case Tail:
		return geom.Point{Y: -1}
	}
	return geom.Point{X: -1}
}

// along is the direction along the edge: to the right or upwards.
func (e Edge) along() geom.Point {
	if e == Head || e == Tail {
		return geom.Point{X: 1}
	}
	return geom.Point{Y: 1}
}

// middle is the middle of the edge of a rectangle.
func (e Edge) middle(r geom.Rect) geom.Point {
	c, o := r.Centre(), e.outward()
	return geom.Point{X: c.X + o.X*(r.X1-r.X0)/2, Y: c.Y + o.Y*(r.Y1-r.Y0)/2}
}

// place is a point near an edge: so far along it and so far outward of a start.
type place struct {
	start          geom.Point
	along, outward geom.Point
}

func (p place) at(along, outward float64) geom.Point {
	return geom.Point{
		X: p.start.X + p.along.X*along + p.outward.X*outward,
		Y: p.start.Y + p.along.Y*along + p.outward.Y*outward,
	}
}

func placeAt(e Edge, r geom.Rect) place { return place{e.middle(r), e.along(), e.outward()} }

// Segment is a straight line.
type Segment struct{ From, To geom.Point }

// Middle is the middle of the line.
func (s Segment) Middle() geom.Point {
	return geom.Point{X: (s.From.X + s.To.X) / 2, Y: (s.From.Y + s.To.Y) / 2}
}

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
func Corner(paper reorder.Paper, corner int) geom.Point { return moveInwards(paper, corner, 0) }

// LetterAt is the middle of the corner's letter on the front.
func LetterAt(paper reorder.Paper, corner int) geom.Point {
	return moveInwards(paper, corner, letterInset)
}

// NumberAt is the middle of the corner's number on the back.
func NumberAt(paper reorder.Paper, corner int) geom.Point {
	return moveInwards(paper, corner, numberInset)
}

// moveInwards is a point so many millimetres, both ways, inwards of a pin mark.
func moveInwards(paper reorder.Paper, corner int, by float64) geom.Point {
	r := frame(paper).Inset(by, by, by, by)
	return [4]geom.Point{{X: r.X0, Y: r.Y1}, {X: r.X1, Y: r.Y1}, {X: r.X1, Y: r.Y0}, {X: r.X0, Y: r.Y0}}[corner]
}

// frame is the rectangle whose corners are the pin marks.
func frame(paper reorder.Paper) geom.Rect {
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
func Circle(paper reorder.Paper) geom.Point { return paper.Size.Rect().Centre() }

// Smallest is the smallest paper, in mm, on which the test sheet finds room.
var Smallest = geom.Size{W: 140, H: 200}

// Check refuses a paper that is too small for the test sheet.
func Check(paper reorder.Paper) error {
	if paper.Size.W < Smallest.W || paper.Size.H < Smallest.H {
		return refusal.Plan.New("paper %q is too small for the test sheet, which needs %s", paper.Name, Smallest.String()).Advise("take larger paper: the printer turns all paper alike")
	}
	return nil
}
