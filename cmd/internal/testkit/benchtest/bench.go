// Package benchtest is for tests a bench at a simulated printer that IPP leads to, with a person
// who lays into the tray what the program says: [New]. Package cli and the page in the browser
// print on it.
package benchtest

import (
	"cmp"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/testkit/ipptest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/profiles"
	"foldwright/reorder/paper"
)

// Bench is a simulated printer that IPP leads to, and a person who does what the program
// says, and nothing else. The fields may be read and changed while it is locked.
type Bench struct {
	T       *testing.T
	Peer    *ipptest.Printer
	Machine *virtual.Printer[printtest.Page]
	Facts   printer.Facts
	Dir     string // for the files of the test
	Folder  string // of the job
	Reader  printtest.Reader

	sync.Mutex
	Tray    virtual.Stack[printtest.Page]
	Out     virtual.Stack[printtest.Page] // in the delivery
	Waiting virtual.Stack[printtest.Page] // beside the tray
	Stacks  []virtual.Stack[printtest.Page]
	Screen  strings.Builder               // what was said
	Answer  func(question string) string  // nil, or "": what a person says who sees no fault
	Jam     func(document int) (good int) // sheets that come out well; below 0: all
	// Ruined is, of a document that has jammed in its backs, the sheets that were spoiled after those that
	// came out well, by their places in the pass from 0; nil: none. The person takes them out of the stack.
	Ruined  func(document int) []int
	Printed int             // documents
	Came    map[string]bool // what has come out: the names of jobs with their sheets
	Last    string          // the name of the job that was printed last
}

// New is a bench with a printer of these facts, until the test ends.
func New(t *testing.T, facts printer.Facts) *Bench {
	b := &Bench{T: t, Facts: facts, Dir: t.TempDir(), Peer: ipptest.Start(t, ipptest.PDFDuplex()...), Came: map[string]bool{}}
	// No computer's dialog stands between: the printer prints the pages as they come.
	facts.Sends = printer.FirstPageFirst
	b.Machine = printtest.Printer(t, facts)
	b.Peer.Print = func(a *ipptest.Arrived) { b.print(a) }
	return b
}

func (b *Bench) print(a *ipptest.Arrived) {
	b.Lock()
	defer b.Unlock()
	b.Printed++
	b.Last = a.Named("job-name")
	path := filepath.Join(b.Dir, fmt.Sprintf("arrived-%d.pdf", b.Printed))
	if err := os.WriteFile(path, a.Document, 0o600); err != nil {
		b.T.Error(err)
		return
	}
	pages := b.Reader.Pages(b.T, path)
	for _, p := range pages {
		what := fmt.Sprint(strings.HasSuffix(b.Last, "back"), p.Name())
		if b.Came[what] && !strings.Contains(b.Last, "check") && b.Jam == nil {
			b.T.Errorf("%s was printed twice", what)
		}
		b.Came[what] = true
	}
	both := a.Asks("sides") == "two-sided-long-edge"
	a.State = 9
	if b.Jam != nil {
		if good := b.Jam(b.Printed); good >= 0 {
			a.State = 8
			perSheet := 1
			if both {
				perSheet = 2
			}
			pages = pages[:good*perSheet]
			if b.Ruined != nil {
				defer b.takeOut(good, b.Ruined(b.Printed))
			}
		}
	}
	n := len(pages)
	if both {
		n /= 2
	}
	if n > len(b.Tray) {
		b.T.Errorf("%d sheets are printed, and %d lie in the tray; it said:\n%s", n, len(b.Tray), b.Screen.String())
		return
	}
	var fed, out virtual.Stack[printtest.Page]
	fed, b.Tray = b.Tray.Split(n, cmp.Or(b.Facts.FeedFrom, printer.FromTop))
	var err error
	switch {
	case both:
		out, err = b.Machine.PrintBoth(fed, pages)
	case b.Facts.TwoSided == printer.Automatic:
		out, err = b.Machine.PrintOneFace(fed, pages)
	default:
		out, err = b.Machine.Print(fed, pages)
	}
	if err != nil {
		b.T.Errorf("%.80s; it said:\n%s", err, b.Screen.String())
		return
	}
	b.Out = b.Out.Join(out, b.Facts.Stacks)
}

// takeOut takes spoiled sheets out of the tray, by their places in the pass, of which some have come out.
func (b *Bench) takeOut(good int, places []int) {
	slices.Sort(places)
	for _, at := range slices.Backward(places) {
		i := at - good // in the order in which they are fed
		if b.Facts.FeedFrom == printer.FromBottom {
			i = len(b.Tray) - 1 - i
		}
		b.Tray = slices.Delete(slices.Clone(b.Tray), i, i+1)
	}
}

var (
	fresh    = regexp.MustCompile(`lay (\d+) sheets? of fresh A4 paper into`)
	someOf   = regexp.MustCompile(`[Tt]hen lay the (top|bottom) (\d+) sheets? of it into the tray`)
	nextOf   = regexp.MustCompile(`lay the next (\d+) sheets? of the stack into the tray, the (top|bottom) ones first`)
	leftOver = regexp.MustCompile(`lay the (\d+) sheets? that (?:is|are) left into the tray, as they lay`)
	onTop    = regexp.MustCompile(`On top lies sheet (\d+) now, its printed side (up|down)`)
)

