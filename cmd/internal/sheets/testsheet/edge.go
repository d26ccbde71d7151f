package testsheet

import "foldwright/reorder"

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
func (e Edge) outward() reorder.Point {
	switch e {
	case Head:
		return reorder.Point{Y: 1}
	case Right:
		return reorder.Point{X: 1}
	case Tail:
		return reorder.Point{Y: -1}
	}
	return reorder.Point{X: -1}
}

// along is the direction along the edge: to the right or upwards.
func (e Edge) along() reorder.Point {
	if e == Head || e == Tail {
		return reorder.Point{X: 1}
	}
	return reorder.Point{Y: 1}
}

// middle is the middle of the edge of a rectangle.
func (e Edge) middle(r reorder.Rect) reorder.Point {
	c, o := r.Centre(), e.outward()
	return reorder.Point{X: c.X + o.X*(r.X1-r.X0)/2, Y: c.Y + o.Y*(r.Y1-r.Y0)/2}
}

// place is a point near an edge: so far along it and so far outward of a start.
type place struct {
	start          reorder.Point
	along, outward reorder.Point
}

func (p place) at(along, outward float64) reorder.Point {
	return reorder.Point{
		X: p.start.X + p.along.X*along + p.outward.X*outward,
		Y: p.start.Y + p.along.Y*along + p.outward.Y*outward,
	}
}

func placeAt(e Edge, r reorder.Rect) place { return place{e.middle(r), e.along(), e.outward()} }

// Segment is a straight line.
type Segment struct{ From, To reorder.Point }

// Middle is the middle of the line.
func (s Segment) Middle() reorder.Point {
	return reorder.Point{X: (s.From.X + s.To.X) / 2, Y: (s.From.Y + s.To.Y) / 2}
}
