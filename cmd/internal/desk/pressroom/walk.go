package pressroom

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strconv"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/reorder/refusal"
)

// walk is the screens of a book, and what they were made from.
type walk struct {
	job     runsheet.Job
	screens []runsheet.Screen
}

// walk is the screens that a job's record stands on. They are made again from the PDF, once for
// each plan and way.
func (s *room) walk(ctx context.Context, j job) (walk, error) {
	key := fmt.Sprint(j.record.Plan, j.record.Way, j.record.NoCheck, j.ID)
	if p := j.record.Part; p != nil {
		key += p.Folder
	}
	s.mutex.Lock()
	known, ok := s.walks[key]
	s.mutex.Unlock()
	if ok {
		return known, nil
	}
	var w walk
	err := s.withJob(ctx, j, func(made output.Job) (err error) {
		w.job = made.RunSheet()
		w.screens, err = screensOf(j.record, made, w.job)
		return err
	})
	if err != nil {
		return walk{}, err
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if len(s.walks) >= mostWalks {
		clear(s.walks)
	}
	s.walks[key] = w
	return w, nil
}

// mostWalks is how many are kept ready.
const mostWalks = 20

func screensOf(r record, made output.Job, job runsheet.Job) ([]runsheet.Screen, error) {
	if r.Part != nil {
		if r.Part.Sheets != "" {
			again, err := r.Part.reprint(made)
			if err != nil {
				return nil, err
			}
			return runsheet.ScreensOf(runsheet.ReprintParts(again.RunSheet())), nil
		}
		if r.Part.Spent {
			return takeOut(job, r.Part.Run), nil
		}
		left, err := r.Part.remainder(made)
		if err != nil {
			return nil, err
		}
		screens := runsheet.ScreensOf(runsheet.RemainderParts(left.RunSheet()))
		return slices.DeleteFunc(screens, func(s runsheet.Screen) bool { return s.Anchor == runsheet.LostAnchor }), nil // asked for before the gatherings are made
	}
	if r.Way == making {
		job.Trial = nil // all was printed by the engine
	}
	all := runsheet.Screens(job, !r.NoCheck)
	if r.Way == making {
		all = slices.DeleteFunc(all, func(s runsheet.Screen) bool {
			return s.Anchor != runsheet.MakeAnchor && s.Stage != runsheet.FinishHeading
		})
	}
	return all, nil
}

// takeOut is the steps that make the finished stack of what is good of a run. Which sheets lie at its
// ends is not said: they may be among those that are lost.
func takeOut(job runsheet.Job, run int) []runsheet.Screen {
	return slices.DeleteFunc(runsheet.Screens(job, false), func(s runsheet.Screen) bool {
		_, looks := s.Step.(runsheet.LookAt)
		return looks || s.Anchor != fmt.Sprintf("run-%d", run) || s.Stage != runsheet.FinishHeading
	})
}

// withJob plans a job once more, from its plan and the PDF.
func (s *room) withJob(ctx context.Context, j job, use func(output.Job) error) (err error) {
	defer s.Hold()()
	source, err := s.OpenSource(ctx, j.Book)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, source.Close()) }()
	draft, err := plan.Redraft(ctx, j.Job(), j.made, source, s.Version)
	if err != nil {
		return err
	}
	return use(output.Job{Draft: draft, Style: s.Words})
}

func pagesOf(text string) (p options.Pages, err error) {
	if text != "" {
		err = p.UnmarshalText([]byte(text))
	}
	return p, err
}

func (p part) reprint(made output.Job) (*output.Reprint, error) {
	sheets, err := pagesOf(p.Sheets)
	if err != nil {
		return nil, err
	}
	return made.Reprint(output.Choice{Sheets: sheets})
}

func (p part) remainder(made output.Job) (*output.Remainder, error) {
	without, err := pagesOf(p.Without)
	if err != nil {
		return nil, err
	}
	stop := output.Stop{After: p.After, Pass: p.Pass, Without: without}
	if p.After == 0 {
		stop.Run = p.Run
	}
	return made.Remainder(stop)
}

