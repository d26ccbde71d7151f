package paper

import (
	"errors"
	"fmt"
	"strconv"

	"foldwright/reorder"
)

// ErrSheet is returned for a sheet that is not in feed orientation, differs in
// size from its neighbours, or has a mark beside the paper or without a head.
var ErrSheet = errors.New("not a sheet to work with")

// Mark is something printed that can be recognised: a page number, a word.
type Mark struct {
	Label string
	At    reorder.Point // mm, in the view of its side
	Head  reorder.Point // the way in which its head points, in the same view; any length but nought
}

// Sheet is a printed sheet.
type Sheet struct {
	Size        reorder.Size // feed orientation
	Front, Back []Mark       // each in the view of its own side

	number int // in the stack, from 0, once it lies on the table
}

// FromPlan is the planned sheet with one mark in the middle of each panel: the
// number of its page, none for an added blank.
func FromPlan(size reorder.Size, s reorder.Sheet) Sheet {
	marks := func(panels []reorder.Panel) []Mark {
		var out []Mark
		for _, p := range panels {
			if p.Page == 0 {
				continue
			}
			ways := map[reorder.Towards]reorder.Point{
				reorder.Up: {Y: 1}, reorder.Left: {X: -1}, reorder.Down: {Y: -1}, reorder.Right: {X: 1},
			}
			middle := reorder.Point{X: (p.Rect.X0 + p.Rect.X1) / 2, Y: (p.Rect.Y0 + p.Rect.Y1) / 2}
			out = append(out, Mark{strconv.Itoa(p.Page), middle, ways[p.Head]})
		}
		return out
	}
	return Sheet{Size: size, Front: marks(s.Front), Back: marks(s.Back)}
}

// check refuses what ErrSheet tells.
func (s Sheet) check() error {
	if !(s.Size.W > 0 && s.Size.W <= s.Size.H) {
		return fmt.Errorf("%w: %s is not in feed orientation", ErrSheet, s.Size)
	}
	for _, m := range append(s.Front[:len(s.Front):len(s.Front)], s.Back...) {
		if !(m.At.X >= 0 && m.At.Y >= 0 && m.At.X <= s.Size.W && m.At.Y <= s.Size.H) {
			return fmt.Errorf("%w: mark %q lies beside the paper, at %v", ErrSheet, m.Label, m.At)
		}
		if m.Head.X == 0 && m.Head.Y == 0 {
			return fmt.Errorf("%w: mark %q has no head", ErrSheet, m.Label)
		}
	}
	return nil
}

// through is a mark of the back as one would see it from the front if the
// sheet were glass.
func (s Sheet) through(m Mark) Mark {
	m.At.X = s.Size.W - m.At.X
	m.Head.X = -m.Head.X
	return m
}
