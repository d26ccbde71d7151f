package cli

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/reorder/sample"
)

// TestKilledZipIsWholeOrAbsent kills the writing of a zipped kit at moments
// spread over the time that it takes, with nothing and with an earlier kit in
// its place. Under the name there is nothing, the earlier kit, or the whole new one,
// and the next run leaves nothing else beside it.
func TestKilledZipIsWholeOrAbsent(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 200)
	dir := t.TempDir()
	place := filepath.Join(dir, "kit.zip")
	command := func(args ...string) *exec.Cmd {
		return program(t, new(bytes.Buffer), append([]string{"kit", source, "--quiet", "--out", place}, args...)...)
	}
	whole := func() []byte {
		t.Helper()
		if err := os.RemoveAll(place); err != nil {
			t.Fatal(err)
		}
		run(t, "kit", source, "--quiet", "--out", place)
		data, err := os.ReadFile(place)
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	want := whole()
	measure := func() time.Duration {
		t.Helper()
		began := time.Now()
		if err := command("--sheets", "2", "--replace").Run(); err != nil {
			t.Fatal(err)
		}
		return time.Since(began)
	}
	took := measure()
	earlier, err := os.ReadFile(place)
	if err != nil {
		t.Fatal(err)
	}
	moments := 8
	if sample.Full() {
		moments = 16
	}
	ends := map[string]int{}
	// On a machine that others use, too, moments may miss what they are for: then there are more.
	for i := 0; i < moments || i < 10*moments && (ends["cut short"] == 0 || ends["absent"]+ends["earlier"] == 0); i++ {
		if i > 0 && i%moments == 0 {
			took = measure()
		}
		replaces := i%2 == 1
		var args []string
		if err := os.RemoveAll(place); err != nil {
			t.Fatal(err)
		}
		if replaces {
			args = []string{"--replace"}
			if err := os.WriteFile(place, earlier, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		cmd := command(args...)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(took * time.Duration(i%moments+1) * 5 / time.Duration(4*moments))
		_ = cmd.Process.Kill() // it may have come to its end
		killed := cmd.Wait() != nil
		got, err := os.ReadFile(place)
		switch {
		case errors.Is(err, fs.ErrNotExist) && !replaces:
			ends["absent"]++
		case err != nil:
			t.Fatalf("moment %d: %v", i, err)
		case bytes.Equal(got, want):
			ends["new"]++
		case replaces && bytes.Equal(got, earlier):
			ends["earlier"]++
		default:
			t.Fatalf("moment %d: %d bytes of %d lie there", i, len(got), len(want))
		}
		if _, err := os.Lstat(filepath.Join(dir, ".kit.zip.part")); killed && err == nil {
			ends["cut short"]++
		}
		if got := whole(); !bytes.Equal(got, want) {
			t.Fatalf("moment %d: the next run wrote something else", i)
		}
		if left, err := os.ReadDir(dir); err != nil || len(left) != 1 {
			t.Fatalf("moment %d: %v is left (%v)", i, left, err)
		}
	}
	t.Logf("%v", ends)
	if ends["cut short"] == 0 || ends["absent"]+ends["earlier"] == 0 {
		t.Errorf("the moments were badly chosen: %v", ends)
	}
	z, err := zip.NewReader(bytes.NewReader(want), int64(len(want)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.Copy(io.Discard, r); err != nil { // the checksum too
			t.Errorf("%s: %v", f.Name, err)
		}
	}
}
