package cli

import (
	"context"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"
)

// lockedBook writes a book of three pages; no permissions permits everything.
func lockedBook(path, user, owner string, permissions ...byte) error {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: 148, Ht: 210}})
	allowed := byte(fpdf.CnProtectPrint)
	for _, p := range permissions {
		allowed = p
	}
	doc.SetProtection(allowed, user, owner)
	doc.SetFont("Helvetica", "", 12)
	for range 3 {
		doc.AddPage()
		doc.Text(20, 20, "The lamp was lit at six.")
	}
	return doc.OutputFileAndClose(path)
}

// TestPasswordIsAskedFor has a person type two wrong passwords and the right one.
func TestPasswordIsAskedFor(t *testing.T) {
	dir := t.TempDir()
	book := filepath.Join(dir, "locked.pdf")
	if err := lockedBook(book, "gull", "keeper"); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		typed  []string
		status Status
		asked  int
	}{
		{[]string{"gull"}, Done, 1},
		{[]string{"tern", "", "gull"}, Done, 3},
		{[]string{"tern", "tern", "tern", "gull"}, Locked, 3},
	} {
		asked := 0
		var said strings.Builder
		status := Run(t.Context(), []string{"prepare", book, "--dry-run"}, Surroundings{
			In: strings.NewReader(""), Out: io.Discard, Err: &said, Region: "GB",
			Secret: func(_ context.Context, question string) (string, error) {
				if question != "password of locked.pdf: " {
					t.Errorf("asked %q", question)
				}
				asked++
				return c.typed[asked-1], nil
			},
		})
		if status != c.status || asked != c.asked {
			t.Errorf("typed %q: status %d after %d questions, want %d after %d: %s", c.typed, status, asked, c.status, c.asked, said.String())
		}
		if strings.Contains(said.String(), "gull") {
			t.Error("the password is shown")
		}
	}
	status := Run(t.Context(), []string{"prepare", book, "--dry-run"}, Surroundings{
		Out: io.Discard, Err: io.Discard, Region: "GB",
		Secret: func(context.Context, string) (string, error) { return "", context.Canceled },
	})
	if status != Interrupted {
		t.Errorf("an interrupted question ends with status %d", status)
	}
}
