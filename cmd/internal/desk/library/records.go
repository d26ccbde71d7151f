package library

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
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
	err = l.readRecord(shelfFile, &s)
	if errors.Is(err, fs.ErrNotExist) {
		return s, err
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

// devicesFile holds the addresses of printers by the names of their profiles.
const devicesFile = "devices.json"

// Devices are the addresses of printers that print without a dialog, by the names of their profiles.
func (l *Library) Devices() (map[string]string, error) {
	devices := map[string]string{}
	if err := l.readRecord(devicesFile, &devices); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, refusal.Output.New("%s cannot be read: %w", filepath.Join(l.dir, devicesFile), err).Advise("move it away and choose your printers again")
	}
	return devices, nil
}

// SetDevice keeps the address of a profile's printer; an empty one forgets it.
func (l *Library) SetDevice(profile, address string) error {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	devices, err := l.Devices()
	if err != nil {
		return err
	}
	devices[profile] = address
	if address == "" {
		delete(devices, profile)
	}
	return l.writeRecord(devicesFile, devices)
}

// ReadRecord reads what [Library.KeepRecord] has written into a value, which stays as it is if there is
// nothing yet. The name is the program's own, such as learning.json, which is no name of a book.
func (l *Library) ReadRecord(name string, into any) error {
	if err := l.readRecord(name, into); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return refusal.Output.New("%s cannot be read: %w", filepath.Join(l.dir, name), err).Advise("move this file away, and what it held begins anew")
	}
	return nil
}

// KeepRecord writes a value into a file of the library's folder, complete or not at all.
func (l *Library) KeepRecord(name string, record any) error {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if err := l.writeRecord(name, record); err != nil {
		return refusal.Output.New("%s cannot be written: %w", filepath.Join(l.dir, name), err)
	}
	return nil
}

// readRecord reads a record into a value. The error wraps [fs.ErrNotExist] if there is none.
func (l *Library) readRecord(name string, into any) error {
	data, err := l.root.ReadFile(name)
	if err != nil {
		return err
	}
	return json.Unmarshal(data, into)
}

// writeRecord writes a record, complete or not at all. The mutex has to be held.
func (l *Library) writeRecord(name string, record any) error {
	data, err := json.MarshalIndent(record, "", "  ")
	if err != nil {
		return err
	}
	beside := name + ".new"
	f, err := l.root.OpenFile(beside, os.O_CREATE|os.O_WRONLY|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(append(data, '\n'))
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		err = l.root.Rename(beside, name)
	}
	if err != nil {
		return errors.Join(err, l.root.Remove(beside))
	}
	return nil
}
