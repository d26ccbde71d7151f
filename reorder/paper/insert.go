package paper

import (
	"errors"
	"fmt"
	"slices"

	"foldwright/reorder/geom"
)

// What a leaf of other paper meets when it is brought between the leaves of a gathering.
var (
	// ErrRoom is returned for a leaf that stands out of the gathering, or that has no leaf beside it.
	ErrRoom = errors.New("no room for the leaf")
	// ErrPierced is returned for folds that no thread through the middle of the gathering catches.
	ErrPierced = errors.New("a fold beside the thread")
)

// TipIn lays a flat or folded leaf, as it is read, after so many leaves of a gathering, its edge at the spine, and
// pastes that edge onto the leaf after it, or where none follows onto the one before it. Several that lie on each
// other are pasted to each other.
func (p Pile) TipIn(plate Pile, after int, spine geom.Towards) (Pile, error) {
	_, at, err := p.gapAfter(after, spine)
	if err != nil || len(p.layers) == 0 {
		return Pile{}, errors.Join(err, errNothing(p))
	}
	if plate, err = p.level(plate, spine); err != nil {
		return Pile{}, err
	}
	beside := p.layers[min(at, len(p.layers)-1)].piece
	out := p.with(at, plate.layers)
	for _, l := range slices.Backward(plate.layers) {
		if l.piece != beside {
			out.pasted = append(out.pasted, [2]*piece{l.piece, beside})
		}
		beside = l.piece
	}
	return out, nil
}

// LayRound lays a pair of leaves that is folded at the spine round the leaves of a gathering, but for so many from
// each end; the first half of the pair comes after so many leaves. What was laid in before is not counted.
func (p Pile) LayRound(pair Pile, after int, spine geom.Towards) (Pile, error) {
	leaves := p.Leaves(spine)
	if 2*after > leaves {
		return Pile{}, fmt.Errorf("%w: the fold would lie outside", ErrNest)
	}
	_, low, err := p.gapAfter(after, spine)
	high, _, err2 := p.gapAfter(leaves-after, spine)
	if err = errors.Join(err, err2); err != nil {
		return Pile{}, err
	}
	if pair, err = p.level(pair, spine); err != nil {
		return Pile{}, err
	}
	half := len(pair.layers) / 2
	if 2*half != len(pair.layers) || half == 0 {
		return Pile{}, fmt.Errorf("%w: it is not folded in two", ErrNest)
	}
	return p.with(max(low, high), pair.layers[half:]).with(low, pair.layers[:half]), nil
}

// HangOnGuard pastes a leaf onto the half of a strip that lies after so many leaves of a gathering; the strip is
// folded at the spine, and its other half lies as far from the other end.
func (p Pile) HangOnGuard(plate, strip Pile, after int, spine geom.Towards) (Pile, error) {
	leaves := p.Leaves(spine)
	first := 2*after <= leaves
	out, err := p.LayRound(strip, min(after, leaves-after), spine)
	if err != nil {
		return Pile{}, err
	}
	if plate, err = p.level(plate, spine); err != nil {
		return Pile{}, err
	}
	of := strip.layers[0].piece
	var halves []int
	for i, l := range out.layers {
		if l.piece == of {
			halves = append(halves, i)
		}
	}
	at := halves[len(halves)-1] // above the half in the second part of the gathering
	if first {
		at = halves[0] + 1 // below the one in the first
	}
	out = out.with(at, plate.layers)
	out.pasted = append(out.pasted, [2]*piece{plate.layers[0].piece, of})
	return out, nil
}

// Leaves is how many leaves a gathering has, without those that were laid in.
func (p Pile) Leaves(spine geom.Towards) (n int) {
	for _, l := range p.leaves(spine) {
		if !slices.Contains(p.laid, l[0].piece) {
			n++
		}
	}
	return n
}

// with is the pile with more layers before one of them.
func (p Pile) with(at int, more []layer) Pile {
	out := p
	out.layers, out.pasted, out.laid = slices.Concat(p.layers[:at], more, p.layers[at:]), slices.Clone(p.pasted), slices.Clone(p.laid)
	for _, l := range more {
		out.laid = append(out.laid, l.piece)
	}
	return out
}

