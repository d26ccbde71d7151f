// Package simulate prints a job or the test sheet on a simulated printer
// and tells what would lie in the hand, so that a profile can be understood
// without paper.
//
// A [Task] is what is printed: [OfJob] takes it from a job's plan, [OfTest]
// from the test sheet. [Print] puts it through a simulated printer and keeps, for
// every run, how the stack lies after each step, as a [Stage], and what is wrong
// with the finished stack. [Outcome.Text] tells it in words, [Outcome.Picture]
// draws it.
//
// The printer is that of package printer/virtual, which knows nothing of how
// files are planned. What is on the pages of a job's files is taken from its
// plan; the files themselves are not read.
package simulate

import (
	"fmt"

	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/lists"
)

// Task is what is printed.
type Task struct {
	Name  string
	Paper reorder.Paper
	Test  bool // the test sheet: nothing is planned of it
	Runs  []Run
	// Printer is the facts for which the files were made; zero for the test sheet.
	Printer printer.Facts
}

// Run is a run of a plan, and what its sheets are called: their numbers in the book,
// or the numerals of the test sheets.
type Run struct {
	plan.Run
	Labels []string
}

// pages are those of the file of a pass.
func (r Run) pages(p plan.Pass) []Page {
	return lists.Map(p.Images, func(image printer.Image) Page { return Page{image, r.Labels[image.Sheet-1]} })
}

// Page is a page of a print file.
type Page struct {
	printer.Image
	Label string // the sheet's number in the book, or the numeral of a test sheet
}

// Name is what the page is called in words.
func (p Page) Name() string {
	if p.Label == "" {
		return "the " + p.Side.String()
	}
	return fmt.Sprintf("sheet %s, %s", p.Label, p.Side)
}

// OfJob is the task that a job's plan tells of.
func OfJob(name string, made plan.Plan) Task {
	t := Task{
		Name:    name,
		Paper:   made.Paper.Paper,
		Printer: made.Profile.Facts,
	}
	numbers := made.SheetNumbers()
	for _, r := range made.Runs {
		run := Run{Run: plan.Run{Number: r.Number, Sheets: r.Sheets}}
		for i, f := range made.Profile.Files(r.Sheets, r.PrintsBacks()) {
			run.Passes = append(run.Passes, plan.PassOf(r.Passes[i].Name, f))
		}
		run.Labels = lists.Map(numbers[:r.Sheets], func(n int) string { return fmt.Sprint(n) })
		numbers = numbers[r.Sheets:]
		t.Runs = append(t.Runs, run)
	}
	return t
}

// OfTest is the test sheet, printed by hand or by a printer that turns the
// paper itself.
func OfTest(paper reorder.Paper, three bool, way printer.TwoSided) Task {
	var run Run
	var fronts, backs, both []printer.Image
	for i, s := range testsheet.Sheets(paper, three) {
		front, back := printer.Image{Sheet: i + 1, Side: reorder.Front}, printer.Image{Sheet: i + 1, Side: reorder.Back}
		fronts, backs, both = append(fronts, front), append(backs, back), append(both, front, back)
		run.Labels = append(run.Labels, s.Numeral)
	}
	run.Run = plan.Run{Number: 1, Sheets: len(run.Labels), Passes: []plan.Pass{
		{Pass: printer.FrontPass, Name: testsheet.FrontFile, Images: fronts}, {Pass: printer.BackPass, Name: testsheet.BackFile, Images: backs},
	}}
	if way == printer.Automatic {
		run.Passes = []plan.Pass{{Pass: printer.BothPass, Name: testsheet.BothFile, Images: both}}
	}
	return Task{Name: "the test sheet", Paper: paper, Test: true, Runs: []Run{run}}
}
