package profiles

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"foldwright/printer"
	"foldwright/profiles/lock"
	"foldwright/profiles/publish"
	"foldwright/reorder/refusal"
)

// full is a profile with every key.
func full() Profile {
	return Profile{
		Format: Format, Name: "workroom", Facts: printer.Usual, Assumed: []string{"stacks", "sends"},
		TraySheets: 50, Tray: Upright, Process: Inkjet, Paper: "a4",
		KeepClear: &printer.KeepClear{Head: 4.2, Tail: 15, Left: 4.2, Right: 5},
		Registration: printer.Registration{
			Both: printer.Shift{Right: 0.5, Up: -1}, Back: printer.Shift{Right: 0.25, Up: 0.5},
		},
		Scale: printer.Scalings{Front: printer.Scaling{Across: 1.002, Along: 0.999}, Back: printer.Scaling{Across: 1, Along: 1.001}},
		Note:  "heavy paper: no frames # and a mark that YAML would take for a comment\nin two lines",
	}
}

// TestSavedIsReadAgain saves every printer there is, and a profile with every
// key, and reads them again.
func TestSavedIsReadAgain(t *testing.T) {
	s := Store{filepath.Join(t.TempDir(), "not", "made", "yet")}
	all := []Profile{full()}
	for _, f := range printer.Legal() {
		all = append(all, Profile{Format: Format, Name: "one", Facts: f})
	}
	for _, p := range all {
		path, err := s.Save(p, true)
		if err != nil {
			t.Fatal(err)
		}
		again, err := s.Find(p.Name)
		if err != nil || !reflect.DeepEqual(again, p) {
			t.Fatalf("%s is read as %+v, %v; want %+v", path, again, err, p)
		}
	}
	names, err := os.ReadDir(s.Dir)
	if err != nil || len(names) != 2 {
		t.Errorf("the folder holds %v, %v; want two profiles", names, err)
	}
}

// TestEveryFactIsExplained and the assumed ones are marked.
func TestEveryFactIsExplained(t *testing.T) {
	data, err := full().YAML()
	if err != nil {
		t.Fatal(err)
	}
	facts := map[string]bool{}
	for _, f := range reflect.VisibleFields(reflect.TypeFor[printer.Facts]()) {
		key, _, _ := strings.Cut(f.Tag.Get("yaml"), ",")
		facts[key] = true
		for line := range strings.Lines(string(data)) {
			if !strings.HasPrefix(line, key+":") {
				continue
			}
			_, says, _ := strings.Cut(line, "#")
			assumed := key == "stacks" || key == "sends"
			if len(says) < 30 || strings.Contains(says, "ASSUMED") != assumed || len(line) > 105 {
				t.Errorf("%s is explained by %q", key, says)
			}
		}
	}
	for key := range about {
		if !facts[key] {
			t.Errorf("%s is explained and no fact", key)
		}
	}
}

func TestNames(t *testing.T) {
	for _, good := range []string{"desk", "workroom 2", "Küche", "a.b", "console"} {
		if err := checkName(good); err != nil {
			t.Errorf("%q: %v", good, err)
		}
	}
	for _, bad := range []string{
		"", "a/b", `a\b`, "desk.yaml", "desk.YAML", ".hidden", "-x", "x ", "x.", " x", "con", "NUL.old", "a:b", "a\nb", "\xff",
		Guess, strings.ToUpper(Guess), strings.Repeat("x", longestName+1),
	} {
		if err := checkName(bad); refusal.Of(err) != refusal.Use {
			t.Errorf("%q: %v", bad, err)
		}
		if _, err := (Store{t.TempDir()}).Save(Profile{Name: bad, Facts: printer.Usual}, true); refusal.Of(err) != refusal.Use {
			t.Errorf("saving %q: %v", bad, err)
		}
	}
}

func TestSaveReplacesOnlyWhenAsked(t *testing.T) {
	s := Store{t.TempDir()}
	p := full()
	path, err := s.Save(p, false)
	if err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p.TraySheets = 7
	var where *fs.PathError
	if _, err := s.Save(p, false); !errors.Is(err, ErrExists) || !errors.As(err, &where) || where.Path != path {
		t.Errorf("saved over: %v", err)
	}
	if after, err := os.ReadFile(path); err != nil || string(after) != string(before) {
		t.Errorf("the refused profile was written all the same: %v", err)
	}
	if _, err := s.Save(p, true); err != nil {
		t.Fatal(err)
	}
	if again, err := s.Find(p.Name); err != nil || again.TraySheets != 7 {
		t.Errorf("%+v, %v", again, err)
	}
	p.Reload = printer.TurnLong // prints one face twice
	if _, err := s.Save(p, true); err == nil || !strings.Contains(err.Error(), "would print the same side twice") {
		t.Errorf("a contradiction was saved: %v", err)
	}
}

