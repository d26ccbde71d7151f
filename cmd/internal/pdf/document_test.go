package pdf

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// TestUnchanged writes a source after it was opened, in ways that show in its
// size, in its time, or only in its bytes.
func TestUnchanged(t *testing.T) {
	whole, err := os.ReadFile("../../../testdata/larkhaven.pdf")
	if err != nil {
		t.Fatal(err)
	}
	hour := time.Now().Add(-time.Hour)
	for name, c := range map[string]struct {
		opened time.Time // time of the last change before it is opened
		write  func(path string) error
		want   error
	}{
		"left alone":          {hour, func(string) error { return nil }, nil},
		"just made":           {time.Now(), func(string) error { return nil }, nil},
		"longer":              {hour, func(p string) error { return appendTo(p, hour) }, ErrChanged},
		"later":               {hour, func(p string) error { return flip(p, time.Now()) }, ErrChanged},
		"same time, new file": {time.Now(), func(p string) error { return flip(p, time.Time{}) }, ErrChanged},
		"another in its place": {hour, func(p string) error {
			return errors.Join(os.WriteFile(p+".new", whole[:100], 0o600), os.Rename(p+".new", p))
		}, nil},
		"taken away": {hour, os.Remove, nil},
	} {
		path := filepath.Join(t.TempDir(), "book.pdf")
		if err := os.WriteFile(path, whole, 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(path, c.opened, c.opened); err != nil {
			t.Fatal(err)
		}
		d, err := Open(t.Context(), path, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := c.write(path); err != nil {
			t.Fatal(err)
		}
		if err := d.CheckUnchanged(); !errors.Is(err, c.want) {
			t.Errorf("%s: got %v, want %v", name, err, c.want)
		}
		if err := d.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

func appendTo(path string, then time.Time) error {
	f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = f.WriteString("%")
	return errors.Join(err, f.Close(), os.Chtimes(path, then, then))
}

// flip changes one byte; a zero then puts the time back as it was.
func flip(path string, then time.Time) error {
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	_, err = f.WriteAt([]byte("!"), info.Size()/2)
	if then.IsZero() {
		then = info.ModTime()
	}
	return errors.Join(err, f.Close(), os.Chtimes(path, then, then))
}
