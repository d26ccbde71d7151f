package runsheet

import (
	"fmt"
	"io"
	"slices"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/reorder"
)

// Start is what a person with a printer that nobody has seen looks for on the
// test sheets, and what follows from it. The page start-here is written from it.
// Of a book that is printed on one side only the fronts are tested.
type Start struct {
	TestFront string        `json:"test-front"`
	TestBack  string        `json:"test-back,omitzero"`
	TestBoth  string        `json:"test-both,omitzero"`
	PutBack   []PutBackRead `json:"put-back,omitempty"` // by hand; the first is tried first
	Edges     []EdgeRead    `json:"edges,omitempty"`    // two-sided; the first is tried first
	Runs      []StartRun    `json:"runs"`
}

// isOneSided tells whether the backs of the book stay blank.
func (s Start) isOneSided() bool { return s.TestBack == "" }

// PutBackRead is how the stack is put back after a reading of the pin.
type PutBackRead struct {
	Reading string         `json:"reading"`
	Reload  printer.Reload `json:"reload"`
}

// EdgeRead is the edge that the print dialog is asked for after a reading.
type EdgeRead struct {
	Reading string           `json:"reading"`
	Edge    printer.FlipEdge `json:"edge"`
}

// StartRun is a run with the files among which the numerals of the top test
// sheet choose.
type StartRun struct {
	Number int    `json:"number"`
	Sheets int    `json:"sheets"`
	First  string `json:"first"` // the side name on the front of its first sheet; empty without side names
	Last   string `json:"last"`
	Front  ByTop  `json:"front"`
	Back   ByTop  `json:"back,omitzero"` // empty: the backs stay blank
	Both   ByTop  `json:"both,omitzero"`
}

// ByTop is a file for each numeral that can stand on the top test sheet: one and
// the same for a run of one sheet, which has no order.
type ByTop struct {
	One   string `json:"I"`
	Three string `json:"III"`
}

// Kit is a job for printers that nobody has seen.
type Kit struct {
	Job
	Start Start
	Maker string // a line of whoever made it: a name, and on what terms others may print; may be empty
}

// right is the reading with which everything is as it should be.
const right = "K2"

// KitParts is the whole page start-here.
func KitParts(k Kit) []Part {
	about := Stage{Notes: k.makerNotes(anyPrinterNote(k.Start.isOneSided()), needsNote(k))}
	parts := []Part{{Anchor: "begin", Heading: "Before you begin", Stages: []Stage{about, printerCare}}}
	s := Stage{Heading: "Look through the settings", Notes: []Note{everyFileNote}, Steps: []Step{
		actualSize, noFitting, noCentring, paperStep(k.Job), onePerSheet, oneCopy, allPages, sameOrder, keepBlanks, noTurning, noBooklet,
	}}
	if k.Start.isOneSided() {
		s.Steps = append(s.Steps, twoSidedStep(false))
	} else {
		s.Steps = append(s.Steps, noHandHelp)
	}
	parts = append(parts, Part{Anchor: "dialog", Heading: "Set up the print dialog", Stages: []Stage{s}})
	if k.Start.isOneSided() {
		parts = append(parts, oneSidedPart(k))
	} else {
		parts = append(parts, byHandPart(k), twoSidedPart(k))
	}
	making, sewing := makingPart(k.Job), sewPart(k.Job)
	if len(sewing) > 0 { // says what comes after
		making.Stages = slices.DeleteFunc(making.Stages, func(s Stage) bool { return s.Heading == bindHeading })
	}
	return append(append(parts, kitTrouble(k), making), sewing...)
}

func byHandPart(k Kit) Part {
	return kitPart(k, Part{Anchor: "by-hand", Heading: "If you put the paper back yourself"}, []Step{
		twoSidedStep(false), LoadTest{k.Paper},
		printTestStep(k.Start.TestFront, printer.FrontPass), MeasureTest{}, PutBack{Reload: k.Start.PutBack[0].Reload, Stack: testStack},
		printTestStep(k.Start.TestBack, printer.BackPass), ReadPin{PutBack: k.Start.PutBack}, ReadTop{},
	}, func(r StartRun) []Step {
		return []Step{
			printChosenStep(r.Front, "the front", false), countPileStep(r.Sheets), PutBackAsFound{r.Sheets}, printChosenStep(r.Back, "the back", r.First != ""),
		}
	})
}

