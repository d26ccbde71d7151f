package render

import (
	"bytes"
	"context"
	"errors"
	"io"
	"sync"
	"sync/atomic"

	"github.com/klippa-app/go-pdfium/requests"

	"foldwright/profiles/regular"
	"foldwright/reorder/geom"
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
	hopeless sync.Map // the error of each task that has taken too long once, or crashed an engine
	closed   atomic.Bool
}

// Open opens the file at path. The password is tried as the owner's and as
// the user's; an empty one opens what is not encrypted or has an empty user
// password. All errors are of type *Error, but those of a cancelled context.
func (r *Renderer) Open(ctx context.Context, path, password string) (*Document, error) {
	f, err := regular.Open(path)
	if err != nil {
		if kind, ok := errors.AsType[*regular.KindError](err); ok {
			err = kind
		}
		return nil, &Error{File: path, Err: err}
	}
	d := &Document{renderer: r, name: path, source: f, closer: f, password: password}
	info, err := f.Stat()
	if err != nil {
		d.Close()
		return nil, &Error{File: path, Err: err}
	}
	d.size = info.Size()
	return d.begin(ctx)
}

// OpenBytes is Open for a file in memory; name stands for it in errors. The
// bytes must not change while the document is open.
func (r *Renderer) OpenBytes(ctx context.Context, name string, data []byte, password string) (*Document, error) {
	d := &Document{renderer: r, name: name, source: bytes.NewReader(data), size: int64(len(data)), password: password}
	return d.begin(ctx)
}

// begin opens the document in a first worker.
func (d *Document) begin(ctx context.Context) (_ *Document, err error) {
	if d.size == 0 {
		err = &Error{File: d.name, Err: ErrEmpty}
	} else {
		d.pages, err = ask[int](ctx, d, request{Want: countPages})
	}
	if err != nil {
		d.Close()
		return nil, err
	}
	return d, nil
}

func (e engaged) countPages() int {
	count := call(e.engine.FPDF_GetPageCount, requests.FPDF_GetPageCount{Document: e.document}).PageCount
	permissions := call(e.engine.FPDF_GetDocPermissions, requests.FPDF_GetDocPermissions{Document: e.document})
	switch {
	case !permissions.PrintDocument:
		check(ErrNoPrinting)
	case count <= 0:
		check(ErrNoPages)
	}
	return count
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
			if w != nil {
				w.closeUnused()
			}
		}
	}
	r.mu.Unlock()
	if d.closer != nil {
		return d.closer.Close()
	}
	return nil
}

const mmPerPoint = 25.4 / 72

// measure finds the visible box and how it is turned.
func (l *leaf) measure() {
	r := call(l.engine.FPDF_GetPageBoundingBox, requests.FPDF_GetPageBoundingBox{Page: l.page}).Rect
	turned := call(l.engine.FPDFPage_GetRotation, requests.FPDFPage_GetRotation{Page: l.page})
	visible := geom.Rect{
		X0: float64(min(r.Left, r.Right)), X1: float64(max(r.Left, r.Right)),
		Y0: float64(min(r.Bottom, r.Top)), Y1: float64(max(r.Bottom, r.Top)),
	}
	// Rotate counts quarter turns clockwise (ISO 32000-1, table 30).
	m := geom.Rotate(-int(turned.PageRotation))
	b := m.Bounds(visible)
	l.toFrame = m.Then(geom.Translate(-b.X0, -b.Y0)).Then(geom.Enlarge(mmPerPoint))
	l.size = geom.Size{W: (b.X1 - b.X0) * mmPerPoint, H: (b.Y1 - b.Y0) * mmPerPoint}
	if l.size.W <= 0 || l.size.H <= 0 {
		check(ErrPage)
	}
}

// Size is the size of a page in mm as it is seen upright.
func (d *Document) Size(ctx context.Context, page int) (geom.Size, error) {
	return ask[geom.Size](ctx, d, request{Want: measurePage, Page: page})
}

// Save writes a copy of the document as the engine understood it, its damage
// repaired and its encryption removed, for readers that refuse the original.
// An error of w is returned as it is.
func (d *Document) Save(ctx context.Context, w io.Writer) error {
	to := &steady{to: w}
	// It can be written only once, so there is no trying with less memory.
	_, err := d.ask(ctx, wish{request{Want: saveCopy}, d.renderer.options.WorkerMemory, to})
	if to.err != nil && ctx.Err() == nil {
		return to.err
	}
	return err
}

func (e engaged) save() error {
	to := &steady{to: e.copy}
	_, err := e.engine.FPDF_SaveAsCopy(&requests.FPDF_SaveAsCopy{
		Document: e.document, Flags: requests.SaveFlagRemoveSecurity, FileWriter: to,
	})
	if to.err != nil {
		return errNotWritten
	}
	return err
}

// errNotWritten says that the engine is sound and the writer is to blame.
var errNotWritten = errors.New("can't be written")

// steady keeps the first error of a writer, which the engine forgets, and
// writes nothing after it.
type steady struct {
	to  io.Writer
	err error
}

func (s *steady) Write(p []byte) (n int, err error) {
	if s.err == nil {
		n, s.err = s.to.Write(p)
	}
	return n, s.err
}
