package runsheet

import (
	"fmt"
	"strings"

	"foldwright/printer"
)

// rescue is what is known of a job for saving what is good of it.
type rescue struct {
	Folder string // of the job; empty: nobody who reads this has the program
	Orders []FileOrder
	Files  []File // of the only run; empty: there are several
	// Portioned is set where the tray does not hold the example's run.
	Portioned bool
	// A sheet that is taken as an example: its number in the book, its run, its
	// place there, and how many sheets that run has.
	Number, Run, Place, Of int
}

// fewest is how many sheets a run has in which, whatever the order of its
// files, something follows its middle sheet.
const fewest = 3

// rescueOf takes the middle sheet of the first run that has so many sheets as its
// example, else the job's first sheet.
func rescueOf(j Job) rescue {
	r := rescue{Folder: j.Folder, Orders: OrdersOf(j.Profile.Facts, j.Form.IsTwoSided())}
	first := 1
	if len(j.Gatherings) > 0 {
		first = j.Gatherings[0].First
	}
	for i, run := range j.Runs {
		if i == 0 || r.Of < fewest && run.Sheets >= fewest {
			r.Run, r.Of, r.Place = run.Number, run.Sheets, 1
			if run.Sheets >= fewest {
				r.Place = (run.Sheets + 1) / 2
			}
			r.Number = first + r.Place - 1
		}
		first += run.Sheets
	}
	r.Portioned = len(j.portions(Run{Sheets: r.Of})) > 1
	if len(j.Runs) == 1 {
		r.Files = j.Runs[0].Files
	}
	return r
}

func (r rescue) byHand() bool { return len(r.Orders) == 2 }

// example is how the example stands in a side name.
func (r rescue) example() literal {
	return literal(fmt.Sprintf("run %d, %d of %d", r.Run, r.Place, r.Of))
}

// restStage is how a run goes on after the last good sheet.
func (r rescue) restStage(stacks printer.Stacks) Stage {
	s := Stage{Heading: "Go on after the last good sheet", Notes: []Note{LastGood{r.Number, r.example()}}}
	if r.Folder != "" {
		s.Steps = append(s.Steps, ContinueWith{r})
	}
	s.Steps = append(s.Steps, ClearAway{r.Folder != ""}, LoadRest{r.byHand()}, PrintRest{r})
	if r.Portioned {
		s.Notes = append(s.Notes, OnePortion{stacks})
		s.Steps = append(s.Steps, JoinPortion{Stacks: stacks})
	} else {
		s.Steps = append(s.Steps, JoinGood{stacks})
	}
	return s
}

// sheetStage is how single sheets are printed once more.
func (r rescue) sheetStage() Stage {
	s := Stage{Heading: "Single sheets are spoiled"}
	if r.Folder != "" {
		s.Steps = append(s.Steps, ReprintWith{r})
	}
	s.Steps = append(s.Steps, PrintSheet{r})
	return s
}

// LastGood says which sheet is the last good one.
type LastGood struct {
	Number int
	Place  literal
}

func (l LastGood) Text() Text {
	return Text{
		Lead: say("The last good sheet is the one that came out last of all that are printed as they should be, with none missing before it. Read the {} on it.", wSideName),
		More: []Sentence{say("The number after the word sheet is its number in the book, the last two numbers are its place in the {}. The steps below take sheet {} as an example, with {}.",
			wRun, l.Number, l.Place)},
	}
}

// OnePortion says that a run in portions goes on within the portion that was interrupted.
type OnePortion struct{ Stacks printer.Stacks }

func (o OnePortion) Text() Text {
	return Text{
		Lead: say("Where the {} is printed in portions, only the portion that was interrupted is brought to its end here: count in what is missing of it, and print up to its last page. Then go on with the next portion.", wRun),
		More: []Sentence{say("Its good sheets come {} the portions before it that lie beside the printer.", toThose(o.Stacks))},
	}
}

// ContinueWith lets the program make what is left of a run.
type ContinueWith struct{ rescue }

// Commands is the command lines, one for each pass, with the example's number.
func (c ContinueWith) Commands() []string {
	var out []string
	for _, o := range c.Orders {
		line := fmt.Sprintf("foldwright continue %s --after-sheet %d", quoted(c.Folder), c.Number)
		if c.byHand() {
			line += " --pass " + o.Pass.String()
		}
		out = append(out, line)
	}
	return out
}

var whilePrinting = map[printer.Pass]string{printer.FrontPass: "if the fronts were being printed", printer.BackPass: "if the backs were being printed"}