func twoSidedPart(k Kit) Part {
	return kitPart(k, Part{Anchor: "two-sided", Heading: "If the printer turns the paper itself"}, []Step{
		twoSidedStep(true), LoadTest{k.Paper}, printTestStep(k.Start.TestBoth, printer.BothPass), MeasureTest{}, ReadPin{Edges: k.Start.Edges}, ReadTop{},
	}, func(r StartRun) []Step { return []Step{printChosenStep(r.Both, "the back", r.First != "")} })
}

func oneSidedPart(k Kit) Part {
	return kitPart(k, Part{Anchor: "print", Heading: "Print on one side"}, []Step{
		LoadTest{k.Paper}, printTestStep(k.Start.TestFront, printer.FrontPass), MeasureTest{}, ReadTop{OneSided: true},
	}, func(r StartRun) []Step { return []Step{printChosenStep(r.Front, "the top sheet", false)} })
}

// kitPart is a part that begins with the test and prints every run.
func kitPart(k Kit, p Part, test []Step, passes func(StartRun) []Step) Part {
	p.Stages = []Stage{{Heading: "Find out about your printer", Steps: test}}
	for _, r := range k.Start.Runs {
		steps := append([]Step{EmptyTray{}, LoadBook{r.Sheets, k.Paper}}, passes(r)...)
		steps = append(steps, FrontsUp{r, k.Start.isOneSided()})
		heading := "Print the book"
		if len(k.Start.Runs) > 1 {
			heading = fmt.Sprintf("Print run %d: %s", r.Number, reorder.Count(r.Sheets, "sheet"))
		}
		p.Stages = append(p.Stages, Stage{Heading: heading, Steps: steps})
	}
	return p
}

// WriteKit writes start-here as one self-contained HTML page. The errors are those of w.
func WriteKit(w io.Writer, k Kit) error {
	k.Profile.Name = "you have"
	return write(w, page{Job: k.Job, Kind: "Start here", Parts: tell(KitParts(k)), Figures: []string{
		"a book for any printer", reorder.Count(k.Pages, "page") + ", " + reorder.Count(k.sheets(), "sheet") + " of " + k.Paper.Word(),
	}})
}

// PaperPage is the page start-here of one of several papers.
type PaperPage struct {
	Paper reorder.Paper
	File  string
}

// WriteChoice writes the page that leads to those of several papers. The errors are those of w.
func WriteChoice(w io.Writer, k Kit, pages []PaperPage) error {
	k.Profile.Name = "you have"
	choose := text("Which paper do you print on? Open the page for it:")
	for _, p := range pages {
		other := k.Job
		other.Paper = p.Paper
		choose.List = append(choose.List, say("{}: {}", link{p.File, p.File}, other.paperAndSize()))
	}
	choose.More = []Sentence{say("Take no file whose name begins with another paper. A4 is the usual paper everywhere but in North America, Letter is the usual one there.")}
	stage := Stage{Notes: k.makerNotes(choose)}
	return write(w, page{Job: k.Job, Kind: "Start here", Parts: tell([]Part{{Anchor: "paper", Heading: "Choose your paper", Stages: []Stage{stage}}}), Figures: []string{
		"a book for any printer", reorder.Count(k.Pages, "page"),
	}})
}

// makerNotes are notes with the maker's line before them, if there is one.
func (k Kit) makerNotes(notes ...Note) []Note {
	if k.Maker == "" {
		return notes
	}
	return append([]Note{text("{}", k.Maker)}, notes...)
}

// testSheets is how many sheets the test takes.
const testSheets = 3

// needsNote is what to lay ready.
func needsNote(k Kit) Text {
	t := text("It is a book of {}, its leaves {}. Lay ready:", reorder.Count(k.Pages, "page"), k.size(k.Leaf)).
		item("{} of {} paper: {} for the book, {} for the test; take a few more to be safe", reorder.Count(k.sheets()+testSheets, "sheet"), k.Paper.Word(), k.sheets(), testSheets).
		item("a ruler and a pin").
		item("something smooth to press folds flat, such as a bone folder or a spoon").
		why("{}: {}.", wGathering.as("Gatherings"), gatheringSizes(k.Form, k.Gatherings)).
		why("For a second copy print the same files again, once the first is folded: sheets of two copies look alike.")
	if len(sewPart(k.Job)) == 0 {
		return t
	}
	s := k.Bench[0].Structure
	t.List = append(t.List, say("an awl or a thick needle for the holes, a blunt needle and linen thread"), say("strong paper for a cover"))
	switch {
	case s.Support == binding.Tapes:
		t.List = append(t.List, say("woven tape, or strong ribbon, and bookbinder's glue"))
	case s.Support == binding.Cords:
		t.List = append(t.List, say("cord and bookbinder's glue"))
	case s.Sewn == binding.Folds:
		t.List = append(t.List, say("bookbinder's glue"))
	}
	return t
}

