package cli

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/printer"
	"foldwright/printer/printertest"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/sample"
)

// run runs the program once, as on a computer without a terminal, and returns
// what it said.
func run(t *testing.T, args ...string) string {
	t.Helper()
	var out, says bytes.Buffer
	status := Run(context.Background(), args, Surroundings{
		In: strings.NewReader(""), Out: &out, Err: &says, Region: "GB", Renderer: rendertest.Shared(t),
	})
	if status != Done {
		t.Fatalf("foldwright %s: status %d\n%s", strings.Join(args, " "), status, says.String())
	}
	return says.String()
}

// other is a way of putting a stack back that brings the second print onto the
// face of the first where the given way does not.
var other = map[printer.Reload]printer.Reload{
	printer.AsDelivered: printer.TurnShort, printer.RotateHalf: printer.TurnLong,
	printer.TurnLong: printer.AsDelivered, printer.TurnShort: printer.RotateHalf,
}

// TestEveryPrinterIsLearnedFromTheTestSheet is the promise of the test sheet,
// kept with the program's own commands and nothing else: for each of the 128
// printers by hand and the 16 automatic ones the test sheets are written and
// printed, a person reads pin, pencil, top sheet and pair from the text on
// them, learn is told that, prepare is told the name of the printer, and the
// book comes out right. By hand it does so too if the person first puts the
// stack back the wrong way and both prints fall on one face.
func TestEveryPrinterIsLearnedFromTheTestSheet(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	sheets := filepath.Join(dir, "sheets")
	run(t, "testsheet", "--three", "--paper", "a4", "--out", sheets)
	a4, err := reorder.ParsePaper("a4")
	if err != nil {
		t.Fatal(err)
	}
	source := printtest.Book(t, 13)
	r := new(printtest.Reader)
	readings := map[string]int{}
	byHand := 0
	for i, facts := range printertest.Some(t, 1) {
		tries := []printer.Reload{0}
		if facts.TwoSided == printer.ByHand {
			tries = []printer.Reload{facts.Reload, other[facts.Reload]}
			byHand++
		}
		for _, reload := range tries {
			name := fmt.Sprintf("printer-%d-%d", i, reload)
			seen := printtest.Try(t, r, sheets, a4, printtest.Printer(t, facts), reload)
			args := []string{"learn", name, "--profiles", dir, "--top", seen.Top(t), "--pair", seen.Pair(t), "--reading", seen.Reading(t)}
			if reload == 0 {
				args = append(args, "--two-sided", "automatic", "--lands", seen.Lands())
			} else {
				args = append(args, "--reload", reload.String(), "--pencil", seen.Pencil())
			}
			run(t, args...)
			readings[seen.Reading(t)]++

			folder := filepath.Join(dir, name)
			run(t, "prepare", source, "--sheets", "2", "--printer", name, "--profiles", dir, "--out", folder, "--quiet")
			j := printtest.Load(t, folder)
			p := printtest.Printer(t, facts)
			if reload != 0 {
				p = p.WithReload(j.Profile.Reload)
			}
			j.Read(t, j.Print(t, r, p), 0.1)
		}
	}
	if sample.Full() && len(readings) != 4 || readings["K1"]+readings["K3"] != byHand {
		t.Errorf("readings: %v", readings)
	}
	t.Logf("readings: %v, %d different files", readings, r.Files())
}

