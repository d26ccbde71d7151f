package cos

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
)

// ErrTooMuch is that of a file which was given up on: reading it takes far more work than
// a sound file of its size asks for.
var ErrTooMuch = errors.New("takes far too much work to read for its size: it is damaged, or made to do harm")

// budget is how much work a file is worth, whatever asks for it: streams that are unpacked,
// objects that are read, references that are followed. A small file can ask for more of any of them
// than there is memory or time, by packing, by branching or by leading to the same place again and
// again. Its unit is a byte that comes out of a filter.
type budget struct {
	ctx  context.Context
	once int64 // what the file is worth for one reading
	left atomic.Int64
	over atomic.Bool

	large sync.Mutex // held by whoever unpacks what is large: two at a time would take too much memory
}

// What things cost is roughly their time, and for members, the values in arrays and dictionaries, their memory. What a file
// may cost was found by trying: of 700 files none took a tenth of it for the reading of its pages.
const (
	worthAtLeast  = 512 << 20
	worthPerByte  = 64
	costPerGet    = 128
	costPerMember = 32 // when it is read
	costPerByte   = 4  // that is read as objects
	seenPerCost   = 4  // members of an object that was read before
	scannedFor    = 8  // bytes that are searched for a word
)

// maxMembers is how many values one object may have.
const maxMembers = 1 << 21

func newBudget(ctx context.Context, size int64) *budget {
	b := &budget{ctx: ctx, once: worthAtLeast + worthPerByte*size}
	b.left.Store(b.once)
	return b
}

// spend is an error if nothing is left, or the work is no longer wanted.
func (b *budget) spend(cost int64) error {
	if b == nil {
		return nil
	}
	if b.left.Add(-cost) < 0 {
		b.over.Store(true)
	}
	return b.err()
}

func (b *budget) err() error {
	switch {
	case b == nil:
		return nil
	case b.over.Load():
		return ErrTooMuch
	}
	return b.ctx.Err()
}

// Err tells whether the file was given up on: ErrTooMuch, or the error of the context that it was opened
// with. From then on every object is nil, so whoever walks through the file soon stops, and asks for
// the reason in the end.
func (f *File) Err() error { return f.budget.err() }

// Spend takes work that is done with the file elsewhere, such as copying so many bytes, off its budget.
func (f *File) Spend(cost int64) error { return f.budget.spend(cost) }

// AllowAnother allows for one more reading of the file, as each print file is one.
func (f *File) AllowAnother() { f.budget.left.Add(f.budget.once) }

// gauge watches over the bytes that one filter makes.
type gauge struct {
	budget *budget
	limit  int64
	paid   int64
	alone  bool // no other filter makes as much at this time
}

// gaugeStep is how many bytes are made between two looks at the budget.
const gaugeStep = 32 << 10

// pass tells whether a filter may go on that has made so many bytes.
func (g *gauge) pass(made int) error {
	n := int64(made)
	if n > g.limit {
		return ErrTooLarge
	}
	if n-g.paid < gaugeStep {
		return nil
	}
	if n > largeFrom && !g.alone && g.budget != nil {
		g.alone = true
		g.budget.large.Lock()
	}
	return g.pay(n)
}

// largeFrom is from how many bytes on what is unpacked is large.
const largeFrom = 16 << 20

func (g *gauge) pay(made int64) error {
	cost := max(0, made-g.paid)
	g.paid += cost
	return g.budget.spend(cost)
}

// release lets others unpack what is large.
func (g *gauge) release() {
	if g.alone {
		g.budget.large.Unlock()
	}
}
