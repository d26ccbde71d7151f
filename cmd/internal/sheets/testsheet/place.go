package testsheet

import (
	"math"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// Edges are the four edges of a side as it is looked at, clockwise from the head.
var Edges = [4]geom.Towards{geom.Up, geom.Right, geom.Down, geom.Left}

// place is a point near an edge: so far along it, to the right or upwards, and so
// far outward of its middle.
type place struct{ start, along, outward geom.Point }

func placeAt(edge geom.Towards, r geom.Rect) place {
	p := place{r.Corner(edge, edge), geom.Point{Y: 1}, edge.Unit()}
	if edge == geom.Up || edge == geom.Down {
		p.along = geom.Point{X: 1}
	}
	return p
}

func (p place) at(along, outward float64) geom.Point {
	return p.start.Plus(p.along.Times(along)).Plus(p.outward.Times(outward))
}

// Segment is a straight line.
type Segment struct{ From, To geom.Point }

// Middle is the middle of the line.
func (s Segment) Middle() geom.Point { return s.From.Plus(s.To).Times(0.5) }

// Letters mark the corners of the front, clockwise from the head's left.
var Letters = [4]string{"K", "L", "M", "N"}

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
	before := Edges[(corner+3)%4] // counter-clockwise
	return frame(paper).Inset(by, by, by, by).Corner(Edges[corner], before)
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
		return refusal.Plan.New("paper %q is too small for the test sheet, which needs %s", paper.Name, Smallest.String()).Advise("use larger paper: the printer turns all sizes in the same way")
	}
	return nil
}
