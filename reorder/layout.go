package reorder

import (
	"cmp"
	"foldwright/reorder/geom"
	"slices"
)

// arrangement is where the places of the reading orders of one stack's
// gatherings stand on its sheets, without pages yet.
type arrangement []Sheet

// face is one face of a leaf as it lies on its sheet.
type face struct {
	sheet       int
	piece       *Piece
	side        Side
	rect        geom.Rect // in the view of its side
	head, spine geom.Towards
}

// read opens the gatherings on the table, leaf by leaf from the top.
func (t *table) read(form Form, sheets int) arrangement {
	out := make(arrangement, sheets)
	pieces := make([][]*Piece, sheets)
	put := func(f face, place, depth int) {
		of := &pieces[f.sheet-1]
		if !slices.Contains(*of, f.piece) {
			*of = append(*of, f.piece)
		}
		s := &out[f.sheet-1]
		s.addPanel(f.side, Panel{Rect: f.rect, Head: f.head, Spine: f.spine, Place: place, Depth: depth, piece: f.piece})
	}
	for _, piles := range t.places {
		for _, p := range piles {
			leaves := p.leaves(form)
			for i, l := range leaves {
				depth := 0
				if form.Fold.Scheme().Held == Sewn {
					depth = min(i, len(leaves)-1-i)
				}
				put(t.face(l[0], true, form.Bind), 2*i+1, depth)
				if len(l) == 1 && !form.IsTwoSided() {
					continue // the last of a strip, whose other face is a back
				}
				put(t.face(l[len(l)-1], false, form.Bind), 2*i+2, depth)
			}
		}
	}
	for i := range out {
		out[i].settle(pieces[i])
	}
	return out
}

// settle numbers the pieces of the sheet and sorts its panels by them.
func (s *Sheet) settle(pieces []*Piece) {
	slices.SortFunc(pieces, func(a, b *Piece) int {
		return cmp.Or(cmp.Compare(a.Gathering, b.Gathering), cmp.Compare(a.Number, b.Number))
	})
	for _, p := range pieces {
		s.Pieces = append(s.Pieces, *p)
	}
	for _, side := range [][]Panel{s.Front, s.Back} {
		for i := range side {
			side[i].Piece = slices.Index(pieces, side[i].piece) + 1
			side[i].piece = nil
		}
		slices.SortFunc(side, func(a, b Panel) int {
			return cmp.Or(cmp.Compare(a.Piece, b.Piece), cmp.Compare(a.Place, b.Place))
		})
	}
}

// leaves groups the layers that are read as one leaf: bolts are opened where
// thread holds the leaves, else a leaf is two layers with hidden faces between.
func (p pile) leaves(form Form) []pile {
	s := form.Fold.Scheme()
	per := 1
	if s.Held == Edges && s.OneSided {
		per = 2
	}
	return slices.Collect(slices.Chunk(p, per))
}

// face is the upper face of a layer, which is a recto, or its lower one, which
// is a verso, as its leaf lies in the gathering that is about to be read.
func (t *table) face(l layer, upper bool, bind Bind) face {
	f := face{sheet: l.sheet, piece: l.piece, side: Back, rect: l.rectOnFront()}
	back := l.place.Inverse()
	if l.isFrontUp() == upper {
		f.side = Front
	} else {
		back = back.Then(geom.Matrix{-1, 0, 0, 1, t.sheet.W, 0})
		f.rect = geom.Matrix{-1, 0, 0, 1, t.sheet.W, 0}.Bounds(f.rect)
	}
	head := geom.Point{X: 0, Y: 1}
	if bind == BindTop && !upper {
		head = geom.Point{X: 0, Y: -1} // turned about the upper edge it is read from the same side
	}
	f.head = directionOf(back.Direction(head))
	f.spine = directionOf(back.Direction(map[geom.Towards]geom.Point{geom.Left: {X: -1, Y: 0}, geom.Right: {X: 1, Y: 0}, geom.Up: {X: 0, Y: 1}}[spines[bind]]))
	return f
}

func directionOf(d geom.Point) geom.Towards {
	switch {
	case d.Y > 0.5:
		return geom.Up
	case d.X < -0.5:
		return geom.Left
	case d.Y < -0.5:
		return geom.Down
	}
	return geom.Right
}

func (s *Sheet) addPanel(side Side, p Panel) {
	if side == Front {
		s.Front = append(s.Front, p)
	} else {
		s.Back = append(s.Back, p)
	}
}

// isCutAtTails tells whether every cut through the sheets lies at the tails of
// the pages along it.
func (a arrangement) isCutAtTails() bool {
	for _, s := range a {
		for _, p := range s.Front {
			piece := s.Pieces[p.Piece-1].Front
			for _, q := range s.Pieces {
				if edge := piece.EdgeAgainst(q.Front); edge != 0 && p.Rect.Reaches(piece, edge) && p.Head != edge.Opposite() {
					return false
				}
			}
		}
	}
	return true
}
