// Package regular opens files that are files, and nothing else: opening a named
// pipe waits until somebody writes into it, a device can do anything, and neither
// can be read from any place. [Open] and [Read] refuse them with a [*KindError]
// before they are opened.
package regular

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"foldwright/reorder/refusal"
)

// KindError says what there is where a file was wanted. The [*fs.PathError]
// around it has the path.
type KindError struct{ Mode fs.FileMode }

func (e *KindError) Error() string {
	return fmt.Sprintf("is %s, not a regular file", e.describe())
}

func (e *KindError) Kind() refusal.Kind { return refusal.Source }

func (e *KindError) describe() string {
	switch mode := e.Mode; {
	case mode.IsDir():
		return "a folder"
	case mode&fs.ModeNamedPipe != 0:
		return "a named pipe"
	case mode&fs.ModeSocket != 0:
		return "a socket"
	case mode&fs.ModeDevice != 0:
		return "a device"
	}
	return "something else"
}

// Check refuses what is no regular file. It follows links.
func Check(path string) error {
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	return check(path, info)
}

func check(path string, info fs.FileInfo) error {
	if info.Mode().IsRegular() {
		return nil
	}
	return &fs.PathError{Op: "open", Path: path, Err: &KindError{info.Mode()}}
}

// Open opens a regular file for reading. It looks before, because opening alone can do
// something to a device, and at what it has opened, which may be another by then.
func Open(path string) (*os.File, error) {
	if err := Check(path); err != nil {
		return nil, err
	}
	f, err := open(path)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err == nil {
		err = check(path, info)
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}

// Read reads all of a regular file that has at most so many bytes, and refuses a larger one.
func Read(path string, most int64) ([]byte, error) {
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(data)) > most {
		err = &fs.PathError{Op: "read", Path: path, Err: refusal.Source.New("is larger than %d MB, so it cannot be what was wanted", most/1_000_000)}
	}
	if err != nil {
		return nil, err
	}
	return data, nil
}

// Sentence says what is wrong with a file, or with a page of it (0: no page in particular), under the name that
// the person gave it.
func Sentence(file string, page int, err error) string {
	if path, ok := errors.AsType[*fs.PathError](err); ok {
		return fmt.Sprintf("%s: %v", file, path.Err)
	}
	if page > 0 {
		return fmt.Sprintf("%s: page %d %v", file, page, err)
	}
	return fmt.Sprintf("%s %v", file, err)
}
