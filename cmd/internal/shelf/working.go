package shelf

import (
	"cmp"
	"context"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"time"

	"foldwright/cmd/internal/plan"
	"foldwright/profiles/publish"
)

// workAll tries titles, as many at once as cores and memory allow: some goroutines
// take them from one queue.
func (r *run) workAll(ctx context.Context, todo []*task, entries []Entry) {
	r.ctx, r.entries, r.queue, r.free = ctx, entries, todo, r.limits.all
	r.workBegan, r.written = time.Now(), time.Now()
	r.moved = sync.NewCond(&r.mu)
	slices.SortStableFunc(todo, func(a, b *task) int { return cmp.Compare(b.bytes, a.bytes) })
	r.pace.Titles = len(todo)
	for _, t := range todo {
		r.pace.AllBytes += t.bytes
	}
	r.tell(Begin, nil)
	stop := context.AfterFunc(ctx, func() {
		r.mu.Lock()
		defer r.mu.Unlock()
		r.moved.Broadcast()
	})
	defer stop()
	var workers sync.WaitGroup
	for range min(r.limits.atOnce, len(todo)) {
		workers.Go(r.takeTitles)
	}
	workers.Wait()
}

// takeTitles makes one title after the other until none is left.
func (r *run) takeTitles() {
	// On Linux the system ends a process when the thread that started it ends.
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	var idle *process // made the title before
	for t := r.next(idle); t != nil; t = r.next(idle) {
		var e Entry
		e, idle = r.try(t, idle)
		r.conclude(t, e)
	}
	idle.dismiss()
}

// next waits for a title that there is memory for: of those that fit, the
// first. It is nil when none is left, or the run is interrupted. While it waits, no idle process holds memory.
func (r *run) next(idle *process) *task {
	r.mu.Lock()
	defer r.mu.Unlock()
	for r.ctx.Err() == nil && len(r.queue)+len(r.running)+r.paused > 0 {
		if i := slices.IndexFunc(r.queue, r.fits); i >= 0 {
			t := r.queue[i]
			r.queue = slices.Delete(r.queue, i, i+1)
			return r.begin(t)
		}
		idle.dismiss()
		r.moved.Wait()
	}
	return nil
}

func (r *run) fits(t *task) bool {
	return r.limits.of(t) <= r.free && (!t.alone || len(r.running) == 0)
}

func (r *run) begin(t *task) *task {
	t.Work, t.memory = Work{Title: t.Title, Began: time.Now()}, r.limits.of(t)
	r.free -= t.memory
	r.running = append(r.running, t)
	r.tell(Started, nil)
	return t
}

// try makes one title, unless another run has done so in the meantime. The idle process comes back, or another,
// if that can make one more.
func (r *run) try(t *task, idle *process) (Entry, *process) {
	// The other run has made it, or has found out why it cannot be made.
	if since := changeTime(filepath.Join(t.Title.Place, plan.File)); !r.o.Force && (t.met || since.After(r.began)) {
		if v := r.judge(t.Title); v.entry != nil {
			return *v.entry, idle
		}
	}
	before, _ := digest(t.Title.Files()) // what cannot be read has no failure that lasts
	idle, last, f := r.makeInProcess(idle, t, func(m message) { r.hear(t, m) })
	e := r.entry(t.Title, Done, t.bytes)
	e.Tried, e.Seconds, e.Again = true, seconds(time.Since(t.Began)), t.again
	if f == nil {
		made, err := plan.ReadBrief(t.Title.Place)
		if err == nil {
			e.take(made)
			e.Kept = last.Kept
			if last.Warnings != nil {
				e.Warnings = last.Warnings
			}
			return e, idle
		}
		f = new(r.o.Describe(err))
		f.Passing = true
	}
	if !f.busy {
		// A process that was ended may have left something; if it cannot be
		// taken away now, the next run does so.
		_ = publish.Recover(t.Title.Place, plan.Files)
	}
	if !f.Passing && !f.busy {
		r.mark(t.Title, before, f)
	}
	if f.Status == statusInterrupted {
		return r.waitingEntry(t.Title), idle
	}
	e.State, e.Failure = Failed, f
	return e, idle
}

func (r *run) hear(t *task, m message) {
	r.mu.Lock()
	defer r.mu.Unlock()
	t.Sides, t.Pages, t.Done = t.Sides+m.Sides, t.Pages+m.Pages, t.Done+m.Step
	r.tell(Step, nil)
}

// conclude takes in what has become of a title. It may have to be tried again:
// another run was at work on it, or its share of the memory was too small.
func (r *run) conclude(t *task, e Entry) {
	r.mu.Lock()
	defer r.mu.Unlock()
	defer r.moved.Broadcast()
	r.running = slices.DeleteFunc(r.running, func(other *task) bool { return other == t })
	r.free += t.memory
	f := e.Failure
	switch {
	case f != nil && f.busy && r.ctx.Err() == nil:
		if !t.met {
			r.tell(Waits, &e)
		}
		r.putOff(t)
		return
	case f != nil && f.Memory > 0 && f.Memory < r.limits.all && r.ctx.Err() == nil:
		// It may go well with all of the memory, when the others are done.
		t.alone = true
		r.queue = append(r.queue, t)
		return
	}
	r.entries[t.place] = e
	r.pace.Ended++
	r.pace.Bytes += t.bytes
	switch e.State {
	case Done:
		r.pace.Pages += t.Pages
	case Failed:
		r.pace.Failed++
	}
	r.tell(Ended, &e)
	r.keep()
}

// putOff brings a title back to the head of the queue after a while.
func (r *run) putOff(t *task) {
	t.met = true
	r.paused++
	time.AfterFunc(500*time.Millisecond, func() {
		r.mu.Lock()
		defer r.mu.Unlock()
		r.paused--
		r.queue = slices.Insert(r.queue, 0, t)
		r.moved.Broadcast()
	})
}

// keep writes the record now and then, so that a run that is killed does not
// try its failures again. It takes a hundredth of the time.
func (r *run) keep() {
	if since := time.Since(r.written); since < time.Second || since < 100*r.writing {
		return
	}
	began := time.Now()
	// The report is written again at the end, and then it has to be possible.
	_ = r.report(r.entries).writeJSON(r.shelf.Out)
	r.written, r.writing = time.Now(), time.Since(began)
}

func (r *run) tell(k EventKind, e *Entry) {
	p := r.pace
	p.Elapsed = time.Since(r.workBegan)
	var work []Work
	for _, t := range r.running {
		work = append(work, t.Work)
		p.Bytes += t.Share(t.bytes)
		p.Pages += int(t.Share(int64(t.Pages)))
	}
	r.o.Tell(Event{Kind: k, Pace: p, Entry: e, Work: work})
}
