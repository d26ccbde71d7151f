package progress

import (
	"bytes"
	"io"
	"os"
	"runtime"
	"strings"
	"sync"
	"time"

	"github.com/rivo/uniseg"
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
	w = unwrap(w)
	escapes := runtime.GOOS != "windows" && os.Getenv("TERM") != "dumb"
	return &Panel{w: w, columns: columnsOf(w), every: 100 * time.Millisecond, escapes: escapes}
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
	end := ""
	if p.escapes {
		end = clearLine
	}
	// A terminal that can't be written must not end the work.
	_, _ = io.WriteString(p.w, p.moveHome()+strings.Join(lines, end+"\n")+end)
	p.lines = len(lines)
}

// Print writes a line that stays, above the panel. Names of files can hold
// anything; what would move the cursor is shown instead.
func (p *Panel) Print(line string) {
	line = visible.Text(line)
	p.mu.Lock()
	defer p.mu.Unlock()
	_, _ = io.WriteString(p.w, p.clear()+line+"\n")
}

// End takes the panel away.
func (p *Panel) End() {
	p.mu.Lock()
	defer p.mu.Unlock()
	_, _ = io.WriteString(p.w, p.clear())
}

// ECMA-48: erase to the end of the line, to the end of the screen, cursor up.
const (
	clearLine = "\x1b[K"
	clearRest = "\x1b[J"
	cursorUp  = "\x1b[A"
)

// moveHome is what puts the cursor at the beginning of the panel.
func (p *Panel) moveHome() string {
	if p.lines == 0 {
		return ""
	}
	return "\r" + strings.Repeat(cursorUp, p.lines-1)
}

func (p *Panel) clear() string {
	if p.lines == 0 {
		return ""
	}
	out := p.moveHome() + clearRest
	if !p.escapes {
		out = p.moveHome() + strings.Repeat(" ", max(0, p.columns()-1)) + "\r"
	}
	p.lines = 0
	p.drawn = time.Time{}
	return out
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

// Columns of the bar and of a name, where there is room.
const (
	shortestBar  = 8
	longestBar   = 24
	shortestName = 12
)

// bar is the bar as text. The library draws it into memory, where nothing can go wrong.
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
	_ = line.RenderBlank() // less than one percent is not drawn by itself
	_ = line.Set64(min(max(v.Done, 0), v.Total))
	text := out.String()
	return strings.TrimSpace(text[strings.LastIndexByte(text, '\r')+1:])
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
