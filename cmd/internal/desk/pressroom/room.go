// Package pressroom is where a prepared book is printed: its print files, to be saved and
// printed with any program, and the run sheet that says what to do with the paper.
package pressroom

import (
	_ "embed"
	"errors"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"

	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/reorder/refusal"
)

//go:embed print.html
var printHTML string

var printPage = page.Parse(printHTML)

type room struct{ *page.Desk }

// Add registers the screen.
func Add(d *page.Desk) {
	r := room{d}
	d.Handle("GET /books/{book}/print", r.files)
	d.Handle("GET /books/{book}/print/run-sheet", r.runSheet)
}

// files shows what there is to print.
func (s room) files(w http.ResponseWriter, r *http.Request) error {
	b, err := s.Book(r)
	if err != nil {
		return err
	}
	shown := struct {
		Prepared, Outdated bool
		Files              []string
	}{Prepared: b.IsPrepared(), Outdated: b.IsOutdated(s.Setting())}
	if shown.Prepared {
		made, err := plan.ReadBrief(b.Job())
		if err != nil {
			return err
		}
		for _, f := range made.Files {
			if filepath.Ext(f.Name) == ".pdf" {
				shown.Files = append(shown.Files, f.Name)
			}
		}
	}
	return s.Show(w, printPage, page.View{Title: b.Name, Book: &b, At: "print", Body: shown})
}

// runSheet is the run sheet as it was written, in a policy of its own: it holds its style, and
// nothing on it may run.
func (s room) runSheet(w http.ResponseWriter, r *http.Request) error {
	b, err := s.Book(r)
	if err != nil {
		return err
	}
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
