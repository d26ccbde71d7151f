// Package geom is points, rectangles and maps on a side of a sheet, and lengths as
// people write them. All is in millimetres: x to the right, y up, origin at the lower
// left corner of the side as it is looked at.
package geom

import (
	"fmt"
	"math"
	"strings"

	"foldwright/reorder/enum"
)

// Point is a place on one side of a sheet, in millimetres: x to the right,
// y up, origin at the lower left corner of the side as it is looked at.
type Point struct{ X, Y float64 }

// Plus is the point moved by another one, and Minus the way to p from q.
func (p Point) Plus(by Point) Point { return Point{p.X + by.X, p.Y + by.Y} }
func (p Point) Minus(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Times is the way so many times as far.
func (p Point) Times(f float64) Point { return Point{p.X * f, p.Y * f} }

// Length is the length of the way.
func (p Point) Length() float64 { return math.Hypot(p.X, p.Y) }

// Unit is the same direction, of length 1.
func (p Point) Unit() Point { return Point{p.X / p.Length(), p.Y / p.Length()} }

// Rect is the rectangle without any size at the point.
func (p Point) Rect() Rect { return Rect{p.X, p.Y, p.X, p.Y} }

// Size is a width and a height in millimetres.
type Size struct {
	W float64 `json:"width-mm"`
	H float64 `json:"height-mm"`
}

// Turn gives the size after a quarter turn.
func (s Size) Turn() Size { return Size{s.H, s.W} }

// Portrait is the size with its short edge as the head: feed orientation.
func (s Size) Portrait() Size {
	if s.W > s.H {
		return s.Turn()
	}
	return s
}

// Rect is the whole rectangle of this size with its lower left corner at the origin.
func (s Size) Rect() Rect { return Rect{0, 0, s.W, s.H} }

// String writes the size to a tenth of a millimetre, which is as far as paper
// keeps to its size.
func (s Size) String() string {
	tenth := func(v float64) string { return Millimetres(math.Round(v*10) / 10) }
	return fmt.Sprintf("%s x %s mm", tenth(s.W), tenth(s.H))
}

// Rect is an upright rectangle in millimetres, X0 <= X1 and Y0 <= Y1.
type Rect struct{ X0, Y0, X1, Y1 float64 }

func (r Rect) Size() Size { return Size{r.X1 - r.X0, r.Y1 - r.Y0} }

// Centre is the middle of the rectangle.
func (r Rect) Centre() Point { return Point{(r.X0 + r.X1) / 2, (r.Y0 + r.Y1) / 2} }

// Corner is where two edges meet; of one edge, given twice, it is the middle.
func (r Rect) Corner(a, b Towards) Point {
	p := r.Centre()
	for _, edge := range []Towards{a, b} {
		switch edge {
		case Up:
			p.Y = r.Y1
		case Left:
			p.X = r.X0
		case Down:
			p.Y = r.Y0
		case Right:
			p.X = r.X1
		}
	}
	return p
}

// IsWithin tells whether r lies inside outer, give or take slack millimetres.
func (r Rect) IsWithin(outer Rect, slack float64) bool {
	return r.X0 >= outer.X0-slack && r.Y0 >= outer.Y0-slack &&
		r.X1 <= outer.X1+slack && r.Y1 <= outer.Y1+slack
}

// Inset is the rectangle with its four edges moved inwards (outwards if
// negative) by the given millimetres.
func (r Rect) Inset(left, bottom, right, top float64) Rect {
	return Rect{r.X0 + left, r.Y0 + bottom, r.X1 - right, r.Y1 - top}
}

// Common is what two rectangles have in common; its edges are crossed where they
// have nothing.
func (r Rect) Common(o Rect) Rect {
	return Rect{math.Max(r.X0, o.X0), math.Max(r.Y0, o.Y0), math.Min(r.X1, o.X1), math.Min(r.Y1, o.Y1)}
}

// Around is the smallest rectangle around two.
func (r Rect) Around(o Rect) Rect {
	return Rect{math.Min(r.X0, o.X0), math.Min(r.Y0, o.Y0), math.Max(r.X1, o.X1), math.Max(r.Y1, o.Y1)}
}

// Moved is the rectangle moved by the given millimetres.
func (r Rect) Moved(x, y float64) Rect { return Rect{r.X0 + x, r.Y0 + y, r.X1 + x, r.Y1 + y} }

// Matrix is an affine map in the order of PDF's cm operator
// (ISO 32000-1, 8.3.4): x' = a x + c y + e, y' = b x + d y + f.
// Its translation is in millimetres.
type Matrix [6]float64

// Identity maps every point to itself.
var Identity = Matrix{1, 0, 0, 1, 0, 0}

// Apply maps a point.
func (m Matrix) Apply(p Point) Point {
	return Point{m[0]*p.X + m[2]*p.Y + m[4], m[1]*p.X + m[3]*p.Y + m[5]}
}

// Direction maps a direction: the translation plays no part.
func (m Matrix) Direction(p Point) Point {
	return Point{m[0]*p.X + m[2]*p.Y, m[1]*p.X + m[3]*p.Y}
}

// Then is the map that applies m first and next afterwards.
func (m Matrix) Then(next Matrix) Matrix {
	return Matrix{
		next[0]*m[0] + next[2]*m[1], next[1]*m[0] + next[3]*m[1],
		next[0]*m[2] + next[2]*m[3], next[1]*m[2] + next[3]*m[3],
		next[0]*m[4] + next[2]*m[5] + next[4], next[1]*m[4] + next[3]*m[5] + next[5],
	}
}

// Bounds is the smallest upright rectangle around the image of r.
func (m Matrix) Bounds(r Rect) Rect {
	out := m.Apply(Point{r.X0, r.Y0}).Rect()
	for _, p := range []Point{{r.X1, r.Y0}, {r.X0, r.Y1}, {r.X1, r.Y1}} {
		out = out.Around(m.Apply(p).Rect())
	}
	return out
}

// Translate moves by the given millimetres.
func Translate(x, y float64) Matrix { return Matrix{1, 0, 0, 1, x, y} }

// Enlarge scales about the origin.
func Enlarge(s float64) Matrix { return Matrix{s, 0, 0, s, 0, 0} }

// Rotate turns counter-clockwise about the origin by quarter turns.
func Rotate(quarters int) Matrix {
	switch ((quarters % 4) + 4) % 4 {
	case 1:
		return Matrix{0, 1, -1, 0, 0, 0}
	case 2:
		return Matrix{-1, 0, 0, -1, 0, 0}
	case 3:
		return Matrix{0, -1, 1, 0, 0, 0}
	}
	return Identity
}

// HalfTurn turns a side of the given size by 180 degrees about its middle.
func HalfTurn(s Size) Matrix { return Matrix{-1, 0, 0, -1, s.W, s.H} }

// Millimetres writes a length with at most three decimals and no trailing noughts.
func Millimetres(v float64) string {
	r := math.Round(v*1000) / 1000
	if r == 0 {
		r = 0 // no minus nought
	}
	return fmt.Sprintf("%g", r)
}

// Percent writes a scale with at most one decimal and no trailing nought.
func Percent(scale float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", scale*100), ".0") }

// Inverse of a map that only turns, mirrors and moves.
func (m Matrix) Inverse() Matrix {
	t := Matrix{m[0], m[2], m[1], m[3], 0, 0}
	e := t.Apply(Point{m[4], m[5]})
	t[4], t[5] = -e.X, -e.Y
	return t
}

// Mirror turns a side of the given size over about its long edge: it maps the view
// of one side to that of the other.
func Mirror(s Size) Matrix { return Matrix{-1, 0, 0, 1, s.W, 0} }

// EdgeAgainst is the edge of r at which it lies against another rectangle, 0 if
// they do not touch.
func (r Rect) EdgeAgainst(o Rect) Towards {
	const near = 1e-6
	across := r.Y0 < o.Y1-near && o.Y0 < r.Y1-near
	along := r.X0 < o.X1-near && o.X0 < r.X1-near
	switch {
	case along && o.Y0-r.Y1 < near && o.Y0-r.Y1 > -near:
		return Up
	case along && r.Y0-o.Y1 < near && r.Y0-o.Y1 > -near:
		return Down
	case across && o.X0-r.X1 < near && o.X0-r.X1 > -near:
		return Right
	case across && r.X0-o.X1 < near && r.X0-o.X1 > -near:
		return Left
	}
	return 0
}

// Reaches tells whether r reaches an edge of the rectangle that it is part of.
func (r Rect) Reaches(whole Rect, edge Towards) bool {
	gap := r.Corner(edge, edge).Minus(whole.Corner(edge, edge))
	if edge == Up || edge == Down {
		return math.Abs(gap.Y) < 1e-6
	}
	return math.Abs(gap.X) < 1e-6
}

func (r Rect) IsEmpty() bool { return r.X1-r.X0 < 1e-6 || r.Y1-r.Y0 < 1e-6 }

// Towards is one of the four directions on a side, as it is looked at in feed
// orientation.
type Towards int

const (
	Up    Towards = iota + 1 // +y, the sheet's head
	Left                     // -x
	Down                     // -y, the sheet's tail
	Right                    // +x
)

var towardsWords = enum.New("direction", "up", "left", "down", "right")

func (t Towards) String() string { return towardsWords.Of(int(t)) }

// Quarters is how many counter-clockwise quarter turns bring up to t.
func (t Towards) Quarters() int { return int(t) - 1 }

// Unit is the direction as a point, of length 1.
func (t Towards) Unit() Point {
	return [5]Point{Up: {0, 1}, Left: {-1, 0}, Down: {0, -1}, Right: {1, 0}}[t]
}

// TowardsOf is the direction closest to a way along one of the axes.
func TowardsOf(way Point) Towards {
	for t := Up; t < Right; t++ {
		if u := t.Unit(); way.X*u.X+way.Y*u.Y > 0.5 {
			return t
		}
	}
	return Right
}

func (t Towards) Opposite() Towards { return t.Turn(2) }

// Turn gives where t points after counter-clockwise quarter turns.
func (t Towards) Turn(quarters int) Towards { return (t-1+Towards(quarters)+4)%4 + 1 }
