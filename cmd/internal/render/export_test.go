package render

import (
	"context"
	"os"
	"slices"
	"time"
)

// WaitForEnds waits until the renderer has noticed that the processes that draw nothing have ended.
func WaitForEnds(r *Renderer) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, w := range r.idle {
		if w != nil {
			<-w.ended
		}
	}
}

// DrawWithoutInput lets a process of its own draw a page, and closes its input meanwhile.
func DrawWithoutInput(ctx context.Context, d *Document, page int, meanwhile time.Duration) error {
	r := Start(Options{})
	defer r.Close()
	w, err := r.start(ctx, r.options, nil)
	if err != nil {
		return err
	}
	defer w.end()
	time.AfterFunc(meanwhile, func() { w.files[0].Close() })
	_, err = w.answer(ctx, d, wish{request{Want: drawGray, Page: page, DPI: 72}, r.options.WorkerMemory, nil})
	return err
}

// Running counts the idle workers that have been started.
func Running(r *Renderer) (n int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, w := range r.idle {
		if w != nil {
			n++
		}
	}
	return n
}

// StartHeld starts a renderer for which a person waits, whose translation is held back until release is
// closed. What is returned besides ends the worker that draws meanwhile, as a translation that grows does.
func StartHeld(o Options, release <-chan struct{}) (r *Renderer, grow func()) {
	o.Waited = true
	r = Start(o)
	kept := r.options.CacheDir
	r.options.CacheDir = os.DevNull // nothing was ever kept there
	e := r.beginEarly(func(ctx context.Context, o Options, grown func()) (*worker, error) {
		select {
		case <-release:
		case <-ctx.Done():
		}
		o.CacheDir = kept
		return r.start(ctx, o, grown)
	})
	return r, e.end
}

// IsEarly tells whether the idle worker interprets its engine.
func IsEarly(r *Renderer) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	return slices.ContainsFunc(r.idle, func(w *worker) bool { return w != nil && w.early })
}
