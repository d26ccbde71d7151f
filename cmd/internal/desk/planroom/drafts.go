package planroom

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder/refusal"
)

// drafts keeps the sources of the books that were looked at last open, and what was planned of them. A source
// keeps the small pictures of its pages, so that other choices for the same book are planned without
// drawing them again.
type drafts struct {
	desk *page.Desk

	mutex sync.Mutex
	open  []*opened // the one that was used last at the end
}

const (
	mostOpen  = 2 // sources
	mostPlans = 6 // of a source
)

// opened is a source that is open, or is being opened.
type opened struct {
	book   string
	ready  chan struct{} // closed when the source is open, or err says why not
	source *survey.Source
	err    error
	closed chan struct{}

	// Guarded by the mutex of the drafts.
	users int  // those who have it in hand
	gone  bool // it is closed when the last of them lets it go
	plans []*planning
}

// planning is a plan of a source that is being made: first a sketch, then the plan with its slow warnings.
type planning struct {
	*page.Task
	request  options.Request
	sketched chan struct{} // closed when there is a sketch
	sketch   *plan.Draft
	whole    *plan.Draft // once it is done, if it did not end with an error
}

// state is the plan as far as it is made, nil if there is nothing yet; finished tells whether no more comes.
func (p *planning) state() (d *plan.Draft, finished bool, err error) {
	if p.IsDone() {
		switch {
		case p.Err() == nil:
			return p.whole, true, nil
		case errors.Is(p.Err(), context.Canceled): // and whoever asks again gets another
			return p.sketch, false, nil
		}
		return p.sketch, true, p.Err()
	}
	select {
	case <-p.sketched:
		return p.sketch, false, nil
	default:
	}
	return nil, false, nil
}

// wait waits for the whole plan, at most so long.
func (p *planning) wait(ctx context.Context, most time.Duration) {
	select {
	case <-p.Done():
	case <-time.After(most):
	case <-ctx.Done():
	}
}

// Draft is the current plan of a book, perhaps without the warnings that need drawing. It can be used until release is called.
func (s *drafts) Draft(ctx context.Context, b library.Book) (d *plan.Draft, release func(), err error) {
	p, release, err := s.begin(ctx, b)
	if err != nil {
		return nil, nil, err
	}
	select {
	case <-p.sketched:
	case <-p.Done(): // perhaps without a sketch
	case <-ctx.Done():
		release()
		return nil, nil, ctx.Err()
	}
	if d, _, err = p.state(); d == nil {
		release()
		return nil, nil, cmp.Or(err, errSuperseded)
	}
	return d, release, nil
}

var errSuperseded error = refusal.Partly.New("the choices were changed meanwhile").Advise("load the page again")

// begin begins to plan a book by its choices, unless it has been planned so. Plans of the book by
// other choices that are not finished are given up.
func (s *drafts) begin(ctx context.Context, b library.Book) (*planning, func(), error) {
	r, err := b.Resolve(s.desk.Setting())
	if err != nil {
		return nil, nil, err
	}
	o, release, err := s.hold(ctx, b)
	if err != nil {
		return nil, nil, err
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for _, p := range o.plans {
		if p.request == r.Request {
			return p, release, nil
		}
	}
	o.plans = slices.DeleteFunc(o.plans, func(p *planning) bool {
		if _, finished, _ := p.state(); finished {
			return false
		}
		p.Cancel()
		return true
	})
	p := &planning{request: r.Request, sketched: make(chan struct{})}
	if o.plans = append(o.plans, p); len(o.plans) > mostPlans {
		o.plans = slices.Delete(o.plans, 0, 1)
	}
	o.users++
	p.Task = s.desk.Start(func(ctx context.Context) (err error) {
		defer s.release(o)
		if p.sketch, err = plan.Sketch(ctx, r, o.source); err != nil {
			return err
		}
		close(p.sketched)
		p.whole, err = p.sketch.Complete(ctx)
		return err
	})
	return p, release, nil
}

// hold is the open source of a book. The errors are those of [survey.Open].
func (s *drafts) hold(ctx context.Context, b library.Book) (*opened, func(), error) {
	s.mutex.Lock()
	i := slices.IndexFunc(s.open, func(o *opened) bool { return o.book == b.ID })
	var o *opened
	if i >= 0 {
		o = s.open[i]
		s.open = append(slices.Delete(s.open, i, i+1), o)
	} else {
		o = &opened{book: b.ID, ready: make(chan struct{}), closed: make(chan struct{}), users: 1}
		s.open = append(s.open, o)
		if len(s.open) > mostOpen {
			s.letGo(0)
		}
		go s.read(o, b)
	}
	o.users++
	s.mutex.Unlock()
	release := sync.OnceFunc(func() { s.release(o) })
	select {
	case <-o.ready:
	case <-ctx.Done():
		release()
		return nil, nil, ctx.Err()
	}
	if o.err != nil {
		release()
		return nil, nil, o.err
	}
	return o, release, nil
}

// read opens a source. One that cannot be opened is forgotten: the next one who asks may bring a password.
func (s *drafts) read(o *opened, b library.Book) {
	defer s.release(o)
	o.source, o.err = s.desk.OpenSource(s.desk.Context, b)
	if o.err != nil {
		s.mutex.Lock()
		if i := slices.Index(s.open, o); i >= 0 {
			s.letGo(i)
		}
		s.mutex.Unlock()
	}
	close(o.ready)
}

// letGo takes a source out of those that are kept open. The mutex has to be held.
func (s *drafts) letGo(i int) {
	o := s.open[i]
	s.open = slices.Delete(s.open, i, i+1)
	o.gone = true
	for _, p := range o.plans {
		p.Cancel()
	}
	s.closeIfFree(o)
}

func (s *drafts) release(o *opened) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	o.users--
	s.closeIfFree(o)
}

// closeIfFree closes a source that is gone and that nobody has in hand.
func (s *drafts) closeIfFree(o *opened) {
	if !o.gone || o.users > 0 {
		return
	}
	if o.source != nil {
		_ = o.source.Close() // it was only read
	}
	close(o.closed)
}

// forget closes the source of a book, and waits until it is closed: some systems remove no open file.
func (s *drafts) forget(ctx context.Context, id string) {
	s.mutex.Lock()
	i := slices.IndexFunc(s.open, func(o *opened) bool { return o.book == id })
	if i < 0 {
		s.mutex.Unlock()
		return
	}
	o := s.open[i]
	s.letGo(i)
	s.mutex.Unlock()
	select {
	case <-o.closed:
	case <-ctx.Done():
	}
}
