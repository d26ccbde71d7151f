package runsheet

import (
	"fmt"
	"io"

	"foldwright/printer"
	"foldwright/reorder"
)

// Remainder is what follows in a print file after the last good sheet that came out.
type Remainder struct {
	Job
	Run              Run          // the run, all of it
	Pass             printer.Pass // that did not come to its end
	After            int          // the last good sheet's number in the book
	LastOut, NextOut string       // side names on the faces printed last and next; empty without side names
	Good, Left       Ends
	Without          string // numbers in the book of sheets that were lost; empty: none
	File             string // that holds what is left
	From, Pages      string // or the interrupted file, and what is printed of it
}

// Ends is some sheets in the order in which they come out, by the side names
// on the fronts of the first and the last.
type Ends struct {
	Sheets      int
	First, Last string
}

// RemainderParts is the whole run sheet of the rest of a run.
func RemainderParts(r Remainder) []Part {
	begin := Part{Anchor: "begin", Heading: "Before you begin", Stages: []Stage{{
		Notes: []Note{Interrupted{r.After, r.LastOut, r.From}, Jam, Changed{}},
	}}}
	rest := Part{Anchor: "rest", Heading: "Print what is left: " + reorder.Count(r.Left.Sheets, "sheet")}
	fronts := frontsAfter(r.Profile.Facts, r.Pass)
	good := out(r.Profile.Facts, r.Good.Sheets, r.Good.First, r.Good.Last, fronts)
	good.Backs = r.Pass != printer.FrontPass
	keep := Stage{Heading: "Keep what is good", Steps: []Step{PutAway{r.After, r.LastOut}, SetAside{}, LookAt{Aside, good, false}}}
	left, after := r.atOnce(), passes(r.Job, r.Run)
	if portions := r.portions(r.Run); len(portions) > 1 {
		keep.Steps[1] = SetAside{r.Profile.Stacks, r.Pass == printer.BackPass}
		left, after = r.portioned(), portionStages(r.Job, r.Run, portions)
	}
	rest.Stages = append([]Stage{keep}, left...)
	if r.Pass == printer.FrontPass && len(r.Run.Files) > 1 {
		rest.Stages = append(rest.Stages, after[1:]...)
	} else {
		whole := r.Run
		whole.Sheets = r.Good.Sheets + r.Left.Sheets
		done := out(r.Profile.Facts, whole.Sheets, r.Good.First, r.Left.Last, fronts)
		done.Backs = good.Backs
		rest.Stages = append(rest.Stages, finish(r.Job, whole, done))
	}
	parts := []Part{begin, dialogPart(r.Job), rest}
	if r.Without != "" {
		parts = append(parts, Part{Anchor: "lost", Heading: "Print the lost sheets", Stages: []Stage{{Steps: []Step{ReprintLost{r.Without, r.Folder}}}}})
	}
	return append(parts, troublePart(r.Job))
}

// atOnce prints what is left, from the loaded tray to the whole stack.
func (r Remainder) atOnce() []Stage {
	ready := Stage{Heading: "Load the paper", Steps: []Step{
		EmptyTray{}, LoadFresh{r.Left.Sheets, r.Paper, r.Profile.FeedFace, r.Profile.TraySheets},
	}}
	if r.Pass == printer.BackPass {
		ready = Stage{Heading: "Look into the tray", Steps: []Step{StayInTray{r.Without}, LookAt{InTray, r.stillLoaded(), r.Run.Gaps}}}
	}
	return []Stage{ready, {Heading: printHeading(r.Pass), Steps: []Step{
		r.print(), CountOut{r.Left.Sheets, r.Pass == printer.FrontPass}, Rest{r.Profile.Process}, JoinGood{r.Profile.Stacks},
	}}}
}

// portioned does the same where the tray does not hold the run. What is good
// lies beside the printer like a portion that came before.
func (r Remainder) portioned() []Stage {
	left := Run{Sheets: r.Left.Sheets}
	f := feed{Job: r.Job, file: File{Name: r.File, Pass: r.Pass, FirstOut: r.NextOut}, portions: r.portions(left), whole: r.print(), onto: true}
	print := Stage{Heading: printHeading(r.Pass), Steps: f.steps()}
	if n := len(f.portions); n > 1 {
		print.Notes = append(print.Notes, InPortions{left.Sheets, r.Profile.TraySheets, n, true})
	}
	if r.Pass != printer.BackPass {
		return []Stage{print}
	}
	return []Stage{{Heading: "Look at what waits", Steps: []Step{
		TakeFromTray{r.Profile.FeedFrom, r.Without}, LookAt{BesideTray, r.stillLoaded(), r.Run.Gaps},
	}}, print}
}

func (r Remainder) print() PrintRemainder {
	return PrintRemainder{r.File, r.From, r.Pages, r.Pass, r.NextOut}
}

// frontsAfter is how the fronts look in the delivery after a pass.
func frontsAfter(f printer.Facts, pass printer.Pass) Face {
	looks := LooksDown
	if f.Lands == printer.FaceUp {
		looks = LooksUp
	}
	if pass == printer.BackPass {
		return looks.other()
	}
	return looks
}

// stillLoaded is the pile that waits in the tray for its backs.
func (r Remainder) stillLoaded() Pile {
	fronts := frontsAfter(r.Profile.Facts, printer.FrontPass)
	if r.Profile.Reload.Turns() {
		fronts = fronts.other()
	}
	first, last := r.Left.First, r.Left.Last
	if r.Profile.FeedFrom == printer.FromBottom {
		first, last = last, first
	}
	return Pile{Sheets: r.Left.Sheets, Top: first, Bottom: last, Fronts: fronts}
}

