package progress

import (
	"fmt"
	"io"
	"sync"
	"sync/atomic"
	"time"

	"github.com/rivo/uniseg"
	"golang.org/x/term"

	"foldwright/cmd/internal/visible"
)

// Bar draws a bar on w if that is a terminal; otherwise it is Silent.
func Bar(w io.Writer) Reporter {
	panel := NewPanel(w)
	if !panel.IsDrawn() {
		return Silent
	}
	return &bar{panel: panel, delay: 300 * time.Millisecond}
}

// columnsOf tells the width of a terminal at any moment; nil: it is none.
func columnsOf(w io.Writer) func() int {
	f, ok := w.(interface{ Fd() uintptr })
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return nil
	}
	return func() int {
		columns, _, err := term.GetSize(int(f.Fd()))
		if err != nil || columns <= 0 {
			return 80
		}
		return columns
	}
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
	b.Done()
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

func (b *bar) Done() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.end != nil {
		b.end()
		b.end = nil
	}
}

// draw draws until stop is closed, then empties the line.
func (b *bar) draw(what string, total int64, stop <-chan struct{}) {
	defer b.panel.Done()
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

// unwrap is where the cursor can be moved: what is drawn here is clean already.
func unwrap(w io.Writer) io.Writer {
	if v, ok := w.(*visible.Writer); ok {
		return v.Raw()
	}
	return w
}

// label shortens the text to the columns left for it. What would move the cursor is
// shown instead: names of files can hold anything.
func label(what string, columns int) string {
	text := visible.Text(what)
	if uniseg.StringWidth(text) <= columns {
		return text
	}
	dots := "..."[:min(max(columns, 0), 3)]
	room, kept, state := columns-len(dots), 0, -1
	for rest := text; rest != ""; {
		var letter string
		var width int
		letter, rest, width, state = uniseg.FirstGraphemeClusterInString(rest, state)
		if room -= width; room < 0 {
			break
		}
		kept += len(letter)
	}
	return text[:kept] + dots
}
