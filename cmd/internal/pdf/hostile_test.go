package pdf

import (
	"bytes"
	"compress/zlib"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime/metrics"
	"slices"
	"strings"
	"testing"
	"time"

	"foldwright/reorder/geom"
	"foldwright/reorder/sample"
)

// mostMemory is how much a hostile file may take.
const mostMemory = 1 << 30

// peak watches the memory of the process; the returned function tells the most that it held.
func peak() func() uint64 {
	stop, told := make(chan struct{}), make(chan uint64)
	go func() {
		held := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
		most := uint64(0)
		for {
			metrics.Read(held)
			most = max(most, held[0].Value.Uint64()-held[1].Value.Uint64())
			select {
			case <-stop:
				told <- most
				return
			case <-time.After(2 * time.Millisecond):
			}
		}
	}()
	return func() uint64 { close(stop); return <-told }
}

func packedTwice(data string) string { return zipped(zipped(data)) }

func zipped(data string) string {
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	z.Write([]byte(data))
	z.Close()
	return b.String()
}

// branching adds objects that each name the next one twice, and returns the first; the last is the end.
func branching(s *source, levels int, object, end string) int {
	next := s.add("%s", end)
	for range levels {
		next = s.add("%s", strings.ReplaceAll(object, "NEXT", fmt.Sprintf("%d 0 R", next)))
	}
	return next
}

// everything reads all that a command may ask for, and writes every page.
func everything(ctx context.Context, d *Document) error {
	d.Labels()
	d.OutlinePages()
	all := NewSequence(d)
	all.Layers()
	all.Annotations()
	if _, err := all.Contents(ctx); err != nil {
		return err
	}
	f := PrintFile{Paper: geom.Size{W: 9, H: 9}}
	for i := range d.Pages() {
		f.Sides = append(f.Sides, Side{Pages: []Placed{{Page: i + 1, Matrix: geom.Identity, Clip: geom.Rect{X1: 9, Y1: 9}}}})
	}
	var out counted
	return d.Write(ctx, &out, f)
}

type counted int

func (c *counted) Write(b []byte) (int, error) { *c += counted(len(b)); return len(b), nil }