// Interrupted says what this run sheet is for.
type Interrupted struct {
	After      int
	Name, From string
}

func (i Interrupted) Text() Text {
	t := Text{
		Lead: say("{} stopped before its end. Sheet {} of the book was the last good one to come out. What follows it is printed now.", literal(i.From), i.After),
		More: []Sentence{say("Files whose names begin with {} lie in the folder of the job, the others in the folder of this page.", literal("run"))},
	}
	if i.Name != "" {
		t.List = []Sentence{say("the {} on its face printed last: {}", wSideName, literal(i.Name))}
	}
	return t
}

// PutAway parts the good sheets from those that came after them.
type PutAway struct {
	After int
	Name  string
}

func (p PutAway) Text() Text {
	t := Text{
		Lead: say("Take out of the {} every sheet that came out after sheet {}, and whatever is torn or creased. Leave the good ones as they lie.", wDelivery, p.After),
	}
	if p.Name != "" {
		t.More = append(t.More, say("Sheet {} is the one with the {} {}. Those that came before it are good.", p.After, wSideName, literal(p.Name)))
	}
	return t
}

// SetAside takes the good sheets out of the delivery. Where the run is printed in portions
// Stacks tells how they come to those before them.
type SetAside struct {
	Stacks  printer.Stacks // zero: the run is one portion
	Waiting bool           // a stack waits beside the tray
}

func (s SetAside) Text() Text {
	if s.Stacks == 0 {
		return Text{Lead: say("Lay the good sheets beside the printer just as they lie, without turning them: the edge nearest you stays nearest you.")}
	}
	t := Text{
		Lead: say("Lay the good sheets {} those of this file that already lie beside the printer, just as they lie, without turning them: the edge nearest you stays nearest you.", toThose(s.Stacks)),
		More: []Sentence{say("If none lie there yet, lay them down there.")},
	}
	if s.Waiting {
		t.More = append(t.More, keepApart)
	}
	return t
}

// StayInTray leaves the sheets that still want their backs as they are.
type StayInTray struct{ Without string }

var intoItsPlace = say("A sheet that came out with its back still blank goes back to them, into its place by its number, laid like its neighbours: printed face to the same side, print the same way round.")

func (s StayInTray) Text() Text {
	t := Text{
		Lead: say("Leave the sheets that still want their backs in the {} just as they lie. If you have to take them out, lay them back the same way.", wTray),
		More: []Sentence{intoItsPlace},
	}
	if s.Without != "" {
		t.Lead = say("Leave the sheets that still want their backs in the {} just as they lie, but take {} out: they are printed later.", wTray, literal(sheetsNamed(s.Without)))
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
	where := "onto"
	if f.From == printer.FromBottom {
		where = "beneath"
	}
	t := Text{
		Lead: say("Take the sheets that still want their backs out of the {}, and lay them {} the stack that waits beside it, just as they lie, without turning anything.", wTray, where),
		More: []Sentence{say("If no stack waits there any more, lay them down there."), intoItsPlace},
	}
	if f.Without != "" {
		t.More = append(t.More, say("Take {} out of the stack: they are printed later.", literal(sheetsNamed(f.Without))))
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
	t := Text{
		Lead: say("Look at {} and print {}.", dialogLink, literal(p.File)),
		More: []Sentence{say("Or print {} once more, and in the dialog write {} as the pages to print, instead of all.", literal(p.From), literal(p.Pages))},
	}
	if p.FirstOut != "" {
		t.List = append(t.List, say("{} on the first sheet to come out: {}", wSideName, literal(p.FirstOut)))
	}
	switch p.Pass {
	case printer.FrontPass:
		t.More = append(t.More, say("Both print the fronts that are left."))
	case printer.BackPass:
		t.More = append(t.More, say("Both print the backs that are left."))
	default:
		t.More = append(t.More, say("Both print what is left, front and back of each sheet."))
	}
	return t
}

// JoinGood makes one stack of the sheets from before and after.
type JoinGood struct{ Stacks printer.Stacks }

func (j JoinGood) Text() Text {
	return Text{
		Lead: say("Lay the new sheets {} the good ones that you laid aside, just as they lie in the {}, without turning anything.", toThose(j.Stacks), wDelivery),
		More: []Sentence{say("It is one stack now, as if nothing had happened. Lay it back into the {}.", wDelivery)},
	}
}

// ReprintLost prints what was left out.
type ReprintLost struct{ Numbers, Folder string }

func (r ReprintLost) Text() Text {
	return Text{
		Lead: say("Print {} once more, and put them into their places: {} makes the files and says how.",
			literal(sheetsNamed(r.Numbers)), literal("foldwright reprint "+quoted(r.Folder)+" --sheet "+r.Numbers)),
	}
}

// WriteRemainder writes the run sheet of the rest of a run as one self-contained
// HTML page. The errors are those of w.
func WriteRemainder(w io.Writer, r Remainder) error {
	return write(w, page{Job: r.Job, Parts: told(RemainderParts(r)), Figures: []string{
		fmt.Sprintf("what follows sheet %d in %s", r.After, r.From),
		reorder.Count(r.Left.Sheets, "sheet") + " of " + paperWord(r.Paper),
	}})
}