func (c ContinueWith) Text() Text {
	t := Text{
		Lead: say("With the program: write this into a terminal, in the folder in which {} lies, with the number of your sheet in place of {}.", literal(c.Folder), literal(fmt.Sprint(c.Number))),
		More: []Sentence{say("It makes a file of what is left, and a page that says how the stacks have to lie. Follow that page, and leave the other steps here out.")},
	}
	for i, line := range c.Commands() {
		if c.byHand() {
			t.List = append(t.List, say("{}: {}", whilePrinting[c.Orders[i].Pass], literal(line)))
		} else {
			t.List = append(t.List, say("{}", literal(line)))
		}
	}
	return t
}

// quoted is a name as a command line takes it.
func quoted(name string) string {
	if strings.ContainsFunc(name, func(c rune) bool {
		return !strings.ContainsRune("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.", c)
	}) {
		return `"` + name + `"`
	}
	return name
}

// ClearAway parts the good sheets from what came after them.
type ClearAway struct{ Else bool } // the program is the other way

func (c ClearAway) Text() Text {
	without := ""
	if c.Else {
		without = "Without the program: "
	}
	return Text{
		Lead: say("{}take away every sheet that came out after the last good one, and whatever is torn or creased. Lay the good ones beside the printer just as they lie, without turning them.", without).capital(),
	}
}

// LoadRest makes the tray ready for what is left.
type LoadRest struct{ ByHand bool }

func (l LoadRest) Text() Text {
	if !l.ByHand {
		return Text{Lead: say("Empty the {}, and count in as many fresh sheets as are missing.", wTray)}
	}
	return Text{
		Lead: say("If the fronts were being printed: empty the {}, and count in as many fresh sheets as are missing. If the backs were: leave the sheets that still want theirs in the tray just as they lie.", wTray),
		More: []Sentence{say("A sheet that came out with its back still blank goes back to those in the tray, into its place by its number, laid like its neighbours. A sheet that is lost with its front is left out now, and printed at the end as a single sheet.")},
	}
}

// PrintRest prints a part of a file.
type PrintRest struct{ rescue }

func (p PrintRest) Text() Text {
	t := Text{
		Lead: say("Print the same file once more, but in the {} write the pages that are left, instead of all. With {}, k is {} and n is {}:", wPrintDialog, p.example(), p.Place, p.Of),
	}
	for _, o := range p.Orders {
		t.List = append(t.List, say("{}: {}; here {}", fileOf(o.Pass, p.Files), o.afterRule(), literal(pageRange(o.After(p.Place, p.Of)))))
	}
	if p.byHand() {
		t.More = append(t.More, say("Leave out the page of every sheet that was lost with its front."))
	}
	return t
}

// ReprintWith lets the program make single sheets once more.
type ReprintWith struct{ rescue }

// Commands is the command lines, for a whole sheet and by hand for its back alone.
func (p ReprintWith) Commands() []string {
	line := fmt.Sprintf("foldwright reprint %s --sheet %d", quoted(p.Folder), p.Number)
	if p.byHand() {
		return []string{line, line + " --side back"}
	}
	return []string{line}
}

func (p ReprintWith) Text() Text {
	lines := p.Commands()
	t := Text{
		Lead: say("With the program: write this into a terminal, in the folder in which {} lies, with the number of the spoiled sheet in place of {}, or with several as in {}.",
			literal(p.Folder), literal(fmt.Sprint(p.Number)), literal("7,9-11")),
		List: []Sentence{say("{}", literal(lines[0]))},
		More: []Sentence{say("It makes files of these sheets alone, and a page that says what to do with them. Follow that page.")},
	}
	if len(lines) > 1 {
		t.List = append(t.List, say("if only the back is spoiled and you have a good front whose back is blank: {}", literal(lines[1])))
	}
	return t
}

// PrintSheet prints one sheet out of the files of its run.
type PrintSheet struct{ rescue }

func (p PrintSheet) Text() Text {
	without := ""
	if p.Folder != "" {
		without = "Without the program: "
	}
	t := Text{
		Lead: say("{}lay one fresh sheet into the empty {}, and print nothing but its page, where k is its place in the {} and n the number of sheets there:", without, wTray, wRun).capital(),
	}
	for _, o := range p.Orders {
		t.List = append(t.List, say("{}: {}; for {} write {}", fileOf(o.Pass, p.Files), o.ofRule(), p.example(), literal(pageRange(o.Of(p.Place, p.Of)))))
	}
	if p.byHand() {
		t.More = append(t.More, say("Between front and back put the sheet back exactly as you put back the stack."))
	}
	t.More = append(t.More, say("Lay it into the place of the spoiled one, the same face up and the same way round as its neighbours."))
	return t
}

// MendAgain is for a sheet that was spoiled while spoiled sheets were printed again.
type MendAgain struct{ Folder string }

func (m MendAgain) Text() Text {
	return Text{
		Lead: say("Keep the sheets that came out well on both faces, and print only the others again: {}, followed by their numbers.", literal("foldwright reprint "+quoted(m.Folder)+" --sheet")),
	}
}
