package output

import (
	"fmt"
	"io"
	"slices"

	"foldwright/cmd/internal/joblog"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Choice is which sheets of a job are printed once more: by their numbers in
// the book, by the source pages on them, or by their gatherings.
type Choice struct {
	Sheets, Pages, Gatherings options.Pages
	Copies                    options.Pages // only those of these copies; empty: of all
	Backs                     bool          // only their backs, on good fronts
}

// Reprint is sheets of a job that are printed once more, each side as it was.
type Reprint struct {
	Part
	backs bool        // only they are printed
	told  []plan.Pass // what is done with the sheets: a front without a name is printed already
	guide string      // the name of the file that shows how the fronts lie
}

// Reprint plans to print the chosen sheets once more. It refuses sheets that the job does not
// have and backs that cannot be printed by themselves.
func (d Job) Reprint(c Choice) (*Reprint, error) {
	places, err := d.choose(c)
	if err != nil {
		return nil, err
	}
	numbers := lists.Map(places, d.number)
	r := &Reprint{Part: Part{job: d, kind: "reprint", Numbers: plan.Ranges(numbers), numbers: numbers, Sheets: len(places), places: places}}
	r.Folder, r.title = "reprint-"+r.Numbers, "sheet "+r.Numbers+" once more"
	r.tell = func(w io.Writer) error { return runsheet.WriteReprint(w, r.RunSheet()) }
	for _, f := range d.Profile.Files(len(places), d.Book.Form.IsTwoSided()) {
		r.told = append(r.told, plan.PassOf(fmt.Sprintf("sheet-%s-%s.pdf", r.Numbers, f.Pass), f))
	}
	r.files = r.told
	r.logged = joblog.Line{What: joblog.Reprint}.With("sheets", len(places)).With("numbers", r.Numbers)
	if !c.Backs {
		return r, nil
	}
	if err := d.checkBacks(r.told, len(places)); err != nil {
		return nil, err
	}
	lie := printer.Deliver(d.Profile.Facts, printer.FrontPass, d.Profile.ImagesOut(r.told[0].File()))
	guide := plan.Pass{Name: "guide-front.pdf", Pass: printer.FrontPass, Images: lie.Sheets[:1]} // the front on top
	r.Folder += "-back"
	r.files = []plan.Pass{guide, r.told[1]}
	r.logged = r.logged.With("side", "back")
	r.told[0].Name, r.backs, r.guide = "", true, guide.Name
	return r, nil
}

// checkBacks refuses to print the backs of so many sheets by themselves where that cannot be done.
func (d Job) checkBacks(files []plan.Pass, sheets int) error {
	switch {
	case d.Profile.TwoSided == printer.Automatic:
		return refusal.Use.New("this printer prints both sides in one pass, so a back cannot be printed alone").Advise("leave out %s to print the whole sheet again", phrase.Set("side"))
	case len(files) < 2:
		return refusal.Use.New("the backs of this book stay blank").Advise("leave out %s", phrase.Set("side"))
	case !d.HasNames() && sheets > 1:
		return refusal.Use.New("without names on the sheets backs are printed again one at a time").Advise("choose one %s", phrase.Set("sheet"))
	}
	return nil
}

// choose finds the chosen sheets and refuses what chooses none.
func (d Job) choose(c Choice) ([]place, error) {
	asked := []struct {
		key    string
		ranges options.Pages
		has    func(s reorder.Sheet, n int) bool
	}{
		{"sheet", c.Sheets, func(s reorder.Sheet, n int) bool { return s.Number == n }},
		{"page", c.Pages, d.hasPage},
		{"gathering", c.Gatherings, func(s reorder.Sheet, n int) bool {
			return slices.ContainsFunc(s.Pieces, func(p reorder.Piece) bool { return p.Gathering == n })
		}},
	}
	copies, err := d.chooseCopies(c.Copies)
	if err != nil {
		return nil, err
	}
	var all []place // sheets of these copies
	for _, run := range d.Runs {
		for i := range run.Sheets {
			if p := (place{run, i + 1}); copies == nil || slices.Contains(copies, d.CopyOf(d.number(p))) {
				all = append(all, p)
			}
		}
	}
	chosen := map[int]bool{} // by their places among all
	for _, a := range asked {
		for _, r := range a.ranges {
			if r.Last == 0 {
				return nil, refusal.Plan.New("%s has no end", phrase.Set(a.key, a.ranges))
			}
			for n := r.First; n <= r.Last; n++ {
				found := false
				for i, p := range all {
					if a.has(d.Sheet(p.run, p.inRun).Sheet, n) {
						chosen[i], found = true, true
					}
				}
				if !found {
					return nil, d.refuseNumber(a.key, n)
				}
			}
		}
	}
	var out []place
	for i, p := range all {
		if chosen[i] {
			out = append(out, p)
		}
	}
	return out, nil
}

// chooseCopies is which copies are named; nil: none are.
func (d Job) chooseCopies(named options.Pages) (copies []int, err error) {
	n := d.Options.HowOften()
	for _, r := range named {
		if r.Last == 0 {
			r.Last = n
		}
		if r.First > n || r.Last > n {
			return nil, refusal.Plan.New("%s: the job has copies 1 to %d", phrase.Set("copy", named), n)
		}
		for i := r.First; i <= r.Last; i++ {
			copies = append(copies, i)
		}
	}
	return copies, nil
}

func (d Job) refuseNumber(key string, n int) error {
	end := d.Runs[len(d.Runs)-1]
	first, last := d.number(place{d.Runs[0], 1}), d.number(place{end, end.Sheets})
	return refusal.Plan.New("%s: none of the sheets %d to %d of this job has it", phrase.Set(key, n), first, last)
}

// hasPage tells whether a source page stands on a sheet.
func (d Job) hasPage(s reorder.Sheet, page int) bool {
	return slices.ContainsFunc(slices.Concat(s.Side(reorder.Front), s.Side(reorder.Back)), func(p reorder.Panel) bool {
		return p.Page > 0 && d.SourcePage(p.Page) == page
	})
}

// RunSheet is what the person is told.
func (r *Reprint) RunSheet() runsheet.Reprint {
	d, first := r.job, r.places[0]
	run := runsheet.Run{Number: 1, Sheets: len(r.places), Top: d.faces(first.run, first.inRun)}
	for _, f := range r.told {
		one, other := d.ends(f)
		run.Files = append(run.Files, runsheet.File{Name: f.Name, Pass: f.Pass, FirstOut: r.shown(one), LastOut: r.shown(other)})
	}
	out := runsheet.Reprint{Job: d.RunSheet(), Numbers: r.Numbers, OnFronts: r.backs, Guide: r.guide, Alone: len(r.places) == d.SheetsPrinted()}
	out.CheckSheet, out.Trial, out.Runs = runsheet.CheckSheet{}, nil, []runsheet.Run{run}
	return out
}

// shown is what is to be read on an image of the reprint.
func (r *Reprint) shown(i printer.Image) string {
	at := r.places[i.Sheet-1]
	i.Sheet = at.inRun
	return r.job.shown(at.run, i)
}
