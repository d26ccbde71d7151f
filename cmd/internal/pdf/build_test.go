package pdf

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/geom"
)

// source is a PDF file put together from its objects, for files that no
// ordinary writer would write.
type source struct {
	objects []string
	trailer string // further entries of the trailer
	catalog string // further entries of the catalog
	tree    string // further entries of the page tree's root
	pages   []string
}

// add adds an object and returns its number.
func (s *source) add(format string, args ...any) int {
	s.objects = append(s.objects, fmt.Sprintf(format, args...))
	return len(s.objects)
}

// stream adds a stream with further entries in its dictionary.
func (s *source) stream(entries, data string) int {
	s.objects = append(s.objects, fmt.Sprintf("<< %s /Length %d >>\nstream\n%s\nendstream", entries, len(data), data))
	return len(s.objects)
}

// page adds a page with its entries; its parent is filled in when the file is written.
func (s *source) page(format string, args ...any) {
	n := s.add("<< /Type /Page /Parent TREE "+format+" >>", args...)
	s.pages = append(s.pages, fmt.Sprintf("%d 0 R", n))
}

// square is a page of 200 by 200 points with this content.
func (s *source) square(content, entries string) {
	s.page("/MediaBox [0 0 200 200] /Contents %d 0 R %s", s.stream("", content), entries)
}

// bytes writes the file with a cross-reference table.
func (s *source) bytes() []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n")
	objects := append([]string(nil), s.objects...)
	tree := len(objects) + 1
	objects = append(objects, fmt.Sprintf("<< /Type /Pages /Count %d /Kids [%s] %s >>", len(s.pages), strings.Join(s.pages, " "), s.tree))
	objects = append(objects, fmt.Sprintf("<< /Type /Catalog /Pages %d 0 R %s >>", tree, s.catalog))
	var table strings.Builder
	for i, o := range objects {
		fmt.Fprintf(&table, "%010d 00000 n \n", b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, strings.Replace(o, "TREE", fmt.Sprintf("%d 0 R", tree), 1))
	}
	at := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n%s", len(objects)+1, table.String())
	fmt.Fprintf(&b, "trailer\n<< /Size %d /Root %d 0 R %s >>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, tree+1, s.trailer, at)
	return b.Bytes()
}

// opened opens bytes as a file.
func opened(t testing.TB, data []byte, o Options) (*Document, error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "source.pdf")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	d, err := Open(t.Context(), path, o)
	if err == nil {
		t.Cleanup(func() { d.Close() })
	}
	return d, err
}

func mustOpen(t testing.TB, data []byte) *Document {
	t.Helper()
	d, err := opened(t, data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// asIs writes each page by itself, unscaled, on paper of its size.
func asIs(t testing.TB, d *Document, page int) []byte {
	t.Helper()
	p := d.Pages()[page-1]
	if p.Problem != nil {
		t.Fatal(p.Problem)
	}
	return written(t, d, PrintFile{Paper: p.Size, Sides: []Side{{Pages: []Placed{{Page: page, Matrix: geom.Identity, Clip: p.Visible()}}}}})
}

func written(t testing.TB, d *Document, f PrintFile) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := d.Write(t.Context(), &b, f); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// spot is a place on an upright page, in points from its lower left corner,
// and what must be seen there.
type spot struct {
	x, y int
	want string // black, grey or white
}

// look draws a page of a file at one pixel a point and checks spots.
func look(t *testing.T, name string, data []byte, page int, spots []spot) {
	t.Helper()
	picture, err := rendertest.OpenBytes(t, name, data).Gray(t.Context(), page, 72)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range spots {
		v := picture.GrayAt(s.x, picture.Bounds().Dy()-1-s.y).Y
		got := "grey"
		switch {
		case v < 64:
			got = "black"
		case v > 240:
			got = "white"
		}
		if got != s.want {
			t.Errorf("%s, page %d: at %d,%d stands %s (%d), not %s", name, page, s.x, s.y, got, v, s.want)
		}
	}
}
