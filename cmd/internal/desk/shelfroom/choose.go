package shelfroom

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/desk/planroom"
	"foldwright/cmd/internal/desk/pressroom"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/shelf"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// chooseBody is the page on which books are ticked.
type chooseBody struct {
	Cut     *cutOff
	Report  bool // there is one
	Came    string
	Books   []bookLine
	Ticked  string
	Choices any
	Wrongs  []string
}

// bookLine is a book that can be ticked.
type bookLine struct {
	library.Book
	Shown   string // its name, with that of its file or folder if another book is called the same
	On      bool
	State   string
	Damaged string
	needed  bool // never prepared, or outdated
}

// cutOff is a shelf that was killed or stopped.
type cutOff struct{ Began, Stood, Left string }

// form is what was filled in.
type form struct {
	ticks map[string]bool // nil: those that are needed
	typed map[string]string
	wrong map[string]error

	came   string   // what was just taken in
	wrongs []string // why books cannot be prepared as chosen
}

func (s *room) choose(w http.ResponseWriter, r *http.Request) error {
	if s.isWorking() {
		return page.Go(w, r, "/shelf/work")
	}
	came, _ := strconv.Atoi(r.URL.Query().Get(cameKey)) // what is no number was not written by us
	return s.showChoose(w, form{came: cameText(came)}, nil)
}

// showChoose shows the page; wrong is why nothing was done.
func (s *room) showChoose(w http.ResponseWriter, f form, wrong error) error {
	lines, err := s.lines(f.ticks)
	if err != nil {
		return err
	}
	show := chooseBody{Came: f.came, Books: lines, Choices: planroom.ForAll(s.Desk, f.typed, f.wrong), Wrongs: f.wrongs}
	on := 0
	for _, l := range lines {
		if l.On {
			on++
		}
	}
	show.Ticked = fmt.Sprintf("%d of %s ticked", on, reorder.Count(len(lines), "book"))
	asked, last, err := s.last()
	switch {
	case err == nil:
		show.Report = last.Titles != nil
		if !asked.Ended {
			show.Cut = s.cutOff(asked, last)
		}
	case wrong == nil && !errors.Is(err, fs.ErrNotExist):
		wrong = err
	}
	v := page.View{Title: "The shelf: many books overnight", At: "shelf", Body: show}
	s.Notify(&v, wrong)
	return s.Show(w, choosePage, v)
}

// lines are all books; ticks are those that are ticked, nil: those never prepared or outdated.
func (s *room) lines(ticks map[string]bool) ([]bookLine, error) {
	all, err := s.Library.Books()
	if err != nil {
		return nil, err
	}
	var lines []bookLine
	apart := library.TellApart(all)
	for _, b := range all {
		line := bookLine{Book: b, Shown: b.Name}
		if from := apart[b.ID]; from != "" {
			line.Shown += " (" + from + ")"
		}
		if b.Damage != nil {
			line.Damaged = s.Explain(b.Damage)
		} else {
			line.State, line.needed = s.stateOf(b)
			line.On = ticks[b.ID] || ticks == nil && line.needed
		}
		lines = append(lines, line)
	}
	return lines, nil
}

// stateOf says whether a book is prepared, and whether it has to be.
func (s *room) stateOf(b library.Book) (says string, needed bool) {
	made, err := plan.ReadBrief(b.Job())
	switch {
	case err != nil:
		return "never prepared", true
	case b.IsOutdated(s.Setting()) && pressroom.HasBegun(b):
		return "prepared with older choices, but its printing has begun", false
	case b.IsOutdated(s.Setting()):
		return "prepared with older choices", true
	}
	return fmt.Sprintf("prepared: %s on %s", reorder.Count(made.Source.AllPages(), "page"), reorder.Count(made.Sheets, "sheet")), false
}

// take takes the form: it ticks, or begins.
func (s *room) take(w http.ResponseWriter, r *http.Request) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	f := form{ticks: map[string]bool{}}
	f.typed, f.wrong = planroom.ReadForAll(r.PostForm)
	for _, id := range r.PostForm["book"] {
		f.ticks[id] = true
	}
	switch r.PostForm.Get("do") {
	case "all":
		lines, err := s.lines(nil)
		if err != nil {
			return err
		}
		for _, l := range lines {
			f.ticks[l.ID] = true
		}
	case "needed":
		f.ticks = nil
	case "none":
		f.ticks = map[string]bool{}
	case "start":
		return s.start(w, r, f)
	}
	return s.showChoose(w, f, nil)
}

