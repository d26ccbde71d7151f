package batch

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"runtime/metrics"
	"sync"
	"time"

	"foldwright/cmd/internal/publish"
)

// Order is what the process of one title is told, as the first thing on its
// standard input. It ends when that is closed.
type Order struct {
	Source   string    `json:"source"`
	Place    string    `json:"place"`
	Password string    `json:"password_file,omitempty"`
	Profiles string    `json:"profiles,omitempty"`
	Settings []Setting `json:"settings"`
	// Memory is the limit that the process sees to by itself, as far as it
	// can; 0 where somebody outside does it better.
	Memory Size `json:"memory,omitzero"`
}

// message is what the process of a title says on its standard output.
type message struct {
	Sides   int      `json:"sides,omitempty"` // there are in all
	Pages   int      `json:"pages,omitempty"` // of the book, with Sides
	Step    int      `json:"step,omitempty"`  // more sides are written
	Failure *Failure `json:"failure,omitempty"`
	Busy    bool     `json:"busy,omitempty"` // with Failure: another run is at work on the title
	Done    bool     `json:"done,omitempty"`
}

// Teller tells the shelf how far a title has come. Its methods may be called
// from several goroutines.
type Teller struct {
	mu   sync.Mutex
	out  *json.Encoder
	held int // sides written and not yet told
	told time.Time
}

// Start says how many sides there are, and how many pages of the book they hold.
func (t *Teller) Start(sides, pages int) {
	_ = t.tell(message{Sides: sides, Pages: pages}) // whoever does not listen has ended
}

// Step says that n more sides are written. Not every step is told at once.
func (t *Teller) Step(n int) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.held += n
	if time.Since(t.told) < 100*time.Millisecond {
		return
	}
	t.told = time.Now()
	_ = t.out.Encode(message{Step: t.held}) // whoever does not listen has ended
	t.held = 0
}

func (t *Teller) tell(m message) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.out.Encode(m)
}

// grace is how long a process may take to clean up after it was told to end.
const grace = 5 * time.Second

// Serve is what the process of a title does: it reads its order, calls make,
// and tells what became of it, a failure in the words of describe. Make's
// context ends with the standard input, and so with the process at its other end.
func Serve(ctx context.Context, in io.Reader, out io.Writer, make func(context.Context, Order, *Teller) error, describe func(error) Failure) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var order Order
	decoder := json.NewDecoder(in)
	if err := decoder.Decode(&order); err != nil {
		return err
	}
	go func() {
		_, _ = io.Copy(io.Discard, in) // ends with the process that gave the order
		cancel()
		time.Sleep(grace)
		os.Exit(statusInterrupted)
	}()
	t := &Teller{out: json.NewEncoder(out)}
	if order.Memory > 0 {
		go watchOwn(order.Memory, t)
	}
	err := make(ctx, order, t)
	if err == nil {
		return t.tell(message{Done: true})
	}
	f := describe(err)
	return t.tell(message{Failure: &f, Busy: errors.Is(err, publish.ErrBusy)})
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
