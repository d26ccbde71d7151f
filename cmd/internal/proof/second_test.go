package proof

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/secondreader"
	"foldwright/cmd/internal/testkit/rendertest"
)

// TestSecondReader damages print files so that PDFium still draws every page, and expects that the other
// reader's refusal is a fault that names the file, and no page.
func TestSecondReader(t *testing.T) {
	t.Parallel()
	const unsound = "<< /Type /Catalog /Pages 2 0 R /ViewerPreferences (none) >>"
	for _, c := range []struct {
		name         string
		print        func(file []byte) []byte // what becomes of the first print file
		source       func(file []byte) []byte
		fault, noted string // what is said; empty: nothing
	}{
		{name: "sound"},
		{name: "an entry of the wrong kind", print: func(f []byte) []byte { return updated(t, f, unsound) }, fault: "run-01-front.pdf is refused by a second reader of PDF: "},
		{
			name: "that the source has as well", print: func(f []byte) []byte { return updated(t, f, unsound) },
			source: func(f []byte) []byte {
				root := regexp.MustCompile(`(?s)\n(\d+) 0 obj\n<<\s*/Type /Catalog\s*/Pages (\d+ 0 R)`).FindSubmatch(f)
				if root == nil || string(root[1]) == "" {
					t.Fatal("no catalog")
				}
				return updated(t, f, strings.Replace(unsound, "2 0 R", string(root[2]), 1), string(root[1]))
			},
			noted: "a second reader of PDF refuses run-01-front.pdf, and the source too: ",
		},
		{
			name: "too large", print: func(f []byte) []byte {
				end := f[bytes.LastIndex(f, []byte("startxref")):]
				return append(append(append(f, bytes.Repeat([]byte("%%%%%%%\n"), secondreader.MostBytes/8)...), '\n'), end...)
			},
			noted: "run-01-front.pdf was not shown to a second reader of PDF, which reads no files of more than 32 MB",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			source := filepath.Join(t.TempDir(), "book.pdf")
			change := func(from, to string, how func([]byte) []byte) {
				data, err := os.ReadFile(from)
				if err == nil && how != nil {
					data = how(bytes.Clone(data))
				}
				if err == nil {
					err = os.WriteFile(to, data, 0o600)
				}
				if err != nil {
					t.Fatal(err)
				}
			}
			change(demo, source, c.source)
			folder := prepare(t, source, options.Options{Pages: few})
			front := filepath.Join(folder, "run-01-front.pdf")
			change(front, front, c.print)
			found, err := opened(t, folder).Check(t.Context(), Options{Renderer: rendertest.Shared(t), Source: openSource(t, source)})
			if err != nil {
				t.Fatal(err)
			}
			said := ""
			for _, f := range found.Faults {
				said += f.String()
				if f.Page != 0 || f.File != "run-01-front.pdf" {
					t.Errorf("page %d of %q is wrong", f.Page, f.File)
				}
			}
			noted := strings.Join(found.Notes, "")
			if !strings.HasPrefix(said, c.fault) || (said == "") != (c.fault == "") || !strings.HasPrefix(noted, c.noted) || (noted == "") != (c.noted == "") {
				t.Errorf("faults %q, noted %q", said, noted)
			}
		})
	}
}

// updated appends another catalog to a file, under the number of the old one (1, if nothing is said).
func updated(t *testing.T, file []byte, catalog string, number ...string) []byte {
	t.Helper()
	old := regexp.MustCompile(`startxref\s+(\d+)\s+%%EOF\s*$`).FindSubmatch(file)
	if old == nil {
		t.Fatal("no end of a file")
	}
	num := strings.Join(append(number, "1")[:1], "")
	size := 0
	for _, m := range regexp.MustCompile(`/Size (\d+)`).FindAllSubmatch(file, -1) {
		fmt.Sscan(string(m[1]), &size)
	}
	at := len(file)
	file = fmt.Appendf(file, "%s 0 obj\n%s\nendobj\n", num, catalog)
	table := len(file)
	return fmt.Appendf(file, "xref\n%s 1\n%010d 00000 n \ntrailer\n<< /Size %d /Root %s 0 R /Prev %s >>\nstartxref\n%d\n%%%%EOF\n", num, at, size, num, old[1], table)
}
