package cli

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"

	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/reorder/refusal"
)

// lockedBook writes a book of three pages; no permissions permits everything.
func lockedBook(path, user, owner string, permissions ...byte) error {
	doc := pdftest.New(148, 210)
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
	wrong := filepath.Join(dir, "wrong.txt")
	unprintable := filepath.Join(dir, "unprintable.pdf")
	if err := errors.Join(
		lockedBook(book, "gull", "keeper"), lockedBook(unprintable, "", "keeper", fpdf.CnProtectCopy),
		os.WriteFile(wrong, []byte("tern\n"), 0o600),
	); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args   []string
		typed  []string
		status Status
		asked  int
		again  int // how often an answer is called wrong
	}{
		{[]string{book}, []string{"gull"}, Done, 1, 0},
		{[]string{book}, []string{"tern", "", "gull"}, Done, 3, 1},
		{[]string{book}, []string{"tern", "tern", "tern", "gull"}, Locked, 3, 2},
		{[]string{book, "--password-file", wrong}, []string{"gull"}, Locked, 0, 0},
		{[]string{unprintable}, []string{"gull"}, Locked, 0, 0},
		{[]string{filepath.Join(dir, "nowhere.pdf")}, []string{"gull"}, Unreadable, 0, 0},
	} {
		asked := 0
		var said strings.Builder
		status := Run(t.Context(), append([]string{"prepare", "--dry-run"}, c.args...), Surroundings{
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
			t.Errorf("%q, typed %q: status %d after %d questions, want %d after %d: %s", c.args, c.typed, status, asked, c.status, c.asked, said.String())
		}
		if again := strings.Count(said.String(), "that is not the password\n"); again != c.again {
			t.Errorf("%q, typed %q: called wrong %d times, want %d: %s", c.args, c.typed, again, c.again, said.String())
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

// TestPasswordFile reads first lines as editors of other systems write them.
func TestPasswordFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "password.txt")
	for text, want := range map[string]string{
		"gull": "gull", "gull\n": "gull", "gull\r\ntern\r\n": "gull", "\ufeffgull\n": "gull", " gull \n": " gull ",
		"\ngull\n": "", "\r\n": "", "": "",
	} {
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		got, err := readPassword(t.Context(), file)
		if got != want || (refusal.Of(err) == refusal.Use) != (want == "") || want != "" && err != nil {
			t.Errorf("%q: %q, %v; want %q", text, got, err, want)
		}
	}
}

// TestPasswordOfCoversIsAskedForOnce has front and back of a cover taken out of one protected PDF.
func TestPasswordOfCoversIsAskedForOnce(t *testing.T) {
	dir := t.TempDir()
	book, job := filepath.Join(dir, "locked.pdf"), filepath.Join(dir, "locked-print")
	if err := lockedBook(book, "gull", "keeper"); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args  []string
		asked int
	}{
		{[]string{"prepare", book, "--take-covers", "2", "--paper", "a4", "--out", job}, 1},
		{[]string{"cover", job, "--kind", "card", "--draft"}, 1},
		{[]string{"cover", job, "--kind", "label", "--label", "front", "--draft"}, 0},
	} {
		asked := 0
		var said strings.Builder
		status := Run(t.Context(), c.args, Surroundings{
			In: strings.NewReader(""), Out: io.Discard, Err: &said, Region: "GB",
			Secret: func(context.Context, string) (string, error) { asked++; return "gull", nil },
		})
		if status != Done || asked != c.asked {
			t.Errorf("%q: status %d after %d questions, want %d: %s", c.args, status, asked, c.asked, said.String())
		}
	}
}
