package shelf

import (
	"context"
	"path/filepath"
	"runtime"
	"sync"
	"time"

	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/options"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Options is how a shelf is worked off.
type Options struct {
	Setting options.Setting // as for one title
	Share   Share
	// Program is how the process of one title is started: a program and its
	// arguments, which has to call [Serve].
	Program []string
	// Describe puts an error into the words of the command line.
	Describe func(error) Failure
	Memory   Size          // for all titles together and this process; 0: half of what the system has
	Timeout  time.Duration // for each title; 0: any
	PageTime time.Duration // for each page that is drawn; 0: any
	Only     []string      // names of titles; empty: all

	Force  bool // titles are made again, whatever lies there
	Again  bool // so are those that failed
	Verify bool // the bytes of what lies there are read, not only its sizes
	// RecordOnly leaves the report's page away: whoever runs the shelf shows the report.
	RecordOnly bool

	Tell func(Event)
}

type run struct {
	o        Options
	shelf    Shelf
	limits   limits
	records  map[string]*Entry // of an earlier report, by name
	selected map[string]bool   // nil: all
	began    time.Time
	requests sync.Map // by settings: func() (options.Request, error)

	// From workAll on, while processes are started.
	ctx       context.Context
	workBegan time.Time
	mu        sync.Mutex // of what follows, and of what is told
	moved     *sync.Cond // when a title comes into the queue or leaves work
	entries   []Entry
	queue     []*task // the largest first, so that none of them is left for the end
	paused    int     // titles that come back into the queue by and by
	running   []*task
	free      Size
	pace      Pace
	written   time.Time     // when the report was last written
	writing   time.Duration // how long that took
}

// Run works a shelf off and writes its report into the shelf's output folder.
// That a title fails is no error; the report says so. The errors are those of
// the report's files and of an interrupt, after which the report is written too.
func Run(ctx context.Context, shelf Shelf, o Options) (Report, error) {
	r := &run{o: o, shelf: shelf.Of(o.Share), began: time.Now(), records: map[string]*Entry{}}
	if o.Memory == 0 {
		r.o.Memory = systemMemory()
	}
	if r.o.Memory < leastMemory {
		return Report{}, refusal.Use.New("%s is too little: a batch needs at least %s", phrase.Set("memory", r.o.Memory.String()), leastMemory.String())
	}
	// While one title waits for the disk or comes and goes, another has its core.
	r.limits = limits{all: r.o.Memory - ownShare, atOnce: runtime.GOMAXPROCS(0) + 1}
	if err := r.choose(shelf); err != nil {
		return Report{}, err
	}
	r.recall()
	entries := make([]Entry, len(r.shelf.Titles))
	todo, err := r.judgeAll(ctx, entries)
	if err == nil && len(todo) > 0 {
		// Better to find out now than in the morning that nothing can be written.
		if err := r.report(entries).writeJSON(shelf.Out); err != nil {
			return Report{}, err
		}
		r.workAll(ctx, todo, entries)
	}
	report := r.report(entries)
	write := report.Write
	if o.RecordOnly {
		write = report.writeJSON
	}
	if err := write(shelf.Out); err != nil {
		return report, err
	}
	return report, ctx.Err()
}

// choose notes which titles are wanted; one that the whole shelf does not have is refused.
func (r *run) choose(shelf Shelf) error {
	for _, name := range r.o.Only {
		t, ok := shelf.Find(name)
		if !ok {
			return refusal.Plan.New("%s: the shelf has no title of this name, %s", phrase.Set("only", name), shelf.guess(name))
		}
		if r.selected == nil {
			r.selected = map[string]bool{}
		}
		r.selected[t.Name] = true
	}
	return nil
}

func (r *run) wants(t Title) bool { return r.selected == nil || r.selected[t.Name] }

// recall reads what earlier reports say: that of the whole shelf and, over it,
// the share's own. One that cannot be read is as good as none.
func (r *run) recall() {
	for _, s := range []Share{{}, r.o.Share} {
		report, err := readReport(filepath.Join(r.shelf.Out, ReportName(s)+".json"))
		if err != nil {
			continue
		}
		for _, e := range report.Titles {
			r.records[e.Name] = &e
		}
	}
}

// task is a title that has to be tried, and from when it is begun also how far it is.
type task struct {
	Work
	place  int // in the shelf
	bytes  int64
	again  string // why it is made again; empty: nothing lies in its place
	met    bool   // another run was at work on it
	alone  bool   // it has passed its share and gets all of the memory
	memory Size   // that it may take
}

// judgeAll fills in the entries of titles that need not be tried and returns the others.
func (r *run) judgeAll(ctx context.Context, entries []Entry) ([]*task, error) {
	titles := r.shelf.Titles
	verdicts := make([]verdict, len(titles))
	var mu sync.Mutex // of what is told
	pace := Pace{Titles: len(titles)}
	group, alive := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for i, t := range titles {
		group.Go(func() error {
			if r.wants(t) && alive.Err() == nil {
				verdicts[i] = r.judge(t)
			}
			mu.Lock()
			defer mu.Unlock()
			pace.Ended++
			pace.Elapsed = time.Since(r.began)
			r.o.Tell(Event{Kind: Judging, Pace: pace})
			return alive.Err()
		})
	}
	err := group.Wait()
	var todo []*task
	for i, t := range titles {
		switch v := verdicts[i]; {
		case v.entry != nil:
			entries[i] = *v.entry
			r.o.Tell(Event{Kind: Ended, Pace: pace, Entry: v.entry})
		case err == nil && r.wants(t):
			entries[i] = r.waitingEntry(t)
			todo = append(todo, &task{Work: Work{Title: t}, place: i, bytes: v.bytes, again: v.again})
		default:
			entries[i] = r.waitingEntry(t)
		}
	}
	return todo, err
}

// waitingEntry is the entry of a title that this run has not reached or does not
// want: what an earlier report says of it, else that it waits.
func (r *run) waitingEntry(t Title) Entry {
	if e := r.records[cleanForJSON(t.Name)]; e != nil && (e.State == Failed || !r.wants(t)) {
		old := *e
		old.Tried, old.aside = false, !r.wants(t)
		if old.State == Done {
			old.State = Complete
		}
		return old
	}
	e := r.entry(t, Waiting, 0)
	e.aside = !r.wants(t)
	return e
}

func (r *run) report(entries []Entry) Report {
	report := Report{
		Kind: reportKind, Format: reportFormat, ProgramVersion: r.o.Setting.Version,
		Shelf: r.shelf.Name, Share: r.o.Share,
		Began: r.began.UTC().Truncate(time.Second), Seconds: seconds(time.Since(r.began)), Titles: entries,
	}
	report.sum()
	return report
}

func seconds(d time.Duration) float64 { return d.Round(time.Millisecond).Seconds() }
