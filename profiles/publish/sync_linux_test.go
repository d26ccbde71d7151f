package publish

import (
	"context"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// asTraced names the folder in which the test program publishes and is watched.
const asTraced = "PUBLISH_TEST_TRACED"

// TestSyncedBeforeItIsRenamed watches the calls of the system: every file and
// folder is brought to the disk before the rename, and the rename after it.
func TestSyncedBeforeItIsRenamed(t *testing.T) {
	if dir := os.Getenv(asTraced); dir != "" {
		publishAll(t, dir)
		return
	}
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("strace is not installed, so it cannot be seen what is synced")
	}
	dir := t.TempDir()
	trace := filepath.Join(t.TempDir(), "trace")
	cmd := exec.Command(strace, "-f", "-y", "-o", trace, "-e", "trace=fsync,fdatasync,rename,renameat,renameat2", os.Args[0], "-test.run=^TestSyncedBeforeItIsRenamed$")
	cmd.Env = append(os.Environ(), asTraced+"="+dir)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Skipf("strace cannot be used here: %v: %s", err, out)
	}
	var calls []string
	for line := range strings.Lines(string(mustRead(t, trace))) {
		line = strings.ReplaceAll(line, dir, "")
		if m := regexp.MustCompile(`(?:fsync|fdatasync)\(\d+<([^>]*)>`).FindStringSubmatch(line); m != nil {
			calls = append(calls, "sync "+m[1])
		}
		if m := regexp.MustCompile(`rename(?:at|at2)?\(.*"([^"]*)".*"([^"]*)"`).FindStringSubmatch(line); m != nil && !strings.Contains(line, "ENOENT") {
			calls = append(calls, "rename "+m[1])
		}
	}
	inOrder := func(rename, after string, before ...string) {
		t.Helper()
		at := slices.Index(calls, "rename "+rename)
		if at < 0 {
			t.Fatalf("%s is not renamed: %v", rename, calls)
		}
		for _, name := range before {
			if !slices.Contains(calls[:at], "sync "+name) {
				t.Errorf("%s is not synced before %s is renamed: %v", name, rename, calls)
			}
		}
		if !slices.Contains(calls[at:], "sync "+after) {
			t.Errorf("%s is not synced after %s is renamed: %v", after, rename, calls)
		}
	}
	inOrder("/above/.book-print.part", "/above", "/above/.book-print.part/ours", "/above/.book-print.part/front.pdf", "/above/.book-print.part")
	inOrder("/.proof.pdf.part", "", "/.proof.pdf.part")
	inOrder("/.report.json.part", "", "/.report.json.part")
}

// publishAll publishes a folder and files in each way.
func publishAll(t *testing.T, dir string) {
	t.Helper()
	err := Folder(t.Context(), filepath.Join(dir, "above", "book-print"), Options{Ours: ours}, func(_ context.Context, part string) error {
		lay(t, part, map[string]string{"ours": "new", "front.pdf": "front"})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	err = Write(t.Context(), filepath.Join(dir, "proof.pdf"), Options{}, func(_ context.Context, w io.Writer) error {
		_, err := io.WriteString(w, "proof")
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := writeAnything(t, filepath.Join(dir, "report.json"), "report"); err != nil {
		t.Fatal(err)
	}
}
