package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"foldwright/cmd/internal/shelf"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/reorder/sample"
)

// bookshelf is a folder with a worklist: several titles with many files each,
// one that is cut short and one that is no PDF.
func bookshelf(t *testing.T) (worklist string) {
	t.Helper()
	demo, err := os.ReadFile("../../../testdata/larkhaven.pdf")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	list := "format: 1\ndefaults: {run: gathering}\ntitles:\n"
	put := func(name string, data []byte, args string) {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
		// Old enough for its time to tell a change.
		then := time.Now().Add(-time.Hour)
		if err := os.Chtimes(filepath.Join(dir, name), then, then); err != nil {
			t.Fatal(err)
		}
		list += fmt.Sprintf(" - {source: %s%s}\n", name, args)
	}
	short, err := os.ReadFile(printtest.Book(t, 40))
	if err != nil {
		t.Fatal(err)
	}
	put("journal.pdf", demo, ", pages: 1-60")
	put("tides.pdf", demo, ", pages: 1-40, printer: automatic-long, sheets: 2")
	put("stores.pdf", short, "")
	put("birds.pdf", short, ", pages: 11-")
	put("cut.pdf", demo[:len(demo)/2], "")
	put("letter.pdf", []byte("Dear keeper,\n"), "")
	worklist = filepath.Join(dir, "shelf.yaml")
	if err := os.WriteFile(worklist, []byte(list), 0o600); err != nil {
		t.Fatal(err)
	}
	return worklist
}

// program is a process of the real program, as TestMain lays it into the path.
func program(t *testing.T, said *bytes.Buffer, args ...string) *exec.Cmd {
	t.Helper()
	cmd := exec.Command("program", args...)
	cmd.Stderr = said
	return cmd
}

// finish works a shelf off and returns what it has become.
func finish(t *testing.T, worklist, out string, more ...string) shelfState {
	t.Helper()
	var said bytes.Buffer
	cmd := program(t, &said, append([]string{"batch", worklist, "--out", out}, more...)...)
	err := cmd.Run()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != int(Partly) {
		t.Fatalf("%v: %s", err, said.String())
	}
	return stateOf(t, out)
}

// shelfState is every file of an output by its path and digest, and what the
// report says of each title, without times.
type shelfState string

func stateOf(t *testing.T, out string) shelfState {
	t.Helper()
	var text strings.Builder
	err := filepath.WalkDir(out, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && !strings.HasPrefix(d.Name(), ".") {
			return err
		}
		rel, err := filepath.Rel(out, path)
		if err != nil || strings.HasPrefix(rel, "batch-report.") || d.IsDir() {
			fmt.Fprintf(&text, "%s\n", rel)
			return err
		}
		data, err := os.ReadFile(path)
		fmt.Fprintf(&text, "%s %x\n", rel, sha256.Sum256(data))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join(out, "batch-report.json"))
	if err != nil {
		t.Fatal(err)
	}
	var r shelf.Report
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	for _, e := range r.Titles {
		sentence := ""
		if e.Failure != nil {
			sentence = e.Failure.Sentence
		}
		fmt.Fprintf(&text, "%s made %t, %d sheets %s\n", e.Name, e.State == shelf.Done || e.State == shelf.Complete, e.Sheets, sentence)
	}
	return shelfState(text.String())
}

func (s shelfState) same(t *testing.T, want shelfState, what string) {
	t.Helper()
	if s == want {
		return
	}
	lines := map[string]int{}
	for line := range strings.Lines(string(want)) {
		lines[line]--
	}
	for line := range strings.Lines(string(s)) {
		lines[line]++
	}
	for line, n := range lines {
		if n != 0 {
			t.Errorf("%s: %+d %s", what, n, line)
		}
	}
}

// TestTwoBatchesAtOnce lets two runs meet on every title of one shelf.
func TestTwoBatchesAtOnce(t *testing.T) {
	t.Parallel()
	worklist := bookshelf(t)
	want := finish(t, worklist, filepath.Join(t.TempDir(), "quiet"))
	for _, more := range [][]string{nil, {"--force"}} {
		out := filepath.Join(t.TempDir(), "shared")
		var group sync.WaitGroup
		for range 2 {
			group.Go(func() {
				var said bytes.Buffer
				cmd := program(t, &said, append([]string{"batch", worklist, "--out", out}, more...)...)
				err := cmd.Run()
				var exit *exec.ExitError
				if !errors.As(err, &exit) || exit.ExitCode() != int(Partly) || strings.Contains(said.String(), "another foldwright command at this moment") {
					t.Errorf("%v: %v: %s", more, err, said.String())
				}
			})
		}
		group.Wait()
		stateOf(t, out).same(t, want, fmt.Sprint("two at once ", more))
	}
}

// TestSourceChangesWhileItIsRead writes into a source, again and again, while
// it is being prepared, and leaves it as it was.
func TestSourceChangesWhileItIsRead(t *testing.T) {
	t.Parallel()
	worklist := bookshelf(t)
	want := finish(t, worklist, filepath.Join(t.TempDir(), "quiet"))
	source := filepath.Join(filepath.Dir(worklist), "tides.pdf")
	whole, err := os.ReadFile(source)
	if err != nil {
		t.Fatal(err)
	}
	times := 1
	if sample.Full() {
		times = 2
	}
	for range times {
		out := filepath.Join(t.TempDir(), "disturbed")
		stop, stopped := make(chan struct{}), make(chan error, 1)
		go func() {
			f, err := os.OpenFile(source, os.O_WRONLY, 0)
			for at := int64(0); err == nil; at = (at + 7919) % int64(len(whole)-100) {
				select {
				case <-stop:
					stopped <- f.Close()
					return
				default:
				}
				_, err = f.WriteAt(bytes.Repeat([]byte{'0'}, 100), at)
				if err == nil {
					_, err = f.WriteAt(whole[at:at+100], at)
				}
			}
			stopped <- err
		}()
		finish(t, worklist, out)
		close(stop)
		if err := <-stopped; err != nil {
			t.Fatal(err)
		}
		finish(t, worklist, out).same(t, want, "after a source was disturbed")
	}
}
