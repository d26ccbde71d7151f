package papertest

import (
	"fmt"

	"foldwright/reorder/paper"
)

// ReadPieces is [ReadBook] where gatherings are counted in pieces. stacks are what is cut
// as one: of each how many sheets it takes, and how many pieces each of its gatherings. The
// binder cuts the stack as a whole and counts the pieces off from the top; those that are
// left are thrown away.
func ReadPieces(stack []paper.Sheet, sheets []int, stacks [][]int, how Instructions) ([]paper.Face, error) {
	how, err := how.complete()
	if err != nil {
		return nil, err
	}
	var book []paper.Face
	gathering := 0
	for i, n := range sheets {
		if n > len(stack) {
			return nil, fmt.Errorf("%w: stack %d has no %d sheets", ErrSizes, i+1, n)
		}
		pile, err := paper.NewPile(stack[:n])
		if err != nil {
			return nil, err
		}
		stack = stack[n:]
		lines := Halvings(pile.Size(), how.cuts()+how.Folds)
		for _, level := range lines[:how.cuts()] {
			pile = cutInHalf(pile, level)
		}
		left := pile.Singly()
		for _, pieces := range stacks[i] {
			if pieces > len(left) {
				return nil, fmt.Errorf("%w: %d pieces are left of stack %d for %d", ErrSizes, len(left), i+1, pieces)
			}
			own := left[pieces-1]
			for k := pieces - 2; k >= 0; k-- {
				own = left[k].LayOn(own)
			}
			left = left[pieces:]
			gathering++
			faces, err := how.foldPieces(own, lines)
			if err != nil {
				return nil, fmt.Errorf("gathering %d: %w", gathering, err)
			}
			for _, f := range faces {
				f.Gathering = gathering
				book = append(book, f)
			}
		}
		if len(left) >= how.Cut {
			return nil, fmt.Errorf("%w: a whole sheet of stack %d is left", ErrSizes, i+1)
		}
	}
	if len(stack) > 0 {
		return nil, fmt.Errorf("%w: %d sheets are left", ErrSizes, len(stack))
	}
	return book, nil
}
