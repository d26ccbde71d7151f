package survey

import (
	"context"
	"errors"
	"sync"
)

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
