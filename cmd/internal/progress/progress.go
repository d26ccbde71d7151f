// Package progress tells a person how far long work has come.
//
// The work is given a [Reporter] and knows nothing else: [Silent] for tests
// and --quiet, [Bar] for a person at a terminal. A bar is courtesy, never
// data: it appears only on a terminal and only when the work takes a while,
// and it is gone without a trace when the work is done, so that what is
// printed next begins on a clean line.
package progress

import (
	"fmt"
	"io"
	"sync"
	"sync/atomic"
	"time"
)

// Reporter is told about one piece of work at a time.
type Reporter interface {
	// Start begins a piece of work of total steps and says in a few words what it is.
	Start(what string, total int)
	// Step counts n more steps as done. It may be called from several goroutines.
	Step(n int)
	// End ends the piece of work, whether it succeeded or not.
	End()
}

// Silent reports nothing.
var Silent Reporter = silent{}

type silent struct{}

func (silent) Start(string, int) {}
func (silent) Step(int)          {}
func (silent) End()              {}

// Bar draws a bar on w if that is a terminal; otherwise it is Silent.
func Bar(w io.Writer) Reporter {
	panel := NewPanel(w)
	if !panel.IsDrawn() {
		return Silent
	}
	return &bar{panel: panel, delay: 300 * time.Millisecond}
}

// bar has one goroutine that draws; the work only counts.
type bar struct {
	panel *Panel
	delay time.Duration // before the bar appears: short work needs none
	steps atomic.Int64
	mu    sync.Mutex // guards end
	end   func()     // stops the drawing and waits for it; nil: nothing is drawn
}

func (b *bar) Start(what string, total int) {
	b.End()
	b.steps.Store(0)
	if total <= 0 {
		return
	}
	stop, stopped := make(chan struct{}), make(chan struct{})
	b.mu.Lock()
	b.end = func() { close(stop); <-stopped }
	b.mu.Unlock()
	go func() {
		defer close(stopped)
		b.draw(what, int64(total), stop)
	}()
}

func (b *bar) Step(n int) { b.steps.Add(int64(n)) }

func (b *bar) End() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.end != nil {
		b.end()
		b.end = nil
	}
}

// draw draws until stop is closed, then empties the line.
func (b *bar) draw(what string, total int64, stop <-chan struct{}) {
	defer b.panel.End()
	for next := time.After(b.delay); ; next = time.After(b.panel.every) {
		select {
		case <-stop:
			return
		case <-next:
			done := min(b.steps.Load(), total)
			b.panel.Show(View{Done: done, Total: total, Beside: []string{fmt.Sprintf("%d/%d %s", done, total, what)}})
		}
	}
}
