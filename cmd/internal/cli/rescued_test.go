package cli

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
)

// TestRescuedSource prepares files whose encryption only PDFium still makes out. A copy
// that it saved is printed, and that is said in the plan and on the screen; what the
// owner has not permitted stays so.
func TestRescuedSource(t *testing.T) {
	const said = "the file is encrypted in a way that can't be read here; a copy repaired by a second PDF reader was used"
	dir := t.TempDir()
	damaged := func(name string) string {
		data, err := os.ReadFile(filepath.Join("..", "pdf", "testdata", "encrypted", name))
		if err != nil {
			t.Fatal(err)
		}
		worse := bytes.Replace(data, []byte("/Length 16 "), []byte("/Length 16<"), 1)
		if bytes.Equal(worse, data) {
			t.Fatal("nothing was damaged")
		}
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, worse, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	run := func(args ...string) (Status, string) {
		var screen strings.Builder
		status := Run(t.Context(), args, Surroundings{In: strings.NewReader(""), Out: io.Discard, Err: &screen, Region: "GB", Renderer: rendertest.Shared(t)})
		return status, screen.String()
	}
	out := filepath.Join(dir, "out")
	status, screen := run("prepare", damaged("r4-empty.pdf"), "--out", out, "--printer", "by-hand-short", "--no-side-names", "--marks", "none")
	if status != Done || !strings.Contains(screen, said) {
		t.Errorf("status %d, on the screen: %s", status, screen)
	}
	var made plan.Plan
	data, err := os.ReadFile(filepath.Join(out, plan.File))
	if err == nil {
		err = json.Unmarshal(data, &made)
	}
	if err != nil || !strings.Contains(strings.Join(made.Warnings, "\n"), said) {
		t.Fatalf("in the plan: %q, %v", made.Warnings, err)
	}
	if _, found, err := rendertest.Ink(t.Context(), rendertest.Open(t, filepath.Join(out, made.Runs[0].Files()[0])), 1, 50, 128); err != nil || !found {
		t.Errorf("the page is not printed: %v", err)
	}
	password := filepath.Join(dir, "password.txt")
	if err := os.WriteFile(password, []byte("gull\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if status, screen := run("prepare", damaged("r4-rc4.pdf"), "--out", filepath.Join(dir, "opened"), "--password-file", password); status != Done || !strings.Contains(screen, said) {
		t.Errorf("with a password: status %d, on the screen: %s", status, screen)
	}
	// As the front of a cover it is shown too.
	book := filepath.Join(dir, "book")
	if status, screen := run("prepare", filepath.Join(dir, "r4-empty.pdf"), printtest.Book(t, 9), "--out", book, "--take-covers", "2", "--quiet"); status != Done {
		t.Fatalf("status %d: %s", status, screen)
	}
	cover := filepath.Join(dir, "cover.pdf")
	if status, screen := run("cover", book, "--kind", "card", "--spine", "3mm", "--paper", "a3", "--out", cover); status != Done || !strings.Contains(screen, "page 1 is shown at") {
		t.Errorf("its cover: status %d: %s", status, screen)
	}
	if status, screen := run("prepare", damaged("r4-noprint.pdf"), "--out", filepath.Join(dir, "no")); status == Done {
		t.Errorf("printed without permission: %s", screen)
	}
}
