package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/OpenPrinting/goipp"

	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/testkit/ipptest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/profiles"
	"foldwright/reorder/paper"
	"foldwright/reorder/sample"
)

// bench is a simulated printer that IPP leads to, and a person who does what the program
// says, and nothing else.
type bench struct {
	t       *testing.T
	peer    *ipptest.Printer
	machine *virtual.Printer[printtest.Page]
	facts   printer.Facts
	reader  printtest.Reader
	dir     string

	mu      sync.Mutex
	tray    virtual.Stack[printtest.Page]
	out     virtual.Stack[printtest.Page] // in the delivery
	waiting virtual.Stack[printtest.Page] // beside the tray
	screen  strings.Builder
	begin   int // of what was said since the last question
	typed   io.Writer
	answer  func(question string) string // nil, or "": what a person says who sees no fault
	printed int                          // documents
	stacks  []virtual.Stack[printtest.Page]
	came    map[string]bool               // what has come out: the names of jobs with their sheets
	last    string                        // the name of the job that was printed last
	folder  string                        // of the job
	pages   []string                      // that were shown in the browser
	jam     func(document int) (good int) // sheets that come out well; below 0: all
}

func newBench(t *testing.T, facts printer.Facts) *bench {
	b := &bench{t: t, facts: facts, dir: t.TempDir(), peer: ipptest.Start(t, ipptest.PDFDuplex()...), came: map[string]bool{}}
	// No computer's dialog stands between: the printer prints the pages as they come.
	facts.Sends = printer.FirstPageFirst
	b.machine = printtest.Printer(t, facts)
	b.peer.Print = func(a *ipptest.Arrived) { b.print(a) }
	return b
}

// value is the first value of an attribute, or nothing.
func value(attributes goipp.Attributes, name string) string {
	for _, a := range attributes {
		if a.Name == name {
			return a.Values[0].V.String()
		}
	}
	return ""
}

// print lets the machine print what has arrived.
func (b *bench) print(a *ipptest.Arrived) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.printed++
	b.last = value(a.Operation, "job-name")
	path := filepath.Join(b.dir, fmt.Sprintf("arrived-%d.pdf", b.printed))
	if err := os.WriteFile(path, a.Document, 0o600); err != nil {
		b.t.Error(err)
		return
	}
	pages := b.reader.Pages(b.t, path)
	for _, p := range pages {
		what := fmt.Sprint(strings.HasSuffix(b.last, "back"), p.Name())
		if b.came[what] && !strings.Contains(b.last, "check") && b.jam == nil {
			b.t.Errorf("%s was printed twice", what)
		}
		b.came[what] = true
	}
	both := a.Asks("sides") == "two-sided-long-edge"
	a.State = 9
	if b.jam != nil {
		if good := b.jam(b.printed); good >= 0 {
			a.State = 8
			perSheet := 1
			if both {
				perSheet = 2
			}
			pages = pages[:good*perSheet]
		}
	}
	n := len(pages)
	if both {
		n /= 2
	}
	if n > len(b.tray) {
		b.t.Errorf("%d sheets are printed, and %d lie in the tray; it said:\n%s", n, len(b.tray), b.screen.String())
		return
	}
	var fed virtual.Stack[printtest.Page]
	fed, b.tray = b.feed(n)
	var out virtual.Stack[printtest.Page]
	var err error
	switch {
	case both:
		out, err = b.machine.PrintBoth(fed, pages)
	case b.facts.TwoSided == printer.Automatic:
		out, err = b.machine.PrintOneFace(fed, pages)
	default:
		out, err = b.machine.Print(fed, pages)
	}
	if err != nil {
		b.t.Errorf("%.80s; it said:\n%s", err, b.screen.String())
		return
	}
	if b.facts.Stacks == printer.OnTop {
		b.out = append(out, b.out...)
	} else {
		b.out = append(slices.Clone(b.out), out...)
	}
}

// feed is the sheets that the machine takes from the tray, and what stays there.
func (b *bench) feed(n int) (fed, left virtual.Stack[printtest.Page]) {
	if b.facts.FeedFrom == printer.FromBottom {
		return b.tray[len(b.tray)-n:], b.tray[:len(b.tray)-n]
	}
	return b.tray[:n], b.tray[n:]
}

