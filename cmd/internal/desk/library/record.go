package library

import (
	"encoding/json"
	"errors"
	"io/fs"
	"path/filepath"

	"foldwright/reorder/refusal"
)

// ReadRecord reads what [Library.KeepRecord] has written into a value, which stays as it is if there is
// nothing yet. The name is the program's own, such as learning.json, which is no name of a book.
func (l *Library) ReadRecord(name string, into any) error {
	data, err := l.root.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err == nil {
		err = json.Unmarshal(data, into)
	}
	if err != nil {
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
