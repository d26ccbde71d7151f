package survey

import (
	"bytes"
	"context"
	"errors"
	"path/filepath"
	"slices"
	"sync"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
)

// Source is a PDF of which a book is made.
type Source struct {
	*pdf.Document
	Name     string // of the file, without its folder
	Password string
	renderer *render.Renderer
	mutex    *sync.Mutex   // of small
	small    map[int]small // of its pages, as far as they have been drawn
}

// Open reads the structure of a source; nothing of it is drawn, unless it can be read only from a
// repaired copy of the renderer's. The errors are those of [pdf.Open]. The caller closes it.
func Open(ctx context.Context, path, password string, renderer *render.Renderer) (*Source, error) {
	repair := func(ctx context.Context, path, password string) ([]byte, error) {
		d, err := renderer.Open(ctx, path, password)
		if err != nil {
			return nil, err
		}
		defer d.Close()
		var copied bytes.Buffer
		err = d.Save(ctx, &copied)
		return copied.Bytes(), err
	}
	doc, err := pdf.Open(ctx, path, pdf.Options{Password: password, Rescue: repair, Sum: true})
	if err != nil {
		return nil, err
	}
	return &Source{Document: doc, Name: filepath.Base(path), Password: password, renderer: renderer, mutex: &sync.Mutex{}, small: map[int]small{}}, nil
}

// Render opens the source once more, to be drawn as it is printed. Where
// the renderer can't read the source, or would draw its annotations otherwise than package pdf
// prints them, it gets that package's copy. The caller closes what is returned.
func (s *Source) Render(ctx context.Context) (*render.Document, error) {
	otherwise, err := s.DrawsAnnotations(ctx)
	if err != nil {
		return nil, err
	}
	var refusal error
	if !otherwise {
		d, err := s.renderer.Open(ctx, s.Path(), s.Password)
		switch {
		case err == nil && d.Pages() == len(s.Pages()):
			return d, nil
		case err == nil:
			d.Close() // what the renderer calls page 3 need not be ours
		case !isUnreadable(err):
			return nil, err
		}
		refusal = err
	}
	var copied bytes.Buffer
	copied.Grow(int(s.Bytes()) + 64<<10) // or growing takes twice as much
	err = s.Copy(ctx, &copied)
	var d *render.Document
	if err == nil {
		d, err = s.renderer.OpenBytes(ctx, s.Path(), copied.Bytes(), "")
	}
	if err != nil && refusal != nil && ctx.Err() == nil {
		return nil, refusal
	}
	return d, err
}

// isUnreadable tells whether the renderer refused a file for what it is.
func isUnreadable(err error) bool {
	of := func(kind error) bool { return errors.Is(err, kind) }
	return slices.ContainsFunc([]error{
		render.ErrUnreadable, render.ErrNoPages, render.ErrPassword, render.ErrWrongPassword, render.ErrEncryption, render.ErrNoPrinting,
	}, of)
}
