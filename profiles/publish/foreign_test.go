package publish

import (
	"context"
	"errors"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"foldwright/reorder/refusal"
)

// lay writes files by their paths; one that ends in / is an empty folder.
func lay(t *testing.T, dir string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		var err error
		if strings.HasSuffix(name, "/") {
			err = os.MkdirAll(path, 0o777)
		} else {
			err = os.WriteFile(path, []byte(text), 0o666)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

// found is what lies below a folder, as lay would write it; of folders only
// those that are empty.
func found(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || path == dir {
			return err
		}
		name, _ := filepath.Rel(dir, path)
		name = filepath.ToSlash(name)
		if e.IsDir() {
			entries, err := os.ReadDir(path)
			if len(entries) == 0 {
				out[name+"/"] = ""
			}
			return err
		}
		data, err := os.ReadFile(path)
		out[name] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func same(t *testing.T, what, dir string, want map[string]string) {
	t.Helper()
	if got := found(t, dir); !maps.Equal(got, want) {
		t.Errorf("%s: there lies %v, want %v", what, got, want)
	}
}

func with(files map[string]string, more map[string]string) map[string]string {
	out := maps.Clone(files)
	maps.Copy(out, more)
	return out
}

// foreigners are files of somebody else in a folder of ours.
var foreigners = map[string]string{
	"book-print/notes.txt": "notes", "book-print/reprint-7/front.pdf": "seven", "book-print/reprint-7/ours": "a record of another folder",
	"book-print/.hidden": "hidden", "book-print/empty/": "",
}

func TestReplaceKeepsWhatIsNotOurs(t *testing.T) {
	dir := t.TempDir()
	place := filepath.Join(dir, "book-print")
	lay(t, dir, with(foreigners, map[string]string{"book-print/ours": "old", "book-print/front.pdf": "old front"}))
	var kept []string
	o := Options{Replace: true, Ours: ours, Kept: func(names []string) { kept = names }}
	if err := Folder(t.Context(), place, o, builder("new")); err != nil {
		t.Fatal(err)
	}
	same(t, "replaced", dir, with(foreigners, map[string]string{"book-print/ours": "new"}))
	if want := []string{".hidden", "empty", "notes.txt", "reprint-7"}; !slices.Equal(kept, want) {
		t.Errorf("kept %v, want %v", kept, want)
	}
}

// TestReplaceWritesOverNothingForeign refuses a folder in which somebody else has
// the name of a new file, be it only a folder in place of a file of ours.
func TestReplaceWritesOverNothingForeign(t *testing.T) {
	for name, there := range map[string]map[string]string{
		"a file of a new name":           {"book-print/ours": "old", "book-print/back.pdf": "mine"},
		"a folder under a name of ours":  {"book-print/ours": "old", "book-print/front.pdf/mine.txt": "mine"},
		"an empty folder of a new name":  {"book-print/ours": "old", "book-print/back.pdf/": ""},
		"a file, with others beside it":  {"book-print/ours": "old", "book-print/back.pdf": "mine", "book-print/notes.txt": "notes"},
		"two files of names of new ones": {"book-print/ours": "old", "book-print/back.pdf": "mine", "book-print/front.pdf/": ""},
	} {
		dir := t.TempDir()
		lay(t, dir, there)
		err := Folder(t.Context(), filepath.Join(dir, "book-print"), Options{Replace: true, Ours: ours}, func(_ context.Context, part string) error {
			lay(t, part, map[string]string{"ours": "new", "front.pdf": "new", "back.pdf": "new"})
			return nil
		})
		if refusal.Of(err) != refusal.Output || !strings.Contains(err.Error(), "would be written over") {
			t.Errorf("%s: %v", name, err)
		}
		same(t, name, dir, there)
	}
}

// TestEveryKillKeepsWhatIsForeign lays the folders as a kill at each moment of a
// replacement leaves them. Whatever comes next, nothing of somebody else is lost.
func TestEveryKillKeepsWhatIsForeign(t *testing.T) {
	const place, part, old = "book-print/", ".book-print.part/", ".book-print.old/"
	moments := []struct {
		name    string
		lie     map[string]string
		isNew   bool     // the new folder is in its place
		foreign []string // where a file and a folder of somebody else are
	}{
		{"while building", map[string]string{place + mark: "old", place + more: "x", part + mark: "half"}, false, []string{place, place}},
		{"built", map[string]string{place + mark: "old", place + more: "x", part + mark: "new", part + more: "y"}, false, []string{place, place}},
		{"the old one aside", map[string]string{old + mark: "old", old + more: "x", part + mark: "new"}, false, []string{old, old}},
		{"the new one in place", map[string]string{place + mark: "new", old + mark: "old", old + more: "x"}, true, []string{old, old}},
		{"the file moved", map[string]string{place + mark: "new", old + mark: "old", old + more: "x"}, true, []string{place, old}},
		{"both moved", map[string]string{place + mark: "new", old + mark: "old", old + more: "x"}, true, []string{place, place}},
		{"one file removed", map[string]string{place + mark: "new", old + mark: "old"}, true, []string{place, place}},
		{"the record removed", map[string]string{place + mark: "new", old: ""}, true, []string{place, place}},
		{"swapped back: the folder not yet back", map[string]string{place + mark: "new", old + mark: "old", old + more: "x"}, true, []string{place, old}},
		{"swapped back: the new one aside", map[string]string{part + mark: "new", old + mark: "old", old + more: "x"}, false, []string{old, old}},
	}
	next := map[string]func(place string) error{
		"recovered": func(place string) error {
			return Recover(place, ours)
		},
		"refused": func(place string) error {
			if err := Folder(t.Context(), place, Options{Ours: ours}, builder("newer")); !errors.Is(err, ErrExists) {
				return err
			}
			return nil
		},
		"replaced": func(place string) error {
			return Folder(t.Context(), place, Options{Replace: true, Ours: ours}, builder("newer"))
		},
	}
	for _, m := range moments {
		for how, call := range next {
			dir := t.TempDir()
			lay(t, dir, m.lie)
			lay(t, dir, map[string]string{m.foreign[0] + "notes.txt": "notes", m.foreign[1] + "reprint-7/front.pdf": "seven", ".book-print.lock": ""})
			if err := call(filepath.Join(dir, "book-print")); err != nil {
				t.Errorf("%s, %s: %v", m.name, how, err)
			}
			want := map[string]string{place + "notes.txt": "notes", place + "reprint-7/front.pdf": "seven"}
			switch {
			case how == "replaced":
				want[place+mark] = "newer"
			case m.isNew:
				want[place+mark] = "new"
			default:
				want[place+mark], want[place+more] = "old", "x"
			}
			same(t, m.name+", "+how, dir, want)
		}
	}
}

// TestLeftoversThatNobodyCanJudgeStay are folders of which it cannot be told any
// more what in them is ours.
func TestLeftoversThatNobodyCanJudgeStay(t *testing.T) {
	for name, lie := range map[string]map[string]string{
		"no record":             {"book-print/ours": "new", ".book-print.old/notes.txt": "notes"},
		"a name in both":        {"book-print/ours": "new", "book-print/notes.txt": "new notes", ".book-print.old/ours": "old", ".book-print.old/notes.txt": "notes"},
		"somebody else's place": {"book-print/own.txt": "own", ".book-print.old/ours": "old"},
	} {
		dir := t.TempDir()
		lay(t, dir, lie)
		if err := Recover(filepath.Join(dir, "book-print"), ours); refusal.Of(err) != refusal.Output || !strings.Contains(err.Error(), "was left by a foldwright command that was killed") {
			t.Errorf("%s: %v", name, err)
		}
		if err := Folder(t.Context(), filepath.Join(dir, "book-print"), Options{Replace: true, Ours: ours}, builder("new")); refusal.Of(err) != refusal.Output || !strings.Contains(err.Error(), "was left by a foldwright command that was killed") {
			t.Errorf("%s: %v", name, err)
		}
		same(t, name, dir, lie)
	}
}

// TestMovingThatFailsIsUndone: a folder that cannot be moved over is put back
// with all that was moved before it.
func TestMovingThatFailsIsUndone(t *testing.T) {
	dir := t.TempDir()
	place, part, old := filepath.Join(dir, "book-print"), filepath.Join(dir, ".book-print.part"), filepath.Join(dir, ".book-print.old")
	there := map[string]string{"book-print/ours": "old", "book-print/a.txt": "a", "book-print/b.txt": "b"}
	lay(t, dir, there)
	lay(t, part, map[string]string{"ours": "new"})
	// Somebody writes b.txt into the new folder at the very moment in which it
	// comes into its place.
	asked := 0
	between := func(dir string) []string {
		if asked++; dir == old {
			lay(t, place, map[string]string{"b.txt": "another b"})
		}
		return ours(dir)
	}
	if _, err := swap(place, between); err == nil || asked < 2 {
		t.Errorf("asked %d times, %v", asked, err)
	}
	same(t, "undone", dir, there)
}

func TestSourceInThePlaceIsRefused(t *testing.T) {
	dir := t.TempDir()
	there := map[string]string{"book-print/ours": "old", "book-print/book.pdf": "source", "book-print/deep/er/book.pdf": "source", "other.pdf": "other"}
	lay(t, dir, there)
	place := filepath.Join(dir, "book-print")
	link := func(to, from string) string {
		t.Helper()
		from = filepath.Join(dir, from)
		if err := os.Symlink(to, from); err != nil {
			t.Skipf("no links may be made here, as on Windows without the right to: %v", err)
		}
		return from
	}
	same(t, "before", dir, there)
	within := link(place, "to-the-folder")
	leadsIn := link(filepath.Join(place, "book.pdf"), "to-the-source.pdf")
	liesIn := link(filepath.Join(dir, "other.pdf"), "book-print/link.pdf")
	for _, source := range []string{
		filepath.Join(place, "book.pdf"), filepath.Join(place, "deep", "er", "book.pdf"), place,
		filepath.Join(within, "book.pdf"), leadsIn, liesIn,
	} {
		for _, o := range []Options{{Ours: ours}, {Ours: ours, Replace: true}} {
			o.Reads = []string{filepath.Join(dir, "other.pdf"), source}
			err := Folder(t.Context(), place, o, func(context.Context, string) error { t.Error("it is built"); return nil })
			if refusal.Of(err) != refusal.Output || !strings.Contains(err.Error(), "would be made") || (source != place) != strings.Contains(err.Error(), "holds "+source) {
				t.Errorf("%s: %v", source, err)
			}
			if err := Check(within, o); refusal.Of(err) != refusal.Output || !strings.Contains(err.Error(), "would be made") {
				t.Errorf("%s, through a link: %v", source, err)
			}
		}
	}
	o := Options{Replace: true, Ours: Single(func(string) bool { return true }), Reads: []string{leadsIn}}
	if err := Check(filepath.Join(place, "book.pdf"), o); refusal.Of(err) != refusal.Output || !strings.Contains(err.Error(), "would be made") {
		t.Errorf("a file over its source: %v", err)
	}
	if err := Check(filepath.Join(dir, "other.pdf"), o); err != nil {
		t.Error(err)
	}
}

func TestLinksAreFollowed(t *testing.T) {
	dir := t.TempDir()
	lay(t, dir, map[string]string{"there/book-print/ours": "old", "there/book-print/notes.txt": "notes", "page.html": "old"})
	for from, to := range map[string]string{
		"link": filepath.Join("there", "book-print"), "link-to-link": "link", "page": filepath.Join(dir, "page.html"),
		"new": filepath.Join("there", "new-print"), "lost": filepath.Join("nowhere", "book-print"), "circle": "circle",
	} {
		if err := os.Symlink(to, filepath.Join(dir, from)); err != nil {
			t.Skipf("no links may be made here, as on Windows without the right to: %v", err)
		}
	}
	o := Options{Replace: true, Ours: ours}
	if err := Folder(t.Context(), filepath.Join(dir, "link-to-link"), Options{Ours: ours}, builder("new")); !errors.Is(err, ErrExists) {
		t.Error(err)
	}
	err := Folder(t.Context(), filepath.Join(dir, "link-to-link"), o, func(ctx context.Context, part string) error {
		if err := Folder(ctx, filepath.Join(dir, "there", "book-print"), o, builder("second")); !errors.Is(err, ErrBusy) {
			t.Errorf("the place itself is not locked: %v", err)
		}
		return builder("new")(ctx, part)
	})
	if err != nil {
		t.Error(err)
	}
	if err := Folder(t.Context(), filepath.Join(dir, "new"), Options{Ours: ours}, builder("fresh")); err != nil {
		t.Error(err)
	}
	if err := writeAnything(t, filepath.Join(dir, "page"), "new"); err != nil {
		t.Error(err)
	}
	for _, from := range []string{"lost", "circle"} {
		if err := Folder(t.Context(), filepath.Join(dir, from), o, builder("new")); !errors.Is(err, ErrNowhere) {
			t.Errorf("%s: %v", from, err)
		}
	}
	for _, from := range []string{"link", "link-to-link", "page", "new", "lost", "circle"} {
		if info, err := os.Lstat(filepath.Join(dir, from)); err != nil || info.Mode()&fs.ModeSymlink == 0 {
			t.Errorf("%s is no link any more: %v", from, err)
		}
	}
	same(t, "where it leads", filepath.Join(dir, "there"), map[string]string{"book-print/ours": "new", "book-print/notes.txt": "notes", "new-print/ours": "fresh"})
	if data, err := os.ReadFile(filepath.Join(dir, "page.html")); string(data) != "new" {
		t.Errorf("%q, %v", data, err)
	}
}

func TestFolderThatOneIsInStays(t *testing.T) {
	dir := t.TempDir()
	there := map[string]string{"book-print/ours": "old"}
	lay(t, dir, there)
	t.Chdir(filepath.Join(dir, "book-print"))
	for _, place := range []string{".", filepath.Join("..", "book-print")} {
		if err := Folder(t.Context(), place, Options{Replace: true, Ours: ours}, builder("new")); !errors.Is(err, ErrHere) {
			t.Errorf("%s: %v", place, err)
		}
	}
	same(t, "refused", dir, there)
}

func mustRead(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// asVictim names the place that the test program replaces until it is killed.
const asVictim = "PUBLISH_TEST_VICTIM"

// TestKillsLoseNothing kills a process that replaces a folder over and over. What
// it had been given to keep is there after each kill and what the next call makes of it.
func TestKillsLoseNothing(t *testing.T) {
	if place := os.Getenv(asVictim); place != "" {
		for n := 0; ; n++ {
			if err := Folder(context.Background(), place, Options{Replace: true, Ours: ours}, builder(strconv.Itoa(n))); err != nil {
				t.Fatal(err)
			}
		}
	}
	dir := t.TempDir()
	place := filepath.Join(dir, "book-print")
	foreign := map[string]string{}
	for i := range 40 {
		foreign["book-print/own-"+strconv.Itoa(i)+".txt"] = strconv.Itoa(i)
		foreign["book-print/reprint-"+strconv.Itoa(i)+"/front.pdf"] = strconv.Itoa(i)
	}
	lay(t, dir, with(foreign, map[string]string{"book-print/ours": "old"}))
	unfinished := 0
	for i := 0; i < 25 || i < 250 && unfinished == 0; i++ {
		cmd := exec.Command(os.Args[0], "-test.run=^TestKillsLoseNothing$")
		cmd.Env = append(os.Environ(), asVictim+"="+place)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		before := string(mustRead(t, filepath.Join(place, mark)))
		for end := time.Now().Add(5 * time.Minute); time.Now().Before(end); time.Sleep(time.Millisecond) {
			if now, err := os.ReadFile(filepath.Join(place, mark)); err == nil && string(now) != before {
				break // it is at work
			}
		}
		time.Sleep(time.Duration(i%25*700) * time.Microsecond)
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		_ = cmd.Wait() // killed
		if _, err := os.Lstat(filepath.Join(dir, ".book-print.old")); err == nil {
			unfinished++
		}
		if err := Recover(place, ours); err != nil {
			t.Fatal(err)
		}
		got := found(t, dir)
		if _, ok := got["book-print/ours"]; !ok {
			t.Error("the folder is gone")
		}
		delete(got, "book-print/ours")
		if !maps.Equal(got, foreign) {
			t.Fatalf("kill %d: there lies %v", i, got)
		}
	}
	if unfinished == 0 {
		t.Error("no kill came between")
	}
	t.Logf("%d kills came while things were moved", unfinished)
}

// TestFoldersWithinAreReplacedToo: of a folder of ours within the place only our files go, and the folder with them if
// nothing else lies in it.
func TestFoldersWithinAreReplacedToo(t *testing.T) {
	dir := t.TempDir()
	place := filepath.Join(dir, "book-print")
	ours := func(dir string) []string {
		names := []string{"front.pdf", "plates/front.pdf", "plates/back.pdf", "ends/front.pdf", "ours"}
		if _, err := os.Stat(filepath.Join(dir, "ours")); err != nil {
			return nil
		}
		return names
	}
	lay(t, dir, map[string]string{
		"book-print/ours": "old", "book-print/front.pdf": "old", "book-print/plates/front.pdf": "old", "book-print/plates/back.pdf": "old",
		"book-print/ends/front.pdf": "old", "book-print/plates/reprint-1/front.pdf": "mine", "book-print/plates/notes.txt": "mine",
	})
	var kept []string
	build := func(files map[string]string) func(context.Context, string) error {
		return func(_ context.Context, part string) error { lay(t, part, files); return nil }
	}
	o := Options{Replace: true, Ours: ours, Kept: func(names []string) { kept = names }}
	if err := Folder(t.Context(), place, o, build(map[string]string{"ours": "new", "plates/front.pdf": "new"})); err != nil {
		t.Fatal(err)
	}
	mine := map[string]string{"book-print/plates/reprint-1/front.pdf": "mine", "book-print/plates/notes.txt": "mine"}
	same(t, "replaced", dir, with(mine, map[string]string{"book-print/ours": "new", "book-print/plates/front.pdf": "new"}))
	if want := []string{"plates/notes.txt", "plates/reprint-1"}; !slices.Equal(kept, want) {
		t.Errorf("kept %v, want %v", kept, want)
	}
	if err := Folder(t.Context(), place, o, build(map[string]string{"ours": "newer"})); err != nil {
		t.Fatal(err)
	}
	same(t, "without plates", dir, with(mine, map[string]string{"book-print/ours": "newer"}))
	// What somebody else has under the name of a new file is not written over.
	if err := Folder(t.Context(), place, o, build(map[string]string{"ours": "newest", "plates/notes.txt": "new"})); refusal.Of(err) != refusal.Output {
		t.Errorf("%v", err)
	}
	same(t, "refused", dir, with(mine, map[string]string{"book-print/ours": "newer"}))
}
