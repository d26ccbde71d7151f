package runsheet

import (
	"fmt"
	"io"

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

// oneSided tells whether the backs of the book stay blank.
func (s Start) oneSided() bool { return s.TestBack == "" }

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
}

// right is the reading with which everything is as it should be.
const right = "K2"

// KitParts is the whole page start-here.
func KitParts(k Kit) []Part {
	parts := []Part{{Anchor: "begin", Heading: "Before you begin", Stages: []Stage{
		{Notes: []Note{anyPrinterNote(k.Start.oneSided()), outcomeNote(k.Job)}},
		printerCare,
	}}}
	s := Stage{Notes: []Note{everyFileNote}, Steps: []Step{
		actualSize, noFitting, noCentring, paperStep(k.Job), onePerSheet, oneCopy, allPages, sameOrder, keepBlanks, noTurning, noBooklet,
	}}
	if k.Start.oneSided() {
		s.Steps = append(s.Steps, twoSidedStep(false))
	} else {
		s.Steps = append(s.Steps, noHandHelp)
	}
	parts = append(parts, Part{Anchor: "dialog", Heading: "Set up the print dialog", Stages: []Stage{s}})
	if k.Start.oneSided() {
		parts = append(parts, oneSidedPart(k))
	} else {
		parts = append(parts, byHandPart(k), twoSidedPart(k))
	}
	return append(parts, kitTrouble(k), makingPart(k.Job))
}

func byHandPart(k Kit) Part {
	return kitPart(k, Part{Anchor: "by-hand", Heading: "If you put the paper back yourself"}, []Step{
		twoSidedStep(false), loadTestStep(k.Paper),
		printTestStep(k.Start.TestFront, printer.FrontPass), PutBack{Reload: k.Start.PutBack[0].Reload}, printTestStep(k.Start.TestBack, printer.BackPass),
		readPinStep(k.Start.PutBack), readTopStep,
	}, func(r StartRun) []Step {
		return []Step{
			printChosenStep(r.Front, "the front", false), countPileStep(r.Sheets), putBackAsFoundStep, printChosenStep(r.Back, "the back", r.First != ""),
		}
	})
}

func twoSidedPart(k Kit) Part {
	return kitPart(k, Part{Anchor: "two-sided", Heading: "If the printer turns the paper itself"}, []Step{
		twoSidedStep(true), loadTestStep(k.Paper), printTestStep(k.Start.TestBoth, printer.BothPass), readPinEdgeStep(k.Start.Edges), readTopStep,
	}, func(r StartRun) []Step { return []Step{printChosenStep(r.Both, "the back", r.First != "")} })
}

func oneSidedPart(k Kit) Part {
	return kitPart(k, Part{Anchor: "print", Heading: "Print on one face"}, []Step{
		loadTestStep(k.Paper), printTestStep(k.Start.TestFront, printer.FrontPass), readTopFrontStep,
	}, func(r StartRun) []Step { return []Step{printChosenStep(r.Front, "the top sheet", false)} })
}

