package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"time"

	"foldwright/cmd/internal/progress"
	"foldwright/cmd/internal/shelf"
	"foldwright/profiles/publish"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// shelfTeller tells a person and a log how a shelf comes on.
type shelfTeller struct {
	panel *progress.Panel // nil: --quiet
	log   *os.File        // nil: no --log
	err   error           // why the log could not be written
}

func newShelfTeller(s Surroundings, o batchOptions) (*shelfTeller, error) {
	t := &shelfTeller{}
	if !o.quiet {
		t.panel = progress.NewPanel(s.Err)
	}
	if o.log != "" {
		f, err := os.OpenFile(o.log, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o666)
		if err != nil {
			return nil, refuseLog(o.log, err)
		}
		t.log = f
	}
	return t, nil
}

func (t *shelfTeller) close() error {
	if t.panel != nil {
		t.panel.End()
	}
	if t.log == nil {
		return nil
	}
	if err := errors.Join(t.err, t.log.Close()); err != nil {
		return refuseLog(t.log.Name(), err)
	}
	return nil
}

// refuseLog says that the log could not be written.
func refuseLog(file string, err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	return refusal.Output.New("--log %s: %w", file, err).Advise("choose another file with --log; its folder has to exist")
}

func (t *shelfTeller) hear(e shelf.Event) {
	if t.panel != nil {
		t.show(e)
	}
	if t.log != nil {
		t.note(e)
	}
}

// show keeps a panel at a terminal, where only what calls for a person is
// printed; elsewhere there is a line for each title.
func (t *shelfTeller) show(e shelf.Event) {
	switch e.Kind {
	case shelf.Judging:
		t.panel.Show(progress.View{
			Done: int64(e.Pace.Ended), Total: int64(e.Pace.Titles),
			Beside: []string{fmt.Sprintf("%d/%d", e.Pace.Ended, e.Pace.Titles), "looking at what is there"},
		})
		return
	case shelf.Begin:
		if !t.panel.IsDrawn() {
			t.panel.Print(fmt.Sprintf("%s to make, %s", reorder.Count(e.Pace.Titles, "title"), shelf.Size(e.Pace.AllBytes)))
		}
	case shelf.Waits:
		t.panel.Print(fmt.Sprintf("waits    %s: another batch is writing it", e.Entry.Name))
	case shelf.Ended:
		t.showEnded(e)
		if len(e.Entry.Kept) > 0 {
			t.panel.Print(fmt.Sprintf("note     %s: %s", e.Entry.Name, publish.KeptText(e.Entry.Kept)))
		}
	}
	if len(e.Work) > 0 {
		name, after := workText(e.Work)
		t.panel.Show(progress.View{Done: e.Pace.Bytes, Total: e.Pace.AllBytes, Beside: paceWords(e.Pace), Name: name, After: after})
	}
}

// showEnded writes a line for a title that failed, and without a panel for one that was made.
func (t *shelfTeller) showEnded(e shelf.Event) {
	switch x := e.Entry; {
	case x.State == shelf.Failed:
		again := ""
		if !x.Tried {
			again = " (as before, not tried again)"
		}
		t.panel.Print(fmt.Sprintf("failed   %s: %s%s", x.Name, x.Failure.Sentence, again))
		if !x.Failure.Hint.IsZero() {
			t.panel.Print("  hint: " + x.Failure.Hint.In(flagStyle{}))
		}
	case x.State == shelf.Done && !t.panel.IsDrawn():
		again := ""
		if x.Again != "" {
			again = "; made again: " + x.Again
		}
		t.panel.Print(fmt.Sprintf("done     %s: %s on %s, %s (%s)%s", x.Name,
			reorder.Count(x.Pages, "page"), reorder.Count(x.Sheets, "sheet"), shelf.TookText(x.Seconds), strings.Join(paceWords(e.Pace), ", "), again))
	}
}

// paceWords is how far the shelf has come, how long it will take, and how fast
// it is; what is missed least comes last.
func paceWords(p shelf.Pace) []string {
	words := []string{fmt.Sprintf("%d/%d titles", p.Ended, p.Titles)}
	if p.Failed > 0 {
		words = append(words, fmt.Sprintf("%d failed", p.Failed))
	}
	if left, ok := p.Left(); ok && left > time.Second {
		words = append(words, "about "+shelf.TookText(left.Round(time.Second).Seconds())+" left")
	}
	if pages, bytes := p.PerSecond(); pages > 0 {
		words = append(words, fmt.Sprintf("%.0f pages/s", pages), fmt.Sprintf("%s/s", bytes))
	}
	return words
}

// workText is the title that has been longest in work, and how far it has come.
func workText(work []shelf.Work) (name, after string) {
	w := work[0]
	after = ": reading"
	if w.Sides > 0 {
		after = fmt.Sprintf(": %d of %s", w.Share(int64(w.Pages)), reorder.Count(w.Pages, "page"))
	}
	if others := len(work) - 1; others > 0 {
		after += fmt.Sprintf(", and %d more", others)
	}
	return w.Title.Name, after
}

// logLine is one line of --log.
type logLine struct {
	Time   time.Time    `json:"time"`
	Event  string       `json:"event"`
	Title  string       `json:"title,omitempty"`
	Titles int          `json:"titles,omitempty"` // to be made
	Ended  int          `json:"ended,omitempty"`
	Failed int          `json:"failed,omitempty"`
	Bytes  int64        `json:"bytes,omitempty"` // of sources worked off
	Pages  int          `json:"pages,omitempty"`
	Entry  *shelf.Entry `json:"entry,omitempty"` // as in the report
}

// note writes a line for all that lasts; steps within a title don't.
func (t *shelfTeller) note(e shelf.Event) {
	line := logLine{
		Time: time.Now().UTC(), Event: string(e.Kind), Titles: e.Pace.Titles, Ended: e.Pace.Ended, Failed: e.Pace.Failed,
		Bytes: e.Pace.Bytes, Pages: e.Pace.Pages, Entry: e.Entry,
	}
	switch e.Kind {
	case shelf.Judging, shelf.Step:
		return
	case shelf.Started:
		line.Title = e.Work[len(e.Work)-1].Title.Name
	}
	if e.Entry != nil {
		line.Title = e.Entry.Name
	}
	data, err := json.Marshal(line)
	if err == nil {
		_, err = t.log.Write(append(data, '\n'))
	}
	if t.err == nil {
		t.err = err
	}
}
