package runsheet

import (
	"fmt"
	"io"
	"strings"

	"foldwright/printer"
	"foldwright/reorder"
)

// Start is what a person with a printer that nobody has seen looks for on the
// test sheets, and what follows from it. The page start-here is written from it.
// Of a book that is printed on one face only the fronts are tested.
type Start struct {
	TestFront string        `json:"test_front"`
	TestBack  string        `json:"test_back,omitzero"`
	TestBoth  string        `json:"test_both,omitzero"`
	PutBack   []PutBackRead `json:"put_back,omitempty"` // by hand; the first is tried first
	Edges     []EdgeRead    `json:"edges,omitempty"`    // two-sided; the first is tried first
	Runs      []StartRun    `json:"runs"`
}

// oneFace tells whether the backs of the book stay blank.
func (s Start) oneFace() bool { return s.TestBack == "" }

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
const right = "A2"

// KitParts is the whole page start-here.
func KitParts(k Kit) []Part {
	parts := []Part{{Anchor: "begin", Heading: "Before you begin", Stages: []Stage{
		{Notes: []Note{AnyPrinter{k.Start.oneFace()}, newOutcome(k.Job)}},
		{Heading: "Take care at the printer", Notes: []Note{HandbookFirst, CleanSheets, HotParts}},
	}}}
	s := Stage{Notes: []Note{EveryFile{}}, Steps: []Step{
		ActualSize, NoFitting, NoCentring, PaperChoice{k.Paper}, OnePerSheet, OneCopy, AllPages, SameOrder, KeepBlanks, NoTurning, NoBooklet,
	}}
	if k.Start.oneFace() {
		s.Steps = append(s.Steps, TwoSided{false})
	} else {
		s.Steps = append(s.Steps, NoHandHelp)
	}
	parts = append(parts, Part{Anchor: "dialog", Heading: "Set up the print dialog", Stages: []Stage{s}})
	if k.Start.oneFace() {
		parts = append(parts, oneFacePart(k))
	} else {
		parts = append(parts, byHandPart(k), twoSidedPart(k))
	}
	return append(parts, makingPart(k.Job))
}

func byHandPart(k Kit) Part {
	return kitPart(k, Part{Anchor: "by-hand", Heading: "If you put the paper back yourself"}, []Step{
		TwoSided{false}, LoadTest{k.Paper},
		TestFile{k.Start.TestFront, printer.FrontPass}, PutBack{Reload: k.Start.PutBack[0].Reload}, TestFile{k.Start.TestBack, printer.BackPass},
		ReadPin{k.Start.PutBack}, ReadTop{},
	}, func(r StartRun) []Step {
		return []Step{
			PrintChosen{r.Front, "the front"}, PileCount{r.Sheets}, PutBackAsFound{}, PrintChosen{r.Back, "the back"},
		}
	})
}

func twoSidedPart(k Kit) Part {
	return kitPart(k, Part{Anchor: "two-sided", Heading: "If the printer turns the paper itself"}, []Step{
		TwoSided{true}, LoadTest{k.Paper}, TestFile{k.Start.TestBoth, printer.BothPass}, ReadPinEdge{k.Start.Edges}, ReadTop{},
	}, func(r StartRun) []Step { return []Step{PrintChosen{r.Both, "the back"}} })
}

func oneFacePart(k Kit) Part {
	return kitPart(k, Part{Anchor: "print", Heading: "Print on one face"}, []Step{
		LoadTest{k.Paper}, TestFile{k.Start.TestFront, printer.FrontPass}, ReadTopFront{},
	}, func(r StartRun) []Step { return []Step{PrintChosen{r.Front, "the top sheet"}} })
}

// kitPart is a part that begins with the test and prints every run.
func kitPart(k Kit, p Part, test []Step, passes func(StartRun) []Step) Part {
	p.Stages = []Stage{{Heading: "Find out about your printer", Steps: test}}
	for _, r := range k.Start.Runs {
		steps := append([]Step{EmptyTray{}, LoadBook{r.Sheets, k.Paper}}, passes(r)...)
		steps = append(steps, FrontsUp{r.First, r.Last, k.Start.oneFace()})
		p.Stages = append(p.Stages, Stage{Heading: runHeading(k, r), Steps: steps})
	}
	return p
}

func runHeading(k Kit, r StartRun) string {
	if len(k.Start.Runs) == 1 {
		return "Print the book"
	}
	return fmt.Sprintf("Print run %d: %s", r.Number, reorder.Count(r.Sheets, "sheet"))
}

// AnyPrinter says what the folder is.
type AnyPrinter struct {
	OneFace bool // of every sheet is printed
}

