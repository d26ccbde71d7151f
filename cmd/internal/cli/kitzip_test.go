package cli

import (
	"archive/zip"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/testkit/printtest"
)

// TestZippedKit opens a zipped kit with another reader and finds the files of
// the folder in it, and with the usual tools where they are installed. The
// record speaks of the bytes that are there.
func TestZippedKit(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	source := printtest.Book(t, 9)
	folder, packed := filepath.Join(dir, "k\u00fcste-kit"), filepath.Join(dir, "k\u00fcste-kit.zip")
	run(t, "kit", source, "--out", folder, "--quiet")
	run(t, "kit", source, "--out", packed, "--quiet")
	run(t, "kit", source, "--out", packed, "--zip", "--quiet", "--replace")
	z, err := zip.OpenReader(packed)
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	if entries, err := os.ReadDir(folder); err != nil || len(entries) != len(z.File) {
		t.Errorf("%d files of %d (%v)", len(z.File), len(entries), err)
	}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(f.Name)))
		if err != nil || string(got) != string(want) {
			t.Errorf("%s differs (%v)", f.Name, err)
		}
	}
	record, err := output.ReadKit(packed)
	if err != nil || len(record.Files) != len(z.File)-1 {
		t.Errorf("the record names %d files (%v)", len(record.Files), err)
	}
	for _, opened := range [][]string{{"unzip", "-tq"}, {"bsdtar", "-tf"}, {"7zz", "t"}, {"python3", "-m", "zipfile", "-t"}} {
		if tool, err := exec.LookPath(opened[0]); err == nil {
			if out, err := exec.Command(tool, append(opened[1:], packed)...).CombinedOutput(); err != nil {
				t.Errorf("%v: %v: %s", opened, err, out)
			}
		}
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 2 {
		t.Errorf("beside the kits lie %v (%v)", left, err)
	}
}
