package output

import (
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/printertest"
	"foldwright/printer/virtual"
	"foldwright/reorder/paper"
)

// mendable is a job that has been printed, on a printer, in runs
// of at most four sheets.
type mendable struct {
	printtest.Job
	at      int // which printer
	facts   printer.Facts
	printer *virtual.Printer[printtest.Page]
	reader  *printtest.Reader
	stack   []paper.Sheet // of the finished book
	draft   Job           // planned once more
}

// pages are those of a file of the job.
func (m mendable) pages(t *testing.T, file string) []printtest.Page {
	t.Helper()
	return m.reader.Pages(t, filepath.Join(m.Folder, file))
}

// onEveryPrinter prepares and prints a book on every printer, or on a sample of them.
func onEveryPrinter(t *testing.T, pages int, do func(mendable)) {
	t.Helper()
	source := printtest.Book(t, pages)
	set := setting(t)
	m := mendable{reader: new(printtest.Reader)}
	for m.at, m.facts = range printertest.Some(t, 1) {
		folder, _ := prepared(t, source, options.Options{Printer: profileFile(t, m.facts), Sheets: 2, Run: options.Run{Most: 4}}, set)
		m.Job = printtest.Load(t, folder)
		m.printer = printtest.Printer(t, m.facts)
		m.stack = m.Print(t, m.reader, m.printer)
		m.draft = redrafted(t, folder, source, set)
		do(m)
	}
}

// hands writes the folder of a reprint or of a remainder, and are ready to follow it.
func (m mendable) hands(t *testing.T, part *Part) *printtest.Hands {
	t.Helper()
	place := filepath.Join(m.Folder, part.Folder)
	if err := part.Write(t.Context(), place, true); err != nil {
		t.Fatal(err)
	}
	return &printtest.Hands{T: t, Reader: m.reader, Folder: place, Printer: m.printer}
}

// follow is the sheets, by their numbers in the book, that come of steps.
func (m mendable) follow(hands *printtest.Hands, steps []runsheet.Step) (map[int]paper.Sheet, error) {
	if err := hands.Follow(steps); err != nil {
		return nil, err
	}
	return hands.Finished(m.Size())
}

// redrafted plans the job of a folder once more.
func redrafted(t *testing.T, folder, source string, set surrounding) Job {
	t.Helper()
	made, err := plan.Read(folder)
	if err != nil {
		t.Fatal(err)
	}
	d, err := redraftOf(t.Context(), folder, made, source, set)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d
}

func only(n int) options.Pages { return options.Pages{{First: n, Last: n}} }

// replaced is the stack of the book with new sheets in the places of spoiled ones.
func replaced(t *testing.T, stack []paper.Sheet, fresh map[int]paper.Sheet, want ...int) []paper.Sheet {
	t.Helper()
	out := append([]paper.Sheet{}, stack...)
	for _, n := range want {
		out[n-1] = paper.Sheet{}
	}
	if len(fresh) != len(want) {
		t.Fatalf("%d new sheets, want %v", len(fresh), want)
	}
	for n, s := range fresh {
		out[n-1] = s
	}
	return out
}
