package look

import (
	"context"
	"errors"
	"image"
	"sync"
	"time"

	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/reorder/geom"
)

const (
	mostKept   = 48 << 20 // bytes of drawn pages
	mostOpen   = 2        // sources
	grace      = time.Second
	leastDPI   = 18
	largestDPI = 288
)

// sources are the PDFs that are drawn, and the pages of them that were drawn last.
type sources struct {
	renderer *render.Renderer
	drawing  flights[drawnKey, drawn]
	opening  flights[string, *render.Document]

	mutex sync.Mutex
	kept  map[drawnKey]*drawn
	bytes int
	turn  int // counts uses
	open  []openSource
}

type openSource struct {
	digest   string
	document *render.Document
}

// drawnKey is a page at a resolution in dots for each inch of the page.
type drawnKey struct {
	source string
	page   int
	dpi    int
}

// drawn is a page that was drawn.
type drawn struct {
	image image.Image // *image.Gray or *image.RGBA
	used  int         // when: the turn
}

func (d drawn) bytes() int {
	pix, _, _ := pixelsOf(d.image)
	return len(pix)
}

func newSources(ctx context.Context, r *render.Renderer) *sources {
	slots := 1
	if r != nil {
		slots = r.Workers()
	}
	return &sources{
		renderer: r, kept: map[drawnKey]*drawn{},
		drawing: flights[drawnKey, drawn]{base: ctx, slots: make(chan struct{}, slots)},
		opening: flights[string, *render.Document]{base: ctx, slots: make(chan struct{}, 1)},
	}
}

// opener lends the draft of a book for as long as its source is opened.
type opener func(context.Context) (*plan.Draft, func(), error)

// draw draws a picture so wide. When the context ends and nobody else wants the same, its pages are not drawn any more.
func (s *sources) draw(ctx context.Context, p picture, width int, open opener) (image.Image, error) {
	size := p.pixels(width)
	pages := make([]drawn, len(p.Parts))
	group, within := errgroup.WithContext(ctx)
	for i, one := range p.Parts {
		group.Go(func() (err error) {
			pages[i], err = s.page(within, p.Source, one.Page, float64(size.X)/p.Size.W*one.scale()*geom.Inch, open)
			return err
		})
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	coloured := false
	for _, d := range pages {
		_, is := d.image.(*image.RGBA)
		coloured = coloured || is
	}
	out := blank(size, coloured)
	for i, one := range p.Parts {
		p.put(out, one, pages[i].image)
	}
	return out, nil
}

// page is a page of a source in at least so many dots for each inch, if that is not very much.
func (s *sources) page(ctx context.Context, source string, page int, least float64, open opener) (drawn, error) {
	key := drawnKey{source, page, leastDPI}
	for float64(key.dpi) < least && key.dpi < largestDPI {
		key.dpi *= 2
	}
	if d, ok := s.find(key); ok {
		return d, nil
	}
	return s.drawing.do(ctx, key, func(ctx context.Context) (drawn, error) {
		if d, ok := s.find(key); ok {
			return d, nil
		}
		document, err := s.document(ctx, source, open)
		if err != nil {
			return drawn{}, err
		}
		var d drawn
		colours, err := document.RGBA(ctx, page, float64(key.dpi))
		if err == nil {
			d.image = withoutColour(colours)
		}
		var failed *render.Error
		if errors.As(err, &failed) && ctx.Err() == nil && !errors.Is(err, render.ErrClosed) {
			d.image, err = cross(), nil
		}
		if err == nil {
			s.keep(key, d)
		}
		return d, err
	})
}

// find is a page that is kept, at the resolution or a little above it.
func (s *sources) find(key drawnKey) (drawn, bool) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for range 3 {
		if d := s.kept[key]; d != nil {
			s.turn++
			d.used = s.turn
			return *d, true
		}
		key.dpi *= 2
	}
	return drawn{}, false
}

// keep keeps a page, and gives up those that were not used for longest.
func (s *sources) keep(key drawnKey, d drawn) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if old := s.kept[key]; old != nil {
		s.bytes -= old.bytes()
	}
	s.turn++
	d.used = s.turn
	s.kept[key] = &d
	s.bytes += d.bytes()
	for s.bytes > mostKept && len(s.kept) > 1 {
		var oldest drawnKey
		first := s.turn + 1
		for k, o := range s.kept {
			if o.used < first {
				oldest, first = k, o.used
			}
		}
		s.bytes -= s.kept[oldest].bytes()
		delete(s.kept, oldest)
	}
}

// document is a source, open for drawing.
func (s *sources) document(ctx context.Context, source string, open opener) (*render.Document, error) {
	if d := s.findOpen(source); d != nil {
		return d, nil
	}
	return s.opening.do(ctx, source, func(ctx context.Context) (*render.Document, error) {
		if d := s.findOpen(source); d != nil {
			return d, nil
		}
		draft, release, err := open(ctx)
		if err != nil {
			return nil, err
		}
		defer release()
		d, err := draft.Render(ctx)
		if err != nil {
			return nil, err
		}
		s.mutex.Lock()
		s.open = append(s.open, openSource{source, d})
		var closing *render.Document
		if len(s.open) > mostOpen {
			closing, s.open = s.open[0].document, s.open[1:]
		}
		s.mutex.Unlock()
		if closing != nil {
			err = closing.Close()
		}
		return d, err
	})
}

func (s *sources) findOpen(source string) *render.Document {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for _, o := range s.open {
		if o.digest == source {
			return o.document
		}
	}
	return nil
}

// flights makes things of which several may be wanted at once, each once. What nobody
// wants any more is given up: at once if it waits for its turn, after a while if it is under way, since
// an engine that is stopped has to be started again.
type flights[K comparable, V any] struct {
	base  context.Context
	slots chan struct{} // holds one for each that is under way

	mutex sync.Mutex
	all   map[K]*flight[V]
}

type flight[V any] struct {
	done    chan struct{}
	value   V
	err     error
	wanted  int
	unasked chan struct{} // closed when nobody wants it any more
	cancel  context.CancelFunc
}

func (f *flights[K, V]) do(ctx context.Context, key K, produce func(context.Context) (V, error)) (V, error) {
	f.mutex.Lock()
	if f.all == nil {
		f.all = map[K]*flight[V]{}
	}
	one := f.all[key]
	if one == nil {
		under, cancel := context.WithCancel(f.base)
		one = &flight[V]{done: make(chan struct{}), unasked: make(chan struct{}), cancel: cancel}
		f.all[key] = one
		go f.fly(under, key, one, produce)
	}
	one.wanted++
	f.mutex.Unlock()
	select {
	case <-one.done:
		return one.value, one.err
	case <-ctx.Done():
	}
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if one.wanted--; one.wanted == 0 {
		if f.all[key] == one {
			delete(f.all, key) // who asks now gets another
		}
		close(one.unasked)
		time.AfterFunc(grace, one.cancel)
	}
	var none V
	return none, ctx.Err()
}

func (f *flights[K, V]) fly(ctx context.Context, key K, one *flight[V], produce func(context.Context) (V, error)) {
	defer one.cancel()
	select {
	case f.slots <- struct{}{}:
		select {
		case <-one.unasked:
			one.err = context.Canceled
		default:
			one.value, one.err = produce(ctx)
		}
		<-f.slots
	case <-one.unasked:
		one.err = context.Canceled
	case <-ctx.Done():
		one.err = ctx.Err()
	}
	f.mutex.Lock()
	if f.all[key] == one {
		delete(f.all, key)
	}
	f.mutex.Unlock()
	close(one.done)
}
