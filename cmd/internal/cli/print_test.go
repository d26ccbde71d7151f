package cli

import (
	"context"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"foldwright/cmd/internal/joblog"
	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/testkit/benchtest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder/paper"
	"foldwright/reorder/sample"
)

// bench is a bench where the program prints at a terminal.
type bench struct {
	*benchtest.Bench
	begin int // of what was said since the last question
	typed io.Writer
	pages []string // that were shown in the browser
}

func newBench(t *testing.T, facts printer.Facts) *bench {
	return &bench{Bench: benchtest.New(t, facts)}
}

// Write is what the program says; a question gets its answer.
func (b *bench) Write(data []byte) (int, error) {
	b.Lock()
	defer b.Unlock()
	b.Screen.Write(data)
	if !strings.HasSuffix(string(data), " ") {
		return len(data), nil
	}
	said := b.Screen.String()[b.begin:]
	b.begin = b.Screen.Len()
	answer, typed := b.Hear(said), b.typed
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
	return Run(ctx, append([]string{"print", "--to", b.Peer.URI, "--quiet"}, args...), Surroundings{In: in, Out: io.Discard, Err: b, Region: "GB", Person: true, Browse: func(url string) error { b.pages = append(b.pages, url); return nil }})
}

// job prepares a book for the printer and returns its folder.
func (b *bench) job(tray int, args ...string) string {
	folder := filepath.Join(b.Dir, "job")
	if status, _, said := runWith(b.T, "", append([]string{"prepare", printtest.Book(b.T, 40), "--out", folder, "--printer", b.Profile(tray), "--paper", "a4", "--quiet"}, args...)...); status != Done {
		b.T.Fatalf("status %d: %s", status, said)
	}
	b.Folder = folder
	return folder
}

// log is the job's log, which has a line for each thing in the journal of which it was said what came out.
func (b *bench) log(folder string) joblog.Log {
	b.T.Helper()
	log, err := joblog.Read(folder)
	if err != nil || log.Strange > 0 {
		b.T.Fatalf("%d strange lines, %v", log.Strange, err)
	}
	var printed, sent []string
	for _, l := range log.Lines {
		if l.What == joblog.Printed {
			printed = append(printed, fmt.Sprint(l.Get("run"), " ", l.Get("pass"), " ", l.Get("sent"), " ", l.Get("good")))
		}
	}
	for _, e := range b.Journal().Sent {
		sent = append(sent, fmt.Sprint(e.Run, " ", e.Pass, " ", len(e.Sheets), " ", e.Good))
	}
	if !slices.Equal(printed, sent) {
		b.T.Errorf("the log has %q, the journal %q", printed, sent)
	}
	return log
}

// onPrinter is a kind of job on a printer.
type onPrinter struct {
	printer int // among all
	tray    int // how many sheets it holds; 0: all
	args    []string
}

// everyPrinted is each kind of job on every printer; always are the places of the kinds, each on one of three
// printers that differ in much.
func everyPrinted(jobs ...onPrinter) (all []onPrinter, always []int) {
	for p := range virtual.All() {
		for _, j := range jobs {
			all = append(all, onPrinter{p, j.tray, j.args})
		}
	}
	for kind := range jobs {
		always = append(always, []int{0, 17, 130}[kind%3]*len(jobs)+kind)
	}
	return all, always
}

// Who does what print says, on whatever printer, has the book.
func TestPrintMakesTheBookOnEveryPrinter(t *testing.T) {
	t.Parallel()
	all, always := everyPrinted(onPrinter{args: []string{"--cut", "2"}}, onPrinter{tray: 3, args: []string{"--run", "8"}},
		onPrinter{}, onPrinter{args: []string{"--fold", "quarto", "--sheets", "2"}})
	for _, c := range sample.Of(t, all, 1, always...) {
		t.Run(fmt.Sprint(c.printer, c.args), func(t *testing.T) {
			b := newBench(t, virtual.All()[c.printer])
			folder := b.job(c.tray, c.args...)
			if status := b.run(t.Context(), folder); status != Done {
				t.Fatalf("status %d:\n%s", status, b.Screen.String())
			}
			b.ReadBook(folder)
		})
	}
}

