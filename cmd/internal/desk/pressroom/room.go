// Package pressroom is where a prepared book is printed, one step a screen: by the engine
// of "print" on a printer that answers, or from files that the person prints; then where its
// gatherings are made.
//
// room.go decides what the Print page shows; begin.go how it is printed; press.go prints on a printer and
// shows what its engine asks; walk.go goes through the steps of the run sheet; stack.go asks which sheets are
// good, in the picture of their stack; record.go is what a job's folder keeps of all this.
package pressroom

import (
	_ "embed"
	"errors"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"foldwright/cmd/internal/desk/asking"
	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/printing"
	"foldwright/reorder/refusal"
)

var (
	//go:embed print.html
	printHTML string
	//go:embed press.html
	pressHTML string
	//go:embed walk.html
	walkHTML string
	//go:embed stack.html
	stackHTML string
	//go:embed press.css
	style string
)

var (
	printPage = page.Parse(printHTML)
	pressPage = page.Parse(pressHTML + asking.Template)
	walkPage  = page.Parse(walkHTML)
	stackPage = page.Parse(stackHTML)
)

type room struct {
	*page.Desk
	every time.Duration // how often a printer is asked how far it is

	mutex   sync.Mutex
	presses map[string]*press // by the IDs of books
	walks   map[string]walk
	writing sync.Mutex // held while a record is read, changed and written
}

// Add registers the screen.
func Add(d *page.Desk) { add(d) }

func add(d *page.Desk) *room {
	s := &room{Desk: d, every: time.Second, presses: map[string]*press{}, walks: map[string]walk{}}
	d.Style(style)
	d.Guard(s.inUse)
	const at = "/books/{book}/print"
	for route, do := range map[string]func(http.ResponseWriter, *http.Request, library.Book) error{
		"GET " + at: s.show, "GET " + at + "/run-sheet": s.sendRunSheet, "GET " + at + "/find": s.find,
		"POST " + at + "/begin": s.begin, "POST " + at + "/another-way": s.handleAnotherWay,
		"POST " + at + "/answer": s.answer, "POST " + at + "/stop": s.stop, "POST " + at + "/closed": s.closePress,
		"POST " + at + "/step": s.step, "GET " + at + "/parts/{file}": s.sendPartFile,
		"GET " + at + "/trouble": s.askTrouble, "POST " + at + "/trouble": s.goOnAfter,
		"GET " + at + "/again": s.askAgain, "POST " + at + "/again": s.printAgain,
	} {
		d.HandleBook(route, do)
	}
	return s
}

// inUse tells that a book is being printed on a printer just now.
func (s *room) inUse(b library.Book) error {
	if s.press(b.ID) == nil {
		return nil
	}
	return refusal.Output.New("“%s” is being printed just now", b.Name).Advise("end the printing on its Print page first")
}

// HasBegun tells whether the printing of a book has begun and has not come to its end, so that its print files
// are better not replaced.
func HasBegun(b library.Book) bool {
	r, err := readRecord(b.Job())
	if err == nil && r.Way != undecided && r.Way != byPrinter {
		return r.Way == byFiles && r.Moves > 1
	}
	j, err := printing.Read(b.Job())
	if err != nil || !j.HasBegun() {
		return false
	}
	made, err := plan.Read(b.Job())
	return err == nil && !j.IsDone(made)
}

func at(b library.Book) string { return "/books/" + b.ID + "/print" }

// job is a prepared book with what is known of its printing.
type job struct {
	library.Book
	made    plan.Plan
	record  record
	journal *printing.Journal
}

// open reads what there is of a prepared book.
func (s *room) open(b library.Book) (j job, err error) {
	j.Book = b
	if !b.IsPrepared() {
		return j, refusal.Plan.New("the print files of this book have not been prepared yet").Advise("prepare them on its Plan page")
	}
	if j.made, err = plan.Read(b.Job()); err != nil {
		return j, err
	}
	if j.record, err = readRecord(b.Job()); err != nil {
		return j, err
	}
	j.journal, err = printing.Read(b.Job())
	return j, err
}

// change changes the record of a book, one request after the other.
func (s *room) change(r *http.Request, b library.Book, do func(*job) error) error {
	s.writing.Lock()
	defer s.writing.Unlock()
	j, err := s.open(b)
	if err != nil {
		return err
	}
	if err := do(&j); err != nil {
		return err
	}
	j.record.Moves++
	return j.record.write(r.Context(), b.Job())
}

// show is the Print page, as far as the book is.
func (s *room) show(w http.ResponseWriter, r *http.Request, b library.Book) error {
	return s.showWith(w, r, b, nil)
}

// showWith shows the page, and above it what went wrong.
func (s *room) showWith(w http.ResponseWriter, r *http.Request, b library.Book, wrong error) error {
	v := page.View{Title: b.Name, Book: &b, At: "print"}
	if wrong != nil {
		s.Notify(&v, wrong)
		w = &statusWriter{w, page.StatusOf(wrong)}
	}
	if p := s.press(b.ID); p != nil {
		return s.showPress(w, b, p, v)
	}
	if !b.IsPrepared() {
		v.Body = beginning{}
		return s.Show(w, printPage, v)
	}
	j, err := s.open(b)
	if err != nil {
		return err
	}
	if j.record.Way == byFiles || j.record.Way == making {
		return s.showWalk(w, r, j, v)
	}
	return s.showBeginning(w, j, nil, v)
}

// statusWriter writes a page with another status than usual.
type statusWriter struct {
	http.ResponseWriter
	status int
}

func (w *statusWriter) WriteHeader(int) { w.ResponseWriter.WriteHeader(w.status) }

// oldPage is what is told to an answer to a page that is no longer so.
var oldPage = refusal.Output.New("that was a page from before: somebody has gone on meanwhile, perhaps in another window").Advise("this page shows where it is now")

// orShow shows the page as it is now with what went wrong, or goes to it.
func (s *room) orShow(w http.ResponseWriter, r *http.Request, b library.Book, err error) error {
	if err != nil {
		return s.showWith(w, r, b, err)
	}
	return page.Go(w, r, at(b))
}

// sendRunSheet is the run sheet as it was written, in a policy of its own: it holds its style, and
// nothing on it may run.
func (s *room) sendRunSheet(w http.ResponseWriter, r *http.Request, b library.Book) error {
	text, err := os.ReadFile(filepath.Join(b.Job(), output.RunSheetFile))
	if errors.Is(err, fs.ErrNotExist) {
		return refusal.Source.New("the run sheet is not there").Advise("prepare the print files again")
	}
	if err != nil {
		return err
	}
	w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox")
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	_, err = w.Write(text)
	return err
}

// printFiles is the names of a job's print files.
func printFiles(p plan.Plan) (names []string) {
	for _, f := range p.Files {
		if strings.HasSuffix(f.Name, ".pdf") {
			names = append(names, f.Name)
		}
	}
	return names
}