// load does what was said before the question.
func (b *Bench) load(said string) {
	said = strings.Join(strings.Fields(said), " ")
	number := func(text string) int {
		n, err := strconv.Atoi(text)
		if err != nil {
			b.T.Fatalf("%q: %v", said, err)
		}
		return n
	}
	switch m := fresh.FindStringSubmatch(said); {
	case m != nil:
		if strings.Contains(said, "take everything out of the delivery") {
			b.TakeAway()
		}
		b.Tray = virtual.Blank[printtest.Page](number(m[1]))
	case leftOver.MatchString(said):
		if got := number(leftOver.FindStringSubmatch(said)[1]); got != len(b.Tray) {
			b.T.Errorf("%d sheets are said to be left, and %d lie in the tray", got, len(b.Tray))
		}
	case strings.Contains(said, "leave it as it is") && len(b.Tray) > 0:
	case nextOf.MatchString(said):
		m := nextOf.FindStringSubmatch(said)
		b.takeWaiting(number(m[1]), m[2])
	default:
		b.putBack(said)
		if m := onTop.FindStringSubmatch(said); m != nil {
			top := b.Tray[0]
			if got := printtest.Number(top); got != number(m[1]) {
				b.T.Errorf("sheet %s is said to lie on top, and %d does", m[1], got)
			}
			if got := printtest.IsFrontUp(top); got != (m[2] == "up") {
				b.T.Errorf("its printed side is said to look %s; up: %t", m[2], got)
			}
		}
		if m := someOf.FindStringSubmatch(said); m != nil {
			b.Waiting, b.Tray = b.Tray, nil
			b.takeWaiting(number(m[2]), m[1])
		}
	}
}

func (b *Bench) takeWaiting(n int, end string) {
	from := map[string]printer.FeedFrom{"top": printer.FromTop, "bottom": printer.FromBottom}[end]
	b.Tray, b.Waiting = b.Waiting.Split(n, from)
}

// putBack turns what lies in the delivery as the words say.
func (b *Bench) putBack(said string) {
	var err error
	for words, reload := range map[string]printer.Reload{
		"half round, flat on the table": printer.RotateHalf, "like the page of a book": printer.TurnLong,
		"like the leaf of a wall calendar": printer.TurnShort, "without any turn": printer.AsDelivered,
	} {
		if strings.Contains(said, words) {
			b.Tray, err = virtual.Reload(b.Out, reload)
			b.Out = nil
			if err != nil {
				b.T.Error(err)
			}
			return
		}
	}
	b.T.Errorf("nothing is said of the tray: %q", said)
}

// TakeAway takes a finished run out of the delivery.
func (b *Bench) TakeAway() {
	if len(b.Out) > 0 {
		b.Stacks = append(b.Stacks, b.Out)
	}
	b.Out = nil
}

// Journal is what the program has written down.
func (b *Bench) Journal() (j printing.Journal) {
	data, err := os.ReadFile(filepath.Join(b.Folder, printing.JournalFile))
	if err == nil {
		err = json.Unmarshal(data, &j)
	}
	if err != nil {
		b.T.Error(err)
	}
	return j
}

// TellTruth is what a person says who looks at the printer: all sheets of what was sent
// last have come out, or none.
func (b *Bench) TellTruth(said string) string {
	if strings.Contains(said, "are spoiled") {
		return "nothing"
	}
	if !strings.Contains(said, "last good sheet") {
		return ""
	}
	sent := b.Journal().Sent
	e := sent[len(sent)-1]
	name := fmt.Sprintf("run %d, %s", e.Run, e.Pass)
	if strings.Contains(b.Last, "portion") {
		name += fmt.Sprintf(", portion %d of", e.Portion)
	}
	if strings.Contains(b.Last, name) {
		return fmt.Sprint(e.Sheets[len(e.Sheets)-1])
	}
	return "nothing"
}

// ReadBook folds what came out and reads it.
func (b *Bench) ReadBook(folder string) {
	b.T.Helper()
	b.TakeAway()
	j := printtest.Load(b.T, folder)
	b.Stacks = slices.DeleteFunc(b.Stacks, func(s virtual.Stack[printtest.Page]) bool { return printtest.Number(s[0]) == 0 }) // check sheets
	var sheets []paper.Sheet
	for _, stack := range b.Stacks {
		done, err := virtual.Finish(stack)
		if err != nil {
			b.T.Fatal(err)
		}
		for _, s := range done {
			sheets = append(sheets, printtest.Printed(j.Size(), s))
		}
	}
	j.Read(b.T, sheets, 0.15)
}

// Hear is the answer to a question that came with what was said; what is to lie in the tray
// then lies there. The bench has to be locked.
func (b *Bench) Hear(said string) string {
	answer := "yes"
	if b.Answer != nil {
		if a := b.Answer(said); a != "" {
			answer = a
		}
	}
	if strings.Contains(said, printing.ReadyQuestion) && answer == "yes" {
		b.load(said)
	}
	return answer
}

// Profile writes a profile of the printer, whose tray takes so many sheets, and is its path.
func (b *Bench) Profile(tray int) string {
	profile := profiles.Profile{Format: profiles.Format, Name: "lamp", Facts: b.Facts, TraySheets: tray}
	data, err := profile.YAML()
	if err != nil {
		b.T.Fatal(err)
	}
	path := filepath.Join(b.Dir, "lamp.yaml")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		b.T.Fatal(err)
	}
	return path
}
