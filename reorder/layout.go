package reorder

import (
	"cmp"
	"slices"
)

// layout is where the places of one gathering's reading order stand: for each
// of its sheets the panels of the two sides, without pages yet.
func layout(sheet Size, form Form, sheets int) []Sheet {
	pieces := cutStack(sheet, sheets, form.Cut)
	leaves := gather(pieces, form)
	out := make([]Sheet, sheets)
	for i := range out {
		out[i].InGather = i + 1
	}
	for i, l := range leaves {
		p := pieces[l.piece-1]
		s := &out[p.sheet-1]
		depth := min(i, len(leaves)-1-i)
		s.put(l.recto.panel(sheet, p, 2*i+1, depth), l.recto.outer)
		s.put(l.verso.panel(sheet, p, 2*i+2, depth), l.verso.outer)
	}
	for i := range out {
		byPlace := func(a, b Panel) int { return cmp.Compare(a.Place, b.Place) }
		slices.SortFunc(out[i].Front, byPlace)
		slices.SortFunc(out[i].Back, byPlace)
	}
	return out
}

// gather folds and nests the pieces, the first outermost, and returns the
// gathering's leaves in reading order.
func gather(pieces []piece, form Form) []leaf {
	size := pieces[0].front.Size()
	var leaves []leaf
	if form.Nest == Together {
		all := make([]int, len(pieces))
		for i := range all {
			all[i] = i + 1
		}
		leaves = foldTogether(all, size, form.Fold.Times)
	} else {
		// Every piece after the first lies in the middle of the one before it.
		for i := len(pieces); i >= 1; i-- {
			folded := foldTogether([]int{i}, size, form.Fold.Times)
			half := len(folded) / 2
			leaves = slices.Concat(folded[:half], leaves, folded[half:])
		}
	}
	if form.Bind == BindRight {
		// The same book read from its other end.
		slices.Reverse(leaves)
		for i, l := range leaves {
			leaves[i].recto, leaves[i].verso = l.verso, l.recto
		}
	}
	return leaves
}

func (s *Sheet) put(p Panel, outer bool) {
	if outer {
		s.Front = append(s.Front, p)
	} else {
		s.Back = append(s.Back, p)
	}
}

// panel moves the face from its piece to the sheet.
func (f face) panel(sheet Size, p piece, place, depth int) Panel {
	x, y := p.front.X0, p.front.Y0
	if !f.outer {
		x = sheet.W - p.front.X1 // the back is mirrored about the sheet's middle
	}
	return Panel{
		Rect:  Rect{f.rect.X0 + x, f.rect.Y0 + y, f.rect.X1 + x, f.rect.Y1 + y},
		Head:  f.head,
		Spine: f.spine,
		Place: place,
		Depth: depth,
	}
}