// gapAfter is how many layers lie before the gap after so many leaves of the gathering: before what was laid into the gap,
// and with it.
func (p Pile) gapAfter(after int, spine geom.Towards) (early, late int, err error) {
	own := 0
	for _, l := range p.leaves(spine) {
		if !slices.Contains(p.laid, l[0].piece) {
			if own == after {
				return early, late, nil
			}
			own++
			early = late + len(l)
		}
		late += len(l)
	}
	if after < 0 || after > own {
		return 0, 0, fmt.Errorf("%w: after %d of %d leaves", ErrRoom, after, own)
	}
	return early, late, nil
}

func errNothing(p Pile) error {
	if len(p.layers) == 0 {
		return fmt.Errorf("%w: no paper to paste it to", ErrRoom)
	}
	return nil
}

// level pushes a leaf to the spine of the pile, halfway between its ends. It must not stand out.
func (p Pile) level(plate Pile, spine geom.Towards) (Pile, error) {
	b, in := p.bounds(), plate.bounds()
	if len(plate.layers) == 0 || in.X1-in.X0 > b.X1-b.X0+slack || in.Y1-in.Y0 > b.Y1-b.Y0+slack {
		return Pile{}, fmt.Errorf("%w: %s among leaves of %s", ErrRoom, plate.Size(), p.Size())
	}
	x, y := (b.X0+b.X1-in.X0-in.X1)/2, (b.Y0+b.Y1-in.Y0-in.Y1)/2
	switch spine {
	case geom.Left:
		x = b.X0 - in.X0
	case geom.Right:
		x = b.X1 - in.X1
	case geom.Up:
		y = b.Y1 - in.Y1
	}
	out := Pile{layers: slices.Clone(plate.layers)}
	for i := range out.layers {
		out.layers[i].lay = out.layers[i].lay.shift(x, y)
	}
	return out, nil
}

// Pages is the faces of all leaves but stubs, which are less than a third as wide as the gathering.
func (p Pile) Pages(spine geom.Towards) []Face {
	var out []Face
	for _, f := range p.Faces(spine) {
		r, whole := f.layer.rectOnTable(), p.Size()
		wide, of := r.X1-r.X0, whole.W
		if spine == geom.Up {
			wide, of = r.Y1-r.Y0, whole.H
		}
		if wide >= of/3 {
			f.Place = len(out) + 1
			out = append(out, f)
		}
	}
	return out
}

// CheckBound looks whether thread through the folds at the spine and paste hold every leaf: each hangs together
// with another across the spine, and the thread, which passes through one gap, lies in all these folds, of which none
// crosses another; or it is pasted to one that does. The errors are [ErrLoose] and [ErrPierced].
func (p Pile) CheckBound(spine geom.Towards) error {
	held, pasted := map[*piece]bool{}, map[*piece]bool{}
	for _, two := range p.pasted {
		pasted[two[0]] = true
	}
	var folds [][2]int
	low, high := 0, len(p.layers)
	for i, a := range p.layers {
		for k := i + 1; k < len(p.layers); k++ {
			if b := p.layers[k]; !pasted[a.piece] && a.joins(b, spine) {
				held[a.piece] = true
				low, high = max(low, i+1), min(high, k)
				folds = append(folds, [2]int{i, k})
			}
		}
	}
	for i, a := range folds {
		for _, b := range folds[i+1:] {
			if a[0] < b[0] && b[0] < a[1] && a[1] < b[1] {
				return fmt.Errorf("%w: folds of layers %d and %d cross", ErrPierced, a[0]+1, b[0]+1)
			}
		}
	}
	if low > high {
		return fmt.Errorf("%w: at the edge %s", ErrPierced, spine)
	}
	for range p.pasted { // what is pasted to what is pasted
		for _, two := range p.pasted {
			if held[two[1]] {
				held[two[0]] = true
			}
		}
	}
	for i, l := range p.layers {
		if !held[l.piece] {
			return fmt.Errorf("%w: leaf %d of %d from the top", ErrLoose, i+1, len(p.layers))
		}
	}
	return nil
}