// TestFailedWriteLeavesTheOldProfile: the folder takes no new file.
func TestFailedWriteLeavesTheOldProfile(t *testing.T) {
	s := Store{t.TempDir()}
	path, err := s.Save(full(), false)
	if err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	// What stands in the way of a rename, on every system and for every user,
	// is a folder that is not empty.
	blocked := filepath.Join(s.Dir, "blocked")
	if err := os.MkdirAll(filepath.Join(blocked, "full"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := publish.WriteOver(blocked, []byte("x")); err == nil {
		t.Error("a folder was written over")
	}
	entries, err := os.ReadDir(s.Dir)
	if err != nil || len(entries) != 2 {
		t.Errorf("%v, %v: something was left beside", entries, err)
	}
	if after, err := os.ReadFile(path); err != nil || string(after) != string(before) {
		t.Errorf("the old profile has changed: %v", err)
	}
}

// TestHalfWrittenFilesAreNoProfiles: what a kill leaves beside a profile is
// neither listed nor read.
func TestHalfWrittenFilesAreNoProfiles(t *testing.T) {
	s := Store{t.TempDir()}
	if err := os.WriteFile(filepath.Join(s.Dir, ".desk.yaml.part"), []byte("format: 1\nna"), 0o600); err != nil {
		t.Fatal(err)
	}
	names, err := s.Names()
	if err != nil || len(names) != len(Builtin()) {
		t.Errorf("%v, %v", names, err)
	}
}

// TestWhatKillsLeftGoes with the next file of the same name that is written, and
// nothing else does.
func TestWhatKillsLeftGoes(t *testing.T) {
	writes := map[string]func(Store) error{
		"workroom.yaml":   func(s Store) error { _, err := s.Save(full(), false); return err },
		"default-printer": func(s Store) error { return s.SetDefault(Guess) },
	}
	for file, write := range writes {
		s := Store{t.TempDir()}
		left := []string{"." + file + ".part", "." + file + ".lock"}
		stays := []string{"desk.yaml.part", ".letter.txt.part", "notes.part"}
		for _, name := range slices.Concat(left, stays) {
			if err := os.WriteFile(filepath.Join(s.Dir, name), []byte("half"), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if err := write(s); err != nil {
			t.Fatal(err)
		}
		for _, name := range left {
			if _, err := os.Lstat(filepath.Join(s.Dir, name)); !errors.Is(err, fs.ErrNotExist) {
				t.Errorf("%s: %s is left, %v", file, name, err)
			}
		}
		for _, name := range stays {
			if _, err := os.Lstat(filepath.Join(s.Dir, name)); err != nil {
				t.Errorf("%s: %v", file, err)
			}
		}
	}
}

// TestWritersDontTakeEachOthersFiles: what is left is told from what another
// run is just writing by the lock.
func TestWritersDontTakeEachOthersFiles(t *testing.T) {
	s := Store{t.TempDir()}
	held, err := lock.Acquire(filepath.Join(s.Dir, ".default-printer.lock"))
	if err != nil {
		t.Fatal(err)
	}
	writing := filepath.Join(s.Dir, ".default-printer.part")
	if err := os.WriteFile(writing, []byte("half"), 0o600); err != nil {
		t.Fatal(err)
	}
	done := make(chan error)
	go func() { done <- s.SetDefault(Guess) }()
	select {
	case err := <-done:
		t.Fatalf("it did not wait: %v", err)
	case <-time.After(100 * time.Millisecond):
	}
	if _, err := os.Lstat(writing); err != nil {
		t.Error(err)
	}
	if err := held.Release(); err != nil {
		t.Fatal(err)
	}
	if err := <-done; err != nil {
		t.Error(err)
	}

	var group sync.WaitGroup
	for i := range 20 {
		group.Go(func() {
			p := full()
			p.Name = fmt.Sprint("desk", i%3)
			if _, err := s.Save(p, true); err != nil {
				t.Error(err)
			}
		})
	}
	group.Wait()
	if entries, err := os.ReadDir(s.Dir); err != nil || len(entries) != 4 {
		t.Errorf("%v, %v", entries, err)
	}
}

func TestDefaultAndRemove(t *testing.T) {
	s := Store{t.TempDir()}
	p := full()
	if _, err := s.Save(p, false); err != nil {
		t.Fatal(err)
	}
	if err := s.SetDefault("attic"); err == nil || err.Error() != `no printer profile is called "attic"` {
		t.Errorf("an unknown default: %v", err)
	}
	if err := s.SetDefault(p.Name); err != nil {
		t.Fatal(err)
	}
	if found, err := s.Find(""); err != nil || found.Name != p.Name {
		t.Errorf("%v, %v", found.Name, err)
	}
	if _, err := s.Remove("attic"); err == nil || err.Error() != `no printer profile is called "attic"` {
		t.Errorf("removing nothing: %v", err)
	}
	if cleared, err := s.Remove(p.Name); err != nil || !cleared {
		t.Errorf("%v, %v", cleared, err)
	}
	if found, err := s.Find(""); err != nil || found.Name != Guess {
		t.Errorf("after removing the default: %v, %v", found.Name, err)
	}
	if _, err := s.Remove(Guess); refusal.Of(err) != refusal.Use {
		t.Errorf("removing a built-in: %v", err)
	}
}
