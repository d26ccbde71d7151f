package output

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/reorder/refusal"
)

// tree is a folder with a source and a job that was prepared from it, at some
// distance from each other.
func tree(t *testing.T, set surrounding) (root string, made []byte) {
	t.Helper()
	data, err := os.ReadFile(printtest.Book(t, 5))
	if err != nil {
		t.Fatal(err)
	}
	root = t.TempDir()
	source := filepath.Join(root, "shelf", "far", "tides.pdf")
	if err := errors.Join(os.MkdirAll(filepath.Dir(source), 0o777), os.WriteFile(source, data, 0o600)); err != nil {
		t.Fatal(err)
	}
	d, err := draftOf(t.Context(), source, options.Options{}, set)
	if err != nil {
		t.Fatal(err)
	}
	place := filepath.Join(root, "desk", "tides-print")
	if _, err := d.Write(t.Context(), place, false, silent{}); err != nil {
		t.Fatal(err)
	}
	made, err = os.ReadFile(filepath.Join(place, plan.File))
	if err != nil {
		t.Fatal(err)
	}
	return root, made
}

// found is where the source of the job in a folder is found; empty if nowhere.
func found(t *testing.T, folder string) string {
	t.Helper()
	made, err := plan.Read(folder)
	if err != nil {
		t.Fatal(err)
	}
	path, err := plan.FindSource(folder, made.Source)
	if err != nil && refusal.Of(err) != refusal.Source {
		t.Fatal(err)
	}
	return path
}

func same(t *testing.T, a, b string) bool {
	t.Helper()
	left, errLeft := os.Stat(a)
	right, errRight := os.Stat(b)
	return errLeft == nil && errRight == nil && os.SameFile(left, right)
}

// TestPlanIsTheSameWhereverTheTreeLies prepares the same job in two trees, and
// finds each source, also when its tree has been moved.
func TestPlanIsTheSameWhereverTheTreeLies(t *testing.T) {
	set := setting(t)
	one, made := tree(t, set)
	// Deeper, so that a way by the root of the file system would be another one.
	t.Setenv("TMPDIR", filepath.Join(t.TempDir(), "a", "b"))
	if err := os.MkdirAll(os.Getenv("TMPDIR"), 0o777); err != nil {
		t.Fatal(err)
	}
	two, again := tree(t, set)
	if string(made) != string(again) {
		t.Errorf("the plans differ: %s and %s", made, again)
	}
	var told struct{ Source plan.Source }
	if err := json.Unmarshal(made, &told); err != nil || told.Source.Path != "../../shelf/far/tides.pdf" {
		t.Errorf("the way is %q, %v", told.Source.Path, err)
	}
	moved := filepath.Join(t.TempDir(), "moved")
	if err := os.Rename(two, moved); err != nil {
		t.Fatal(err)
	}
	for _, root := range []string{one, moved} {
		if got := found(t, filepath.Join(root, "desk", "tides-print")); !same(t, got, filepath.Join(root, "shelf", "far", "tides.pdf")) {
			t.Errorf("found at %q", got)
		}
	}
}

// TestSourceIsFoundThroughLinks has links on the way to the source, on the way
// to the folder when it is written, and when it is read.
func TestSourceIsFoundThroughLinks(t *testing.T) {
	if runtime.GOOS == "windows" {
		return // links need a permission there
	}
	root := t.TempDir()
	data, err := os.ReadFile(printtest.Book(t, 5))
	if err != nil {
		t.Fatal(err)
	}
	at := func(parts ...string) string { return filepath.Join(append([]string{root}, parts...)...) }
	store := at("store", "deep", "0042")
	if err := errors.Join(
		os.MkdirAll(at("store", "deep"), 0o777), os.MkdirAll(at("work", "a", "b"), 0o777), os.WriteFile(store, data, 0o600),
		os.Symlink(at("store", "deep"), at("books")), os.Symlink(store, at("store", "deep", "tides.pdf")),
		os.Symlink(at("work", "a", "b"), at("desk")),
	); err != nil {
		t.Fatal(err)
	}
	set := setting(t)
	d, err := draftOf(t.Context(), at("books", "tides.pdf"), options.Options{}, set)
	if err != nil {
		t.Fatal(err)
	}
	made, err := d.Write(t.Context(), at("desk", "tides-print"), false, silent{})
	if err != nil {
		t.Fatal(err)
	}
	if want := "../../../../store/deep/tides.pdf"; made.Source.Path != want {
		t.Errorf("the way is %q, want %q", made.Source.Path, want)
	}
	if err := os.Symlink(at("work", "a", "b", "tides-print"), at("print")); err != nil {
		t.Fatal(err)
	}
	for _, folder := range []string{at("desk", "tides-print"), at("work", "a", "b", "tides-print"), at("print")} {
		if got := found(t, folder); !same(t, got, store) {
			t.Errorf("from %s it is found at %q", folder, got)
		}
	}
	t.Chdir(at("print"))
	if got := found(t, "."); !same(t, got, store) {
		t.Errorf("from within it is found at %q", got)
	}
}

