// Package rendertest lends tests a renderer: [Shared].
package rendertest

import (
	"context"
	"errors"
	"os"
	"slices"
	"sync"
	"testing"

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
	r := render.Start(render.Options{})
	_, err := r.OpenBytes(context.Background(), "nothing", []byte("no PDF file"), "")
	if errors.Is(err, render.ErrUnreadable) {
		err = nil // the engine runs
	}
	return r, err
})

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
	return untilEnd(tb, d, err)
}

// OpenBytes opens a PDF file in memory with the shared renderer until the test ends.
func OpenBytes(tb testing.TB, name string, data []byte) *render.Document {
	tb.Helper()
	d, err := Shared(tb).OpenBytes(tb.Context(), name, data, "")
	return untilEnd(tb, d, err)
}

func untilEnd(tb testing.TB, d *render.Document, err error) *render.Document {
	tb.Helper()
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
