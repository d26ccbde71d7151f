package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"codeberg.org/go-pdf/fpdf"
	"github.com/rogpeppe/go-internal/testscript"
	"golang.org/x/term"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/profiles"
)

// The tests' program is also the program itself: under the name of program, and for the processes that a
// command run within the tests starts.
func TestMain(m *testing.M) {
	process := func() {
		ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
		defer stop()
		os.Exit(int(Run(ctx, os.Args[1:], Surroundings{
			In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Region: "GB",
			Secret: terminalSecret(os.Stdin, os.Stderr), Person: term.IsTerminal(int(os.Stdin.Fd())),
		})))
	}
	if len(os.Args) == 2 && slices.Contains([]string{titleCommand, pageTitleCommand}, os.Args[1]) {
		process()
	}
	testscript.Main(m, map[string]func(){"program": process})
}

// TestScripts runs the scripts in testdata/script. They assert what commands do and say. The command
// foldwright is the program within this process, one after the other, with one renderer for all; exec program is
// the same as a process of its own, as a person starts it. Status N foldwright... expects an exit status.
func TestScripts(t *testing.T) {
	demo, err := filepath.Abs("../../../testdata/larkhaven.pdf")
	if err != nil {
		t.Fatal(err)
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		cache = t.TempDir()
	}
	scripts, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil || len(scripts) == 0 {
		t.Fatalf("no scripts: %v", err)
	}
	within := commands{t, rendertest.Shared(t)}
	testscript.RunT(inTurn{t}, testscript.Params{
		Dir: "testdata/script",
		Setup: func(env *testscript.Env) error {
			env.Setenv("XDG_CACHE_HOME", cache)
			env.Setenv("DEMO", demo)
			return errors.Join(
				lockedBook(filepath.Join(env.WorkDir, "locked.pdf"), "gull", "keeper"),
				lockedBook(filepath.Join(env.WorkDir, "unprintable.pdf"), "", "keeper", fpdf.CnProtectCopy),
				plainBook(filepath.Join(env.WorkDir, "plain.pdf")),
				copyFile(demo, filepath.Join(env.WorkDir, "book.pdf")))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"foldwright": within.expectDone,
			"status":     within.expectStatus,
			"cut":        cutFile,
			"flip":       flipByte,
			"replace":    replaceText,
		},
	})
}

// inTurn runs scripts one after the other: the folder and the environment are the process's.
type inTurn struct{ *testing.T }

func (inTurn) Parallel()     {}
func (inTurn) Verbose() bool { return testing.Verbose() }

func (t inTurn) Run(name string, f func(testscript.T)) {
	t.T.Run(name, func(t *testing.T) { f(inTurn{t}) })
}

// commands runs the program within this process.
type commands struct {
	t        *testing.T
	renderer *render.Renderer
}

// run is the program in the folder and in the environment of the script.
func (c commands) run(ts *testscript.TestScript, args []string) Status {
	before, err := os.Getwd()
	ts.Check(err)
	ts.Check(os.Chdir(ts.MkAbs(".")))
	defer func() { ts.Check(os.Chdir(before)) }()
	for _, name := range []string{"HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME", "USERPROFILE", "AppData", "LocalAppData", profiles.Environment} {
		if was, found := os.LookupEnv(name); found {
			defer os.Setenv(name, was)
		} else {
			defer os.Unsetenv(name)
		}
		ts.Check(os.Setenv(name, ts.Getenv(name)))
	}
	return Run(c.t.Context(), args, Surroundings{
		In: strings.NewReader(""), Out: ts.Stdout(), Err: ts.Stderr(), Region: "GB", Renderer: c.renderer,
	})
}

func (c commands) expectDone(ts *testscript.TestScript, neg bool, args []string) {
	if status := c.run(ts, args); neg || status != Done {
		ts.Fatalf("exit status %d; what is to fail is written as status N foldwright", status)
	}
}

func (c commands) expectStatus(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N foldwright... or status N program...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if args[1] == "foldwright" {
		got = int(c.run(ts, args[2:]))
	} else if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
}

// plainBook is as many pages as the demo book has, of the same size, that are drawn at once.
func plainBook(path string) error {
	f := pdftest.New(148, 210)
	f.SetFont("Helvetica", "", 10)
	for i := range 118 {
		f.AddPage()
		f.Text(30, 40, fmt.Sprintf("the tide of day %d", i+1))
	}
	return f.OutputFileAndClose(path)
}

// cutFile is cut FROM TO BYTES: a copy of the first bytes only.
func cutFile(ts *testscript.TestScript, _ bool, args []string) {
	n, err := strconv.ParseInt(args[2], 10, 64)
	ts.Check(err)
	from, err := os.Open(ts.MkAbs(args[0]))
	ts.Check(err)
	defer from.Close()
	data, err := io.ReadAll(io.LimitReader(from, n))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), data, 0o600))
}

// flipByte is flip FILE: the byte in its middle becomes another one.
func flipByte(ts *testscript.TestScript, _ bool, args []string) {
	path := ts.MkAbs(args[0])
	data, err := os.ReadFile(path)
	ts.Check(err)
	data[len(data)/2] ^= 1
	ts.Check(os.WriteFile(path, data, 0o600))
}

// replaceText is replace FILE OLD NEW: the first OLD in the file, which must be there.
func replaceText(ts *testscript.TestScript, _ bool, args []string) {
	text := ts.ReadFile(args[0])
	if !strings.Contains(text, args[1]) {
		ts.Fatalf("%q is not in %s", args[1], args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Replace(text, args[1], args[2], 1)), 0o600))
}

func copyFile(from, to string) error {
	data, err := os.ReadFile(from)
	if err != nil {
		return fmt.Errorf("the demo book: %w", err)
	}
	return os.WriteFile(to, data, 0o600)
}
