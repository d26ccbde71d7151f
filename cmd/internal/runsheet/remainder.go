package runsheet

import (
	"fmt"
	"io"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
)

// Remainder is what follows in a print file after the last good sheet that came out.
type Remainder struct {
	Job
	Run              Run          // the run, all of it
	Pass             printer.Pass // that did not come to its end
	After            int          // the last good sheet's number in the book; 0: none came out
	LastOut, NextOut string       // side names on the sides printed last and next; empty without side names
	Good, Left       Ends
	Without          string // numbers in the book of sheets that were lost; empty: none
	File             string // that holds what is left
	From, Pages      string // or the interrupted file, and what is printed of it
}

// RemainderParts is the whole run sheet of the remainder of a run.
func RemainderParts(r Remainder) []Part {
	r.smaller = say("print fewer of its pages at a time")
	parts := []Part{
		{Anchor: "begin", Stages: []Stage{{Notes: []Note{interruptedNote(r.After, r.From)}}}},
		{Anchor: "set-up", Heading: "Before the first sheet", Stages: []Stage{SettingsStage(r.Job)}},
	}
	print := Part{Anchor: "rest", Heading: "Print what is left: " + reorder.Count(r.Left.Sheets, "sheet")}
	good := DeliveredStack(r.Profile.Facts, r.Pass, r.Good)
	good.Where = drawing.Aside
	left := r.stagesAtOnce
	if len(r.portions(r.Run.Sheets)) > 1 {
		left = r.stagesInPortions
	}
	put := Stage{Heading: "Keep what is good", Steps: []Step{putAwayStep(r.After, r.LastOut), SetAside{r.Profile.Stacks}, LookAt{good}}}
	if r.After == 0 {
		put = Stage{Heading: "Put away what came out", Steps: []Step{nothingGoodStep}}
	}
	print.Stages = append([]Stage{put}, left()...)
	if r.Pass == printer.FrontPass && len(r.Run.Files) > 1 {
		print.Stages = append(print.Stages, stagesAfterFirst(r.Job, r.Run)...)
	} else {
		whole := r.Run
		whole.Sheets = r.Good.Sheets + r.Left.Sheets
		ends := Ends{whole.Sheets, r.Good.First, r.Left.Last}
		if r.After == 0 {
			ends.First = r.Left.First
		}
		print.Stages = append(print.Stages, finishStage(r.Job, whole, DeliveredStack(r.Profile.Facts, r.Pass, ends)))
	}
	parts = append(parts, print)
	if r.Without != "" {
		parts = append(parts, Part{Anchor: LostAnchor, Heading: "Print the lost sheets", Stages: []Stage{{Heading: "Print them again", Steps: []Step{reprintLostStep(r.Without, r.Program)}}}})
	}
	return append(parts, troubleParts(r.Job)...)
}

// stagesAtOnce prints what is left, from the loaded tray to the whole stack.
func (r Remainder) stagesAtOnce() []Stage {
	ready := Stage{Heading: "Load the paper", Steps: []Step{
		EmptyTray{}, r.loadFresh(r.Left.Sheets),
	}}
	if r.Pass == printer.BackPass {
		ready = Stage{Heading: "Look into the tray", Steps: []Step{stayInTrayStep(r.Without), LookAt{r.waiting(drawing.Tray)}}}
	}
	print := []Step{r.printStep(), CountOut{r.Left.Sheets, r.Pass == printer.FrontPass}, letRestStep(r.Profile.Process)}
	if r.After > 0 {
		print = append(print, JoinPortion{Stacks: r.Profile.Stacks, Last: true})
	}
	return []Stage{ready, {Heading: printHeading[r.Pass], Steps: print}}
}

// stagesInPortions does the same where the tray does not hold the run. What is good
// lies beside the printer like a portion that came before.
func (r Remainder) stagesInPortions() []Stage {
	f := feed{Job: r.Job, file: File{Name: r.File, Pass: r.Pass, FirstOut: r.NextOut}, portions: r.portions(r.Left.Sheets), whole: r.printStep(), onto: r.After > 0}
	print := Stage{Heading: printHeading[r.Pass], Steps: f.steps()}
	if n := len(f.portions); n > 1 {
		print.Notes = append(print.Notes, portionsNote(r.Left.Sheets, r.Profile.TraySheets, n))
	}
	if r.Pass != printer.BackPass {
		return []Stage{print}
	}
	return []Stage{{Heading: "Look at what waits", Steps: []Step{
		TakeFromTray{r.Profile.FeedFrom, r.Without}, LookAt{r.waiting(drawing.BesideTray)},
	}}, print}
}

func (r Remainder) printStep() PrintRemainder {
	return PrintRemainder{r.File, r.From, r.Pages, r.Pass, r.NextOut}
}

