package printer_test

import (
	"fmt"
	"slices"
	"testing"

	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder"
)

// TestStacksLieAsTheSimulatorLeavesThem follows runs through all printers, pass
// by pass: what is said of the delivery and of the tray is what lies there.
func TestStacksLieAsTheSimulatorLeavesThem(t *testing.T) {
	for _, facts := range virtual.All() {
		for _, n := range []int{1, 2, 5} {
			p, err := virtual.New[printer.Image](facts)
			if err != nil {
				t.Fatal(err)
			}
			files := facts.Files(n, true)
			first := files[0]
			told := printer.Deliver(facts, first.Pass, facts.SheetsOut(first))
			if facts.TwoSided == printer.Automatic {
				lies, err := p.PrintBoth(virtual.Blank[printer.Image](n), first.Images)
				agree(t, fmt.Sprintf("%+v, both passes", facts), told, lies, err)
				continue
			}
			lies, err := p.Print(virtual.Blank[printer.Image](n), first.Images)
			agree(t, fmt.Sprintf("%+v, fronts", facts), told, lies, err)
			told = told.PutBack(facts.Reload)
			lies, err = virtual.Reload(lies, facts.Reload)
			agree(t, fmt.Sprintf("%+v, in the tray", facts), told, lies, err)

			back := files[1]
			if taken := told.Feed(facts.FeedFrom); !slices.Equal(taken, facts.SheetsOut(back)) {
				t.Fatalf("%+v: the tray gives %v to backs of %v", facts, taken, facts.SheetsOut(back))
			}
			lies, err = p.Print(lies, back.Images)
			told = printer.Deliver(facts, back.Pass, told.Feed(facts.FeedFrom))
			agree(t, fmt.Sprintf("%+v, backs", facts), told, lies, err)
		}
	}
}

// agree compares what is said of a stack with what lies there.
func agree(t *testing.T, when string, told printer.Stack[int], lies virtual.Stack[printer.Image], err error) {
	t.Helper()
	if err != nil {
		t.Fatalf("%s: %v", when, err)
	}
	var sheets []int
	for _, s := range lies {
		sheets = append(sheets, s.Images()[0].Sheet)
		up := s.Upper()
		if frontUp := up.Printed && up.Image.Side == reorder.Front; frontUp != told.FrontsUp {
			t.Fatalf("%s: the front of sheet %d looks up: %v", when, s.Images()[0].Sheet, frontUp)
		}
	}
	if !slices.Equal(sheets, told.Sheets) {
		t.Fatalf("%s: %v lie there, not %v", when, sheets, told.Sheets)
	}
}

// TestStacksAreToldFromTheirEnds: of a long stack the first and the last sheet
// do.
func TestStacksAreToldFromTheirEnds(t *testing.T) {
	for _, facts := range printer.Legal() {
		out := facts.SheetsOut(facts.Files(4, true)[0])
		whole := printer.Deliver(facts, printer.FrontPass, out).PutBack(facts.Reload)
		ends := printer.Deliver(facts, printer.FrontPass, []int{out[0], out[3]}).PutBack(facts.Reload)
		if whole.FrontsUp != ends.FrontsUp || whole.Sheets[0] != ends.Sheets[0] || whole.Sheets[3] != ends.Sheets[1] {
			t.Errorf("%+v: %v by its ends is %v", facts, whole, ends)
		}
	}
}
