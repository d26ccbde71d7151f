package library

import (
	"encoding/json"
	"errors"
	"io/fs"
	"path/filepath"
	"time"

	"foldwright/reorder/refusal"
)

// Shelf is the books that were prepared together last. What became of each stands in the report of
// package shelf, which lies beside it.
type Shelf struct {
	Kind   string      `json:"kind"`
	Format int         `json:"format"`
	Began  time.Time   `json:"began"`
	Books  []ShelfBook `json:"books"` // in the order of the page
	Ended  bool        `json:"ended"` // every book was reached
}

// ShelfBook is a book of a shelf, and its name at that time, which outlasts it.
type ShelfBook struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

const (
	shelfFile   = "shelf.json"
	shelfKind   = "foldwright shelf"
	shelfFormat = 1
)

// Shelf is the last shelf. The error wraps [fs.ErrNotExist] if there is none.
func (l *Library) Shelf() (s Shelf, err error) {
	data, err := l.root.ReadFile(shelfFile)
	if errors.Is(err, fs.ErrNotExist) {
		return s, err
	}
	if err == nil {
		err = json.Unmarshal(data, &s)
	}
	if err == nil && (s.Kind != shelfKind || s.Format != shelfFormat) {
		err = errors.New("it is of another kind")
	}
	if err != nil {
		return Shelf{}, refusal.Plan.New("where the last shelf stood cannot be told, for %s is damaged: %w", filepath.Join(l.dir, shelfFile), err).
			Advise("start a shelf anew: books that are ready stay ready")
	}
	return s, nil
}

// KeepShelf writes down which books are prepared together.
func (l *Library) KeepShelf(s Shelf) error {
	s.Kind, s.Format = shelfKind, shelfFormat
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return l.writeRecord(shelfFile, s)
}
