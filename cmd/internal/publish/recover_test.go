package publish

import (
	"context"
	"errors"
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
		left bool
	}{
		"nothing":                           {nil, false, nil, false},
		"a finished folder":                 {[]string{"book-print"}, false, []string{"book-print"}, false},
		"a lock of a dead process":          {[]string{"book-print"}, true, []string{"book-print"}, true},
		"while building":                    {[]string{".book-print.part"}, true, nil, true},
		"after the old one was moved aside": {[]string{".book-print.old", ".book-print.part"}, true, []string{"book-print"}, true},
		"before the old one was removed":    {[]string{"book-print", ".book-print.old"}, true, []string{"book-print"}, true},
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
		seen, err := Leftovers(dir)
		if err != nil || seen[place] != c.left || len(seen) > 1 {
			t.Errorf("%s: left over are %v, %v", name, seen, err)
		}
		left, err := Recover(place, ours)
		if err != nil || left != c.left {
			t.Errorf("%s: %t, %v", name, left, err)
		}
		names, _ := state(t, place)
		if len(names) != len(c.want) || len(names) == 1 && names[0] != c.want[0] {
			t.Errorf("%s: there lie %v, want %v", name, names, c.want)
		}
	}
}

func TestLeftoversOfNoFolder(t *testing.T) {
	if seen, err := Leftovers(filepath.Join(t.TempDir(), "none")); err != nil || seen == nil || len(seen) > 0 {
		t.Errorf("a folder that is not there: %v, %v", seen, err)
	}
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if seen, err := Leftovers(file); err == nil || seen != nil {
		t.Errorf("a file: %v, %v", seen, err)
	}
}

func TestRecoverLeavesALivingRunAlone(t *testing.T) {
	place := filepath.Join(t.TempDir(), "book-print")
	err := Folder(t.Context(), place, Options{Ours: ours}, func(ctx context.Context, dir string) error {
		if left, err := Recover(place, ours); !left || !errors.Is(err, ErrBusy) {
			t.Errorf("%t, %v", left, err)
		}
		return builder("new")(ctx, dir)
	})
	if err != nil {
		t.Fatal(err)
	}
	expect(t, place, "new", "book-print")
}

func TestFile(t *testing.T) {
	dir := t.TempDir()
	place := filepath.Join(dir, "report.json")
	for _, text := range []string{"first", "second"} {
		if err := os.WriteFile(pathBeside(place, partSuffix), []byte("half of a killed one"), 0o666); err != nil {
			t.Fatal(err)
		}
		if err := File(place, []byte(text)); err != nil {
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
	if err := File(place, nil); !errors.Is(err, ErrBusy) {
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
	if err := File(blocked, nil); !errors.As(err, &path) && !errors.As(err, &link) {
		t.Errorf("got %v", err)
	}
	if names, _ := state(t, place); len(names) != 2 {
		t.Errorf("there lie %v", names)
	}
}
