package render

import (
	"context"
	"io/fs"
	"path/filepath"
	"runtime/metrics"
	"time"
)

// early is the first start of a renderer that a person waits for. Translating the engine takes seconds
// for the first time on a machine. Meanwhile a process draws that interprets it: it is ready after
// half a second, takes some thirty times as long for a page, and draws the same.
//
// It is ended when the translation is done, or comes to the few large functions that double its
// memory: both together would take more than a person's computer may have to spare. The page that
// it draws just then is drawn once more.
type early struct {
	cancel     context.CancelFunc // gives both up
	end        context.CancelFunc // ends the one that interprets
	translated firstStart
	meanwhile  firstStart
}

// firstStart is a process that is being started.
type firstStart struct {
	done   chan struct{} // closed when it can draw, or err says why not
	worker *worker       // nil: it has been taken, or there is none
	err    error
}

// keptStart is how long a process may take to start that finds a translation. What takes longer is translating.
const keptStart = 3 * startsIn

// startEarly is the first worker that is ready: the one that translates, or the one for the time until then.
func (r *Renderer) startEarly(ctx context.Context) (*worker, error) {
	e := r.beginEarly(r.start)
	select {
	case <-e.translated.done:
	case <-e.meanwhile.done:
		if w := r.takeStarted(&e.meanwhile); w != nil && !isClosed(e.translated.done) {
			return w, nil
		} else if w != nil {
			w.end()
		}
	case <-ctx.Done():
	}
	select {
	case <-e.translated.done:
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	if e.translated.err != nil {
		r.mu.Lock()
		r.early = nil // who asks next tries again
		r.mu.Unlock()
		return nil, e.translated.err
	}
	if w := r.takeStarted(&e.translated); w != nil {
		return w, nil
	}
	return r.start(ctx, r.options, nil)
}

func (r *Renderer) takeStarted(s *firstStart) *worker {
	r.mu.Lock()
	defer r.mu.Unlock()
	w := s.worker
	s.worker = nil
	return w
}

func isClosed(c <-chan struct{}) bool {
	select {
	case <-c:
		return true
	default:
		return false
	}
}

// beginEarly begins both starts unless they have been begun; translate is how the first is done.
func (r *Renderer) beginEarly(translate func(context.Context, Options, func()) (*worker, error)) *early {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.early != nil {
		return r.early
	}
	both, cancel := context.WithCancel(context.Background())
	one, end := context.WithCancel(both)
	e := &early{cancel: cancel, end: end}
	e.translated.done, e.meanwhile.done = make(chan struct{}), make(chan struct{})
	wait := keptStart
	if r.options.neverTranslated() {
		wait = 0
	}
	r.early = e
	r.starting.Go(func() {
		defer close(e.translated.done)
		defer end()
		e.translated.worker, e.translated.err = translate(both, r.options, end)
	})
	r.starting.Go(func() {
		defer close(e.meanwhile.done)
		select {
		case <-time.After(wait):
		case <-one.Done():
			return
		}
		o := r.options
		o.Interpreted = true
		e.meanwhile.worker, e.meanwhile.err = r.start(one, o, nil)
		if w := e.meanwhile.worker; w != nil {
			w.early = true
			context.AfterFunc(one, w.kill)
		}
	})
	return e
}

// awaitTranslated waits until pages are drawn fast, if they are to be soon.
func (r *Renderer) awaitTranslated(ctx context.Context) error {
	r.mu.Lock()
	e := r.early
	r.mu.Unlock()
	if e == nil {
		return nil
	}
	return r.wait(ctx, e.translated.done)
}

// endEarly ends what was started and has not been taken.
func (r *Renderer) endEarly() {
	if r.early == nil {
		return
	}
	r.early.cancel()
	r.starting.Wait()
	for _, s := range []*firstStart{&r.early.translated, &r.early.meanwhile} {
		if w := r.takeStarted(s); w != nil {
			w.end()
		}
	}
}

// neverTranslated tells whether no translation is kept, not even of another version of the engine.
func (o Options) neverTranslated() bool {
	kept := false
	_ = filepath.WalkDir(filepath.Join(o.CacheDir, cacheFolder), func(_ string, e fs.DirEntry, err error) error {
		kept = kept || err == nil && e.Type().IsRegular()
		return nil
	})
	return !kept
}

// mostAtFirst is the memory in bytes of a process that translates, until it comes to the largest functions.
const mostAtFirst = 128 << 20

// watchMemory calls grown when this process has more memory than for most of a translation, unless
// stop is closed before.
func watchMemory(stop <-chan struct{}, grown func()) {
	sample := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	for {
		metrics.Read(sample)
		if sample[0].Value.Uint64()-sample[1].Value.Uint64() > mostAtFirst {
			grown()
			return
		}
		select {
		case <-stop:
			return
		case <-time.After(10 * time.Millisecond):
		}
	}
}
