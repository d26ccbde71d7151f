package runsheet

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/profiles"
	"foldwright/reorder"
)

// person does what the steps say, and nothing else, at a simulated printer.
type person struct {
	facts     printer.Facts
	printer   *virtual.Printer[string]
	files     map[string][]string
	tray      virtual.Stack[string]
	out       virtual.Stack[string] // in the delivery
	table     virtual.Stack[string]
	looked    map[drawing.Where]int
	tried     []virtual.Finished[string] // the check sheet
	aside     []virtual.Finished[string]
	joinSides virtual.Stack[string] // portions of a pass, beside the printer
	beside    virtual.Stack[string] // waits to be loaded
}

func (p *person) do(s Step) (err error) {
	switch s := s.(type) {
	case EmptyTray:
		p.tray, p.out = nil, nil
	case LoadFresh:
		p.tray = virtual.Blank[string](s.Sheets)
	case LoadOne:
		p.tray = virtual.Blank[string](1)
	case MeasureRule: // the check sheet is done: what came of it?
		p.tried, err = virtual.Finish(p.out)
	case PrintFile:
		if err := p.print(s); err != nil {
			return err
		}
		return p.watch(s)
	case CountOut:
		if len(p.out) != s.Sheets {
			return fmt.Errorf("%d sheets came out, %d should", len(p.out), s.Sheets)
		}
	case PutBack:
		turned, err := virtual.Reload(p.out, s.Reload)
		if p.out = nil; s.Beside {
			p.beside = turned
		} else {
			p.tray = turned
		}
		return err
	case JoinPortion:
		p.join(s)
	case TakePortion:
		return p.take(s)
	case TakeOut:
		p.table, p.out = p.out, nil
		if s.TurnOver {
			p.table, err = virtual.Reload(p.table, printer.TurnLong)
		}
	case LookAt:
		p.looked[s.Stack.Where]++
		return s.compare(map[drawing.Where]virtual.Stack[string]{drawing.Delivery: p.out, drawing.Tray: p.tray, drawing.Table: p.table, drawing.Aside: p.out, drawing.BesideTray: p.beside}[s.Stack.Where])
	}
	return err
}

// print prints a file, or some of its pages, on what lies in the tray.
func (p *person) print(s PrintFile) error {
	if s.Pages == (Pages{}) {
		return p.send(s.File, s.Pass)
	}
	all := p.files[s.File]
	if s.Pages.From < 1 || s.Pages.To > len(all) || s.Pages.From > s.Pages.To {
		return fmt.Errorf("pages %s of %d", s.Pages, len(all))
	}
	p.files["portion"] = all[s.Pages.From-1 : s.Pages.To]
	return p.send("portion", s.Pass)
}

// join lays a portion to those before it. Once all are there the stack counts as
// the one in the delivery.
func (p *person) join(s JoinPortion) {
	if s.First {
		p.joinSides = nil
	}
	p.joinSides = p.joinSides.Join(p.out, s.Stacks)
	if p.out = nil; s.Last {
		p.out, p.joinSides = p.joinSides, nil
	}
}

// take loads a part of the stack beside the tray.
func (p *person) take(s TakePortion) error {
	if n := len(p.beside); len(p.tray) > 0 || s.Sheets > n || s.Last && s.Sheets != n {
		return fmt.Errorf("%d sheets of %d are to be laid on %d", s.Sheets, n, len(p.tray))
	}
	p.tray, p.beside = p.beside.Split(s.Sheets, s.From)
	return nil
}

// send prints a file on what lies in the tray.
func (p *person) send(file string, pass printer.Pass) (err error) {
	if p.files[file] == nil {
		return fmt.Errorf("there is no file %q", file)
	}
	send := p.printer.Print
	if pass == printer.BothPass {
		send = p.printer.PrintBoth
	}
	p.out, err = send(p.tray, p.files[file])
	p.tray = nil
	return err
}

