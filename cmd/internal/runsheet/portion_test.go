package runsheet

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"foldwright/printer"
	"foldwright/printer/virtual"
)

// A run that the tray does not hold is printed in portions, and whoever follows
// the steps, or only the drawings and the pages that are named, ends with the right stack at
// every printer.
func TestPortionsFollowed(t *testing.T) {
	for _, f := range virtual.All() {
		for _, tray := range []int{1, 2, 4} {
			for _, backs := range []bool{true, false} {
				if !backs && f.TwoSided == printer.Automatic {
					continue
				}
				j, files := sample(f, backs, 5, 2)
				j.Profile.TraySheets = tray
				for _, s := range Steps(Parts(j)) {
					if load, ok := s.(LoadFresh); ok && load.Sheets > tray {
						t.Fatalf("%d sheets for a tray of %d", load.Sheets, tray)
					}
				}
				p, err := follow(t, f, j, files)
				if err != nil {
					t.Fatalf("%+v, tray of %d: %v", f, tray, err)
				}
				l, err := look(t, f, j, files)
				if err != nil {
					t.Fatalf("%+v, tray of %d, by the drawings: %v", f, tray, err)
				}
				if err := errors.Join(p.findFault(backs, 5, 2), l.findFault(backs, 5, 2)); err != nil {
					t.Fatalf("%+v, tray of %d: %v", f, tray, err)
				}
			}
		}
	}
}

// The words of a run in portions, at the usual printer.
func TestPortionsTold(t *testing.T) {
	j, _ := sample(printer.Usual, true, 5)
	j.Profile.TraySheets = 2
	text := wordsOf(Parts(j))
	expectSaid(t, text,
		"5 sheets are to be printed, and the tray takes 2: print each file in 3 portions.",
		"Portion 1 of 3: print run-01-front.pdf, and of it only page 1, instead of all pages.",
		"Portion 2 of 3: print run-01-front.pdf, and of it only pages 2-3, instead of all pages.",
		"Portion 3 of 3: print run-01-back.pdf, and of it only pages 4-5, instead of all pages.",
		"Count exactly 2 sheets of A4 paper",
		"Lay the top sheet of the stack into the tray",
		"Let the whole stack lie beside the tray just as it lies, without any turn.",
		"Lay the rest of the stack, 2 sheets, into the tray",
		"only the portion that was interrupted is brought to its end here",
	)
	differ(t, onePortionNote(printer.OnTop), onePortionNote(printer.Beneath))
	if strings.Count(text, "It is one stack now") != 2 {
		t.Error("a portion is taken for the whole stack")
	}
	differ(t, TakePortion{2, printer.FromTop, false}, TakePortion{2, printer.FromBottom, false}, TakePortion{2, printer.FromTop, true},
		JoinPortion{printer.OnTop, true, false}, JoinPortion{printer.OnTop, false, false}, JoinPortion{printer.Beneath, false, false}, JoinPortion{printer.OnTop, false, true},
		portionsNote(5, 2, 3), portionsNote(5, 3, 2), PutBack{Reload: printer.AsDelivered}, PutBack{Reload: printer.AsDelivered, Beside: true}, PutBack{Reload: printer.TurnLong}, PutBack{Reload: printer.TurnLong, Beside: true})
}

// The words of the rest of a run in portions, for a jam after the second of five backs.
func TestRestInPortionsTold(t *testing.T) {
	j, _ := sample(printer.Usual, true, 5)
	j.Profile.TraySheets = 2
	r := Remainder{
		Job: j, Run: j.Runs[0], Pass: printer.BackPass, After: 2, NextOut: "sheet 3, back", File: "rest.pdf", From: "run-01-back.pdf", Pages: "3-5",
		Good: Ends{2, "sheet 1, front", "sheet 2, front"}, Left: Ends{3, "sheet 3, front", "sheet 5, front"},
	}
	text := wordsOf(RemainderParts(r))
	expectSaid(t, text,
		"Lay the good sheets beside the printer, onto those of this file that may lie there already, just as they lie",
		"Take the sheets that still want their backs out of the tray, and lay them onto the stack that waits beside it, just as they lie",
		"3 sheets are to be printed, and the tray takes 2: print each file in 2 portions.",
		"Lay the top sheet of the stack into the tray",
		"Portion 1 of 2: print rest.pdf, and of it only page 1, instead of all pages.",
		"Lay the rest of the stack, 2 sheets, into the tray",
		"Portion 2 of 2: print rest.pdf, and of it only pages 2-3, instead of all pages.",
	)
	if strings.Contains(text, "Take the sheets out of the delivery and lay them beside the printer") {
		t.Error("the good sheets are forgotten")
	}
	r.After, r.Good.Sheets, r.Left = 3, 3, Ends{2, "sheet 4, front", "sheet 5, front"}
	if text := wordsOf(RemainderParts(r)); strings.Contains(text, "Portion 1") || !strings.Contains(text, "look at the settings and print rest.pdf") && !strings.Contains(text, "Look at the settings and print rest.pdf") {
		t.Error("two sheets are not printed as one portion")
	}
}

// Of a single sheet nobody asks whether the tray holds so many.
func TestOneSheetFitsEveryTray(t *testing.T) {
	for sheets, want := range map[int]bool{1: false, 2: true} {
		j, _ := sample(printer.Usual, true, sheets)
		if got := strings.Contains(wordsOf(Parts(j)), "does not hold so many"); got != want {
			t.Errorf("%d sheets: the tray is asked about: %v", sheets, got)
		}
	}
}

// The pages of a portion are those of the file's other end if it is sent from there.
func TestPagesOfPortions(t *testing.T) {
	for _, c := range []struct {
		p     portion
		whole Pages
		sends printer.Sends
		want  string
	}{
		{portion{0, 4}, Pages{1, 10}, printer.FirstPageFirst, "1-4"},
		{portion{4, 10}, Pages{1, 10}, printer.FirstPageFirst, "5-10"},
		{portion{0, 4}, Pages{1, 10}, printer.LastPageFirst, "7-10"},
		{portion{4, 10}, Pages{1, 10}, printer.LastPageFirst, "1-6"},
		{portion{0, 4}, Pages{1, 20}, printer.FirstPageFirst, "1-8"},
		{portion{4, 10}, Pages{1, 20}, printer.LastPageFirst, "1-12"},
		{portion{9, 10}, Pages{1, 10}, printer.FirstPageFirst, "10"},
		{portion{0, 4}, Pages{5, 14}, printer.FirstPageFirst, "5-8"},
		{portion{0, 4}, Pages{9, 28}, printer.LastPageFirst, "21-28"},
	} {
		if got := c.p.of(c.whole, 10, c.sends).String(); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
	var j Job
	for _, c := range []struct {
		tray, sheets int
		want         string
	}{{0, 30, "[{0 30}]"}, {30, 30, "[{0 30}]"}, {29, 30, "[{0 15} {15 30}]"}, {4, 10, "[{0 3} {3 6} {6 10}]"}} {
		j.Profile.TraySheets = c.tray
		if got := fmt.Sprint(j.portions(c.sheets)); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
}

// expectSaid looks for each of the wanted words in a run sheet's.
func expectSaid(t *testing.T, text string, wanted ...string) {
	t.Helper()
	for _, want := range wanted {
		if !strings.Contains(text, want) {
			t.Errorf("it does not say: %s", want)
		}
	}
}
