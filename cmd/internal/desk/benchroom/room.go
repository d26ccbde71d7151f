// Package benchroom is the bench: what a binder measures of a prepared book, the figures that follow, the cover
// drawn to scale, bench sheet and piercing guide, and the order of work.
//
// boxes.go is what can be measured and how it is read, figures.go what follows from it, room.go the routes. The
// figures are those of package measure. What was typed is kept in the book's folder at every change, also what is
// refused: nothing has to be typed twice.
package benchroom

import (
	_ "embed"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/measure"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/sheets/benchsheet"
	"foldwright/reorder/refusal"
)

//go:embed bench.html
var benchText string

//go:embed bench.css
var style string

var benchPage = page.Parse(benchText)

type room struct {
	*page.Desk
	keeping sync.Mutex // held from the coming of a form until it is kept, so that a later one is not overtaken
	making  sync.Mutex // held while bench sheet and piercing guide are written
}

// Add registers the screen.
func Add(d *page.Desk) {
	s := &room{Desk: d}
	d.Style(style)
	d.HandleBook("GET /books/{book}/bench", s.show)
	d.HandleBook("POST /books/{book}/bench", s.keep)
	d.HandleBook("POST /books/{book}/bench/files", s.make)
	d.HandleBook("GET /books/{book}/bench/files/{file}", s.sendFile)
}

func (s *room) show(w http.ResponseWriter, r *http.Request, b library.Book) error {
	at, err := find(r, b)
	if err != nil {
		return err
	}
	return s.showBench(w, at, nil)
}

// keep writes down what was typed, as it was typed.
func (s *room) keep(w http.ResponseWriter, r *http.Request, b library.Book) error {
	s.keeping.Lock()
	at, unkept, err := keepTyped(w, r, b)
	s.keeping.Unlock()
	if err != nil {
		return err
	}
	if unkept != nil {
		return s.showBench(w, at, refusal.Output.New("your measurements could not be written down: %w", unkept))
	}
	if r.Header.Get("X-Live") != "" {
		return s.showBench(w, at, nil)
	}
	return page.Go(w, r, at.address())
}

// keepTyped is keep up to the answer; unkept is why what was typed could not be written.
func keepTyped(w http.ResponseWriter, r *http.Request, b library.Book) (at place, unkept, err error) {
	if err := page.ReadForm(w, r); err != nil {
		return at, nil, err
	}
	if at, err = find(r, b); err != nil {
		return at, nil, err
	}
	at.typed = typedIn(r.PostForm)
	return at, at.book.KeepMeasured(at.volume, at.typed), nil
}

// typedIn is what the boxes of a form hold. Lengths are in the units that the form was shown with.
func typedIn(form url.Values) map[string]string {
	var shown binding.Units
	if shown.UnmarshalText([]byte(form.Get("shown-units"))) != nil {
		shown = binding.MM
	}
	typed := map[string]string{}
	for _, b := range boxes() {
		text := strings.TrimSpace(form.Get(b.Key))
		if b.Kind == length {
			text = withUnit(text, shown)
		}
		if text != "" {
			typed[b.Key] = text
		}
	}
	return typed
}

// place is a volume of a book at the bench.
type place struct {
	book    library.Book
	made    plan.Plan // zero: not prepared, or it cannot be read
	damage  error     // why the plan cannot be read
	volume  int       // from 1
	volumes int       // 0: not prepared
	typed   map[string]string
}

// find reads what is known of the book that a request is about.
func find(r *http.Request, b library.Book) (at place, err error) {
	at.book, at.volume = b, 1
	if at.book.IsPrepared() {
		if at.made, at.damage = plan.Read(at.book.Job()); at.damage == nil {
			at.volumes = max(1, len(at.made.Volumes))
		}
	}
	if text := r.FormValue("volume"); text != "" {
		at.volume, err = strconv.Atoi(text)
		if err != nil || at.volume < 1 || at.volumes > 0 && at.volume > at.volumes {
			return at, refusal.Source.New("the book has no volume %q", text)
		}
	}
	at.typed, err = at.book.Measured(at.volume)
	return at, err
}

// only is the number by which the volume is asked for; 0 where the book is one.
func (p place) only() int {
	if p.volumes > 1 {
		return p.volume
	}
	return 0
}

// address is the page of the place.
func (p place) address() string {
	to := "/books/" + p.book.ID + "/bench"
	if p.only() > 0 {
		to += "?volume=" + strconv.Itoa(p.volume)
	}
	return to
}

// make writes bench sheet and piercing guide.
func (s *room) make(w http.ResponseWriter, r *http.Request, b library.Book) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	at, err := find(r, b)
	if err != nil {
		return err
	}
	f := s.figures(at)
	switch {
	case f.err != nil:
		return s.showBench(w, at, nil)
	case len(f.wrong) > 0:
		return s.showBench(w, at, refusal.Use.New("the bench sheet would leave out what is marked as wrong").Advise("mend it or empty its box first"))
	}
	s.making.Lock()
	defer s.making.Unlock()
	defer s.Hold()()
	if err := s.files(at).Write(s.Context, at.book.Bench(at.only()), f.sheets); err != nil {
		return s.showBench(w, at, err)
	}
	asked, _ := read(at.typed, at.only()) // nothing of it is wrong
	if err := measure.KeepMeasured(s.Context, at.book.Job(), asked); err != nil {
		return s.showBench(w, at, err)
	}
	return page.Go(w, r, at.address()+"#files")
}

// sendFile sends the bench sheet or the piercing guide, to be saved.
func (s *room) sendFile(w http.ResponseWriter, r *http.Request, b library.Book) error {
	at, err := find(r, b)
	if err != nil {
		return err
	}
	name := r.PathValue("file")
	if name != benchsheet.SheetFile && name != benchsheet.GuideFile {
		return refusal.Source.New("there is no such file at the bench")
	}
	return page.Send(w, r, at.book.Bench(at.only()), name)
}
