package render

import (
	"bytes"
	"context"
	"errors"
	"io"
	"sync"
	"sync/atomic"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"

	"foldwright/profiles/regular"
	"foldwright/reorder"
)

// Document is an open PDF file. Its methods may be called from several
// goroutines at once; they take part in the renderer's pool of workers.
type Document struct {
	renderer *Renderer
	name     string
	source   io.ReaderAt
	size     int64
	closer   io.Closer // nil for bytes
	password string
	pages    int
	slow     sync.Map // the *TimeError of each task that has taken too long once
	closed   atomic.Bool
}

// Open opens the file at path. The password is tried as the owner's and as
// the user's; an empty one opens what is not encrypted or has an empty user
// password. All errors are of type *Error, but those of a cancelled context.
func (r *Renderer) Open(ctx context.Context, path, password string) (*Document, error) {
	f, err := regular.Open(path)
	var kind *regular.KindError
	switch {
	case errors.As(err, &kind) && kind.Mode.IsDir():
		return nil, &Error{File: path, Err: ErrFolder}
	case errors.As(err, &kind):
		return nil, &Error{File: path, Err: kind}
	case err != nil:
		return nil, &Error{File: path, Err: err}
	}
	d := &Document{renderer: r, name: path, source: f, closer: f, password: password}
	info, err := f.Stat()
	switch {
	case err != nil:
		err = &Error{File: path, Err: err}
	default:
		d.size = info.Size()
		err = d.begin(ctx)
	}
	if err != nil {
		d.Close()
		return nil, err
	}
	return d, nil
}

// OpenBytes is Open for a file in memory; name stands for it in errors. The
// bytes must not change while the document is open.
func (r *Renderer) OpenBytes(ctx context.Context, name string, data []byte, password string) (*Document, error) {
	d := &Document{renderer: r, name: name, source: bytes.NewReader(data), size: int64(len(data)), password: password}
	if err := d.begin(ctx); err != nil {
		d.Close()
		return nil, err
	}
	return d, nil
}

// begin opens the document in a first worker.
func (d *Document) begin(ctx context.Context) error {
	if d.size == 0 {
		return &Error{File: d.name, Err: ErrEmpty}
	}
	return d.use(ctx, task{done: read}, func(e pdfium.Pdfium, doc references.FPDF_DOCUMENT) error {
		count, err := e.FPDF_GetPageCount(&requests.FPDF_GetPageCount{Document: doc})
		if err != nil {
			return err
		}
		permissions, err := e.FPDF_GetDocPermissions(&requests.FPDF_GetDocPermissions{Document: doc})
		switch {
		case err != nil:
			return err
		case !permissions.PrintDocument:
			return ErrNoPrinting
		case count.PageCount <= 0:
			return ErrNoPages
		}
		d.pages = count.PageCount
		return nil
	})
}

// Pages is the number of pages.
func (d *Document) Pages() int { return d.pages }

// Close releases the file. Calls under way may fail.
func (d *Document) Close() error {
	if d.closed.Swap(true) {
		return nil
	}
	r := d.renderer
	r.mu.Lock()
	if !r.closed {
		for _, w := range r.idle {
			w.closeUnused()
		}
	}
	r.mu.Unlock()
	if d.closer != nil {
		return d.closer.Close()
	}
	return nil
}

// use runs do with the document open in a worker, and puts file and page
// around its error. What needs more memory than the small part is done once more
// with all of it, so do must not mind.
func (d *Document) use(ctx context.Context, t task, do func(pdfium.Pdfium, references.FPDF_DOCUMENT) error) error {
	if slow, ok := d.slow.Load(t); ok {
		return &Error{d.name, t.page, slow.(*TimeError)} // it would be as slow again
	}
	err := d.useWith(ctx, smallShare, t, do)
	if errors.Is(err, ErrMemory) {
		err = d.useWith(ctx, wholeShare, t, do)
	}
	var late *TimeError
	if errors.As(err, &late) {
		d.slow.Store(t, late)
	}
	return err
}

