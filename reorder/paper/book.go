package paper

import (
	"errors"
	"fmt"

	"foldwright/reorder/geom"
)

var (
	// ErrInstructions is returned for a number of cuts or folds that hands can't do.
	ErrInstructions = errors.New("can't be cut and folded like this")
	// ErrSizes is returned if the gatherings don't use up the stack.
	ErrSizes = errors.New("gatherings and stack differ")
)

// Nest is how several sheets or pieces become one gathering.
type Nest int

const (
	Inset    Nest = iota + 1 // each folded by itself and laid into the one before it
	Together                 // laid on each other flat and folded as one
)

// Bind is the edge at which the pages are held while one reads.
type Bind int

const (
	BindLeft Bind = iota + 1
	BindRight
	BindTop
)

// Instructions are what the binder is told.
type Instructions struct {
	Cut   int  // into how many pieces each sheet is cut before folding: 2 or 4; 0 or 1 is uncut
	Folds int  // how often each piece is folded, 0 to 4; 0 makes loose leaves
	Nest  Nest // not given is Inset
	Bind  Bind // not given is BindLeft
	// Over is RightOverLeft or LeftOverRight, for all folds that are not level.
	// Not given is RightOverLeft, as in the handbooks; left over right is the
	// same seen in a mirror. For BindLeft and BindRight it makes a difference
	// from three folds on only. For BindTop the last page is up after the last
	// fold either way, so a mirrored sheet wants the mirrored fold.
	Over Over
}

// complete fills in what is not given and refuses the impossible.
func (how Instructions) complete() (Instructions, error) {
	if how.Cut == 0 {
		how.Cut = 1
	}
	if how.Nest == 0 {
		how.Nest = Inset
	}
	if how.Bind == 0 {
		how.Bind = BindLeft
	}
	if how.Over == 0 {
		how.Over = RightOverLeft
	}
	if how.Cut != 1 && how.Cut != 2 && how.Cut != 4 || how.Folds < 0 || how.Folds > 4 ||
		how.Nest < Inset || how.Nest > Together || how.Bind < BindLeft || how.Bind > BindTop ||
		how.Over != RightOverLeft && how.Over != LeftOverRight {
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
// The error is [ErrInstructions], [ErrSizes], [ErrSheet] or [ErrLoose]. Wrong
// pages are no error here; that is for [Check].
func ReadBook(stack []Sheet, sizes []int, how Instructions) ([]Face, error) {
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
	var book []Face
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
func (how Instructions) makeGathering(sheets []Sheet) ([]Face, error) {
	flat, err := NewPile(sheets)
	if err != nil {
		return nil, err
	}
	lines := halvings(flat.Size(), how.Cut/2+how.Folds)
	pieces := flat
	for _, level := range lines[:how.Cut/2] {
		pieces = cutInHalf(pieces, level)
	}
	if how.Folds == 0 {
		return how.readLooseLeaves(pieces), nil
	}

	quarters := 0
	if lines[len(lines)-1] {
		quarters = 1
	}
	var folded Pile
	for i, one := range how.pilesToFold(pieces) {
		one = one.TurnOver().Rotate(quarters)
		for _, level := range lines[how.Cut/2:] {
			one = how.foldInHalf(one, level != (quarters == 1))
		}
		if i == 0 {
			folded = one
		} else if folded, err = one.InsertInto(folded); err != nil {
			return nil, err
		}
	}
	return how.open(folded)
}

// halvings tells of n halvings of the longer dimension, one after the other,
// whether the line across the sheet in feed orientation is level. Of equal
// dimensions the one is halved that was not halved last.
func halvings(size geom.Size, n int) []bool {
	lines := make([]bool, n)
	for i := range lines {
		square := isSame(size.W, size.H)
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
func cutInHalf(p Pile, level bool) Pile {
	if level {
		tail, head := p.Cut(Line{Level: true, At: p.Size().H / 2})
		return head.LayOn(tail)
	}
	left, right := p.Cut(Line{At: p.Size().W / 2})
	return left.LayOn(right)
}

func (how Instructions) foldInHalf(p Pile, level bool) Pile {
	if level {
		return p.Fold(FarOverNear, p.Size().H/2)
	}
	return p.Fold(how.Over, p.Size().W/2)
}

// pilesToFold is what is folded by itself: each piece, or all of them as one.
func (how Instructions) pilesToFold(pieces Pile) []Pile {
	if how.Nest == Together {
		return []Pile{pieces}
	}
	var each []Pile
	for i := range pieces.layers {
		each = append(each, Pile{layers: pieces.layers[i : i+1]})
	}
	return each
}

// open brings the fold to the edge where the book is bound and reads it.
func (how Instructions) open(folded Pile) ([]Face, error) {
	spine := geom.Right
	if how.Over == LeftOverRight {
		spine = geom.Left
	}
	if err := folded.CheckHeld(spine); err != nil {
		return nil, err
	}
	bound := geom.Left
	if how.Bind == BindRight || how.Bind == BindTop && spine == geom.Left {
		bound = geom.Right
	}
	if spine != bound {
		folded = folded.TurnOver()
	}
	return how.read(folded, bound), nil
}

// readLooseLeaves reads unfolded sheets or pieces: the front is the recto.
func (how Instructions) readLooseLeaves(pieces Pile) []Face {
	if how.Cut == 2 {
		pieces = pieces.Rotate(-1) // heads lay at the left
	}
	switch how.Bind {
	case BindRight:
		return pieces.Faces(geom.Right)
	case BindTop:
		return pieces.Faces(geom.Up)
	}
	return pieces.Faces(geom.Left)
}

// read reads a gathering held at its left or right, for binding at the top
// after a quarter turn that brings that edge up.
func (how Instructions) read(p Pile, held geom.Towards) []Face {
	if how.Bind != BindTop {
		return p.openAll().Faces(held)
	}
	if held == geom.Left {
		return p.Rotate(-1).openAll().Faces(geom.Up)
	}
	return p.Rotate(1).openAll().Faces(geom.Up)
}

func (p Pile) openAll() Pile {
	return p.Open(geom.Up, geom.Left, geom.Down, geom.Right)
}