// Small files that ask for endless work, or for more memory than there is, are read or refused in a
// sentence, soon and within a common computer's memory.
func TestFilesThatAskForEndlessWork(t *testing.T) {
	form := "<< /Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources << /XObject << /A NEXT /B NEXT >> >> /Length 11 >>\nstream\n/A Do /B Do\nendstream"
	type file struct {
		name  string
		build func(s *source)
		want  []error // any of them
	}
	all := []file{
		{"labels below themselves", func(s *source) {
			n := len(s.objects) + 1
			s.add("<< /Kids [%d 0 R %[1]d 0 R] >>", n)
			s.catalog = fmt.Sprintf("/PageLabels %d 0 R", n)
			s.square("", "")
		}, []error{nil}},
		{"labels that branch without end", func(s *source) {
			s.catalog = fmt.Sprintf("/PageLabels %d 0 R", branching(s, 90, "<< /Kids [<< /Kids [NEXT] >> << /Kids [NEXT] >>] >>", "<< /Nums [0 << /S /D >>] >>"))
			s.square("", "")
		}, []error{nil}},
		{"names that branch without end", func(s *source) {
			s.catalog = fmt.Sprintf("/Outlines << /First << /Dest (b) >> >> /Names << /Dests %d 0 R >>", branching(s, 90, "<< /Kids [NEXT NEXT] >>", "<< >>"))
			s.square("", "")
		}, []error{nil}},
		{"a page tree that branches to nothing", func(s *source) {
			s.square("", "")
			s.pages = append(s.pages, fmt.Sprintf("%d 0 R", branching(s, 90, "<< /Type /Pages /Kids [NEXT NEXT] >>", "<< /Type /Pages /Kids [] >>")))
		}, []error{ErrTooMuch}},
		{"forms that branch", func(s *source) {
			s.square("/X Do", fmt.Sprintf("/Resources << /XObject << /X %d 0 R >> /Font << /F << /Type /Font >> >> >>", branching(s, 90, form, "null")))
		}, []error{nil, ErrTooMuch}},
		{"layers that branch", func(s *source) {
			n := branching(s, 30, "[/And NEXT NEXT]", "[/And]")
			s.square("", fmt.Sprintf("/Annots [<< /Subtype /Square /F 4 /Rect [0 0 9 9] /OC << /Type /OCMD /VE %d 0 R >> >>]", n))
		}, []error{ErrTooMuch}},
		{"letters for bytes", func(s *source) {
			s.square("", "")
			s.page("/MediaBox [0 0 9 9] /Contents %d 0 R", s.stream("/Filter [/FlateDecode /ASCII85Decode /ASCII85Decode]", zipped(strings.Repeat("z", 40<<20))))
		}, []error{ErrTooLarge, ErrTooMuch}},
		{"runs of runs", func(s *source) {
			n := s.stream("/Filter [/FlateDecode /FlateDecode /RunLengthDecode /RunLengthDecode]", packedTwice(strings.Repeat("\x81\x81", 4<<20)))
			s.page("/MediaBox [0 0 9 9] /Contents %d 0 R", n)
		}, []error{ErrTooLarge}},
		{"many contents that each unpack to what may be", func(s *source) {
			packed := deflated(60 << 20)
			for i := range 30 {
				s.page("/MediaBox [0 0 9 9] /Contents %d 0 R /Resources << /Font << /F%d %d 0 R >> >>", s.stream("/Filter /FlateDecode", packed), i, s.add("<< /Type /Font >>"))
			}
		}, []error{ErrTooMuch}},
		{"a predictor with rows of gigabytes", func(s *source) {
			s.page("/MediaBox [0 0 9 9] /Contents %d 0 R", s.stream("/Filter /FlateDecode /DecodeParms << /Predictor 12 /Colors 1000 /BitsPerComponent 32 /Columns 16000000 >>", zipped("0 g")))
		}, []error{nil}},
		{"an object of countless arrays", func(s *source) {
			s.page("/MediaBox [0 0 9 9] /Resources << /Font [%s] >>", strings.Repeat("[]", 8<<20))
		}, []error{ErrTooMuch}},
		{"a page that is there without end", func(s *source) {
			s.square("", "")
			s.pages = slices.Repeat(s.pages, maxPages+1)
		}, []error{ErrTooManyPages}},
		{"a hundred thousand annotations", func(s *source) {
			n := s.add("<< /Subtype /Square /F 4 /Rect [0 0 9 9] /C [0] >>")
			s.square("", "/Annots ["+strings.Repeat(fmt.Sprintf("%d 0 R ", n), 100000)+"]")
		}, []error{nil, ErrTooMuch}},
		{"a million resources", func(s *source) {
			n := s.add("<< /Type /Font >>")
			var all strings.Builder
			for i := range 1000000 {
				fmt.Fprintf(&all, "/F%d %d 0 R ", i, n)
			}
			s.square("", "/Resources << /Font << "+all.String()+" >> >>")
		}, []error{nil, ErrTooMuch}},
		{"a field of a megabyte of text", func(s *source) {
			n := s.add("<< /Subtype /Widget /FT /Tx /Ff 4096 /F 4 /Rect [0 0 90 90] /V (%s) >>", strings.Repeat("the light of Larkhaven ", 1<<20/23))
			s.catalog = fmt.Sprintf("/AcroForm << /Fields [%d 0 R] >>", n)
			s.square("", fmt.Sprintf("/Annots [%d 0 R]", n))
		}, []error{nil}},
	}
	dear := []string{"many contents that each unpack to what may be", "a hundred thousand annotations", "a million resources", "a field of a megabyte of text"}
	var cheap []int
	for at, c := range all {
		if !slices.Contains(dear, c.name) {
			cheap = append(cheap, at)
		}
	}
	for _, c := range sample.Of(t, all, 1, cheap...) {
		t.Run(c.name, func(t *testing.T) {
			s := &source{}
			c.build(s)
			data := s.bytes()
			memory, start := peak(), time.Now()
			d, err := opened(t, data, Options{})
			if err == nil {
				err = everything(t.Context(), d)
			}
			took, most := time.Since(start), memory()
			fits := false
			for _, want := range c.want {
				fits = fits || errors.Is(err, want)
			}
			if !fits {
				t.Errorf("%v, want %v", err, c.want)
			}
			if took > 10*time.Minute || most > mostMemory { // seconds, but not on a computer that is slow and busy with other things
				t.Errorf("took %v and %d MB", took, most>>20)
			}
			t.Logf("%v, %d MB, %v", took, most>>20, err)
		})
	}
}

// A file that is being read when its context ends is given up on, whatever is being read.
func TestReadingEndsWithItsContext(t *testing.T) {
	s := &source{}
	s.catalog = fmt.Sprintf("/PageLabels %d 0 R", branching(s, 9, "<< /Kids [NEXT] >>", "<< /Nums [0 << /S /D >>] >>"))
	s.square("0 g 9 9 9 9 re f", "")
	ctx, cancel := context.WithCancel(t.Context())
	path := filepath.Join(t.TempDir(), "source.pdf")
	if err := os.WriteFile(path, s.bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	d, err := Open(ctx, path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	cancel()
	if labels := d.Labels(); labels != nil || !errors.Is(d.Err(), context.Canceled) {
		t.Errorf("%v, %v", labels, d.Err())
	}
	if _, err := NewSequence(d).Contents(t.Context()); !errors.Is(err, context.Canceled) {
		t.Errorf("the contents: %v", err)
	}
	if err := d.Write(t.Context(), new(counted), PrintFile{Paper: geom.Size{W: 9, H: 9},
		Sides: []Side{{Pages: []Placed{{Page: 1, Matrix: geom.Identity, Clip: geom.Rect{X1: 9, Y1: 9}}}}}}); !errors.Is(err, context.Canceled) {
		t.Errorf("writing: %v", err)
	}
}