// start begins the shelf with the books that are ticked, or tells why not; then nothing was changed.
func (s *room) start(w http.ResponseWriter, r *http.Request, f form) error {
	if s.isWorking() {
		return page.Go(w, r, "/shelf/work")
	}
	if len(f.wrong) > 0 {
		return s.showChoose(w, f, refusal.Use.New("nothing was started, for some of the choices cannot be read").Advise("see what is written below them"))
	}
	all, err := s.lines(f.ticks)
	if err != nil {
		return err
	}
	asked := library.Shelf{Began: time.Now().UTC().Truncate(time.Second)}
	var books []library.Book
	for _, b := range all {
		if !b.On {
			continue
		}
		asked.Books = append(asked.Books, library.ShelfBook{ID: b.ID, Name: b.Shown})
		next := b.Book
		if next.Choices = layUnder(f.typed, b.Choices); !maps.Equal(next.Choices, b.Choices) {
			books = append(books, next)
		}
		_, err := next.Resolve(s.Setting())
		if err == nil {
			err = s.InUse(next)
		}
		if err != nil {
			f.wrongs = append(f.wrongs, "“"+b.Name+"”: "+s.Explain(err))
		}
	}
	switch {
	case len(asked.Books) == 0:
		return s.showChoose(w, f, refusal.Use.New("no book is ticked").Advise("tick those that are to be prepared"))
	case len(f.wrongs) > 0:
		return s.showChoose(w, f, refusal.Use.New("nothing was started, for %s cannot be prepared so", reorder.Count(len(f.wrongs), "book")).Advise("see below the choices why; change them, or untick what stands there"))
	}
	slices.Reverse(books) // so that the list of books keeps its order
	for _, b := range books {
		if err := b.Keep(); err != nil {
			return s.showChoose(w, f, refusal.Output.New("nothing was started, for the choices of “%s” could not be written down: %w", b.Name, err))
		}
	}
	if err := s.begin(asked, true); err != nil {
		return s.showChoose(w, f, err)
	}
	return page.Go(w, r, "/shelf/work")
}

// layUnder lays choices under those of a book: where it says something of its own, that counts.
func layUnder(lower, upper map[string]string) map[string]string {
	out := maps.Clone(lower)
	if out == nil {
		out = map[string]string{}
	}
	maps.Copy(out, upper)
	return out
}

// cutOff tells where a shelf stood that did not come to its end; nil: nothing is left of it.
func (s *room) cutOff(asked library.Shelf, last shelf.Report) *cutOff {
	count := map[outcome]int{}
	for _, f := range s.fates(asked, last) {
		count[f.State]++
	}
	if count[waiting] == 0 {
		return nil
	}
	parts := []string{fmt.Sprintf("%d of %s ready", count[ready], reorder.Count(len(asked.Books), "book"))}
	for _, state := range []outcome{failed, removed} {
		if n := count[state]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, state))
		}
	}
	parts = append(parts, fmt.Sprintf("%d left", count[waiting]))
	return &cutOff{
		Began: "on " + asked.Began.Local().Format("2 January 2006, 15:04"), Stood: strings.Join(parts, ", "),
		Left: reorder.Count(count[waiting], "book"),
	}
}

// goOn goes on with a shelf that did not come to its end. What failed in it is not tried again, unless a
// password has been given since.
func (s *room) goOn(w http.ResponseWriter, r *http.Request) error {
	asked, err := s.Library.Shelf()
	if errors.Is(err, fs.ErrNotExist) {
		return refusal.Use.New("there is no shelf to go on with").Advise("tick books and start one")
	}
	if err == nil && asked.Ended {
		return page.Go(w, r, "/shelf/report")
	}
	if err == nil {
		err = s.begin(asked, false)
	}
	if err != nil {
		return err
	}
	return page.Go(w, r, "/shelf/work")
}

// leave gives up a shelf that did not come to its end. Its report stays.
func (s *room) leave(w http.ResponseWriter, r *http.Request) error {
	if s.isWorking() {
		return page.Go(w, r, "/shelf/work")
	}
	asked, err := s.Library.Shelf()
	if err != nil {
		return err
	}
	asked.Ended = true
	if err := s.Library.KeepShelf(asked); err != nil {
		return refusal.Output.New("that could not be written down: %w", err)
	}
	return page.Go(w, r, "/shelf")
}
