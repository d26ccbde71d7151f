package runsheet

import (
	"fmt"
	"strings"
	"testing"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/printer/virtual"
)

// looker does what the drawings show, and reads no word but the names of files.
// What is not drawn is done as a person does it who has understood what printing is.
type looker struct {
	person
	drawings int
	next     drawing.Side // which face is said to be printed next
}

func (l *looker) do(s Step) (err error) {
	d := DrawingOf(s)
	if d != nil {
		l.drawings++
	}
	switch d := d.(type) {
	case drawing.Stack:
		return l.see(d)
	case drawing.Move:
		if back, ok := s.(PutBack); ok && back.Beside {
			return l.turnBeside(d)
		}
		return l.carry(d)
	}
	switch s := s.(type) {
	case EmptyTray:
		l.tray, l.out = nil, nil
	case LoadOne:
		l.tray = virtual.Blank[string](1)
	case PrintOne:
		return l.send(s.File, s.Pass)
	case PutBack: // not drawn: nothing moves
		l.beside, l.out = l.out, nil
	case JoinPortion:
		l.join(s)
	case TakePortion:
		return l.take(s)
	case PrintPortion:
		if err := l.print(s.PrintFile); err != nil || d == nil {
			return err
		}
		return l.watchFirst(d.(drawing.Prints))
	case PrintFile:
		if f := l.facts.FeedFace; l.next != 0 && (l.next == drawing.Upper) != (f == printer.FeedUp) {
			return fmt.Errorf("the %s face is printed, says the drawing, but the printer prints %s", l.next, f)
		}
		if err := l.print(s); err != nil || d == nil {
			return err
		}
		return l.watch(d.(drawing.Prints))
	}
	return nil
}

// turnBeside turns the stack where it is.
func (l *looker) turnBeside(d drawing.Move) error {
	tray := d
	tray.From.Where, tray.To = drawing.Delivery, drawing.Tray
	err := l.carry(tray)
	l.beside, l.tray = l.tray, nil
	return err
}

// watchFirst compares the first sheet that came out with its picture.
func (l *looker) watchFirst(d drawing.Prints) error {
	out := l.out
	defer func() { l.out = out }()
	if l.facts.Stacks == printer.OnTop {
		l.out = out[len(out)-1:]
	} else {
		l.out = out[:1]
	}
	return l.watch(d)
}

// watch compares the sheets that came out first and last with their pictures.
func (l *looker) watch(d drawing.Prints) error {
	first, last := l.out[:1], l.out[len(l.out)-1:]
	if l.facts.Stacks == printer.OnTop {
		first, last = last, first
	}
	for i, face := range d.Sides {
		sheet := first[0]
		if i > 0 {
			sheet = last[0]
		}
		if upper, lower := sheet.Upper().Image, sheet.Lower().Image; face.Name != upper && face.Name != lower {
			return fmt.Errorf("%s: %q is drawn, the sheet bears %q and %q", d.Labels[i], face.Name, upper, lower)
		}
	}
	if len(d.Sides) != min(2, len(l.out)) {
		return fmt.Errorf("%d faces are drawn of %d sheets", len(d.Sides), len(l.out))
	}
	return nil
}

// see compares a drawn stack with the one that lies there; blank paper is laid
// into the tray as it is drawn.
func (l *looker) see(d drawing.Stack) error {
	l.next = d.Next
	switch {
	case d.Where == drawing.Tray && d.Up == drawing.Blank && d.Under == drawing.Blank:
		l.tray = virtual.Blank[string](d.Sheets)
		return nil
	case d.Where == drawing.Tray:
		return same(d, l.tray)
	case d.Where == drawing.Delivery:
		return same(d, l.out)
	}
	return l.put(d)
}

// put looks at what lies on the table: the stack that waits for its backs, the
// joined portions, or the finished stack.
func (l *looker) put(d drawing.Stack) error {
	for _, stack := range []virtual.Stack[string]{l.beside, l.out} {
		if len(stack) > 0 {
			return same(d, stack)
		}
	}
	return same(d, l.table)
}

// carry moves the stack as a dot in its corner moves in the drawing.
func (l *looker) carry(d drawing.Move) (err error) {
	stack := l.out
	if d.From.Where != drawing.Delivery {
		return fmt.Errorf("a stack is taken from %s", d.From.Where)
	}
	if err := same(d.From, stack); err != nil {
		return err
	}
	reload, err := seenTurn(d.Corners())
	if err != nil {
		return err
	}
	if stack, err = virtual.Reload(stack, reload); err != nil {
		return err
	}
	if err := same(d.Then(), stack); err != nil {
		return err
	}
	l.out = nil
	if d.To == drawing.Tray {
		l.tray = stack
	} else {
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

// same compares a drawing with real sheets.
func same(d drawing.Stack, stack virtual.Stack[string]) error {
	if len(stack) != d.Sheets {
		return fmt.Errorf("%d sheets are drawn and %d lie %s", d.Sheets, len(stack), d.Where)
	}
	for i, s := range stack {
		up, upName := seenFace(s.Upper())
		under, underName := seenFace(s.Lower())
		if up != d.Up || under != d.Under {
			return fmt.Errorf("%s, sheet %d from the top: %s up and %s down, drawn are %s and %s", d.Where, i+1, up, under, d.Up, d.Under)
		}
		name := upName
		if under == drawing.Front {
			name = underName
		}
		if i == 0 && !strings.HasPrefix(name, d.Top) || i == len(stack)-1 && !strings.HasPrefix(name, d.Bottom) {
			return fmt.Errorf("%s, sheet %d from the top bears %q, drawn are %q and %q", d.Where, i+1, name, d.Top, d.Bottom)
		}
	}
	return nil
}

// seenFace is what is to be seen of a printed face.
func seenFace(s virtual.Seen[string]) (drawing.Content, string) {
	switch {
	case !s.Printed:
		return drawing.Blank, ""
	case strings.Contains(s.Image, "back"):
		return drawing.Back, s.Image
	}
	return drawing.Front, s.Image
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
				want := 4 // the first run: loaded, printed, taken out, looked at
				if f.TwoSided == printer.ByHand && backs {
					want = 8
				}
				if backs {
					want++ // both faces of the top sheet
				}
				want += 3 * (len(runs) - 1) // the others: loaded, taken out, looked at
				if f.TwoSided == printer.ByHand && backs {
					want += 3 * (len(runs) - 1) // before and after they are put back, and how
				}
				if f.TwoSided == printer.ByHand && backs {
					want++ // the check sheet is put back
				}
				if l.drawings < want {
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