func (s *room) showWalk(w http.ResponseWriter, r *http.Request, j job, v page.View) error {
	rec := j.record
	shown := stepped{Way: rec.Way, Moves: rec.Moves}
	made, err := s.walk(r.Context(), j)
	if err != nil {
		shown.Unmade = true
		s.Notify(&v, err)
		for _, name := range printFiles(j.made) {
			shown.Save = append(shown.Save, saved{name, "/books/" + j.ID + "/files/" + url.PathEscape(name)})
		}
		v.Body = shown
		return s.Show(w, walkPage, v)
	}
	at := rec.at()
	shown.At, shown.Of, shown.First = min(at+1, len(made.screens)), len(made.screens), at == 0
	if rec.Part != nil {
		shown.InPart = rec.Part.name()
	}
	if at >= len(made.screens) {
		shown.Done = true
		v.Body = shown
		return s.Show(w, walkPage, v)
	}
	one := made.screens[at]
	t := tellerFor(j.Book)
	shown.Part, shown.Stage = one.Part, one.Stage
	if rec.Part == nil && one.Anchor == runsheet.MakeAnchor && len(rec.Lost) > 0 {
		shown.Lost = plan.Ranges(rec.Lost)
	}
	for _, n := range one.Notes {
		shown.Notes = append(shown.Notes, t.tell(n))
	}
	for _, d := range one.Drawers {
		shown.Drawers = append(shown.Drawers, t.drawer(d))
	}
	if one.Step != nil {
		step := t.tell(one.Step)
		shown.Step = &step
		shown.Save = s.files(j, one.Step)
	}
	if len(shown.Save) > 0 {
		shown.Settings = t.settings(made.job)
	}
	_, _, shown.Trouble = passAt(made.screens, at, rec.Part)
	v.Body = shown
	return s.Show(w, walkPage, v)
}

// at is the screen of what is being printed.
func (r record) at() int {
	if r.Part != nil {
		return r.Part.At
	}
	return r.At
}

func (p part) name() string {
	if p.Sheets != "" {
		return "Sheets " + p.Sheets + " once more"
	}
	if p.Spent {
		return "The good sheets"
	}
	if p.After == 0 {
		return fmt.Sprintf("Run %d, %s, once more from its first sheet", p.Run, p.Pass)
	}
	return fmt.Sprintf("What follows sheet %d", p.After)
}

// files are the print files that a step prints.
func (s *room) files(j job, step runsheet.Step) (out []saved) {
	var names []string
	switch step := step.(type) {
	case runsheet.PrintFile:
		names = []string{step.File}
	case runsheet.PrintRemainder:
		names = []string{step.File}
	}
	for _, name := range names {
		from := "/books/" + j.ID + "/files/"
		if p := j.record.Part; p != nil && slices.Contains(p.Files, name) {
			from = at(j.Book) + "/parts/"
		}
		out = append(out, saved{name, from + url.PathEscape(name)})
	}
	return out
}

// step goes on to the next screen, or back to the one before.
func (s *room) step(w http.ResponseWriter, r *http.Request, b library.Book) error {
	moves, err := strconv.Atoi(r.PostFormValue("moves"))
	back := r.PostFormValue("to") == "back"
	if err != nil {
		return s.showWith(w, r, b, oldPage)
	}
	return s.orShow(w, r, b, s.change(r, b, func(j *job) error {
		if j.record.Moves != moves || j.record.Way != byFiles && j.record.Way != making || s.press(b.ID) != nil {
			return oldPage
		}
		made, err := s.walk(r.Context(), *j)
		if err != nil {
			return err
		}
		if back {
			j.record.goBack()
			return nil
		}
		if err := s.noteCheck(*j, made.screens); err != nil {
			return err
		}
		return j.record.next(len(made.screens))
	}))
}

// noteCheck writes down that the check sheet was found right, once its last screen is left.
func (s *room) noteCheck(j job, screens []runsheet.Screen) error {
	at := j.record.at()
	isCheck := func(i int) bool { return i < len(screens) && screens[i].Anchor == runsheet.CheckAnchor }
	if j.record.Part != nil || !isCheck(at) || isCheck(at+1) {
		return nil
	}
	return s.Profiles.SetChecked(j.made.Profile, j.made.Paper.Name)
}

// next goes on; after the last screen of a part it is the job's turn again.
func (r *record) next(screens int) error {
	p := r.Part
	switch {
	case p == nil && r.At >= screens:
		return oldPage
	case p == nil:
		r.At++
		return nil
	}
	if p.At++; p.At < screens {
		return nil
	}
	if p.Sheets != "" {
		done, err := pagesOf(p.Sheets)
		if err != nil {
			return err
		}
		r.Lost = slices.DeleteFunc(r.Lost, func(n int) bool {
			return slices.ContainsFunc(done, func(d options.PageRange) bool { return n >= d.First && n <= d.Last })
		})
	}
	r.At, r.Part = p.Then, nil
	return nil
}

func (r *record) goBack() {
	if r.Part != nil {
		r.Part.At = max(0, r.Part.At-1)
		return
	}
	r.At = max(0, r.At-1)
}

// sendPartFile sends a print file of the part that is being printed.
func (s *room) sendPartFile(w http.ResponseWriter, r *http.Request, b library.Book) error {
	j, err := s.open(b)
	if err != nil {
		return err
	}
	p, name := j.record.Part, r.PathValue("file")
	if p == nil || !slices.Contains(p.Files, name) {
		return refusal.Source.New("there is no such file among those that are printed now")
	}
	return page.Send(w, r, filepath.Join(b.Job(), p.Folder), name)
}
