// Package look shows a planned book before anything of it is written: its openings
// as they will be read, its sheets as they will be printed, and its gatherings from
// above. [Fragment] is the HTML of it, [Add] registers the pictures and the pages on
// which one leafs on.
//
// openings.go and sheets.go say what is seen, as values; picture.go draws it; cache.go keeps
// source pages that are drawn. A picture's address carries a digest of all that it depends on,
// so that after another choice a browser asks only for what has changed.
package look

import (
	"bytes"
	"context"
	_ "embed"
	"errors"
	"image/png"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/plan"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

//go:embed look.css
var style string

// Drafts knows how books are planned now. A draft can be used until it is released.
type Drafts interface {
	Draft(ctx context.Context, book library.Book) (d *plan.Draft, release func(), err error)
}

// room is the screen.
type room struct {
	*page.Desk
	drafts  Drafts
	sources *sources
	started chan struct{} // closed when the drawing engine has been started, or cannot be
	patient chan struct{} // holds one for each picture that waits for it as long as that takes
}

// Add registers the screen, and starts the drawing engine, which takes seconds for the first time on a machine.
func Add(d *page.Desk, drafts Drafts) {
	s := &room{Desk: d, drafts: drafts, sources: newSources(d.Context, d.Renderer), started: make(chan struct{}), patient: make(chan struct{}, mostPatient)}
	go func() {
		defer close(s.started)
		if d.Renderer != nil {
			_ = d.Renderer.Warm(d.Context) // what is wrong is said when something is to be drawn
		}
	}()
	d.Style(style)
	d.HandleBook("GET /books/{book}/look/openings", s.showOpenings)
	d.HandleBook("GET /books/{book}/look/sheets", s.showSheets)
	d.HandleBook("GET /books/{book}/look/page/{file}", s.drawPage)
	d.HandleBook("GET /books/{book}/look/side/{sheet}/{file}", s.drawSide)
}

// widths are the widths in pixels in which pictures can be had.
var widths = []int{240, 480, 960}

var errNoPicture = refusal.Source.New("there is no such picture")

// drawPage draws a page by its place in the book.
func (s *room) drawPage(w http.ResponseWriter, r *http.Request, b library.Book) error {
	return s.draw(w, r, b, func(d *plan.Draft) (picture, bool) {
		place, err := strconv.Atoi(strings.TrimSuffix(r.PathValue("file"), ".png"))
		pages := pagesOf(d)
		if err != nil || place < 1 || place > len(pages) || pages[place-1].Page == 0 {
			return picture{}, false
		}
		return pages[place-1].picture, true
	})
}

// drawSide draws a side by its sheet's number in the book.
func (s *room) drawSide(w http.ResponseWriter, r *http.Request, b library.Book) error {
	return s.draw(w, r, b, func(d *plan.Draft) (picture, bool) {
		number, err := strconv.Atoi(r.PathValue("sheet"))
		i := slices.IndexFunc(d.Printed, func(p reorder.PlacedSheet) bool { return p.Sheet.Number == number })
		if err != nil || i < 0 {
			return picture{}, false
		}
		switch r.PathValue("file") {
		case "front.png":
			return sideOf(d, d.Printed[i], reorder.Front).picture, true
		case "back.png":
			return sideOf(d, d.Printed[i], reorder.Back).picture, true
		}
		return picture{}, false
	})
}

// patience is how long pictures wait for the engine to start, but for the few that wait to the end, those
// seen first, as browsers ask. A browser opens six connections to one place, and a change of a choice must
// not wait behind pictures.
const (
	patience    = 300 * time.Millisecond
	mostPatient = 2
)

// draw sends a picture that is found in the draft of a book.
func (s *room) draw(w http.ResponseWriter, r *http.Request, b library.Book, find func(*plan.Draft) (picture, bool)) error {
	width, err := strconv.Atoi(r.FormValue("width"))
	if err != nil || !slices.Contains(widths, width) {
		return errNoPicture
	}
	select {
	case <-s.started:
	case s.patient <- struct{}{}:
		defer func() { <-s.patient }()
	case <-time.After(patience):
		w.Header().Set("Retry-After", "1")
		w.Header().Set("Cache-Control", "no-store")
		http.Error(w, "the drawing engine is being made ready", http.StatusServiceUnavailable)
		return nil
	}
	d, release, err := s.drafts.Draft(r.Context(), b)
	if err != nil {
		return err
	}
	p, ok := find(d)
	release()
	if !ok {
		return errNoPicture
	}
	open := func(ctx context.Context) (*plan.Draft, func(), error) { return s.drafts.Draft(ctx, b) }
	img, err := s.sources.draw(r.Context(), p, width, open)
	if err != nil {
		if errors.Is(err, context.Canceled) && r.Context().Err() == nil {
			w.WriteHeader(http.StatusServiceUnavailable) // the program ends
			return nil
		}
		return err
	}
	var out bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&out, img); err != nil {
		return err
	}
	cache := "no-store" // the choices have changed since the page was made
	if r.FormValue("v") == p.digest() {
		cache = "private, max-age=31536000, immutable"
	}
	w.Header().Set("Cache-Control", cache)
	w.Header().Set("Content-Type", "image/png")
	_, err = out.WriteTo(w)
	return err
}
