// Package rendertest lends tests a renderer: [Shared].
package rendertest

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"foldwright/cmd/internal/render"
	"foldwright/reorder/geom"
)

// A test's program is started again to draw.
func init() {
	if slices.Contains(os.Args[1:], render.ProcessArgument) {
		if render.Serve(os.Stdin, os.Stdout) != nil {
			os.Exit(1)
		}
		os.Exit(0)
	}
}

var start = sync.OnceValues(func() (*render.Renderer, error) {
	defer waitForOthers()()
	r := render.Start(render.Options{})
	_, err := r.OpenBytes(context.Background(), "nothing", []byte("no PDF file"), "")
	if errors.Is(err, render.ErrUnreadable) {
		err = nil // the engine runs
	}
	return r, err
})

// waitForOthers lets one test process after the other start, until done is called:
// the first start on a machine translates the engine, which takes seconds of all cores,
// and the others find it done. It is no more than a saving, so after a minute nobody waits.
func waitForOthers() (done func()) {
	turn := filepath.Join(os.TempDir(), "foldwright-tests-start-their-engine")
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if err := os.Mkdir(turn, 0o700); err == nil {
			return func() { os.Remove(turn) }
		}
		if info, err := os.Stat(turn); err == nil && time.Since(info.ModTime()) > time.Minute {
			os.Remove(turn) // of a process that was killed
		}
	}
	return func() {}
}

// Shared is the one renderer of the test process. It is started by the first
// test that asks and lives as long as the process: don't close it.
func Shared(tb testing.TB) *render.Renderer {
	tb.Helper()
	r, err := start()
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

// Open opens a PDF file with the shared renderer until the test ends.
func Open(tb testing.TB, path string) *render.Document {
	tb.Helper()
	d, err := Shared(tb).Open(tb.Context(), path, "")
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { d.Close() })
	return d
}

// OpenBytes opens a PDF file in memory with the shared renderer until the test ends.
func OpenBytes(tb testing.TB, name string, data []byte) *render.Document {
	tb.Helper()
	d, err := Shared(tb).OpenBytes(tb.Context(), name, data, "")
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { d.Close() })
	return d
}

// Ink is the smallest rectangle, in mm in the page's frame, around everything
// darker than threshold (0 black, 255 white), as far as the pixels of dpi
// show it; found is false on a page without.
func Ink(ctx context.Context, d *render.Document, page int, dpi float64, threshold uint8) (bounds geom.Rect, found bool, err error) {
	size, err := d.Size(ctx, page)
	if err != nil {
		return geom.Rect{}, false, err
	}
	picture, err := d.Gray(ctx, page, dpi)
	if err != nil {
		return geom.Rect{}, false, err
	}
	dark, found := render.Dark(picture, threshold)
	if !found {
		return geom.Rect{}, false, nil
	}
	x, y := size.W/float64(picture.Rect.Dx()), size.H/float64(picture.Rect.Dy())
	return geom.Rect{
		X0: float64(dark.Min.X) * x, X1: float64(dark.Max.X) * x,
		Y0: size.H - float64(dark.Max.Y)*y, Y1: size.H - float64(dark.Min.Y)*y,
	}, true, nil
}
