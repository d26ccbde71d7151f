package cli

import (
	"context"
	"net"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"foldwright/cmd/internal/testkit/rendertest"
)

const demoBook = "../../../testdata/larkhaven.pdf"

// runs runs the program, and fails the test if it waits for somebody.
func runs(t *testing.T, ctx context.Context, args ...string) (status Status, out, said string) {
	t.Helper()
	var stdout, stderr strings.Builder
	done := make(chan Status, 1)
	renderer := rendertest.Shared(t)
	go func() {
		done <- Run(ctx, args, Surroundings{In: strings.NewReader(""), Out: &stdout, Err: &stderr, Region: "GB", Renderer: renderer})
	}()
	select {
	case status = <-done:
	case <-time.After(5 * time.Minute):
		t.Fatalf("%q waits", args)
	}
	return status, stdout.String(), stderr.String()
}

func mustRun(t *testing.T, args ...string) {
	t.Helper()
	if status, _, said := runs(t, t.Context(), args...); status != Done {
		t.Fatalf("%q: status %d: %s", args, status, said)
	}
}

// TestOnlyFilesAreRead has every command read a pipe, a socket and a device, whatever it is to be.
func TestOnlyFilesAreRead(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	mustRun(t, "prepare", demoBook, "--quiet", "--out", at("whole-print"))
	kinds := map[string]func(path string){
		"a named pipe": func(path string) {
			if err := syscall.Mkfifo(path, 0o600); err != nil {
				t.Fatal(err)
			}
		},
		"a socket": func(path string) {
			l, err := net.Listen("unix", path)
			if err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { l.Close() })
		},
		"a device": func(path string) {
			if err := os.Symlink("/dev/zero", path); err != nil {
				t.Fatal(err)
			}
		},
	}
	for kind, lay := range kinds {
		short := strings.Fields(kind)[len(strings.Fields(kind))-1]
		for _, name := range []string{"x.pdf", "x.yaml"} {
			lay(at(short + name))
		}
		job := at(short + "-print")
		if err := os.MkdirAll(job, 0o777); err != nil {
			t.Fatal(err)
		}
		lay(filepath.Join(job, "plan.json"))
		store := at(short + "-store")
		if err := os.MkdirAll(store, 0o777); err != nil {
			t.Fatal(err)
		}
		lay(filepath.Join(store, "desk.yaml"))
		lay(filepath.Join(store, "default-printer"))
		book, text := at(short+"x.pdf"), at(short+"x.yaml")
		cases := [][]string{
			{"prepare", book, "--dry-run"}, {"inspect", book}, {"kit", book, "--dry-run"},
			{"prepare", demoBook, "--dry-run", "--printer", text}, {"prepare", demoBook, "--dry-run", "--structure", text},
			{"prepare", demoBook, "--dry-run", "--profiles", store}, {"printers", "show", "desk", "--profiles", store},
			{"printers", "default", "--profiles", store},
			{"batch", text}, {"proof", job}, {"preview", job}, {"simulate", job}, {"measure", job},
			{"reprint", job, "--sheet", "1"}, {"continue", job, "--after-sheet", "1"},
			{"proof", at("whole-print"), "--source", book, "--out", at("proof.pdf")},
			{"reprint", at("whole-print"), "--sheet", "1", "--source", book},
		}
		if kind != "a named pipe" { // through which a password may come
			cases = append(cases, []string{"prepare", demoBook, "--dry-run", "--password-file", text})
		}
		for _, args := range cases {
			status, _, said := runs(t, t.Context(), args...)
			if status != Unreadable || !strings.Contains(said, "is "+kind+", not a regular file") {
				t.Errorf("%q: status %d: %s", args, status, said)
			}
		}
	}
}

// TestShelfOfNoFiles names a pipe as what it is, as a source and as the file of a password.
func TestShelfOfNoFiles(t *testing.T) {
	dir := t.TempDir()
	pipe := filepath.Join(dir, "pipe.pdf")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	list := filepath.Join(dir, "shelf.yaml")
	if err := os.WriteFile(list, []byte("format: 1\ntitles: [pipe.pdf]\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	status, _, said := runs(t, t.Context(), "batch", list, "--out", filepath.Join(dir, "prepared"))
	if status != Partly || !strings.Contains(said, "pipe.pdf is a named pipe, not a regular file") {
		t.Errorf("status %d: %s", status, said)
	}
}

// TestPasswordThroughAPipe gives the password through a pipe, and then nobody does.
func TestPasswordThroughAPipe(t *testing.T) {
	dir := t.TempDir()
	book, pipe := filepath.Join(dir, "locked.pdf"), filepath.Join(dir, "pipe")
	if err := lockedBook(book, "gull", "keeper"); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	wrote := make(chan error, 1)
	go func() { wrote <- os.WriteFile(pipe, []byte("gull\n"), 0o600) }()
	if status, _, said := runs(t, t.Context(), "prepare", book, "--dry-run", "--password-file", pipe); status != Done {
		t.Errorf("status %d: %s", status, said)
	}
	if err := <-wrote; err != nil {
		t.Error(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Hour)
	defer cancel()
	time.AfterFunc(100*time.Millisecond, cancel)
	if status, _, said := runs(t, ctx, "prepare", book, "--dry-run", "--password-file", pipe); status != Interrupted {
		t.Errorf("nobody writes: status %d: %s", status, said)
	}
}
