package cli

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/sample"
)

// TestWhatPrepareReadsIsReadByAll takes files that package pdf reads, most of which PDFium
// refuses or counts otherwise, through every command that reads a source.
func TestWhatPrepareReadsIsReadByAll(t *testing.T) {
	all := []struct {
		name, file string
		old, new   string // what is changed in the file
		password   string
		refusal    error // PDFium's; nil: it opens the file
		pages      int   // that PDFium counts then
	}{
		{name: "strings are not encrypted", file: "r4-empty", old: "/StrF /StdCF", new: "/StrF /Plain", refusal: render.ErrPassword},
		{name: "no name of a handler", file: "r4-empty", old: "/Filter /Standard ", new: "", refusal: render.ErrEncryption},
		{name: "a key counted in bytes", file: "r3-long", old: "/Length 128", new: "/Length 16 ", password: strings.Repeat("the lamp was lit at six and burned until the morning, ", 3), refusal: render.ErrWrongPassword},
		{name: "zeros behind the owner's entry", file: "r4-empty", old: "73ca059d5>", new: "73ca059d50000>", refusal: render.ErrPassword},
		{name: "the table is lost", file: "r4-packed", old: "startxref", new: "lost here", password: "gull", refusal: render.ErrUnreadable},
		{name: "pages in a circle", file: "r4-empty", old: "/Count 1 /Kids [ 3 0 R ]", new: "/Count 2 /Kids [ 2 0 R 3 0 R ]", pages: 2},
		{name: "nothing is wrong", file: "r4-cleartext", password: "gull", pages: 1},
	}
	for _, c := range sample.Of(t, all, 1, 0) {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			book, out, password := filepath.Join(dir, "book.pdf"), filepath.Join(dir, "job"), filepath.Join(dir, "password")
			data, err := os.ReadFile(filepath.Join("..", "pdf", "testdata", "encrypted", c.file+".pdf"))
			if err != nil || !bytes.Contains(data, []byte(c.old)) {
				t.Fatalf("%q, %v", c.old, err)
			}
			if c.old != "" {
				data = bytes.Replace(data, []byte(c.old), []byte(c.new), 1)
			}
			if err := errors.Join(os.WriteFile(book, data, 0o600), os.WriteFile(password, []byte(c.password+"\n"), 0o600)); err != nil {
				t.Fatal(err)
			}
			pages := 0
			d, err := rendertest.Shared(t).Open(t.Context(), book, c.password)
			if err == nil {
				pages = d.Pages()
				d.Close()
			}
			if !errors.Is(err, c.refusal) || pages != c.pages {
				t.Errorf("PDFium says %v and counts %d pages, want %v and %d", err, pages, c.refusal, c.pages)
			}
			for _, args := range [][]string{
				{"prepare", book, "--out", out, "--keep-clear", "4"}, {"inspect", book}, {"proof", out, "--source", book},
				{"preview", out}, {"reprint", out, "--sheet", "1", "--source", book}, {"prepare", book, "--out", out + "2", "--proof", "--box", "content"},
			} {
				if c.password != "" && args[0] != "preview" {
					args = append(args, "--password-file", password)
				}
				var screen strings.Builder
				status := Run(t.Context(), args, Surroundings{In: strings.NewReader(""), Out: &screen, Err: &screen, Region: "GB", Renderer: rendertest.Shared(t)})
				if status != Done {
					t.Errorf("%q: status %d: %s", args, status, screen.String())
				}
			}
		})
	}
}
