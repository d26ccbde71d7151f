package output

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Remainder is what follows in a print file after the last good sheet that came out.
type Remainder struct {
	Part
	From       string // the name of the file that was interrupted
	Pages      string // what is to be printed of it, for the print dialog
	Lost       string // numbers in the book of the sheets that are left out
	run        plan.Run
	after      int
	good, left []int // by their places in the run, in the order in which they come out
}

// Stop is where a print file came to a stop.
type Stop struct {
	After   int           // the last good sheet that came out, by its number in the book; 0: none did
	Run     int           // with After 0, where the job has several runs: the run's number
	Pass    printer.Pass  // of the file; zero where the run has one file only
	Without options.Pages // sheets whose fronts were lost in the back pass: they are left out
}

// Remainder plans to print what follows a stop in its file. What the job does not have is refused.
func (d Job) Remainder(stop Stop) (*Remainder, error) {
	after, without := stop.After, stop.Without
	at, err := d.placeOfStop(stop)
	if err != nil {
		return nil, err
	}
	from, err := fileOf(at.run, stop.Pass)
	if err != nil {
		return nil, err
	}
	if len(without) > 0 && from.Pass != printer.BackPass {
		return nil, refusal.Use.New("%s needs %s", phrase.Set("without"), phrase.Set("pass", "back")).Advise("in the first pass, put a fresh sheet in place of a lost one")
	}
	sent := d.Profile.SheetsOut(from.File())
	i := slices.Index(sent, at.inRun) + 1
	good, left := sent[:i], slices.Clone(sent[i:])
	var lost []int
	for _, w := range without {
		for n := w.First; n <= w.Last; n++ {
			p, err := d.placeOf("without", n)
			if err != nil {
				return nil, err
			}
			k := slices.Index(left, p.inRun)
			if p.run.Number != at.run.Number || k < 0 {
				return nil, refusal.Plan.New("%s: the sheet does not come after sheet %d in %s", phrase.Set("without", n), after, from.Name)
			}
			left, lost = slices.Delete(left, k, k+1), append(lost, n)
		}
	}
	if len(left) == 0 {
		return nil, refusal.Plan.New("%s: nothing follows it in %s", phrase.Set("after-sheet", after), from.Name)
	}
	r := &Remainder{From: from.Name, Lost: plan.Ranges(lost), run: at.run, after: after, good: good, left: left, Part: Part{
		Folder: fmt.Sprintf("remainder-after-%d-%s", after, from.Pass), Sheets: len(left),
		job: d, kind: "remainder", title: fmt.Sprintf("what follows sheet %d", after),
	}}
	if after == 0 {
		r.Folder, r.title = fmt.Sprintf("remainder-run-%d-%s", at.run.Number, from.Pass), fmt.Sprintf("run %d from its first sheet", at.run.Number)
	}
	var numbers, pages []int
	for inRun := range at.run.Sheets {
		p := place{at.run, inRun + 1}
		r.places = append(r.places, p)
		if slices.Contains(left, p.inRun) {
			numbers = append(numbers, d.number(p))
		}
	}
	file := plan.Pass{Name: "remainder-of-" + from.Name, Pass: from.Pass}
	for i, image := range from.Images {
		if slices.Contains(left, image.Sheet) {
			file.Images, pages = append(file.Images, image), append(pages, i+1)
		}
	}
	r.numbers, r.Numbers, r.Pages, r.files = numbers, plan.Ranges(numbers), plan.PageRanges(pages).String(), []plan.Pass{file}
	r.tell = func(w io.Writer) error { return runsheet.WriteRemainder(w, r.RunSheet()) }
	return r, nil
}

// RunSheet is what the person is told.
func (r *Remainder) RunSheet() runsheet.Remainder {
	d, file := r.job, r.files[0]
	name := func(inRun int, side reorder.Side) string {
		return d.shown(r.run, printer.Image{Sheet: inRun, Side: side})
	}
	ends := func(sheets []int) runsheet.Ends {
		if len(sheets) == 0 {
			return runsheet.Ends{}
		}
		return runsheet.Ends{Sheets: len(sheets), First: name(sheets[0], reorder.Front), Last: name(sheets[len(sheets)-1], reorder.Front)}
	}
	printed := reorder.Front
	if file.Pass == printer.BackPass {
		printed = reorder.Back
	}
	out := runsheet.Remainder{
		Job: d.RunSheet(), After: r.after, Without: r.Lost, Good: ends(r.good), Left: ends(r.left),
		File: file.Name, From: r.From, Pages: r.Pages, Pass: file.Pass,
		NextOut: name(r.left[0], printed),
	}
	if len(r.good) > 0 {
		out.LastOut = name(r.good[len(r.good)-1], printed)
	}
	out.CheckSheet, out.Trial = runsheet.CheckSheet{}, nil
	out.Run = out.Runs[r.run.Number-1]
	return out
}

// placeOfStop finds the last good sheet: its run, and its place there, 0 if there is none.
func (d Job) placeOfStop(stop Stop) (place, error) {
	switch {
	case stop.After != 0 && stop.Run != 0:
		return place{}, refusal.Use.New("%s goes with %s", phrase.Set("run"), phrase.Set("after-sheet", 0))
	case stop.After != 0:
		return d.placeOf("after-sheet", stop.After)
	case stop.Run == 0 && len(d.Runs) == 1:
		return place{d.Runs[0], 0}, nil
	case stop.Run == 0:
		return place{}, refusal.Use.New("%s needs %s from 1 to %d", phrase.Set("after-sheet", 0), phrase.Set("run"), len(d.Runs)).Advise("the run whose first sheet did not come out well")
	case stop.Run < 1 || stop.Run > len(d.Runs):
		return place{}, refusal.Plan.New("%s: the job has runs 1 to %d", phrase.Set("run", stop.Run), len(d.Runs))
	}
	return place{d.Runs[stop.Run-1], 0}, nil
}

// placeOf finds a sheet by its number in the book.
func (d Job) placeOf(key string, number int) (place, error) {
	for _, run := range d.Runs {
		for i := range run.Sheets {
			if p := (place{run, i + 1}); d.number(p) == number {
				return p, nil
			}
		}
	}
	return place{}, d.refuseNumber(key, number)
}

// fileOf is the file of a pass of a run.
func fileOf(r plan.Run, pass printer.Pass) (plan.Pass, error) {
	if pass == 0 && len(r.Passes) == 1 {
		return r.Passes[0], nil
	}
	if i := slices.IndexFunc(r.Passes, func(f plan.Pass) bool { return f.Pass == pass }); i >= 0 {
		return r.Passes[i], nil
	}
	passes := lists.Map(r.Passes, func(f plan.Pass) string { return f.Pass.String() })
	return plan.Pass{}, refusal.Use.New("run %d needs %s %s", r.Number, phrase.Set("pass"), strings.Join(passes, " or ")).Advise("the pass that stopped")
}