// kitPart is a part that begins with the test and prints every run.
func kitPart(k Kit, p Part, test []Step, passes func(StartRun) []Step) Part {
	p.Stages = []Stage{{Heading: "Find out about your printer", Steps: test}}
	for _, r := range k.Start.Runs {
		steps := append([]Step{EmptyTray{}, loadBookStep(r.Sheets, k.Paper)}, passes(r)...)
		steps = append(steps, frontsUpStep(r, k.Start.oneSided()))
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

// anyPrinterNote says what the folder is.
func anyPrinterNote(oneSided bool) Text {
	numeral := say("Every file for the book has a numeral in its name, {} or {}: the numeral that you will read on the top test sheet.", literal("I"), literal("III"))
	t := Text{
		Lead: say("These files make a book on any printer. Three sheets of paper tell which of them are right for yours."),
		More: []Sentence{say("{} The book is printed on one face of its paper.", numeral)},
	}
	if !oneSided {
		t.More = []Sentence{numeral, say("Look whether your {} offers to print on both faces: many call it {}. If it does, follow the part {}. If it does not, or if it only tells you to turn the paper, follow the part {}. Do not mix the two.",
			wPrintDialog, wTwoSided, link{"If the printer turns the paper itself", "two-sided"}, link{"If you put the paper back yourself", "by-hand"})}
	}
	return t
}

// loadTestStep loads the paper of the test.
func loadTestStep(paper reorder.Paper) Text {
	return Text{
		Lead: say("Lay three sheets of {} paper into the {}, and take all other paper out of it and out of the {}.", paper.Word(), wTray, wDelivery),
		More: []Sentence{say("The test sheets bear more than is needed here, such as rules, scales and further steps. Do what this page says, and leave the rest.")},
	}
}

// printTestStep prints a file of the test.
func printTestStep(file string, pass printer.Pass) Text {
	switch pass {
	case printer.BackPass:
		return Text{Lead: say("Print {} on the same three sheets.", literal(file))}
	case printer.BothPass:
		return Text{Lead: say("Look at {} and print {}: three sheets, both faces.", dialogLink, literal(file))}
	}
	return Text{Lead: say("Look at {} and print {}: three sheets, one face.", dialogLink, literal(file))}
}

// readPinStep reads the turn off the test sheet, by hand.
func readPinStep(table []PutBackRead) Text {
	t := Text{Lead: pushTestPin}
	for _, row := range table {
		if row.Reading == right {
			t.List = append(t.List, say("{}: your way of putting the stack back is right. Keep it.", literal(row.Reading)))
			continue
		}
		t.List = append(t.List, say("{}: from now on put it back otherwise. {}", literal(row.Reading), PutBack{Reload: row.Reload}.Text().Lead))
	}
	t.More = append(t.More, say("If you did not read {}, begin the test again with three fresh sheets and put them back in the new way. Now you must read {}. If you do not, something was done otherwise than before: begin the test once more.", literal(right), literal(right)))
	return t
}

var pushTestPin = say("Push a pin through the cross at the letter K of a {}, and read the number beside the hole, on whichever side it stands. Letter and number together are the reading.", wTestSheet)

// readPinEdgeStep is the same where the printer turns the paper itself.
func readPinEdgeStep(table []EdgeRead) Text {
	t := Text{Lead: pushTestPin}
	for _, row := range table {
		if row.Reading == right {
			t.List = append(t.List, say("{}: the setting is right. Keep it.", literal(row.Reading)))
			continue
		}
		t.List = append(t.List, say("{}: from now on choose flip on {} edge in the dialog instead of flip on {} edge.", literal(row.Reading), row.Edge, row.Edge.Other()))
	}
	t.More = append(t.More, say("If you did not read {}, print the test again on three fresh sheets with the new setting. Now you must read {}. If you do not, turn two-sided off and follow the part {}.",
		literal(right), literal(right), link{"If you put the paper back yourself", "by-hand"}))
	return t
}

// readTopStep reads the order off the test sheets.
var readTopStep = Text{
	Lead: say("Lay the three sheets as one stack before you so that the large word {} looks up. Keep their order: turn them over as a whole, if at all.", literal("back")),
	List: []Sentence{
		say("Read the numeral on the top sheet, on the face that looks up: this is the numeral of the back."),
		say("Lift only this sheet, and read the numeral on its other face: this is the numeral of the {}.", wFront),
	},
	More: []Sentence{say("Each is {} or {}. Write both down.", literal("I"), literal("III"))},
}

// readTopFrontStep reads the order off test sheets that are printed on one side.
var readTopFrontStep = Text{
	Lead: say("Lay the three sheets as one stack before you so that the large word {} looks up, and read the numeral on the top sheet.", literal("front")),
	More: []Sentence{
		say("Keep their order: turn them over as a whole, if at all."),
		say("The numeral is {} or {}. Write it down.", literal("I"), literal("III")),
	},
}

// loadBookStep loads the paper for the book.
func loadBookStep(sheets int, paper reorder.Paper) Text {
	return Text{
		Lead: say("Count exactly {} of {} paper, and lay what you counted into the {}.", reorder.Count(sheets, "sheet"), paper.Word(), wTray),
		More: []Sentence{say("If the tray or the delivery does not hold so many, ask whoever made these files for smaller runs, and say how many sheets they may have.")},
	}
}

// printChosenStep prints the file that the numeral names.
func printChosenStep(files ByTop, numeral string, second bool) Text {
	t := Text{Lead: say("Look at {} and print {}.", dialogLink, literal(files.One))}
	if files.One != files.Three {
		t.Lead = say("Look at {} and print one of two files, by the numeral of {}:", dialogLink, numeral)
		t.List = []Sentence{
			say("{}: {}", literal("I"), literal(files.One)),
			say("{}: {}", literal("III"), literal(files.Three)),
		}
	}
	if second {
		t.More = []Sentence{say("When a few sheets are out, look at one of them, without reaching into the printer: the {} on both faces must begin with the same sheet number. If it does not, cancel the rest and read {}.", wSideName, troubleLink)}
	}
	return t
}

// countPileStep counts what came out of the first pass.
func countPileStep(sheets int) Text {
	return Text{Lead: say("Let the sheets rest until they are cool and dry, and count them: {}, in the order in which they lie.", sheets)}
}

// putBackAsFoundStep puts the stack back in the way that the test has shown.
var putBackAsFoundStep = Text{Lead: say("Put the whole stack back into the {} in the very way with which you read {} in the test.", wTray, literal(right))}

// frontsUpStep looks at the finished stack.
func frontsUpStep(r StartRun, oneSided bool) Text {
	t := Text{Lead: say("Take the stack out and turn it, as a whole and only if it has to be, so that the fronts lie up and the first sheet on top.")}
	if oneSided {
		t.Lead = say("Take the stack out and lay it before you with the printed faces up, which are the {}: the first sheet must lie on top.", wFront.as("fronts"))
	}
	t.List = endNames(drawing.Stack{Sheets: r.Sheets, Top: r.First, Bottom: r.Last})
	switch {
	case oneSided:
		t.More = []Sentence{say("If it lies at the bottom, a file was taken for the wrong numeral. Nothing is lost: lay the sheets over one by one, and their order is turned round.")}
	case r.First != "":
		t.More = []Sentence{say("On every sheet both names must begin with the same sheet number. If they do not, read {}.", troubleLink)}
	}
	return t
}

// kitTrouble saves what is good where nobody has the program, nor knows how the
// printer orders its sheets: every missing sheet is printed by its page.
func kitTrouble(k Kit) Part {
	part := Part{Anchor: troubleAnchor, Heading: troubleLink.text}
	s := Stage{Notes: []Note{askedEarly, leftOver, jam}, Steps: []Step{stopStep(!k.Start.oneSided())}}
	if k.SideNames {
		s.Steps = append(s.Steps, listMissingStep(!k.Start.oneSided()), PrintMissing{k.Start, exampleOf(k.Job)}, fillGapsStep)
	} else {
		s.Steps = append(s.Steps, startAgainStep)
	}
	part.Stages = []Stage{s}
	if !k.Start.oneSided() {
		part.Stages = append(part.Stages, Stage{Heading: "The two faces of the sheets do not belong together", Notes: []Note{wrongChoiceNote}})
	}
	return part
}

// wrongChoiceNote says why sides do not fit.
var wrongChoiceNote = Text{
	Lead: say("The sheet numbers on both faces differ, or one face stands on its head: a file was taken for the wrong numeral, the stack was put back otherwise than in the test, or a setting of the {} has changed. Print no more.", wPrintDialog),
	More: []Sentence{say("Look at {} first. Then begin again with the test, with three fresh sheets: it tells what fits.", dialogLink)},
}

// listMissingStep finds out which sheets are missing.
func listMissingStep(twoFaces bool) Text {
	t := Text{
		Lead: say("Keep the sheets that are printed as they should be, in their order. Read the {} on each, and write down which are missing.", wSideName),
		More: []Sentence{say("The last two numbers in it are the sheet's place in its {}, and the number of sheets there.", wRun)},
	}
	if twoFaces {
		t.More = append(t.More, say("If the backs were being printed: sheets whose fronts are good and whose backs are blank are not missing. Leave them in the {} as they lie, or lay them back as they lay.", wTray))
	}
	return t
}

// PrintMissing prints single pages of the files of a kit.
type PrintMissing struct {
	Start   Start
	example example
}

// Ways are the kinds of files with the order of each.
func (p PrintMissing) Ways() []KitWay {
	if p.Start.oneSided() {
		return []KitWay{
			{"I", FileOrder{Pass: printer.FrontPass}}, {"III", FileOrder{Pass: printer.FrontPass, Descending: true}},
		}
	}
	return []KitWay{
		{"III", FileOrder{Pass: printer.FrontPass}}, {"I", FileOrder{Pass: printer.FrontPass, Descending: true}},
		{"III", FileOrder{Pass: printer.BothPass}}, {"I", FileOrder{Pass: printer.BothPass, Descending: true}},
	}
}

// KitWay is the order of the files that have a numeral in their names: the front
// files and the back files, or those of both sides.
type KitWay struct {
	Numeral string
	Order   FileOrder
}

func (p PrintMissing) Text() Text {
	r := p.example
	t := Text{Lead: say("Print only what is missing, with the same files: lay a fresh sheet for each into the {}, and in the {} write their pages instead of all. For the sheet {} these are:",
		wTray, wPrintDialog, r.name())}
	for _, w := range p.Ways() {
		kind := "file"
		switch {
		case w.Order.Pass == printer.BothPass:
			kind = "two-sided file"
		case !p.Start.oneSided():
			kind = "by-hand file"
		}
		t.List = append(t.List, say("{} with {} in its name: {}, and {}", kind, literal(w.Numeral), w.Order.Of(r.Place, r.Of).say(), w.Order.forOthers()))
	}
	if !p.Start.oneSided() {
		t.More = []Sentence{say("By hand print the fronts first. Put the sheets back in the way that you have found in the test, and print the backs of the same sheets. Where only backs are missing, print only their pages of the back file.")}
	}
	return t
}

// fillGapsStep lays new sheets into their places.
var fillGapsStep = Text{
	Lead: say("Lay the new sheets into their places, the same face up and the same way round as their neighbours, so that the numbers count on from sheet to sheet."),
}
