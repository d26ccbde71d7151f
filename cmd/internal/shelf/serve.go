package shelf

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"runtime"
	"runtime/debug"
	"sync"
	"time"

	"foldwright/cmd/internal/options"
	"foldwright/profiles/publish"
)

// Order is what the process of one title is told, as the first thing on its
// standard input. It ends when that is closed.
type Order struct {
	Title
	Profiles string         `json:"profiles,omitempty"`
	Region   options.Region `json:"region,omitempty"`
	// PageTime is how long each page that is drawn may take.
	PageTime time.Duration `json:"page_time,omitempty"`
	Memory   Size          `json:"memory"` // that the title may take
}

// message is what the process of a title says on its standard output.
type message struct {
	Sides   int      `json:"sides,omitempty"` // there are in all
	Pages   int      `json:"pages,omitempty"` // of the book, with Sides
	Step    int      `json:"step,omitempty"`  // more sides are written
	Failure *Failure `json:"failure,omitempty"`
	Kept    []string `json:"kept,omitempty"` // with Done: by the folder that was replaced, see publish.Options
	// Warnings, with Done, are those of the plan in the words of whoever started the shelf; none: the plan's own.
	Warnings []string `json:"warnings,omitempty"`
	Busy     bool     `json:"busy,omitempty"` // with Failure: another run is at work on the title
	Done     bool     `json:"done,omitempty"`
}

// Teller tells the shelf how far a title has come. Its methods may be called
// from several goroutines.
type Teller struct {
	mu             sync.Mutex
	out            *json.Encoder
	kept, warnings []string // told at the end
}

// Start says how many sides there are, and how many pages of the book they hold.
func (t *Teller) Start(sides, pages int) { _ = t.tell(message{Sides: sides, Pages: pages}) }

// Step says that n more sides are written.
func (t *Teller) Step(n int) { _ = t.tell(message{Step: n}) }

// TellKept says what the replaced folder held besides the title's files.
func (t *Teller) TellKept(names []string) { t.kept = names }

// Warn says what the plan warns of, in other words than those of plan.json.
func (t *Teller) Warn(warnings []string) { t.warnings = warnings }

// tell sends a message. Its error concerns the last one only: whoever does not
// listen on the way has ended, and so does this process.
func (t *Teller) tell(m message) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.out.Encode(m)
}

// grace is how long a process may take to clean up after it was told to end.
const grace = 5 * time.Second

// Serve is what the process of a title does: it reads its order, calls make,
// and tells what became of it, a failure in the words of describe. When a title is made it waits for the
// order of another. Make's context ends with the standard input, and so with the process at its other end.
func Serve(ctx context.Context, in io.Reader, out io.Writer, make func(context.Context, Order, *Teller) error, describe func(error) Failure) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	orders := receive(in, func() {
		cancel()
		time.Sleep(grace)
		os.Exit(statusInterrupted)
	})
	said := json.NewEncoder(out)
	for {
		var o received
		select {
		case o = <-orders:
		case <-ctx.Done():
			return nil // no title is left
		}
		if o.err != nil {
			return o.err
		}
		t := &Teller{out: said}
		if err := t.serve(ctx, o.Order, make); err != nil {
			f := describe(err)
			return t.tell(message{Failure: &f, Busy: errors.Is(err, publish.ErrBusy)})
		}
		if err := t.tell(message{Done: true, Kept: t.kept, Warnings: t.warnings}); err != nil {
			return err
		}
	}
}

// received is an order, or that it could not be read.
type received struct {
	Order
	err error
}

// receive reads orders; at their end it calls ended.
func receive(in io.Reader, ended func()) <-chan received {
	orders := make(chan received)
	go func() {
		decoder := json.NewDecoder(in)
		for {
			var o received
			if o.err = decoder.Decode(&o.Order); o.err == io.EOF {
				ended()
				return
			}
			orders <- o
			if o.err != nil {
				return
			}
		}
	}()
	return orders
}

// serve lets a title be made with the memory that its order allows.
func (t *Teller) serve(ctx context.Context, o Order, make func(context.Context, Order, *Teller) error) error {
	ctx, done := context.WithCancel(ctx)
	defer done()
	// The limit concerns all memory; what Go's collector holds is most of it.
	debug.SetMemoryLimit(int64(o.Memory) * 3 / 4)
	if !canWatch {
		go watchOwn(ctx, o.Memory, t)
	}
	return make(ctx, o, t)
}

// Drawers is how many pages the process may draw at once: where that is limited in
// time, each is drawn in a process of its own.
func (o Order) Drawers() int {
	return max(1, min(runtime.GOMAXPROCS(0), int((o.Memory-floorPerTitle)/perDrawer)))
}