var (
	fresh    = regexp.MustCompile(`lay (\d+) sheets? of fresh A4 paper into`)
	someOf   = regexp.MustCompile(`[Tt]hen lay the (top|bottom) (\d+) sheets? of it into the tray`)
	nextOf   = regexp.MustCompile(`lay the next (\d+) sheets? of the stack into the tray, the (top|bottom) ones first`)
	leftOver = regexp.MustCompile(`lay the (\d+) sheets? that (?:is|are) left into the tray, as they lay`)
	onTop    = regexp.MustCompile(`On top lies sheet (\d+) now, its printed side (up|down)`)
)

// load does what was said before the question.
func (b *bench) load(said string) {
	said = strings.Join(strings.Fields(said), " ")
	number := func(text string) int {
		n, err := strconv.Atoi(text)
		if err != nil {
			b.t.Fatalf("%q: %v", said, err)
		}
		return n
	}
	switch m := fresh.FindStringSubmatch(said); {
	case m != nil:
		if strings.Contains(said, "take everything out of the delivery") {
			b.takeAway()
		}
		b.tray = virtual.Blank[printtest.Page](number(m[1]))
	case leftOver.MatchString(said):
		if got := number(leftOver.FindStringSubmatch(said)[1]); got != len(b.tray) {
			b.t.Errorf("%d sheets are said to be left, and %d lie in the tray", got, len(b.tray))
		}
	case strings.Contains(said, "leave it as it is") && len(b.tray) > 0:
	case nextOf.MatchString(said):
		m := nextOf.FindStringSubmatch(said)
		b.takeWaiting(number(m[1]), m[2])
	default:
		b.putBack(said)
		if m := onTop.FindStringSubmatch(said); m != nil {
			top := b.tray[0]
			if got := printtest.Number(top); got != number(m[1]) {
				b.t.Errorf("sheet %s is said to lie on top, and %d does", m[1], got)
			}
			if got := printtest.IsFrontUp(top); got != (m[2] == "up") {
				b.t.Errorf("its printed side is said to look %s; up: %t", m[2], got)
			}
		}
		if m := someOf.FindStringSubmatch(said); m != nil {
			b.waiting, b.tray = b.tray, nil
			b.takeWaiting(number(m[2]), m[1])
		}
	}
}

func (b *bench) takeWaiting(n int, end string) {
	if end == "bottom" {
		b.tray, b.waiting = b.waiting[len(b.waiting)-n:], b.waiting[:len(b.waiting)-n]
		return
	}
	b.tray, b.waiting = b.waiting[:n], b.waiting[n:]
}

// putBack turns what lies in the delivery as the words say.
func (b *bench) putBack(said string) {
	var err error
	for words, reload := range map[string]printer.Reload{
		"half round, flat on the table": printer.RotateHalf, "like the page of a book": printer.TurnLong,
		"like the leaf of a wall calendar": printer.TurnShort, "without any turn": printer.AsDelivered,
	} {
		if strings.Contains(said, words) {
			b.tray, err = virtual.Reload(b.out, reload)
			b.out = nil
			if err != nil {
				b.t.Error(err)
			}
			return
		}
	}
	b.t.Errorf("nothing is said of the tray: %q", said)
}

// takeAway takes a finished run out of the delivery.
func (b *bench) takeAway() {
	if len(b.out) > 0 {
		b.stacks = append(b.stacks, b.out)
	}
	b.out = nil
}

// Write is what the program says; a question gets its answer.
func (b *bench) Write(data []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.screen.Write(data)
	if !strings.HasSuffix(string(data), " ") {
		return len(data), nil
	}
	said := b.screen.String()[b.begin:]
	b.begin = b.screen.Len()
	answer := "yes"
	if b.answer != nil {
		if a := b.answer(said); a != "" {
			answer = a
		}
	}
	if strings.Contains(said, "Shall it be printed?") && answer == "yes" {
		b.load(said)
	}
	typed := b.typed
	go func() { _, _ = io.WriteString(typed, strings.TrimPrefix(answer, "nothing")+"\n") }() // a program that has ended hears nothing
	return len(data), nil
}

// run runs print until it ends.
func (b *bench) run(ctx context.Context, args ...string) Status {
	ctx, cancel := context.WithTimeout(ctx, 10*time.Minute) // a question that nobody answers
	defer cancel()
	in, typed := io.Pipe()
	b.typed = typed
	defer in.Close()
	return Run(ctx, append([]string{"print", "--to", b.peer.URI, "--quiet"}, args...), Surroundings{In: in, Out: io.Discard, Err: b, Region: "GB", Person: true, Browse: func(url string) error { b.pages = append(b.pages, url); return nil }})
}

