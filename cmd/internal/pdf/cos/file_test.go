package cos

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
)

// file writes a small file: a catalog, a page tree without pages, and more objects.
func file(t *testing.T, more ...Object) []byte {
	t.Helper()
	data, _ := numbered(t, more...)
	return data
}

// numbered is file, and the numbers of the further objects.
func numbered(t *testing.T, more ...Object) ([]byte, []int) {
	t.Helper()
	var numbers []int
	var b bytes.Buffer
	w := NewWriter(&b)
	root, pages := w.Reserve(), w.Reserve()
	w.Put(root, NewDict("Type", "Catalog", "Pages", Ref{pages, 0}), same)
	w.Put(pages, NewDict("Type", "Pages", "Kids", Array{}), same)
	for _, o := range more {
		n := w.Reserve()
		numbers = append(numbers, n)
		if s, ok := o.(*Stream); ok {
			if err := w.PutStream(n, s.Dict, nil, s, same); err != nil {
				t.Fatal(err)
			}
			continue
		}
		w.Put(n, o, same)
	}
	if err := w.Close(NewDict("Root", Ref{root, 0}), same); err != nil {
		t.Fatal(err)
	}
	return b.Bytes(), numbers
}

// windowed is a file too large to be held, as far as the reader can tell.
func windowed(t *testing.T, data []byte) *File {
	t.Helper()
	f := mustOpen(t, data)
	f.mem = nil
	clear(f.cache)
	clear(f.unpacked)
	return f
}

