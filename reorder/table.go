package reorder

import (
	"math"
	"slices"

	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

// layer is a flat part of a sheet in a pile.
type layer struct {
	sheet   int    // in the stack, from 1
	piece   *Piece // that it belongs to, once pieces are folded
	onTable geom.Rect
	place   geom.Matrix // from the view of the sheet's front to the table
}

// rectOnFront is where the layer lies on its sheet, in the view of the front.
func (l layer) rectOnFront() geom.Rect { return l.place.Inverse().Bounds(l.onTable) }

// pile is layers from the top down.
type pile []layer

// table is what lies before the person: for every gathering its piles, at
// first the one stack. insets are laid aside until they are laid in, in the
// order of the piles.
type table struct {
	sheet  geom.Size
	places [][]pile
	insets []pile
	spare  pile // pieces that no gathering needs
	copies int  // how often each gathering is there
}

// layOut does the work with numbered sheets, as many as the first Deal takes,
// and says where on them the places of the reading order stand.
func layOut(sheet geom.Size, form Form, work []Motion) arrangement {
	var stack pile
	for _, count := range work[0].(Deal).Counts {
		for range count {
			stack = append(stack, layer{len(stack) + 1, nil, sheet.Rect(), geom.Identity})
		}
	}
	t := &table{sheet: sheet, places: [][]pile{{stack}}, copies: 1}
	for _, m := range work {
		t.do(m)
	}
	return t.read(form, len(stack))
}

func (t *table) each(change func(pile) pile) {
	for _, piles := range t.places {
		for i := range piles {
			piles[i] = change(piles[i]).moveToOrigin()
		}
	}
}

// do makes a motion, which is one with the table or one with every pile.
func (t *table) do(m Motion) {
	switch m := m.(type) {
	case Deal:
		t.deal(m)
	case LayDown:
		t.layDown(m)
	case CutApart:
		for g, piles := range t.places {
			low, high := piles[0].cutAlong(m.Line, m.At)
			t.places[g] = []pile{low.moveToOrigin(), high.moveToOrigin()}
		}
		t.copies = 2
	case CutOffInset:
		t.cutOff(m)
	case LayIn:
		t.layIn()
	case NestPieces:
		t.nest()
	case interface{ do(pile) pile }:
		t.each(m.do)
	}
}

func (t *table) deal(m Deal) {
	var dealt [][]pile
	counts := m.Counts
	for i, p := range slices.Concat(t.places...) {
		left := 0
		if m.Spare != nil {
			left = m.Spare[i]
		}
		for len(p) > left {
			dealt = append(dealt, []pile{p[:counts[0]:counts[0]]})
			p, counts = p[counts[0]:], counts[1:]
		}
		t.spare = append(t.spare, p...)
	}
	t.places = dealt
}

func (t *table) layDown(m LayDown) {
	t.each(func(p pile) pile { return p.rotate(m.Quarters) })
	if m.Singly {
		for g, piles := range t.places {
			var single []pile
			for _, p := range piles {
				single = slices.AppendSeq(single, slices.Chunk(p, 1))
			}
			t.places[g] = single
		}
	}
	t.numberPieces()
	if m.Face == Back {
		t.each(pile.turnOver)
	}
}

// numberPieces makes pieces of what lies there, from the outermost inwards; of what
// lies there twice it tells the copies apart.
func (t *table) numberPieces() {
	for g, piles := range t.places {
		of, number := len(slices.Concat(piles...)), 0
		for copy, p := range piles {
			for i := range p {
				number++
				p[i].piece = &Piece{g + 1, number, of, p[i].rectOnFront()}
				if t.copies > 1 {
					p[i].piece.Number, p[i].piece.Of = copy+1, t.copies
				}
			}
		}
	}
}

func (t *table) cutOff(m CutOffInset) {
	whole := t.places
	insets := make([][]pile, len(whole))
	for g, piles := range whole {
		for i, p := range piles {
			rest, off := p.cutAlong(m.Line, m.At)
			off, rest = slices.Clone(off), slices.Clone(rest)
			for k := range off {
				n, of := rest[k].piece.Number, rest[k].piece.Of
				rest[k].piece = &Piece{g + 1, 2*n - 1, 2 * of, rest[k].rectOnFront()}
				off[k].piece = &Piece{g + 1, 2 * n, 2 * of, off[k].rectOnFront()}
			}
			piles[i] = rest
			insets[g] = append(insets[g], off.rotate(2).moveToOrigin())
		}
	}
	aside := &table{sheet: t.sheet, places: insets}
	for _, motion := range m.Inset {
		aside.do(motion)
	}
	t.insets = slices.Concat(aside.places...)
}

func (t *table) layIn() {
	t.each(func(p pile) pile {
		in := t.insets[0]
		t.insets = t.insets[1:]
		return in.insertInto(p)
	})
}

func (t *table) nest() {
	for g, piles := range t.places {
		nested := piles[len(piles)-1]
		for i := len(piles) - 2; i >= 0; i-- {
			nested = nested.insertInto(piles[i])
		}
		t.places[g] = []pile{nested}
	}
}

func (p pile) insertInto(outer pile) pile {
	half := len(outer) / 2
	return slices.Concat(outer[:half], p, outer[half:])
}

func (c CutPile) do(p pile) pile {
	near, far := p.cutAlong(c.Line, c.At)
	over, under := far, near
	if c.On == LeftOverRight || c.On == NearOverFar {
		over, under = near, far
	}
	if c.Turn {
		under = under.rotate(2)
	}
	return slices.Concat(over.moveToOrigin(), under.moveToOrigin())
}

func (m Present) do(p pile) pile {
	if m.TurnOver {
		p = p.turnOver()
	}
	return p.rotate(m.Quarters)
}

func (f FoldOver) do(p pile) pile {
	line := Upright
	if f.Over == FarOverNear {
		line = Level
	}
	under, over := p.cutAlong(line, f.At)
	return slices.Concat(over.reverse().transform(mirrorAbout(line, f.At)), under)
}

// mirrorAbout turns what lies beyond a line over onto what lies before it.
func mirrorAbout(line Line, at float64) geom.Matrix {
	if line == Level {
		return geom.Matrix{1, 0, 0, -1, 0, 2 * at}
	}
	return geom.Matrix{-1, 0, 0, 1, 2 * at, 0}
}

// do leaves the part that is glued over out: no page stands there.
func (j Join) do(p pile) pile {
	var strip pile
	for i, l := range p {
		kept := pile{l}
		switch j.To {
		case geom.Right:
			kept, _ = kept.cutAlong(Upright, j.At)
		case geom.Left:
			_, kept = kept.cutAlong(Upright, l.onTable.X1-j.At)
		case geom.Down:
			_, kept = kept.cutAlong(Level, l.onTable.Y1-j.At)
		}
		along := j.To.Unit().Times(float64(i) * j.At)
		strip = append(strip, kept.transform(geom.Translate(along.X, along.Y))...)
	}
	return strip
}

// do lays one panel after the other, each the other face up, under those
// before it: to and fro.
func (f Pleat) do(p pile) pile {
	b := p.bounds()
	length, line := b.X1-b.X0, Upright
	if f.To == geom.Down {
		length, line = b.Y1-b.Y0, Level
	}
	var pleated pile
	n := int(math.Round(length / f.Width))
	for i := range n {
		from := float64(i) * f.Width
		if f.To != geom.Right {
			from = length - from - f.Width
		}
		beyond := p
		if from > 1e-6 {
			_, beyond = p.cutAlong(line, from)
		}
		panel, _ := beyond.cutAlong(line, from+f.Width)
		panel = panel.moveToOrigin()
		if i%2 == 1 {
			panel = panel.transform(mirrorAbout(line, f.Width/2))
		}
		pleated = append(pleated, panel...)
	}
	return pleated
}

// cutAlong gives the pile on the left or near side of a line and that beyond it.
func (p pile) cutAlong(line Line, at float64) (low, high pile) {
	for _, l := range p {
		a, b := l.onTable, l.onTable
		if line == Upright {
			a.X1, b.X0 = math.Min(a.X1, at), math.Max(b.X0, at)
		} else {
			a.Y1, b.Y0 = math.Min(a.Y1, at), math.Max(b.Y0, at)
		}
		if !a.IsEmpty() {
			low = append(low, layer{l.sheet, l.piece, a, l.place})
		}
		if !b.IsEmpty() {
			high = append(high, layer{l.sheet, l.piece, b, l.place})
		}
	}
	return low, high
}

func (p pile) transform(m geom.Matrix) pile {
	return lists.Map(p, func(l layer) layer { return layer{l.sheet, l.piece, m.Bounds(l.onTable), l.place.Then(m)} })
}

func (p pile) reverse() pile {
	p = slices.Clone(p)
	slices.Reverse(p)
	return p
}

func (p pile) rotate(n int) pile { return p.transform(geom.Rotate(n)) }

// turnOver gives the pile turned over like the page of a book.
func (p pile) turnOver() pile {
	return p.reverse().transform(mirrorAbout(Upright, 0)).moveToOrigin()
}

// moveToOrigin gives the pile with its lower left corner at the origin.
func (p pile) moveToOrigin() pile {
	b := p.bounds()
	return p.transform(geom.Translate(-b.X0, -b.Y0))
}

// bounds is the part of the table that the pile covers.
func (p pile) bounds() geom.Rect {
	out := p[0].onTable
	for _, l := range p[1:] {
		out = out.Around(l.onTable)
	}
	return out
}
