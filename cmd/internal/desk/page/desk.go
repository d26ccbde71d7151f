package page

import (
	"context"
	"net/http"
	"strings"
	"sync"
	"time"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pagestyle"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/shelf"
	"foldwright/cmd/internal/survey"
	"foldwright/profiles"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Titles is how titles of a shelf are made, each in a process of its own; see [shelf.Options].
type Titles struct {
	Program  []string
	Describe func(error) shelf.Failure
	Time     time.Duration // that each may take; 0: any
}

// Desk is what the screens stand on. Its fields do not change once it serves.
type Desk struct {
	Context  context.Context // ends with the program
	Library  *library.Library
	Profiles profiles.Store
	Region   options.Region
	Version  string // of the program
	Renderer *render.Renderer
	Words    phrase.Style // how options and commands are named on pages
	Quit     func()       // ends the program
	Titles   Titles       // how a shelf makes its titles

	mux    *http.ServeMux
	styles []string

	mutex     sync.Mutex
	held      int
	passwords map[string]string // of books, by their IDs
	users     []func(library.Book) error
}

// Guard registers what tells, with an error, that a book is in use just now.
func (d *Desk) Guard(why func(library.Book) error) { d.users = append(d.users, why) }

// InUse tells why a book can be neither removed nor prepared just now; nil: it can.
func (d *Desk) InUse(b library.Book) error {
	for _, why := range d.users {
		if err := why(b); err != nil {
			return err
		}
	}
	return nil
}

// Setting is what the choices for a book are resolved with.
func (d *Desk) Setting() options.Setting {
	return options.Setting{Profiles: d.Profiles, Region: d.Region, Version: d.Version}
}

// Password is the password of a book's PDF, as far as it has been given since the program was started;
// it is written down nowhere.
func (d *Desk) Password(b library.Book) string {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	return d.passwords[b.ID]
}

// SetPassword keeps the password of a book's PDF until the program ends; an empty one forgets it.
func (d *Desk) SetPassword(b library.Book, password string) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	if d.passwords == nil {
		d.passwords = map[string]string{}
	}
	d.passwords[b.ID] = password
}

// OpenSource opens the PDFs of a book, of which there may be none. The errors are those of [survey.Open].
func (d *Desk) OpenSource(ctx context.Context, b library.Book) (*survey.Source, error) {
	return survey.OpenBook(d.Renderer, b.Sources(), func(path string) (*survey.Source, error) {
		return survey.Open(ctx, path, d.Password(b), d.Renderer)
	})
}

// Handler answers a request. What it refuses is told on a page with the status that suits it.
type Handler func(w http.ResponseWriter, r *http.Request) error

// Handle registers a route by a pattern of [http.ServeMux].
func (d *Desk) Handle(pattern string, h Handler) {
	if d.mux == nil {
		d.mux = http.NewServeMux()
	}
	d.mux.HandleFunc(pattern, func(w http.ResponseWriter, r *http.Request) {
		if err := h(w, r); err != nil {
			d.refuse(w, r, err)
		}
	})
}

// HandleBook registers a route about a book, which the part "book" of its path names.
func (d *Desk) HandleBook(pattern string, h func(http.ResponseWriter, *http.Request, library.Book) error) {
	d.Handle(pattern, func(w http.ResponseWriter, r *http.Request) error {
		b, err := d.Library.Book(r.PathValue("book"))
		if err != nil {
			return err
		}
		return h(w, r, b)
	})
}

// Style adds to the style sheet of all pages.
func (d *Desk) Style(css string) { d.styles = append(d.styles, css) }

// Hold keeps the program from ending by itself while something is in work, until release is called.
func (d *Desk) Hold() (release func()) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	d.held++
	return sync.OnceFunc(func() {
		d.mutex.Lock()
		defer d.mutex.Unlock()
		d.held--
	})
}

// IsBusy tells whether something is in work.
func (d *Desk) IsBusy() bool {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	return d.held > 0
}

// Task is something that is done beside the pages. The program does not end by itself before it is done.
type Task struct {
	cancel context.CancelFunc
	done   chan struct{}
	err    error // once done is closed
}

// Start begins a task, which ends with the program if it is not done before.
func (d *Desk) Start(do func(context.Context) error) *Task {
	ctx, cancel := context.WithCancel(d.Context)
	t := &Task{cancel: cancel, done: make(chan struct{})}
	release := d.Hold()
	go func() {
		defer close(t.done)
		defer release() // before it is seen to be done: what is done keeps nothing busy
		defer cancel()
		t.err = do(ctx)
	}()
	return t
}

// Done is closed when the task is done.
func (t *Task) Done() <-chan struct{} { return t.done }

// IsDone tells whether the task is done, well or not.
func (t *Task) IsDone() bool {
	select {
	case <-t.done:
		return true
	default:
		return false
	}
}

// Err is what the task has ended with, once it is done.
func (t *Task) Err() error { return t.err }

// Cancel asks the task to end.
func (t *Task) Cancel() { t.cancel() }

// Stop ends the task and waits until it has ended.
func (t *Task) Stop() {
	t.cancel()
	<-t.done
}

// Routes is the handler of all that was registered, and of what the frame itself needs.
func (d *Desk) Routes() http.Handler {
	// Browsers ask for it on their own where a page is plain text or a picture and cannot say that there is none.
	d.Handle("GET /favicon.ico", func(w http.ResponseWriter, _ *http.Request) error {
		w.WriteHeader(http.StatusNoContent)
		return nil
	})
	d.Handle("GET /desk.css", func(w http.ResponseWriter, _ *http.Request) error {
		return serve(w, "text/css; charset=utf-8", strings.Join(append([]string{string(pagestyle.CSS()), drawing.Style, style}, d.styles...), "\n"))
	})
	d.Handle("GET /desk.js", func(w http.ResponseWriter, _ *http.Request) error {
		return serve(w, "text/javascript; charset=utf-8", script)
	})
	d.Handle("GET /alive", func(w http.ResponseWriter, _ *http.Request) error {
		w.WriteHeader(http.StatusNoContent)
		return nil
	})
	d.Handle("POST /end", func(w http.ResponseWriter, r *http.Request) error {
		if d.IsBusy() && r.FormValue("sure") == "" {
			return d.Show(w, endPage, View{Title: "End Foldwright?"})
		}
		err := d.Show(w, endedPage, View{Title: "Foldwright has ended", Bare: true})
		d.Quit()
		return err
	})
	d.Handle("/", func(http.ResponseWriter, *http.Request) error {
		return refusal.Source.New("there is no such page").Advise("begin with the list of books")
	})
	return d.mux
}

func serve(w http.ResponseWriter, kind, text string) error {
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Cache-Control", "no-cache")
	_, err := w.Write([]byte(text))
	return err
}
