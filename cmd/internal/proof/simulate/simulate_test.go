package simulate

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"foldwright/cmd/internal/plan"
	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/printer/virtual"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

func a4(t *testing.T) reorder.Paper {
	t.Helper()
	paper, err := reorder.ParsePaper("a4")
	if err != nil {
		t.Fatal(err)
	}
	return paper
}

// planFor is what the plan of a job of two runs says, as far as it matters here.
func planFor(facts printer.Facts) plan.Plan {
	p := plan.Plan{
		Made:       plan.Made{Paper: plan.Paper{Paper: reorder.Paper{Name: "iso_a4_210x297mm", Size: geom.Size{W: 210, H: 297}}}},
		Gatherings: []plan.Gathering{{Number: 3, FirstSheet: 7, Sheets: 4}, {Number: 4, FirstSheet: 11, Sheets: 3}},
		Profile:    profiles.Profile{Name: "test", Facts: facts},
	}
	for i, g := range p.Gatherings {
		run := plan.Run{Number: i + 1, Sheets: g.Sheets}
		for _, f := range facts.Files(g.Sheets, true) {
			run.Passes = append(run.Passes, plan.PassOf(fmt.Sprintf("run-%02d-%s.pdf", i+1, f.Pass), f))
		}
		p.Runs = append(p.Runs, run)
	}
	return p
}

func TestEveryJobComesOutRightOnItsOwnPrinter(t *testing.T) {
	for _, f := range virtual.All() {
		o, err := Print(OfJob("book-print", planFor(f)), "test", f, f.Reload)
		if err != nil {
			t.Fatal(err)
		}
		if err := o.Fault(); err != nil {
			t.Errorf("%+v: %v\n%s", f, err, o.Text(nil))
		}
		if !strings.Contains(o.Text(nil), "it reads in order") || !strings.Contains(o.Text(nil), "sheet 13, back, the right way up") {
			t.Errorf("%+v: %s", f, o.Text(nil))
		}
	}
}

// Whoever prints a job on another printer is told, unless the files would have
// been the same.
func TestAnotherPrinterIsToldOf(t *testing.T) {
	usual := printer.Usual
	same := fmt.Sprint(usual.Files(4, true))
	right, wrong := 0, 0
	for _, f := range virtual.All() {
		if f.TwoSided == printer.Automatic {
			continue
		}
		o, err := Print(OfJob("book-print", planFor(usual)), "test", f, f.Reload)
		if err != nil {
			t.Fatal(err)
		}
		if good := o.Fault() == nil; good != (fmt.Sprint(f.Files(4, true)) == same) {
			t.Errorf("%+v: right %v, %v", f, good, o.Runs[0].Faults)
		} else if good {
			right++
		} else {
			wrong++
		}
	}
	if right != 16 || wrong != 112 { // 8 different sets of files among 128 printers
		t.Errorf("%d printers right, %d wrong", right, wrong)
	}
}

func TestFaultsAreNamed(t *testing.T) {
	other := printer.Usual
	for _, c := range []struct {
		name    string
		change  func(*printer.Facts)
		putBack printer.Reload
		want    string
	}{
		{"flip-edge", func(f *printer.Facts) { f.FlipEdge = printer.LongEdge }, printer.AsDelivered, "the backs are upside down"},
		{"put back", func(*printer.Facts) {}, printer.RotateHalf, "the backs are upside down"},
		{"turned over", func(*printer.Facts) {}, printer.TurnLong, "the second pass prints on sides that are already printed, and the other sides stay blank; with as-delivered or rotate they would be printed"},
		{"sends", func(f *printer.Facts) { f.Sends = printer.LastPageFirst }, printer.AsDelivered, "the stack is in reverse order: from the top it reads sheet 10 down to sheet 7"},
		{"stacks", func(f *printer.Facts) { f.Stacks = printer.Beneath }, printer.AsDelivered, "sheet 7 has the back of sheet 10; all backs are on the wrong sheets"},
	} {
		f := other
		c.change(&f)
		o, err := Print(OfJob("book-print", planFor(other)), "test", f, c.putBack)
		if err != nil {
			t.Fatal(err)
		}
		if refusal.Of(o.Fault()) != refusal.Faults {
			t.Errorf("%s: no fault", c.name)
		}
		if !strings.Contains(o.Text(nil), c.want) || !strings.Contains(o.Picture(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, o.Runs[0].Faults, c.want)
		}
	}
}