// waiting is the stack that waits for its backs, in the tray or beside it.
func (r Remainder) waiting(where drawing.Where) drawing.Stack {
	s := DeliveredStack(r.Profile.Facts, printer.FrontPass, r.Left).Put(r.Profile.Reload, where)
	s.Top, s.Bottom = r.Left.First, r.Left.Last
	if r.Profile.FeedFrom == printer.FromBottom {
		s.Top, s.Bottom = s.Bottom, s.Top
	}
	return s
}

func interruptedNote(after int, from string) Text {
	t := text("{} stopped before its end. Sheet {} of the book was the last good one to come out. What follows it is printed now.", literal(from), after).
		why("Files whose names begin with {} lie in the folder of the job, the others in the folder of this page.", literal("run"))
	if after == 0 {
		t.Lead = say("{} stopped before a good sheet came out. It is printed from its first sheet on.", literal(from))
	}
	return t
}

var nothingGoodStep = text("Take everything out of the {} that came out of this file. None of it is good: put it away.", wDelivery)

func putAwayStep(after int, name string) Text {
	t := text("Take out of the {} every sheet that came out after sheet {}, and whatever is torn or creased. Leave the good ones as they lie.", wDelivery, after)
	if name != "" {
		t.More = append(t.More, say("Sheet {} is the one that shows {}. Those that came before it are good.", after, literal(name)))
	}
	return t
}

// SetAside takes the good sheets out of the delivery, to those of portions before them.
type SetAside struct{ Stacks printer.Stacks }

func (s SetAside) Text() Text {
	return text("Lay the good sheets beside the printer, {} those of this file that may lie there already, just as they lie, without turning them: the edge nearest you stays nearest you.", joiningWord(s.Stacks))
}

var intoItsPlace = say("A sheet that came out with its back still blank goes back to them, into its place by its number, laid like its neighbours: printed side to the same side, and what is written in its fold at the same end.")

func stayInTrayStep(without string) Text {
	t := Text{
		Lead: say("Leave the sheets that still want their backs in the {} just as they lie. If you have to take them out, lay them back the same way.", wTray),
		More: []Sentence{intoItsPlace},
	}
	if without != "" {
		t.Lead = say("Leave the sheets that still want their backs in the {} just as they lie, but take {} out: they are printed later.", wTray, literal(nameSheets(without)))
	}
	return t
}

// TakeFromTray lays the sheets of a portion that still want their backs to those that wait
// beside the tray.
type TakeFromTray struct {
	From    printer.FeedFrom
	Without string // as in [Remainder]
}

func (f TakeFromTray) Text() Text {
	where := map[printer.FeedFrom]string{printer.FromTop: "onto", printer.FromBottom: "beneath"}[f.From]
	t := Text{
		Lead: say("Take the sheets that still want their backs out of the {}, and lay them {} the stack that waits beside it, just as they lie, without turning anything.", wTray, where),
		More: []Sentence{say("If no stack waits there any more, lay them down there."), intoItsPlace},
	}
	if f.Without != "" {
		t.More = append(t.More, say("Take {} out of the stack: they are printed later.", literal(nameSheets(f.Without))))
	}
	return t
}

// PrintRemainder sends what is left of a file.
type PrintRemainder struct {
	File, From, Pages string
	Pass              printer.Pass
	FirstOut          string
}

func (p PrintRemainder) Text() Text {
	t := text("Look at {} and print {}.", dialogLink, literal(p.File)).
		why("Or print {} once more, and in the dialog write {} as the pages to print, instead of all.", literal(p.From), literal(p.Pages))
	if p.FirstOut != "" {
		t.More = append(t.More, say("The first sheet to come out shows {}.", literal(p.FirstOut)))
	}
	what := map[printer.Pass]string{printer.FrontPass: "the fronts that are left", printer.BackPass: "the backs that are left", printer.BothPass: "what is left, front and back of each sheet"}[p.Pass]
	t.More = append(t.More, say("Both print {}.", what))
	return t
}

func reprintLostStep(numbers string, p Program) Text {
	return text("Print {} once more, and put them into their places: {} makes the files and says how.",
		literal(nameSheets(numbers)), p.command("reprint", phrase.Set("sheet", numbers)))
}

// WriteRemainder writes the run sheet of the remainder of a run as one self-contained
// HTML page. The errors are those of w.
func WriteRemainder(w io.Writer, r Remainder) error {
	what := fmt.Sprintf("what follows sheet %d in %s", r.After, r.From)
	if r.After == 0 {
		what = r.From + " from its first sheet on"
	}
	return write(w, page{Job: r.Job, Parts: tell(RemainderParts(r)), Figures: []string{
		what, reorder.Count(r.Left.Sheets, "sheet") + " of " + r.Paper.Word(),
	}})
}
