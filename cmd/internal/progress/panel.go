package progress

import (
	"bytes"
	"io"
	"os"
	"runtime"
	"strings"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"foldwright/cmd/internal/visible"
)

// Panel is a bar for much work and a line below it for what is being done
// just now. It is drawn only on a terminal; [Panel.Print] writes anywhere.
type Panel struct {
	w       io.Writer
	columns func() int // nil: no terminal
	every   time.Duration
	escapes bool // the terminal knows how to move the cursor up: there can be two lines

	mu    sync.Mutex
	drawn time.Time
	lines int // on the screen
}

// View is what a panel shows.
type View struct {
	Done, Total int64
	// Beside stands right of the bar, with commas between; on a narrow terminal
	// the last ones are left out.
	Beside []string
	// Below is the line below it. Where there is not enough room Name is cut
	// short, and what comes After it is not.
	Name, After string
}

// NewPanel makes a panel on w. Where w is no terminal only printed lines appear.
func NewPanel(w io.Writer) *Panel {
	w = bare(w)
	p := &Panel{w: w, every: 100 * time.Millisecond, escapes: runtime.GOOS != "windows" && os.Getenv("TERM") != "dumb"}
	if f, ok := w.(interface{ Fd() uintptr }); ok && term.IsTerminal(int(f.Fd())) {
		p.columns = func() int {
			columns, _, err := term.GetSize(int(f.Fd()))
			if err != nil || columns <= 0 {
				return 80
			}
			return columns
		}
	}
	return p
}

// IsDrawn tells whether the panel is on a terminal.
func (p *Panel) IsDrawn() bool { return p.columns != nil }

// Show draws the view, unless the last one was drawn just now.
func (p *Panel) Show(v View) {
	if !p.IsDrawn() {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if time.Since(p.drawn) < p.every {
		return
	}
	p.drawn = time.Now()
	lines := v.lines(p.columns() - 1)
	if !p.escapes {
		lines = lines[:1]
	}
	var out strings.Builder
	p.moveHome(&out)
	for i, line := range lines {
		if i > 0 {
			out.WriteString("\n")
		}
		out.WriteString(line)
		if p.escapes {
			out.WriteString(clearLine)
		}
	}
	p.lines = len(lines)
	// A terminal that can't be written must not end the work.
	_, _ = io.WriteString(p.w, out.String())
}

// Print writes a line that stays, above the panel. Names of files can hold
// anything; what would move the cursor is shown instead.
func (p *Panel) Print(line string) {
	line = visible.Text(line)
	p.mu.Lock()
	defer p.mu.Unlock()
	var out strings.Builder
	p.clear(&out)
	out.WriteString(line + "\n")
	_, _ = io.WriteString(p.w, out.String())
}

// Done takes the panel away.
func (p *Panel) Done() {
	p.mu.Lock()
	defer p.mu.Unlock()
	var out strings.Builder
	p.clear(&out)
	_, _ = io.WriteString(p.w, out.String())
}

// ECMA-48: erase to the end of the line, to the end of the screen, cursor up.
const (
	clearLine = "\x1b[K"
	clearRest = "\x1b[J"
	cursorUp  = "\x1b[A"
)

// moveHome puts the cursor at the beginning of the panel.
func (p *Panel) moveHome(out *strings.Builder) {
	if p.lines > 0 {
		out.WriteString("\r" + strings.Repeat(cursorUp, p.lines-1))
	}
}

func (p *Panel) clear(out *strings.Builder) {
	if p.lines == 0 {
		return
	}
	p.moveHome(out)
	if p.escapes {
		out.WriteString(clearRest)
	} else {
		out.WriteString(strings.Repeat(" ", max(0, p.columns()-1)) + "\r")
	}
	p.lines = 0
	p.drawn = time.Time{}
}

// lines are the view on so many columns.
func (v View) lines(columns int) []string {
	width := min(max(shortestBar, columns/2-30), longestBar)
	beside := v.Beside
	for len(beside) > 1 && len("100%  ")+width+len(strings.Join(beside, ", ")) > columns {
		beside = beside[:len(beside)-1]
	}
	first := label(v.bar(width)+" "+strings.Join(beside, ", "), columns)
	if v.Name == "" {
		return []string{first}
	}
	room := columns - len(v.After)
	if room < shortestName {
		return []string{first, label(v.Name+v.After, columns)}
	}
	return []string{first, label(v.Name, room) + label(v.After, columns)}
}

// The least columns that are given to the bar and to a name.
const (
	shortestBar  = 8
	shortestName = 12
)

// bar is the bar as text.
func (v View) bar(width int) string {
	if v.Total <= 0 {
		return ""
	}
	var out bytes.Buffer
	line := progressbar.NewOptions64(v.Total,
		progressbar.OptionSetWriter(&out),
		progressbar.OptionSetWidth(width),
		progressbar.OptionSetTheme(progressbar.Theme{Saucer: "#", SaucerPadding: ".", BarStart: "", BarEnd: ""}),
		progressbar.OptionSetPredictTime(false),
		progressbar.OptionSetElapsedTime(false),
	)
	// It is written to memory, where nothing can go wrong. Less than one
	// percent is not drawn by itself.
	_ = line.RenderBlank()
	_ = line.Set64(min(max(v.Done, 0), v.Total))
	text := out.String()
	return strings.TrimSpace(text[strings.LastIndexByte(text, '\r')+1:])
}
