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
	_ "embed"
	"errors"
	"html/template"
	"io"
	"io/fs"
	"net/http"
	"net/url"
	"os"
	"strings"
	"sync"
	"time"

	"foldwright/cmd/internal/desk/library"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

//go:embed frame.html
var frame string

//go:embed desk.css
var style string

//go:embed desk.js
var script string

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

// refuse tells on a page of its own what went wrong.
func (d *Desk) refuse(w http.ResponseWriter, r *http.Request, err error) {
	if r.Context().Err() != nil {
		return // nobody waits for the answer
	}
	v := View{Title: "That did not work"}
	d.Notify(&v, err)
	if d.show(w, StatusOf(err), refusedPage, v) != nil {
		http.Error(w, v.Notice, StatusOf(err))
	}
}

// Notify puts on a page what went wrong; nil: nothing did.
func (d *Desk) Notify(v *View, err error) {
	if err != nil {
		v.Notice, v.Hint = d.Sentence(err), d.Hint(err)
	}
}

// Sentence is an error as a page says it: a sentence with its capital and its full stop.
func (d *Desk) Sentence(err error) string {
	return Sentence(strings.TrimSpace(phrase.Of(err, d.Words)))
}

// Hint is what helps against an error, likewise; empty: nothing is known to.
func (d *Desk) Hint(err error) string { return d.Say(refusal.Hint(err)) }

// Explain is an error and what helps in one text; nil: empty.
func (d *Desk) Explain(err error) string {
	if err == nil {
		return ""
	}
	return strings.TrimSpace(d.Sentence(err) + " " + d.Hint(err))
}

// Say is a phrase as a page says it.
func (d *Desk) Say(s phrase.Sentence) string { return Sentence(s.In(d.Words)) }

// Sentence is a text with its capital and its full stop.
func Sentence(text string) string {
	if text == "" || strings.ContainsAny(text[len(text)-1:], ".?!:") {
		return Capitalize(text)
	}
	return Capitalize(text) + "."
}

// Capitalize is a text with a capital letter first.
func Capitalize(text string) string {
	if text != "" && text[0] >= 'a' && text[0] <= 'z' {
		return string(text[0]-'a'+'A') + text[1:]
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

// mostForm is more than a form without files holds, in bytes: on one of them each book is ticked.
const mostForm = 4 << 20

// ReadForm reads a form that brings no files.
func ReadForm(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, mostForm)
	if err := r.ParseForm(); err != nil {
		return refusal.Use.New("the form has not come whole: %w", err)
	}
	return nil
}

// EachFile takes the files that a form brings, each as it comes, and counts them.
func EachFile(r *http.Request, take func(name string, file io.Reader) error) (n int, err error) {
	form, err := r.MultipartReader()
	if err != nil {
		return 0, nil // a form without files
	}
	for {
		part, err := form.NextPart()
		if errors.Is(err, io.EOF) {
			return n, nil
		}
		if err != nil {
			return n, err
		}
		if part.FormName() != "source" || part.FileName() == "" {
			continue
		}
		if err := take(part.FileName(), part); err != nil {
			return n, err
		}
		n++
	}
}

// Go sends the browser to another page after a form was taken (RFC 9110, section 15.4.4).
func Go(w http.ResponseWriter, r *http.Request, to string) error {
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// Send sends a file of a folder, to be saved.
func Send(w http.ResponseWriter, r *http.Request, dir, name string) (err error) {
	root, err := os.OpenRoot(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return notThere(name)
	}
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, root.Close()) }()
	f, err := root.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return notThere(name)
	}
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	w.Header().Set("Content-Disposition", `attachment; filename*=UTF-8''`+url.PathEscape(name))
	http.ServeContent(w, r, name, info.ModTime(), f)
	return nil
}

func notThere(name string) error {
	return refusal.Source.New("%s is not there", name).Advise("prepare it again")
}
