package render_test

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
	"time"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/sample"
)

// works draws a page with the renderer and closes it.
func works(t *testing.T, r *render.Renderer) {
	t.Helper()
	d, err := r.OpenBytes(t.Context(), "works", pages(testPage{"/MediaBox [0 0 100 100]", "10 10 50 50 re f"}), "")
	if err != nil {
		t.Fatal(err)
	}
	if _, found, err := rendertest.Ink(t.Context(), d, 1, 72, 128); !found || err != nil {
		t.Errorf("ink %v, %v", found, err)
	}
	if err := d.Close(); err != nil {
		t.Error(err)
	}
	if err := r.Close(); err != nil {
		t.Error(err)
	}
}

// start starts a renderer that keeps its engine in dir.
func start(dir string) *render.Renderer {
	return render.Start(render.Options{CacheDir: dir, Workers: 1})
}

// translating leaves out a test that translates the engine anew: under the race
// detector that takes a minute, and what runs in it is not ours.
func translating(t *testing.T) {
	t.Helper()
	if render.RaceDetector {
		t.Skip("translating the engine under the race detector takes a minute")
	}
}

// Later starts use the translation that lies there. With FOLDWRIGHT_FULL=1 there lies half of it, and
// the first start translates once more; in short that is TestHalfATranslationIsReplaced.
func TestTheEngineIsKeptForLaterStarts(t *testing.T) {
	translating(t)
	rendertest.Shared(t) // keeps its translation in the user's folder
	users, err := os.UserCacheDir()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(filepath.Join(users, "foldwright"))); err != nil {
		t.Fatal(err)
	}
	if sample.Full() {
		for _, path := range keptFiles(t, dir) {
			if info, err := os.Stat(path); err != nil || os.Truncate(path, info.Size()/2) != nil {
				t.Fatal(path, err)
			}
		}
	}
	found := keptAs(t, dir)

	works(t, start(dir))
	whole := keptAs(t, dir)
	replaced := len(whole) == 0
	for path, file := range whole {
		replaced = replaced || found[path] == nil || !os.SameFile(file, found[path])
	}
	if replaced != sample.Full() {
		t.Fatalf("of %v, %v is left", found, whole)
	}
	works(t, start(dir))
	// Whoever translates puts a new file in the place of the old one.
	if again := keptAs(t, dir); !maps.EqualFunc(again, whole, os.SameFile) {
		t.Errorf("a later start left %v, want %v: it has translated once more", again, whole)
	}
}

func keptFiles(t *testing.T, dir string) (files []string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			files = append(files, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func keptAs(t *testing.T, dir string) map[string]os.FileInfo {
	t.Helper()
	files := map[string]os.FileInfo{}
	for _, path := range keptFiles(t, dir) {
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		files[path] = info
	}
	return files
}

// A cache folder that can't exist, because a file lies in its way. Since this
// translates the engine once more, it is left to .ci/full.
func TestStartsWithoutCache(t *testing.T) {
	translating(t)
	if !sample.Full() {
		t.Skipf("translates the engine once more: only with %s=1", sample.FullVariable)
	}
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	works(t, start(filepath.Join(file, "cache")))
	if info, err := os.Stat(file); err != nil || info.Size() != 0 {
		t.Errorf("the file in the way was touched: %v, %v", info, err)
	}
}

// A start takes a tenth of a second at least, the first one seconds: whoever waits no longer
// finds nothing translated.
func TestAStartCanBeInterrupted(t *testing.T) {
	ctx, cancel := context.WithTimeout(t.Context(), time.Millisecond)
	defer cancel()
	dir := t.TempDir()
	r := start(dir)
	defer r.Close()
	_, err := r.OpenBytes(ctx, "nothing", []byte("no PDF file"), "")
	if kept := keptFiles(t, dir); !errors.Is(err, context.DeadlineExceeded) || len(kept) > 0 {
		t.Errorf("%v, and there lies %v", err, kept)
	}
}

func TestClose(t *testing.T) {
	r := start("")
	d, err := r.OpenBytes(t.Context(), "open", pages(testPage{"/MediaBox [0 0 100 100]", ""}), "")
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if err := r.Close(); err != nil {
			t.Error(err)
		}
	}
	if _, err := d.Gray(t.Context(), 1, 72); !errors.Is(err, render.ErrClosed) {
		t.Errorf("drawing after Close: %v", err)
	}
	if err := d.Close(); err != nil {
		t.Error(err)
	}
}

// numbered is a file whose pages carry a number and a bar of that length.
func numbered(count int) []byte {
	var list []testPage
	for i := range count {
		list = append(list, testPage{"/MediaBox [0 0 400 400]", fmt.Sprintf("20 200 %d 20 re f BT /Helv 24 Tf 20 300 Td (page%d) Tj ET", i+1, i+1)})
	}
	return pages(list...)
}

func TestPagesInParallel(t *testing.T) {
	const count = 60
	d := rendertest.OpenBytes(t, "numbered", numbered(count))
	var group sync.WaitGroup
	for page := 1; page <= count; page++ {
		group.Go(func() {
			ink, found, err := rendertest.Ink(t.Context(), d, page, 72, 128)
			if err != nil || !found {
				t.Errorf("page %d: %v, %v", page, found, err)
				return
			}
			words, err := d.Words(t.Context(), page)
			if err != nil || len(words) != 1 || words[0].Text != fmt.Sprintf("page%d", page) {
				t.Errorf("page %d: %v, %v", page, words, err)
			}
			// From the longer of the bar and the number.
			if bar := (20 + float64(page)) * point; ink.X1 < bar-0.2 {
				t.Errorf("page %d: ink %v ends before %v", page, ink, bar)
			}
		})
	}
	group.Wait()
}

func BenchmarkGray60(b *testing.B) {
	for _, workers := range []int{1, runtime.GOMAXPROCS(0)} {
		b.Run(fmt.Sprint(workers), func(b *testing.B) {
			r := render.Start(render.Options{Workers: workers})
			defer r.Close()
			d, err := r.OpenBytes(b.Context(), "numbered", numbered(100), "")
			if err != nil {
				b.Fatal(err)
			}
			defer d.Close()
			b.RunParallel(func(pb *testing.PB) {
				for page := 0; pb.Next(); page++ {
					if _, err := d.Gray(b.Context(), page%100+1, 60); err != nil {
						b.Error(err)
					}
				}
			})
		})
	}
}

// TestWarmStartsAWorker: afterwards one that draws is idle, and nothing is held.
func TestWarmStartsAWorker(t *testing.T) {
	r := render.Start(render.Options{Workers: 1, Waited: true})
	for range 2 {
		if err := r.Warm(t.Context()); err != nil {
			t.Fatal(err)
		}
		if n := render.Running(r); n != 1 {
			t.Errorf("%d workers run", n)
		}
	}
	if err := r.Close(); err != nil {
		t.Error(err)
	}
	if err := r.Warm(t.Context()); !errors.Is(err, render.ErrClosed) {
		t.Errorf("of a closed renderer: %v", err)
	}
}
