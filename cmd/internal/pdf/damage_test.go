package pdf

import (
	"bytes"
	"compress/zlib"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/geom"
)

// book is a sound source of three pages with squares of their own.
func book() *source {
	s := &source{}
	for i := range 3 {
		s.square(fmt.Sprintf("0 g %d 50 20 100 re f", 20+60*i), "")
	}
	return s
}

func TestDamagedSourcesAreRead(t *testing.T) {
	sound := book().bytes()
	replace := func(old, new string) []byte {
		out := bytes.ReplaceAll(sound, []byte(old), []byte(new))
		if bytes.Equal(out, sound) {
			t.Fatalf("%q isn't there to be damaged", old)
		}
		return out
	}
	cut := func(mark string, with string) []byte {
		return append(append([]byte(nil), sound[:bytes.Index(sound, []byte(mark))]...), with...)
	}
	for _, c := range []struct {
		name string
		data []byte
		warn bool
	}{
		{"bytes before the header", append([]byte("from the lighthouse's post box\r\n"), sound...), false},
		{"no header", replace("%PDF-1.7", "no header"), false},
		{"bytes behind the end", append(append([]byte(nil), sound...), strings.Repeat("\x00", 2000)...), false},
		{"startxref leads nowhere", regexp.MustCompile(`startxref\n\d+`).ReplaceAll(sound, []byte("startxref\n7")), true},
		{"no startxref", cut("startxref", ""), true},
		{"no table", cut("xref\n0", ""), true},
		{"no table and half a trailer", cut("/Root", "/Ro"), true},
		{"offsets that are all wrong", regexp.MustCompile(`(?m)^\d{10} 00000 n`).ReplaceAll(sound, []byte("0000000012 00000 n")), true},
		{"no Size in the trailer", regexp.MustCompile(`/Size \d+`).ReplaceAll(sound, nil), false},
		{"no Count in the page tree", replace("/Count 3", "        "), false},
		{"a wrong Count", replace("/Count 3", "/Count 9"), false},
		{"a tree of pages that the table doesn't know of", append(regexp.MustCompile(`/Kids \[[^]]*\]`).ReplaceAllFunc(sound, func(kids []byte) []byte {
			return fmt.Appendf(nil, "%-*s", len(kids), "/Kids []")
		}), regexp.MustCompile(`(?s)\d+ 0 obj\n<< /Type /Pages .*?endobj\n`).Find(sound)...), true},
		{"ends of line turned into pairs", bytes.ReplaceAll(sound, []byte("\n"), []byte("\r\n")), true},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := mustOpen(t, c.data)
			if len(d.Pages()) != 3 {
				t.Fatalf("%d pages, want 3", len(d.Pages()))
			}
			for i := range 3 {
				var spots []spot
				for j := range 3 {
					want := "white"
					if i == j {
						want = "black"
					}
					spots = append(spots, spot{30 + 60*j, 100, want})
				}
				look(t, "the print file", asIs(t, d, i+1), 1, spots)
			}
			if warned := len(d.Warnings()) > 0; warned != c.warn {
				t.Errorf("warnings: %q", d.Warnings())
			}
		})
	}
}

// What is left of content that is packed in a damaged way is shown, with a warning.
func TestDamagedContentIsWarnedOf(t *testing.T) {
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	z.Write([]byte(blackSquare + " "))
	z.Flush()
	s := &source{}
	s.page("/MediaBox [0 0 200 200] /Contents [%d 0 R %d 0 R]", s.stream("/Filter /FlateDecode", b.String()), s.stream("", "0 0 9 9 re f"))
	s.page("/MediaBox [0 0 200 200] /Contents [%d 0 R %d 0 R]", s.stream("/Filter /DCTDecode", "\xFF\xD8"), s.stream("", blackSquare))
	d := mustOpen(t, s.bytes())
	out := together(t, d)
	look(t, "packed badly", out, 1, []spot{{100, 100, "black"}, {4, 4, "black"}})
	look(t, "packed as a picture", out, 2, []spot{{100, 100, "black"}})
	want := []string{"page 1: part of its content is compressed in a damaged or unknown way", "page 2: part of its content is compressed as a picture"}
	if got := d.Warnings(); !slices.Equal(got, want) {
		t.Errorf("warnings %q, want %q", got, want)
	}
}

