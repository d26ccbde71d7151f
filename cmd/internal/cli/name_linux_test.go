package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// TestNamesThatAreNoUTF8 gives such a name to every command, as an argument and after every flag.
func TestNamesThatAreNoUTF8(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	const name = "B\xfccher.pdf"
	if err := os.WriteFile(name, []byte("%PDF-1.4"), 0o666); err != nil {
		t.Skipf("the file system has no such names: %v", err)
	}
	tried := 0
	refused := func(args ...string) {
		t.Helper()
		tried++
		status, _, said := runs(t, t.Context(), args...)
		if status != WrongUse || !strings.Contains(said, `B\xfccher.pdf: this name is not in UTF-8`+"\nhint: rename the file") || strings.Count(said, "\n") != 2 {
			t.Errorf("%q: status %d: %s", args, status, said)
		}
	}
	root := newRoot(Surroundings{})
	for _, c := range root.Commands() {
		walk(c, func(c *cobra.Command) {
			path := strings.Fields(c.CommandPath())[1:]
			refused(append(path, name)...)
			c.Flags().VisitAll(func(f *pflag.Flag) { refused(append(path, "--"+f.Name+"="+name)...) })
		})
	}
	if tried < 200 {
		t.Errorf("only %d were tried", tried)
	}
	left, err := os.ReadDir(".")
	if err != nil || len(left) != 1 {
		t.Errorf("left %v, %v", left, err)
	}
}

func walk(c *cobra.Command, see func(*cobra.Command)) {
	see(c)
	for _, below := range c.Commands() {
		walk(below, see)
	}
}

// TestShelfWithNamesThatAreNoUTF8 finds two such titles, which the report tells apart.
func TestShelfWithNamesThatAreNoUTF8(t *testing.T) {
	dir := t.TempDir()
	shelf, out := filepath.Join(dir, "shelf"), filepath.Join(dir, "prepared")
	for _, name := range []string{"B\xfccher.pdf", "B\xe9cher.pdf"} {
		if err := os.MkdirAll(shelf, 0o777); err != nil {
			t.Fatal(err)
		}
		if err := copyFile(demoBook, filepath.Join(shelf, name)); err != nil {
			t.Skipf("the file system has no such names: %v", err)
		}
	}
	for range 2 { // the second run reads the report of the first
		status, _, said := runs(t, t.Context(), "batch", shelf, "--out", out)
		if status != Partly || !strings.Contains(said, `B\xfccher.pdf: this name is not in UTF-8`) || !strings.Contains(said, "hint: rename the file") {
			t.Errorf("status %d: %s", status, said)
		}
	}
	data, err := os.ReadFile(filepath.Join(out, "batch-report.json"))
	if err != nil {
		t.Fatal(err)
	}
	var report struct{ Titles []struct{ Name string } }
	if err := json.Unmarshal(data, &report); err != nil || len(report.Titles) != 2 ||
		report.Titles[0].Name != `B\xe9cher` || report.Titles[1].Name != `B\xfccher` {
		t.Errorf("%+v, %v", report, err)
	}
	page, err := os.ReadFile(filepath.Join(out, "batch-report.html"))
	if err != nil || !utf8.Valid(page) || !strings.Contains(string(page), `B\xfccher`) {
		t.Errorf("the page holds something else: %v", err)
	}
}
