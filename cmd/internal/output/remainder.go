package output

import (
	"context"
	"fmt"
	"io"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// Remainder is what follows in a print file after the last good sheet that came out.
type Remainder struct {
	draft   Job
	run     plan.Run
	from    plan.Pass     // the file that was interrupted
	good    []int         // sheets by their places in the run, in the order in which they came out
	left    []int         // those still to come, likewise
	without []int         // numbers in the book of sheets that were lost, in order
	pages   options.Pages // of the file
	file    plan.Pass     // what is left, as a file
}

// Remainder plans to print what follows a sheet, by its number in the book, in the
// file of a pass. The pass can be zero where the run has one file only. Sheets
// whose fronts were lost in the back pass are left out. What the
// job does not have is refused.
func (d Job) Remainder(after int, pass printer.Pass, without options.Pages) (*Remainder, error) {
	at, err := d.placeOf("--after-sheet", after)
	if err != nil {
		return nil, err
	}
	r := &Remainder{draft: d, run: at.run}
	if r.from, err = fileOf(at.run, pass); err != nil {
		return nil, err
	}
	if len(without) > 0 && r.from.Pass != printer.BackPass {
		return nil, refusal.Use.New("--without goes with --pass back").Advise("in the first pass a lost sheet is a fresh sheet of paper")
	}
	sent := d.Profile.SheetsOut(r.from.File())
	i := slices.Index(sent, at.inRun) + 1
	r.good, r.left = sent[:i], sent[i:]
	for _, w := range without {
		for n := w.First; n <= w.Last; n++ {
			lost, err := d.placeOf("--without", n)
			if err != nil {
				return nil, err
			}
			if lost.run.Number != at.run.Number || !slices.Contains(r.left, lost.inRun) {
				return nil, refusal.Plan.New("--without %d: the sheet does not come after sheet %d in %s", n, after, r.from.Name)
			}
			r.left = slices.DeleteFunc(slices.Clone(r.left), func(s int) bool { return s == lost.inRun })
			r.without = append(r.without, n)
		}
	}
	if len(r.left) == 0 {
		return nil, refusal.Plan.New("--after-sheet %d: nothing follows it in %s", after, r.from.Name)
	}
	r.file = plan.Pass{Name: fmt.Sprintf("rest-of-%s", r.from.Name), Pass: r.from.Pass}
	var numbers []int
	for i, image := range r.from.Images {
		if slices.Contains(r.left, image.Sheet) {
			r.file.Images = append(r.file.Images, image)
			numbers = append(numbers, i+1)
		}
	}
	r.pages = plan.PageRanges(numbers)
	return r, nil
}

// placeOf finds a sheet by its number in the book.
func (d Job) placeOf(flag string, number int) (place, error) {
	for _, run := range d.Runs {
		for i := run.First; i <= run.Last(); i++ {
			if d.Printed[i-1].Sheet.Number == number {
				return place{run, i - run.First + 1}, nil
			}
		}
	}
	return place{}, d.onNoSheet(flag, number)
}

// fileOf is the file of a pass of a run.
func fileOf(r plan.Run, pass printer.Pass) (plan.Pass, error) {
	if pass == 0 && len(r.Passes) == 1 {
		return r.Passes[0], nil
	}
	passes := ""
	for i, f := range r.Passes {
		if f.Pass == pass {
			return f, nil
		}
		if i > 0 {
			passes += " or "
		}
		passes += f.Pass.String()
	}
	return plan.Pass{}, refusal.Use.New("run %d needs --pass %s", r.Number, passes).Advise("the pass whose file did not come to its end")
}

func (r *Remainder) number(inRun int) int { return r.draft.Sheet(r.run, inRun).Sheet.Number }

// After is the number in the book of the last good sheet.
func (r *Remainder) After() int { return r.number(r.good[len(r.good)-1]) }

// Folder is where the rest is written unless somebody says otherwise, within
// the job's folder.
func (r *Remainder) Folder() string { return fmt.Sprintf("rest-after-%d-%s", r.After(), r.from.Pass) }

// Sheets is the number of sheets still to be printed.
func (r *Remainder) Sheets() int { return len(r.left) }

// From is the name of the file that was interrupted, and Pages what is to be
// printed of it.
func (r *Remainder) From() string { return r.from.Name }

// Pages is the page range for the print dialog.
func (r *Remainder) Pages() string { return r.pages.String() }

// Lost is the numbers in the book of the sheets that are left out.
func (r *Remainder) Lost() string { return plan.Ranges(r.without) }

// RunSheet is what the person is told.
func (r *Remainder) RunSheet() runsheet.Remainder {
	name := func(inRun int, side reorder.Side) string {
		return r.draft.shown(r.run, printer.Image{Sheet: inRun, Side: side})
	}
	ends := func(sheets []int) runsheet.Ends {
		return runsheet.Ends{Sheets: len(sheets), First: name(sheets[0], reorder.Front), Last: name(sheets[len(sheets)-1], reorder.Front)}
	}
	out := runsheet.Remainder{
		Job: r.draft.runSheet(), After: r.After(), Without: r.Lost(), Good: ends(r.good), Left: ends(r.left),
		File: r.file.Name, From: r.from.Name, Pages: r.Pages(), Pass: r.from.Pass,
	}
	out.CheckSheet, out.Trial = runsheet.CheckSheet{}, nil
	printed := reorder.Front
	if out.Pass == printer.BackPass {
		printed = reorder.Back
	}
	out.LastOut, out.NextOut = name(r.good[len(r.good)-1], printed), name(r.left[0], printed)
	for _, run := range out.Runs {
		if run.Number == r.run.Number {
			out.Run = run
		}
	}
	out.Run.Gaps = len(r.without) > 0
	return out
}

// Write writes the folder of the rest to place, complete or not at all.
func (r *Remainder) Write(ctx context.Context, where string, replace bool) error {
	places := make([]place, r.run.Sheets)
	for i := range places {
		places[i] = place{r.run, i + 1}
	}
	var numbers []int
	for _, inRun := range slices.Sorted(slices.Values(r.left)) {
		numbers = append(numbers, r.number(inRun))
	}
	file := r.draft.again(places, fmt.Sprintf("what follows sheet %d", r.After()), r.file)
	return r.draft.writeAgain(ctx, where, replace, Mending{What: "rest", Sheets: plan.Ranges(numbers)}, []printedAgain{file},
		func(w io.Writer) error { return runsheet.WriteRemainder(w, r.RunSheet()) })
}
