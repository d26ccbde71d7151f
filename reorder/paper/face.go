package paper

import (
	"errors"
	"fmt"
	"math"

	"foldwright/reorder"
)

// ErrLoose is returned when a leaf is not held by the fold at the spine.
var ErrLoose = errors.New("leaf not held by the spine")

// Face is one page of the finished book as it lies in the open book.
type Face struct {
	Gathering int // from 1
	Place     int // in the reading order of the gathering, from 1
	Recto     bool
	Size      reorder.Size // mm
	Marks     []Seen
}

// Seen is a mark on a page.
type Seen struct {
	Label     string
	At        reorder.Point // mm from the page's lower left corner
	Head      reorder.Point // the way in which its head points
	Upright   bool          // its head points up, give or take a degree
	FromSpine float64       // mm from the spine edge
	FromHead  float64       // mm from the page's upper edge
}

// posture says how a mark stands.
func (s Seen) posture() string {
	switch angle := math.Atan2(s.Head.Y, s.Head.X); {
	case s.Upright:
		return "upright"
	case math.Abs(angle+math.Pi/2) < math.Pi/4:
		return "upside down"
	case math.Abs(angle-math.Pi/2) < math.Pi/4:
		return "aslant"
	}
	return "sideways"
}

// Faces reads a folded pile from the top: spine (left, right or up) is the
// edge about which the leaves turn. All other folds count as cut open. A leaf
// turned about an upper edge lies above the others, so that both pages of an
// opening are looked at the same way round, as in a wall calendar.
func (p Pile) Faces(spine reorder.Towards) []Face {
	size := p.Size()
	var faces []Face
	for _, l := range p.layers {
		for _, recto := range []bool{true, false} {
			f := Face{Place: len(faces) + 1, Recto: recto, Size: size}
			for _, m := range l.marks(recto) {
				away := m.At.X
				switch spine {
				case reorder.Right:
					away = size.W - m.At.X
				case reorder.Up:
					away = size.H - m.At.Y
				}
				if !recto {
					m = turned(m, spine, size)
				}
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

// turned is a mark of a leaf's lower face after the leaf has been turned about
// the spine, measured from the turned leaf's lower left corner.
func turned(m Mark, spine reorder.Towards, size reorder.Size) Mark {
	over, corner := overSideways, reorder.Point{X: size.W}
	if spine == reorder.Up {
		over, corner = overEndForEnd, reorder.Point{Y: size.H}
	}
	over = over.shifted(corner.X, corner.Y)
	return Mark{m.Label, over.point(m.At), over.direction(m.Head)}
}

// Held looks whether thread through the fold at the given edge (left or right)
// holds every leaf: each must hang together, across that fold, with its
// counterpart from the other end of the pile. The error is [ErrLoose].
func (p Pile) Held(spine reorder.Towards) error {
	edge := p.bounds().X0
	if spine == reorder.Right {
		edge = p.bounds().X1
	}
	n := len(p.layers)
	for i, l := range p.layers {
		if l.joins(p.layers[n-1-i], edge) {
			continue
		}
		return fmt.Errorf("%w: leaf %d of %d from the top", ErrLoose, i+1, n)
	}
	return nil
}

// joins tells whether two layers are parts of one piece that meet in a fold on
// the line x = edge of the table.
func (l layer) joins(o layer, edge float64) bool {
	if l.piece != o.piece || l.region == o.region {
		return false
	}
	for _, y := range []float64{l.onTable().Y0, l.onTable().Y1} {
		end := reorder.Point{X: edge, Y: y}
		here, there := l.lay.back(end), o.lay.back(end)
		if !same(here.X, there.X) || !same(here.Y, there.Y) || !o.touches(there) {
			return false
		}
	}
	return true
}

// touches tells whether a point of the sheet lies on the layer or its edge.
func (l layer) touches(p reorder.Point) bool {
	r := l.region
	return p.X > r.X0-slack && p.X < r.X1+slack && p.Y > r.Y0-slack && p.Y < r.Y1+slack
}
