package progress

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"foldwright/cmd/internal/visible"
)

// Bar draws a bar on w if that is a terminal; otherwise it is Silent.
func Bar(w io.Writer) Reporter {
	w = bare(w)
	columns := columnsOf(w)
	if columns == nil {
		return Silent
	}
	return &bar{w: w, columns: columns, delay: 300 * time.Millisecond, every: 100 * time.Millisecond}
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
	w       io.Writer
	columns func() int    // width of the terminal
	delay   time.Duration // before the bar appears: short work needs none
	every   time.Duration // between two drawings

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

// longestBar is how many columns the bar has where there is room.
const longestBar = 24

// draw draws until stop is closed, then empties the line.
func (b *bar) draw(what string, total int64, stop <-chan struct{}) {
	select {
	case <-stop:
		return
	case <-time.After(b.delay):
	}
	columns := b.columns()
	room := columns - 1 - len(fmt.Sprintf(" 100%%  (%d/%d) ", total, total))
	if room < 0 {
		<-stop
		return
	}
	width := min(room/2, longestBar)
	line := newLine(b.w, total, width, progressbar.OptionSetDescription(label(what, room-width)), progressbar.OptionShowCount())
	defer func() { io.WriteString(b.w, "\r"+strings.Repeat(" ", columns-1)+"\r") }()
	tick := time.NewTicker(b.every)
	defer tick.Stop()
	for drawn := int64(-1); ; {
		if steps := min(max(b.steps.Load(), 0), total); steps != drawn {
			// A terminal that can't be written must not end the work.
			_ = line.Set64(steps)
			drawn = steps
		}
		select {
		case <-stop:
			return
		case <-tick.C:
		}
	}
}

// newLine is a bar of a width that the library draws.
func newLine(w io.Writer, total int64, width int, more ...progressbar.Option) *progressbar.ProgressBar {
	return progressbar.NewOptions64(total, append(more,
		progressbar.OptionSetWriter(w),
		progressbar.OptionSetWidth(width),
		progressbar.OptionSetTheme(progressbar.Theme{Saucer: "#", SaucerPadding: ".", BarStart: "", BarEnd: ""}),
		progressbar.OptionSetPredictTime(false),
		progressbar.OptionSetElapsedTime(false),
	)...)
}

// bare is where the cursor can be moved: what is drawn here is clean already.
func bare(w io.Writer) io.Writer {
	if v, ok := w.(*visible.Writer); ok {
		return v.Raw()
	}
	return w
}

// label shortens the text to the columns left for it. What would move the cursor is
// shown instead: names of files can hold anything.
func label(what string, columns int) string {
	var out []rune
	var ends []int // columns taken up to and with each rune
	taken := 0
	for _, r := range visible.Text(what) {
		taken++
		if r >= 0x1100 {
			taken++ // where wide letters begin; some of them are narrow
		}
		out, ends = append(out, r), append(ends, taken)
	}
	if taken <= columns {
		return string(out)
	}
	const cut = "..."
	keep, _ := slices.BinarySearch(ends, columns-len(cut)+1)
	return string(out[:keep]) + cut[:min(len(cut), columns)]
}
