package render

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
)

// worker is one engine and the documents it has open. It is used by one
// goroutine at a time; only its engine may be stopped by another.
type worker struct {
	engine pdfium.Pdfium // nil: not yet started, or given up
	memory *memory
	open   map[*Document]*handle
}

// handle is a document that is open in a worker.
type handle struct {
	document references.FPDF_DOCUMENT
	window   *window
}

// window is what the engine reads a document through. It is shut when the
// engine is given up, for the engine's library remembers it for ever.
type window struct{ io.ReadSeeker }

// document opens d in the worker unless it is open already.
func (w *worker) document(d *Document) (references.FPDF_DOCUMENT, error) {
	if h := w.open[d]; h != nil {
		return h.document, nil
	}
	win := &window{io.NewSectionReader(d.source, 0, d.size)}
	request := requests.OpenDocument{FileReader: win, FileReaderSize: d.size}
	if d.password != "" {
		request.Password = &d.password
	}
	response, err := w.engine.OpenDocument(&request)
	if err != nil {
		win.ReadSeeker = nil
		return "", openError(err, d.password)
	}
	w.open[d] = &handle{response.Document, win}
	return response.Document, nil
}

// closeUnused closes the documents that nobody needs any more.
func (w *worker) closeUnused() {
	for d, h := range w.open {
		if !d.closed.Load() {
			continue
		}
		if _, err := w.engine.FPDF_CloseDocument(&requests.FPDF_CloseDocument{Document: h.document}); err != nil {
			w.end()
			return
		}
		h.window.ReadSeeker = nil
		delete(w.open, d)
	}
}

// within runs do and stops the engine if the context ends or the time is up.
// It gives the worker up if that, or the error, leaves it in doubt.
func (w *worker) within(ctx context.Context, late *TimeError, do func() error) error {
	if late.Limit <= 0 {
		return w.failed(do()) // such an engine cannot be stopped
	}
	limited, cancel := context.WithTimeoutCause(ctx, late.Limit, late)
	defer cancel()
	engine, stopped := w.engine, make(chan struct{})
	unwatch := context.AfterFunc(limited, func() {
		stop(engine)
		close(stopped)
	})
	err := do()
	if unwatch() {
		return w.failed(err)
	}
	<-stopped
	w.end()
	return context.Cause(limited) // even if it came to its end in that moment
}

// failed gives the worker up if the error leaves it in doubt, and returns the
// error that the caller gets.
func (w *worker) failed(err error) error {
	refused := w.memory.refused.Load()
	if !refused && (err == nil || harmless(err)) {
		return err
	}
	w.end()
	switch {
	case errors.Is(err, ErrMemory):
		return err
	case refused:
		// The engine leaves out what it has no memory for, and does not always say so.
		return ErrMemory
	}
	return fmt.Errorf("%w: %w", ErrEngine, err)
}

// stop ends the engine in the middle of a call, which then fails.
func stop(engine pdfium.Pdfium) {
	// Killing asks nothing of an engine that may be broken; an error would
	// say that it has been ended before.
	_ = engine.Kill()
}

// end gives up the engine and its memory.
func (w *worker) end() {
	if w.engine == nil {
		return
	}
	stop(w.engine)
	for _, h := range w.open {
		h.window.ReadSeeker = nil
	}
	w.memory.release()
	*w = worker{}
}
