package shelf

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/profiles"
	"foldwright/profiles/publish"
	"foldwright/reorder"
)

// asTitle makes the test program play the process of a title.
const asTitle = "BATCH_TEST_TITLE"

func TestMain(m *testing.M) {
	if os.Getenv(asTitle) == "" {
		if err := os.Setenv(asTitle, "yes"); err != nil { // for the processes that are started
			panic(err)
		}
		os.Exit(m.Run())
	}
	if err := Serve(context.Background(), os.Stdin, os.Stdout, play, describe); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// play does what the source says, one word per line, and then writes a folder
// with a plan, as a real title does.
func play(ctx context.Context, o Order, t *Teller) error {
	text, err := os.ReadFile(o.Source)
	if err != nil {
		return err
	}
	t.Start(10, 20)
	return publish.Folder(ctx, o.Place, publish.Options{Replace: true, Ours: plan.Files}, func(ctx context.Context, dir string) error {
		for line := range strings.Lines(string(text)) {
			what, value, _ := strings.Cut(strings.TrimSpace(line), " ")
			if err := act(ctx, what, value); err != nil {
				return err
			}
			t.Step(1)
		}
		return writePlayed(o, dir)
	})
}

var eaten [][]byte // so that the collector cannot take it back

func act(ctx context.Context, what, value string) error {
	number, _ := strconv.Atoi(value)
	switch what {
	case "fail":
		return errors.New(value)
	case "full":
		return &os.PathError{Op: "write", Path: value, Err: syscall.ENOSPC}
	case "panic":
		panic(value)
	case "exit":
		os.Exit(number)
	case "eat": // MiB, all of it used
		debug.SetMemoryLimit(-1)
		for range number {
			b := make([]byte, MiB)
			for i := range b {
				b[i] = byte(i)
			}
			eaten = append(eaten, b)
			time.Sleep(time.Millisecond)
		}
	case "allowed": // says what the process may take
		return errors.New(Size(debug.SetMemoryLimit(-1)).String())
	case "sleep": // ms
		select {
		case <-time.After(time.Duration(number) * time.Millisecond):
		case <-ctx.Done():
			return ctx.Err()
		}
	case "wait": // until there is a file
		return waitFor(ctx, value)
	case "hold": // until the run is interrupted, with a file when it begins and another when it hears of it
		if err := os.WriteFile(value+".begun", nil, 0o600); err != nil {
			return err
		}
		<-ctx.Done()
		return errors.Join(os.WriteFile(value+".heard", nil, 0o600), ctx.Err())
	case "sign": // a file of that name, and of the process's
		return os.WriteFile(fmt.Sprintf("%s.%d", value, os.Getpid()), nil, 0o600)
	case "hang":
		select {}
	case "kill":
		p, err := os.FindProcess(os.Getpid())
		return errors.Join(err, p.Kill(), errors.New("still alive"))
	}
	return nil
}

// patience is how long a test waits for what a machine may be slow to do.
const patience = 5 * time.Minute

// waitFor waits until there is a file.
func waitFor(ctx context.Context, path string) error {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	for {
		if _, err := os.Stat(path); err == nil {
			return nil
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(5 * time.Millisecond):
		}
	}
}

// writePlayed writes a print file of 10 bytes and a plan.
func writePlayed(o Order, dir string) error {
	asked, err := readSettings(o.Settings)
	if err != nil {
		return err
	}
	resolved, err := asked.Resolve(setting(o.Profiles))
	if err != nil {
		return err
	}
	sum, err := plan.FileSHA256(o.Source)
	if err != nil {
		return err
	}
	made := map[string]any{
		"kind": "foldwright plan", "format": plan.Format, "program-version": "1.2.3", "request-sha256": resolved.Request.Of(o.Source),
		"source": plan.Source{File: filepath.Base(o.Source), SHA256: sum, Pages: 20},
		"paper":  plan.Paper{Paper: reorder.Paper{Name: "iso_a4_210x297mm"}}, "sheets": 5,
		"profile": profiles.Profile{Name: "desk"},
		"files":   []plan.Entry{{Name: "run.pdf", SHA256: "c4c7b8e2", Bytes: 10}},
	}
	data, err := json.Marshal(made)
	// Keys are sorted by Marshal, but the kind has to come first.
	data = append([]byte(`{"kind":"foldwright plan",`), data[1:]...)
	return errors.Join(err,
		os.WriteFile(filepath.Join(dir, "run.pdf"), []byte("0123456789"), 0o666),
		os.WriteFile(filepath.Join(dir, plan.File), data, 0o666))
}

func setting(dir string) options.Setting {
	return options.Setting{Profiles: profiles.Store{Dir: dir}, Region: "GB", Version: "1.2.3"}
}

func describe(err error) Failure {
	return Failure{Status: 4, Sentence: err.Error(), Passing: errors.Is(err, syscall.ENOSPC) || errors.Is(err, context.Canceled)}
}

// options is how the tests work a shelf off; every event is kept.
func shelfOptions(t *testing.T, events *[]Event) Options {
	t.Helper()
	var mu sync.Mutex
	return Options{
		Setting: setting(""), Program: []string{os.Args[0]}, Describe: describe, Memory: GiB,
		Tell: func(e Event) {
			mu.Lock()
			defer mu.Unlock()
			if events != nil {
				*events = append(*events, e)
			}
		},
	}
}

// shelf writes sources into a new folder and makes a shelf of them.
func shelf(t *testing.T, sources map[string]string) Shelf {
	t.Helper()
	dir := t.TempDir()
	for name, text := range sources {
		write(t, filepath.Join(dir, "in", name+".pdf"), text)
	}
	s, err := FindTitles(filepath.Join(dir, "in"), filepath.Join(dir, "out"), nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o777), os.WriteFile(path, []byte(text), 0o666)); err != nil {
		t.Fatal(err)
	}
}

// work works the shelf off.
func work(t *testing.T, s Shelf, o Options) Report {
	t.Helper()
	r, err := Run(t.Context(), s, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// states is what became of the titles: "a done, b failed".
func states(r Report) string {
	var words []string
	for _, e := range r.Titles {
		words = append(words, e.Name+" "+string(e.State))
	}
	return strings.Join(words, ", ")
}

// only is the one entry of that name.
func only(t *testing.T, r Report, name string) Entry {
	t.Helper()
	for _, e := range r.Titles {
		if e.Name == name {
			return e
		}
	}
	t.Fatalf("the report has no title %s", name)
	return Entry{}
}

func started(events []Event) int {
	n := 0
	for _, e := range events {
		if e.Kind == Started {
			n++
		}
	}
	return n
}

// inFolder is what a folder holds, with the names that begin with a dot.
func inFolder(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

func remove(t *testing.T, path string) {
	t.Helper()
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
}
