package render

import (
	"context"
	"errors"
	"io"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"

	"foldwright/reorder/geom"
)

// request is what is wanted of a document: a value, so that an engine of another
// process can be asked for it as well as one of this. Answers are values, too.
type request interface {
	task() task
	// answer may be asked for once more, with more memory.
	answer(e engaged) (any, error)
}

// wholeFile is a request that concerns no page, by what is done with the file.
type wholeFile string

const (
	openFile   wholeFile = "opened"
	countPages wholeFile = "read"
	saveCopy   wholeFile = "saved"
)

func (f wholeFile) task() task { return task{done: string(f)} }

func (f wholeFile) answer(e engaged) (any, error) {
	switch f {
	case countPages:
		return e.countPages()
	case saveCopy:
		return nil, e.save()
	}
	return nil, nil // it is open
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

// engaged is an engine with the document open that something is wanted of.
type engaged struct {
	engine   pdfium.Pdfium
	document references.FPDF_DOCUMENT
	most     int       // pixels of a picture
	copy     io.Writer // see wish
}

// leaf is a page that is loaded in an engine.
type leaf struct {
	engine   pdfium.Pdfium
	document references.FPDF_DOCUMENT
	page     requests.Page
	size     geom.Size
	toFrame  geom.Matrix // from the page's own space in points to our frame in mm
	most     int         // pixels of a picture
}

// onPage does something with a page loaded.
func (e engaged) onPage(page int, do func(leaf) (any, error)) (any, error) {
	loaded, err := e.engine.FPDF_LoadPage(&requests.FPDF_LoadPage{Document: e.document, Index: page - 1})
	if err != nil {
		return nil, loadError(err)
	}
	l := leaf{engine: e.engine, document: e.document, page: requests.Page{ByReference: &loaded.Page}, most: e.most}
	err = l.measure()
	var got any
	if err == nil {
		got, err = do(l)
	}
	if err != nil && !harmless(err) {
		return nil, err
	}
	_, closing := e.engine.FPDF_ClosePage(&requests.FPDF_ClosePage{Page: loaded.Page})
	return got, errors.Join(err, closing)
}

// askPage is ask for a request that concerns a page.
func askPage[Answer any](ctx context.Context, d *Document, r request) (answer Answer, err error) {
	if page := r.task().page; page < 1 || page > d.pages {
		return answer, &Error{d.name, page, ErrNoSuchPage}
	}
	return ask[Answer](ctx, d, r)
}

// ask lets a worker answer, and puts file and page around its error. What needs more
// memory than the small part is done once more with all of it.
func ask[Answer any](ctx context.Context, d *Document, r request) (answer Answer, err error) {
	t := r.task()
	if why, ok := d.hopeless.Load(t); ok {
		return answer, &Error{d.name, t.page, why.(error)} // it would be as slow again
	}
	o := d.renderer.options
	got, err := d.ask(ctx, wish{request: r, memory: o.smallMemory()})
	if errors.Is(err, ErrMemory) {
		got, err = d.ask(ctx, wish{request: r, memory: o.WorkerMemory})
	}
	answer, _ = got.(Answer) // there is none with an error
	return answer, err
}

func (d *Document) ask(ctx context.Context, want wish) (any, error) {
	t := want.request.task()
	if d.closed.Load() {
		return nil, &Error{d.name, t.page, ErrClosed}
	}
	w, err := d.renderer.borrow(ctx, d, want.memory)
	if err == nil {
		var got any
		got, err = w.answer(ctx, d, want)
		d.renderer.giveBack(w, want.memory)
		if err == nil {
			return got, nil
		}
	}
	var late *TimeError
	var unstarted *startError
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case errors.As(err, &unstarted):
		return nil, err // which is no fault of the page
	case errors.As(err, &late), errors.Is(err, ErrCrash):
		d.hopeless.Store(t, err)
	}
	return nil, &Error{d.name, t.page, err}
}
