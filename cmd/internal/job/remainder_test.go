package job

import (
	"errors"
	"maps"
	"path/filepath"
	"slices"
	"testing"

	"foldwright/cmd/internal/printtest"
	"foldwright/cmd/internal/runsheet"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder/paper"
)

func stepsOf(parts []runsheet.Part) (steps []runsheet.Step) {
	for _, p := range parts {
		if p.Anchor != "trouble" {
			for _, s := range p.Stages {
				steps = append(steps, s.Steps...)
			}
		}
	}
	return steps
}

// TestEveryRunCanBeContinued stops every pass of a run after every sheet, on
// all 144 printers. A person follows the run sheet of what is left, with the
// file of its own or the page range in turn, and has the stack of the run; with
// the next sheet lost in the back pass too, which is printed again.
func TestEveryRunCanBeContinued(t *testing.T) {
	source := printtest.Book(t, 29)
	set := setting(t)
	r := new(printtest.Reader)
	continued := 0
	for at, facts := range virtual.All() {
		if testing.Short() && at%12 != 0 {
			continue // a sample, for the race detector
		}
		folder, _ := prepared(t, source, Options{Printer: profileFile(t, facts), Sheets: 2, Run: Run{Most: 4}}, set)
		j := printtest.Load(t, folder)
		stack := j.Print(t, r, printtest.Printer(t, facts))
		d := redrafted(t, folder, source, set)
		run := d.Runs[1]
		for _, f := range run.Files {
			sent := d.sent(f)
			for stop := 1; stop < len(sent); stop++ {
				for lost := range 2 {
					if lost > 0 && (f.Pass != printer.BackPass || stop+1 == len(sent)) {
						continue
					}
					var without Pages
					if lost > 0 {
						without = only(run.First + sent[stop] - 1)
					}
					rest, err := d.Remainder(run.First+sent[stop-1]-1, f.Pass, without)
					if err != nil {
						t.Fatal(err)
					}
					if from, to := orderOf(facts, f.Pass).After(sent[stop-1], run.Sheets()); lost == 0 && !slices.Equal(rest.pages, Pages{{from, to}}) {
						t.Fatalf("%+v: the run sheet of the job says pages %d to %d, not %s", facts, from, to, rest.Pages())
					}
					place := filepath.Join(folder, rest.Folder())
					if err := rest.Write(t.Context(), place, true); err != nil {
						t.Fatal(err)
					}
					hands := &printtest.Hands{T: t, Reader: r, Folder: place, Printer: printtest.Printer(t, facts), ByRange: continued%2 == 0}
					jammed(t, hands, j, f.Pass, stop, lost)
					if err := hands.Follow(stepsOf(runsheet.RemainderParts(rest.RunSheet()))); err != nil {
						t.Fatalf("%+v, %s after %d sheets, %d lost: %v", facts, f.Pass, stop, lost, err)
					}
					fresh, err := hands.Finished(j.Size())
					if err != nil {
						t.Fatal(err)
					}
					if lost > 0 {
						maps.Copy(fresh, reprinted(t, r, d, folder, facts, j, without))
					}
					j.Read(t, replaced(t, stack, fresh, 5, 6, 7, 8), 0.1)
					continued++
				}
			}
		}
	}
	t.Logf("%d runs continued, %d different files", continued, r.Files())
}

// orderOf is what the job's run sheet knows of the order of a file.
func orderOf(facts printer.Facts, pass printer.Pass) runsheet.FileOrder {
	orders := runsheet.OrdersOf(facts, true)
	return orders[slices.IndexFunc(orders, func(o runsheet.FileOrder) bool { return o.Pass == pass })]
}

// reprinted is sheets that were lost, printed again.
func reprinted(t *testing.T, r *printtest.Reader, d *Draft, folder string, facts printer.Facts, j printtest.Job, sheets Pages) map[int]paper.Sheet {
	t.Helper()
	rep, err := d.Reprint(Choice{Sheets: sheets}, false)
	if err != nil {
		t.Fatal(err)
	}
	place := filepath.Join(folder, rep.Folder())
	if err := rep.Write(t.Context(), place, true); err != nil {
		t.Fatal(err)
	}
	hands := &printtest.Hands{T: t, Reader: r, Folder: place, Printer: printtest.Printer(t, facts)}
	if err := hands.Follow(reprintSteps(rep)); err != nil {
		t.Fatal(err)
	}
	fresh, err := hands.Finished(j.Size())
	if err != nil {
		t.Fatal(err)
	}
	return fresh
}

// jammed prints the second run of a job until so many sheets of a pass have
// come out, and takes sheets that were lost out of the tray.
func jammed(t *testing.T, h *printtest.Hands, j printtest.Job, pass printer.Pass, stop, lost int) {
	t.Helper()
	facts, run := j.Profile, j.Runs[1]
	file := func(i int) []printtest.Page { return h.Reader.Pages(t, filepath.Join(j.Folder, run.Files[i])) }
	p := printtest.Printer(t, facts)
	loaded, sheetPages := virtual.Blank[printtest.Page](run.Sheets), 1
	var err error
	sends := file(0)
	switch pass {
	case printer.BothPass:
		sheetPages = 2
	case printer.BackPass:
		once, e := p.Print(loaded, sends)
		if e != nil {
			t.Fatal(e)
		}
		loaded, err = virtual.Reload(once, facts.Reload)
		sends = file(1)
	}
	if err != nil {
		t.Fatal(err)
	}
	// The printer got through so many sheets: the pages sent first, the sheets fed first.
	first, tray, left := sends[:stop*sheetPages], loaded[:stop], loaded[stop:]
	if facts.Sends == printer.LastPageFirst {
		first = sends[len(sends)-stop*sheetPages:]
	}
	if facts.FeedFrom == printer.FromBottom {
		tray, left = loaded[len(loaded)-stop:], loaded[:len(loaded)-stop]
	}
	if pass == printer.BothPass {
		h.Out, err = p.PrintBoth(tray, first)
	} else {
		h.Out, err = p.Print(tray, first)
	}
	if err != nil {
		t.Fatal(err)
	}
	if facts.FeedFrom == printer.FromBottom {
		h.Tray = slices.Clone(left[:len(left)-lost])
	} else {
		h.Tray = slices.Clone(left[lost:])
	}
}

// TestNothingToContinue refuses what a job does not have.
func TestNothingToContinue(t *testing.T) {
	source := printtest.Book(t, 29)
	set := setting(t)
	folder, _ := prepared(t, source, Options{Sheets: 4}, set)
	d := redrafted(t, folder, source, set)
	var choice *ChoiceError
	var use *UseError
	if _, err := d.Remainder(9, printer.BackPass, nil); !errors.As(err, &choice) {
		t.Error(err)
	}
	last := d.sent(d.Runs[0].Files[1])
	if _, err := d.Remainder(last[len(last)-1], printer.BackPass, nil); !errors.As(err, &choice) {
		t.Error(err)
	}
	if _, err := d.Remainder(last[2], printer.BackPass, only(last[1])); !errors.As(err, &choice) {
		t.Error(err)
	}
	if _, err := d.Remainder(3, 0, nil); !errors.As(err, &use) {
		t.Error(err)
	}
	if _, err := d.Remainder(3, printer.FrontPass, only(4)); !errors.As(err, &use) {
		t.Error(err)
	}
}
