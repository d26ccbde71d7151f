package paper

import (
	"errors"
	"fmt"
	"slices"

	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// ErrMotion is returned for a motion that cannot be made with what lies there.
var ErrMotion = errors.New("cannot be done with what lies on the table")

// Table follows planned motions literally, one after the other. It knows
// nothing of folds by name, of pages or of their order.
type Table struct {
	gatherings [][]Pile
	aside      []Pile             // insets, in the order of the piles that they come from
	slits      []reorder.SlitBolt // since the last fold
	spine      geom.Towards       // once the gatherings lie as they are read
}

// NewTable is the finished stack, fronts up, from the top, on the table. The
// error is [ErrSheet].
func NewTable(stack []Sheet) (*Table, error) {
	p, err := NewPile(stack)
	if err != nil {
		return nil, err
	}
	return &Table{gatherings: [][]Pile{{p}}}, nil
}

// Follow does all motions and reads what comes of them.
func Follow(stack []Sheet, work []reorder.Motion) ([][]Face, error) {
	t, err := NewTable(stack)
	if err != nil {
		return nil, err
	}
	for i, m := range work {
		if err := t.Do(m); err != nil {
			return nil, fmt.Errorf("motion %d, %T: %w", i+1, m, err)
		}
	}
	return t.Read()
}

// Piles is everything that lies on the table, gathering by gathering.
func (t *Table) Piles() []Pile { return slices.Concat(t.gatherings...) }

// Do makes one motion with every pile. The errors are [ErrMotion], [ErrNest]
// and [ErrLoose].
func (t *Table) Do(m reorder.Motion) error {
	switch m := m.(type) {
	case reorder.Deal:
		return t.deal(m)
	case reorder.LayDown:
		return t.layDown(m)
	case reorder.CutPile:
		return t.changePiles(func(p Pile) (Pile, error) { return cutPile(p, m) })
	case reorder.CutApart:
		for i, piles := range t.gatherings {
			below, beyond := piles[0].Cut(m.Line, m.At)
			t.gatherings[i] = []Pile{below, beyond}
		}
		return nil
	case reorder.CutOffInset:
		return t.cutOff(m)
	case reorder.LayIn:
		return t.layIn()
	case reorder.FoldOver:
		return t.fold(m)
	case reorder.SlitBolt:
		t.slits = append(t.slits, m)
		return nil
	case reorder.NestPieces:
		return t.nest()
	case reorder.Join:
		return t.changePiles(func(p Pile) (Pile, error) { return p.LayOutStrip(m.To, m.At), nil })
	case reorder.Pleat:
		return t.changePiles(func(p Pile) (Pile, error) { return p.Pleat(m.To, m.Width), nil })
	case reorder.Present:
		return t.present(m)
	case reorder.OpenBolts:
		return t.changePiles(func(p Pile) (Pile, error) { return p.Open(m.Edges...), nil })
	}
	return fmt.Errorf("%w: a motion unknown here", ErrMotion)
}

func (t *Table) changePiles(how func(Pile) (Pile, error)) error {
	for _, piles := range t.gatherings {
		for i, p := range piles {
			changed, err := how(p)
			if err != nil {
				return err
			}
			piles[i] = changed
		}
	}
	return nil
}

func (t *Table) deal(m reorder.Deal) error {
	var dealt [][]Pile
	counts, spare := m.Counts, m.Spare
	if spare == nil {
		spare = make([]int, len(t.Piles()))
	}
	if len(spare) != len(t.Piles()) {
		return fmt.Errorf("%w: %d piles, and what is spare of %d", ErrMotion, len(t.Piles()), len(spare))
	}
	for i, p := range t.Piles() {
		for len(p.layers) > spare[i] {
			if len(counts) == 0 || counts[0] > len(p.layers) {
				return fmt.Errorf("%w: %d to be dealt to %v", ErrMotion, len(p.layers), counts)
			}
			dealt = append(dealt, []Pile{{layers: slices.Clone(p.layers[:counts[0]])}})
			p.layers, counts = p.layers[counts[0]:], counts[1:]
		}
		if len(p.layers) != spare[i] {
			return fmt.Errorf("%w: %d are left of a pile, not %d", ErrMotion, len(p.layers), spare[i])
		}
	}
	if len(counts) > 0 {
		return fmt.Errorf("%w: nothing left for %v", ErrMotion, counts)
	}
	t.gatherings = dealt
	return nil
}

// layDown takes the piles up fronts up, which they must be, whole or one by one.
func (t *Table) layDown(m reorder.LayDown) error {
	for g, piles := range t.gatherings {
		var laid []Pile
		for _, p := range piles {
			each := []Pile{p}
			if m.Singly {
				each = p.Singly()
			}
			for _, one := range each {
				if slices.ContainsFunc(one.layers, func(l layer) bool { return !l.lay.isFrontUp() }) {
					return fmt.Errorf("%w: a front looks down already", ErrMotion)
				}
				one = one.Rotate(m.Quarters)
				if size := one.Size(); !isSame(size.W, m.Size.W) || !isSame(size.H, m.Size.H) {
					return fmt.Errorf("%w: %s lies there, not %s", ErrMotion, size, m.Size)
				}
				if m.Face == reorder.Back {
					one = one.TurnOver()
				}
				laid = append(laid, one)
			}
		}
		t.gatherings[g] = laid
	}
	return nil
}

func cutPile(p Pile, m reorder.CutPile) (Pile, error) {
	below, beyond := p.Cut(m.Line, m.At)
	upper, lower := beyond, below
	switch {
	case m.On == reorder.LeftOverRight && m.Line == reorder.Upright, m.On == reorder.NearOverFar && m.Line == reorder.Level:
		upper, lower = below, beyond
	case m.On == reorder.RightOverLeft && m.Line == reorder.Upright, m.On == reorder.FarOverNear && m.Line == reorder.Level:
	default:
		return p, fmt.Errorf("%w: the cut makes no parts to lay %s", ErrMotion, m.On)
	}
	if a, b := upper.Size(), lower.Size(); !isSame(a.W, b.W) || !isSame(a.H, b.H) {
		return p, fmt.Errorf("%w: parts of %s and %s", ErrMotion, upper.Size(), lower.Size())
	}
	if m.Turn {
		lower = lower.Rotate(2)
	}
	return upper.LayOn(lower), nil
}

func (t *Table) cutOff(m reorder.CutOffInset) error {
	other := &Table{}
	for _, piles := range t.gatherings {
		var insets []Pile
		for i, p := range piles {
			rest, off := p.Cut(m.Line, m.At)
			piles[i] = rest
			insets = append(insets, off.Rotate(2))
		}
		other.gatherings = append(other.gatherings, insets)
	}
	for _, motion := range m.Inset {
		if err := other.Do(motion); err != nil {
			return fmt.Errorf("inset: %w", err)
		}
	}
	t.aside = other.Piles()
	return nil
}

func (t *Table) layIn() error {
	if len(t.aside) != len(t.Piles()) {
		return fmt.Errorf("%w: %d insets for %d piles", ErrMotion, len(t.aside), len(t.Piles()))
	}
	return t.changePiles(func(p Pile) (Pile, error) {
		in := t.aside[0]
		t.aside = t.aside[1:]
		return in.InsertInto(p)
	})
}

func (t *Table) nest() error {
	for g, piles := range t.gatherings {
		nested := piles[len(piles)-1]
		for i := len(piles) - 2; i >= 0; i-- {
			var err error
			if nested, err = nested.InsertInto(piles[i]); err != nil {
				return err
			}
		}
		t.gatherings[g] = []Pile{nested}
	}
	return nil
}

// fold folds every pile, if no bolt across the line would crumple.
func (t *Table) fold(m reorder.FoldOver) error {
	crossed, lifted := []geom.Towards{geom.Up, geom.Down}, geom.Right
	switch m.Over {
	case reorder.RightOverLeft:
	case reorder.LeftOverRight:
		lifted = geom.Left
	case reorder.FarOverNear:
		crossed, lifted = []geom.Towards{geom.Left, geom.Right}, geom.Up
	default:
		return fmt.Errorf("%w: no such fold", ErrMotion)
	}
	slits := t.slits
	t.slits = nil
	return t.changePiles(func(p Pile) (Pile, error) {
		for _, edge := range crossed {
			slit := slices.ContainsFunc(slits, func(s reorder.SlitBolt) bool {
				return s.Edge == edge && s.From == lifted && s.To < m.At
			})
			if folded := p.isFolded(edge); folded != slit {
				return p, fmt.Errorf("%w: a fold at the edge %s: %t, slit: %t", ErrMotion, edge, folded, slit)
			}
		}
		return p.Fold(m.Over, m.At), nil
	})
}

// isFolded tells whether there is a fold at an edge of the pile.
func (p Pile) isFolded(edge geom.Towards) bool {
	whole := ends(p.bounds(), edge)
	for i, a := range p.layers {
		at := ends(a.rectOnTable(), edge)
		if !isSame(at[0].X, whole[0].X) || !isSame(at[0].Y, whole[0].Y) || !isSame(at[1].X, whole[1].X) || !isSame(at[1].Y, whole[1].Y) {
			continue
		}
		for _, b := range p.layers[i+1:] {
			if a.joins(b, edge) {
				return true
			}
		}
	}
	return false
}

// present brings the gatherings into the position in which they are read and
// looks whether what is said to hold them does.
func (t *Table) present(m reorder.Present) error {
	t.spine = m.Spine
	return t.changePiles(func(p Pile) (Pile, error) {
		if m.TurnOver {
			p = p.TurnOver()
		}
		p = p.Rotate(m.Quarters)
		if m.Held == reorder.Sewn {
			return p, p.CheckHeld(m.Spine)
		}
		return p, nil
	})
}

// Read turns the leaves of all gatherings. Where sheets were cut apart into
// copies it reads each of them.
func (t *Table) Read() ([][]Face, error) {
	if t.spine == 0 {
		return nil, fmt.Errorf("%w: nothing lies there to be read", ErrMotion)
	}
	books := make([][]Face, len(t.gatherings[0]))
	for g, piles := range t.gatherings {
		if len(piles) != len(books) {
			return nil, fmt.Errorf("%w: gathering %d is in %d piles", ErrMotion, g+1, len(piles))
		}
		for i, p := range piles {
			for _, f := range p.Faces(t.spine) {
				f.Gathering = g + 1
				books[i] = append(books[i], f)
			}
		}
	}
	return books, nil
}
