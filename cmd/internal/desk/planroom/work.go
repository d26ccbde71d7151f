package planroom

import (
	"context"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder/refusal"
)

// work is a job or a kit that is being written. It tells how far it is.
type work struct {
	*page.Task
	what string
	next string // the page to go to when it is done

	total, sides atomic.Int64
}

// Step counts sides that are written; see [output.Progress].
func (k *work) Step(sides int) { k.sides.Add(int64(sides)) }

// begin does something for a book in the background, unless something is being done for it.
func (s *room) begin(b library.Book, what, next string, do func(ctx context.Context, k *work, source *survey.Source) error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if k := s.works[b.ID]; k != nil && !k.IsDone() {
		return
	}
	k := &work{what: what, next: next}
	s.works[b.ID] = k
	k.Task = s.Start(func(ctx context.Context) error {
		o, release, err := s.drafts.hold(ctx, b)
		if err != nil {
			return err
		}
		defer release()
		return do(ctx, k, o.source)
	})
}

func (s *room) isWorking(id string) bool {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	k := s.works[id]
	return k != nil && !k.IsDone()
}

// stop ends what is done for a book, and waits for it.
func (s *room) stop(id string) {
	s.mutex.Lock()
	k := s.works[id]
	delete(s.works, id)
	s.mutex.Unlock()
	if k != nil {
		k.Stop()
	}
}

// prepare writes the print files of a book.
func (s *room) prepare(w http.ResponseWriter, r *http.Request, b library.Book) error {
	if err := s.InUse(b); err != nil {
		return err
	}
	resolved, err := b.Resolve(s.Setting())
	if err != nil {
		return err
	}
	s.begin(b, "Writing the print files", "/books/"+b.ID+"/print", func(ctx context.Context, k *work, source *survey.Source) error {
		d, err := plan.New(ctx, resolved, source)
		if err != nil {
			return err
		}
		job := output.Job{Draft: d, Style: s.Words}
		k.total.Store(int64(job.Sides()))
		_, err = job.Write(ctx, b.Job(), true, k)
		return err
	})
	return page.Go(w, r, "/books/"+b.ID+"/prepare")
}

// showWork shows how far the work for a book is, and goes on when it is done.
func (s *room) showWork(w http.ResponseWriter, r *http.Request, b library.Book) error {
	s.mutex.Lock()
	k := s.works[b.ID]
	s.mutex.Unlock()
	if k == nil {
		return page.Go(w, r, "/books/"+b.ID)
	}
	v := page.View{Title: b.Name, Book: &b, At: "plan"}
	show := struct {
		What, Wrong string
		Done, Total int64
	}{k.what, "", k.sides.Load(), max(1, k.total.Load())}
	switch {
	case !k.IsDone():
		v.Poll = 300 * time.Millisecond
	case k.Err() == nil:
		return page.Go(w, r, k.next)
	default:
		show.Wrong = s.Explain(k.Err())
	}
	v.Body = show
	return s.Show(w, workPage, v)
}

// kitPath is where the kit of a book lies.
func kitPath(b library.Book) string {
	name := "blank-book"
	if !b.IsBlank() {
		name = strings.TrimSuffix(b.Files[0], filepath.Ext(b.Files[0]))
	}
	return filepath.Join(b.Dir(), name+"-kit.zip")
}

// makeKit makes page sets for other people's printers.
func (s *room) makeKit(w http.ResponseWriter, r *http.Request, b library.Book) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	maker := strings.TrimSpace(strings.TrimSpace(r.PostForm.Get("maker")) + " " + strings.TrimSpace(r.PostForm.Get("terms")))
	papers := r.PostForm["kit-paper"]
	if len(papers) == 0 {
		papers = []string{b.Choices["paper"]}
	}
	var resolved []options.Resolved
	for _, paper := range papers {
		asked, err := options.Read(b.Settings()...)
		if err != nil {
			return err
		}
		asked.Paper = paper
		one, err := output.KitOptions(asked).Resolve(s.Setting())
		if err != nil {
			return err
		}
		resolved = append(resolved, one)
	}
	s.begin(b, "Writing the page sets", "/books/"+b.ID+"#kit", func(ctx context.Context, k *work, source *survey.Source) error {
		kit := output.Kit{Maker: maker}
		for _, one := range resolved {
			d, err := plan.New(ctx, one, source)
			if err != nil {
				return err
			}
			edition, err := output.Job{Draft: d, Style: s.Words}.Edition(len(resolved) > 1)
			if err != nil {
				return err
			}
			kit.Editions = append(kit.Editions, edition)
		}
		k.total.Store(int64(kit.Sides()))
		return kit.Write(ctx, kitPath(b), true, true, k)
	})
	return page.Go(w, r, "/books/"+b.ID+"/prepare")
}

// sendKit sends the kit of a book.
func (s *room) sendKit(w http.ResponseWriter, r *http.Request, b library.Book) error {
	return page.Send(w, r, b.Dir(), filepath.Base(kitPath(b)))
}

// sendFile sends a file of a book's job, by its name in the plan.
func (s *room) sendFile(w http.ResponseWriter, r *http.Request, b library.Book) error {
	name := r.PathValue("file")
	made, err := plan.ReadBrief(b.Job())
	if err != nil {
		return err
	}
	if name != plan.File && !slices.ContainsFunc(made.Files, func(e plan.Entry) bool { return e.Name == name }) {
		return refusal.Source.New("there is no such file among the print files")
	}
	return page.Send(w, r, b.Job(), name)
}
