package shelfroom

import (
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"slices"
	"strings"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/desk/planroom"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/shelf"
	"foldwright/profiles/publish"
	"foldwright/reorder"
	"foldwright/reorder/lists"
)

// outcome is what has become of a book of a shelf.
type outcome string

const (
	ready   outcome = "ready"
	failed  outcome = "failed"
	waiting outcome = "waiting" // not reached
	removed outcome = "removed" // from the library
)

// warningWords are warnings in the words of the pages. Those of a book that was made before, of which nothing else is
// kept, are the words of its plan.
func (s *room) warningWords(b library.Book, texts []string) []string {
	made, err := plan.ReadBrief(b.Job())
	if err != nil || len(texts) == 0 || !slices.Equal(texts, made.Warnings) {
		return texts
	}
	out := lists.Map(texts, page.Sentence)
	if r, err := b.Resolve(s.Setting()); err == nil && r.Guessed {
		out[0] = s.Say(planroom.Guessed(made.Profile.Name)) // it comes first in a plan
	}
	return out
}

// fate is what has become of a book, as pages tell it.
type fate struct {
	ID, Name string
	State    outcome
	What     string   // ready: pages, sheets, paper, printer, time
	Warnings []string // ready
	Later    string   // ready: what has changed since
	Says     string   // failed: why
	Cure     string   // failed: what helps
	Detail   string   // failed: what a program said that was led astray
	Unusable bool     // failed: its page cannot be shown
	entry    shelf.Entry
}

// entryOf is what a report would say of a book that lies there.
func entryOf(b library.Book) *shelf.Entry {
	p, err := plan.ReadBrief(b.Job())
	if err != nil {
		return nil
	}
	return &shelf.Entry{
		Name: b.ID, State: shelf.Complete, Printer: p.Profile.Name, Paper: p.Paper.Name, Pages: p.Source.AllPages(),
		Sheets: p.Sheets, Warnings: p.Warnings,
	}
}

// fate is what has become of a book by what the shelf says of it, nil: nothing yet.
func (s *room) fate(of library.ShelfBook, e *shelf.Entry) fate {
	b, err := s.Library.Book(of.ID)
	f := fate{ID: of.ID, Name: of.Name, State: waiting}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		f.State = removed
		return f
	case err != nil:
		f.State, f.Says, f.Cure, f.Unusable = failed, s.Sentence(err), s.Hint(err), true
		return f
	}
	_, err = b.Resolve(s.Setting())
	if (e == nil || e.State == shelf.Waiting) && b.IsPrepared() && !b.IsOutdated(s.Setting()) {
		e = entryOf(b) // after the record was written last
	}
	switch {
	case e != nil && (e.State == shelf.Done || e.State == shelf.Complete):
		f.State, f.entry = ready, *e
		f.What = whatOf(*e)
		f.Warnings = s.warningWords(b, e.Warnings)
		if len(e.Kept) > 0 {
			f.Warnings = append(slices.Clone(f.Warnings), page.Sentence(publish.KeptText(e.Kept)))
		}
		switch {
		case !b.IsPrepared():
			f.Later = "Its print files are not there any more."
		case b.IsOutdated(s.Setting()):
			f.Later = "Something else was chosen since, so these print files are of older choices."
		}
	case err != nil:
		f.State, f.Says, f.Cure = failed, s.Sentence(err), s.Hint(err)
	case e != nil && e.State == shelf.Failed:
		f.State, f.Says, f.Cure, f.Detail = failed, page.Sentence(e.Failure.Sentence), s.cure(*e.Failure), e.Failure.Detail
		for _, file := range b.Sources() {
			if _, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) {
				f.Says, f.Cure = "Its PDF is not in its folder any more.", "Remove this book, and take the PDF in once more."
			}
		}
	}
	return f
}

// cure is what helps where a book has failed.
func (s *room) cure(f shelf.Failure) string {
	switch f.Cause {
	case shelf.TooMuchMemory:
		return "Close other programs, then prepare it on its Plan page, where it may take all of the memory."
	case shelf.TooLong:
		return "Prepare it on its Plan page, where it may take as long as it needs."
	case shelf.Killed:
		return "Start the shelf with it again. If that happens once more, memory may have run out: close other programs first."
	case shelf.Crashed:
		return "The other books are not affected. Prepare it on its Plan page; if that fails too, save the PDF anew with the program that made it."
	}
	return s.Say(f.Hint)
}

// whatOf says what a book that is ready is printed on.
func whatOf(e shelf.Entry) string {
	text := fmt.Sprintf("%s on %s of %s", reorder.Count(e.Pages, "page"), reorder.Count(e.Sheets, "sheet"), planroom.PaperWords(e.Paper))
	if e.Tried {
		return text + ", took " + shelf.TookText(e.Seconds)
	}
	return text + ", was ready before"
}

