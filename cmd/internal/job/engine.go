package job

import (
	"bytes"
	"context"
	"sync"
	"time"

	"foldwright/cmd/internal/render"
)

// Engine is a renderer that is started when it is first needed, which for
// most jobs is never. The zero value is ready; Close it when done.
type Engine struct {
	PageTime time.Duration // how long a page may take to be drawn; 0: as long as it likes

	once     sync.Once
	renderer *render.Renderer
	err      error
}

// Renderer starts the renderer or returns the one that runs.
func (e *Engine) Renderer(ctx context.Context) (*render.Renderer, error) {
	e.once.Do(func() { e.renderer, e.err = render.Start(ctx, render.Options{PageTime: e.PageTime}) })
	return e.renderer, e.err
}

// open opens a file with the renderer.
func (e *Engine) open(ctx context.Context, path, password string) (*render.Document, error) {
	r, err := e.Renderer(ctx)
	if err != nil {
		return nil, err
	}
	return r.Open(ctx, path, password)
}

// Rescue saves a repaired copy of a file that package pdf cannot read; it is
// made for pdf.Options.
func (e *Engine) Rescue(ctx context.Context, path, password string) (_ []byte, err error) {
	d, err := e.open(ctx, path, password)
	if err != nil {
		return nil, err
	}
	defer d.Close()
	var copied bytes.Buffer
	err = d.Save(ctx, &copied)
	return copied.Bytes(), err
}

// Close ends the renderer if it was started.
func (e *Engine) Close() error {
	if e.renderer == nil {
		return nil
	}
	return e.renderer.Close()
}
