package output

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder/paper"
	"foldwright/reorder/refusal"
)

// TestEverySheetCanBeReprinted spoils every sheet of a book on all 144
// printers. A person follows the reprint's run sheet, puts the new sheet in the
// place of the spoiled one, and has the book. By hand the same is done where
// only the back was spoiled and the good front lies about in any of the four
// ways.
func TestEverySheetCanBeReprinted(t *testing.T) {
	t.Parallel()
	reprints := 0
	onEveryPrinter(t, 21, func(m mendable) {
		m.Read(t, m.stack, 0.1)
		chosen := []options.Pages{{{First: 2, Last: 4}}, {{First: 1, Last: 1}, {First: 3, Last: 3}, {First: 6, Last: 6}}}
		for n := 1; n <= len(m.stack); n++ {
			chosen = append(chosen, only(n))
		}
		for i, sheets := range chosen {
			var want []int
			for _, s := range sheets {
				for n := s.First; n <= s.Last; n++ {
					want = append(want, n)
				}
			}
			for _, backs := range []bool{false, true} {
				if backs && m.facts.TwoSided == printer.Automatic {
					continue
				}
				tray := (reprints + m.at) % 3 // 0: nobody knows what it holds
				m.draft.Profile.TraySheets = tray
				rep, err := m.draft.Reprint(Choice{Sheets: sheets, Backs: backs})
				if err != nil {
					t.Fatal(err)
				}
				hands := m.hands(t, &rep.Part)
				hands.Holds = tray
				if backs {
					hands.Held = m.goodFronts(t, want, printer.Reload(1+(m.at+i)%4))
				}
				fresh, err := m.follow(hands, runsheet.Steps(runsheet.ReprintParts(rep.RunSheet())))
				if err != nil {
					t.Fatalf("%+v, sheets %v, only backs %v, tray of %d: %v", m.facts, sheets, backs, tray, err)
				}
				m.Read(t, replaced(t, m.stack, fresh, want...), 0.1)
				reprints++
			}
		}
	})
	t.Logf("%d reprints", reprints)
}

// TestEverySheetCanBePrintedFromTheFilesOfTheJob: without the program a person
// prints a sheet's pages of the job's own files, which the job's run sheet names, and
// puts the sheet back as always.
func TestEverySheetCanBePrintedFromTheFilesOfTheJob(t *testing.T) {
	onEveryPrinter(t, 21, func(m mendable) {
		number := 0
		for _, run := range m.Runs {
			for place := 1; place <= run.Sheets; place++ {
				number++
				var files [][]printtest.Page
				for i, o := range runsheet.OrdersOf(m.facts, true) {
					of := o.Of(place, run.Sheets)
					files = append(files, m.pages(t, run.Files()[i])[of.From-1:of.To])
				}
				done, err := m.printer.Make(files...)
				if err != nil {
					t.Fatal(err)
				}
				if got := done[0].Front.Image.Name(); got != fmt.Sprintf("sheet %d, front", number) {
					t.Fatalf("%+v: %q was printed for sheet %d", m.facts, got, number)
				}
				m.Read(t, replaced(t, m.stack, map[int]paper.Sheet{number: printtest.Printed(m.Size(), done[0])}, number), 0.1)
			}
		}
	})
}

// goodFronts are fronts of the job that lie about, turned in one way or another.
func (m mendable) goodFronts(t *testing.T, sheets []int, turned printer.Reload) virtual.Stack[printtest.Page] {
	t.Helper()
	var out virtual.Stack[printtest.Page]
	for _, run := range m.Runs {
		pages := m.pages(t, run.Files()[0])
		done, err := m.printer.Print(virtual.Blank[printtest.Page](len(pages)), pages)
		if err != nil {
			t.Fatal(err)
		}
		for i := range done {
			for _, n := range sheets {
				if printtest.Number(done[i]) == n {
					one, err := virtual.Reload(done[i:i+1], turned)
					if err != nil {
						t.Fatal(err)
					}
					out = append(out, one...)
				}
			}
		}
	}
	return out
}

// sides is every page of the files by what its side name says.
func sides(t *testing.T, r *printtest.Reader, folder string, files []string) map[string]printtest.Page {
	t.Helper()
	out := map[string]printtest.Page{}
	for _, f := range files {
		for _, p := range r.Pages(t, filepath.Join(folder, f)) {
			out[fmt.Sprint(p.Name())] = p
		}
	}
	return out
}

