package virtual

import (
	"errors"
	"fmt"
	"slices"

	"foldwright/printer"
	"foldwright/reorder/geom"
)

var (
	// ErrReload is returned for a reload that is not given or unknown.
	ErrReload = errors.New("no way to reload")
	// ErrUnprinted is returned for a finished stack with a sheet that carries nothing.
	ErrUnprinted = errors.New("sheet without a print")
	// ErrMixed is returned for a finished stack whose fronts don't all look the same way.
	ErrMixed = errors.New("fronts look up and down in one stack")
)

// Reload is the delivered stack as the person loads it again: what was done is
// done to the whole stack. The error is [ErrReload].
func Reload[I any](stack Stack[I], reload printer.Reload) (Stack[I], error) {
	if reload < printer.AsDelivered || reload > printer.TurnShort {
		return nil, fmt.Errorf("%w: %d", ErrReload, reload)
	}
	return stack.move(motionOf(reload)), nil
}

func motionOf(r printer.Reload) Motion {
	switch r {
	case printer.RotateHalf:
		return HalfRound
	case printer.TurnLong:
		return AboutLong
	case printer.TurnShort:
		return AboutShort
	}
	return Still
}

// Join gives the stack with sheets laid to it that came out later, onto it or beneath it.
func (st Stack[I]) Join(later Stack[I], s printer.Stacks) Stack[I] {
	if s == printer.OnTop {
		return slices.Concat(later, st)
	}
	return slices.Concat(st, later)
}

// Split gives the n sheets at the end that is fed first, and the others.
func (st Stack[I]) Split(n int, from printer.FeedFrom) (first, rest Stack[I]) {
	if from == printer.FromTop {
		return st[:n], st[n:]
	}
	return st[len(st)-n:], st[:len(st)-n]
}

// Seen is one side of a finished sheet as it is looked at.
type Seen[I any] struct {
	Image   I
	Printed bool // false: the side is blank and Image means nothing
	Turned  bool // the image stands on its head in this view
	Crossed bool // the side bears a pencil cross
	// Over is what was printed over it later by a printer that does so, else nil.
	Over *Seen[I]
	lies lie
}

// Finished is a sheet of a finished stack in the two views of package reorder:
// its front, and its back after turning it over about its long edge.
type Finished[I any] struct{ Front, Back Seen[I] }

// Finish takes the stack from the printer and lays it down with the fronts,
// the faces printed first, looking up: if they look down, the stack is turned
// over as a whole. The first sheet's front then stands upright; every other
// side may be Turned against it. The sheets are in order from the top.
//
// Whether they are the right ones is for the caller to judge. The error is
// [ErrUnprinted] or [ErrMixed], with the sheet's place from the top.
func Finish[I any](stack Stack[I]) ([]Finished[I], error) {
	for i, s := range stack {
		switch s.frontLooks() {
		case 0:
			return nil, fmt.Errorf("%w: sheet %d of %d", ErrUnprinted, i+1, len(stack))
		case stack[0].frontLooks():
		default:
			return nil, fmt.Errorf("%w: sheet %d of %d differs from the first", ErrMixed, i+1, len(stack))
		}
	}
	if len(stack) > 0 && stack[0].frontLooks() < 0 {
		stack = stack.move(AboutLong)
	}
	if len(stack) > 0 && stack[0].lookAt().Turned {
		stack = stack.move(HalfRound)
	}
	out := make([]Finished[I], len(stack))
	for i, s := range stack {
		out[i] = Finished[I]{s.lookAt(), s.move(AboutLong).lookAt()}
	}
	return out, nil
}

// Upper is the side of a sheet in a tray that looks up, seen from the near end.
func (s Sheet[I]) Upper() Seen[I] { return s.lookAt() }

// Lower is its other side, seen after turning the sheet about its long edge.
func (s Sheet[I]) Lower() Seen[I] { return s.move(AboutLong).lookAt() }

// lookAt gives the side that looks up, seen from the near end of the tray.
func (s Sheet[I]) lookAt() Seen[I] {
	var over *Seen[I]
	for _, p := range slices.Backward(*s.face(s.pose.z)) {
		over = &Seen[I]{Image: p.image, Printed: true, Turned: p.head*s.pose.y < 0, Over: over, lies: p.lies}
	}
	seen := Seen[I]{}
	if over != nil {
		seen = *over
	}
	seen.Crossed = s.cross != 0 && s.cross == s.pose.z
	return seen
}

// Place carries a point of an image of the given size (mm, from the image's
// own lower left corner) into the view of the side on which it was printed.
func (s Seen[I]) Place(p geom.Point, image geom.Size) geom.Point {
	p = s.lies.place(p, image)
	if s.Turned {
		return geom.Point{X: image.W - p.X, Y: image.H - p.Y}
	}
	return p
}

// Direction carries a direction in an image into the view of its side.
func (s Seen[I]) Direction(d geom.Point) geom.Point {
	if s.Turned {
		return geom.Point{X: -d.X, Y: -d.Y}
	}
	return d
}

// Make is a whole run from fresh sheets to the finished stack. By hand it
// takes the front file and, unless the backs stay blank, the back file, and
// reloads between the two as the facts say; an automatic printer takes one file.
//
// The errors are those of [Printer.Print], [Printer.PrintBoth] and [Finish],
// and [ErrTwoSided] for another number of files.
func (p *Printer[I]) Make(files ...[]I) ([]Finished[I], error) {
	automatic := p.facts.TwoSided == printer.Automatic
	if len(files) == 0 || len(files) > 2 || automatic && len(files) > 1 {
		return nil, fmt.Errorf("%w: a run of %d files", ErrTwoSided, len(files))
	}
	if automatic {
		stack, err := p.PrintBoth(Blank[I](len(files[0])/2), files[0])
		if err != nil {
			return nil, err
		}
		return Finish(stack)
	}
	stack, err := p.Print(Blank[I](len(files[0])), files[0])
	if err != nil {
		return nil, fmt.Errorf("front pass: %w", err)
	}
	if len(files) == 2 {
		if stack, err = Reload(stack, p.facts.Reload); err != nil {
			return nil, err
		}
		if stack, err = p.Print(stack, files[1]); err != nil {
			return nil, fmt.Errorf("back pass: %w", err)
		}
	}
	return Finish(stack)
}
