package cli

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestFewOpenFiles lets the program have ever more files open at once, from as
// few as the Go runtime needs itself until all goes well. Until then one sentence says
// so, and nothing is left.
func TestFewOpenFiles(t *testing.T) {
	demo, err := filepath.Abs("../../../testdata/larkhaven.pdf")
	if err != nil {
		t.Fatal(err)
	}
	sentence := regexp.MustCompile(`^foldwright: this computer does not let the program have as many files open at once as it needs\nhint: .*ulimit -n 1024\n$`)
	refused, made := 0, 0
	for limit := 8; limit <= 16; limit++ {
		dir := t.TempDir()
		status, said := withFiles(t, dir, limit, "prepare", demo, "--pages", "1-16", "--quiet", "--out", "job")
		left, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		switch status {
		case Done:
			made++
		case Unexpected:
			refused++
			if !sentence.MatchString(said) || len(left) > 0 {
				t.Errorf("limit %d: %s, left %v", limit, said, left)
			}
		default:
			t.Errorf("limit %d: status %d, %s", limit, status, said)
		}
	}
	if refused == 0 || made == 0 {
		t.Errorf("%d refused and %d made: the limits were badly chosen", refused, made)
	}
	shelf := t.TempDir()
	if err := copyFile(demo, filepath.Join(shelf, "journal.pdf")); err != nil {
		t.Fatal(err)
	}
	status, said := withFiles(t, shelf, 10, "batch", ".", "--out", "made")
	if status != Partly || !strings.Contains(said, "its process could not be started: this computer does not let") {
		t.Errorf("a shelf: status %d, %s", status, said)
	}
}

// withFiles runs the program with so many open files at most.
func withFiles(t *testing.T, dir string, limit int, args ...string) (Status, string) {
	t.Helper()
	cmd := exec.Command("sh", append([]string{"-c", fmt.Sprintf(`ulimit -n %d && exec program "$@"`, limit), "sh"}, args...)...)
	cmd.Dir = dir
	var said strings.Builder
	cmd.Stderr = &said
	err := cmd.Run()
	if exit := new(exec.ExitError); err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return Status(cmd.ProcessState.ExitCode()), said.String()
}