// TestSourceIsLookedForInItsOrder moves the source about.
func TestSourceIsLookedForInItsOrder(t *testing.T) {
	root, _ := tree(t, setting(t))
	folder := filepath.Join(root, "desk", "tides-print")
	then, beside := filepath.Join(root, "shelf", "far", "tides.pdf"), filepath.Join(root, "desk", "tides.pdf")
	t.Chdir(t.TempDir())
	data, err := os.ReadFile(then)
	if err != nil {
		t.Fatal(err)
	}
	other := append([]byte("%another\n"), data...)
	for _, c := range []struct {
		what string
		lie  map[string][]byte
		want string
	}{
		{"everywhere", map[string][]byte{then: data, beside: data, "tides.pdf": data}, then},
		{"beside and here", map[string][]byte{beside: data, "tides.pdf": data}, beside},
		{"here", map[string][]byte{"tides.pdf": data}, "tides.pdf"},
		{"another file where it was", map[string][]byte{then: other, beside: data}, beside},
		{"other files at two places", map[string][]byte{then: other, beside: other, "tides.pdf": data}, "tides.pdf"},
		{"only other files", map[string][]byte{then: other, "tides.pdf": other}, then},
		{"nowhere", nil, ""},
	} {
		for _, path := range []string{then, beside, "tides.pdf"} {
			if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
				t.Fatal(err)
			}
			if data := c.lie[path]; data != nil {
				if err := os.WriteFile(path, data, 0o600); err != nil {
					t.Fatal(err)
				}
			}
		}
		if got := found(t, folder); got != c.want && !same(t, got, c.want) {
			t.Errorf("%s: found at %q, want %q", c.what, got, c.want)
		}
	}
}

// TestWaysOfOthersAreNotFollowed has plans with ways that this program never
// writes.
func TestWaysOfOthersAreNotFollowed(t *testing.T) {
	root, _ := tree(t, setting(t))
	folder := filepath.Join(root, "desk", "tides-print")
	made, err := plan.Read(folder)
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	for _, way := range []string{
		filepath.ToSlash(filepath.Join(root, "shelf", "far", "tides.pdf")), "plan.json", "./plan.json", "..", "../../shelf", "../\x00", `\\server\tides.pdf`, "C:/tides.pdf",
	} {
		made.Source.Path = way
		if path, err := plan.FindSource(folder, made.Source); err == nil {
			t.Errorf("%q leads to %s", way, path)
		}
	}
}

// TestNoWayThatJSONCannotHold leaves the way out rather than remember another one.
func TestNoWayThatJSONCannotHold(t *testing.T) {
	root := t.TempDir()
	if err := os.Mkdir(filepath.Join(root, "tides\xff"), 0o777); err != nil {
		t.Skip("this file system has only names in UTF-8")
	}
	if way := plan.WayTo(filepath.Join(root, "tides\xff", "tides.pdf"), root); way != "" {
		t.Errorf("the way is %q", way)
	}
	if way := plan.WayTo(filepath.Join(root, "nowhere", "tides.pdf"), root); way != "" {
		t.Errorf("to what is not there it is %q", way)
	}
}
