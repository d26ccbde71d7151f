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
)

func TestMain(m *testing.M) {
	if len(os.Args) == 2 && os.Args[1] == render.ProcessArgument {
		os.Exit(int(Run(context.Background(), os.Args[1:], Surroundings{In: os.Stdin, Out: os.Stdout, Err: os.Stderr})))
	}
	testscript.Main(m, map[string]func(){
		"foldwright": func() {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			os.Exit(int(Run(ctx, os.Args[1:], Surroundings{
				In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Region: "GB",
				Secret: terminalSecret(os.Stdin, os.Stderr), Person: term.IsTerminal(int(os.Stdin.Fd())),
			})))
		},
	})
}

// TestScripts runs the scripts in testdata/script. They assert what commands
// do and say. The command status N CMD... expects an exit status.
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
	rendertest.Shared(t) // so that the engine is translated once, and not by several processes
	testscript.Run(t, testscript.Params{
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
			"status":  expectStatus,
			"cut":     cutFile,
			"flip":    flipByte,
			"replace": replaceText,
		},
	})
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

func expectStatus(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N command...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
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
