package printtest

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// RawBook writes a PDF from page entries and contents; catalog has further
// entries of the catalog.
func RawBook(t *testing.T, catalog string, pages ...[2]string) string {
	t.Helper()
	return RawBookWith(t, nil, catalog, pages...)
}

// RawBookWith has objects that all pages can draw as X1, X2 and so on. The
// first has the number 4 and two for each page.
func RawBookWith(t *testing.T, drawn []string, catalog string, pages ...[2]string) string {
	t.Helper()
	var objects, kids []string
	xobjects := ""
	for i := range drawn {
		xobjects += fmt.Sprintf("/X%d %d 0 R", i+1, 4+2*len(pages)+i)
	}
	for i, p := range pages {
		kids = append(kids, fmt.Sprintf("%d 0 R", 4+2*i))
		objects = append(objects,
			fmt.Sprintf("<</Type/Page/Parent 2 0 R/Resources<</Font<</F 3 0 R>>/XObject<<%s>>>>/Contents %d 0 R %s>>", xobjects, 5+2*i, p[0]),
			fmt.Sprintf("<</Length %d>>\nstream\n%s\nendstream", len(p[1]), p[1]))
	}
	objects = append([]string{
		"<</Type/Catalog/Pages 2 0 R " + catalog + ">>",
		fmt.Sprintf("<</Type/Pages/Count %d/Kids[%s]>>", len(pages), strings.Join(kids, " ")),
		"<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>",
	}, append(objects, drawn...)...)
	var b strings.Builder
	b.WriteString("%PDF-1.7\n")
	var table strings.Builder
	for i, o := range objects {
		fmt.Fprintf(&table, "%010d 00000 n \n", b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	at := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n%strailer\n<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, table.String(), len(objects)+1, at)
	path := filepath.Join(t.TempDir(), "raw.pdf")
	if err := os.WriteFile(path, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// Word is a page's content that writes a word at a place in points.
func Word(text string, x, y float64) string {
	return fmt.Sprintf("BT /F 12 Tf %g %g Td (%s) Tj ET ", x, y, text)
}