// TestReprintedSidesAreTheSame compares words, places and all of a reprint's
// sides with the job's, for jobs of several kinds.
func TestReprintedSidesAreTheSame(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 45)
	set := setting(t)
	for _, o := range []options.Options{
		{Sheets: 2, Run: options.Run{Most: 5}, Trim: options.Trim{Given: true, Head: 2, Tail: 3, ForeEdge: 4}, Caliper: 0.137, Gutter: 3.333},
		{Cut: 2, Sheets: 2, CutBy: options.CutByRun}, {Cut: 2, Pieces: 3}, {Cut: 4, Pieces: 3, OnlyGathering: 2}, {OnlyGathering: 2, Sheets: 4}, {Fold: 3, Scale: options.Scale{Scale: 0.4567}},
		{Dummy: true, Volumes: 2, Printer: "automatic-short"},
	} {
		r := new(printtest.Reader)
		folder, made := prepared(t, source, o, set)
		var files []string
		for _, run := range made.Runs {
			files = append(files, run.Files()...)
		}
		was := sides(t, r, folder, files)
		d := redrafted(t, folder, source, set)
		first, last := made.Gatherings[0].FirstSheet, made.Gatherings[0].FirstSheet+made.Sheets-1
		rep, err := d.Reprint(Choice{Sheets: options.Pages{{First: first, Last: last}}})
		if err != nil {
			t.Fatal(err)
		}
		place := filepath.Join(folder, rep.Folder)
		if err := rep.Write(t.Context(), place, false); err != nil {
			t.Fatal(err)
		}
		files = nil
		for _, f := range rep.files {
			files = append(files, f.Name)
		}
		now := sides(t, r, place, files)
		if len(was) < 2*made.Sheets || !reflect.DeepEqual(was, now) {
			t.Errorf("%+v: the sides differ: %d and %d", o, len(was), len(now))
		}
	}
}

// TestReprintChoosesSheets finds sheets by page and gathering, and refuses
// what is not there.
func TestReprintChoosesSheets(t *testing.T) {
	source := printtest.Book(t, 29)
	set := setting(t)
	folder, made := prepared(t, source, options.Options{Sheets: 2}, set)
	before, err := os.ReadFile(filepath.Join(folder, plan.File))
	if err != nil {
		t.Fatal(err)
	}
	d := redrafted(t, folder, source, set)
	for page := 1; page <= 29; page++ {
		rep, err := d.Reprint(Choice{Pages: only(page)})
		if err != nil || len(rep.places) != 1 {
			t.Fatalf("page %d: %v, %v", page, rep, err)
		}
		// A folio gathering of s sheets: page k of 4s is on sheet min(k, 4s+1-k)/2, rounded up.
		want := 0
		k := page
		for _, g := range made.Gatherings {
			if n := len(g.Pages); k > n {
				k, want = k-n, want+g.Sheets
				continue
			} else {
				want += (min(k, n+1-k) + 1) / 2
			}
			break
		}
		if rep.Numbers != fmt.Sprint(want) {
			t.Errorf("page %d is on sheet %s, want %d", page, rep.Numbers, want)
		}
	}
	if rep, err := d.Reprint(Choice{Gatherings: only(2)}); err != nil || rep.Numbers != "3-4" || rep.Folder != "reprint-3-4" {
		t.Errorf("gathering 2 is %v, %v", rep, err)
	}
	if rep, err := d.Reprint(Choice{Sheets: options.Pages{{First: 7, Last: 7}}, Pages: only(1), Backs: true}); err != nil || rep.Folder != "reprint-1,7-back" {
		t.Errorf("%v, %v", rep, err)
	}
	for _, c := range []Choice{{Sheets: only(9)}, {Pages: only(30)}, {Gatherings: only(5)}, {Sheets: options.Pages{{First: 2, Last: 0}}}} {
		if _, err := d.Reprint(c); refusal.Of(err) != refusal.Plan {
			t.Errorf("%+v: %v", c, err)
		}
	}
	rep, err := d.Reprint(Choice{Sheets: only(2)})
	if err != nil {
		t.Fatal(err)
	}
	if err := rep.Write(t.Context(), filepath.Join(folder, rep.Folder), false); err != nil {
		t.Fatal(err)
	}
	if after, err := os.ReadFile(filepath.Join(folder, plan.File)); err != nil || string(after) != string(before) {
		t.Errorf("the plan has changed (%v)", err)
	}
	if _, err := redraftOf(t.Context(), folder, made, printtest.Book(t, 30), set); refusal.Of(err) != refusal.Source {
		t.Errorf("another source: %v", err)
	}
	made.Scale *= 1.001
	if _, err := redraftOf(t.Context(), folder, made, source, set); !errors.Is(err, plan.ErrOtherPlan) {
		t.Errorf("another plan: %v", err)
	}
}
