package reorder

import (
	"cmp"
	"slices"

	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

// arrangement is where the places of the reading orders of one stack's
// gatherings stand on its sheets, without pages yet.
type arrangement []Sheet

// read opens the gatherings on the table, leaf by leaf from the top.
func (t *table) read(form Form, sheets int) arrangement {
	out := make(arrangement, sheets)
	put := func(l layer, upper bool, place, depth int) {
		side, panel := t.panel(l, upper, form.Bind)
		panel.Place, panel.Depth = place, depth
		s := &out[l.sheet-1]
		if side == Front {
			s.Front = append(s.Front, panel)
		} else {
			s.Back = append(s.Back, panel)
		}
	}
	for _, p := range slices.Concat(t.places...) {
		// Bolts are opened where thread holds the leaves; else a leaf is two layers
		// with hidden faces between.
		leaves := slices.Collect(slices.Chunk(p, form.LeafThicknesses()))
		for i, l := range leaves {
			depth := 0
			if form.Fold.Scheme().Held == Sewn {
				depth = min(i, len(leaves)-1-i)
			}
			put(l[0], true, 2*i+1, depth)
			if len(l) == 1 && !form.IsTwoSided() {
				continue // the last of a strip, whose other face is a back
			}
			put(l[len(l)-1], false, 2*i+2, depth)
		}
	}
	for _, l := range t.spare {
		out[l.sheet-1].Spare = append(out[l.sheet-1].Spare, Spare{l.rectOnFront()})
	}
	for i := range out {
		out[i].settle()
	}
	return out
}

// settle numbers the pieces of the sheet and sorts its panels by them.
func (s *Sheet) settle() {
	var pieces []*Piece
	for _, p := range slices.Concat(s.Front, s.Back) {
		if !slices.Contains(pieces, p.piece) {
			pieces = append(pieces, p.piece)
		}
	}
	slices.SortFunc(pieces, func(a, b *Piece) int {
		return cmp.Or(cmp.Compare(a.Gathering, b.Gathering), cmp.Compare(a.Number, b.Number))
	})
	s.Pieces = lists.Map(pieces, func(p *Piece) Piece { return *p })
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

// panel is where the upper face of a layer, which is a recto, or its lower one, which
// is a verso, lies on its sheet, the leaf lying in the gathering that is about to be read.
func (t *table) panel(l layer, upper bool, bind Bind) (Side, Panel) {
	side, back := Front, l.place.Inverse()
	if isFrontUp := l.place[0]*l.place[3]-l.place[1]*l.place[2] > 0; isFrontUp != upper {
		side, back = Back, back.Then(geom.Mirror(t.sheet))
	}
	head := geom.Up
	if bind == BindTop && !upper {
		head = geom.Down // turned about the upper edge it is read from the same side
	}
	return side, Panel{
		Rect:  back.Bounds(l.onTable),
		Head:  geom.TowardsOf(back.Direction(head.Unit())),
		Spine: geom.TowardsOf(back.Direction(spines[bind].Unit())),
		piece: l.piece,
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
