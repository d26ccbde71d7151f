package simulate

import (
	"fmt"
	"strings"

	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
)

// Text tells the outcome in words.
func (o Outcome) Text(style phrase.Style) string {
	var b strings.Builder
	sheets := 0
	for _, m := range o.Runs {
		sheets += m.Run.Sheets
	}
	fmt.Fprintf(&b, "%s, printed on %s: %s", o.Task.Name, o.Printer, reorder.Count(sheets, "sheet"))
	if len(o.Runs) > 1 {
		fmt.Fprintf(&b, " in %d runs", len(o.Runs))
	}
	fmt.Fprintf(&b, "\n(far is the end of the tray that goes into the printer first)\n")
	for _, m := range o.Runs {
		if len(o.Runs) > 1 {
			fmt.Fprintf(&b, "\nrun %d, %s\n", m.Run.Number, reorder.Count(m.Run.Sheets, "sheet"))
		}
		for _, s := range m.Stages {
			fmt.Fprintf(&b, "\n%s\n", s.Heading())
			s.tell(&b)
		}
		if !o.Task.Test {
			b.WriteString("\n")
			b.WriteString(m.verdict())
		}
	}
	if o.Task.Test {
		o.tellAnswers(&b, style)
	} else if o.Fault() == nil {
		b.WriteString("\nfolded and sewn as the run sheet says, it reads in order\n")
	}
	return b.String()
}

// Heading says where the stack lies and what was done before.
func (s Stage) Heading() string {
	switch s.Place {
	case InDelivery:
		return "in the delivery, after " + s.After
	case InTray:
		return "in the tray again, " + reloadTexts[s.Done]
	}
	return "on the table, the fronts up"
}

var reloadTexts = map[printer.Reload]string{
	printer.AsDelivered: "put back as it lay", printer.RotateHalf: "turned half round on the table",
	printer.TurnLong: "turned over like the page of a book", printer.TurnShort: "turned over like the leaf of a wall calendar",
}

// tell writes the ends of the stack; all of it, if it is small.
func (s Stage) tell(b *strings.Builder) {
	n := len(s.Stack)
	line := func(i int) {
		name := "  "
		switch {
		case n == 1:
		case i == 0:
			name = "  top"
		case i == n-1:
			name = "  bottom"
		}
		l := s.Stack[i]
		up, down := "up", "down"
		if s.Place == OnTable {
			up, down = "front", "back"
		}
		fmt.Fprintf(b, "%-10s%s: %s\n%-10s%s: %s\n", name, up, s.face(l.Upper), "", down, s.face(l.Lower))
	}
	if n <= 3 {
		for i := range n {
			line(i)
		}
		return
	}
	line(0)
	fmt.Fprintf(b, "  ... %s between\n", reorder.Count(n-2, "sheet"))
	line(n - 1)
}

// face is what is to be seen on a face.
func (s Stage) face(f virtual.Seen[Page]) string {
	text := "blank"
	if f.Printed {
		text = f.Image.Name() + ", " + s.lies(f)
	}
	if f.Over != nil {
		text += "; printed over it " + f.Over.Image.Name() + ", " + s.lies(*f.Over)
	}
	if f.Crossed {
		text += "; the pencil cross"
	}
	return text
}

// lies is the way up of what stands on a face: on the table as one looks at
// it, in a tray by the end at which its head lies.
func (s Stage) lies(f virtual.Seen[Page]) string {
	switch {
	case s.Place == OnTable && isOnHead(f):
		return "upside down"
	case s.Place == OnTable:
		return "the right way up"
	case isOnHead(f):
		return "its head near"
	}
	return "its head far"
}

// isOnHead tells whether what the page shows stands on its head in the face's
// view: the page may have been turned, and it may stand turned in its file.
func isOnHead(f virtual.Seen[Page]) bool { return f.Turned != f.Image.HalfTurn }

// verdict compares the run with the plan.
func (m Made) verdict() string {
	if len(m.Faults) == 0 {
		return fmt.Sprintf("as planned: %s from the top, in order, each with its own back, the right way up\n", reorder.Count(len(m.Sheets), "sheet"))
	}
	return "not as planned:\n  " + strings.Join(m.Faults, "\n  ") + "\n"
}

func (o Outcome) tellAnswers(b *strings.Builder, style phrase.Style) {
	a := o.Answers()
	fmt.Fprintf(b, "\npin reading %s: %s\n", a.Reading, meanings[a.Reading])
	fmt.Fprintf(b, "\nthis printer would be learned with\n  %s\n", learnCommand(a).In(style))
}
