package render_test

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/profiles/regular"
	"foldwright/reorder/sample"
)

// locked is a file of one page, encrypted with these passwords.
func locked(t *testing.T, permissions byte, user, owner string) []byte {
	t.Helper()
	p := pdftest.New(148, 210)
	p.SetProtection(permissions, user, owner)
	p.AddPage()
	p.SetFont("Helvetica", "", 12)
	p.Text(20, 30, "lantern oil")
	var b bytes.Buffer
	if err := p.Output(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestPasswords(t *testing.T) {
	r := rendertest.Shared(t)
	both := locked(t, fpdf.CnProtectPrint, "gannet", "skua")
	for _, c := range []struct {
		name     string
		data     []byte
		password string
		want     error
	}{
		{"none given", both, "", render.ErrPassword},
		{"wrong", both, "puffin", render.ErrWrongPassword},
		{"the user's", both, "gannet", nil},
		{"the owner's", both, "skua", nil},
		{"empty user password", locked(t, fpdf.CnProtectPrint, "", "skua"), "", nil},
		{"printing not permitted", locked(t, fpdf.CnProtectCopy, "", "skua"), "", render.ErrNoPrinting},
		{"printing not permitted to the user", locked(t, fpdf.CnProtectCopy, "gannet", "skua"), "gannet", render.ErrNoPrinting},
		{"printing not permitted but to the owner", locked(t, fpdf.CnProtectCopy, "gannet", "skua"), "skua", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := r.OpenBytes(t.Context(), "journal.pdf", c.data, c.password)
			if !errors.Is(err, c.want) {
				t.Fatalf("error %v, want %v", err, c.want)
			}
			if err != nil {
				var e *render.Error
				if !errors.As(err, &e) || e.File != "journal.pdf" || e.Page != 0 {
					t.Errorf("the error doesn't name the file: %#v", err)
				}
				return
			}
			defer d.Close()
			var copied bytes.Buffer
			if err := d.Save(t.Context(), &copied); err != nil {
				t.Fatal(err)
			}
			expectWord(t, rendertest.OpenBytes(t, "unlocked copy", copied.Bytes()), 1, "lantern")
		})
	}
}

func expectWord(t *testing.T, d *render.Document, page int, text string) {
	t.Helper()
	words, err := d.Words(t.Context(), page)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range words {
		if w.Text == text {
			return
		}
	}
	t.Errorf("%q is not among the words of page %d: %v", text, page, words)
}

func TestFilesThatCannotBeOpened(t *testing.T) {
	dir := t.TempDir()
	write := func(name, data string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(data), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	var none pdfFile
	tree := none.add("<< /Type /Pages /Count 0 /Kids [] >>")
	noPages := string(none.bytes(none.add("<< /Type /Catalog /Pages %d 0 R >>", tree), ""))
	r := rendertest.Shared(t)
	var kind *regular.KindError
	if _, err := r.Open(t.Context(), dir, ""); !errors.As(err, &kind) || !kind.Mode.IsDir() || !strings.HasPrefix(err.Error(), dir) {
		t.Errorf("a folder: %v", err)
	}
	for path, want := range map[string]error{
		filepath.Join(dir, "missing.pdf"):                     fs.ErrNotExist,
		write("empty.pdf", ""):                                render.ErrEmpty,
		write("text.pdf", strings.Repeat("no PDF file\n", 9)): render.ErrUnreadable,
		write("short.pdf", "%PDF-1.7\n1 0 obj"):               render.ErrUnreadable,
		write("blank.pdf", noPages):                           render.ErrNoPages,
	} {
		d, err := r.Open(t.Context(), path, "")
		var e *render.Error
		if !errors.Is(err, want) || !errors.As(err, &e) || e.File != path || d != nil {
			t.Errorf("%s: %v, want %v with the file's name", filepath.Base(path), err, want)
		}
		if err != nil && !strings.HasPrefix(err.Error(), path) {
			t.Errorf("the message doesn't begin with the file: %v", err)
		}
	}
}

func TestPagesThatAreNotThere(t *testing.T) {
	d := rendertest.OpenBytes(t, "one.pdf", pages(testPage{"/MediaBox [0 0 100 100]", ""}))
	for _, page := range []int{-1, 0, 2} {
		_, err := d.Gray(t.Context(), page, 72)
		var e *render.Error
		if !errors.Is(err, render.ErrNoSuchPage) || !errors.As(err, &e) || e.Page != page {
			t.Errorf("page %d: %v", page, err)
		}
	}
	if err := d.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Gray(t.Context(), 1, 72); !errors.Is(err, render.ErrClosed) {
		t.Errorf("after Close: %v", err)
	}
}

// A file without its cross-reference table and one that is cut short in the
// middle are read, and saved as sound files.
func TestSaveRepairs(t *testing.T) {
	sound := pages(
		testPage{"/MediaBox [0 0 200 200]", "BT /Helv 12 Tf 20 30 Td (first) Tj ET"},
		testPage{"/MediaBox [0 0 200 200]", "BT /Helv 12 Tf 20 30 Td (second) Tj ET"})
	xref := bytes.Index(sound, []byte("xref\n"))
	noTable := append(bytes.Clone(sound[:xref]), sound[bytes.Index(sound, []byte("trailer")):]...)
	for name, data := range map[string][]byte{
		"no table":     noTable,
		"wrong offset": bytes.Replace(sound, []byte("startxref\n"), []byte("startxref\n9"), 1),
	} {
		t.Run(name, func(t *testing.T) {
			d := rendertest.OpenBytes(t, name, data)
			var copied bytes.Buffer
			if err := d.Save(t.Context(), &copied); err != nil {
				t.Fatal(err)
			}
			if !bytes.Contains(copied.Bytes(), []byte("xref")) {
				t.Error("the copy has no cross-reference table")
			}
			again := rendertest.OpenBytes(t, "copy", copied.Bytes())
			if again.Pages() != 2 {
				t.Fatalf("%d pages, want 2", again.Pages())
			}
			expectWord(t, again, 1, "first")
			expectWord(t, again, 2, "second")
		})
	}
}

// fullDisk refuses everything.
type fullDisk struct{}

var errFull = errors.New("no space left")

func (fullDisk) Write([]byte) (int, error) { return 0, errFull }

func TestSaveReportsWhatTheWriterSays(t *testing.T) {
	d := rendertest.OpenBytes(t, "one.pdf", pages(testPage{"/MediaBox [0 0 100 100]", ""}))
	if err := d.Save(t.Context(), fullDisk{}); !errors.Is(err, errFull) {
		t.Errorf("got %v, want the writer's error", err)
	}
}

func TestCancelled(t *testing.T) {
	r := rendertest.Shared(t)
	d := rendertest.OpenBytes(t, "one.pdf", pages(testPage{"/MediaBox [0 0 100 100]", ""}))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := d.Gray(ctx, 1, 72); !errors.Is(err, context.Canceled) {
		t.Errorf("drawing: %v", err)
	}
	if _, err := r.OpenBytes(ctx, "one.pdf", []byte("%PDF"), ""); !errors.Is(err, context.Canceled) {
		t.Errorf("opening: %v", err)
	}
}

// Files that nobody here wrote: the test data of the PDF library that package
// pdf stands on, read where Go keeps it.
func TestFilesOfOthers(t *testing.T) {
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/pdfcpu/pdfcpu").Output()
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(out)), "pkg", "testdata", "*.pdf"))
	if err != nil || len(files) < 40 {
		t.Fatalf("only %d files found, %v", len(files), err)
	}
	scan := slices.IndexFunc(files, func(path string) bool { return filepath.Base(path) == "blank-scan.pdf" })
	empty := slices.IndexFunc(files, func(path string) bool { return filepath.Base(path) == "empty.pdf" })
	tried, inked, worded := 0, 0, 0
	for _, path := range sample.Of(t, files, 10, scan, empty) {
		tried++
		d := rendertest.Open(t, path)
		for page := 1; page <= min(d.Pages(), 2); page++ {
			_, found, err := rendertest.Ink(t.Context(), d, page, 30, 250)
			if err != nil {
				t.Error(err)
			}
			words, err := d.Words(t.Context(), page)
			if err != nil {
				t.Error(err)
			}
			if found {
				inked++
			}
			if len(words) > 0 {
				worded++
			}
		}
	}
	// Most have both; a blank scan and an empty page are among them.
	if sample.Full() && (inked < 60 || worded < 50) || inked < tried*3/4 || worded < tried/3 || inked >= 2*tried {
		t.Errorf("of the first two pages of %d files %d have ink and %d have words", tried, inked, worded)
	}
}
