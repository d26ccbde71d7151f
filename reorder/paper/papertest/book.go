// Package papertest is for tests: it makes books of sheets as the handbooks say,
// without a plan, and looks whether a book is the one that was wanted.
package papertest

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
	"strconv"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
)

var (
	// ErrInstructions is returned for a number of cuts or folds that hands can't do.
	ErrInstructions = errors.New("can't be cut and folded like this")
	// ErrSizes is returned if the gatherings don't use up the stack.
	ErrSizes = errors.New("gatherings and stack differ")
)

// Instructions are what the binder is told.
type Instructions struct {
	Cut   int          // into how many pieces each sheet is cut before folding: 2, 4, 8 or 16; 0 or 1 is uncut
	Folds int          // how often each piece is folded, 0 to 4; 0 makes loose leaves
	Nest  reorder.Nest // not given is Inset
	Bind  reorder.Bind // not given is BindLeft
	// Over is RightOverLeft or LeftOverRight, for all folds that are not level.
	// Not given is RightOverLeft, as in the handbooks; left over right is the
	// same seen in a mirror. For BindLeft and BindRight it makes a difference
	// from three folds on only. For BindTop the last page is up after the last
	// fold either way, so a mirrored sheet wants the mirrored fold.
	Over reorder.Over
}

// complete fills in what is not given and refuses the impossible.
func (how Instructions) complete() (Instructions, error) {
	if how.Cut == 0 {
		how.Cut = 1
	}
	if how.Nest == 0 {
		how.Nest = reorder.Inset
	}
	if how.Bind == 0 {
		how.Bind = reorder.BindLeft
	}
	if how.Over == 0 {
		how.Over = reorder.RightOverLeft
	}
	if how.Cut != 1<<how.cuts() || how.Cut > 16 || how.Folds < 0 || how.Folds > 4 ||
		how.Nest < reorder.Inset || how.Nest > reorder.Together || how.Bind < reorder.BindLeft || how.Bind > reorder.BindTop ||
		how.Over != reorder.RightOverLeft && how.Over != reorder.LeftOverRight {
		return how, fmt.Errorf("%w: %+v", ErrInstructions, how)
	}
	return how, nil
}

// ReadBook makes a book of a finished stack (fronts up, from the top) and reads
// it: every face of every leaf, in reading order. sizes is how many sheets of
// the stack each gathering takes, before cutting.
//
// The binder takes the sheets of a gathering from the stack. They are cut as a
// whole, fronts up: the head-end half is laid on the other, then the left-hand
// half on the other. For folding the sheet or piece lies with its inner side,
// the back, up, turned so that the text of the pages next to the last fold
// reads upright: heads were away from the person in feed orientation or, where
// the last fold runs from long edge to long edge, at the right. Every fold
// halves the longer dimension: right over left, or far over near. What is
// folded last has its fold at the right and is turned over for binding at the
// left.
//
// The error is [ErrInstructions], [ErrSizes], [paper.ErrSheet] or [paper.ErrLoose]. Wrong
// pages are no error here; that is for [Check].
func ReadBook(stack []paper.Sheet, sizes []int, how Instructions) ([]paper.Face, error) {
	how, err := how.complete()
	if err != nil {
		return nil, err
	}
	used := 0
	for i, n := range sizes {
		if n < 1 {
			return nil, fmt.Errorf("%w: gathering %d has %d sheets", ErrSizes, i+1, n)
		}
		used += n
	}
	if used != len(stack) {
		return nil, fmt.Errorf("%w: %d sheets in gatherings, %d in the stack", ErrSizes, used, len(stack))
	}
	var book []paper.Face
	for i, n := range sizes {
		faces, err := how.makeGathering(stack[:n])
		if err != nil {
			return nil, fmt.Errorf("gathering %d: %w", i+1, err)
		}
		for _, f := range faces {
			f.Gathering = i + 1
			book = append(book, f)
		}
		stack = stack[n:]
	}
	return book, nil
}

// makeGathering cuts, folds, nests and reads the sheets of one gathering.
func (how Instructions) makeGathering(sheets []paper.Sheet) ([]paper.Face, error) {
	flat, err := paper.NewPile(sheets)
	if err != nil {
		return nil, err
	}
	lines := Halvings(flat.Size(), how.cuts()+how.Folds)
	pieces := flat
	for _, level := range lines[:how.cuts()] {
		pieces = cutInHalf(pieces, level)
	}
	return how.foldPieces(pieces, lines)
}

// cuts is how often the stack is cut.
func (how Instructions) cuts() int { return bits.Len(uint(how.Cut)) - 1 }

