package cos

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// Data that mention the words which end them, and streams that aren't begun or ended as they should be.
func TestExtentOfStreams(t *testing.T) {
	const dict = "3 0 obj<</Length 99>>"
	long := strings.Repeat("ebb and flood\n", 5000) // longer than a block
	for name, c := range map[string]struct{ data, want string }{
		"a word that ends alike":        {"stream\ntide\neendstream\nebb\nendstream\nendobj\n", "tide\neendstream\nebb"},
		"a word that begins alike":      {"stream\ntide\nendstream.\nebb\nendstream\nendobj\n", "tide\nendstream.\nebb"},
		"both words in a string":        {"stream\n(endobj is text) (endstream is text) Tj\nendstream\nendobj\n", "(endobj is text) (endstream is text) Tj"},
		"no end of line before the end": {"stream\ntideendstream\nendobj\n", "tide"},
		"nor an end of the object":      {"stream\ntideendstream\n4 0 obj(ebb)endobj\n", "tide"},
		"both ends in one word":         {"stream\ntide\nendstreamendobj\n", "tide"},
		"one line":                      {"stream\ntide endstream endobj\n", "tide "},
		"no endstream":                  {"stream\ntide\nendobj\n4 0 obj<<>>stream\nebb\nendstream\nendobj\n", "tide"},
		"the end of the next object":    {"stream\ntide\nendstream\nendobj\n4 0 obj(" + strings.Repeat("x", 99-31) + ")\nendobj\n", "tide"},
		"a length and no endstream":     {"stream\n" + strings.Repeat("tide ", 19) + "ebb\nendobj\n", strings.Repeat("tide ", 19) + "ebb\n"},
		"no end at all":                 {"stream\ntide\nendstream+\n", "tide"},
		"beyond a block":                {"stream\n" + long + "(endstream is text)\r\nendstream\r\nendobj\n", long + "(endstream is text)"},
		"the end across blocks":         {"stream\n" + strings.Repeat("x", 1<<16-4) + "\nendstream\nendobj\n", strings.Repeat("x", 1<<16-4)},
		"blanks behind the beginning":   {"stream  \r\ntide\nendstream endobj\n", "tide"},
		"a remark behind the beginning": {"stream  the log of Larkhaven\ntide\nendstream endobj\n", "tide"},
		"a beginning without a line":    {"stream tide endstream endobj\n", " tide "},
		"a beginning in the same line":  {"stream" + " " + strings.Repeat("t", 97) + "\n" + "endstream endobj\n", " " + strings.Repeat("t", 97) + "\n"},
		"data that aren't text at once": {"stream \x80tide\nebb\nendstream endobj\n", " \x80tide\nebb"},
	} {
		data := "%PDF-1.5\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Kids[]>>endobj\n" + dict + c.data
		at := strings.LastIndex(data, dict)
		data = fmt.Sprintf("%sxref\n0 4\n0000000000 65535 f \n%010d 00000 n \n%010d 00000 n \n%010d 00000 n \ntrailer<</Size 4/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF",
			data, strings.Index(data, "1 0 obj"), strings.Index(data, "2 0 obj"), at, len(data))
		for _, f := range []*File{mustOpen(t, []byte(data)), windowed(t, []byte(data))} {
			s, ok := f.Get(3).(*Stream)
			if !ok {
				t.Fatalf("%s: %v", name, f.Get(3))
			}
			if got, err := f.Raw(s); err != nil || string(got) != c.want {
				t.Errorf("%s: %.60q (%d bytes), want %.60q, %v", name, got, len(got), c.want, err)
			}
		}
	}
}

// A dictionary opened twice is one.
func TestDictionaryOpenedTwice(t *testing.T) {
	p := &parser{buf: []byte("<< /Page 1 <</Box[0 1] /Page 2 >>\nendobj")}
	d, ok := p.object(0).(*Dict)
	if !ok || d.Get("Page") != Int(2) || d.Get("Box") == nil || string(bytes.TrimSpace(p.buf[p.pos:])) != "endobj" {
		t.Errorf("%v, then %q", d, p.buf[p.pos:])
	}
}
