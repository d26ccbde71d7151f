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
	return append(parts, kitTrouble(k), makingPart(k.Job))
}

func byHandPart(k Kit) Part {
	return kitPart(k, Part{Anchor: "by-hand", Heading: "If you put the paper back yourself"}, []Step{
		TwoSided{false}, LoadTest{k.Paper},
		TestFile{k.Start.TestFront, printer.FrontPass}, PutBack{Reload: k.Start.PutBack[0].Reload}, TestFile{k.Start.TestBack, printer.BackPass},
		ReadPin{k.Start.PutBack}, ReadTop{},
	}, func(r StartRun) []Step {
		return []Step{
			PrintChosen{r.Front, "the front", false}, PileCount{r.Sheets}, PutBackAsFound{}, PrintChosen{r.Back, "the back", r.First != ""},
		}
	})
}

func twoSidedPart(k Kit) Part {
	return kitPart(k, Part{Anchor: "two-sided", Heading: "If the printer turns the paper itself"}, []Step{
		TwoSided{true}, LoadTest{k.Paper}, TestFile{k.Start.TestBoth, printer.BothPass}, ReadPinEdge{k.Start.Edges}, ReadTop{},
	}, func(r StartRun) []Step { return []Step{PrintChosen{r.Both, "the back", r.First != ""}} })
}

func oneFacePart(k Kit) Part {
	return kitPart(k, Part{Anchor: "print", Heading: "Print on one face"}, []Step{
		LoadTest{k.Paper}, TestFile{k.Start.TestFront, printer.FrontPass}, ReadTopFront{},
	}, func(r StartRun) []Step { return []Step{PrintChosen{r.Front, "the top sheet", false}} })
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

// WriteKit writes start-here as one self-contained HTML page. The errors are those of w.
func WriteKit(w io.Writer, k Kit) error {
	k.Profile.Name = "you have"
	sheets := 0
	for _, r := range k.Runs {
		sheets += r.Sheets
	}
	return write(w, page{Job: k.Job, Kind: "Start here", Parts: told(KitParts(k)), Figures: []string{
		"a book for any printer", reorder.Count(k.Pages, "page") + ", " + reorder.Count(sheets, "sheet") + " of " + paperWord(k.Paper),
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
	out := []Line{{Mark: mark, Bold: mark != "", Text: onPaper(t.Lead)}}
	for _, s := range t.List {
		out = append(out, Line{Inset: true, Mark: "\u2022", Text: onPaper(s)})
	}
	for _, s := range t.More {
		out = append(out, Line{Inset: mark != "", Text: onPaper(s)})
	}
	for _, m := range t.Meanings {
		out = append(out, Line{Inset: true, Text: strings.ToUpper(m.Word[:1]) + m.Word[1:] + ": " + m.Says})
	}
	return out
}

// onPaper is a sentence without type of several kinds: headings that it refers to
// stand in quotes.
func onPaper(s Sentence) string {
	var b strings.Builder
	for _, span := range s {
		if span.Mark == Link && span.Text != dialogLink.text {
			fmt.Fprintf(&b, "%q", span.Text)
		} else {
			b.WriteString(span.Text)
		}
	}
	return b.String()
}