func mustOpen(t *testing.T, data []byte) *File {
	t.Helper()
	f, err := Open(t.Context(), bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestWriterAndFile(t *testing.T) {
	var more []Object
	for i := range 1000 { // several object streams
		more = append(more, Int(i))
	}
	long := String(strings.Repeat("tide ", 20000))
	more = append(more, long, NewStream(NewDict("Kind", "Log"), []byte("endstream? not yet")))
	data, numbers := numbered(t, more...)
	for _, f := range []*File{mustOpen(t, data), windowed(t, data)} {
		if len(f.Warnings()) > 0 {
			t.Error(f.Warnings())
		}
		for i := range 1000 {
			if got := f.Get(numbers[i]); got != Int(i) {
				t.Fatalf("object %d is %v", numbers[i], got)
			}
		}
		if f.Get(numbers[1000]) != long || f.Get(0) != nil || f.Get(99999) != nil || f.Get(-1) != nil {
			t.Error("long, free or missing objects")
		}
		s, ok := f.Get(numbers[1001]).(*Stream)
		if !ok {
			t.Fatalf("%v", f.Get(numbers[1001]))
		}
		if got, err := f.Raw(s); err != nil || string(got) != "endstream? not yet" {
			t.Errorf("%q, %v", got, err)
		}
		var b bytes.Buffer
		w := NewWriter(&b)
		if err := w.PutStream(w.Reserve(), s.Dict, f, s, same); err != nil {
			t.Fatal(err)
		}
		if err := w.Close(&Dict{}, same); err != nil || !strings.Contains(b.String(), "<</Kind/Log/Length 18>>stream\nendstream? not yet\nendstream") {
			t.Error(b.String(), err)
		}
	}
}

// A newer section overrules an older one, in tables, streams and both together.
func TestSections(t *testing.T) {
	base := file(t, Int(1), Int(2))
	was := bytes.LastIndex(base, []byte("startxref\n"))
	var prev int
	fmt.Sscan(string(base[was+len("startxref\n"):]), &prev)
	n := len(base)
	next := append(append([]byte(nil), base...), "3 0 obj\n(new)\nendobj\n"...)
	at := len(next)
	next = fmt.Appendf(next, "xref\n3 2\n%010d 00000 n \n0000000000 00001 f \ntrailer\n<< /Size 9 /Root 1 0 R /Prev %d >>\nstartxref\n%d\n%%%%EOF\n", n, prev, at)
	f := mustOpen(t, next)
	if f.Get(3) != String("new") || f.Get(4) != nil || len(f.Warnings()) > 0 {
		t.Errorf("%v, %v, %q", f.Get(3), f.Get(4), f.Warnings())
	}
	// The same with a hybrid section: object 4 is in the stream that XRefStm names.
	hybrid := bytes.Replace(next, []byte(fmt.Sprintf("/Prev %d", prev)), []byte(fmt.Sprintf("/XRefStm %d", prev)), 1)
	hybrid = bytes.Replace(hybrid, []byte("3 2\n"), []byte("3 1\n"), 1)
	hybrid = bytes.Replace(hybrid, []byte("0000000000 00001 f \n"), nil, 1)
	f = mustOpen(t, hybrid)
	if f.Get(3) != String("new") || f.Get(4) != Int(2) || len(f.Warnings()) > 0 {
		t.Errorf("hybrid: %v, %v, %q", f.Get(3), f.Get(4), f.Warnings())
	}
	// And where the table calls it free, so that old readers don't see it.
	hidden := bytes.Replace(next, []byte(fmt.Sprintf("/Prev %d", prev)), []byte(fmt.Sprintf("/XRefStm %d", prev)), 1)
	f = mustOpen(t, hidden)
	if f.Get(3) != String("new") || f.Get(4) != Int(2) || len(f.Warnings()) > 0 {
		t.Errorf("hidden: %v, %v, %q", f.Get(3), f.Get(4), f.Warnings())
	}
	// A chain that leads round ends.
	round := bytes.Replace(next, []byte(fmt.Sprintf("/Prev %d", prev)), []byte(fmt.Sprintf("/Prev %d", at)), 1)
	if f, err := Open(t.Context(), bytes.NewReader(round), int64(len(round))); err == nil && f.Get(3) != String("new") {
		t.Error("a chain that leads round")
	}
}

func TestRebuildTakesTheLastOfEachObject(t *testing.T) {
	data := []byte("%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj 2 0 obj<</Kids[]>>endobj\n" +
		"3 0 obj(old)endobj\n4 0 obj<</Length 40>>stream\n3 0 obj (inside a stream) endobj          \nendstream endobj\n3 0 obj(new)endobj\n%%EOF")
	f := mustOpen(t, data)
	if f.Get(3) != String("new") || len(f.Warnings()) != 1 {
		t.Errorf("%v, %q", f.Get(3), f.Warnings())
	}
	data = bytes.Replace(data, []byte("3 0 obj(new)endobj\n"), nil, 1)
	if got := mustOpen(t, data).Get(3); got != String("old") {
		t.Errorf("what stands within a stream counts: %v", got)
	}
}

func TestRebuildReadsObjectStreams(t *testing.T) {
	data := file(t, String("packed"))
	data = data[:bytes.LastIndex(data, []byte("startxref"))]
	f := mustOpen(t, data)
	if f.Get(3) != String("packed") {
		t.Errorf("%v", f.Get(3))
	}
}

func TestOneObjectElsewhere(t *testing.T) {
	data := []byte("%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Kids[]>>endobj\n3 0 obj(found)endobj\n")
	at := len(data)
	data = fmt.Appendf(data, "xref\n0 4\n0000000000 65535 f \n%010d 00000 n \n%010d 00000 n \n%010d 00000 n \ntrailer<</Size 4/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF",
		9, bytes.Index(data, []byte("2 0 obj")), 11, at)
	f := mustOpen(t, data)
	if f.Get(3) != String("found") || len(f.Warnings()) != 1 {
		t.Errorf("%v, %q", f.Get(3), f.Warnings())
	}
}

// Of two objects of one number in an object stream the table's place decides (ISO 32000-1, table 18).
func TestPlaceInAnObjectStream(t *testing.T) {
	const packed = "3 0 3 5 4 10 5 15 5 90 (one)(two)(six)(odd)"
	data := []byte("%PDF-1.5\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Kids[]>>endobj\n")
	data = fmt.Appendf(data, "6 0 obj<</Type/ObjStm/N 5/First 23/Length %d>>stream\n%s\nendstream endobj\n", len(packed), packed)
	at := len(data)
	rows := "\x00\x00\x00\xff"
	for _, num := range []int{1, 2} {
		rows += string([]byte{1, 0, byte(bytes.Index(data, fmt.Appendf(nil, "%d 0 obj", num))), 0})
	}
	rows += "\x02\x00\x06\x01" + "\x02\x00\x06\x00" + "\x02\x00\x06\x04" // the second; one that is another's; one beyond the end
	rows += string([]byte{1, 0, byte(bytes.Index(data, []byte("6 0 obj"))), 0})
	data = fmt.Appendf(data, "7 0 obj<</Type/XRef/Size 7/W[1 2 1]/Root 1 0 R/Length %d>>stream\n%s\nendstream endobj\nstartxref\n%d\n%%%%EOF", len(rows), rows, at)
	f := mustOpen(t, data)
	if got := []Object{f.Get(3), f.Get(4), f.Get(5)}; got[0] != String("two") || got[1] != String("six") || got[2] != String("odd") || len(f.Warnings()) > 0 {
		t.Errorf("%v, %q", got, f.Warnings())
	}
	f = mustOpen(t, bytes.Replace(data, []byte("startxref"), []byte("startxxxx"), 1))
	if got := []Object{f.Get(3), f.Get(4), f.Get(5)}; got[0] != String("two") || got[1] != String("six") || got[2] != String("odd") || len(f.Warnings()) != 1 {
		t.Errorf("without the table: %v, %q", got, f.Warnings())
	}
}

// A Length elsewhere counts although its number follows "obj" without a space.
func TestLengthWithoutASpace(t *testing.T) {
	const shown = "tide\nendstream ebb"
	data := []byte("%PDF-1.5\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Kids[]>>endobj\n" +
		"3 0 obj<</Length 4 0 R>>stream\n" + shown + "\nendstream endobj\n4 0 obj18 endobj\n")
	at := len(data)
	data = append(data, "xref\n0 5\n0000000000 65535 f \n"...)
	for num := 1; num <= 4; num++ {
		data = fmt.Appendf(data, "%010d 00000 n \n", bytes.Index(data, fmt.Appendf(nil, "%d 0 obj", num)))
	}
	data = fmt.Appendf(data, "trailer<</Size 5/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF", at)
	f := mustOpen(t, data)
	s, ok := f.Get(3).(*Stream)
	if !ok {
		t.Fatal(f.Get(3))
	}
	if got, err := f.Raw(s); err != nil || string(got) != shown {
		t.Errorf("%q, %v", got, err)
	}
}

// Lengths and filters that lead back to the stream they belong to end somewhere.
func TestStreamsThatLeadBackToThemselves(t *testing.T) {
	const head = "%PDF-1.5\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Kids[]>>endobj\n"
	for name, c := range map[string]string{
		"its own length":             "3 0 obj<</Length 3 0 R>>stream\ntide\nendstream endobj\n",
		"two lengths, crosswise":     "3 0 obj<</Length 4 0 R>>stream\ntide\nendstream endobj\n4 0 obj<</Length 3 0 R>>stream\nebb\nendstream endobj\n",
		"a length in a chain":        "3 0 obj<</Length 4 0 R>>stream\ntide\nendstream endobj\n4 0 obj 5 0 R endobj 5 0 obj 4 0 R endobj\n",
		"its length is packed in it": "3 0 obj<</Type/ObjStm/N 2/First 8/Length 4 0 R>>stream\n4 0 5 2 9 8\nendstream endobj\n",
		"its filter is packed in it": "3 0 obj<</Type/ObjStm/N 2/First 8/Length 11/Filter 4 0 R/DecodeParms 5 0 R>>stream\n4 0 5 2 9 8\nendstream endobj\n",
		"two that hold each other":   "3 0 obj<</Type/ObjStm/N 1/First 4/Length 5 0 R>>stream\n4 0 7\nendstream endobj\n6 0 obj<</Type/ObjStm/N 1/First 4/Length 4 0 R>>stream\n5 0 5\nendstream endobj\n",
	} {
		data := []byte(head + c)
		at := len(data)
		// 3 and 6 are where they are; 4 and 5 are said to lie in an object stream if one is there.
		rows := "\x00\x00\x00\x00"
		for num := 1; num <= 6; num++ {
			if i := bytes.Index(data, fmt.Appendf(nil, "%d 0 obj", num)); i >= 0 {
				rows += string([]byte{1, byte(i >> 8), byte(i), 0})
			} else if num == 5 && bytes.Contains(data, []byte("6 0 obj")) {
				rows += "\x02\x00\x06\x00"
			} else {
				rows += "\x02\x00\x03\x00"
			}
		}
		data = fmt.Appendf(data, "7 0 obj<</Type/XRef/Size 7/W[1 2 1]/Root 1 0 R/Length %d>>stream\n%s\nendstream endobj\nstartxref\n%d\n%%%%EOF", len(rows), rows, at)
		for _, f := range []*File{mustOpen(t, data), windowed(t, data)} {
			if len(f.Warnings()) > 0 {
				t.Fatalf("%s: %q", name, f.Warnings())
			}
			s, ok := f.Get(3).(*Stream)
			if !ok {
				t.Fatalf("%s: %v", name, f.Get(3))
			}
			want := "tide"
			if s.Dict.Get("Type") != nil {
				want = string(data[s.offset:][:s.length])
			}
			if got, err := f.Raw(s); err != nil || string(got) != want {
				t.Errorf("%s: %q, %v", name, got, err)
			}
			f.Get(4)
			f.Get(5)
		}
	}
}

func TestWriterErrors(t *testing.T) {
	full := errors.New("disk full")
	w := NewWriter(broken{full})
	for range 100 {
		s := NewStream(&Dict{}, make([]byte, 100000))
		if err := w.PutStream(w.Reserve(), s.Dict, nil, s, same); err != nil {
			break
		}
	}
	if err := w.Close(&Dict{}, same); !errors.Is(err, full) || !errors.Is(w.Err(), full) {
		t.Errorf("%v", err)
	}
}

type broken struct{ err error }

func (b broken) Write([]byte) (int, error) { return 0, b.err }

var _ io.Writer = broken{}

func FuzzOpen(f *testing.F) {
	f.Add([]byte("%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj 2 0 obj<</Kids[]>>endobj trailer<</Root 1 0 R>>"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Open(t.Context(), bytes.NewReader(data), int64(len(data)))
		if err != nil || file.Unlock("") != nil {
			return
		}
		for num := range min(len(file.xref), 100) {
			if s, ok := file.Get(num).(*Stream); ok {
				file.Decode(s, 1<<20)
			}
		}
	})
}
