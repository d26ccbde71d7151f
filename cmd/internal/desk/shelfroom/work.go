package shelfroom

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"sync"
	"time"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/shelf"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// work is a shelf that is being prepared, or has been since the program was started.
type work struct {
	*page.Task // ends with why the report or the record could not be written
	asked      library.Shelf
	report     shelf.Report // once it is done

	mutex    sync.Mutex
	stopping bool
	judged   int // books that were compared with what lies there
	judging  bool
	pace     shelf.Pace
	inWork   []shelf.Work
	ended    []shelf.Entry
}

// hear takes in what happens to the shelf.
func (k *work) hear(e shelf.Event) {
	k.mutex.Lock()
	defer k.mutex.Unlock()
	k.judging = e.Kind == shelf.Judging
	switch e.Kind {
	case shelf.Judging:
		k.judged = e.Pace.Ended
		return
	case shelf.Ended:
		k.ended = append(k.ended, *e.Entry)
	}
	k.pace, k.inWork = e.Pace, slices.Clone(e.Work)
}

// pageTime is how long a page that is drawn may take: as long as on the page of one book.
const pageTime = time.Minute

// begin begins to prepare the books of a shelf, unless a shelf is in work. again says that failures are tried again.
func (s *room) begin(asked library.Shelf, again bool) error {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.work != nil && !s.work.IsDone() {
		return nil
	}
	err := s.Library.KeepShelf(asked)
	if again && err == nil {
		err = shelf.Forget(s.Library.Dir())
	}
	if err != nil {
		return refusal.Output.New("the shelf could not be written down, so it was not started: %w", err).Advise("make room on the disk, then start it again")
	}
	k := &work{asked: asked, judging: true}
	k.Task = s.Start(func(ctx context.Context) (err error) {
		k.report, err = shelf.Run(ctx, s.titles(asked), shelf.Options{
			Setting: s.Setting(), Program: s.Titles.Program, Describe: s.Titles.Describe,
			Timeout: s.Titles.Time, PageTime: pageTime, RecordOnly: true, Tell: k.hear,
		})
		if errors.Is(err, context.Canceled) {
			return nil // it was stopped, and goes on when the person wants it
		}
		if err != nil {
			return err
		}
		asked.Ended = true
		return s.Library.KeepShelf(asked)
	})
	s.work = k
	return nil
}

// titles makes a shelf of the books that can be prepared; what is wrong with the others is told by [room.fates].
func (s *room) titles(asked library.Shelf) shelf.Shelf {
	out := shelf.Shelf{Name: "shelf", Out: s.Library.Dir()}
	for _, of := range asked.Books {
		b, err := s.Library.Book(of.ID)
		if err != nil {
			continue
		}
		t, err := s.title(b)
		if err != nil {
			continue
		}
		out.Titles = append(out.Titles, t)
	}
	return out
}

// title is a book as the shelf prepares it: as its own page would.
func (s *room) title(b library.Book) (shelf.Title, error) {
	t := shelf.Title{Name: b.ID, Place: b.Job(), Secret: s.Password(b)}
	if files := b.Sources(); len(files) > 0 {
		t.Source, t.Further = files[0], files[1:]
	}
	t.Settings = b.Settings()
	asked, err := options.Read(t.Settings...)
	t.Options = &asked
	return t, err
}

// current is the shelf of this start of the program, nil if there is none.
func (s *room) current() *work {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.work
}

func (s *room) isWorking() bool {
	k := s.current()
	return k != nil && !k.IsDone()
}

// inUse tells that the shelf is preparing a book at this moment.
func (s *room) inUse(b library.Book) error {
	k := s.current()
	if k == nil || k.IsDone() {
		return nil
	}
	k.mutex.Lock()
	defer k.mutex.Unlock()
	if slices.ContainsFunc(k.inWork, func(w shelf.Work) bool { return w.Title.Name == b.ID }) {
		return refusal.Output.New("the shelf is preparing “%s” just now", b.Name).Advise("wait until it is ready, or stop the shelf")
	}
	return nil
}

// stop ends the shelf that is in work and waits for it: what is in work is dropped whole.
func (s *room) stop(w http.ResponseWriter, r *http.Request) error {
	k := s.current()
	if k == nil {
		return page.Go(w, r, "/shelf")
	}
	k.mutex.Lock()
	k.stopping = true
	k.mutex.Unlock()
	k.Stop()
	return page.Go(w, r, "/shelf/work")
}

// workBody is how far the shelf is.
type workBody struct {
	Stopping    bool
	Judging     string
	Done, Total int
	Figures     string
	Left        string
	InWork      []string
	Failed      []fate
	Wrong, Hint string
}

// showWork shows how far the shelf is, and the report when it is done.
func (s *room) showWork(w http.ResponseWriter, r *http.Request) error {
	k := s.current()
	if k == nil {
		return page.Go(w, r, "/shelf")
	}
	v := page.View{Title: "The shelf is in work", At: "shelf"}
	if k.IsDone() {
		if k.Err() == nil {
			return page.Go(w, r, "/shelf/report")
		}
		v.Title = "The shelf has ended"
		v.Body = workBody{Wrong: s.Sentence(refusal.Output.New("the report could not be written down: %w", k.Err())), Hint: "Books that are ready stay ready. Make room on the disk, then start the shelf again."}
		return s.Show(w, workPage, v)
	}
	v.Poll = time.Second
	v.Body = k.tell(s)
	return s.Show(w, workPage, v)
}

func (k *work) tell(s *room) workBody {
	k.mutex.Lock()
	defer k.mutex.Unlock()
	show := workBody{Stopping: k.stopping, Total: len(k.asked.Books), Done: len(k.ended)}
	if k.judging {
		show.Judging = fmt.Sprintf("Looking at what is there: %d of %s.", k.judged, reorder.Count(show.Total, "book"))
	}
	ready := 0
	for _, e := range k.ended {
		if e.State == shelf.Failed {
			show.Failed = append(show.Failed, s.fate(library.ShelfBook{ID: e.Name, Name: nameOf(k.asked, e.Name)}, &e))
		} else {
			ready++
		}
	}
	show.Figures = fmt.Sprintf("%d of %s ready", ready, reorder.Count(show.Total, "book"))
	if n := len(show.Failed); n > 0 {
		show.Figures += fmt.Sprintf(", %d failed", n)
	}
	if left, ok := k.pace.Left(); ok && left > time.Second {
		show.Left = "about " + shelf.TookText(left.Round(time.Second).Seconds()) + " left"
	}
	for _, w := range k.inWork {
		show.InWork = append(show.InWork, nameOf(k.asked, w.Title.Name)+": "+progressOf(w))
	}
	return show
}

// progressOf is how far a book in work is.
func progressOf(w shelf.Work) string {
	if w.Sides == 0 {
		return "being read and planned"
	}
	return fmt.Sprintf("%d of %s written", w.Share(int64(w.Pages)), reorder.Count(w.Pages, "page"))
}
