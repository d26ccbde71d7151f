package paper

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// ErrLoose is returned when a leaf is not held by the fold at the spine.
var ErrLoose = errors.New("leaf not held by the spine")

// Face is one page of the finished book as it lies in the open book.
type Face struct {
	Gathering int // from 1
	Place     int // in the reading order of the gathering, from 1
	Recto     bool
	Size      geom.Size // mm
	Marks     []Seen

	layer layer
	over  lay // from the table to the page, for a verso: its leaf has been turned
}

// OnSheet is where a point of the page, in mm from its lower left corner, lies
// on the paper: on which sheet of the stack, counted from 0 from the top, on
// which side of it, and where in the view of that side.
func (f Face) OnSheet(p geom.Point) (sheet int, side reorder.Side, at geom.Point) {
	at = f.layer.lay.pointOn(f.over.pointOn(p))
	if f.layer.lay.isFrontUp() == f.Recto {
		return f.layer.sheet.number, reorder.Front, at
	}
	at.X = f.layer.sheet.Size.W - at.X
	return f.layer.sheet.number, reorder.Back, at
}

// Seen is a mark on a page.
type Seen struct {
	Label     string
	At        geom.Point // mm from the page's lower left corner
	Head      geom.Point // the way in which its head points
	Upright   bool       // its head points up, give or take a degree
	FromSpine float64    // mm from the spine edge
	FromHead  float64    // mm from the page's upper edge
}

// Open cuts folds at edges of the pile open.
func (p Pile) Open(edges ...geom.Towards) Pile {
	return Pile{p.layers, slices.Concat(p.opened, edges)}
}

// Faces reads a folded pile from the top: spine (left, right or up) is the
// edge about which the leaves turn. Where a fold at another edge has not been
// opened, or glue holds, the faces inside are not seen. A leaf turned about an
// upper edge lies above the others, so that both pages of an opening are
// looked at the same way round, as in a wall calendar.
func (p Pile) Faces(spine geom.Towards) []Face {
	size := p.Size()
	var faces []Face
	for _, leaf := range p.leaves(spine) {
		for _, recto := range []bool{true, false} {
			l := leaf[0]
			if !recto {
				l = leaf[len(leaf)-1]
			}
			f := Face{Place: len(faces) + 1, Recto: recto, Size: size, layer: l, over: asIs}
			if !recto {
				f.over = turnAbout(spine, size)
			}
			for _, m := range l.marks(recto) {
				away := m.At.X
				switch spine {
				case geom.Right:
					away = size.W - m.At.X
				case geom.Up:
					away = size.H - m.At.Y
				}
				m.At, m.Head = f.over.point(m.At), f.over.direction(m.Head)
				f.Marks = append(f.Marks, Seen{
					Label: m.Label, At: m.At, Head: m.Head,
					Upright:   m.Head.Y > 0 && math.Abs(m.Head.X) < m.Head.Y*math.Tan(math.Pi/180),
					FromSpine: away, FromHead: size.H - m.At.Y,
				})
			}
			faces = append(faces, f)
		}
	}
	return faces
}

// leaves is the layers that turn together.
func (p Pile) leaves(spine geom.Towards) [][]layer {
	n := len(p.layers)
	closed := make([]bool, n) // the gap below a layer
	for i, a := range p.layers {
		for k := i + 1; k < n; k++ {
			b := p.layers[k]
			if k == i+1 && a.isGlued(b) || p.isShut(a, b, spine) {
				for gap := i; gap < k; gap++ {
					closed[gap] = true
				}
			}
		}
	}
	var leaves [][]layer
	from := 0
	for i := range p.layers {
		if !closed[i] {
			leaves = append(leaves, p.layers[from:i+1])
			from = i + 1
		}
	}
	return leaves
}

// isShut tells whether two layers hang together in an unopened fold that is not
// at the spine.
func (p Pile) isShut(a, b layer, spine geom.Towards) bool {
	for _, edge := range []geom.Towards{geom.Up, geom.Left, geom.Down, geom.Right} {
		if edge != spine && !slices.Contains(p.opened, edge) && a.joins(b, edge) {
			return true
		}
	}
	return false
}

// isGlued tells whether two layers are one on the other in one piece, which only
// glue can do.
func (l layer) isGlued(o layer) bool {
	if l.piece != o.piece || l.sheet == o.sheet {
		return false
	}
	a, b := l.rectInPiece(), o.rectInPiece()
	return min(a.X1, b.X1)-max(a.X0, b.X0) > slack && min(a.Y1, b.Y1)-max(a.Y0, b.Y0) > slack
}

func (l layer) rectInPiece() geom.Rect {
	r, o := l.region, l.joined
	return geom.Rect{X0: r.X0 + o.X, Y0: r.Y0 + o.Y, X1: r.X1 + o.X, Y1: r.Y1 + o.Y}
}

// turnAbout gives the motion of a leaf of the given size that is turned about the spine.
func turnAbout(spine geom.Towards, size geom.Size) lay {
	if spine == geom.Up {
		return overEndForEnd.shift(0, size.H)
	}
	return overSideways.shift(size.W, 0)
}

// CheckHeld looks whether thread through the fold at the given edge (left, right
// or up) holds every leaf: each must hang together, across that fold, with its
// counterpart from the other end of the pile. The error is [ErrLoose].
func (p Pile) CheckHeld(spine geom.Towards) error {
	b := p.bounds()
	n := len(p.layers)
	for i, l := range p.layers {
		r := l.rectOnTable()
		atEdge := map[geom.Towards]bool{
			geom.Left: isSame(r.X0, b.X0), geom.Right: isSame(r.X1, b.X1), geom.Up: isSame(r.Y1, b.Y1),
		}[spine]
		if atEdge && l.joins(p.layers[n-1-i], spine) {
			continue
		}
		return fmt.Errorf("%w: leaf %d of %d from the top", ErrLoose, i+1, n)
	}
	return nil
}

// joins tells whether two layers are parts of one piece that meet in a fold at
// an edge of both.
func (l layer) joins(o layer, edge geom.Towards) bool {
	if l.piece != o.piece || l == o {
		return false
	}
	for _, end := range ends(l.rectOnTable(), edge) {
		here, there := l.pointInPiece(end), o.pointInPiece(end)
		if !isSame(here.X, there.X) || !isSame(here.Y, there.Y) || !o.touches(o.lay.pointOn(end)) {
			return false
		}
	}
	return true
}

// pointInPiece is the point of the layer's piece that lies at q on the table.
func (l layer) pointInPiece(q geom.Point) geom.Point {
	p := l.lay.pointOn(q)
	return geom.Point{X: p.X + l.joined.X, Y: p.Y + l.joined.Y}
}

// ends is the two corners of a rectangle at an edge.
func ends(r geom.Rect, edge geom.Towards) [2]geom.Point {
	switch edge {
	case geom.Left:
		return [2]geom.Point{{X: r.X0, Y: r.Y0}, {X: r.X0, Y: r.Y1}}
	case geom.Right:
		return [2]geom.Point{{X: r.X1, Y: r.Y0}, {X: r.X1, Y: r.Y1}}
	case geom.Up:
		return [2]geom.Point{{X: r.X0, Y: r.Y1}, {X: r.X1, Y: r.Y1}}
	}
	return [2]geom.Point{{X: r.X0, Y: r.Y0}, {X: r.X1, Y: r.Y0}}
}

// touches tells whether a point of the sheet lies on the layer or its edge.
func (l layer) touches(p geom.Point) bool {
	r := l.region
	return p.X > r.X0-slack && p.X < r.X1+slack && p.Y > r.Y0-slack && p.Y < r.Y1+slack
}