// job prepares a book for the printer and returns its folder.
func (b *bench) job(tray int, args ...string) string {
	profile := profiles.Profile{Format: profiles.Format, Name: "lamp", Facts: b.facts, TraySheets: tray}
	data, err := profile.YAML()
	if err != nil {
		b.t.Fatal(err)
	}
	path := filepath.Join(b.dir, "lamp.yaml")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		b.t.Fatal(err)
	}
	folder := filepath.Join(b.dir, "job")
	if status, _, said := runWith(b.t, "", append([]string{"prepare", printtest.Book(b.t, 40), "--out", folder, "--printer", path, "--paper", "a4", "--quiet"}, args...)...); status != Done {
		b.t.Fatalf("status %d: %s", status, said)
	}
	b.folder = folder
	return folder
}

// journal is what the program has written down.
func (b *bench) journal() (j printing.Journal) {
	data, err := os.ReadFile(filepath.Join(b.folder, printing.JournalFile))
	if err == nil {
		err = json.Unmarshal(data, &j)
	}
	if err != nil {
		b.t.Error(err)
	}
	return j
}

// tellTruth is what a person says who looks at the printer: all sheets of what was sent
// last have come out, or none.
func (b *bench) tellTruth(said string) string {
	if strings.Contains(said, "are spoiled") {
		return "nothing"
	}
	if !strings.Contains(said, "last good sheet") {
		return ""
	}
	sent := b.journal().Sent
	e := sent[len(sent)-1]
	name := fmt.Sprintf("run %d, %s", e.Run, e.Pass)
	if strings.Contains(b.last, "portion") {
		name += fmt.Sprintf(", portion %d of", e.Portion)
	}
	if strings.Contains(b.last, name) {
		return fmt.Sprint(e.Sheets[len(e.Sheets)-1])
	}
	return "nothing"
}

// book folds what came out and reads it.
func (b *bench) book(folder string) {
	b.t.Helper()
	b.takeAway()
	j := printtest.Load(b.t, folder)
	b.stacks = slices.DeleteFunc(b.stacks, func(s virtual.Stack[printtest.Page]) bool { return printtest.Number(s[0]) == 0 }) // check sheets
	var sheets []paper.Sheet
	for _, stack := range b.stacks {
		done, err := virtual.Finish(stack)
		if err != nil {
			b.t.Fatal(err)
		}
		for _, s := range done {
			sheets = append(sheets, printtest.Printed(j.Size(), s))
		}
	}
	j.Read(b.t, sheets, 0.15)
}

// Who does what print says, on whatever printer, has the book.
func TestPrintMakesTheBookOnEveryPrinter(t *testing.T) {
	for i, facts := range sample.Of(t, virtual.All(), 6, 0, 17, 130) {
		for _, c := range []struct {
			tray int
			args []string
		}{{0, nil}, {3, []string{"--run", "8"}}, {0, []string{"--cut", "2"}}, {0, []string{"--fold", "quarto", "--sheets", "2"}}} {
			t.Run(fmt.Sprint(i, c.args), func(t *testing.T) {
				b := newBench(t, facts)
				folder := b.job(c.tray, c.args...)
				if status := b.run(t.Context(), folder); status != Done {
					t.Fatalf("status %d:\n%s", status, b.screen.String())
				}
				b.book(folder)
			})
		}
	}
}