// watch compares the first sheet that came out with what is said of it.
func (p *person) watch(s PrintFile) error {
	if s.FirstOut == "" {
		return nil // nothing is said of it
	}
	first := p.out[:1]
	if p.facts.Stacks == printer.OnTop {
		first = p.out[len(p.out)-1:]
	}
	seen, err := virtual.Finish(first)
	if err != nil {
		return err
	}
	now, before := seen[0].Front, seen[0].Back
	if s.Pass == printer.BackPass {
		now, before = before, now
	}
	if now.Image != s.FirstOut || s.Other != "" && (!before.Printed || before.Image != s.Other) {
		return fmt.Errorf("the first sheet out bears %q and %q, not %q and %q", now.Image, before.Image, s.FirstOut, s.Other)
	}
	return nil
}

// compare looks at a real stack with the eyes of the step.
func (l LookAt) compare(stack virtual.Stack[string]) error {
	if len(stack) != l.Stack.Sheets {
		return fmt.Errorf("%d sheets lie there, %d should", len(stack), l.Stack.Sheets)
	}
	front := func(s virtual.Stack[string]) string {
		one, _ := virtual.Finish(s)
		return one[0].Front.Image
	}
	top, bottom := front(stack[:1]), front(stack[len(stack)-1:])
	if !strings.HasPrefix(top, l.Stack.Top) || !strings.HasPrefix(bottom, l.Stack.Bottom) {
		return fmt.Errorf("top %q and bottom %q, not %q and %q", top, bottom, l.Stack.Top, l.Stack.Bottom)
	}
	if looks, err := fronts(stack); err != nil || looks != l.Stack.Fronts() {
		return fmt.Errorf("the fronts look %s, not %s (%v)", looks, l.Stack.Fronts(), err)
	}
	return nil
}

// fronts is the way the fronts of a stack look: Finish refuses a stack whose
// sheets look both ways, so one sheet that looks up for certain is laid under it.
func fronts(stack virtual.Stack[string]) (drawing.Side, error) {
	p, err := virtual.New[string](printer.Facts{
		TwoSided: printer.Automatic, Lands: printer.FaceUp, Stacks: printer.OnTop, Sends: printer.FirstPageFirst, FlipEdge: printer.LongEdge,
	})
	if err != nil {
		return 0, err
	}
	up, err := p.PrintBoth(virtual.Blank[string](1), []string{"up", "down"})
	if err != nil {
		return 0, err
	}
	_, err = virtual.Finish(slices.Concat(stack, up))
	if errors.Is(err, virtual.ErrMixed) {
		return drawing.Lower, nil
	}
	return drawing.Upper, err
}

// newPerson stands before an empty printer.
func newPerson(t *testing.T, f printer.Facts, files map[string][]string) person {
	t.Helper()
	made, err := virtual.New[string](f)
	if err != nil {
		t.Fatal(err)
	}
	return person{facts: f, printer: made, files: files, looked: map[drawing.Where]int{}}
}

// walk does all steps in one way or another, and lays the finished runs aside.
func (p *person) walk(steps []Step, do func(Step) error) error {
	for i, s := range steps {
		if err := do(s); err != nil {
			return fmt.Errorf("step %d, %T: %w", i+1, s, err)
		}
		if _, ok := s.(TakeOut); ok {
			if looks, err := fronts(p.table); looks != drawing.Upper {
				return fmt.Errorf("step %d: the finished stack's fronts look %s (%v)", i+1, looks, err)
			}
			done, err := virtual.Finish(p.table)
			if err != nil {
				return err
			}
			p.aside = append(p.aside, done...)
		}
	}
	return nil
}

// follow does what the steps of a job say.
func follow(t *testing.T, f printer.Facts, j Job, files map[string][]string) (*person, error) {
	t.Helper()
	p := newPerson(t, f, files)
	steps, err := toDo(j)
	if err == nil {
		err = p.walk(steps, p.do)
	}
	return &p, err
}