func (a AnyPrinter) Text() Text {
	if a.OneFace {
		return Text{
			Lead: say("These files make a book on any printer. Three sheets of paper tell which of them are right for yours."),
			More: []Sentence{say("Every file for the book has a numeral in its name, {} or {}: the numeral that you will read on the top test sheet. The book is printed on one face of its paper.",
				literal("I"), literal("III"))},
		}
	}
	return Text{
		Lead: say("These files make a book on any printer. Three sheets of paper tell which of them are right for yours."),
		More: []Sentence{
			say("Every file for the book has a numeral in its name, {} or {}: the numeral that you will read on the top test sheet.",
				literal("I"), literal("III")),
			say("Look whether your {} offers to print on both faces: it may be called two-sided, double-sided or duplex. If it does, follow the part {}. If it does not, or if it only tells you to turn the paper, follow the part {}. Do not mix the two.",
				wPrintDialog, link{"If the printer turns the paper itself", "two-sided"}, link{"If you put the paper back yourself", "by-hand"}),
		},
	}
}

// LoadTest loads the paper of the test.
type LoadTest struct{ Paper reorder.Paper }

func (l LoadTest) Text() Text {
	return Text{
		Lead: say("Lay three sheets of {} paper into the {}, and take all other paper out of it and out of the {}.", paperWord(l.Paper), wTray, wDelivery),
		More: []Sentence{say("The test sheets bear more than is needed here: rules, scales, hints for a pencil and a light. Do what this page says, and leave the rest.")},
	}
}

// TestFile prints a file of the test.
type TestFile struct {
	File string
	Pass printer.Pass
}

func (f TestFile) Text() Text {
	switch f.Pass {
	case printer.BackPass:
		return Text{Lead: say("Print {} on the same three sheets.", literal(f.File))}
	case printer.BothPass:
		return Text{Lead: say("Look at {} and print {}: three sheets, both faces.", dialogLink, literal(f.File))}
	}
	return Text{Lead: say("Look at {} and print {}: three sheets, one face.", dialogLink, literal(f.File))}
}

// ReadPin reads the turn off the test sheet, by hand.
type ReadPin struct{ Table []PutBackRead }

func (r ReadPin) Text() Text {
	t := pin()
	for _, row := range r.Table {
		how := PutBack{Reload: row.Reload}.Text().Lead.String()
		if row.Reading == right {
			t.List = append(t.List, say("{}: your way of putting the stack back is right. Keep it.", literal(row.Reading)))
			continue
		}
		t.List = append(t.List, say("{}: from now on put it back otherwise. {}", literal(row.Reading), how))
	}
	t.More = append(t.More, say("If you did not read {}, begin the test again with three fresh sheets and put them back in the new way. Now you must read {}.", literal(right), literal(right)))
	return t
}

func pin() Text {
	return Text{
		Lead: say("Push a pin through the cross at the letter A of a test sheet, and read the number beside the hole, on whichever face it stands. Letter and number together are the reading."),
	}
}

// ReadPinEdge is the same where the printer turns the paper itself.
type ReadPinEdge struct{ Table []EdgeRead }

func (r ReadPinEdge) Text() Text {
	t := pin()
	for _, row := range r.Table {
		if row.Reading == right {
			t.List = append(t.List, say("{}: the setting is right. Keep it.", literal(row.Reading)))
			continue
		}
		t.List = append(t.List, say("{}: from now on choose the {} edge in the dialog, not the {} edge.", literal(row.Reading), row.Edge, row.Edge.Other()))
	}
	t.More = append(t.More, say("If you did not read {}, print the test again on three fresh sheets with the new setting. Now you must read {}. If you do not, turn two-sided off and do {}.",
		literal(right), literal(right), link{"If you put the paper back yourself", "by-hand"}))
	return t
}

// ReadTop reads the order off the test sheets.
type ReadTop struct{}

func (ReadTop) Text() Text {
	return Text{
		Lead: say("Lay the three sheets as one stack before you so that the large word {} looks up. Keep their order: turn them over as a whole, if at all.", literal("back")),
		List: []Sentence{
			say("Read the numeral on the top sheet, on the face that looks up: this is the numeral of the back."),
			say("Lift only this sheet, and read the numeral on its other face: this is the numeral of the front."),
		},
		More: []Sentence{say("Each is {} or {}. Write both down.", literal("I"), literal("III"))},
	}
}

// ReadTopFront reads the order off test sheets that are printed on one face.
type ReadTopFront struct{}

func (ReadTopFront) Text() Text {
	return Text{
		Lead: say("Lay the three sheets as one stack before you so that the large word {} looks up, and read the numeral on the top sheet.", literal("front")),
		More: []Sentence{
			say("Keep their order: turn them over as a whole, if at all."),
			say("The numeral is {} or {}. Write it down.", literal("I"), literal("III")),
		},
	}
}

// LoadBook loads the paper for the book.
type LoadBook struct {
	Sheets int
	Paper  reorder.Paper
}

