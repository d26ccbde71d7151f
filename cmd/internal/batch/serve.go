package batch

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"sync"
	"time"

	"foldwright/cmd/internal/job"
	"foldwright/cmd/internal/publish"
)

// Order is what the process of one title is told, as the first thing on its
// standard input. It ends when that is closed.
type Order struct {
	Source   string     `json:"source"`
	Place    string     `json:"place"`
	Password string     `json:"password_file,omitempty"`
	Profiles string     `json:"profiles,omitempty"`
	Region   job.Region `json:"region,omitempty"`
	Proof    bool       `json:"proof,omitempty"`
	// PageTime is how long each page that is drawn may take.
	PageTime time.Duration `json:"page_time,omitempty"`
	Settings []Setting     `json:"settings"`
	Memory   Size          `json:"memory"` // that the title may take
	Cores    int           `json:"cores"`  // likewise
	// Watch is set where nobody outside can see to the memory: the process
	// does so by itself, as far as it can.
	Watch bool `json:"watch,omitempty"`
}

// message is what the process of a title says on its standard output.
type message struct {
	Sides   int      `json:"sides,omitempty"` // there are in all
	Pages   int      `json:"pages,omitempty"` // of the book, with Sides
	Step    int      `json:"step,omitempty"`  // more sides are written
	Failure *Failure `json:"failure,omitempty"`
	Kept    []string `json:"kept,omitempty"` // by the folder that was replaced, see publish.Options
	Busy    bool     `json:"busy,omitempty"` // with Failure: another run is at work on the title
	Done    bool     `json:"done,omitempty"`
}

// Teller tells the shelf how far a title has come, a few times a second: a
// short title is told of only once, when it is done. Its methods may be called
// from several goroutines.
type Teller struct {
	mu    sync.Mutex
	out   *json.Encoder
	held  message // not yet told
	timer *time.Timer
}

// tellEvery is how long what happens may wait to be told.
const tellEvery = 100 * time.Millisecond

// Start says how many sides there are, and how many pages of the book they hold.
func (t *Teller) Start(sides, pages int) { t.hold(message{Sides: sides, Pages: pages}) }

// Step says that n more sides are written.
func (t *Teller) Step(n int) { t.hold(message{Step: n}) }

// Kept says what the replaced folder held besides the title's files.
func (t *Teller) Kept(names []string) { t.hold(message{Kept: names}) }

func (t *Teller) hold(m message) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.held.add(m)
	if t.timer == nil {
		t.timer = time.AfterFunc(tellEvery, func() { _ = t.tell(message{}) }) // whoever does not listen has ended
	}
}

// tell tells it now, with all that was held back.
func (t *Teller) tell(m message) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	m.add(t.held)
	t.held, t.timer = message{}, nil
	return t.out.Encode(m)
}

func (m *message) add(more message) {
	m.Kept = append(m.Kept, more.Kept...)
	m.Sides, m.Pages, m.Step = m.Sides+more.Sides, m.Pages+more.Pages, m.Step+more.Step
}

// grace is how long a process may take to clean up after it was told to end.
const grace = 5 * time.Second

// Serve is what the process of a title does: it reads its order, calls make,
// and tells what became of it, a failure in the words of describe. Make's
// context ends with the standard input, and so with the process at its other end.
func Serve(ctx context.Context, in io.Reader, out io.Writer, make func(context.Context, Order, *Teller) error, describe func(error) Failure) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	in = waitable(in)
	var order Order
	decoder := json.NewDecoder(in)
	switch err := decoder.Decode(&order); {
	case errors.Is(err, io.EOF):
		return nil // no title was left
	case err != nil:
		return err
	}
	go func() {
		_, _ = io.Copy(io.Discard, in) // ends with the process that gave the order
		cancel()
		time.Sleep(grace)
		os.Exit(statusInterrupted)
	}()
	t := &Teller{out: json.NewEncoder(out)}
	order.settle()
	if order.Watch {
		go watchOwn(order.Memory, t)
	}
	err := make(ctx, order, t)
	if err == nil {
		return t.tell(message{Done: true})
	}
	f := describe(err)
	return t.tell(message{Failure: &f, Busy: errors.Is(err, publish.ErrBusy)})
}

// Drawers is how many pages the process may draw at once: where that is limited in
// time, each is drawn in a process of its own.
func (o Order) Drawers() int {
	return max(1, min(o.Cores, int((o.Memory-floorPerTitle)/perDrawer)))
}

// settle lets the process take what the order allows and no more.
func (o Order) settle() {
	runtime.GOMAXPROCS(o.Cores)
	// The limit concerns all memory; what Go's collector holds is most of it.
	debug.SetMemoryLimit(int64(o.Memory * 3 / 4))
	// The first 64 MiB, or quarter of the limit, are not collected, for most titles
	// never take as much. Then the collector runs half as often as by default.
	const smallestHeap = 4 * MiB // by default the first collection comes here
	debug.SetGCPercent(int(100 * min(o.Memory/4, 64*MiB) / smallestHeap))
	runtime.AddCleanup(new(*Order), func(percent int) { debug.SetGCPercent(percent) }, 200)
}

// watchOwn ends the process when the Go runtime holds more memory than the
// limit. The renderer's memory is not among it; package render bounds that.
func watchOwn(limit Size, t *Teller) {
	sample := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	for range time.Tick(watchEvery) {
		metrics.Read(sample)
		if Size(sample[0].Value.Uint64()-sample[1].Value.Uint64()) > limit {
			f := outgrown(limit)
			_ = t.tell(message{Failure: &f})
			os.Exit(statusUnexpected)
		}
	}
}
