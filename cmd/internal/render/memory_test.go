package render

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"math"
	"testing"
	"time"
)

// twoPages is a file of two pages: one of the given size in points with this
// content stream, and a small one with a black square.
func twoPages(side float64, entries string, content []byte) []byte {
	var b bytes.Buffer
	var offsets []int
	object := func(format string, args ...any) {
		offsets = append(offsets, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n"+format+"\nendobj\n", append([]any{len(offsets)}, args...)...)
	}
	b.WriteString("%PDF-1.7\n")
	object("<< /Type /Catalog /Pages 2 0 R >>")
	object("<< /Type /Pages /Count 2 /Kids [3 0 R 4 0 R] >>")
	object("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 %f %f] /Contents 5 0 R >>", side, side)
	object("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 100 100] /Contents 6 0 R >>")
	object("<< %s /Length %d >>\nstream\n%s\nendstream", entries, len(content), content)
	object("<< /Length 14 >>\nstream\n0 0 50 50 re f\nendstream")
	at := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(offsets)+1)
	for _, o := range offsets {
		fmt.Fprintf(&b, "%010d 00000 n \n", o)
	}
	fmt.Fprintf(&b, "trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(offsets)+1, at)
	return b.Bytes()
}

// spaces compresses n spaces.
func spaces(t *testing.T, n int) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	block := bytes.Repeat([]byte(" "), 1<<16)
	for n > 0 {
		if _, err := w.Write(block[:min(n, len(block))]); err != nil {
			t.Fatal(err)
		}
		n -= len(block)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func small(t *testing.T, limit int64) *Renderer {
	t.Helper()
	r, err := Start(t.Context(), Options{Workers: 1, WorkerMemory: limit})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

// kept is the memory of the renderer's only worker, nil if it has been given up.
func kept(r *Renderer) *memory {
	if r.idle[0] == nil {
		return nil
	}
	return r.idle[0].(*inside).memory
}

func TestPicturesOfAbsurdSizeAreRefused(t *testing.T) {
	r := small(t, 128<<20)
	for _, c := range []struct{ side, dpi float64 }{
		{14400, 600}, {1e9, 72}, {100, 1e9}, {100, math.Inf(1)}, {100, math.NaN()},
	} {
		d, err := r.OpenBytes(t.Context(), "huge.pdf", twoPages(c.side, "", nil), "")
		if err != nil {
			t.Fatal(err)
		}
		began := time.Now()
		_, gray := d.Gray(t.Context(), 1, c.dpi)
		_, colour := d.RGBA(t.Context(), 1, c.dpi)
		for _, err := range []error{gray, colour} {
			var e *Error
			if !errors.Is(err, ErrTooLarge) || !errors.As(err, &e) || e.Page != 1 {
				t.Errorf("%v points at %v dpi: %v", c.side, c.dpi, err)
			}
		}
		if took := time.Since(began); took > 5*time.Second {
			t.Errorf("refusing took %v", took)
		}
		if m := kept(r); m == nil || m.size.Load() > 32<<20 {
			t.Errorf("refusing took more than 32 MB")
		}
		d.Close()
	}
}

// The picture is small, but the page's content unpacks to more than a worker may have.
func TestAWorkerKeepsItsLimit(t *testing.T) {
	const limit = 128 << 20
	r := small(t, limit)
	d, err := r.OpenBytes(t.Context(), "bomb.pdf", twoPages(200, "/Filter /FlateDecode", spaces(t, 2*limit)), "")
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	before := kept(r)
	if _, err = d.Gray(t.Context(), 1, 72); !errors.Is(err, ErrMemory) {
		t.Errorf("256 MB of content in 128 MB: %v", err)
	}
	if size := before.size.Load(); size > limit {
		t.Errorf("the worker had %d bytes", size)
	}
	picture, err := d.Gray(t.Context(), 2, 72)
	if err != nil {
		t.Fatalf("the next page: %v", err)
	}
	if got := picture.GrayAt(10, 90).Y; got != 0 {
		t.Errorf("the next page has grey %d, want 0", got)
	}
}

// A picture that is within MaxPixels but not within the worker's memory.
func TestAPictureLargerThanTheWorker(t *testing.T) {
	r := small(t, 128<<20)
	d, err := r.OpenBytes(t.Context(), "large.pdf", twoPages(6000, "", nil), "")
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	if _, err := d.Gray(t.Context(), 1, 72); !errors.Is(err, ErrMemory) {
		t.Errorf("144 MB of picture in 128 MB: %v", err)
	}
	if kept(r) != nil {
		t.Error("the worker was kept")
	}
	if _, err := d.Gray(t.Context(), 2, 72); err != nil {
		t.Errorf("the next page: %v", err)
	}
}

func TestAWorkerThatHasGrownIsGivenUp(t *testing.T) {
	r := small(t, 128<<20)
	d, err := r.OpenBytes(t.Context(), "large.pdf", twoPages(3500, "", nil), "")
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	if _, err := d.Gray(t.Context(), 2, 72); err != nil || kept(r) == nil {
		t.Fatalf("a small page: %v, given up: %v", err, kept(r) == nil)
	}
	t.Logf("after a small page a worker has %d MB", kept(r).size.Load()>>20)
	if _, err := d.Gray(t.Context(), 1, 72); err != nil || kept(r) != nil {
		t.Errorf("a page of 47 MB: %v, given up: %v", err, kept(r) == nil)
	}
	if _, err := d.Gray(t.Context(), 2, 72); err != nil {
		t.Errorf("the next page: %v", err)
	}
}

// A page that is larger than the small part of the memory gets all of it.
func TestALargePageGetsTheWholeShare(t *testing.T) {
	r := small(t, 256<<20)
	if r.options.smallMemory() != 64<<20 {
		t.Fatalf("the small part is %d bytes", r.options.smallMemory())
	}
	d, err := r.OpenBytes(t.Context(), "large.pdf", twoPages(5000, "", []byte("0 0 50 50 re f")), "")
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	picture, err := d.Gray(t.Context(), 1, 72) // 95 MB
	if err != nil {
		t.Fatal(err)
	}
	if got := picture.GrayAt(10, 4990).Y; got != 0 {
		t.Errorf("the square has grey %d, want 0", got)
	}
}