// gridBook writes a book of A5 pages with a mark near each of two opposite
// corners, so that size and place of every side can be told from its marks.
func gridBook(t *testing.T, pages int) string {
	t.Helper()
	doc := pdftest.New(148, 210)
	doc.SetFont("Helvetica", "", 8)
	for i := 1; i <= pages; i++ {
		doc.AddPage()
		doc.Text(12, 14, fmt.Sprintf("p%d", i))
		doc.Text(128, 198, fmt.Sprintf("p%d", i+1000))
	}
	path := filepath.Join(t.TempDir(), "grid.pdf")
	if err := doc.OutputFileAndClose(path); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestLearnedPrintersPrintTrue gives every printer errors: everything up to
// 1.5 mm off the paper's middle, the second pass up to 3 mm besides, sizes up to 1 percent off on
// each axis and each face, and a second pass that wanders. After learning from
// three sheets, read as closely as verniers and a common ruler can be read,
// the backs of a job lie on its fronts within 0.3 mm on each axis, and the
// wander. Half of them print on letter.
func TestLearnedPrintersPrintTrue(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	names := []string{"a4", "letter"}
	papers := map[string]reorder.Paper{}
	for _, name := range names {
		run(t, "testsheet", "--three", "--paper", name, "--out", filepath.Join(dir, name), "--quiet")
		var err error
		if papers[name], err = reorder.ParsePaper(name); err != nil {
			t.Fatal(err)
		}
	}
	source := gridBook(t, 8)
	r := new(printtest.Reader)
	random := sample.Random(t)
	worst, unlearned := 0.0, 0.0
	for i, facts := range printertest.Some(t, 1) {
		errors, wander := someErrors(random, facts.FlipEdge)
		on := names[i/3%len(names)]
		seen := printtest.Try(t, r, filepath.Join(dir, on), papers[on], printtest.Printer(t, facts).WithErrors(errors), facts.Reload)
		told := []string{
			"--paper", on, "--top", seen.Top(t), "--pair", seen.Pair(t), "--reading", seen.Reading(t),
		}
		if facts.TwoSided == printer.Automatic {
			told = append(told, "--two-sided", "automatic", "--lands", seen.Lands())
		} else {
			told = append(told, "--reload", facts.Reload.String(), "--pencil", seen.Pencil())
		}
		measured := []string{
			"--ruler-front", seen.Rulers(false), "--ruler-back", seen.Rulers(true), "--mark", seen.Mark(),
		}
		for _, v := range seen.Verniers(t) {
			measured = append(measured, "--shift", v)
		}
		var stacks [2][]paper.Sheet // as prepared without and with what was measured
		var planned []paper.Sheet
		for m, more := range [][]string{nil, measured} {
			name := fmt.Sprintf("printer-%d-%d", i, m)
			run(t, append(append([]string{"learn", name, "--profiles", dir}, told...), more...)...)
			folder := filepath.Join(dir, name)
			run(t, "prepare", source, "--sheets", "2", "--printer", name, "--profiles", dir, "--out", folder, "--quiet")
			j := printtest.Load(t, folder)
			stacks[m] = j.Print(t, r, printtest.Printer(t, facts).WithErrors(errors))
			if m == 0 {
				planned = j.Print(t, r, printtest.Printer(t, facts))
			}
		}
		off := disagreement(t, planned, stacks[1])
		if off > 0.3+wander {
			t.Errorf("%+v, %+v: fronts and backs differ by %.3f mm, the printer wanders by %.3f\ntold %v", facts, errors, off, wander, measured)
		}
		worst = max(worst, off-wander)
		unlearned = max(unlearned, disagreement(t, planned, stacks[0]))
	}
	t.Logf("fronts and backs differ by at most the wander and %.3f mm; before learning by up to %.1f mm", worst, unlearned)
	if unlearned < 1.5 {
		t.Error("the printers had hardly any errors")
	}
}

// someErrors are errors of a printer that a vernier can read, and by how much
// it wanders, all in all.
func someErrors(r *rand.Rand, flip printer.FlipEdge) (virtual.Errors, float64) {
	within := func(v float64) float64 { return (2*r.Float64() - 1) * v }
	point := func(v float64) geom.Point { return geom.Point{X: within(v), Y: within(v)} }
	wander := r.Float64() * 0.8
	for {
		e := virtual.Errors{
			Shift: point(1.5), Second: point(3), Stretch: point(0.01), SecondStretch: point(0.01),
			Wander: func() geom.Point { return point(wander / 2) },
		}
		// How far the back then lies from the front, as a person sees it. (See the
		// calibration offset's signs: check-values 4.6.)
		x, y := e.Second.X, e.Second.Y
		if flip == printer.LongEdge {
			x += 2 * e.Shift.X
		} else {
			y += 2 * e.Shift.Y
		}
		if max(math.Abs(x), math.Abs(y))+wander/2 > 3 || dialogsDoing(e.Stretch) || dialogsDoing(e.SecondStretch) {
			continue
		}
		return e, wander
	}
}

// dialogsDoing is a size that is taken for a setting of the print dialog: above
// 0.7 percent and alike on both axes, as closely as a ruler tells.
func dialogsDoing(s geom.Point) bool {
	return math.Abs(s.X-s.Y) < 0.005 && math.Abs(s.X+s.Y)/2 > 0.006
}

// disagreement is the largest distance in mm, on one axis, between a point of
// a front and the point of the back that was planned to lie on it, anywhere
// between 12 mm from the edges, on any sheet.
func disagreement(t *testing.T, planned, printed []paper.Sheet) float64 {
	t.Helper()
	worst := 0.0
	for i := range planned {
		size := planned[i].Size
		front := movedBy(t, planned[i].Front, printed[i].Front)
		back := movedBy(t, planned[i].Back, printed[i].Back)
		for _, x := range []float64{12, size.W - 12} {
			for _, y := range []float64{12, size.H - 12} {
				f, b := front(geom.Point{X: x, Y: y}), back(geom.Point{X: size.W - x, Y: y})
				worst = max(worst, math.Abs(f.X+b.X), math.Abs(f.Y-b.Y))
			}
		}
	}
	return worst
}

// movedBy finds from the marks of a side by how much each point of it has moved.
func movedBy(t *testing.T, planned, printed []paper.Mark) func(geom.Point) geom.Point {
	t.Helper()
	if len(planned) != len(printed) || len(planned) < 4 {
		t.Fatalf("%d marks of %d", len(printed), len(planned))
	}
	axis := func(of func(paper.Mark) float64) func(float64) float64 {
		low, high := 0, 0
		for i, m := range planned {
			if of(m) < of(planned[low]) {
				low = i
			}
			if of(m) > of(planned[high]) {
				high = i
			}
		}
		a, b := of(planned[low]), of(planned[high])
		da, db := of(printed[low])-a, of(printed[high])-b
		return func(v float64) float64 { return da + (db-da)*(v-a)/(b-a) }
	}
	x := axis(func(m paper.Mark) float64 { return m.At.X })
	y := axis(func(m paper.Mark) float64 { return m.At.Y })
	return func(p geom.Point) geom.Point { return geom.Point{X: x(p.X), Y: y(p.Y)} }
}