// foldPieces folds, nests and reads the pieces of one gathering.
func (how Instructions) foldPieces(pieces paper.Pile, lines []bool) ([]paper.Face, error) {
	if how.Folds == 0 {
		return how.readLooseLeaves(pieces), nil
	}

	quarters := 0
	if lines[len(lines)-1] {
		quarters = 1
	}
	var folded paper.Pile
	for i, one := range how.pilesToFold(pieces) {
		one = one.TurnOver().Rotate(quarters)
		for _, level := range lines[how.cuts():] {
			one = how.foldInHalf(one, level != (quarters == 1))
		}
		if i == 0 {
			folded = one
		} else if nested, err := one.InsertInto(folded); err != nil {
			return nil, err
		} else {
			folded = nested
		}
	}
	return how.open(folded)
}

// Halvings tells of n halvings of the longer dimension, one after the other,
// whether the line across the sheet in feed orientation is level. Of equal
// dimensions the one is halved that was not halved last.
func Halvings(size geom.Size, n int) []bool {
	lines := make([]bool, n)
	for i := range lines {
		square := math.Abs(size.W-size.H) < 1e-6
		lines[i] = !square && size.H > size.W || square && (i == 0 || !lines[i-1])
		if lines[i] {
			size.H /= 2
		} else {
			size.W /= 2
		}
	}
	return lines
}

// cutInHalf cuts the pile and lays the head-end or left-hand half on the other.
func cutInHalf(p paper.Pile, level bool) paper.Pile {
	if level {
		tail, head := p.Cut(reorder.Level, p.Size().H/2)
		return head.LayOn(tail)
	}
	left, right := p.Cut(reorder.Upright, p.Size().W/2)
	return left.LayOn(right)
}

func (how Instructions) foldInHalf(p paper.Pile, level bool) paper.Pile {
	if level {
		return p.Fold(reorder.FarOverNear, p.Size().H/2)
	}
	return p.Fold(how.Over, p.Size().W/2)
}

// pilesToFold is what is folded by itself: each piece, or all of them as one.
func (how Instructions) pilesToFold(pieces paper.Pile) []paper.Pile {
	if how.Nest == reorder.Together {
		return []paper.Pile{pieces}
	}
	return pieces.Singly()
}

// open brings the fold to the edge where the book is bound and reads it.
func (how Instructions) open(folded paper.Pile) ([]paper.Face, error) {
	spine := geom.Right
	if how.Over == reorder.LeftOverRight {
		spine = geom.Left
	}
	if err := folded.CheckHeld(spine); err != nil {
		return nil, err
	}
	bound := geom.Left
	if how.Bind == reorder.BindRight || how.Bind == reorder.BindTop && spine == geom.Left {
		bound = geom.Right
	}
	if spine != bound {
		folded = folded.TurnOver()
	}
	return how.read(folded, bound), nil
}

// readLooseLeaves reads unfolded sheets or pieces: the front is the recto.
func (how Instructions) readLooseLeaves(pieces paper.Pile) []paper.Face {
	if how.Cut == 2 {
		pieces = pieces.Rotate(-1) // heads lay at the left
	}
	switch how.Bind {
	case reorder.BindRight:
		return pieces.Faces(geom.Right)
	case reorder.BindTop:
		return pieces.Faces(geom.Up)
	}
	return pieces.Faces(geom.Left)
}

// read reads a gathering held at its left or right, for binding at the top
// after a quarter turn that brings that edge up.
func (how Instructions) read(p paper.Pile, held geom.Towards) []paper.Face {
	if how.Bind != reorder.BindTop {
		return openAll(p).Faces(held)
	}
	if held == geom.Left {
		return openAll(p.Rotate(-1)).Faces(geom.Up)
	}
	return openAll(p.Rotate(1)).Faces(geom.Up)
}

func openAll(p paper.Pile) paper.Pile {
	return p.Open(geom.Up, geom.Left, geom.Down, geom.Right)
}

// FromPlan is the planned sheet with one mark in the middle of each panel: the
// number of its page, none for an added blank.
func FromPlan(size geom.Size, s reorder.Sheet) paper.Sheet {
	marks := func(panels []reorder.Panel) []paper.Mark {
		var out []paper.Mark
		for _, p := range panels {
			if p.Page == 0 {
				continue
			}
			ways := map[geom.Towards]geom.Point{
				geom.Up: {Y: 1}, geom.Left: {X: -1}, geom.Down: {Y: -1}, geom.Right: {X: 1},
			}
			middle := geom.Point{X: (p.Rect.X0 + p.Rect.X1) / 2, Y: (p.Rect.Y0 + p.Rect.Y1) / 2}
			out = append(out, paper.Mark{Label: strconv.Itoa(p.Page), At: middle, Head: ways[p.Head]})
		}
		return out
	}
	return paper.Sheet{Size: size, Front: marks(s.Front), Back: marks(s.Back)}
}
