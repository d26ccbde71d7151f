package publish

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

const mark = "ours"

// more is a file of ours beside the one that marks a folder.
const more = "front.pdf"

func ours(dir string) []string {
	if _, err := os.Stat(filepath.Join(dir, mark)); err != nil {
		return nil
	}
	return []string{more, mark}
}

func folderWith(t *testing.T, dir, text string) {
	t.Helper()
	if err := os.MkdirAll(dir, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, mark), []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

func builder(text string) func(context.Context, string) error {
	return func(_ context.Context, dir string) error {
		return os.WriteFile(filepath.Join(dir, mark), []byte(text), 0o666)
	}
}

// state is what lies in the parent folder, and what the place holds.
func state(t *testing.T, place string) (names []string, content string) {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(place))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	data, _ := os.ReadFile(filepath.Join(place, mark))
	return names, string(data)
}

func expect(t *testing.T, place, content string, names ...string) {
	t.Helper()
	gotNames, got := state(t, place)
	if got != content || !slices.Equal(gotNames, names) {
		t.Errorf("the place holds %q among %v, want %q among %v", got, gotNames, content, names)
	}
}

func TestNewFolderAppearsAlone(t *testing.T) {
	place := filepath.Join(t.TempDir(), "book-print")
	if err := Folder(t.Context(), place, Options{Ours: ours}, builder("new")); err != nil {
		t.Fatal(err)
	}
	expect(t, place, "new", "book-print")
}

func TestExistingFolderStays(t *testing.T) {
	place := filepath.Join(t.TempDir(), "book-print")
	folderWith(t, place, "old")
	err := Folder(t.Context(), place, Options{Ours: ours}, builder("new"))
	if !errors.Is(err, ErrExists) {
		t.Errorf("got %v", err)
	}
	expect(t, place, "old", "book-print")
}

func TestReplaceTakesOnlyOurs(t *testing.T) {
	place := filepath.Join(t.TempDir(), "book-print")
	folderWith(t, place, "old")
	if err := Folder(t.Context(), place, Options{Replace: true, Ours: ours}, builder("new")); err != nil {
		t.Fatal(err)
	}
	expect(t, place, "new", "book-print")

	if err := os.Rename(filepath.Join(place, mark), filepath.Join(place, "holiday.jpg")); err != nil {
		t.Fatal(err)
	}
	err := Folder(t.Context(), place, Options{Replace: true, Ours: ours}, builder("newer"))
	if !errors.Is(err, ErrForeign) {
		t.Errorf("got %v", err)
	}
	if _, err := os.Stat(filepath.Join(place, "holiday.jpg")); err != nil {
		t.Error(err)
	}
}

func TestFailureLeavesNothing(t *testing.T) {
	boom := errors.New("boom")
	for name, old := range map[string]bool{"without an old folder": false, "with an old folder": true} {
		place := filepath.Join(t.TempDir(), "deep", "er", "book-print")
		want := []string{"book-print"}
		if old {
			folderWith(t, place, "old")
		}
		err := Folder(t.Context(), place, Options{Replace: true, Ours: ours}, func(ctx context.Context, dir string) error {
			if err := builder("half")(ctx, dir); err != nil {
				return err
			}
			return boom
		})
		if !errors.Is(err, boom) {
			t.Errorf("%s: got %v", name, err)
		}
		if old {
			expect(t, place, "old", want...)
		} else if _, err := os.Stat(filepath.Dir(filepath.Dir(place))); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%s: the folders above were left: %v", name, err)
		}
	}
}

func TestInterruptedBuildLeavesNothing(t *testing.T) {
	place := filepath.Join(t.TempDir(), "book-print")
	ctx, cancel := context.WithCancel(t.Context())
	err := Folder(ctx, place, Options{Ours: ours}, func(ctx context.Context, dir string) error {
		cancel()
		return builder("new")(ctx, dir)
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if names, _ := state(t, place); len(names) != 0 {
		t.Errorf("left %v", names)
	}
}

// TestEveryKillIsFinishedOrUndone puts the folders as a kill at each moment
// leaves them; the next call, even one that is refused, puts them right.
func TestEveryKillIsFinishedOrUndone(t *testing.T) {
	for name, c := range map[string]struct {
		lie  []string // folders that were left, by what they hold
		want string   // what the place holds once a call without replace has been refused or done
	}{
		"while building":                    {[]string{".book-print.part=half"}, "new"},
		"while building over an old one":    {[]string{"book-print=old", ".book-print.part=half"}, "old"},
		"after the old one was moved aside": {[]string{".book-print.old=old", ".book-print.part=whole"}, "old"},
		"before the old one was removed":    {[]string{"book-print=newer", ".book-print.old=old"}, "newer"},
	} {
		dir := t.TempDir()
		place := filepath.Join(dir, "book-print")
		for _, f := range c.lie {
			at := slices.Index([]byte(f), '=')
			folderWith(t, filepath.Join(dir, f[:at]), f[at+1:])
		}
		if err := os.WriteFile(filepath.Join(dir, ".book-print.lock"), nil, 0o666); err != nil {
			t.Fatal(err)
		}
		err := Folder(t.Context(), place, Options{Ours: ours}, builder("new"))
		if (c.want == "new") != (err == nil) {
			t.Errorf("%s: %v", name, err)
		}
		expect(t, place, c.want, "book-print")
	}
}

func TestTwoCallsDontMeet(t *testing.T) {
	place := filepath.Join(t.TempDir(), "book-print")
	err := Folder(t.Context(), place, Options{Ours: ours}, func(ctx context.Context, dir string) error {
		if err := Folder(ctx, place, Options{Ours: ours}, builder("second")); !errors.Is(err, ErrBusy) {
			t.Errorf("the second call: %v", err)
		}
		return builder("first")(ctx, dir)
	})
	if err != nil {
		t.Fatal(err)
	}
	expect(t, place, "first", "book-print")
}

func TestFaultsNameThePlace(t *testing.T) {
	place := filepath.Join(t.TempDir(), "book-print")
	err := Folder(t.Context(), place, Options{Ours: ours}, func(_ context.Context, dir string) error {
		return os.WriteFile(filepath.Join(dir, "no", "such", "folder"), nil, 0o666)
	})
	var path *fs.PathError
	if !errors.As(err, &path) || path.Path != place || !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("got %v", err)
	}
}

func TestPlaceBelowAFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	err := Folder(t.Context(), filepath.Join(file, "x", "book-print"), Options{Ours: ours}, builder("new"))
	var path *fs.PathError
	if !errors.As(err, &path) {
		t.Errorf("got %v", err)
	}
}
