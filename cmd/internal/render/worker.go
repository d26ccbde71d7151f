package render

import (
	"errors"
	"fmt"
	"io"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
)

// wish is a request, and what its answer may take.
type wish struct {
	request request
	memory  int64     // bytes that the engine may have meanwhile
	copy    io.Writer // for what is written, not answered; nil: nothing is
}

// drawer is an engine in this process, and the documents it has open.
type drawer struct {
	engine  pdfium.Pdfium // nil: given up
	memory  *memory
	options Options
	open    map[*Document]*handle
}

// handle is a document that is open in an engine.
type handle struct {
	document references.FPDF_DOCUMENT
	window   *window
}

// window is what the engine reads a document through. It is shut when the
// engine is given up, for the engine's library remembers it for ever.
type window struct{ io.ReadSeeker }

// answer gives the engine up if the answer leaves it in doubt, or with more than the
// small part of the memory, so that another may have it.
func (w *drawer) answer(d *Document, want wish) (any, error) {
	w.memory.limit = uint64(want.memory)
	doc, err := w.document(d)
	var got any
	if err == nil {
		got, err = engaged{w.engine, doc, w.options.MaxPixels, want.copy}.answer(want.request)
	}
	err = w.judge(err)
	if w.engine != nil && w.memory.size > uint64(w.options.smallMemory()) {
		w.end()
	}
	return got, err
}

// document opens d in the engine unless it is open already.
func (w *drawer) document(d *Document) (references.FPDF_DOCUMENT, error) {
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

func (w *drawer) close(d *Document) {
	h := w.open[d]
	if h == nil {
		return
	}
	if _, err := w.engine.FPDF_CloseDocument(&requests.FPDF_CloseDocument{Document: h.document}); err != nil {
		w.end()
		return
	}
	h.window.ReadSeeker = nil
	delete(w.open, d)
}

// judge gives the engine up if the error leaves it in doubt, and returns the
// error that the caller gets.
func (w *drawer) judge(err error) error {
	refused := w.memory.refused
	if !refused && (err == nil || isHarmless(err)) {
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

// end gives up the engine and its memory.
func (w *drawer) end() {
	if w.engine == nil {
		return
	}
	// Killing asks nothing of an engine that may be broken; an error would
	// say that it has been ended before.
	_ = w.engine.Kill()
	for _, h := range w.open {
		h.window.ReadSeeker = nil
	}
	*w = drawer{}
}
