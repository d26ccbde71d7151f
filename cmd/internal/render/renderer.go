package render

import (
	"cmp"
	"context"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"time"
)

// Options is how a renderer is started; the zero value is right for a program
// that renders books.
type Options struct {
	// Workers is how many pages are drawn at once. 0: as many as the process
	// may use cores, but at most 8, so that the memory of a large machine is
	// not bound for a job that waits for its disk.
	Workers int
	// WorkerMemory is the most memory in bytes that one worker may have. 0: 512 MB, with
	// which A3 scans in colour of 600 dpi can be drawn. Only one worker at a
	// time may have more than a small part of it.
	WorkerMemory int64
	// PageTime is how long one page may take. 0: as long as it likes.
	PageTime time.Duration
	// MaxPixels is the largest picture. 0: 40 million, A3 at 400 dpi.
	MaxPixels int
	// CacheDir is the folder for the translated engine, of which a subfolder is
	// used. Empty: foldwright in the user's cache folder. If it can't be
	// written, every start is as slow as the first.
	CacheDir string
	// Waited is for programs before which a person waits: the first start on a machine takes half as
	// long again and a sixth less memory, and until then pages in colour are drawn slowly; see early.go.
	Waited bool
	// Interpreted is for one process: its engine is not translated, but interpreted.
	Interpreted bool
}

// cacheFolder is the part of CacheDir that belongs to this package.
const cacheFolder = "pdf-engine"

// Renderer is a pool of processes that draw pages, its workers. Close it when done.
type Renderer struct {
	options  Options
	launches chan func()
	seats    chan struct{} // one for each worker that may be used and is not
	large    chan struct{} // one while no worker has all of its memory
	over     chan struct{} // closed by Close

	starting sync.WaitGroup // of early

	mu      sync.Mutex // guards what follows
	early   *early     // nil: not begun
	granted int        // seats there are
	idle    []*worker  // the one used last at the end; nil: to be started when needed
	closed  bool
}

// Start starts nothing yet: the first worker starts when there is something to draw. That takes
// seconds for the first time on a machine, and tenths of a second later.
func Start(o Options) *Renderer {
	o = o.withDefaults()
	r := &Renderer{
		options: o, launches: make(chan func()), idle: make([]*worker, o.Workers),
		seats: make(chan struct{}, o.Workers), large: make(chan struct{}, 1), over: make(chan struct{}),
	}
	go r.launch()
	r.large <- struct{}{}
	r.grant()
	return r
}

func (o Options) withDefaults() Options {
	o.Workers = cmp.Or(o.Workers, min(runtime.GOMAXPROCS(0), 8))
	o.WorkerMemory = cmp.Or(o.WorkerMemory, 512<<20)
	o.PageTime = cmp.Or(o.PageTime, 10_000*time.Hour)
	o.MaxPixels = cmp.Or(o.MaxPixels, 40_000_000)
	if o.CacheDir == "" {
		if dir, err := os.UserCacheDir(); err == nil {
			o.CacheDir = filepath.Join(dir, "foldwright")
		}
	}
	return o
}

// grant lets one more worker be used, as far as there are more.
func (r *Renderer) grant() {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.granted < r.options.Workers && !r.closed {
		r.granted++
		r.seats <- struct{}{}
	}
}

// smallMemory is what a worker may have while another has more.
func (o Options) smallMemory() int64 {
	return o.WorkerMemory / int64(max(4, o.Workers))
}

// Workers is how many pages are drawn at once.
func (r *Renderer) Workers() int { return r.options.Workers }

// Close waits for the calls under way and ends the workers. Documents that
// are still open can't be used any more.
func (r *Renderer) Close() error {
	r.mu.Lock()
	if r.closed {
		r.mu.Unlock()
		return nil
	}
	r.closed = true
	close(r.over)
	granted := r.granted
	r.mu.Unlock()
	for range granted {
		<-r.seats
	}
	r.endEarly()
	for _, w := range r.idle {
		if w != nil {
			w.end()
		}
	}
	close(r.launches)
	return nil
}

// borrow waits for a free worker, if possible one that has the document open.
// No two may have all of their memory at once.
func (r *Renderer) borrow(ctx context.Context, d *Document, memory int64) (_ *worker, err error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if r.isLarge(memory) {
		if err := r.wait(ctx, r.large); err != nil {
			return nil, err
		}
		defer func() {
			if err != nil {
				r.large <- struct{}{}
			}
		}()
	}
	if err := r.wait(ctx, r.seats); err != nil {
		return nil, err
	}
	w, err := r.take(d)
	if err == nil && w == nil {
		w, err = r.startOne(ctx)
	}
	if err != nil {
		r.seats <- struct{}{}
		return nil, err
	}
	return w, nil
}

// isLarge tells whether this is more memory than several workers may have at once.
func (r *Renderer) isLarge(memory int64) bool { return memory > r.options.smallMemory() }

func (r *Renderer) wait(ctx context.Context, one <-chan struct{}) error {
	select {
	case <-one:
		return nil
	case <-r.over:
		return ErrClosed
	case <-ctx.Done():
		return ctx.Err()
	}
}

// take is an idle worker: if possible one that has the document open, else the one used
// last, and nil if none has been started.
func (r *Renderer) take(d *Document) (*worker, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.closed {
		return nil, ErrClosed
	}
	at := 0
	for i, w := range r.idle {
		if w != nil && w.hasEnded() {
			w, r.idle[i] = nil, nil // it has ended by itself
		}
		if w != nil && (r.idle[at] == nil || w.open[d] || !r.idle[at].open[d]) {
			at = i
		}
	}
	w := r.idle[at]
	r.idle = slices.Delete(r.idle, at, at+1)
	return w, nil
}

// startsIn is about how long a worker takes to start. What has been going on for as long
// may well be worth another one.
const startsIn = 300 * time.Millisecond

func (r *Renderer) startOne(ctx context.Context) (w *worker, err error) {
	if r.options.Waited {
		w, err = r.startEarly(ctx)
	} else {
		w, err = r.start(ctx, r.options, nil)
	}
	if err != nil {
		r.putBack(nil)
		return nil, err
	}
	if !w.early {
		time.AfterFunc(startsIn, r.grant)
	}
	return w, nil
}

// giveBack returns a worker after a call.
func (r *Renderer) giveBack(w *worker, memory int64) {
	w.closeUnused()
	if w.hasEnded() {
		w = nil
	}
	r.putBack(w)
	r.seats <- struct{}{}
	if r.isLarge(memory) {
		r.large <- struct{}{}
	}
}

func (r *Renderer) putBack(w *worker) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.idle = append(r.idle, w)
}

// Warm starts a worker if none runs, so that the first page need not wait for it, and waits until it
// draws fast.
func (r *Renderer) Warm(ctx context.Context) error {
	w, err := r.borrow(ctx, nil, r.options.smallMemory())
	if err == nil {
		r.giveBack(w, r.options.smallMemory())
		err = r.awaitTranslated(ctx)
	}
	return err
}
