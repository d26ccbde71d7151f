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
	"foldwright/cmd/internal/publish"
)

// working is the part of a run in which processes are started: some
// goroutines take titles from one queue.
type working struct {
	*run
	ctx context.Context

	mu      sync.Mutex // of what follows, and of what is told
	moved   *sync.Cond // when a title comes into the queue or leaves work
	entries []Entry
	queue   []task // the largest first, so that none of them is left for the end
	paused  int    // titles that come back into the queue by and by
	running []*effort
	free    Size
	pace    Pace
	began   time.Time
	written time.Time     // when the report was last written
	writing time.Duration // how long that took
}

// effort is a title in work.
type effort struct {
	task
	Work
	memory Size // that it may take
	cores  int  // likewise
}

// workAll tries titles, as many at once as cores and memory allow.
func (r *run) workAll(ctx context.Context, todo []task, entries []Entry) {
	w := &working{run: r, ctx: ctx, entries: entries, queue: todo, free: r.limits.all, began: time.Now(), written: time.Now()}
	w.moved = sync.NewCond(&w.mu)
	slices.SortStableFunc(w.queue, func(a, b task) int { return cmp.Compare(b.bytes, a.bytes) })
	w.pace.Titles = len(todo)
	for _, t := range todo {
		w.pace.AllBytes += t.bytes
	}
	w.tell(Begin, nil)
	stop := context.AfterFunc(ctx, func() {
		w.mu.Lock()
		defer w.mu.Unlock()
		w.moved.Broadcast()
	})
	defer stop()
	var workers sync.WaitGroup
	for range min(r.limits.atOnce, len(todo)) {
		workers.Go(w.takeTitles)
	}
	workers.Wait()
}

// takeTitles makes one title after the other until none is left.
func (w *working) takeTitles() {
	// On Linux the system ends a process when the thread that started it ends.
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	for j := w.next(); j != nil; j = w.next() {
		w.conclude(j, w.try(j))
	}
}

// next waits for a title that there is memory for: of those that fit, the
// first. It is nil when none is left, or the run is interrupted.
func (w *working) next() *effort {
	w.mu.Lock()
	defer w.mu.Unlock()
	for w.ctx.Err() == nil && len(w.queue)+len(w.running)+w.paused > 0 {
		if i := slices.IndexFunc(w.queue, w.fits); i >= 0 {
			t := w.queue[i]
			w.queue = slices.Delete(w.queue, i, i+1)
			return w.begin(t)
		}
		w.moved.Wait()
	}
	return nil
}

func (w *working) fits(t task) bool {
	return w.limits.of(t) <= w.free && (!t.alone || len(w.running) == 0)
}

func (w *working) begin(t task) *effort {
	// At the end of the queue the cores that are left go to the titles in work.
	left := min(w.limits.cores, len(w.running)+1+len(w.queue))
	j := &effort{task: t, Work: Work{Title: t.Title, Began: time.Now()}, memory: w.limits.of(t), cores: w.limits.cores / left}
	w.free -= j.memory
	w.running = append(w.running, j)
	w.tell(Started, nil)
	return j
}

// try makes one title, unless another run has done so in the meantime.
func (w *working) try(j *effort) Entry {
	// The other run has made it, or has found out why it cannot be made.
	if since := changeTime(filepath.Join(j.Place, plan.File)); !w.o.Force && (j.pause > 0 || since.After(w.run.began)) {
		if v := w.judge(j.task.Title); v.entry != nil {
			return *v.entry
		}
	}
	before := sightSource(j.Source)
	last, f := w.makeInProcess(j, func(m message) { w.hear(j, m) })
	e := w.entry(j.task.Title, Done, j.bytes)
	e.Tried, e.Seconds, e.Again = true, seconds(time.Since(j.Began)), j.again
	if f == nil {
		made, err := plan.ReadBrief(j.Place)
		if err == nil {
			e.take(made)
			e.Kept = last.Kept
			return e
		}
		f = new(w.o.Describe(err))
		f.Passing = true
	}
	if !f.busy {
		// A process that was ended may have left something; if it cannot be
		// taken away now, the next run does so.
		_ = publish.Recover(j.Place, plan.Files)
	}
	if !f.Passing && !f.busy {
		w.mark(j.task.Title, before, f)
	}
	if f.Status == statusInterrupted {
		return w.waitingEntry(j.task.Title)
	}
	e.State, e.Failure = Failed, f
	return e
}

// hear takes in how far a title has come.
func (w *working) hear(j *effort, m message) {
	w.mu.Lock()
	defer w.mu.Unlock()
	j.Sides, j.Pages, j.Done = j.Sides+m.Sides, j.Pages+m.Pages, j.Done+m.Step
	w.tell(Step, nil)
}

// conclude takes in what has become of a title. It may have to be tried again:
// another run was at work on it, or its share of the memory was too small.
func (w *working) conclude(j *effort, e Entry) {
	w.mu.Lock()
	defer w.mu.Unlock()
	defer w.moved.Broadcast()
	w.running = slices.DeleteFunc(w.running, func(other *effort) bool { return other == j })
	w.free += j.memory
	f := e.Failure
	switch {
	case f != nil && f.busy && w.ctx.Err() == nil:
		if j.pause == 0 {
			w.tell(Waits, &e)
		}
		w.putOff(j.task)
		return
	case f != nil && f.Memory > 0 && f.Memory < w.limits.all && w.ctx.Err() == nil:
		// It may go well with all of the memory, when the others are done.
		t := j.task
		t.alone = true
		w.queue = append(w.queue, t)
		return
	}
	w.entries[j.place] = e
	w.pace.Ended++
	w.pace.Bytes += j.bytes
	switch e.State {
	case Done:
		w.pace.Pages += j.Pages
	case Failed:
		w.pace.Failed++
	}
	w.tell(Ended, &e)
	w.keep()
}

// putOff brings a title back to the head of the queue after a while.
func (w *working) putOff(t task) {
	t.pause = min(max(2*t.pause, 200*time.Millisecond), 5*time.Second)
	w.paused++
	time.AfterFunc(t.pause, func() {
		w.mu.Lock()
		defer w.mu.Unlock()
		w.paused--
		w.queue = slices.Insert(w.queue, 0, t)
		w.moved.Broadcast()
	})
}

// keep writes the record now and then, so that a run that is killed does not
// try its failures again. It takes a hundredth of the time.
func (w *working) keep() {
	if since := time.Since(w.written); since < time.Second || since < 100*w.writing {
		return
	}
	began := time.Now()
	// The report is written again at the end, and then it has to be possible.
	_ = w.report(w.entries).writeJSON(w.shelf.Out)
	w.written, w.writing = time.Now(), time.Since(began)
}

func (w *working) tell(k EventKind, e *Entry) {
	p := w.pace
	p.Elapsed = time.Since(w.began)
	var work []Work
	for _, j := range w.running {
		work = append(work, j.Work)
		p.Bytes += j.Share(j.bytes)
		p.Pages += int(j.Share(int64(j.Pages)))
	}
	w.o.Tell(Event{Kind: k, Pace: p, Entry: e, Work: work})
}
