package paper

import (
	"errors"
	"fmt"
	"slices"

	"foldwright/reorder"
)

// slack is what two lengths may differ by and still be one, in millimetres.
const slack = 1e-6

// ErrNest is returned when a pile is laid into one of another size or without a middle.
var ErrNest = errors.New("does not fit into the other pile")

// Pile is layers of paper on a table, one on the other. Its methods leave it as
// it is and return what the hands have made of it.
type Pile struct {
	layers []layer // from the top down
	opened []reorder.Towards
}

// layer is a flat part of a piece: between folds, cuts and the sheet's edges.
type layer struct {
	piece  *piece
	sheet  *Sheet
	region reorder.Rect  // mm, in the view of the sheet's front
	lay    lay           // of that view on the table
	joined reorder.Point // mm, where the sheet's origin lies in its piece: not at nought in a glued strip
}

// piece is paper that hangs together.
type piece struct{ _ byte } // of some size, so that each has an address of its own

// NewPile lays sheets down in feed orientation, fronts up, the first on top.
// The error is [ErrSheet].
func NewPile(sheets []Sheet) (Pile, error) {
	var p Pile
	for i, s := range sheets {
		if err := s.check(); err != nil {
			return Pile{}, fmt.Errorf("sheet %d: %w", i+1, err)
		}
		if s.Size != sheets[0].Size {
			return Pile{}, fmt.Errorf("sheet %d: %w: %s among sheets of %s", i+1, ErrSheet, s.Size, sheets[0].Size)
		}
		s.number = i
		p.layers = append(p.layers, layer{piece: new(piece), sheet: &s, region: reorder.Rect{X1: s.Size.W, Y1: s.Size.H}, lay: asIs})
	}
	return p, nil
}

// onTable is the rectangle that the layer covers.
func (l layer) onTable() reorder.Rect {
	return between(l.lay.point(reorder.Point{X: l.region.X0, Y: l.region.Y0}),
		l.lay.point(reorder.Point{X: l.region.X1, Y: l.region.Y1}))
}

// bounds is the rectangle that the pile covers.
func (p Pile) bounds() reorder.Rect {
	if len(p.layers) == 0 {
		return reorder.Rect{}
	}
	all := p.layers[0].onTable()
	for _, l := range p.layers {
		r := l.onTable()
		all = reorder.Rect{X0: min(all.X0, r.X0), Y0: min(all.Y0, r.Y0), X1: max(all.X1, r.X1), Y1: max(all.Y1, r.Y1)}
	}
	return all
}

// Size is the size of the pile as it lies, in millimetres.
func (p Pile) Size() reorder.Size {
	b := p.bounds()
	return reorder.Size{W: b.X1 - b.X0, H: b.Y1 - b.Y0}
}

// moved is the pile after a motion, pushed back to the origin.
func (p Pile) moved(m lay) Pile {
	out := Pile{layers: slices.Clone(p.layers)}
	for i := range out.layers {
		out.layers[i].lay = out.layers[i].lay.moved(m)
	}
	b := out.bounds()
	for i := range out.layers {
		out.layers[i].lay = out.layers[i].lay.shifted(-b.X0, -b.Y0)
	}
	return out
}

// TurnOver turns the whole pile over sideways, like the page of a book: the
// lowest layer comes to the top.
func (p Pile) TurnOver() Pile {
	out := p.moved(overSideways)
	slices.Reverse(out.layers)
	return out
}

// Quarters turns the pile on the table, counter-clockwise by quarter turns.
func (p Pile) Quarters(n int) Pile {
	for range (n%4 + 4) % 4 {
		p = p.moved(quarterTurn)
	}
	return p
}

// On lays the pile on another, lower left corner on lower left corner.
func (p Pile) On(under Pile) Pile {
	return Pile{layers: slices.Concat(p.layers, under.layers)}
}

// Into lays the folded pile into the middle of another one, edges on edges.
// The error is [ErrNest].
func (p Pile) Into(outer Pile) (Pile, error) {
	in, out := p.Size(), outer.Size()
	half := len(outer.layers) / 2
	if !same(in.W, out.W) || !same(in.H, out.H) || 2*half != len(outer.layers) {
		return Pile{}, fmt.Errorf("%w: %s into %d layers of %s", ErrNest, in, len(outer.layers), out)
	}
	return Pile{layers: slices.Concat(outer.layers[:half], p.layers, outer.layers[half:])}, nil
}

// Uppermost is the marks that one sees from above, in the table's frame.
func (p Pile) Uppermost() []Mark {
	var seen []Mark
	for i, l := range p.layers {
		for _, m := range l.marks(true) {
			covered := slices.ContainsFunc(p.layers[:i], func(above layer) bool {
				r := above.onTable()
				return m.At.X > r.X0 && m.At.X < r.X1 && m.At.Y > r.Y0 && m.At.Y < r.Y1
			})
			if !covered {
				seen = append(seen, m)
			}
		}
	}
	return seen
}

// marks is what stands on the upper or the lower face of the layer, in the
// table's frame; the lower face is seen from above, as if through glass.
func (l layer) marks(upper bool) []Mark {
	sheet := l.sheet
	face := sheet.Front
	if upper != l.lay.frontUp() {
		face = nil
		for _, m := range sheet.Back {
			face = append(face, sheet.through(m))
		}
	}
	var out []Mark
	for _, m := range face {
		if l.holds(m.At) {
			out = append(out, Mark{m.Label, l.lay.point(m.At), l.lay.direction(m.Head)})
		}
	}
	return out
}

// holds tells whether a point of the sheet lies on this layer. What lies
// exactly on a fold belongs to one side of it, so that nothing is seen twice.
func (l layer) holds(p reorder.Point) bool {
	r, size := l.region, l.sheet.Size
	return p.X >= r.X0 && (p.X < r.X1 || r.X1 == size.W) && p.Y >= r.Y0 && (p.Y < r.Y1 || r.Y1 == size.H)
}

func same(a, b float64) bool { return a-b < slack && b-a < slack }