// Spoiled sheets are printed once more, and take the places of those that they are for.
func TestSpoiledSheetsArePrintedOnceMore(t *testing.T) {
	for i, facts := range sample.Of(t, virtual.All(), 6, 0, 17, 130) {
		for _, c := range []struct {
			tray int
			args []string
		}{{0, nil}, {3, []string{"--run", "8"}}, {0, []string{"--fold", "quarto", "--sheets", "2"}}} {
			t.Run(fmt.Sprint(i, c.args), func(t *testing.T) {
				b := newBench(t, facts)
				folder := b.job(c.tray, c.args...)
				if status := b.run(t.Context(), folder); status != Done {
					t.Fatalf("status %d:\n%s", status, b.screen.String())
				}
				good := map[int]paper.Sheet{}
				take := func() (numbers []int) {
					b.takeAway()
					j := printtest.Load(t, folder)
					for _, stack := range b.stacks {
						if printtest.Number(stack[0]) == 0 { // check sheets
							continue
						}
						done, err := virtual.Finish(stack)
						if err != nil {
							t.Fatal(err)
						}
						for _, s := range done {
							n := 0
							if _, name, ok := strings.Cut(s.Front.Image.Text(), "sheet "); ok {
								_, _ = fmt.Sscanf(name, "%d", &n) // 0 is no sheet
							}
							numbers = append(numbers, n)
							good[n] = printtest.Printed(j.Size(), s)
						}
					}
					b.stacks = nil
					return numbers
				}
				take()
				spoiled := []int{2, len(good) - 1}
				for _, n := range spoiled {
					delete(good, n)
				}
				b.jam = func(int) int { return -1 } // they come out twice, as they are to
				if status := b.run(t.Context(), folder, "--sheet", fmt.Sprintf("%d,%d", spoiled[0], spoiled[1])); status != Done {
					t.Fatalf("status %d:\n%s", status, b.screen.String())
				}
				if again := take(); !slices.Equal(again, spoiled) {
					t.Fatalf("sheets %v came out, wanted were %v", again, spoiled)
				}
				var sheets []paper.Sheet
				for _, n := range slices.Sorted(maps.Keys(good)) {
					sheets = append(sheets, good[n])
				}
				printtest.Load(t, folder).Read(t, sheets, 0.15)
			})
		}
	}
}

// A job that has jammed in a pass goes on with what is left, also in another start of the
// program, and sends no sheet twice.
func TestPrintGoesOnAfterAJam(t *testing.T) {
	for i, facts := range sample.Of(t, virtual.All(), 4, 0, 17) {
		if facts.TwoSided == printer.Automatic {
			continue
		}
		for _, pass := range []int{3, 4} { // after the two of the check sheet
			t.Run(fmt.Sprint(i, "pass ", pass-2), func(t *testing.T) {
				b := newBench(t, facts)
				folder := b.job(0)
				var last string
				b.jam = func(document int) int {
					if document == pass {
						return 4
					}
					return -1
				}
				b.answer = func(said string) string {
					if strings.Contains(said, "last good sheet") {
						last = said
						sent := b.journal().Sent
						return fmt.Sprint(sent[len(sent)-1].Sheets[3])
					}
					if strings.Contains(said, "are spoiled") {
						return "nothing"
					}
					return ""
				}
				if status := b.run(t.Context(), folder); status != Done {
					t.Fatalf("status %d:\n%s", status, b.screen.String())
				}
				if last == "" {
					t.Fatalf("nobody asked what came out:\n%s", b.screen.String())
				}
				b.book(folder)
			})
		}
	}
}

// A printer may forget a job once it has ended: then the person is asked what came out of it.
func TestPrintGoesOnWhereThePrinterForgets(t *testing.T) {
	for i, facts := range sample.Of(t, virtual.All(), 2, 0, 130) {
		b := newBench(t, facts)
		b.peer.Forgets = true
		asked := 0
		b.answer = func(said string) string {
			if strings.Contains(said, "last good sheet") {
				asked++
			}
			return b.tellTruth(said)
		}
		folder := b.job(0)
		if status := b.run(t.Context(), folder); status != Done || asked == 0 {
			t.Fatalf("%d: status %d, asked %d times:\n%s", i, status, asked, b.screen.String())
		}
		b.book(folder)
	}
}

// Whenever the program is stopped, the next one asks what came out, and neither sends a sheet
// twice nor leaves one out.
func TestPrintGoesOnWhereItStopped(t *testing.T) {
	random := sample.Random(t)
	for range 6 {
		all := virtual.All()
		facts := all[random.IntN(len(all))]
		b := newBench(t, facts)
		folder := b.job(3, "--run", "8")
		status, stops := Interrupted, 0
		for ; status == Interrupted && stops < 100; stops++ {
			ctx, stop := context.WithCancel(t.Context())
			after := random.IntN(4) // questions
			b.answer = func(said string) string {
				if after--; after < 0 && stops < 50 {
					defer stop()
				}
				return b.tellTruth(said)
			}
			status = b.run(ctx, folder)
			stop()
		}
		if status != Done || stops < 3 {
			t.Fatalf("%+v: status %d after %d stops:\n%s", facts, status, stops, b.screen.String())
		}
		b.book(folder)
	}
}

