package runsheet

import (
	"fmt"
	"strings"
	"testing"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/printer/virtual"
)

// looker turns stacks as the drawings show, and does the rest as the words say.
type looker struct {
	person
	drawings int
}

func (l *looker) do(s Step) (err error) {
	d, ok := DrawingOf(s).(drawing.Move)
	if !ok {
		return l.person.do(s)
	}
	l.drawings++
	if err := same(d.From, l.out); err != nil {
		return err
	}
	turn, err := seenTurn(d.Corners())
	if err != nil {
		return err
	}
	stack, err := virtual.Reload(l.out, turn)
	if err != nil {
		return err
	}
	if err := same(d.Then(), stack); err != nil {
		return err
	}
	l.out = nil
	switch d.To {
	case drawing.Tray:
		l.tray = stack
	case drawing.BesideTray:
		l.beside = stack
	default:
		l.table = stack
	}
	return nil
}

// seenTurn is the only way of turning a stack that brings a corner from one
// place to another.
func seenTurn(from, to drawing.Corner) (printer.Reload, error) {
	far, right, over := from.Far != to.Far, from.Right != to.Right, from.Side != to.Side
	switch {
	case !far && !right && !over:
		return printer.AsDelivered, nil
	case far && right && !over:
		return printer.RotateHalf, nil
	case !far && right && over:
		return printer.TurnLong, nil
	case far && !right && over:
		return printer.TurnShort, nil
	}
	return 0, fmt.Errorf("no stack can be turned from %+v to %+v", from, to)
}

// same compares what is drawn on the sides of a stack with real sheets.
func same(d drawing.Stack, stack virtual.Stack[string]) error {
	if len(stack) != d.Sheets {
		return fmt.Errorf("%d sheets are drawn and %d lie %s", d.Sheets, len(stack), d.Where)
	}
	for i, s := range stack {
		if up, under := seenSide(s.Upper()), seenSide(s.Lower()); up != d.Up || under != d.Under {
			return fmt.Errorf("%s, sheet %d from the top: %s up and %s down, drawn are %s and %s", d.Where, i+1, up, under, d.Up, d.Under)
		}
	}
	return nil
}

// seenSide is what is to be seen of a side.
func seenSide(s virtual.Seen[string]) drawing.Content {
	switch {
	case !s.Printed:
		return drawing.Blank
	case strings.Contains(s.Image, "back"):
		return drawing.Back
	}
	return drawing.Front
}

// look does what the drawings of a job show.
func look(t *testing.T, f printer.Facts, j Job, files map[string][]string) (*looker, error) {
	t.Helper()
	l := &looker{person: newPerson(t, f, files)}
	steps, err := toDo(j)
	if err == nil {
		err = l.walk(steps, l.do)
	}
	return l, err
}

// Whoever only looks at the drawings puts the stack back right at every
// printer, sees what is drawn, and ends with the right stack; with backs, and
// for books printed on one side.
func TestDrawingsFollowed(t *testing.T) {
	for _, f := range virtual.All() {
		for _, backs := range []bool{true, false} {
			if !backs && f.TwoSided == printer.Automatic {
				continue // printed with a file for one side, as by hand
			}
			for _, runs := range [][]int{{1}, {2}, {5}, {3, 1, 4}} {
				j, files := sample(f, backs, runs...)
				l, err := look(t, f, j, files)
				if err != nil {
					t.Fatalf("%+v, runs of %v: %v", f, runs, err)
				}
				if err := l.findFault(backs, runs...); err != nil {
					t.Fatalf("%+v, runs of %v: %v", f, runs, err)
				}
				want := 0
				if f.TwoSided == printer.ByHand && backs {
					want = len(runs) + 1 // each stack is put back, and the check sheet
				}
				if (f.Lands == printer.FaceUp) == (f.TwoSided == printer.ByHand && backs) {
					want += len(runs) // each is turned over at last
				}
				if l.drawings != want {
					t.Errorf("%+v, runs of %v: %d drawings, want %d", f, runs, l.drawings, want)
				}
			}
		}
	}
}

// The drawings for one printer, followed at another one, are found out on the way,
// unless the two differ only in what no stack shows.
func TestDrawingsFollowedAtAnotherPrinter(t *testing.T) {
	atAnotherPrinter(t, func(j Job, files map[string][]string) error {
		_, err := look(t, printer.Usual, j, files)
		return err
	})
}
