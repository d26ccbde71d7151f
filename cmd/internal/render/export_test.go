package render

import (
	"context"
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
	w, err := r.start(ctx)
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
