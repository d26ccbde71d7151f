package render

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"time"

	"github.com/tetratelabs/wazero"
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
	// PageTime is how long one page may take. 0: as long as it likes, and a page
	// under way is not interrupted either; the engine is several times as fast.
	PageTime time.Duration
	// MaxPixels is the largest picture. 0: 40 million, A3 at 400 dpi.
	MaxPixels int
	// CacheDir is the folder for the translated engine, of which a subfolder is
	// used. Empty: foldwright in the user's cache folder. If it can't be
	// written, every start is as slow as the first.
	CacheDir string
}

// engineSize is what is needed besides, once per renderer: the machine code and
// the module. A process that has started a renderer holds 50 MB in all.
const engineSize = 100 << 20

// cacheFolder is the part of CacheDir that belongs to this package.
const cacheFolder = "pdf-engine"

// Renderer is a pool of workers that draw pages. Close it when done.
type Renderer struct {
	options Options
	engines *engines
	seats   chan struct{} // one for each worker in use
	large   chan struct{} // holds something while a worker may have all of its memory
	over    chan struct{} // closed by Close

	mu     sync.Mutex // guards what follows and the making of workers
	idle   []*worker  // the one used last at the end
	closed bool
}

// Start starts a renderer. The first start on a machine takes seconds, later
// ones tenths of a second. If ctx is cancelled meanwhile, its error is returned at once.
func Start(ctx context.Context, o Options) (*Renderer, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	o = o.withDefaults()
	type result struct {
		renderer *Renderer
		err      error
	}
	done := make(chan result, 1)
	go func() {
		r, err := start(o)
		done <- result{r, err}
	}()
	select {
	case res := <-done:
		return res.renderer, res.err
	case <-ctx.Done():
		go func() {
			if res := <-done; res.renderer != nil {
				res.renderer.Close()
			}
		}()
		return nil, ctx.Err()
	}
}

func (o Options) withDefaults() Options {
	if o.Workers <= 0 {
		o.Workers = min(runtime.GOMAXPROCS(0), 8)
	}
	if o.WorkerMemory <= 0 {
		o.WorkerMemory = 512 << 20
	}
	if o.MaxPixels <= 0 {
		o.MaxPixels = 40_000_000
	}
	if o.CacheDir == "" {
		if dir, err := os.UserCacheDir(); err == nil {
			o.CacheDir = filepath.Join(dir, "foldwright")
		}
	}
	return o
}

// start tries with the cache, with a new cache in place of a spoilt one, and
// without.
func start(o Options) (*Renderer, error) {
	if dir := o.cacheDir(); dir != "" {
		for range 2 {
			if cache, err := wazero.NewCompilationCacheWithDir(dir); err == nil {
				r, err := startWith(o, cache)
				if err == nil {
					return r, nil
				}
				cache.Close(context.Background())
			}
			os.RemoveAll(dir)
		}
	}
	return startWith(o, nil)
}

// cacheDir is the folder for the translated engine, or nothing if it can't be written.
func (o Options) cacheDir() string {
	if o.CacheDir == "" {
		return ""
	}
	dir := filepath.Join(o.CacheDir, cacheFolder)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return ""
	}
	probe, err := os.CreateTemp(dir, "probe")
	if err != nil {
		return ""
	}
	probe.Close()
	os.Remove(probe.Name())
	return dir
}

func startWith(o Options, cache wazero.CompilationCache) (*Renderer, error) {
	engines, err := newEngines(o, cache)
	if err != nil {
		return nil, err
	}
	r := &Renderer{
		options: o, engines: engines, seats: make(chan struct{}, o.Workers),
		large: make(chan struct{}, 1), over: make(chan struct{}),
	}
	for range o.Workers {
		r.idle = append(r.idle, &worker{})
	}
	return r, nil
}

// Bound is the most memory in bytes that the renderer takes, pictures handed out left aside.
func (r *Renderer) Bound() int64 {
	return int64(r.options.Workers-1)*r.options.smallMemory() + r.options.WorkerMemory + engineSize
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
	r.mu.Unlock()
	for range r.options.Workers {
		r.seats <- struct{}{}
	}
	for _, w := range r.idle {
		w.end()
	}
	return r.engines.close()
}

// borrow waits for a free worker, if possible one that has the document open.
// No two may have all of their memory at once.
func (r *Renderer) borrow(ctx context.Context, d *Document, share share) (_ *worker, err error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if share == wholeShare {
		select {
		case r.large <- struct{}{}:
		case <-r.over:
			return nil, ErrClosed
		case <-ctx.Done():
			return nil, ctx.Err()
		}
		defer func() {
			if err != nil {
				<-r.large
			}
		}()
	}
	select {
	case r.seats <- struct{}{}:
	case <-r.over:
		return nil, ErrClosed
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.closed {
		<-r.seats
		return nil, ErrClosed
	}
	at := len(r.idle) - 1
	for i, w := range r.idle {
		if w.open[d] != nil {
			at = i
		}
	}
	w := r.idle[at]
	r.idle = slices.Delete(r.idle, at, at+1)
	if w.engine == nil {
		if err := r.revive(w); err != nil {
			r.idle = append(r.idle, w)
			<-r.seats
			return nil, err
		}
	}
	w.memory.limit.Store(uint64(r.memoryOf(share)))
	return w, nil
}

func (r *Renderer) memoryOf(s share) int64 {
	if s == wholeShare {
		return r.options.WorkerMemory
	}
	return r.options.smallMemory()
}

// revive gives the worker a new engine.
func (r *Renderer) revive(w *worker) error {
	made, err := r.engines.make()
	if err != nil {
		return err
	}
	*w = made
	return nil
}

// giveBack returns a worker after a call. One that has had more than the
// small part of its memory is ended, so that another may.
func (r *Renderer) giveBack(w *worker, share share) {
	w.closeUnused()
	if w.memory != nil && w.memory.size.Load() > uint64(r.options.smallMemory()) {
		w.end()
	}
	r.mu.Lock()
	r.idle = append(r.idle, w)
	r.mu.Unlock()
	<-r.seats
	if share == wholeShare {
		<-r.large
	}
}
