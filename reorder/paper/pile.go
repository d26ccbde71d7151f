// Package paper is simulated paper, and the hands that cut, fold and open it.
//
// It exists to read the book that printed sheets turn into. Whoever has sheets,
// planned or taken from print files, lays them down here as [Sheet] values with
// marks on them; [Follow] does to them what a plan tells the hands to do, turns
// leaf after leaf and tells what stands on each page. Package papertest makes books
// as the handbooks say, without a plan, and compares pages with those that were wanted.
//
// Nothing here knows an order of pages. A [Pile] is layers of paper on a table,
// each a rectangle of a sheet and how it lies; folding reflects the layers
// beyond a line and lays them, upside down and in reverse order, on the rest.
// The single steps are methods of Pile, so that a folding described in a
// handbook can be followed step by step ([Pile.UppermostMarks] is what one sees then).
//
// # Frames
//
// A mark stands in the view of its side: millimetres, x to the right, y up,
// origin at the lower left corner of the sheet in feed orientation (short edge
// at the head); the back is seen after turning the sheet about its long edge.
// The table is looked at from above, x to the right, y away from the person, and
// the pile's lower left corner is the origin. A page is looked at as it lies in
// the open book.
//
// Not here: thickness of paper, and so creep; trimming; folds aslant.
package paper

import (
	"errors"
	"fmt"
	"slices"

	"foldwright/reorder/geom"
)

// slack is what two lengths may differ by and still be one, in millimetres.
const slack = 1e-6

// ErrNest is returned when a pile is laid into one of another size or without a middle.
var ErrNest = errors.New("does not fit into the other pile")

// Pile is layers of paper on a table, one on the other. Its methods leave it as
// it is and return what the hands have made of it.
type Pile struct {
	layers []layer // from the top down
	opened []geom.Towards
	pasted [][2]*piece // by an edge at the spine: what, and onto what
	laid   []*piece    // between the leaves of a gathering
}

// layer is a flat part of a piece: between folds, cuts and the sheet's edges.
type layer struct {
	piece  *piece
	sheet  *Sheet
	region geom.Rect  // mm, in the view of the sheet's front
	lay    lay        // of that view on the table
	joined geom.Point // mm, where the sheet's origin lies in its piece: not at nought in a glued strip
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
		p.layers = append(p.layers, layer{piece: new(piece), sheet: &s, region: geom.Rect{X1: s.Size.W, Y1: s.Size.H}, lay: asIs})
	}
	return p, nil
}

func (l layer) rectOnTable() geom.Rect {
	return rectBetween(l.lay.point(geom.Point{X: l.region.X0, Y: l.region.Y0}),
		l.lay.point(geom.Point{X: l.region.X1, Y: l.region.Y1}))
}

func (p Pile) bounds() geom.Rect {
	if len(p.layers) == 0 {
		return geom.Rect{}
	}
	all := p.layers[0].rectOnTable()
	for _, l := range p.layers {
		r := l.rectOnTable()
		all = geom.Rect{X0: min(all.X0, r.X0), Y0: min(all.Y0, r.Y0), X1: max(all.X1, r.X1), Y1: max(all.Y1, r.Y1)}
	}
	return all
}

// Size is the size of the pile as it lies, in millimetres.
func (p Pile) Size() geom.Size {
	b := p.bounds()
	return geom.Size{W: b.X1 - b.X0, H: b.Y1 - b.Y0}
}

// move gives the pile after a motion, pushed back to the origin.
func (p Pile) move(m lay) Pile {
	out := Pile{layers: slices.Clone(p.layers)}
	for i := range out.layers {
		out.layers[i].lay = out.layers[i].lay.move(m)
	}
	b := out.bounds()
	for i := range out.layers {
		out.layers[i].lay = out.layers[i].lay.shift(-b.X0, -b.Y0)
	}
	return out
}

// TurnOver turns the whole pile over sideways, like the page of a book: the
// lowest layer comes to the top.
func (p Pile) TurnOver() Pile {
	out := p.move(overSideways)
	slices.Reverse(out.layers)
	return out
}

// Rotate turns the pile on the table, counter-clockwise by quarter turns.
func (p Pile) Rotate(n int) Pile {
	for range (n%4 + 4) % 4 {
		p = p.move(quarterTurn)
	}
	return p
}

// Singly is the layers of the pile as piles of their own, from the top down.
func (p Pile) Singly() []Pile {
	var each []Pile
	for i := range p.layers {
		each = append(each, Pile{layers: slices.Clone(p.layers[i : i+1])})
	}
	return each
}

// LayOn lays the pile on another, lower left corner on lower left corner.
func (p Pile) LayOn(under Pile) Pile {
	return Pile{layers: slices.Concat(p.layers, under.layers)}
}

// InsertInto lays the folded pile into the middle of another one, edges on edges.
// The error is [ErrNest].
func (p Pile) InsertInto(outer Pile) (Pile, error) {
	in, out := p.Size(), outer.Size()
	half := len(outer.layers) / 2
	if !isSame(in.W, out.W) || !isSame(in.H, out.H) || 2*half != len(outer.layers) {
		return Pile{}, fmt.Errorf("%w: %s into %d layers of %s", ErrNest, in, len(outer.layers), out)
	}
	return Pile{layers: slices.Concat(outer.layers[:half], p.layers, outer.layers[half:])}, nil
}

