package publish

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
)

func TestFileIsCompleteOrAbsent(t *testing.T) {
	dir := t.TempDir()
	place := filepath.Join(dir, "proof.pdf")
	ours := Options{Replace: true, Ours: Single(func(path string) bool {
		data, err := os.ReadFile(path)
		return err == nil && string(data) != "foreign"
	})}
	text := func(s string, err error) func(context.Context, io.Writer) error {
		return func(_ context.Context, w io.Writer) error {
			_, werr := io.WriteString(w, s)
			return errors.Join(werr, err)
		}
	}
	holds := func(what string) {
		t.Helper()
		entries, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		data, _ := os.ReadFile(place)
		want := 1
		if what == "" {
			want = 0
		}
		if string(data) != what || len(entries) != want {
			t.Errorf("%q in place and %d entries, want %q alone", data, len(entries), what)
		}
	}
	failed := errors.New("a reason")
	if err := Write(t.Context(), place, Options{}, text("half", failed)); !errors.Is(err, failed) {
		t.Errorf("got %v", err)
	}
	holds("")
	if err := Write(t.Context(), place, Options{}, text("one", nil)); err != nil {
		t.Error(err)
	}
	holds("one")
	if err := Write(t.Context(), place, Options{}, text("two", nil)); !errors.Is(err, ErrExists) {
		t.Errorf("got %v, want %v", err, ErrExists)
	}
	holds("one")
	if err := Write(t.Context(), place, ours, text("two", nil)); err != nil {
		t.Error(err)
	}
	holds("two")
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := Write(ctx, place, ours, text("three", nil)); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	holds("two")
	s, err := Stage(t.Context(), place, ours, text("four", nil))
	if err != nil {
		t.Fatal(err)
	}
	if err := Write(t.Context(), place, ours, text("five", nil)); !errors.Is(err, ErrBusy) {
		t.Errorf("got %v, want %v", err, ErrBusy)
	}
	if err := s.Discard(); err != nil {
		t.Error(err)
	}
	holds("two")
	if err := os.WriteFile(place, []byte("foreign"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := Write(t.Context(), place, ours, text("six", nil)); !errors.Is(err, ErrForeign) {
		t.Errorf("got %v, want %v", err, ErrForeign)
	}
	holds("foreign")
}

// TestFoldersAboveAFile are made for a file, and taken back if none comes of it.
func TestFoldersAboveAFile(t *testing.T) {
	dir := t.TempDir()
	place := filepath.Join(dir, "gifts", "far", "kit.zip")
	above := filepath.Join(dir, "gifts")
	failed := errors.New("a reason")
	if err := Write(t.Context(), place, Options{}, func(context.Context, io.Writer) error { return failed }); !errors.Is(err, failed) {
		t.Errorf("got %v", err)
	}
	if _, err := os.Lstat(above); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("%s is left (%v)", above, err)
	}
	if err := Write(t.Context(), place, Options{}, func(context.Context, io.Writer) error { return nil }); err != nil {
		t.Error(err)
	}
	entries, err := os.ReadDir(filepath.Dir(place))
	if err != nil || len(entries) != 1 {
		t.Errorf("%v, %v", entries, err)
	}
	blocked := filepath.Join(place, "within", "kit.zip")
	if err := Write(t.Context(), blocked, Options{}, func(context.Context, io.Writer) error { return nil }); err == nil {
		t.Error("a file was taken for a folder")
	}
}
