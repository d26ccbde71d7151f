package render_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
)

// apart starts a renderer that draws in processes of their own.
func apart(t *testing.T, workers int, limit time.Duration) *render.Renderer {
	t.Helper()
	r := render.Start(render.Options{Workers: workers, PageTime: limit})
	t.Cleanup(func() { r.Close() })
	return r
}

// The errors of a file are the same, and of a writer.
func TestAProcessFailsAsTheEngineDoes(t *testing.T) {
	r := apart(t, 1, time.Hour)
	both := locked(t, fpdf.CnProtectPrint, "gannet", "skua")
	for _, c := range []struct {
		name     string
		data     []byte
		password string
		want     error
	}{
		{"no password", both, "", render.ErrPassword},
		{"wrong password", both, "puffin", render.ErrWrongPassword},
		{"no printing", locked(t, fpdf.CnProtectCopy, "", "skua"), "", render.ErrNoPrinting},
		{"no PDF file", []byte(strings.Repeat("no PDF file\n", 9)), "", render.ErrUnreadable},
		{"empty", nil, "", render.ErrEmpty},
	} {
		_, err := r.OpenBytes(t.Context(), "journal.pdf", c.data, c.password)
		var e *render.Error
		if !errors.Is(err, c.want) || !errors.As(err, &e) || e.File != "journal.pdf" {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	d, err := r.OpenBytes(t.Context(), "one.pdf", pages(testPage{"/MediaBox [0 0 100 100]", "0 0 50 50 re f"}), "")
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Save(t.Context(), fullDisk{}); !errors.Is(err, errFull) {
		t.Errorf("got %v, want the writer's error", err)
	}
	if _, found, err := rendertest.Ink(t.Context(), d, 1, 72, 128); !found || err != nil {
		t.Errorf("afterwards: %v, %v", found, err)
	}
	if err := d.Close(); err != nil {
		t.Error(err)
	}
	if _, err := d.Gray(t.Context(), 1, 72); !errors.Is(err, render.ErrClosed) {
		t.Errorf("after Close: %v", err)
	}
}

// Many pages at once, of documents that are opened and closed meanwhile.
func TestProcessesInParallel(t *testing.T) {
	r := apart(t, 3, time.Hour)
	var group sync.WaitGroup
	for range 6 {
		group.Go(func() {
			d, err := r.OpenBytes(t.Context(), "numbered", numbered(20), "")
			if err != nil {
				t.Error(err)
				return
			}
			defer d.Close()
			for page := 1; page <= 20; page++ {
				ink, found, err := rendertest.Ink(t.Context(), d, page, 72, 128)
				if err != nil || !found || ink.X1 < (20+float64(page))*point-0.2 {
					t.Errorf("page %d: %v, %v, %v", page, ink, found, err)
				}
			}
		})
	}
	group.Wait()
	works(t, r)
}

// A page that has no room in the small part of the memory gets all of it; one that has
// no room at all is named, and the next is drawn.
func TestAProcessKeepsItsMemory(t *testing.T) {
	r := render.Start(render.Options{Workers: 1, WorkerMemory: 128 << 20, PageTime: time.Hour})
	defer r.Close()
	d, err := r.OpenBytes(t.Context(), "large.pdf", pages(
		testPage{"/MediaBox [0 0 3500 3500]", "0 0 50 50 re f"}, // 47 MB
		testPage{"/MediaBox [0 0 6000 6000]", "0 0 50 50 re f"}, // 137 MB
		testPage{"/MediaBox [0 0 100 100]", "0 0 50 50 re f"},
	), "")
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	for _, page := range []int{1, 3} {
		picture, err := d.Gray(t.Context(), page, 72)
		if err != nil {
			t.Fatal(err)
		}
		if got := picture.GrayAt(10, picture.Rect.Dy()-10).Y; got != 0 {
			t.Errorf("page %d: the square has grey %d, want 0", page, got)
		}
		if _, err := d.Gray(t.Context(), 2, 72); !errors.Is(err, render.ErrMemory) {
			t.Errorf("got %v, want ErrMemory", err)
		}
	}
}

// A process ends with its input even while it draws, which is how it learns of the
// end of its parent where the system does not see to that.
func TestAProcessEndsWithItsInput(t *testing.T) {
	d := rendertest.OpenBytes(t, "slow.pdf", slow())
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Minute)
	defer cancel()
	if err := render.DrawWithoutInput(ctx, d, 2, time.Second/2); !errors.Is(err, render.ErrCrash) {
		t.Errorf("got %v", err)
	}
}
