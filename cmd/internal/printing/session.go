package printing

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"foldwright/cmd/internal/ipp"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/progress"
	"foldwright/cmd/internal/render"
	"foldwright/printer"
	"foldwright/profiles/lock"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// Person stands at the printer.
type Person interface {
	// Tell says something that needs no answer.
	Tell(text string)
	// Confirm asks a question whose answer is yes or no.
	Confirm(ctx context.Context, question string) (bool, error)
	// Sheets asks for numbers of sheets, each one of those given; none is an answer too.
	Sheets(ctx context.Context, question string, among []int) ([]int, error)
}

// Session prints one job on one printer.
type Session struct {
	Folder   string
	Plan     plan.Plan
	Printer  *ipp.Printer
	Says     ipp.Description
	Person   Person
	Bar      progress.Reporter
	Renderer *render.Renderer // for printers that take no PDF
	Every    time.Duration    // how often a printer is asked how far it is
	// Source, Type and Bin are the tray, the kind of paper and the delivery; empty: as the
	// printer likes.
	Source, Type, Bin string

	// Checked is told that the person has found the check sheet right; Show shows the page of
	// the run sheet where the stack is put back for the backs of a run. Both may be nil.
	Checked func() error
	Show    func(run int)
	// Loads is told what the person is about to lay into the tray: what is left of a whole step.
	// It may be nil.
	Loads func(left, whole Step)
	Ways  Ways

	journal *Journal
	paper   reorder.Paper
	resumed bool // it was stopped before, and nothing has been sent since
}

// Ways are how a person stops printing and goes on with it.
type Ways struct{ Stop, GoOn string }

// inTerminal is how it is done at a command line, and what the zero value stands for.
var inTerminal = Ways{Stop: "Ctrl-C stops", GoOn: "the same command"}

// ReadyQuestion is asked when the person has been told what to lay into the tray.
const ReadyQuestion = "Shall it be printed?"

// NothingMeans begins the last sentence of a question for sheets, which is for people who type.
const NothingMeans = " Nothing: "

// LastGoodQuestion begins the question for the last good sheet: one, or none.
const LastGoodQuestion = "Which is the last good sheet that came out?"

func (s *Session) ways() Ways {
	if s.Ways == (Ways{}) {
		return inTerminal
	}
	return s.Ways
}

// Print prints what is left of the job: the check sheet unless it was found right before
// or checked is true, then run after run. Nothing is sent before the printer is known to
// print it as planned.
func (s *Session) Print(ctx context.Context, checked bool) error {
	return s.hold(ctx, func() error {
		if err := s.checkSheet(ctx, checked); err != nil {
			return err
		}
		for _, step := range Steps(s.Plan) {
			for {
				left := s.journal.left(step)
				if len(left.Sheets) == 0 {
					break
				}
				if err := s.do(ctx, left, step, false); err != nil {
					return err
				}
			}
		}
		return nil
	})
}

// PrintSheets prints sheets of the book once more, by their numbers, one after the other.
func (s *Session) PrintSheets(ctx context.Context, sheets []int) error {
	return s.hold(ctx, func() error {
		for _, n := range sheets {
			for _, step := range stepsOf(n, Steps(s.Plan)) {
				for done := false; !done; {
					if err := s.do(ctx, step, step, true); err != nil {
						return err
					}
					last := s.journal.Sent[len(s.journal.Sent)-1]
					done = last.Good == len(last.Sheets)
				}
			}
		}
		return nil
	})
}

// Lost is the sheets that are to be printed again once the job is done.
func (s *Session) Lost() []int { return s.journal.Lost() }

// hold does something with the job while nobody else prints it, and after what was left
// open has been asked.
func (s *Session) hold(ctx context.Context, work func() error) error {
	held, err := lock.Acquire(filepath.Join(s.Folder, plan.PrintingLock))
	if errors.Is(err, lock.ErrHeld) {
		return refusal.Output.New("%s is being printed by another foldwright at this moment", s.Folder).Advise("wait until it is done")
	}
	if err != nil {
		return err
	}
	defer held.Release()
	if err := s.prepare(ctx); err != nil {
		return err
	}
	return work()
}

