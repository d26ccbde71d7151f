package render

import (
	"context"
	"time"
)

// DrawWithoutInput lets a process of its own draw a page, and closes its input meanwhile.
func DrawWithoutInput(ctx context.Context, d *Document, page int, meanwhile time.Duration) error {
	p := newProcesses(Options{PageTime: time.Hour}.withDefaults())
	defer p.close()
	w, err := p.start(ctx)
	if err != nil {
		return err
	}
	defer w.end()
	o := w.(*outside)
	time.AfterFunc(meanwhile, func() { o.files[0].Close() })
	_, err = o.answer(ctx, d, wish{request{Want: drawGray, Page: page, DPI: 72}, p.options.WorkerMemory, nil})
	return err
}