// A page that calls itself a tree of pages keeps its place as well.
func TestPageThatCallsItselfATree(t *testing.T) {
	s := book()
	s.objects[3] = strings.Replace(s.objects[3], "/Type /Page ", "/Type /Pages ", 1)
	data := s.bytes()
	if n := rendertest.OpenBytes(t, "the source", data).Pages(); n != 3 {
		t.Fatalf("PDFium counts %d pages", n)
	}
	d := mustOpen(t, data)
	if len(d.Pages()) != 3 {
		t.Fatalf("%d pages", len(d.Pages()))
	}
	look(t, "page 2", asIs(t, d, 2), 1, []spot{{90, 100, "black"}})
	look(t, "page 3", asIs(t, d, 3), 1, []spot{{150, 100, "black"}})
}

// What is left out of a tree that contains itself is said.
func TestTreeThatContainsItself(t *testing.T) {
	s := book()
	s.pages = append(s.pages, fmt.Sprintf("%d 0 R", s.add("<< /Type /Pages /Kids [TREE] >>")))
	d := mustOpen(t, s.bytes())
	want := "the file's list of pages contains itself; the repeated part was left out"
	if len(d.Pages()) != 3 || !slices.Contains(d.Warnings(), want) {
		t.Errorf("%d pages, warned %q", len(d.Pages()), d.Warnings())
	}
}

// A tree of pages that is a page itself is shown as one.
func TestTreeThatIsAPage(t *testing.T) {
	s := &source{tree: "/MediaBox [0 0 200 200] /Contents 1 0 R"}
	s.stream("", blackSquare)
	data := bytes.Replace(s.bytes(), []byte("/Type /Pages /Count 0 /Kids []"), []byte("/Type /Page                   "), 1)
	spots := []spot{{100, 100, "black"}, {20, 20, "white"}}
	look(t, "the source", data, 1, spots)
	look(t, "the print file", asIs(t, mustOpen(t, data), 1), 1, spots)
}

// A page that can't be read keeps its place, and no other moves up.
func TestNoPageMovesUp(t *testing.T) {
	s := book()
	s.pages = []string{s.pages[0], "null", s.pages[1], "999 0 R", s.pages[0], s.pages[2]}
	d := mustOpen(t, s.bytes())
	if len(d.Pages()) != 6 {
		t.Fatalf("%d pages, want 6", len(d.Pages()))
	}
	for i, p := range d.Pages() {
		bad := i == 1 || i == 3
		if errors.Is(p.Problem, ErrDamaged) != bad {
			t.Errorf("page %d: %v", i+1, p.Problem)
		}
		var e *Error
		if bad && (!errors.As(p.Problem, &e) || e.Page != i+1) {
			t.Errorf("page %d isn't named: %v", i+1, p.Problem)
		}
	}
	look(t, "page 3", asIs(t, d, 3), 1, []spot{{90, 100, "black"}, {30, 100, "white"}})
	look(t, "page 5, the first one again", asIs(t, d, 5), 1, []spot{{30, 100, "black"}})
	err := d.Write(t.Context(), &bytes.Buffer{}, PrintFile{Paper: geom.Size{W: 10, H: 10},
		Sides: []Side{{Pages: []Placed{{Page: 2, Matrix: geom.Identity, Clip: geom.Rect{X1: 10, Y1: 10}}}}}})
	if !errors.Is(err, ErrDamaged) {
		t.Errorf("writing page 2: %v", err)
	}
}

