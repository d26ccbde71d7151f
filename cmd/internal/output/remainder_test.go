package output

import (
	"maps"
	"slices"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder/paper"
	"foldwright/reorder/refusal"
)

// TestEveryRunCanBeContinued stops every pass of a run after every sheet, on
// all 144 printers. A person follows the run sheet of what is left, with the
// file of its own or the page range in turn, and has the stack of the run; with
// the next sheet lost in the back pass too, which is printed again. Trays of all
// sizes are tried in turn; what they do not hold is printed in portions.
func TestEveryRunCanBeContinued(t *testing.T) {
	t.Parallel()
	continued, portioned := 0, 0
	onEveryPrinter(t, 29, func(m mendable) {
		run := m.draft.Runs[1]
		for _, f := range run.Passes {
			sent := m.draft.Profile.SheetsOut(f.File())
			for stop := range len(sent) {
				for lost := range 2 {
					if lost > 0 && (f.Pass != printer.BackPass || stop+1 == len(sent)) {
						continue
					}
					var without options.Pages
					if lost > 0 {
						without = only(run.First + sent[stop] - 1)
					}
					tray := (continued + m.at) % (run.Sheets + 1) // 0: nobody knows what it holds
					m.draft.Profile.TraySheets = tray
					where := Stop{Run: run.Number, Pass: f.Pass, Without: without} // the first sheet jams
					if stop > 0 {
						where = Stop{After: run.First + sent[stop-1] - 1, Pass: f.Pass, Without: without}
					}
					rest, err := m.draft.Remainder(where)
					if err != nil {
						t.Fatal(err)
					}
					if after := orderOf(m.facts, f.Pass).After(sent[max(0, stop-1)], run.Sheets); lost == 0 && stop > 0 && rest.Pages != after.String() {
						t.Fatalf("%+v: the run sheet of the job says pages %s, not %s", m.facts, after, rest.Pages)
					}
					hands := m.hands(t, &rest.Part)
					hands.ByRange, hands.Holds = continued%2 == 0, tray
					m.jammed(t, hands, f.Pass, stop, lost)
					steps := runsheet.Steps(runsheet.RemainderParts(rest.RunSheet()))
					fresh, err := m.follow(hands, steps)
					if err != nil {
						t.Fatalf("%+v, %s after %d sheets, %d lost, tray of %d: %v", m.facts, f.Pass, stop, lost, tray, err)
					}
					if slices.ContainsFunc(steps, func(s runsheet.Step) bool { p, ok := s.(runsheet.PrintFile); return ok && p.Portion != "" }) {
						portioned++
					}
					if lost > 0 {
						maps.Copy(fresh, m.reprinted(t, without))
					}
					m.Read(t, replaced(t, m.stack, fresh, 5, 6, 7, 8), 0.1)
					continued++
				}
			}
		}
	})
	t.Logf("%d runs continued, %d in portions", continued, portioned)
	if portioned < continued/5 {
		t.Errorf("%d of %d runs were continued in portions", portioned, continued)
	}
}

// orderOf is what the job's run sheet knows of the order of a file.
func orderOf(facts printer.Facts, pass printer.Pass) runsheet.FileOrder {
	orders := runsheet.OrdersOf(facts, true)
	return orders[slices.IndexFunc(orders, func(o runsheet.FileOrder) bool { return o.Pass == pass })]
}

// reprinted is sheets that were lost, printed again.
func (m mendable) reprinted(t *testing.T, sheets options.Pages) map[int]paper.Sheet {
	t.Helper()
	rep, err := m.draft.Reprint(Choice{Sheets: sheets})
	if err != nil {
		t.Fatal(err)
	}
	fresh, err := m.follow(m.hands(t, &rep.Part), runsheet.Steps(runsheet.ReprintParts(rep.RunSheet())))
	if err != nil {
		t.Fatal(err)
	}
	return fresh
}

// jammed prints the second run of a job until so many sheets of a pass have
// come out, and takes sheets that were lost out of the tray. A tray that does not hold
// the run was filled as often as could be.
func (m mendable) jammed(t *testing.T, h *printtest.Hands, pass printer.Pass, stop, lost int) {
	t.Helper()
	facts, run, p := m.facts, m.Runs[1], m.printer
	file := func(i int) []printtest.Page { return m.pages(t, run.Files()[i]) }
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
	first := sends[:stop*sheetPages]
	if facts.Sends == printer.LastPageFirst {
		first = sends[len(sends)-stop*sheetPages:]
	}
	tray, left := loaded.Split(stop, facts.FeedFrom)
	print := p.Print
	if pass == printer.BothPass {
		print = p.PrintBoth
	}
	if h.Out, err = print(tray, first); err != nil {
		t.Fatal(err)
	}
	if h.Holds > 0 && h.Holds < run.Sheets {
		before := stop / h.Holds * h.Holds // came out in portions that are done
		if facts.Stacks == printer.OnTop {
			h.Out, h.Aside = h.Out[:stop-before], h.Out[stop-before:]
		} else {
			h.Aside, h.Out = h.Out[:before], h.Out[before:]
		}
		left, h.Waiting = left.Split(min(before+h.Holds, run.Sheets)-stop, facts.FeedFrom)
		if pass != printer.BackPass {
			h.Waiting = nil // fresh paper
		}
	}
	_, h.Tray = left.Split(lost, facts.FeedFrom)
}

// TestNothingToContinue refuses what a job does not have.
func TestNothingToContinue(t *testing.T) {
	source := printtest.Book(t, 29)
	set := setting(t)
	folder, _ := prepared(t, source, options.Options{Sheets: 4}, set)
	d := redrafted(t, folder, source, set)
	if _, err := d.Remainder(Stop{After: 9, Pass: printer.BackPass}); refusal.Of(err) != refusal.Plan {
		t.Error(err)
	}
	last := d.Profile.SheetsOut(d.Runs[0].Passes[1].File())
	if _, err := d.Remainder(Stop{After: last[len(last)-1], Pass: printer.BackPass}); refusal.Of(err) != refusal.Plan {
		t.Error(err)
	}
	if _, err := d.Remainder(Stop{After: last[2], Pass: printer.BackPass, Without: only(last[1])}); refusal.Of(err) != refusal.Plan {
		t.Error(err)
	}
	if _, err := d.Remainder(Stop{After: 3}); refusal.Of(err) != refusal.Use {
		t.Error(err)
	}
	if _, err := d.Remainder(Stop{After: 3, Pass: printer.FrontPass, Without: only(4)}); refusal.Of(err) != refusal.Use {
		t.Error(err)
	}
	// Of several runs it has to be said which one, and of a sheet it is known.
	if _, err := d.Remainder(Stop{Pass: printer.FrontPass}); len(d.Runs) > 1 && refusal.Of(err) != refusal.Use {
		t.Error(err)
	}
	if _, err := d.Remainder(Stop{Run: 9, Pass: printer.FrontPass}); refusal.Of(err) != refusal.Plan {
		t.Error(err)
	}
	if _, err := d.Remainder(Stop{After: 3, Run: 1, Pass: printer.FrontPass}); refusal.Of(err) != refusal.Use {
		t.Error(err)
	}
}
