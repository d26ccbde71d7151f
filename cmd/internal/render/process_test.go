package render_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/geom"
)

// apart starts a renderer that draws in processes of their own.
func apart(t *testing.T, workers int, limit time.Duration) *render.Renderer {
	t.Helper()
	r, err := render.Start(t.Context(), render.Options{Workers: workers, PageTime: limit})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

// everything is what the methods of a document say of a page, by their names.
func everything(ctx context.Context, d *render.Document, page int) map[string]any {
	said := map[string]any{}
	add := func(method string, value any, err error) {
		said[method] = value
		if err != nil {
			said[method] = err.Error()
		}
	}
	size, err := d.Size(ctx, page)
	add("Size", size, err)
	gray, err := d.Gray(ctx, page, 40)
	add("Gray", gray, err)
	colour, err := d.RGBA(ctx, page, 30)
	add("RGBA", colour, err)
	huge, err := d.Gray(ctx, page, 1e6)
	add("Gray, huge", huge, err)
	ink, found, err := d.Ink(ctx, page, 50, 200)
	add("Ink", []any{ink, found}, err)
	half := geom.Enlarge(0.5).Then(geom.Rotate(1)).Then(geom.Translate(150, 10))
	composed, err := d.Compose(ctx, geom.Size{W: 200, H: 200}, 30, []render.Placed{
		{Page: page, Matrix: half, Clip: geom.Rect{X0: 10, Y0: 10, X1: 140, Y1: 150}},
		{Page: 1, Matrix: geom.Identity, Clip: geom.Rect{X0: 100, Y0: 0, X1: 200, Y1: 200}},
		{Page: page, Matrix: geom.Translate(500, 500), Clip: geom.Rect{X1: 200, Y1: 200}},
	})
	add("Compose", composed, err)
	glyphs, err := d.Text(ctx, page)
	add("Text", glyphs, err)
	words, err := d.Words(ctx, page)
	add("Words", words, err)
	pictures, err := d.Pictures(ctx, page)
	add("Pictures", pictures, err)
	sizes, err := d.TypeSizes(ctx, page)
	add("TypeSizes", sizes, err)
	return said
}

// saved is the copy of a document without the identifier that each copy has of its own.
func saved(ctx context.Context, d *render.Document) (string, error) {
	var copied bytes.Buffer
	err := d.Save(ctx, &copied)
	text, _, _ := strings.Cut(copied.String(), "trailer")
	return text, err
}

// TestAProcessAnswersAsTheEngineDoes asks for everything of the demo book, of files of
// others and of a locked one, in this process and in another.
func TestAProcessAnswersAsTheEngineDoes(t *testing.T) {
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/pdfcpu/pdfcpu").Output()
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(out)), "pkg", "testdata", "*.pdf"))
	if err != nil || len(files) < 40 {
		t.Fatalf("only %d files found, %v", len(files), err)
	}
	files = append(files[:4], filepath.Join("..", "..", "..", "testdata", "larkhaven.pdf"))
	sources := map[string][]byte{}
	for _, path := range files {
		if sources[path], err = os.ReadFile(path); err != nil {
			t.Fatal(err)
		}
	}
	sources["locked.pdf"] = locked(t, fpdf.CnProtectPrint, "gannet", "skua")
	// One engine each, asked the same in the same order: where PDFium finds letters depends a
	// little on what it has read before.
	here, _ := start(t, "")
	defer here.Close()
	there := apart(t, 1, time.Hour)
	filled := map[string]bool{}
	for path, data := range sources {
		t.Run(filepath.Base(path), func(t *testing.T) {
			a, err := here.OpenBytes(t.Context(), path, data, "skua")
			if err != nil {
				t.Fatal(err)
			}
			defer a.Close()
			b, err := there.OpenBytes(t.Context(), path, data, "skua")
			if err != nil {
				t.Fatal(err)
			}
			defer b.Close()
			if a.Pages() != b.Pages() {
				t.Errorf("%d pages, want %d", b.Pages(), a.Pages())
			}
			for page := range 3 { // 0 is none
				want, got := everything(t.Context(), a, page), everything(t.Context(), b, page)
				for method := range want {
					if !reflect.DeepEqual(got[method], want[method]) {
						t.Errorf("page %d: %s differs: %.200s, want %.200s", page, method, fmt.Sprint(got[method]), fmt.Sprint(want[method]))
					}
					filled[method] = filled[method] || page > 0 && !reflect.ValueOf(want[method]).IsZero()
				}
			}
			want, err1 := saved(t.Context(), a)
			got, err2 := saved(t.Context(), b)
			if got != want || err1 != nil || err2 != nil || len(want) < 100 {
				t.Errorf("the copy differs: %d bytes, %v, want %d, %v", len(got), err2, len(want), err1)
			}
		})
	}
	for method, seen := range filled {
		if !seen {
			t.Errorf("%s says nothing of any page: nothing is tried", method)
		}
	}
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
	if _, found, err := d.Ink(t.Context(), 1, 72, 128); !found || err != nil {
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
				ink, found, err := d.Ink(t.Context(), page, 72, 128)
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
	r, err := render.Start(t.Context(), render.Options{Workers: 1, WorkerMemory: 128 << 20, PageTime: time.Hour})
	if err != nil {
		t.Fatal(err)
	}
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
	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
	defer cancel()
	if err := render.DrawWithoutInput(ctx, d, 2, 2*time.Second); !errors.Is(err, render.ErrCrash) {
		t.Errorf("got %v", err)
	}
}