// toDo is what a person does who lets nothing out: the check sheet even if it is behind a
// tap, and each run of the table of runs with the steps that were told last.
func toDo(j Job) (steps []Step, err error) {
	parts := Parts(j)
	var told []Step
	for _, p := range parts {
		if p.Shut && p.Anchor == checkLink.to {
			steps = Steps([]Part{{Stages: p.Stages}})
		}
	}
	for _, s := range Steps(parts) {
		others, ok := s.(OtherRuns)
		if !ok {
			steps, told = append(steps, s), append(told, s)
			continue
		}
		at := slices.IndexFunc(told, func(s Step) bool { _, ok := s.(LoadFresh); return ok })
		told = told[at-1:]
		if hands := slices.IndexFunc(told, func(s Step) bool { _, ok := motion(s); return ok }); hands > 0 {
			told = told[:hands] // only the printing
		}
		for _, row := range others.Text().Table[1:] {
			for _, s := range told {
				again, err := once(s, row)
				if err != nil {
					return nil, err
				}
				steps = append(steps, again)
			}
		}
	}
	return steps, nil
}

// cellOf is what a cell of the table of runs says of a file.
var cellOf = regexp.MustCompile(`^(\S+\.pdf)(?: \(only pages? (\d+)(?:-(\d+))?\))?(?: (.+))?$`)

// once is a step with the count, the file and the name that stand in a row of the table.
func once(s Step, row []Sentence) (Step, error) {
	count, err := strconv.Atoi(row[1].String())
	if err != nil {
		return nil, err
	}
	cell := func(i int) []string { return cellOf.FindStringSubmatch(row[2+i].String()) }
	last := len(row) - 3
	switch s := s.(type) {
	case LoadFresh:
		s.Sheets = count
		return s, nil
	case PrintFile:
		m := cell(map[bool]int{true: 1, false: 0}[s.Pass == printer.BackPass])
		s = PrintFile{File: m[1], Pass: s.Pass}
		s.Pages.From, _ = strconv.Atoi(m[2])
		if s.Pages.To, _ = strconv.Atoi(m[3]); s.Pages.To == 0 {
			s.Pages.To = s.Pages.From
		}
		return s, nil
	case CountOut:
		s.Sheets = count
		return s, nil
	case LookAt:
		s.Stack.Sheets, s.Stack.Top, s.Stack.Bottom = count, "", ""
		switch s.Stack.Where {
		case drawing.Delivery:
			s.Stack.Top = cell(0)[4]
		case drawing.Table:
			s.Stack.Top = cell(last)[4]
		}
		return s, nil
	case PutBack:
		s.Stack.Sheets, s.Stack.Top, s.Stack.Bottom = count, "", ""
		return s, nil
	case TakeOut:
		s.Stack.Sheets, s.Stack.Top, s.Stack.Bottom = count, "", ""
		return s, nil
	}
	return s, nil
}

// findFault says which of the finished sheets is not what the runs should hold.
func (p *person) findFault(backs bool, runs ...int) error {
	sheet := 0
	for run, n := range runs {
		for range n {
			sheet++
			got := p.aside[sheet-1]
			if got.Front.Image != sideName(run+1, sheet, reorder.Front) || got.Back.Printed != backs ||
				backs && got.Back.Image != sideName(run+1, sheet, reorder.Back) {
				return fmt.Errorf("sheet %d is %+v", sheet, got)
			}
		}
	}
	if len(p.aside) != sheet {
		return fmt.Errorf("%d sheets are finished, not %d", len(p.aside), sheet)
	}
	return nil
}

