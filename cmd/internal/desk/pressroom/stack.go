package pressroom

import (
	"context"
	"fmt"
	"net/http"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"foldwright/cmd/internal/desk/asking"
	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/runsheet"
	"foldwright/printer"
	"foldwright/reorder/refusal"
)

// stacked is what the page shows where sheets are clicked in their stack.
type stacked struct {
	Moves   int
	Again   bool // sheets of the book are printed once more; else a pass has stopped
	Pass    string
	File    string
	Backs   bool
	Restart bool // it can only be begun again
	Pile    []sheet
	Stop    *told  // what is done first
	Notes   []told // what it can be, and what is done then
}

// passAt is the run and the pass that is printed at a screen, or was printed last before it.
func passAt(screens []runsheet.Screen, at int, p *part) (run int, pass printer.Pass, ok bool) {
	for i := at; i >= 0 && pass == 0 && screens[i].Anchor == screens[at].Anchor; i-- {
		switch step := screens[i].Step.(type) {
		case runsheet.PrintFile:
			pass = step.Pass
		case runsheet.PrintRemainder:
			pass = step.Pass
		}
	}
	if pass == 0 {
		return 0, 0, false
	}
	if p != nil {
		return p.Run, pass, true
	}
	name, isRun := strings.CutPrefix(screens[at].Anchor, "run-")
	run, err := strconv.Atoi(name)
	return run, pass, isRun && (err == nil || name == trial)
}

// trial ends the anchor of the part that prints one gathering before the others.
const trial = "trial"

// isPartOfFile tells whether only some pages of a print file are printed where the tray holds them
// all: the first gathering, or the rest after it.
func isPartOfFile(screens []runsheet.Screen, at int) bool {
	return slices.ContainsFunc(screens, func(s runsheet.Screen) bool {
		p, isPrint := s.Step.(runsheet.PrintFile)
		return isPrint && s.Anchor == screens[at].Anchor && p.Pages != (runsheet.Pages{}) && p.Portion == ""
	})
}

// sheetsOut is the sheets of a pass in the order in which they come out.
func sheetsOut(made plan.Plan, run int, pass printer.Pass) (sheets []int) {
	for _, s := range printing.Steps(made) {
		if s.Run == run && s.Pass == pass {
			sheets = append(sheets, s.Sheets...)
		}
	}
	return sheets
}

// stopped is where the person stands who says that something went wrong.
type stopped struct {
	job
	walk
	run     int
	pass    printer.Pass
	restart bool
}

// findStop finds where the person of a job stands.
func (s *room) findStop(ctx context.Context, j job) (at stopped, err error) {
	at.job = j
	if j.record.Way != byFiles {
		return at, oldPage
	}
	if at.walk, err = s.walk(ctx, j); err != nil {
		return at, err
	}
	if j.record.at() >= len(at.screens) {
		return at, oldPage
	}
	var ok bool
	if at.run, at.pass, ok = passAt(at.screens, j.record.at(), j.record.Part); !ok {
		return at, oldPage
	}
	at.restart = at.run == 0 || isPartOfFile(at.screens, j.record.at()) || j.record.Part != nil && j.record.Part.Sheets != ""
	return at, nil
}

// askTrouble asks which sheets of a pass are good.
func (s *room) askTrouble(w http.ResponseWriter, r *http.Request, b library.Book) error {
	j, err := s.open(b)
	if err != nil {
		return err
	}
	at, err := s.findStop(r.Context(), j)
	if err != nil {
		return s.showWith(w, r, b, err)
	}
	shown := stacked{Moves: j.record.Moves, Pass: at.pass.String(), Backs: at.pass == printer.BackPass, Restart: at.restart}
	shown.Pile = pile(j.made, sheetsOut(j.made, at.run, at.pass))
	t := tellerFor(b)
	for _, p := range runsheet.Parts(at.walk.job) {
		if p.Anchor != "trouble" {
			continue
		}
		for _, stage := range p.Stages {
			for _, n := range stage.Notes {
				shown.Notes = append(shown.Notes, t.tell(n))
			}
			for i, n := range stage.Steps {
				if one := t.tell(n); i == 0 {
					shown.Stop = &one
				} else {
					shown.Notes = append(shown.Notes, one)
				}
			}
		}
	}
	return s.Show(w, stackPage, page.View{Title: b.Name, Book: &b, At: "print", Body: shown})
}

// goOnAfter makes the files with what is left of a pass, and goes on with their steps.
func (s *room) goOnAfter(w http.ResponseWriter, r *http.Request, b library.Book) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	return s.orShow(w, r, b, s.change(r, b, func(j *job) error {
		if r.PostFormValue("moves") != strconv.Itoa(j.record.Moves) {
			return oldPage
		}
		at, err := s.findStop(r.Context(), *j)
		if err != nil {
			return err
		}
		if at.restart {
			j.record.restart(at.screens)
			return nil
		}
		return s.writeRemainder(r, j, at)
	}))
}

// restart goes back to where the part begins.
func (r *record) restart(screens []runsheet.Screen) {
	now := r.at()
	first := slices.IndexFunc(screens, func(s runsheet.Screen) bool { return s.Anchor == screens[now].Anchor })
	if r.Part != nil {
		r.Part.At = first
	} else {
		r.At = first
	}
}

