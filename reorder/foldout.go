package reorder

import (
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// FoldOut is a leaf up to about three times as wide as the leaves beside it, held at its spine edge and folded to
// and fro. Its first panel lies on the book's leaf, the second is folded over it towards the spine, the third
// away from it again: who takes the free edge, or turns the second panel, opens it.
type FoldOut struct {
	Width float64   `json:"width-mm"`
	Folds []float64 `json:"folds-mm,omitempty"` // from its spine edge
}

// How far folds of a fold-out lie from what would harm them, in mm (common practice, no source).
const (
	ClearOfTrim  = 5.0 // inside the trimmed fore-edge: the knife must not open the fold
	ClearOfSpine = 4.0 // from the spine edge, so that the fold does not swell the sewing
)

// WidestFoldOut is the widest that can be folded into a leaf of the given trimmed width, in mm.
func WidestFoldOut(leaf float64) float64 { return 3*(leaf-ClearOfTrim) - 2*ClearOfSpine }

// NewFoldOut folds a leaf of some width, in mm, into a trimmed leaf of another, with as few folds as will do and panels
// as even as can be. What is too wide is refused.
func NewFoldOut(leaf, width float64) (FoldOut, error) {
	const rounding = 0.05
	out := FoldOut{Width: width}
	first := leaf - ClearOfTrim
	switch {
	case width <= 0 || first <= 2*ClearOfSpine:
		return out, refusal.Plan.New("a leaf of %s mm has no room for a fold-out", geom.Millimetres(leaf))
	case width <= leaf+rounding:
		return out, nil // it needs no fold
	}
	for folds := 1.0; folds <= 2; folds++ {
		// The further panels are shorter by ClearOfSpine, so that none reaches the spine.
		panel := (width + folds*ClearOfSpine) / (folds + 1)
		if panel > first+rounding {
			continue
		}
		out.Folds = []float64{panel}
		if folds == 2 {
			out.Folds = append(out.Folds, 2*panel-ClearOfSpine)
		}
		return out, nil
	}
	return out, refusal.Plan.New("a fold-out %s mm wide does not fold into leaves %s mm wide", geom.Millimetres(width), geom.Millimetres(leaf))
}

// Panels is the widths between the folds, from the spine edge.
func (f FoldOut) Panels() []float64 {
	var out []float64
	from := 0.0
	for _, at := range append(f.Folds[:len(f.Folds):len(f.Folds)], f.Width) {
		out, from = append(out, at-from), at
	}
	return out
}

// Ticks is marks at both ends of each fold of a fold-out on a panel that is trimmed: in what is cut off. Where
// nothing is cut off there is no room for them.
func (f FoldOut) Ticks(p Panel, side Side, t Trim) []Mark {
	const gap, most = 1.0, 6.0
	var out []Mark
	left := p.TrimmedRect(t, 0)
	head := p.spineHead()
	for _, at := range f.Folds {
		for _, end := range []struct {
			to   geom.Towards
			room float64
		}{{head, t.Head}, {head.Opposite(), t.Tail}} {
			long := min(most, end.room-2*gap)
			if long < 1 {
				continue
			}
			foot := left.Corner(p.Spine, end.to).Plus(p.Spine.Opposite().Unit().Times(at)).Plus(end.to.Unit().Times(gap))
			out = append(out, Mark{Kind: FoldTick, Side: side, Points: []geom.Point{foot, foot.Plus(end.to.Unit().Times(long))}})
		}
	}
	return out
}
