package reorder

import "foldwright/reorder/refusal"

// Trim is what is cut off the folded leaves, in millimetres. With the spine at
// the top, Head and Tail are at its ends, at the left and the right.
type Trim struct{ Head, Tail, ForeEdge float64 }

// Of is the size of a leaf, as its page is read, after trimming.
func (t Trim) Of(leaf Size, bind Bind) Size {
	leaf = bind.Beside(leaf)
	return bind.Beside(Size{leaf.W - t.ForeEdge, leaf.H - t.Head - t.Tail})
}

// Beside is the size of a leaf as if its spine stood at the side, and back.
func (b Bind) Beside(leaf Size) Size {
	if b == BindTop {
		return leaf.Turned()
	}
	return leaf
}

// TrimTo is the trim that makes a leaf of one size one of another, both as
// their pages are read: head and tail lose alike. What cannot be is refused.
func TrimTo(leaf, to Size, bind Bind) (Trim, error) {
	const rounding = 0.05 // mm, as far as sizes are written
	read := [2]Size{leaf, to}
	leaf, to = bind.Beside(leaf), bind.Beside(to)
	t := Trim{(leaf.H - to.H) / 2, (leaf.H - to.H) / 2, leaf.W - to.W}
	if to.W <= 0 || to.H <= 0 || t.ForeEdge < -rounding || t.Head < -rounding {
		return Trim{}, refusal.Plan.New("a leaf of %s cannot be trimmed to %s", read[0], read[1])
	}
	return Trim{max(0, t.Head), max(0, t.Tail), max(0, t.ForeEdge)}, nil
}

func (t Trim) check(leaf Size, bind Bind, gutter float64) error {
	left := bind.Beside(t.Of(leaf, bind))
	if t.Head < 0 || t.Tail < 0 || t.ForeEdge < 0 || left.W-gutter <= 0 || left.H <= 0 {
		return refusal.Plan.New("nothing is left of a leaf of %s when %s, %s and %s mm are trimmed off head, tail and fore-edge", leaf, Millimetres(t.Head), Millimetres(t.Tail), Millimetres(t.ForeEdge))
	}
	return nil
}

// Trimmed is what is left of a panel after trimming, in the view of its side.
// All leaves are cut together at one place, so a leaf that creeps out loses
// as much more at its fore-edge.
func (p Panel) Trimmed(t Trim, creep Creep) Rect {
	foreEdge := p.Spine.opposite()
	off := map[Towards]float64{}
	head := p.Head
	if head == p.Spine || head == p.Spine.opposite() {
		head = head.turned(1) // the left as the page is read
	}
	off[head] = t.Head
	off[head.opposite()] = t.Tail
	off[foreEdge] = t.ForeEdge + creep.At(p.Depth)
	return p.Rect.Inset(off[Left], off[Down], off[Right], off[Up])
}