// UppermostMarks is the marks that one sees from above, in the table's frame.
func (p Pile) UppermostMarks() []Mark {
	var seen []Mark
	for i, l := range p.layers {
		for _, m := range l.marks(true) {
			covered := slices.ContainsFunc(p.layers[:i], func(above layer) bool {
				r := above.rectOnTable()
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
	if upper != l.lay.isFrontUp() {
		face = nil
		for _, m := range sheet.Back {
			face = append(face, sheet.seeThrough(m))
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
func (l layer) holds(p geom.Point) bool {
	r, size := l.region, l.sheet.Size
	return p.X >= r.X0 && (p.X < r.X1 || r.X1 == size.W) && p.Y >= r.Y0 && (p.Y < r.Y1 || r.Y1 == size.H)
}

func isSame(a, b float64) bool { return a-b < slack && b-a < slack }

// ErrSheet is returned for a sheet that is not in feed orientation, differs in
// size from its neighbours, or has a mark beside the paper or without a head.
var ErrSheet = errors.New("not a sheet to work with")

// Mark is something printed that can be recognised: a page number, a word.
type Mark struct {
	Label string
	At    geom.Point // mm, in the view of its side
	Head  geom.Point // the way in which its head points, in the same view; any length but nought
}

// Sheet is a printed sheet.
type Sheet struct {
	Size        geom.Size // feed orientation
	Front, Back []Mark    // each in the view of its own side

	number int // in the stack, from 0, once it lies on the table
}

// check refuses what ErrSheet tells.
func (s Sheet) check() error {
	if !(s.Size.W > 0 && s.Size.W <= s.Size.H) {
		return fmt.Errorf("%w: %s is not in feed orientation", ErrSheet, s.Size)
	}
	for _, m := range append(s.Front[:len(s.Front):len(s.Front)], s.Back...) {
		if !(m.At.X >= 0 && m.At.Y >= 0 && m.At.X <= s.Size.W && m.At.Y <= s.Size.H) {
			return fmt.Errorf("%w: mark %q lies beside the paper, at %v", ErrSheet, m.Label, m.At)
		}
		if m.Head.X == 0 && m.Head.Y == 0 {
			return fmt.Errorf("%w: mark %q has no head", ErrSheet, m.Label)
		}
	}
	return nil
}

// seeThrough gives a mark of the back as one would see it from the front if the
// sheet were glass.
func (s Sheet) seeThrough(m Mark) Mark {
	m.At.X = s.Size.W - m.At.X
	m.Head.X = -m.Head.X
	return m
}

// lay is how a body lies on the table, seen from above: where its origin is
// (mm) and along which ways its own axes run (unit lengths). A body whose front
// looks down is seen through its back, so its axes are a mirror image.
type lay struct{ origin, x, y geom.Point }

var (
	asIs          = lay{x: geom.Point{X: 1}, y: geom.Point{Y: 1}}
	quarterTurn   = lay{x: geom.Point{Y: 1}, y: geom.Point{X: -1}} // counter-clockwise about the origin
	overSideways  = lay{x: geom.Point{X: -1}, y: geom.Point{Y: 1}} // over about the line x = 0
	overEndForEnd = lay{x: geom.Point{X: 1}, y: geom.Point{Y: -1}} // over about the line y = 0
)

func (l lay) point(p geom.Point) geom.Point {
	d := l.direction(p)
	return geom.Point{X: l.origin.X + d.X, Y: l.origin.Y + d.Y}
}

func (l lay) direction(d geom.Point) geom.Point {
	return geom.Point{X: d.X*l.x.X + d.Y*l.y.X, Y: d.X*l.x.Y + d.Y*l.y.Y}
}

// pointOn is the point of the body that lies at q on the table.
func (l lay) pointOn(q geom.Point) geom.Point {
	d := geom.Point{X: q.X - l.origin.X, Y: q.Y - l.origin.Y}
	return geom.Point{X: d.X*l.x.X + d.Y*l.x.Y, Y: d.X*l.y.X + d.Y*l.y.Y}
}

// move gives how the body lies after a motion of the table's frame.
func (l lay) move(m lay) lay {
	return lay{m.point(l.origin), m.direction(l.x), m.direction(l.y)}
}

func (l lay) shift(x, y float64) lay {
	l.origin.X += x
	l.origin.Y += y
	return l
}

func (l lay) isFrontUp() bool { return l.x.X*l.y.Y-l.x.Y*l.y.X > 0 }

// rectBetween is the upright rectangle with two points as opposite corners.
func rectBetween(p, q geom.Point) geom.Rect {
	return geom.Rect{X0: min(p.X, q.X), Y0: min(p.Y, q.Y), X1: max(p.X, q.X), Y1: max(p.Y, q.Y)}
}