// anyPrinterNote says what the folder is.
func anyPrinterNote(oneSided bool) Text {
	numeral := say("Every file for the book has a numeral in its name, {} or {}. You will read which one you need on the top test sheet.", literal("I"), literal("III"))
	t := text("These files make a book on any printer. Three {} show which of them are right for yours.", wTestSheet.as("test sheets")).
		why("{} The book is printed on one side of its paper.", numeral)
	if !oneSided {
		t.More = []Sentence{numeral, say("Look whether your {} offers to print on both sides: many call it {}. If it does, follow the part {}. If it does not, or if it only tells you to turn the paper, follow the part {}. Do not mix the two.",
			wPrintDialog, wTwoSided, link{"If the printer turns the paper itself", "two-sided"}, link{"If you put the paper back yourself", "by-hand"})}
	}
	return t
}

// LoadBook loads the paper for the book.
type LoadBook struct {
	Sheets int
	Paper  reorder.Paper
}

func (l LoadBook) Text() Text {
	return text("Count exactly {} of {} paper, and lay what you counted into the {}.", reorder.Count(l.Sheets, "sheet"), l.Paper.Word(), wTray).
		why("If the tray or the delivery does not hold so many, ask whoever made these files for smaller {}, and say how many sheets they may have.", wRun.as("runs"))
}

func (l LoadBook) Drawing() drawing.Drawing {
	return drawing.Lies{Stack: drawing.Stack{Where: drawing.Tray, Sheets: l.Sheets, Up: drawing.Blank, Under: drawing.Blank}}
}

// printChosenStep prints the file that the numeral names.
func printChosenStep(files ByTop, numeral string, second bool) Text {
	t := text("Look at {} and print {}.", dialogLink, literal(files.One))
	if files.One != files.Three {
		t.Lead = say("Look at {} and print one of two files, by the numeral of {}:", dialogLink, numeral)
		t.List = []Sentence{
			say("{}: {}", literal("I"), literal(files.One)),
			say("{}: {}", literal("III"), literal(files.Three)),
		}
	}
	if second {
		t.Else = say("When a few sheets are out, look at one of them, without reaching into the printer: the {} on both sides must begin with the same sheet number. If it does not, cancel the rest and read {}.", wSideName, troubleLink)
	}
	return t
}

// countPileStep counts what came out of the first pass.
func countPileStep(sheets int) Text {
	return text("Let the sheets rest until they are cool and dry. Count them, and keep their order: there must be {}.", sheets)
}

// PutBackAsFound puts the stack back in the way that the test has shown.
type PutBackAsFound struct{ Sheets int }

func (PutBackAsFound) Text() Text {
	return text("Put the whole stack back into the {}, in the same way as when you read {} in the test.", wTray, literal(right))
}

// FrontsUp looks at the finished stack.
type FrontsUp struct {
	StartRun
	OneSided bool
}

func (f FrontsUp) Text() Text {
	t := text("Take the stack out. If the fronts do not lie up, turn it over as a whole: the first sheet must then lie on top.")
	if f.OneSided {
		t.Lead = say("Take the stack out and lay it before you with the printed sides up, which are the {}: the first sheet must lie on top.", wFront.as("fronts"))
	}
	t.List = endNames(f.stack())
	switch {
	case f.OneSided:
		t.Else = say("If it lies at the bottom, the file was for the other numeral. Nothing is lost: lay the sheets over one by one, and their order is reversed.")
	case f.First != "":
		t.Else = say("On every sheet both names must begin with the same sheet number. If they do not, read {}.", troubleLink)
	}
	return t
}

func (f FrontsUp) stack() drawing.Stack {
	s := drawing.Stack{Where: drawing.Table, Sheets: f.Sheets, Up: drawing.Front, Under: drawing.Back, Top: f.First, Bottom: f.Last}
	if f.OneSided {
		s.Under = drawing.Blank
	}
	return s
}

func (f FrontsUp) Drawing() drawing.Drawing { return drawing.Lies{Stack: f.stack()} }
