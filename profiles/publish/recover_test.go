package publish

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"foldwright/profiles/lock"
)

func TestRecover(t *testing.T) {
	for name, c := range map[string]struct {
		lie  []string // folders that were left, each holding its own name
		lock bool
		want []string // what lies there afterwards
	}{
		"nothing":                           {nil, false, nil},
		"a finished folder":                 {[]string{"book-print"}, false, []string{"book-print"}},
		"a lock of a dead process":          {[]string{"book-print"}, true, []string{"book-print"}},
		"while building":                    {[]string{".book-print.part"}, true, nil},
		"after the old one was moved aside": {[]string{".book-print.old", ".book-print.part"}, true, []string{"book-print"}},
		"before the old one was removed":    {[]string{"book-print", ".book-print.old"}, true, []string{"book-print"}},
	} {
		dir := t.TempDir()
		place := filepath.Join(dir, "book-print")
		for _, f := range c.lie {
			folderWith(t, filepath.Join(dir, f), f)
		}
		if c.lock {
			if err := os.WriteFile(pathBeside(place, lockSuffix), nil, 0o666); err != nil {
				t.Fatal(err)
			}
		}
		if err := Recover(place, ours); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		names, _ := state(t, place)
		if len(names) != len(c.want) || len(names) == 1 && names[0] != c.want[0] {
			t.Errorf("%s: there lie %v, want %v", name, names, c.want)
		}
	}
}

func TestRecoverLeavesALivingRunAlone(t *testing.T) {
	place := filepath.Join(t.TempDir(), "book-print")
	err := Folder(t.Context(), place, Options{Ours: ours}, func(ctx context.Context, dir string) error {
		if err := Recover(place, ours); !errors.Is(err, ErrBusy) {
			t.Error(err)
		}
		return builder("new")(ctx, dir)
	})
	if err != nil {
		t.Fatal(err)
	}
	expect(t, place, "new", "book-print")
}

// writeAnything writes a file over whatever lies in its place.
func writeAnything(t *testing.T, place, text string) error {
	t.Helper()
	return Write(t.Context(), place, Options{Replace: true, Ours: Anything}, func(_ context.Context, w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	})
}

func TestFileThatIsReplaced(t *testing.T) {
	dir := t.TempDir()
	place := filepath.Join(dir, "report.json")
	for _, text := range []string{"first", "second"} {
		if err := os.WriteFile(pathBeside(place, partSuffix), []byte("half of a killed one"), 0o666); err != nil {
			t.Fatal(err)
		}
		if err := writeAnything(t, place, text); err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile(place)
		if err != nil || string(got) != text {
			t.Errorf("got %q, %v", got, err)
		}
	}
	if names, _ := state(t, place); len(names) != 1 {
		t.Errorf("there lie %v", names)
	}
	held, err := lock.Acquire(pathBeside(place, lockSuffix))
	if err != nil {
		t.Fatal(err)
	}
	if err := writeAnything(t, place, ""); !errors.Is(err, ErrBusy) {
		t.Errorf("beside another run: %v", err)
	}
	if err := held.Release(); err != nil {
		t.Fatal(err)
	}

	// A folder in the way.
	blocked := filepath.Join(dir, "blocked")
	folderWith(t, blocked, "full")
	var path *fs.PathError
	var link *os.LinkError
	if err := writeAnything(t, blocked, ""); !errors.As(err, &path) && !errors.As(err, &link) {
		t.Errorf("got %v", err)
	}
	if names, _ := state(t, place); len(names) != 2 {
		t.Errorf("there lie %v", names)
	}
}