// Whoever does what the steps say sees what they say at every printer, and
// ends with the right stack.
func TestFollowed(t *testing.T) {
	all := virtual.All()
	if len(all) != 144 {
		t.Fatalf("%d sets of facts, want 144", len(all))
	}
	for _, f := range all {
		for _, runs := range [][]int{{1}, {2}, {5}, {3, 1, 4}} {
			j, files := sample(f, true, runs...)
			p, err := follow(t, f, j, files)
			if err != nil {
				t.Fatalf("%+v, runs of %v: %v", f, runs, err)
			}
			if len(p.tried) != 1 || p.tried[0].Front.Image != "check front" || p.tried[0].Back.Image != "check back" {
				t.Errorf("%+v: the check sheet is %+v", f, p.tried)
			}
			if err := p.findFault(true, runs...); err != nil {
				t.Fatalf("%+v, runs of %v: %v", f, runs, err)
			}
			want := map[drawing.Where]int{drawing.Table: len(runs)}
			if f.TwoSided == printer.ByHand {
				want[drawing.Delivery], want[drawing.Tray] = len(runs), len(runs)
			}
			if fmt.Sprint(p.looked) != fmt.Sprint(want) {
				t.Errorf("%+v: looked at %v, want %v", f, p.looked, want)
			}
		}
	}
}

// Where nobody has seen what the printer does, the first gathering is printed alone, and the rest
// follows from the same files.
func TestTrialFollowed(t *testing.T) {
	for _, f := range virtual.All() {
		for _, runs := range [][]int{{5}, {3, 1}} {
			j, files := sample(f, true, runs...)
			j = j.split(runs[0]-2, files)
			p, err := follow(t, f, j, files)
			if err != nil {
				t.Fatalf("%+v, runs of %v: %v", f, runs, err)
			}
			l, err := look(t, f, j, files)
			if err != nil {
				t.Fatalf("%+v, runs of %v, by the drawings: %v", f, runs, err)
			}
			if err := errors.Join(p.findFault(true, runs...), l.findFault(true, runs...)); err != nil {
				t.Fatalf("%+v, runs of %v: %v", f, runs, err)
			}
			if len(p.tried) != 1 {
				t.Errorf("%+v: no check sheet", f)
			}
		}
	}
}

// Backs that stay blank need one pass only, and the stack still ends fronts up.
func TestFollowedFrontsOnly(t *testing.T) {
	for _, f := range virtual.All() {
		if f.TwoSided != printer.ByHand {
			continue
		}
		j, files := sample(f, false, 4)
		p, err := follow(t, f, j, files)
		if err != nil {
			t.Fatalf("%+v: %v", f, err)
		}
		if err := p.findFault(false, 4); err != nil {
			t.Fatalf("%+v: %v", f, err)
		}
	}
}

// The steps for one printer, followed at another one, are found out on the
// way, unless the two differ only in what no stack shows: which end of the
// paper an image's head lies at.
func TestFollowedAtAnotherPrinter(t *testing.T) {
	atAnotherPrinter(t, func(j Job, files map[string][]string) error {
		_, err := follow(t, printer.Usual, j, files)
		return err
	})
}

// atAnotherPrinter takes the jobs of all printers to the usual one.
func atAnotherPrinter(t *testing.T, follow func(Job, map[string][]string) error) {
	t.Helper()
	silent := 0
	for _, f := range virtual.All() {
		if f.TwoSided != printer.ByHand {
			continue
		}
		j, files := sample(f, true, 5)
		err := follow(j, files)
		f.FlipEdge = printer.Usual.FlipEdge
		if f.Reload == printer.RotateHalf {
			f.Reload = printer.AsDelivered
		}
		if (err == nil) != (f == printer.Usual) {
			t.Errorf("%+v, followed at the usual printer: %v", f, err)
		}
		if err == nil {
			silent++
		}
	}
	if silent != 4 { // two flip-edges, with and without a half round
		t.Errorf("%d silent, want 4", silent)
	}
}

// TestRestKnowsTheProcess: who has a laser printer is not told of ink.
func TestRestKnowsTheProcess(t *testing.T) {
	for process, want := range map[profiles.Process]struct{ laser, inkjet bool }{
		0:               {true, true},
		profiles.Laser:  {true, false},
		profiles.Inkjet: {false, true},
	} {
		text := fmt.Sprint(letRestStep(process).Text())
		if strings.Contains(text, "laser") != want.laser || strings.Contains(text, "inkjet") != want.inkjet {
			t.Errorf("%s: %s", process, text)
		}
	}
}
