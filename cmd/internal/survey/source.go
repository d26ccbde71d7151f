package survey

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"sync"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
)

// Source is what a book is made of: a PDF, several that are read one after the other, or none.
type Source struct {
	*pdf.Sequence
	Name     string // what the book is called by its files, without their folders
	Parts    []Part // the files, in reading order
	renderer *render.Renderer
	mutex    *sync.Mutex   // of small
	small    map[int]small // of its pages, as far as they have been drawn
	others   *others       // that were opened beside it
	without  *Source       // the source without the pages that were made for it; nil: it has none
}

// Part is one file of a source.
type Part struct {
	*pdf.Document
	Password string
}

// Given is the source as it was opened, without pages that [Look] has made for it.
func (s *Source) Given() *Source {
	if s.without != nil {
		return s.without
	}
	return s
}

// Nothing is a source without files, for a book that is made of none.
func (s *Source) Nothing() *Source { return newSource(s.renderer) }

// newSource is a source of files in reading order.
func newSource(renderer *render.Renderer, parts ...Part) *Source {
	var docs []*pdf.Document
	var paths []string
	for _, p := range parts {
		docs, paths = append(docs, p.Document), append(paths, p.Path())
	}
	return &Source{
		Sequence: pdf.NewSequence(docs...), Name: NameOf(paths...), Parts: parts, renderer: renderer,
		mutex: &sync.Mutex{}, small: map[int]small{}, others: &others{open: map[string]*Source{}},
	}
}

// NameOf is what a book of files is called: journal.pdf, journal.pdf and tides.pdf, journal.pdf and 3 more files.
func NameOf(paths ...string) string {
	if len(paths) == 0 {
		return "blank book"
	}
	first := filepath.Base(paths[0])
	switch len(paths) {
	case 1:
		return first
	case 2:
		return first + " and " + filepath.Base(paths[1])
	}
	return fmt.Sprintf("%s and %d more files", first, len(paths)-1)
}

// Together is sources read one after the other as one. It is closed instead of them.
func Together(renderer *render.Renderer, sources ...*Source) *Source {
	if len(sources) == 1 {
		return sources[0]
	}
	var parts []Part
	for _, s := range sources {
		parts = append(parts, s.Parts...)
	}
	return newSource(renderer, parts...)
}

// OpenBook opens files that are read one after the other as one source; open opens each of them, as [Open]
// does. A blank book has none.
func OpenBook(renderer *render.Renderer, paths []string, open func(path string) (*Source, error)) (*Source, error) {
	var opened []*Source
	for _, path := range paths {
		source, err := open(path)
		if err != nil {
			for _, before := range opened {
				err = errors.Join(err, before.Close())
			}
			return nil, err
		}
		opened = append(opened, source)
	}
	return Together(renderer, opened...), nil
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
	return newSource(renderer, Part{doc, password}), nil
}

// Render opens the source once more, to be drawn as it is printed. Where it is several files, or
// the renderer can't read it, or would draw its annotations otherwise than package pdf
// prints them, the renderer gets that package's copy. The caller closes what is returned.
func (s *Source) Render(ctx context.Context) (*render.Document, error) {
	otherwise, err := s.DrawsAnnotations(ctx)
	if err != nil {
		return nil, err
	}
	var refusal error
	if !otherwise && len(s.Documents()) == 1 && len(s.Parts) == 1 {
		d, err := s.renderer.Open(ctx, s.Path(), s.Parts[0].Password)
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

// others are sources of leaves that are laid into a book, by their paths.
type others struct {
	mutex sync.Mutex
	open  map[string]*Source
}

// Beside is the source of leaves that are laid into the book. It is opened once, and closed with the book's. The
// errors are those of [pdf.Open].
func (s *Source) Beside(ctx context.Context, path string) (*Source, error) {
	s.others.mutex.Lock()
	defer s.others.mutex.Unlock()
	if o := s.others.open[path]; o != nil {
		return o, nil
	}
	o, err := Open(ctx, path, "", s.renderer)
	if err == nil {
		s.others.open[path] = o
	}
	return o, err
}

// Close closes the files, and those that were opened beside them.
func (s *Source) Close() error {
	errs := []error{s.Sequence.Close()}
	s.others.mutex.Lock()
	defer s.others.mutex.Unlock()
	for path, o := range s.others.open {
		errs = append(errs, o.Close())
		delete(s.others.open, path)
	}
	return errors.Join(errs...)
}