// useWith is use with a share of the memory.
func (d *Document) useWith(ctx context.Context, share share, t task, do func(pdfium.Pdfium, references.FPDF_DOCUMENT) error) error {
	if d.closed.Load() {
		return &Error{d.name, t.page, ErrClosed}
	}
	w, err := d.renderer.borrow(ctx, d, share)
	if err != nil {
		if ctx.Err() != nil {
			return err
		}
		return &Error{d.name, t.page, err}
	}
	defer d.renderer.giveBack(w, share)
	var doc references.FPDF_DOCUMENT
	limit := d.renderer.options.PageTime
	err = w.within(ctx, &TimeError{"opened", filePages * limit}, func() error {
		doc, err = w.document(d)
		return err
	})
	if err == nil {
		if t.page == 0 {
			limit *= filePages
		}
		err = w.within(ctx, &TimeError{t.done, limit}, func() error { return do(w.engine, doc) })
	}
	if err != nil && ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		return &Error{d.name, t.page, err}
	}
	return nil
}

// task is what a worker is wanted for.
type task struct {
	page int    // 0: the whole file
	done string // what is done with it
}

const (
	drawn = "drawn"
	read  = "read"
)

// filePages is how many pages' time a whole file may take to be opened, or saved.
const filePages = 10

// leaf is a page that is loaded in a worker.
type leaf struct {
	engine   pdfium.Pdfium
	document references.FPDF_DOCUMENT
	page     requests.Page
	size     reorder.Size
	toFrame  reorder.Matrix // from the page's own space in points to our frame in mm
}

// drawPage runs do, which draws the page, with the page loaded in a worker.
func (d *Document) drawPage(ctx context.Context, page int, do func(leaf) error) error {
	return d.usePage(ctx, task{page, drawn}, do)
}

// readPage is drawPage for what is read off a page and not drawn.
func (d *Document) readPage(ctx context.Context, page int, do func(leaf) error) error {
	return d.usePage(ctx, task{page, read}, do)
}

func (d *Document) usePage(ctx context.Context, t task, do func(leaf) error) error {
	if t.page < 1 || t.page > d.pages {
		return &Error{d.name, t.page, ErrNoSuchPage}
	}
	return d.use(ctx, t, func(e pdfium.Pdfium, doc references.FPDF_DOCUMENT) error {
		loaded, err := e.FPDF_LoadPage(&requests.FPDF_LoadPage{Document: doc, Index: t.page - 1})
		if err != nil {
			return loadError(err)
		}
		l := leaf{engine: e, document: doc, page: requests.Page{ByReference: &loaded.Page}}
		err = l.measure()
		if err == nil {
			err = do(l)
		}
		if err != nil && !harmless(err) {
			return err
		}
		_, closing := e.FPDF_ClosePage(&requests.FPDF_ClosePage{Page: loaded.Page})
		return errors.Join(err, closing)
	})
}

const mmPerPoint = 25.4 / 72

// measure finds the visible box and how it is turned.
func (l *leaf) measure() error {
	box, err := l.engine.FPDF_GetPageBoundingBox(&requests.FPDF_GetPageBoundingBox{Page: l.page})
	if err != nil {
		return err
	}
	turned, err := l.engine.FPDFPage_GetRotation(&requests.FPDFPage_GetRotation{Page: l.page})
	if err != nil {
		return err
	}
	r := box.Rect
	visible := reorder.Rect{
		X0: float64(min(r.Left, r.Right)), X1: float64(max(r.Left, r.Right)),
		Y0: float64(min(r.Bottom, r.Top)), Y1: float64(max(r.Bottom, r.Top)),
	}
	// Rotate counts quarter turns clockwise (ISO 32000-1, table 30).
	m := reorder.Rotate(-int(turned.PageRotation))
	b := m.Bounds(visible)
	l.toFrame = m.Then(reorder.Translate(-b.X0, -b.Y0)).Then(reorder.Enlarge(mmPerPoint))
	l.size = reorder.Size{W: (b.X1 - b.X0) * mmPerPoint, H: (b.Y1 - b.Y0) * mmPerPoint}
	if l.size.W <= 0 || l.size.H <= 0 {
		return ErrPage
	}
	return nil
}

// Size is the size of a page in mm as it is seen upright.
func (d *Document) Size(ctx context.Context, page int) (size reorder.Size, err error) {
	err = d.readPage(ctx, page, func(l leaf) error {
		size = l.size
		return nil
	})
	return size, err
}
