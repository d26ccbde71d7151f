package render_test

import (
	"bytes"
	"fmt"
	"strings"
)

// pdfFile is a PDF file put together from its objects, for files that no
// ordinary writer would write.
type pdfFile struct{ objects []string }

// add adds an object and returns its number.
func (f *pdfFile) add(format string, args ...any) int {
	f.objects = append(f.objects, fmt.Sprintf(format, args...))
	return len(f.objects)
}

// stream adds a stream with further entries in its dictionary.
func (f *pdfFile) stream(entries, data string) int {
	return f.add("<< %s /Length %d >>\nstream\n%s\nendstream", entries, len(data), data)
}

// bytes writes the file; trailer is added to its trailer dictionary.
func (f *pdfFile) bytes(root int, trailer string) []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n")
	offsets := make([]int, len(f.objects))
	for i, o := range f.objects {
		offsets[i] = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	at := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(f.objects)+1)
	for _, o := range offsets {
		fmt.Fprintf(&b, "%010d 00000 n \n", o)
	}
	fmt.Fprintf(&b, "trailer\n<< /Size %d /Root %d 0 R %s >>\nstartxref\n%d\n%%%%EOF\n", len(f.objects)+1, root, trailer, at)
	return b.Bytes()
}

// testPage is one page: entries of its dictionary and its content.
type testPage struct{ entries, content string }

// pages is a file with these pages. /Helv is Helvetica, not embedded.
func pages(list ...testPage) []byte {
	var f pdfFile
	font := f.add("<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>")
	tree := len(f.objects) + 2*len(list) + 1
	var kids []string
	for _, p := range list {
		content := f.stream("", p.content)
		n := f.add("<< /Type /Page /Parent %d 0 R /Resources << /Font << /Helv %d 0 R >> >> /Contents %d 0 R %s >>", tree, font, content, p.entries)
		kids = append(kids, fmt.Sprintf("%d 0 R", n))
	}
	f.add("<< /Type /Pages /Count %d /Kids [%s] >>", len(kids), strings.Join(kids, " "))
	return f.bytes(f.add("<< /Type /Catalog /Pages %d 0 R >>", tree), "")
}