func (l LoadBook) Text() Text {
	return Text{
		Lead: say("Count exactly {} of {} paper, and lay what you counted into the {}.", reorder.Count(l.Sheets, "sheet"), paperWord(l.Paper), wTray),
		More: []Sentence{say("If the tray or the delivery does not hold so many, ask for these files in smaller runs: {} makes them with {} and a number.", literal("foldwright kit"), literal("--run"))},
	}
}

// PrintChosen prints the file that the numeral names.
type PrintChosen struct {
	Files   ByTop
	Numeral string // where it was read: the front, the back
}

func (p PrintChosen) Text() Text {
	if p.Files.One == p.Files.Three {
		return Text{Lead: say("Look at {} and print {}.", dialogLink, literal(p.Files.One))}
	}
	return Text{
		Lead: say("Look at {} and print one of two files, by the numeral of {}:", dialogLink, p.Numeral),
		List: []Sentence{
			say("{}: {}", literal("I"), literal(p.Files.One)),
			say("{}: {}", literal("III"), literal(p.Files.Three)),
		},
	}
}

// PileCount counts what came out of the first pass.
type PileCount struct{ Sheets int }

func (c PileCount) Text() Text {
	return Text{Lead: say("Let the sheets rest until they are cool and dry, and count them: {}, in the order in which they lie.", c.Sheets)}
}

// PutBackAsFound puts the stack back in the way that the test has shown.
type PutBackAsFound struct{}

func (PutBackAsFound) Text() Text {
	return Text{Lead: say("Put the whole stack back into the {} in the very way with which you read {} in the test.", wTray, literal(right))}
}

// FrontsUp looks at the finished stack.
type FrontsUp struct {
	First, Last string
	OneFace     bool
}

func (f FrontsUp) Text() Text {
	t := Text{Lead: say("Take the stack out and turn it, as a whole and only if it has to be, so that the fronts lie up and the first sheet on top.")}
	if f.OneFace {
		t.Lead = say("Take the stack out and lay it before you with the printed faces up: the first sheet must lie on top.")
	}
	if f.First != "" && f.First == f.Last {
		t.List = []Sentence{say("the sheet's {}: {}", wSideName, literal(f.First))}
	} else if f.First != "" {
		t.List = []Sentence{
			say("the top sheet's {}: {}", wSideName, literal(f.First)),
			say("the bottom sheet's {}: {}", wSideName, literal(f.Last)),
		}
	}
	switch {
	case f.OneFace:
		t.More = []Sentence{say("If it lies at the bottom, a file was taken for the wrong numeral. Nothing is lost: lay the sheets over one by one, and their order is turned round.")}
	case f.First != "":
		t.More = []Sentence{say("On every sheet both names must begin with the same sheet number. If they do not, a file was taken for the wrong numeral, or the stack was put back otherwise than in the test.")}
	}
	return t
}

// WriteKit writes start-here as one self-contained HTML page. The errors are those of w.
func WriteKit(w io.Writer, k Kit) error {
	k.Profile.Name = "you have"
	sheets := 0
	for _, r := range k.Runs {
		sheets += r.Sheets
	}
	return pageTemplate.Execute(w, page{Job: k.Job, Parts: told(KitParts(k)), Figures: []string{
		"Start here: a book for any printer", reorder.Count(k.Pages, "page") + ", " + reorder.Count(sheets, "sheet") + " of " + paperWord(k.Paper),
	}})
}

// Lines is the page as plain text for a printed version, a paragraph each.
func Lines(parts []Part) (out []Line) {
	for _, p := range told(parts) {
		out = append(out, Line{Heading: 1, Text: p.Heading})
		for _, s := range p.Stages {
			if s.Heading != "" {
				out = append(out, Line{Heading: 2, Text: s.Heading})
			}
			for _, n := range s.Notes {
				out = append(out, n.lines("")...)
			}
			for _, step := range s.Steps {
				out = append(out, step.lines(fmt.Sprintf("%d", step.Number))...)
			}
		}
	}
	return out
}

// Line is a paragraph of a printed page.
type Line struct {
	Heading int    // 1 of a part, 2 of a stage, 0 of none
	Mark    string // before it: a step's number
	Inset   bool
	Bold    bool
	Text    string
}

func (t toldText) lines(mark string) []Line {
	out := []Line{{Mark: mark, Bold: mark != "", Text: t.Lead.String()}}
	for _, s := range t.List {
		out = append(out, Line{Inset: true, Mark: "-", Text: s.String()})
	}
	for _, s := range t.More {
		out = append(out, Line{Inset: mark != "", Text: s.String()})
	}
	for _, m := range t.Meanings {
		out = append(out, Line{Inset: true, Text: strings.ToUpper(m.Word[:1]) + m.Word[1:] + ": " + m.Says})
	}
	return out
}