// The test sheet is printed, and read on the simulated printer, as the person was told.
func TestTheTestSheetIsPrinted(t *testing.T) {
	for _, automatic := range []bool{false, true} {
		b := newBench(t, virtual.All()[0])
		b.peer.Print = nil
		said := &strings.Builder{}
		answers := "no\nyes\nyes\n"
		if automatic {
			answers = "yes\nyes\n"
		}
		out := filepath.Join(b.dir, "test")
		status := Run(t.Context(), []string{"testsheet", "--three", "--paper", "a4", "--out", out, "--to", b.peer.URI, "--quiet"},
			Surroundings{In: strings.NewReader(answers), Out: io.Discard, Err: said, Region: "GB"})
		if status != Done {
			t.Fatalf("status %d: %s", status, said)
		}
		files := []string{"test-front.pdf", "test-back.pdf"}
		if automatic {
			files = []string{"test-both.pdf"}
		}
		if len(b.peer.Jobs) != len(files) {
			t.Fatalf("%d jobs, want %d: %s", len(b.peer.Jobs), len(files), said)
		}
		for i, name := range files {
			want, err := os.ReadFile(filepath.Join(out, name))
			if err != nil || string(want) != string(b.peer.Jobs[i].Document) {
				t.Errorf("%s is not what was sent: %v", name, err)
			}
			if two := b.peer.Jobs[i].Asks("sides") != "one-sided"; two != automatic {
				t.Errorf("%s: both sides %t, want %t", name, two, automatic)
			}
		}
	}
}

// The check sheet may be left out once it was found right, and not before; the run sheet is
// shown where the stack is put back.
func TestTheCheckSheetIsLeftOutOnceItWasRight(t *testing.T) {
	b := newBench(t, printer.Facts{TwoSided: printer.ByHand, FeedFace: printer.FeedUp, FeedFrom: printer.FromTop, Lands: printer.FaceDown,
		Stacks: printer.OnTop, Sends: printer.FirstPageFirst, Reload: printer.AsDelivered, FlipEdge: printer.ShortEdge})
	folder := b.job(0)
	store := filepath.Join(b.dir, "printers")
	if status := b.run(t.Context(), folder, "--no-check", "--profiles", store); status != WrongUse || len(b.peer.Jobs) > 0 {
		t.Fatalf("status %d, %d jobs: %s", status, len(b.peer.Jobs), b.screen.String())
	}
	if status := b.run(t.Context(), folder, "--open", "--profiles", store); status != Done {
		t.Fatalf("status %d: %s", status, b.screen.String())
	}
	b.book(folder)
	page, err := os.ReadFile(filepath.Join(folder, "run-sheet.html"))
	if err != nil || len(b.pages) != 1 || !strings.HasSuffix(b.pages[0], "/job/run-sheet.html#run-1") || !strings.Contains(string(page), `id="run-1"`) {
		t.Errorf("shown was %q, %v", b.pages, err)
	}
	if err := os.Remove(filepath.Join(folder, printing.JournalFile)); err != nil {
		t.Fatal(err)
	}
	before := len(b.peer.Jobs)
	b.out, b.stacks, b.came = nil, nil, map[string]bool{}
	if status := b.run(t.Context(), folder, "--no-check", "--profiles", store); status != Done || len(b.peer.Jobs) != before+2 {
		t.Errorf("status %d, %d jobs: %s", status, len(b.peer.Jobs)-before, b.screen.String())
	}
	b.book(folder)
}

// Learning begins with the test sheets, and goes on with the questions.
func TestLearnPrintsTheTestSheets(t *testing.T) {
	b := newBench(t, virtual.All()[0])
	b.peer.Print = nil
	said := &strings.Builder{}
	store := filepath.Join(b.dir, "printers")
	// No turning by itself, both passes, then the questions: by hand, as delivered, number 2, printed side, and Enter for what nobody looked at.
	answers := "no\nyes\nyes\n1\n1\n2\n1\n" + strings.Repeat("\n", 20)
	status := Run(t.Context(), []string{"learn", "desk", "--paper", "a4", "--to", b.peer.URI, "--profiles", store, "--quiet"},
		Surroundings{In: strings.NewReader(answers), Out: io.Discard, Err: said, Region: "GB", Person: true})
	if len(b.peer.Jobs) != 2 || !strings.Contains(said.String(), "Push a pin") {
		t.Fatalf("status %d, %d jobs: %s", status, len(b.peer.Jobs), said)
	}
	if strings.Index(said.String(), "Push a pin") < strings.Index(said.String(), "remember what you did") {
		t.Errorf("it asks before it has printed: %s", said)
	}
}
