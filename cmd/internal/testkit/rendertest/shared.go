// Package rendertest lends tests a renderer: [Shared].
package rendertest

import (
	"context"
	"sync"
	"testing"

	"foldwright/cmd/internal/render"
)

var start = sync.OnceValues(func() (*render.Renderer, error) {
	return render.Start(context.Background(), render.Options{})
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
