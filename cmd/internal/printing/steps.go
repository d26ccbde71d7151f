// Package printing sends a job to a printer, pass by pass, and asks the person at the
// printer what came out.
//
// [Steps] is what a job's plan wants to be sent. A [Session] sends it: it tells the person
// what to lay into the tray, sends one step, watches it, and asks. What was sent and what
// came out stands in a journal in the job's folder before and after each step, so that a
// program that was killed at any moment asks, and sends nothing twice without a yes.
package printing

import (
	"fmt"
	"slices"

	"foldwright/cmd/internal/plan"
	"foldwright/printer"
)

// Step is what goes through the printer in one load of the tray: a print file, or a part
// of one.
type Step struct {
	Run           int // 0: the check sheet
	Pass          printer.Pass
	Portion, Of   int    // of the pass, from 1
	File          string // in the job's folder
	Sheets        []int  // by their numbers in the book, in the order in which they come out
	title         string // where it belongs to no run
	pages         []int  // of the file, from 1, in the order in which they are sent
	pagesPerSheet int
}

// Steps is everything that a plan prints, in order. Sheets leave the printer in the order
// of the pages that are sent: which end of a file a print dialog begins with is its own
// affair, and no dialog stands between here.
func Steps(p plan.Plan) []Step {
	numbers := p.SheetNumbers()
	var steps []Step
	first := 0
	for _, run := range p.Runs {
		files := p.Profile.Facts.Files(run.Sheets, run.PrintsBacks())
		for i, pass := range run.Passes {
			whole := newStep(p.Profile.Facts, files[i], func(sheet int) int { return numbers[first+sheet-1] })
			whole.Run, whole.Pass, whole.File = run.Number, pass.Pass, pass.Name
			steps = append(steps, whole.loads(p.Profile.TraySheets)...)
		}
		first += run.Sheets
	}
	return steps
}

// checkSteps is the passes of the check sheet.
func checkSteps(p plan.Plan) []Step {
	backs := slices.ContainsFunc(p.Runs, plan.Run.PrintsBacks)
	var steps []Step
	for _, f := range p.Profile.Facts.Files(1, backs) {
		s := newStep(p.Profile.Facts, f, func(int) int { return 0 })
		s.Pass, s.File, s.Portion, s.Of, s.title = f.Pass, fmt.Sprintf("check-%s.pdf", f.Pass), 1, 1, "check sheet"
		steps = append(steps, s)
	}
	return steps
}

// newStep is all of a file, its pages in the order in which they are to be printed.
func newStep(f printer.Facts, file printer.File, number func(sheet int) int) Step {
	s := Step{pagesPerSheet: pagesPerSheet(file.Pass)}
	for _, image := range f.ImagesOut(file) {
		s.Sheets = append(s.Sheets, number(image.Sheet))
		for page, other := range file.Images {
			if other.Sheet == image.Sheet {
				s.pages = append(s.pages, page+1)
			}
		}
	}
	return s
}

func pagesPerSheet(pass printer.Pass) int {
	if pass == printer.BothPass {
		return 2
	}
	return 1
}

// loads shares a step out among as few loads of the tray as will do, as equal as can be.
func (s Step) loads(tray int) []Step {
	n := 1
	if tray > 0 {
		n = (len(s.Sheets) + tray - 1) / tray
	}
	var out []Step
	for i := range n {
		part := s.part(i*len(s.Sheets)/n, (i+1)*len(s.Sheets)/n)
		part.Portion, part.Of = i+1, n
		out = append(out, part)
	}
	return out
}

// part is the sheets from one place to another, the last not among them.
func (s Step) part(from, to int) Step {
	s.Sheets, s.pages = s.Sheets[from:to], s.pages[from*s.pagesPerSheet:to*s.pagesPerSheet]
	return s
}

// without is the step without sheets, by their numbers in the book.
func (s Step) without(lost []int) Step {
	out := s
	out.Sheets, out.pages = nil, nil
	for i, number := range s.Sheets {
		if !slices.Contains(lost, number) {
			out.Sheets = append(out.Sheets, number)
			out.pages = append(out.pages, s.pages[i*s.pagesPerSheet:(i+1)*s.pagesPerSheet]...)
		}
	}
	return out
}

// stepsOf is the steps that print one sheet of the book, by its number.
func stepsOf(sheet int, steps []Step) []Step {
	var out []Step
	for _, s := range steps {
		if i := slices.Index(s.Sheets, sheet); i >= 0 {
			one := s.part(i, i+1)
			one.Portion, one.Of = 1, 1
			out = append(out, one)
		}
	}
	return out
}

// isWhole tells whether the step sends a file of so many pages as it is.
func (s Step) isWhole(pages int) bool {
	for i, p := range s.pages {
		if p != i+1 {
			return false
		}
	}
	return len(s.pages) == pages
}

// Name is the step in a few words, as printers show it.
func (s Step) Name() string {
	if s.Run == 0 {
		return fmt.Sprintf("%s, %s", s.title, s.Pass)
	}
	name := fmt.Sprintf("run %d, %s", s.Run, s.Pass)
	if s.Of > 1 {
		name += fmt.Sprintf(", portion %d of %d", s.Portion, s.Of)
	}
	return name
}
