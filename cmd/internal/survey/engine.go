package survey

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
)

// Engine is a renderer that is started when it is first needed, which for
// most jobs is never. The zero value is ready; Close it when done.
type Engine struct {
	PageTime time.Duration // how long a page may take to be drawn; 0: as long as it likes
	Workers  int           // pages drawn at once; 0: as render.Options has it

	// Running is a renderer that runs already; closing it is the business of whoever has started it.
	Running *render.Renderer

	once     sync.Once
	renderer *render.Renderer
	err      error
}

// Renderer starts the renderer or returns the one that runs.
func (e *Engine) Renderer(ctx context.Context) (*render.Renderer, error) {
	if e.Running != nil {
		return e.Running, nil
	}
	e.once.Do(func() {
		e.renderer, e.err = render.Start(ctx, render.Options{PageTime: e.PageTime, Workers: e.Workers})
	})
	return e.renderer, e.err
}

// OpenDrawing opens a source with a renderer that is to draw what is printed. Where
// the renderer can't read the source, or would draw its annotations otherwise than package pdf
// prints them, it gets that package's copy.
func OpenDrawing(ctx context.Context, r *render.Renderer, source *pdf.Document, password string) (*render.Document, error) {
	otherwise, err := source.DrawsAnnotations(ctx)
	if err != nil {
		return nil, err
	}
	var refusal error
	if !otherwise {
		d, err := r.Open(ctx, source.Path(), password)
		switch {
		case err == nil && d.Pages() == len(source.Pages()):
			return d, nil
		case err == nil:
			d.Close() // what the renderer calls page 3 need not be ours
		case !unread(err):
			return nil, err
		}
		refusal = err
	}
	var copied bytes.Buffer
	copied.Grow(int(source.Bytes()) + 64<<10) // or growing takes twice as much
	err = source.Copy(ctx, &copied)
	var d *render.Document
	if err == nil {
		d, err = r.OpenBytes(ctx, source.Path(), copied.Bytes(), "")
	}
	if err != nil && refusal != nil && ctx.Err() == nil {
		return nil, refusal
	}
	return d, err
}

// unread tells whether the renderer refused a file for what it is.
func unread(err error) bool {
	of := func(kind error) bool { return errors.Is(err, kind) }
	return slices.ContainsFunc([]error{
		render.ErrUnreadable, render.ErrNoPages, render.ErrPassword, render.ErrWrongPassword, render.ErrEncryption, render.ErrNoPrinting,
	}, of)
}

// Rescue saves a repaired copy of a file that package pdf cannot read; it is
// made for pdf.Options.
func (e *Engine) Rescue(ctx context.Context, path, password string) (_ []byte, err error) {
	r, err := e.Renderer(ctx)
	if err != nil {
		return nil, err
	}
	d, err := r.Open(ctx, path, password)
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
