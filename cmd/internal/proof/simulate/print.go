package simulate

import (
	"fmt"

	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// Outcome is what came of a task.
type Outcome struct {
	Task    Task
	Printer string // what it is called
	Facts   printer.Facts
	PutBack printer.Reload // what was done with the stack between the passes; zero: nothing
	Runs    []Made
}

// Made is what came of a run.
type Made struct {
	Run    Run
	Stages []Stage
	Sheets []virtual.Finished[Page] // the finished stack from the top, fronts up
	Faults []string                 // what is not as planned
}

// Stage is how the stack lies at one moment.
type Stage struct {
	Place Place
	After string         // the file just printed
	Done  printer.Reload // in the tray: how it was put back
	Stack []Lying        // from the top down
}

// Place is where a stack lies.
type Place int

const (
	InDelivery Place = iota + 1
	InTray
	OnTable
)

// Lying is a sheet in a stack: the face that looks up, seen from the near end
// of the tray, and the other one, seen after turning the sheet about its long edge.
type Lying struct{ Upper, Lower virtual.Seen[Page] }

// refuseMismatch says that the files were made for the other kind of printer.
func refuseMismatch(t Task, name string) error {
	why := refusal.Plan.New("%s was made for a stack that is put back by hand, and %s turns the paper itself", t.Name, name)
	if t.Printer.TwoSided == printer.Automatic {
		why = refusal.Plan.New("%s was made for a printer that turns the paper itself, and %s does not", t.Name, name)
	}
	return why.Advise("prepare the book for that printer, into another folder, and simulate that")
}

// Print prints the task on a printer of the given facts. The stack is put back
// in the given way. It refuses facts that cannot be ([printer.Facts.Check])
// and a printer of the other kind.
func Print(t Task, name string, facts printer.Facts, putBack printer.Reload) (Outcome, error) {
	if err := facts.Check(); err != nil {
		return Outcome{}, err
	}
	if !t.Test && t.Printer.TwoSided != facts.TwoSided {
		return Outcome{}, refuseMismatch(t, name)
	}
	p, err := virtual.New[Page](facts)
	if err != nil {
		return Outcome{}, err
	}
	// A real printer prints on whatever it is given.
	p = p.WithOverprinting()
	out := Outcome{Task: t, Printer: name, Facts: facts}
	if facts.TwoSided == printer.ByHand {
		out.PutBack = putBack
	}
	for _, run := range t.Runs {
		made, err := printRun(run, p, out.PutBack, t.Test)
		if err != nil {
			return Outcome{}, err
		}
		if !t.Test {
			made.Faults = findFaults(made, facts)
		}
		out.Runs = append(out.Runs, made)
	}
	return out, nil
}

func printRun(run Run, p *virtual.Printer[Page], putBack printer.Reload, pencilled bool) (made Made, err error) {
	made.Run = run
	stack := virtual.Blank[Page](run.Sheets)
	if pencilled {
		stack = stack.MarkWithPencil()
	}
	for i, file := range run.Passes {
		if i > 0 {
			if stack, err = virtual.Reload(stack, putBack); err != nil {
				return made, err
			}
			made.Stages = append(made.Stages, Stage{Place: InTray, Done: putBack, Stack: lyingSheets(stack)})
		}
		send := p.Print
		if file.Pass == printer.BothPass {
			send = p.PrintBoth
		}
		if stack, err = send(stack, run.pages(file)); err != nil {
			return made, fmt.Errorf("%s: %w", file.Name, err)
		}
		made.Stages = append(made.Stages, Stage{Place: InDelivery, After: file.Name, Stack: lyingSheets(stack)})
	}
	made.Sheets, err = virtual.Finish(stack)
	if err != nil {
		return made, err
	}
	table := Stage{Place: OnTable}
	table.Stack = lists.Map(made.Sheets, func(s virtual.Finished[Page]) Lying { return Lying{s.Front, s.Back} })
	made.Stages = append(made.Stages, table)
	return made, nil
}

func lyingSheets(stack virtual.Stack[Page]) []Lying {
	return lists.Map(stack, func(s virtual.Sheet[Page]) Lying { return Lying{s.Upper(), s.Lower()} })
}