func (s *Session) prepare(ctx context.Context) error {
	s.paper = s.Plan.Paper.Paper
	for _, step := range Steps(s.Plan) {
		if err := s.ticket(step).Check(s.Says); err != nil {
			return err
		}
	}
	if err := s.checkFiles(); err != nil {
		return err
	}
	sum, err := plan.FileSHA256(filepath.Join(s.Folder, plan.File))
	if err != nil {
		return err
	}
	// What the journal of an earlier plan knows is written down before that journal goes.
	if before, err := readJournal(s.Folder); err != nil {
		return err
	} else if before != nil {
		if err := before.tellLog(ctx); err != nil {
			return err
		}
	}
	if s.journal, err = openJournal(s.Folder, sum); err != nil {
		return err
	}
	s.resumed = len(s.journal.Sent) > 0
	open := s.journal.open()
	if open == nil {
		return nil
	}
	s.Person.Tell(fmt.Sprintf("Last time it ended while %s was being printed.", open.name()))
	return s.askWhatCameOut(ctx, *open, false)
}

// checkFiles refuses print files that are not those of the plan.
func (s *Session) checkFiles() error {
	for _, e := range s.Plan.Files {
		if filepath.Ext(e.Name) != ".pdf" {
			continue
		}
		sum, err := plan.FileSHA256(filepath.Join(s.Folder, e.Name))
		if err != nil {
			return err
		}
		if sum != e.SHA256 {
			return refusal.Plan.New("%s is not the file that was prepared", filepath.Join(s.Folder, e.Name)).Advise("prepare the book again")
		}
	}
	return nil
}

func (s *Session) ticket(step Step) ipp.Ticket {
	name := step.Name()
	if s.Plan.Source.File != "" {
		name = s.Plan.Source.File + ", " + name
	}
	return ipp.Ticket{Name: name, Paper: s.paper, Sides: sidesOf(step.Pass), Source: s.Source, Type: s.Type, Bin: s.Bin}
}

// sidesOf is what a pass is asked for. Backs are drawn for the long edge.
func sidesOf(pass printer.Pass) ipp.Sides {
	if pass == printer.BothPass {
		return ipp.LongEdge
	}
	return ipp.OneSided
}

// awaitReady waits until the person has done what was told.
func (s *Session) awaitReady(ctx context.Context) error {
	yes, err := s.Person.Confirm(ctx, ReadyQuestion)
	if err == nil && !yes {
		err = refusal.Interrupted.New("stopped before anything of this step was printed").Advise("%s goes on from here", s.ways().GoOn)
	}
	return err
}

// do has the tray loaded, sends a step, and asks what came out.
func (s *Session) do(ctx context.Context, left, whole Step, again bool) error {
	text := s.loadText(left, whole, again)
	if s.resumed && left.Pass == printer.BackPass {
		text += " If you had done that before it stopped, leave it as it is."
	}
	s.resumed = false
	s.Person.Tell(text)
	s.tellLoads(left, whole)
	if s.Show != nil && left.Pass == printer.BackPass {
		s.Show(left.Run)
	}
	if err := s.awaitReady(ctx); err != nil {
		return err
	}
	job, err := s.create(ctx, left)
	if err != nil {
		return err
	}
	if err := s.journal.begin(ctx, left, again); err != nil {
		return err
	}
	end, err := s.transfer(ctx, left, job)
	if err != nil {
		return err
	}
	return s.askWhatCameOut(ctx, *s.journal.open(), end.IsDone())
}

func (s *Session) tellLoads(left, whole Step) {
	if s.Loads != nil {
		s.Loads(left, whole)
	}
}

// send prints a step that no journal needs to know of, once the person has done what was told.
func (s *Session) send(ctx context.Context, step Step) error {
	if err := s.awaitReady(ctx); err != nil {
		return err
	}
	job, err := s.create(ctx, step)
	if err == nil {
		_, err = s.transfer(ctx, step, job)
	}
	return err
}

func (s *Session) create(ctx context.Context, step Step) (ipp.Job, error) {
	told := ""
	return s.Printer.Create(ctx, s.ticket(step), s.Says, func(state ipp.State) {
		words := "The printer is busy; waiting."
		if w := state.Words(); len(w) > 0 {
			words = "The printer is busy: " + strings.Join(w, "; ") + ". Waiting."
		}
		if words != told {
			told = words
			s.Person.Tell(words)
		}
	})
}