// Where the tree leads to no page, all pages are taken that there are, with what
// they inherit from above.
func TestPagesThatNoTreeLeadsTo(t *testing.T) {
	for _, kids := range []string{"[]", "7", "[7 0 Ra]", "[99 0 R]"} {
		s := book()
		s.tree = "/Kids " + kids + " /Rotate 90"
		d := mustOpen(t, s.bytes())
		if len(d.Pages()) != 3 || !slices.ContainsFunc(d.Warnings(), func(w string) bool { return strings.Contains(w, "list of pages") }) {
			t.Fatalf("%q: %d pages, warnings %q", kids, len(d.Pages()), d.Warnings())
		}
		for i := range 3 {
			look(t, "the print file", asIs(t, d, i+1), 1, []spot{{100, 170 - 60*i, "black"}, {100, 170 - 60*((i+1)%3), "white"}})
		}
	}
}

func TestSourcesThatCannotBeRead(t *testing.T) {
	sound := book().bytes()
	folder := t.TempDir()
	file := func(name string, data []byte) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	none := &source{}
	loop := &source{tree: "/Kids [TREE TREE]"}
	for _, c := range []struct {
		path string
		want error
	}{
		{filepath.Join(folder, "missing.pdf"), ErrNotFound},
		{folder, ErrFolder},
		{file("empty.pdf", nil), ErrEmpty},
		{file("text.pdf", []byte("The tide tables of the month.\n")), ErrNotPDF},
		{file("header.pdf", []byte("%PDF-1.7\nand then nothing of use")), ErrNotPDF},
		{file("short.pdf", sound[:len(sound)/3]), ErrTruncated},
		{file("nopages.pdf", none.bytes()), ErrNoPages},
		{file("loop.pdf", loop.bytes()), ErrNoPages},
		{file("headless.pdf", bytes.ReplaceAll(bytes.ReplaceAll(sound, []byte("/Catalog"), []byte("/Katalog")), []byte("/Root"), []byte("/Boot"))), ErrDamaged},
	} {
		d, err := Open(t.Context(), c.path, Options{})
		var e *Error
		if !errors.Is(err, c.want) || !errors.As(err, &e) || e.File != c.path {
			t.Errorf("%s: %v, %v, want %v", filepath.Base(c.path), d, err, c.want)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Open(ctx, file("sound.pdf", sound), Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

func TestRescue(t *testing.T) {
	hopeless := []byte("%PDF-1.7\n1 0 obj\n<< /Kind /Unknown >>\nendobj\n%%EOF\n")
	asked := 0
	d, err := opened(t, hopeless, Options{Rescue: func(context.Context, string, string) ([]byte, error) {
		asked++
		return book().bytes(), nil
	}})
	if err != nil || asked != 1 || len(d.Pages()) != 3 || len(d.Warnings()) == 0 || d.Bytes() != int64(len(hopeless)) {
		t.Errorf("%v, asked %d times", err, asked)
	}
	_, err = opened(t, hopeless, Options{Rescue: func(context.Context, string, string) ([]byte, error) {
		return nil, errors.New("no use")
	}})
	if !errors.Is(err, ErrDamaged) {
		t.Errorf("a rescue that fails: %v", err)
	}
	s := &source{trailer: "/Encrypt << /Filter /Standard /V 1 /R 2 /O (12345678901234567890123456789012) /U (12345678901234567890123456789012) /P -4 >> /ID [(a) (b)]"}
	s.square("", "")
	_, err = opened(t, s.bytes(), Options{Rescue: func(context.Context, string, string) ([]byte, error) {
		t.Error("a file that wants a password needs no rescue")
		return nil, nil
	}})
	if !errors.Is(err, ErrPassword) {
		t.Errorf("a password: %v", err)
	}
}

// deflated is so many noughts, packed.
func deflated(n int) string {
	var b bytes.Buffer
	z, err := zlib.NewWriterLevel(&b, zlib.BestSpeed)
	if err != nil {
		panic(err) // of a level that is none
	}
	block := make([]byte, 1<<20)
	for ; n > 0; n -= len(block) {
		z.Write(block)
	}
	z.Close()
	return b.String()
}

// Bombs and loops must end, in an error or with what can be shown. One that
// doesn't is ended by the time limit of go test.
func TestBombsAndLoops(t *testing.T) {
	for _, c := range []struct {
		name  string
		build func(s *source)
		want  error // of opening or writing page 1
	}{
		{"content that unpacks without end", func(s *source) {
			s.page("/MediaBox [0 0 9 9] /Contents %d 0 R", s.stream("/Filter /FlateDecode", deflated(129<<20)))
		}, ErrTooLarge},
		{"content that is packed twice and unpacks without end", func(s *source) {
			var twice bytes.Buffer
			z := zlib.NewWriter(&twice)
			z.Write([]byte(deflated(129 << 20)))
			z.Close()
			s.page("/MediaBox [0 0 9 9] /Contents %d 0 R", s.stream("/Filter [/FlateDecode /FlateDecode]", twice.String()))
		}, ErrTooLarge},
		{"many contents that unpack to much", func(s *source) {
			n := s.stream("/Filter /FlateDecode", deflated(70<<20))
			s.page("/MediaBox [0 0 9 9] /Contents [%[1]d 0 R %[1]d 0 R]", n)
		}, ErrTooLarge},
		{"a page tree of branches without end", func(s *source) {
			kid := "null"
			for range 30 {
				kid = fmt.Sprintf("%d 0 R", s.add("<< /Type /Pages /Kids [%s %[1]s] >>", kid))
			}
			s.pages = []string{kid}
		}, ErrTooManyPages},
		{"a page tree that contains itself", func(s *source) {
			n := len(s.objects) + 1
			s.square("", "")
			s.pages = append(s.pages, fmt.Sprintf("%d 0 R", n+2))
			s.add("<< /Type /Pages /Kids [%d 0 R] >>", n+2)
		}, nil},
		{"a form that draws itself", func(s *source) {
			n := len(s.objects) + 1
			s.stream(fmt.Sprintf("/Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources << /XObject << /X %d 0 R >> >>", n), "/X Do")
			s.square("/X Do", fmt.Sprintf("/Resources << /XObject << /X %d 0 R >> >>", n))
		}, nil},
		{"a form without resources that draws itself", func(s *source) {
			n := s.stream("/Type /XObject /Subtype /Form /BBox [0 0 9 9]", "/X Do /Y Do")
			s.square("/X Do", fmt.Sprintf("/Resources << /XObject << /X %d 0 R /Y %[1]d 0 R >> >>", n))
		}, nil},
		{"forms without resources that draw each other", func(s *source) {
			all, draw := "", ""
			for i := range 12 {
				draw += fmt.Sprintf("/X%d Do ", i)
			}
			for i := range 12 {
				all += fmt.Sprintf("/X%d %d 0 R ", i, s.stream("/Type /XObject /Subtype /Form /BBox [0 0 9 9]", draw))
			}
			s.square(draw, "/Resources << /XObject << "+all+" >> >>")
		}, nil},
		{"references that lead round", func(s *source) {
			n := len(s.objects) + 1
			s.add("%d 0 R", n+1)
			s.add("%d 0 R", n)
			s.page("/MediaBox [0 0 9 9] /Contents %d 0 R /Resources %[1]d 0 R", n)
		}, nil},
		{"arrays within arrays", func(s *source) {
			s.page("/MediaBox [0 0 9 9] /Annots " + strings.Repeat("[", 1<<20))
		}, nil},
		{"a field below itself", func(s *source) {
			n := len(s.objects) + 1
			s.add("<< /Subtype /Widget /F 4 /Rect [0 0 9 9] /Parent %d 0 R >>", n)
			s.square("", fmt.Sprintf("/Annots [%d 0 R]", n))
		}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &source{}
			c.build(s)
			d, err := opened(t, s.bytes(), Options{})
			if err == nil {
				err = d.Write(t.Context(), &bytes.Buffer{}, PrintFile{Paper: geom.Size{W: 9, H: 9},
					Sides: []Side{{Pages: []Placed{{Page: 1, Matrix: geom.Identity, Clip: geom.Rect{X1: 9, Y1: 9}}}}}})
			}
			if !errors.Is(err, c.want) {
				t.Errorf("%v, want %v", err, c.want)
			}
		})
	}
}