// writeRemainder makes the remainder after the last good sheet.
func (s *room) writeRemainder(r *http.Request, j *job, at stopped) error {
	out := sheetsOut(j.made, at.run, at.pass)
	last, err := asking.ReadSheets(r.PostForm["last"], out)
	if err != nil {
		return err
	}
	if len(r.PostForm["last"]) == 0 {
		return refusal.Use.New("it was not said which sheet is the last good one").Advise("choose a sheet, or that there is none")
	}
	lost, err := asking.ReadSheets(r.PostForm["lost"], out)
	if err != nil {
		return err
	}
	p := part{Run: at.run, Pass: at.pass, Then: nextRun(at.screens, j.record)}
	good := 0
	if len(last) > 0 {
		p.After, good = last[0], slices.Index(out, last[0])+1
	}
	if old := j.record.Part; old != nil {
		p.Then = old.Then
		before, err := pagesOf(old.Without)
		if err != nil {
			return err
		}
		for _, n := range out {
			if at.pass == printer.BackPass && old.Pass == printer.BackPass && slices.ContainsFunc(before, func(d options.PageRange) bool { return n >= d.First && n <= d.Last }) {
				lost = append(lost, n)
			}
		}
	}
	for _, n := range lost {
		if at.pass != printer.BackPass {
			return refusal.Use.New("a spoiled front is printed again with those that follow it").Advise("choose the last good sheet before it")
		}
		if !slices.Contains(j.record.Lost, n) {
			j.record.Lost = append(j.record.Lost, n)
		}
	}
	slices.Sort(j.record.Lost)
	lost = slices.DeleteFunc(lost, func(n int) bool { return slices.Index(out, n) < good })
	slices.Sort(lost)
	lost = slices.Compact(lost)
	p.Without = plan.Ranges(lost)
	if good+len(lost) >= len(out) {
		if len(lost) > 0 { // the rest of the pass is spoiled
			j.record.spend(p, good)
		}
		return nil // or all of it came out well
	}
	return s.writePart(r.Context(), j, p)
}

// spend goes on with the good sheets of a pass whose others are all spoiled.
func (r *record) spend(p part, good int) {
	r.At, r.Part = p.Then, nil
	if good > 0 {
		p.Spent, p.Folder = true, fmt.Sprintf("run %d", p.Run) // it has no files
		r.Part = &p
	}
}

// nextRun is the screen that follows the part of the screens that is being done.
func nextRun(screens []runsheet.Screen, r record) int {
	now := r.at()
	for i := now; i < len(screens); i++ {
		if screens[i].Anchor != screens[now].Anchor {
			return i
		}
	}
	return len(screens)
}

// writePart writes the files of a part and begins with its steps.
func (s *room) writePart(ctx context.Context, j *job, p part) error {
	err := s.withJob(ctx, *j, func(made output.Job) error {
		var written *output.Part
		if p.Sheets != "" {
			r, err := p.reprint(made)
			if err != nil {
				return err
			}
			written = &r.Part
		} else {
			r, err := p.remainder(made)
			if err != nil {
				return err
			}
			written = &r.Part
		}
		p.Folder, p.Files = written.Folder, written.Files()
		if err := written.Write(ctx, filepath.Join(j.Job(), p.Folder), true); err != nil {
			return err
		}
		return written.TellLog(ctx, j.Job())
	})
	if err != nil {
		return err
	}
	j.record.Part = &p
	s.mutex.Lock()
	clear(s.walks)
	s.mutex.Unlock()
	return nil
}

// askAgain asks which sheets are to be printed once more.
func (s *room) askAgain(w http.ResponseWriter, r *http.Request, b library.Book) error {
	j, err := s.open(b)
	if err != nil {
		return err
	}
	lost := slices.Concat(j.record.Lost, j.journal.Lost())
	shown := stacked{Moves: j.record.Moves, Again: true}
	for _, n := range j.made.SheetNumbers() {
		one := sheet{Number: n}
		if slices.Contains(lost, n) {
			one.Says = "lost"
		}
		shown.Pile = append(shown.Pile, one)
	}
	return s.Show(w, stackPage, page.View{Title: b.Name, Book: &b, At: "print", Body: shown})
}

// printAgain prints sheets once more: on the printer if the job was printed there, else from
// files of their own.
func (s *room) printAgain(w http.ResponseWriter, r *http.Request, b library.Book) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	var onPrinter []int
	var begun job
	err := s.change(r, b, func(j *job) error {
		if r.PostFormValue("moves") != strconv.Itoa(j.record.Moves) || s.press(b.ID) != nil {
			return oldPage
		}
		sheets, err := asking.ReadSheets(r.PostForm["lost"], j.made.SheetNumbers())
		if err != nil {
			return err
		}
		slices.Sort(sheets)
		sheets = slices.Compact(sheets)
		switch {
		case len(sheets) == 0:
			return refusal.Use.New("no sheet was chosen").Advise("choose those that are lost or spoiled")
		case j.record.Part != nil:
			return refusal.Use.New("%s is being printed first", j.record.Part.name()).Advise("go through its steps, then choose the sheets")
		case j.record.Way != byFiles && j.record.To != "":
			if !j.journal.IsDone(j.made) {
				return refusal.Use.New("not all sheets have been printed a first time yet").Advise("print the rest first; what is lost meanwhile is printed at the end")
			}
			onPrinter, begun = sheets, *j
			return nil
		case j.record.Way == undecided:
			return refusal.Use.New("nothing of this job has been printed yet")
		}
		made, err := s.walk(r.Context(), *j)
		if err != nil {
			return err
		}
		if at := j.record.At; at < len(made.screens) && made.screens[at].Anchor != runsheet.MakeAnchor {
			j.record.Lost = slices.Compact(slices.Sorted(slices.Values(append(j.record.Lost, sheets...))))
			return nil // when the stack is complete
		}
		return s.writePart(r.Context(), j, part{Sheets: plan.Ranges(sheets), Then: j.record.At})
	})
	if err == nil && len(onPrinter) > 0 {
		s.start(begun, onPrinter)
	}
	return s.orShow(w, r, b, err)
}