// Spoiled sheets are printed once more, and take the places of those that they are for.
func TestSpoiledSheetsArePrintedOnceMore(t *testing.T) {
	t.Parallel()
	all, always := everyPrinted(onPrinter{}, onPrinter{tray: 3, args: []string{"--run", "8"}}, onPrinter{args: []string{"--fold", "quarto", "--sheets", "2"}})
	for _, c := range sample.Of(t, all, 1, always...) {
		t.Run(fmt.Sprint(c.printer, c.args), func(t *testing.T) {
			b := newBench(t, virtual.All()[c.printer])
			folder := b.job(c.tray, c.args...)
			if status := b.run(t.Context(), folder); status != Done {
				t.Fatalf("status %d:\n%s", status, b.Screen.String())
			}
			good := map[int]paper.Sheet{}
			take := func() (numbers []int) {
				b.TakeAway()
				j := printtest.Load(t, folder)
				for _, stack := range b.Stacks {
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
				b.Stacks = nil
				return numbers
			}
			take()
			spoiled := []int{2, len(good) - 1}
			for _, n := range spoiled {
				delete(good, n)
			}
			b.Jam = func(int) int { return -1 } // they come out twice, as they are to
			if status := b.run(t.Context(), folder, "--sheet", fmt.Sprintf("%d,%d", spoiled[0], spoiled[1])); status != Done {
				t.Fatalf("status %d:\n%s", status, b.Screen.String())
			}
			if again := take(); !slices.Equal(again, spoiled) {
				t.Fatalf("sheets %v came out, wanted were %v", again, spoiled)
			}
			var sheets []paper.Sheet
			for _, n := range slices.Sorted(maps.Keys(good)) {
				sheets = append(sheets, good[n])
			}
			printtest.Load(t, folder).Read(t, sheets, 0.15)
			if sum := b.log(folder).Sum(); (sum != joblog.Sum{Checks: 1, Good: len(good), Spoiled: 2}) {
				t.Errorf("the log adds up to %+v", sum)
			}
		})
	}
}

// A job that has jammed in a pass goes on with what is left, also in another start of the
// program, and sends no sheet twice.
func TestPrintGoesOnAfterAJam(t *testing.T) {
	t.Parallel()
	for i, facts := range sample.Of(t, virtual.All(), 1, 0, 17) {
		if facts.TwoSided == printer.Automatic {
			continue
		}
		for _, pass := range []int{3, 4} { // after the two of the check sheet
			t.Run(fmt.Sprint(i, "pass ", pass-2), func(t *testing.T) {
				b := newBench(t, facts)
				folder := b.job(0)
				var last string
				b.Jam = func(document int) int {
					if document == pass {
						return 4
					}
					return -1
				}
				b.Answer = func(said string) string {
					if strings.Contains(said, "last good sheet") {
						last = said
						sent := b.Journal().Sent
						return fmt.Sprint(sent[len(sent)-1].Sheets[3])
					}
					if strings.Contains(said, "are spoiled") {
						return "nothing"
					}
					return ""
				}
				if status := b.run(t.Context(), folder); status != Done {
					t.Fatalf("status %d:\n%s", status, b.Screen.String())
				}
				if last == "" {
					t.Fatalf("nobody asked what came out:\n%s", b.Screen.String())
				}
				b.ReadBook(folder)
			})
		}
	}
}

// A printer may forget a job once it has ended: then the person is asked what came out of it.
func TestPrintGoesOnWhereThePrinterForgets(t *testing.T) {
	t.Parallel()
	for i, facts := range sample.Of(t, virtual.All(), 1, 0, 130) {
		b := newBench(t, facts)
		b.Peer.Forgets = true
		asked := 0
		b.Answer = func(said string) string {
			if strings.Contains(said, "last good sheet") {
				asked++
			}
			return b.TellTruth(said)
		}
		folder := b.job(0)
		if status := b.run(t.Context(), folder); status != Done || asked == 0 {
			t.Fatalf("%d: status %d, asked %d times:\n%s", i, status, asked, b.Screen.String())
		}
		b.ReadBook(folder)
	}
}

// Whenever the program is stopped, the next one asks what came out, and neither sends a sheet
// twice nor leaves one out.
func TestPrintGoesOnWhereItStopped(t *testing.T) {
	t.Parallel()
	random := sample.Random(t)
	tries := 2
	if sample.Full() {
		tries = 12
	}
	for range tries {
		all := virtual.All()
		facts := all[random.IntN(len(all))]
		b := newBench(t, facts)
		folder := b.job(3, "--run", "8")
		status, stops := Interrupted, 0
		for ; status == Interrupted && stops < 100; stops++ {
			ctx, stop := context.WithCancel(t.Context())
			after := random.IntN(4) // questions
			b.Answer = func(said string) string {
				if after--; after < 0 && stops < 50 {
					defer stop()
				}
				return b.TellTruth(said)
			}
			status = b.run(ctx, folder)
			stop()
		}
		if status != Done || stops < 3 {
			t.Fatalf("%+v: status %d after %d stops:\n%s", facts, status, stops, b.Screen.String())
		}
		b.ReadBook(folder)
	}
}

// The test sheet is printed, and read on the simulated printer, as the person was told.
func TestTheTestSheetIsPrinted(t *testing.T) {
	for _, automatic := range []bool{false, true} {
		b := newBench(t, virtual.All()[0])
		b.Peer.Print = nil
		said := &strings.Builder{}
		answers := "no\nyes\nyes\n"
		if automatic {
			answers = "yes\nyes\n"
		}
		out := filepath.Join(b.Dir, "test")
		status := Run(t.Context(), []string{"testsheet", "--three", "--paper", "a4", "--out", out, "--to", b.Peer.URI, "--quiet"},
			Surroundings{In: strings.NewReader(answers), Out: io.Discard, Err: said, Region: "GB"})
		if status != Done {
			t.Fatalf("status %d: %s", status, said)
		}
		files := []string{"test-front.pdf", "test-back.pdf"}
		if automatic {
			files = []string{"test-both.pdf"}
		}
		if len(b.Peer.Jobs) != len(files) {
			t.Fatalf("%d jobs, want %d: %s", len(b.Peer.Jobs), len(files), said)
		}
		for i, name := range files {
			want, err := os.ReadFile(filepath.Join(out, name))
			if err != nil || string(want) != string(b.Peer.Jobs[i].Document) {
				t.Errorf("%s is not what was sent: %v", name, err)
			}
			if two := b.Peer.Jobs[i].Asks("sides") != "one-sided"; two != automatic {
				t.Errorf("%s: both sides %t, want %t", name, two, automatic)
			}
		}
	}
}

// The check sheet may be left out once it was found right, and not before; the run sheet is
// shown where the stack is put back.
func TestTheCheckSheetIsLeftOutOnceItWasRight(t *testing.T) {
	t.Parallel()
	b := newBench(t, printer.Facts{TwoSided: printer.ByHand, FeedFace: printer.FeedUp, FeedFrom: printer.FromTop, Lands: printer.FaceDown,
		Stacks: printer.OnTop, Sends: printer.FirstPageFirst, Reload: printer.AsDelivered, FlipEdge: printer.ShortEdge})
	folder := b.job(0)
	store := filepath.Join(b.Dir, "printers")
	if status := b.run(t.Context(), folder, "--no-check", "--profiles", store); status != WrongUse || len(b.Peer.Jobs) > 0 {
		t.Fatalf("status %d, %d jobs: %s", status, len(b.Peer.Jobs), b.Screen.String())
	}
	if status := b.run(t.Context(), folder, "--open", "--profiles", store); status != Done {
		t.Fatalf("status %d: %s", status, b.Screen.String())
	}
	b.ReadBook(folder)
	page, err := os.ReadFile(filepath.Join(folder, "run-sheet.html"))
	if err != nil || len(b.pages) != 1 || !strings.HasSuffix(b.pages[0], "/job/run-sheet.html#run-1") || !strings.Contains(string(page), `id="run-1"`) {
		t.Errorf("shown was %q, %v", b.pages, err)
	}
	if err := os.Remove(filepath.Join(folder, printing.JournalFile)); err != nil {
		t.Fatal(err)
	}
	before := len(b.Peer.Jobs)
	b.Out, b.Stacks, b.Came = nil, nil, map[string]bool{}
	if status := b.run(t.Context(), folder, "--no-check", "--profiles", store); status != Done || len(b.Peer.Jobs) != before+2 {
		t.Errorf("status %d, %d jobs: %s", status, len(b.Peer.Jobs)-before, b.Screen.String())
	}
	b.ReadBook(folder)
}

// Learning begins with the test sheets, and goes on with the questions.
func TestLearnPrintsTheTestSheets(t *testing.T) {
	b := newBench(t, virtual.All()[0])
	b.Peer.Print = nil
	said := &strings.Builder{}
	store := filepath.Join(b.Dir, "printers")
	// No turning by itself, both passes, then the questions: by hand, as delivered, number 2, printed side, and Enter for what nobody looked at.
	answers := "no\nyes\nyes\n1\n1\n2\n1\n" + strings.Repeat("\n", 20)
	status := Run(t.Context(), []string{"learn", "desk", "--paper", "a4", "--to", b.Peer.URI, "--profiles", store, "--quiet"},
		Surroundings{In: strings.NewReader(answers), Out: io.Discard, Err: said, Region: "GB", Person: true})
	if len(b.Peer.Jobs) != 2 || !strings.Contains(said.String(), "Push a pin") {
		t.Fatalf("status %d, %d jobs: %s", status, len(b.Peer.Jobs), said)
	}
	if strings.Index(said.String(), "Push a pin") < strings.Index(said.String(), "remember what you did") {
		t.Errorf("it asks before it has printed: %s", said)
	}
}
