package render

import (
	"context"
	"errors"
	"image"
	"io"

	"github.com/klippa-app/go-pdfium"
	engine "github.com/klippa-app/go-pdfium/errors"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"

	"foldwright/reorder/geom"
)

// want is what can be asked for of a document. The first three concern the whole file.
type want int

const (
	openFile want = iota
	countPages
	saveCopy
	measurePage
	readText
	drawGray
	drawRGBA
	drawPlaced
)

// done is what is done with the page or the file, to be said in errors.
func (w want) done() string {
	switch {
	case w == openFile:
		return "opened"
	case w == saveCopy:
		return "saved"
	case w >= drawGray:
		return "drawn"
	}
	return "read"
}

// isUrgent tells whether a person looks at what is asked for, so that a slow worker is better than none yet.
func (w want) isUrgent() bool { return w == openFile || w == countPages || w == drawRGBA }

// request is a value, so that an engine of another process can be asked as well as one of
// this. Answers are values, too.
type request struct {
	Want   want
	Page   int // 0: the whole file
	DPI    float64
	Placed placing // of drawPlaced
}

// placing is the part of a canvas of pixels on which a page stands, drawn
// through a matrix from the page's frame to pixels, within a
// rectangle of pixels whose edges may lie between them.
type placing struct {
	Canvas image.Rectangle
	Matrix geom.Matrix
	Clip   geom.Rect
}

// task is what a worker is wanted for.
type task struct {
	page int
	done string
}

func (r request) task() task { return task{r.Page, r.Want.done()} }

// engaged is an engine with the document open that something is wanted of.
type engaged struct {
	engine   pdfium.Pdfium
	document references.FPDF_DOCUMENT
	most     int       // pixels of a picture
	copy     io.Writer // see wish
}

// leaf is a page that is loaded in an engine.
type leaf struct {
	engaged
	page    requests.Page
	size    geom.Size
	toFrame geom.Matrix // from the page's own space in points to our frame in mm
}

// failedCall carries an error out of whatever the engine was asked for, to [attempt]. Nearly every
// error of an engine ends the use of it, so that nothing in between has anything to put right.
type failedCall struct{ err error }

// call asks the engine for something.
func call[Query, Answer any](method func(*Query) (*Answer, error), q Query) *Answer {
	answer, err := method(&q)
	check(err)
	return answer
}

func check(err error) {
	if err != nil {
		panic(failedCall{err})
	}
}

// attempt is what do gives, or the error that it met.
func attempt(do func() any) (answer any, err error) {
	defer func() {
		switch failed := recover().(type) {
		case nil:
		case failedCall:
			answer, err = nil, failed.err
		default:
			panic(failed)
		}
	}()
	return do(), nil
}

// answer may be asked for once more, with more memory.
func (e engaged) answer(r request) (any, error) {
	switch r.Want {
	case openFile:
		return nil, nil // it is open
	case countPages:
		return attempt(func() any { return e.countPages() })
	case saveCopy:
		return nil, e.save()
	}
	loaded, err := e.engine.FPDF_LoadPage(&requests.FPDF_LoadPage{Document: e.document, Index: r.Page - 1})
	if errors.Is(err, engine.ErrPage) {
		return nil, ErrPage
	}
	if err != nil {
		return nil, err
	}
	l := leaf{engaged: e, page: requests.Page{ByReference: &loaded.Page}}
	got, err := attempt(func() any { return l.answer(r) })
	if err != nil && !isHarmless(err) {
		return nil, err
	}
	_, closing := e.engine.FPDF_ClosePage(&requests.FPDF_ClosePage{Page: loaded.Page})
	return got, errors.Join(err, closing)
}

func (l leaf) answer(r request) any {
	l.measure()
	switch r.Want {
	case readText:
		return l.glyphs()
	case drawGray:
		return l.gray(r.DPI)
	case drawRGBA:
		return l.rgba(r.DPI)
	case drawPlaced:
		return l.compose(r.Placed)
	}
	return l.size
}

// ask lets a worker answer, and puts file and page around its error. What needs more
// memory than the small part is done once more with all of it.
func ask[Answer any](ctx context.Context, d *Document, r request) (answer Answer, err error) {
	if r.Want >= measurePage && (r.Page < 1 || r.Page > d.pages) {
		return answer, &Error{d.name, r.Page, ErrNoSuchPage}
	}
	if why, ok := d.hopeless.Load(r.task()); ok {
		return answer, &Error{d.name, r.Page, why.(error)} // it would be as slow again
	}
	o := d.renderer.options
	got, err := d.ask(ctx, wish{request: r, memory: o.smallMemory()})
	if errors.Is(err, ErrMemory) {
		got, err = d.ask(ctx, wish{request: r, memory: o.WorkerMemory})
	}
	answer, _ = got.(Answer) // there is none with an error
	return answer, err
}

// askOne asks a worker, which may be an early one.
func (d *Document) askOne(ctx context.Context, want wish) (got any, early bool, err error) {
	if !want.request.Want.isUrgent() {
		if err := d.renderer.awaitTranslated(ctx); err != nil {
			return nil, false, err
		}
	}
	w, err := d.renderer.borrow(ctx, d, want.memory)
	if err != nil {
		return nil, false, err
	}
	got, err = w.answer(ctx, d, want)
	if err != nil && w.early {
		w.end() // whatever it is, the next one has to find it out
	}
	d.renderer.giveBack(w, want.memory)
	return got, w.early, err
}

func (d *Document) ask(ctx context.Context, want wish) (any, error) {
	if d.closed.Load() {
		return nil, &Error{d.name, want.request.Page, ErrClosed}
	}
	got, early, err := d.askOne(ctx, want)
	for early && err != nil && ctx.Err() == nil { // it may have been ended, or have been too slow
		got, early, err = d.askOne(ctx, want)
	}
	if err == nil {
		return got, nil
	}
	_, late := errors.AsType[*TimeError](err)
	_, unstarted := errors.AsType[*startError](err)
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case unstarted:
		return nil, err // which is no fault of the page
	case late, errors.Is(err, ErrCrash):
		d.hopeless.Store(want.request.task(), err)
	}
	return nil, &Error{d.name, want.request.Page, err}
}
