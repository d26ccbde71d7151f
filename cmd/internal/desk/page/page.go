// Package page is what all screens of the page in the browser share: the frame
// around them, how they are answered, what goes wrong told in words, and the [Desk]
// with everything a screen needs.
//
// A screen is a package with a function Add, which registers its routes with
// [Desk.Handle]. A page works as plain forms and links; desk.js only saves reloads:
//
//   - a form with data-live is sent when something in it changes, and the elements
//     of the answer that carry an id and data-swap take the place of those here;
//   - a form with data-drop takes files that are dropped on it;
//   - a page whose [View] says Poll is asked for again that often, and swapped likewise;
//   - an img with data-again that was refused is asked for again after a moment;
//   - the element "notice" of every answer is shown, so that errors are never lost.
//
// The content security policy forbids style attributes, style elements and inline
// scripts: styles stand in style sheets that a screen gives to [Desk.Style].
package page

import (
	"bytes"
	"context"
	_ "embed"
	"errors"
	"html/template"
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

//go:embed frame.html
var frame string

//go:embed desk.css
var style string

//go:embed desk.js
var script string

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
			d.Refuse(w, r, err)
		}
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

// View is what a template is set with.
type View struct {
	Title string        // of the page, and its heading
	Book  *library.Book // whose tabs are shown; nil on pages that belong to no book
	At    string        // the tab that is open: plan, print or bench; books, printers, shelf
	Poll  time.Duration // how often the page is asked for again while it is open; 0: never
	Bare  bool          // without the ways to other pages
	Body  any           // what the screen's own template sets

	Notice, Hint string // what went wrong, and what helps
	Version      string // of the program
}

// Milliseconds is how often the page is asked for again.
func (v View) Milliseconds() int64 { return v.Poll.Milliseconds() }

// Seconds is the same for browsers without scripts.
func (v View) Seconds() int { return max(1, int(v.Poll.Round(time.Second).Seconds())) }

// Template is a screen's template in the frame. It is parsed when it is first shown, since each command
// of the program begins with this package and few show a page.
type Template func() *template.Template

// Parse takes what stands in the element main, below the heading, and is set with the [View].
func Parse(text string) Template {
	return sync.OnceValue(func() *template.Template {
		return template.Must(template.Must(template.New("frame").Parse(frame)).New("main").Parse(text))
	})
}

// Show writes a page. Nothing is written if the template fails.
func (d *Desk) Show(w http.ResponseWriter, t Template, v View) error {
	return d.show(w, http.StatusOK, t, v)
}

func (d *Desk) show(w http.ResponseWriter, status int, t Template, v View) error {
	v.Version = d.Version
	var out bytes.Buffer
	if err := t().ExecuteTemplate(&out, "frame", v); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, err := out.WriteTo(w)
	return err
}

var (
	refusedPage = Parse(`<p><a href="/">Go to your books</a></p>`)
	endPage     = Parse(`<p>Something is still in work. What is printed so far is written down, and a shelf goes on from where it was; a printer finishes what it has been sent.</p>
<form method="post" action="/end"><button name="sure" value="yes">End it all the same</button></form><p><a href="/">Go on working</a></p>`)
	endedPage = Parse(`<p>You can close this window. To go on, open Foldwright again: everything is where it was.</p>`)
)

// Refuse tells on a page of its own what went wrong.
func (d *Desk) Refuse(w http.ResponseWriter, r *http.Request, err error) {
	if r.Context().Err() != nil {
		return // nobody waits for the answer
	}
	v := View{Title: "That did not work", Notice: d.Sentence(err), Hint: d.Upper(refusal.Hint(err))}
	if d.show(w, StatusOf(err), refusedPage, v) != nil {
		http.Error(w, v.Notice, StatusOf(err))
	}
}

// Sentence is an error as a page says it: a sentence with its capital and its full stop.
func (d *Desk) Sentence(err error) string { return Sentence(err, d.Words) }

// Sentence is an error as a page says it that names options and commands in a style.
func Sentence(err error, style phrase.Style) string {
	return sentence(strings.TrimSpace(phrase.Of(err, style)))
}

// Upper is a phrase as a page says it.
func (d *Desk) Upper(s phrase.Sentence) string { return Upper(s, d.Words) }

// Upper is a phrase as a page says it that names options and commands in a style.
func Upper(s phrase.Sentence, style phrase.Style) string { return sentence(s.In(style)) }

// UpperText is a text as a page says it.
func UpperText(text string) string { return sentence(text) }

func sentence(text string) string {
	if text == "" {
		return ""
	}
	if first := text[0]; first >= 'a' && first <= 'z' {
		text = string(first-'a'+'A') + text[1:]
	}
	if !strings.ContainsAny(text[len(text)-1:], ".?!:") {
		text += "."
	}
	return text
}

// StatusOf is the HTTP status (RFC 9110, section 15) that tells programs what an error is.
func StatusOf(err error) int {
	var most *http.MaxBytesError
	if errors.As(err, &most) {
		return http.StatusRequestEntityTooLarge
	}
	switch refusal.Of(err) {
	case refusal.Command, refusal.Use:
		return http.StatusBadRequest
	case refusal.Source:
		return http.StatusNotFound
	case refusal.Locked:
		return http.StatusForbidden
	case refusal.Output:
		return http.StatusConflict
	case refusal.Plan, refusal.Faults, refusal.Partly:
		return http.StatusUnprocessableEntity
	}
	return http.StatusInternalServerError
}

// Book is the book that a request is about, by the part "book" of its path.
func (d *Desk) Book(r *http.Request) (library.Book, error) {
	return d.Library.Book(r.PathValue("book"))
}

// Go sends the browser to another page after a form was taken (RFC 9110, section 15.4.4).
func Go(w http.ResponseWriter, r *http.Request, to string) error {
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}
