// Package progress shows how far long work has come: a bar on a terminal,
// nothing anywhere else.
package progress

import (
	"io"
	"os"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// Reporter is told how far work has come. Step may be called from several
// goroutines.
type Reporter interface {
	Start(what string, total int)
	Step(n int)
	Done()
}

// Silent shows nothing.
var Silent Reporter = silent{}

type silent struct{}

func (silent) Start(string, int) {}
func (silent) Step(int)          {}
func (silent) Done()             {}

// Bar is a bar on w if that is a terminal, else Silent.
func Bar(w io.Writer) Reporter {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return Silent
	}
	return &bar{w: w}
}

type bar struct {
	w io.Writer
	b *progressbar.ProgressBar
}

func (b *bar) Start(what string, total int) {
	b.b = progressbar.NewOptions(total,
		progressbar.OptionSetWriter(b.w),
		progressbar.OptionSetDescription(what),
		progressbar.OptionClearOnFinish())
}

func (b *bar) Step(n int) { _ = b.b.Add(n) }
func (b *bar) Done()      { _ = b.b.Finish() }