// nameOf is the name of a book of a shelf by its ID.
func nameOf(asked library.Shelf, id string) string {
	for _, b := range asked.Books {
		if b.ID == id {
			return b.Name
		}
	}
	return id
}

// fates are what has become of the books of a shelf, in its order.
func (s *room) fates(asked library.Shelf, r shelf.Report) (out []fate) {
	entries := map[string]*shelf.Entry{}
	for i := range r.Titles {
		entries[r.Titles[i].Name] = &r.Titles[i]
	}
	for _, b := range asked.Books {
		out = append(out, s.fate(b, entries[b.ID]))
	}
	return out
}

// withState is those of some fates that have a state.
func withState(all []fate, state outcome) []fate {
	return slices.DeleteFunc(slices.Clone(all), func(f fate) bool { return f.State != state })
}

// last is the last shelf and its report: that in the memory of the program if there is one, else that on the
// disk. The error wraps [fs.ErrNotExist] if there is none.
func (s *room) last() (library.Shelf, shelf.Report, error) {
	asked, err := s.Library.Shelf()
	if err != nil {
		return asked, shelf.Report{}, err
	}
	if k := s.current(); k != nil && k.IsDone() && k.report.Titles != nil {
		return asked, k.report, nil
	}
	r, err := shelf.Last(s.Library.Dir())
	if errors.Is(err, fs.ErrNotExist) {
		err = nil // it was ended before it wrote one
	}
	return asked, r, err
}

// paperLine is paper to lay ready.
type paperLine struct {
	Sheets, Books  int
	Paper, Printer string
}

// reportBody is the report.
type reportBody struct {
	Began   string
	Figures []string
	Sheets  string
	Failed  []fate
	Papers  []paperLine
	Waiting []fate
	GoOn    bool
	Ready   []fate
	Removed []fate
	// Warnings are those of all books that are ready, each once.
	Warnings []warning
}

// warning is what is said of one book or more.
type warning struct {
	Text  string
	All   bool // it is said of all that are ready, and those are several
	Names string
}

// report shows what has become of the last shelf.
func (s *room) report(w http.ResponseWriter, r *http.Request) error {
	if s.isWorking() {
		return page.Go(w, r, "/shelf/work")
	}
	v := page.View{Title: "Report of the shelf", At: "shelf"}
	asked, last, err := s.last()
	if errors.Is(err, fs.ErrNotExist) {
		v.Notice = "No shelf has been prepared yet."
		return s.Show(w, reportPage, v)
	}
	if err != nil {
		return err
	}
	v.Body = s.tellReport(asked, last)
	return s.Show(w, reportPage, v)
}

func (s *room) tellReport(asked library.Shelf, last shelf.Report) *reportBody {
	all := s.fates(asked, last)
	show := &reportBody{
		Began:  asked.Began.Local().Format("2 January 2006, 15:04"),
		Failed: withState(all, failed), Waiting: withState(all, waiting), Ready: withState(all, ready), Removed: withState(all, removed),
		GoOn: !asked.Ended,
	}
	var on shelf.Report
	for _, f := range show.Ready {
		on.Titles = append(on.Titles, f.entry)
	}
	on = on.OnlyChosen()
	show.Sheets = reorder.Count(on.Sheets(), "sheet")
	show.Figures = []string{reorder.Count(len(all), "book")}
	for _, c := range []struct {
		n    int
		says string
	}{{len(show.Ready), "ready to print"}, {len(show.Failed), "failed"}, {len(show.Waiting), "not reached"}, {len(show.Removed), "removed since"}} {
		if c.n > 0 {
			show.Figures = append(show.Figures, fmt.Sprintf("%d %s", c.n, c.says))
		}
	}
	for _, p := range on.Papers {
		show.Papers = append(show.Papers, paperLine{p.Sheets, p.Titles, planroom.PaperWords(p.Paper), planroom.PrinterWords(p.Printer)})
	}
	show.Warnings = warningsOf(show.Ready)
	return show
}

// warningsOf are the warnings of books, each once, in the order in which they are met.
func warningsOf(books []fate) (out []warning) {
	names := map[string][]string{}
	var texts []string
	for _, f := range books {
		for _, text := range f.Warnings {
			if names[text] == nil {
				texts = append(texts, text)
			}
			if n := names[text]; len(n) == 0 || n[len(n)-1] != f.Name {
				names[text] = append(n, f.Name)
			}
		}
	}
	for _, text := range texts {
		of := names[text]
		out = append(out, warning{text, len(books) > 1 && len(of) == len(books), strings.Join(of, ", ")})
	}
	return out
}
