package shelf

import (
	"cmp"
	"context"
	"path/filepath"
	"slices"
	"time"

	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/publish"
)

// working is the part of a run in which processes are started. One goroutine
// owns it; others send it what happens.
type working struct {
	*run
	ctx     context.Context
	entries []Entry
	queue   []task // the largest first, so that none of them is left for the end
	later   []wait // another run was at work on them
	running []*effort
	standby *standby
	news    chan news
	free    Size
	pace    Pace
	began   time.Time
	written time.Time     // when the report was last written
	writing time.Duration // how long that took
}

// wait is a title that is left for a while.
type wait struct {
	task
	until time.Time
}

// effort is a title in work.
type effort struct {
	task
	Work
	allow allowance
	more  bool // titles are left to be started after this one
	done  bool // it is made, and its process about to end
}

// news is what a title in work sends.
type news struct {
	of      *effort
	message message
	ended   bool
	entry   Entry
	busy    bool
}

// workAll tries titles, as many at once as cores and memory allow.
func (r *run) workAll(ctx context.Context, todo []task, entries []Entry) {
	w := &working{
		run: r, ctx: ctx, entries: entries, queue: todo, news: make(chan news),
		free: r.limits.all, began: time.Now(), written: time.Now(),
	}
	slices.SortStableFunc(w.queue, func(a, b task) int { return cmp.Compare(b.bytes, a.bytes) })
	w.pace.Titles = len(todo)
	for _, t := range todo {
		w.pace.AllBytes += t.bytes
	}
	w.tell(Begin, nil)
	w.standby = newStandby(r.o.Program)
	defer w.standby.end()
	for {
		w.admit()
		if len(w.running) == 0 && (ctx.Err() != nil || len(w.queue)+len(w.later) == 0) {
			return
		}
		// A title that waits for another run is asked for again by and by.
		var again <-chan time.Time
		if len(w.later) > 0 {
			again = time.After(100 * time.Millisecond)
		}
		done := ctx.Done()
		if ctx.Err() != nil {
			done = nil // only the ends are waited for now
		}
		select {
		case n := <-w.news:
			w.hear(n)
		case <-again:
		case <-done:
		}
	}
}

// admit starts what cores and memory have room for: of the titles that
// fit, the first.
func (w *working) admit() {
	for i := len(w.later) - 1; i >= 0; i-- {
		if l := w.later[i]; time.Now().After(l.until) {
			w.later = slices.Delete(w.later, i, i+1)
			w.queue = slices.Insert(w.queue, 0, l.task)
		}
	}
	for w.ctx.Err() == nil && w.busy() < w.limits.cores {
		i := slices.IndexFunc(w.queue, w.fits)
		if i < 0 {
			return
		}
		t := w.queue[i]
		w.queue = slices.Delete(w.queue, i, i+1)
		w.start(t)
	}
}

func (w *working) fits(t task) bool {
	return w.limits.of(t) <= w.free && (!t.alone || len(w.running) == 0)
}

// busy is how many titles take a core.
func (w *working) busy() int {
	n := 0
	for _, j := range w.running {
		if !j.done {
			n++
		}
	}
	return n
}

func (w *working) start(t task) {
	// At the end of the queue the cores that are left go to the titles in work.
	at := min(w.limits.cores, w.busy()+1+len(w.queue))
	j := &effort{task: t, Work: Work{Title: t.Title, Began: time.Now()},
		allow: allowance{memory: w.limits.of(t), cores: max(1, w.limits.cores/at), time: w.o.Timeout}, more: len(w.queue) > 0}
	w.free -= j.allow.memory
	w.running = append(w.running, j)
	w.tell(Started, nil)
	go func() { w.news <- w.try(j) }()
}

// try makes one title, unless another run has done so in the meantime.
func (w *working) try(j *effort) news {
	// The other run has made it, or has found out why it cannot be made.
	if since := changeTime(filepath.Join(j.Place, plan.File)); !w.o.Force && (j.pause > 0 || since.After(w.run.began)) {
		if v := w.judge(j.task.Title); v.entry != nil {
			return news{of: j, ended: true, entry: *v.entry}
		}
	}
	before := sightSource(j.Source)
	last, f := w.work(j, func(m message) { w.news <- news{of: j, message: m} })
	e := w.entry(j.task.Title, Done, j.bytes)
	e.Tried, e.Seconds, e.Again = true, seconds(time.Since(j.Began)), j.again
	if f == nil {
		made, err := plan.ReadMade(j.Place)
		if err == nil {
			e.take(made)
			e.Kept = last.Kept
			return news{of: j, message: last, ended: true, entry: e}
		}
		f = new(w.o.Describe(err))
		f.Passing = true
	}
	if !f.busy {
		// A process that was ended may have left something; if it cannot be
		// taken away now, the next run does so.
		_, _ = publish.Recover(j.Place, plan.Files)
	}
	if !f.Passing && !f.busy {
		w.mark(j.task.Title, before, f)
	}
	e.State, e.Failure = Failed, f
	if f.Status == statusInterrupted {
		e = w.waitingEntry(j.task.Title)
	}
	return news{of: j, ended: true, entry: e, busy: f.busy}
}

// hear takes in what a title in work sends.
func (w *working) hear(n news) {
	j := n.of
	j.Sides, j.Pages, j.Done = j.Sides+n.message.Sides, j.Pages+n.message.Pages, j.Done+n.message.Step
	if n.message.Done && !j.done {
		// The next title needn't wait until the system has taken away the process of
		// this one. What it held goes faster than the next can take it.
		j.done = true
		w.free += j.allow.memory
	}
	if !n.ended {
		w.tell(Step, nil)
		return
	}
	w.running = slices.DeleteFunc(w.running, func(other *effort) bool { return other == j })
	if !j.done {
		w.free += j.allow.memory
	}
	if n.busy && w.ctx.Err() == nil {
		if j.pause == 0 {
			w.tell(Waits, &n.entry)
		}
		t := j.task
		t.pause = min(max(2*t.pause, 200*time.Millisecond), 5*time.Second)
		w.later = append(w.later, wait{t, time.Now().Add(t.pause)})
		return
	}
	if f := n.entry.Failure; f != nil && f.Memory > 0 && f.Memory < w.limits.all && w.ctx.Err() == nil {
		// What its share was too small for may go well with all of the memory,
		// when the others are done.
		t := j.task
		t.alone = true
		w.queue = append(w.queue, t)
		return
	}
	w.entries[j.place] = n.entry
	w.pace.Ended++
	w.pace.Bytes += j.bytes
	if n.entry.State == Done {
		w.pace.Pages += j.Pages
	}
	if n.entry.State == Failed {
		w.pace.Failed++
	}
	w.tell(Ended, &n.entry)
	w.keep()
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