// Design 3, the test sheet: A2 is a turn about the long edge, A4 about the
// short one; A1 and A3 are one face, and then "do what you did and then turn the
// stack about its long edge": together they make long and short. The turn
// composes: as-delivered becomes turn-long, rotate turn-short, turn-long
// as-delivered, turn-short rotate.
func TestPinReadings(t *testing.T) {
	composed := map[printer.Reload]printer.Reload{
		printer.AsDelivered: printer.TurnLong, printer.RotateHalf: printer.TurnShort,
		printer.TurnLong: printer.AsDelivered, printer.TurnShort: printer.RotateHalf,
	}
	read := func(f printer.Facts, r printer.Reload) string {
		o, err := Print(OfTest(a4(t), false, f.TwoSided), "test", f, r)
		if err != nil {
			t.Fatal(err)
		}
		return o.Answers().Reading.String()
	}
	own := map[printer.FlipEdge]string{printer.LongEdge: "K2", printer.ShortEdge: "K4"}
	seen := map[string]int{}
	for _, f := range virtual.All() {
		if got := read(f, f.Reload); got != own[f.FlipEdge] {
			t.Errorf("%+v: %s", f, got)
		}
		if f.TwoSided == printer.Automatic {
			continue
		}
		for r := printer.AsDelivered; r <= printer.TurnShort; r++ {
			got := read(f, r)
			seen[got]++
			then := map[string]string{"K1": "K2", "K3": "K4"}[got]
			if then != "" && read(f, composed[r]) != then {
				t.Errorf("%+v put back %s reads %s, and with a turn %s, not %s", f, r, got, read(f, composed[r]), then)
			}
		}
	}
	for _, r := range []string{"K1", "K2", "K3", "K4"} {
		if seen[r] != 128 {
			t.Errorf("%s is read %d times of 512", r, seen[r])
		}
	}
}

func TestAnswersOfThreeSheets(t *testing.T) {
	f := printer.Usual
	o, err := Print(OfTest(a4(t), true, f.TwoSided), "test", f, f.Reload)
	if err != nil {
		t.Fatal(err)
	}
	// The usual printer piles face down, I lowest in its first pass; III is fed
	// first then, and gets the back I.
	want := "foldwright learn NAME with 'two-sided: by-hand' and 'reload: as-delivered' and 'reading: K4' and 'pencil: printed' and 'lands: face-down' and 'stacks: on-top' and 'top: last' and 'pair: reversed'"
	if got := learnCommand(o.Answers()).String(); got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	f.FeedFace, f.Lands = printer.FeedDown, printer.FaceUp
	if o, err = Print(OfTest(a4(t), false, f.TwoSided), "test", f, f.Reload); err != nil {
		t.Fatal(err)
	}
	if a := o.Answers(); a.Pencil != learning.OnUnprinted || a.Lands != printer.FaceUp || a.Top != 0 {
		t.Errorf("%+v", a)
	}
}

func TestPicturesAreWellFormed(t *testing.T) {
	for _, f := range []printer.Facts{printer.Usual, virtual.All()[143]} {
		for _, task := range []Task{OfJob("a < b & c", planFor(f)), OfTest(a4(t), true, f.TwoSided)} {
			o, err := Print(task, "desk", f, f.Reload)
			if err != nil {
				t.Fatal(err)
			}
			d := xml.NewDecoder(strings.NewReader(o.Picture()))
			for {
				_, err := d.Token()
				if errors.Is(err, io.EOF) {
					break
				}
				if err != nil {
					t.Fatalf("%s: %v", task.Name, err)
				}
			}
		}
	}
}

func TestRefused(t *testing.T) {
	auto := virtual.All()[143]
	if _, err := Print(OfJob("book-print", planFor(printer.Usual)), "desk", auto, 0); refusal.Of(err) != refusal.Plan || refusal.Hint(err).IsZero() || !strings.Contains(err.Error(), "and desk turns the paper itself") {
		t.Errorf("a job by hand on an automatic printer: %v", err)
	}
	if _, err := Print(OfJob("book-print", planFor(auto)), "desk", printer.Usual, printer.AsDelivered); refusal.Of(err) != refusal.Plan || !strings.Contains(err.Error(), "and desk does not") {
		t.Errorf("an automatic job on a printer by hand: %v", err)
	}
	f := printer.Usual
	f.Lands = printer.FaceUp
	if _, err := Print(OfTest(a4(t), false, f.TwoSided), "desk", f, f.Reload); err == nil || !strings.Contains(err.Error(), "would print the same side twice") {
		t.Errorf("contradicting facts: %v", err)
	}
}

// What a person sees on three simulated sheets is enough to learn the printer
// by: the files for what was learned are those for the printer itself.
func TestThePrinterIsLearnedFromItsSimulation(t *testing.T) {
	for _, f := range virtual.All() {
		o, err := Print(OfTest(a4(t), true, f.TwoSided), "test", f, f.Reload)
		if err != nil {
			t.Fatal(err)
		}
		a := o.Answers()
		learned, err := a.Learn()
		if err != nil {
			t.Errorf("%+v, %+v: %v", f, a, err)
			continue
		}
		if got, want := fmt.Sprint(learned.Facts.Files(5, true)), fmt.Sprint(f.Files(5, true)); got != want {
			t.Errorf("%+v is learned as %+v", f, learned.Facts)
		}
	}
}