// transfer sends the document of a job and watches it to its end. Whoever stops it stops
// the printer too.
func (s *Session) transfer(ctx context.Context, step Step, job ipp.Job) (end ipp.Progress, err error) {
	defer func() {
		if err != nil && ctx.Err() != nil {
			s.stop(ctx, job)
			err = refusal.Interrupted.New("stopped while %s was being printed", step.Name()).Advise("%s asks what came out, and goes on", s.ways().GoOn)
		}
	}()
	format, err := s.Says.Format()
	if err != nil {
		return end, err
	}
	document, err := s.document(ctx, step, format)
	if err != nil {
		return end, errors.Join(err, s.Printer.Cancel(ctx, job))
	}
	defer document.Close()
	s.Bar.Start(step.Name(), len(step.Sheets))
	defer s.Bar.End()
	if err := s.Printer.Send(ctx, job, format, document); err != nil {
		if _, silent := errors.AsType[*ipp.SilentError](err); !silent || ctx.Err() != nil {
			return end, err
		}
		// It may have read all of the document, or nothing: the person sees what came out.
		s.Person.Tell(fmt.Sprintf("The printer no longer answers: %v.", err))
		return ipp.Progress{Ended: true, Failed: true}, nil
	}
	return s.watch(ctx, step, job)
}

// stop tells the printer that no more of a job is wanted.
func (s *Session) stop(ctx context.Context, job ipp.Job) {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	_ = s.Printer.Cancel(ctx, job) // if it cannot be told, it prints on, and the person sees it
}

func (s *Session) watch(ctx context.Context, step Step, job ipp.Job) (ipp.Progress, error) {
	counted, told := 0, ""
	tell := func(text string) {
		if text != told && text != "" {
			s.Person.Tell(text)
		}
		told = text
	}
	return s.Printer.Watch(ctx, job, s.Every, func(now ipp.Progress) {
		sheets := now.Sheets
		if sheets == 0 {
			sheets = now.Sides / step.pagesPerSheet
		}
		if sheets = min(sheets, len(step.Sheets)); sheets > counted {
			s.Bar.Step(sheets - counted)
			counted = sheets
		}
		if words := now.Printer.Words(); len(words) > 0 {
			tell("The printer says: " + strings.Join(words, "; ") + ".")
		} else {
			tell("")
		}
	}, func(since time.Duration) {
		if since > 10*time.Second {
			tell(fmt.Sprintf("The printer doesn't answer. Is it switched on? Waiting; %s.", s.ways().Stop))
		}
	})
}

// askWhatCameOut asks the person, who alone knows it, and writes the answer down. done
// tells whether the printer says that all came out.
func (s *Session) askWhatCameOut(ctx context.Context, e Entry, done bool) error {
	if done {
		all, err := s.Person.Confirm(ctx, allGoodQuestion(e.Sheets))
		if err != nil {
			return err
		}
		if all {
			return s.journal.answer(ctx, len(e.Sheets), nil)
		}
	}
	last, err := s.Person.Sheets(ctx, fmt.Sprintf(LastGoodQuestion+" They come out in the order %s."+NothingMeans+"no good sheet.", shortList(e.Sheets)), e.Sheets)
	if err != nil {
		return err
	}
	good := 0
	if len(last) > 0 {
		good = slices.Index(e.Sheets, last[len(last)-1]) + 1
	}
	var lost []int
	if e.Pass == printer.BackPass && good < len(e.Sheets) {
		if lost, err = s.Person.Sheets(ctx, "Which sheets after it are spoiled? Their fronts are gone too, so they are printed again at the end."+NothingMeans+"none.", e.Sheets[good:]); err != nil {
			return err
		}
	}
	return s.journal.answer(ctx, good, lost)
}

// shortList is sheets as a person reads them.
func shortList(sheets []int) string {
	var words []string
	for i, n := range sheets {
		if len(sheets) > 6 && i == 3 {
			words = append(words, "...")
		}
		if len(sheets) <= 6 || i < 3 || i == len(sheets)-1 {
			words = append(words, fmt.Sprint(n))
		}
	}
	return strings.Join(words, ", ")
}
