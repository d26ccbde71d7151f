package render

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"image"
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
	w, err := zlib.NewWriterLevel(&b, zlib.BestSpeed)
	if err != nil {
		t.Fatal(err)
	}
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

// alone is an engine in the process of the test, which takes no more than so many bytes.
type alone struct {
	*engines
	*drawer
}

func small(t *testing.T, limit int64) *alone {
	t.Helper()
	e, err := startEngines(Options{WorkerMemory: limit}.withDefaults())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { e.pool.Close() })
	return &alone{engines: e}
}

// gray draws a page of a file, with a new engine if the last one was given up.
func (a *alone) gray(t *testing.T, d *Document, page int, dpi float64, memory int64) (*image.Gray, error) {
	t.Helper()
	if a.drawer == nil || a.drawer.engine == nil {
		var err error
		if a.drawer, err = a.make(); err != nil {
			t.Fatal(err)
		}
	}
	got, err := a.answer(d, wish{request: request{Want: drawGray, Page: page, DPI: dpi}, memory: memory})
	picture, _ := got.(*image.Gray)
	return picture, err
}

func inMemory(data []byte) *Document {
	return &Document{source: bytes.NewReader(data), size: int64(len(data))}
}

func TestPicturesOfAbsurdSizeAreRefused(t *testing.T) {
	const limit = 128 << 20
	a := small(t, limit)
	for _, c := range []struct{ side, dpi float64 }{
		{14400, 600}, {1e9, 72}, {100, 1e9}, {100, math.Inf(1)}, {100, math.NaN()},
	} {
		began := time.Now()
		if _, err := a.gray(t, inMemory(twoPages(c.side, "", nil)), 1, c.dpi, limit); !errors.Is(err, ErrTooLarge) {
			t.Errorf("%v points at %v dpi: %v", c.side, c.dpi, err)
		}
		if took := time.Since(began); took > time.Minute {
			t.Errorf("refusing took %v", took)
		}
		if a.engine == nil || a.drawer.memory.size > 32<<20 {
			t.Errorf("refusing took more than 32 MB")
		}
	}
}

// The picture is small, but the page's content unpacks to more than a worker may have.
func TestAWorkerKeepsItsLimit(t *testing.T) {
	const limit = 128 << 20
	a := small(t, limit)
	d := inMemory(twoPages(200, "/Filter /FlateDecode", spaces(t, 2*limit)))
	if _, err := a.gray(t, d, 2, 72, limit); err != nil {
		t.Fatal(err)
	}
	before := a.drawer.memory
	if _, err := a.gray(t, d, 1, 72, limit); !errors.Is(err, ErrMemory) {
		t.Errorf("256 MB of content in 128 MB: %v", err)
	}
	if before.size > limit {
		t.Errorf("the worker had %d bytes", before.size)
	}
	if a.engine != nil {
		t.Error("the worker was kept")
	}
	picture, err := a.gray(t, d, 2, 72, limit)
	if err != nil {
		t.Fatalf("the next page: %v", err)
	}
	if got := picture.GrayAt(10, 90).Y; got != 0 {
		t.Errorf("the next page has grey %d, want 0", got)
	}
}

// A picture that is within MaxPixels but not within the worker's memory.
func TestAPictureLargerThanTheWorker(t *testing.T) {
	const limit = 128 << 20
	a := small(t, limit)
	d := inMemory(twoPages(6000, "", nil))
	if _, err := a.gray(t, d, 1, 72, limit); !errors.Is(err, ErrMemory) {
		t.Errorf("144 MB of picture in 128 MB: %v", err)
	}
	if a.engine != nil {
		t.Error("the worker was kept")
	}
	if _, err := a.gray(t, d, 2, 72, limit); err != nil {
		t.Errorf("the next page: %v", err)
	}
}

// What has grown beyond the small part is given up, so that another may have the memory.
func TestAWorkerThatHasGrownIsGivenUp(t *testing.T) {
	const limit = 128 << 20
	a := small(t, limit)
	d := inMemory(twoPages(3500, "", nil))
	if _, err := a.gray(t, d, 2, 72, limit); err != nil || a.engine == nil {
		t.Fatalf("a small page: %v, given up: %v", err, a.engine == nil)
	}
	t.Logf("after a small page a worker has %d MB", a.drawer.memory.size>>20)
	if _, err := a.gray(t, d, 1, 72, limit/8); !errors.Is(err, ErrMemory) {
		t.Errorf("a page of 47 MB in the small part: %v", err)
	}
	if _, err := a.gray(t, d, 1, 72, limit); err != nil || a.engine != nil {
		t.Errorf("a page of 47 MB: %v, given up: %v", err, a.engine == nil)
	}
	if _, err := a.gray(t, d, 2, 72, limit); err != nil {
		t.Errorf("the next page: %v", err)
	}
}
