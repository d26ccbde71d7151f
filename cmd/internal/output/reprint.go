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

// Choice is which sheets of a job are printed once more: by their numbers in
// the book, by the source pages on them, or by their gatherings.
type Choice struct{ Sheets, Pages, Gatherings options.Pages }

// Reprint is sheets of a job that are printed once more, each side as it was.
type Reprint struct {
	draft  Job
	places []place // of the sheets, from the top of the finished stack
	backs  bool    // the fronts are good and at hand
	files  []plan.Pass
	guide  []plan.Pass // one, if backs
}

// place is a sheet of the job by its run.
type place struct {
	run   plan.Run
	inRun int // from 1
}

// Reprint plans to print the chosen sheets once more; with backsOnly only
// their backs, on good fronts. It refuses sheets that the job does not
// have and backs that cannot be printed by themselves.
func (d Job) Reprint(c Choice, backsOnly bool) (*Reprint, error) {
	places, err := d.choose(c)
	if err != nil {
		return nil, err
	}
	r := &Reprint{draft: d, places: places, backs: backsOnly}
	files := d.Profile.Files(len(places), d.Book.Form.IsTwoSided())
	if backsOnly {
		switch {
		case d.Profile.TwoSided == printer.Automatic:
			return nil, refusal.Use.New("this printer prints both faces in one pass, so a back cannot be printed by itself").Advise("leave out --side: the whole sheet is printed again")
		case len(files) < 2:
			return nil, refusal.Use.New("the backs of this book stay blank").Advise("leave out --side")
		case d.Options.NoSideNames && len(places) > 1:
			return nil, refusal.Use.New("without names on the sheets backs are printed again one at a time").Advise("choose one --sheet")
		}
		lie := printer.Deliver(d.Profile.Facts, printer.FrontPass, d.Profile.ImagesOut(files[0]))
		r.guide = []plan.Pass{{Name: "guide-front.pdf", Pass: printer.FrontPass, Images: lie.Sheets[:1]}} // the front on top
		files = files[1:]
	}
	for _, f := range files {
		r.files = append(r.files, plan.PassOf(fmt.Sprintf("sheet-%s-%s.pdf", r.Numbers(), f.Pass), f))
	}
	return r, nil
}

// choose finds the chosen sheets and refuses what chooses none.
func (d Job) choose(c Choice) ([]place, error) {
	asked := []struct {
		flag   string
		ranges options.Pages
		has    func(s reorder.Sheet, n int) bool
	}{
		{"--sheet", c.Sheets, func(s reorder.Sheet, n int) bool { return s.Number == n }},
		{"--page", c.Pages, d.shows},
		{"--gathering", c.Gatherings, func(s reorder.Sheet, n int) bool {
			return slices.ContainsFunc(s.Pieces, func(p reorder.Piece) bool { return p.Gathering == n })
		}},
	}
	chosen := map[int]bool{}
	for _, a := range asked {
		for _, r := range a.ranges {
			if r.Last == 0 {
				return nil, refusal.Plan.New("%s %s has no end", a.flag, a.ranges)
			}
			for n := r.First; n <= r.Last; n++ {
				found := false
				for i, s := range d.Printed {
					if a.has(s.Sheet, n) {
						chosen[i+1], found = true, true
					}
				}
				if !found {
					return nil, d.onNoSheet(a.flag, n)
				}
			}
		}
	}
	var out []place
	for _, run := range d.Runs {
		for i := run.First; i <= run.Last(); i++ {
			if chosen[i] {
				out = append(out, place{run, i - run.First + 1})
			}
		}
	}
	return out, nil
}

func (d Job) onNoSheet(flag string, n int) error {
	first, last := d.Printed[0].Sheet.Number, d.Printed[len(d.Printed)-1].Sheet.Number
	return refusal.Plan.New("%s %d: it is on none of the sheets %d to %d of this job", flag, n, first, last)
}

// shows tells whether a source page stands on a sheet.
func (d Job) shows(s reorder.Sheet, page int) bool {
	return slices.ContainsFunc(slices.Concat(s.Side(reorder.Front), s.Side(reorder.Back)), func(p reorder.Panel) bool {
		return p.Page > 0 && d.SourcePage(p.Page) == page
	})
}

// Numbers is the numbers in the book of the sheets: 7,9-11.
func (r *Reprint) Numbers() string {
	var numbers []int
	for _, p := range r.places {
		numbers = append(numbers, r.draft.Sheet(p.run, p.inRun).Sheet.Number)
	}
	return plan.Ranges(numbers)
}

// Folder is where the reprint is written unless somebody says otherwise, within
// the job's folder.
func (r *Reprint) Folder() string {
	if r.backs {
		return "reprint-" + r.Numbers() + "-back"
	}
	return "reprint-" + r.Numbers()
}

// Sheets is the number of sheets.
func (r *Reprint) Sheets() int { return len(r.places) }

// shown is what is to be read on an image of the reprint.
func (r *Reprint) shown(i printer.Image) string {
	p := r.places[i.Sheet-1]
	return r.draft.shown(p.run, printer.Image{Sheet: p.inRun, Side: i.Side})
}

// RunSheet is what the person is told.
func (r *Reprint) RunSheet() runsheet.Reprint {
	d := r.draft
	out := runsheet.Reprint{Job: d.runSheet(), Numbers: r.Numbers(), OnFronts: r.backs}
	out.CheckSheet, out.Trial = runsheet.CheckSheet{}, nil
	run := runsheet.Run{Number: 1, Sheets: len(r.places), Gaps: !r.follow()}
	files := r.files
	if r.backs {
		files = append([]plan.Pass{plan.PassOf("", d.Profile.Files(len(r.places), true)[0])}, files...)
		out.Guide = r.guide[0].Name
	}
	for _, f := range files {
		first, last := d.ends(f)
		run.Files = append(run.Files, runsheet.File{
			Name: f.Name, Pass: f.Pass, FirstOut: r.shown(first), LastOut: r.shown(last),
		})
	}
	run.Top = d.faces(r.places[0].run, r.places[0].inRun)
	out.Runs = []runsheet.Run{run}
	return out
}

// follow tells whether the sheets follow each other in the book.
func (r *Reprint) follow() bool {
	first, last := r.places[0], r.places[len(r.places)-1]
	return last.run.First+last.inRun-first.run.First-first.inRun == len(r.places)-1
}

// Write writes the folder of the reprint to place, complete or not at all.
func (r *Reprint) Write(ctx context.Context, place string, replace bool) error {
	what := "sheet " + r.Numbers() + " once more"
	var files []printedAgain
	for _, f := range slices.Concat(r.guide, r.files) {
		files = append(files, r.draft.again(r.places, what, f))
	}
	return r.draft.writeAgain(ctx, place, replace, Mending{What: "reprint", Sheets: r.Numbers()}, files,
		func(w io.Writer) error { return runsheet.WriteReprint(w, r.RunSheet()) })
}
