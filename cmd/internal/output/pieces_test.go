package output

import (
	"fmt"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer/printertest"
	"foldwright/reorder"
	"foldwright/reorder/sample"
)

// piecesOptions is jobs whose gatherings are counted in pieces: every fold, cut and nest that hands
// manage, with the ways of running, binding and trying that differ.
func piecesOptions() (all []options.Options) {
	for _, fold := range []reorder.Fold{reorder.Folio, reorder.Quarto, reorder.Octavo} {
		for _, cut := range []int{2, 4, 8, 16} {
			for _, nest := range []reorder.Nest{reorder.Inset, reorder.Together} {
				all = append(all, options.Options{Fold: fold, Cut: cut, Nest: nest, Pieces: 3})
			}
		}
	}
	three := options.Options{Cut: 2, Pieces: 3}
	for _, change := range []func(*options.Options){
		func(o *options.Options) { o.Run = options.Run{Gathering: true} },
		func(o *options.Options) { o.Run = options.Run{Most: 2} }, // too few for two gatherings
		func(o *options.Options) { o.Run = options.Run{Most: 1} }, // too few for one
		func(o *options.Options) { o.Run = options.Run{Most: 4} },
		func(o *options.Options) { o.CutBy, o.Run = options.CutByRun, options.Run{Most: 5} },
		func(o *options.Options) { o.CutBy = options.CutByRun },
		func(o *options.Options) { o.Volumes = 3 },
		func(o *options.Options) { o.Volumes, o.Run = 2, options.Run{Gathering: true} },
		func(o *options.Options) { o.Copies, o.Run = 2, options.Run{Most: 3} },
		func(o *options.Options) { o.Copies, o.Cut, o.Pieces = 3, 4, 5 },
		func(o *options.Options) { o.OnlyGathering = 2 },
		func(o *options.Options) { o.OnlyGathering, o.Volumes, o.Pad = 3, 2, reorder.PadSplit },
		func(o *options.Options) { o.Bind, o.Cut = reorder.BindRight, 4 },
		func(o *options.Options) { o.Bind = reorder.BindTop },
		func(o *options.Options) { o.CutEdge = reorder.TailEdge },
		func(o *options.Options) { o.Fewest, o.Pieces = 2, 5 },
		func(o *options.Options) { o.Cut, o.Pieces = 16, 0 }, // counted in pieces unasked
	} {
		o := three
		change(&o)
		all = append(all, o)
	}
	return all
}

// TestPiecesMakeTheBook prints jobs on simulated printers, cuts, counts off, folds and nests as the hands
// are told, and expects pages 1 to n; and of runs, volumes and stacks that each holds whole gatherings.
func TestPiecesMakeTheBook(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 90)
	set := setting(t)
	r := new(printtest.Reader)
	all := piecesOptions()
	var printers []options.Options
	for _, f := range printertest.Some(t, 4) {
		printers = append(printers, options.Options{Printer: profileFile(t, f)})
	}
	spare := 0
	for at, o := range sample.Of(t, all, 10, 0, 24, 28, 31, 32, 34) {
		o.Printer = printers[at%len(printers)].Printer
		folder, d := handworked(t, source, o, set)
		j := printtest.Load(t, folder)
		stack := j.Print(t, r, printtest.Printer(t, j.Profile.Facts))
		copies := d.Options.HowOften()
		each := len(stack) / copies
		for c := range copies {
			one := j
			if copies > 1 {
				one = ofCopy(j, c+1)
			}
			madeBooks(t, stack[c*each:(c+1)*each], one, d)
		}
		wholeGatherings(t, o, d)
		spare += d.Spare()
	}
	if spare == 0 {
		t.Error("no piece was spare")
	}
}

// wholeGatherings complains of a run or a volume that ends within a stack, and of a sheet that two volumes share.
func wholeGatherings(t *testing.T, o options.Options, d Job) {
	t.Helper()
	if sheets := d.SheetsPrinted(); sheets != sumOf(d.Runs) {
		t.Errorf("%+v: %d sheets are printed, the runs have %d", o, sheets, sumOf(d.Runs))
	}
	last := map[int]int{} // sheet of each gathering
	for _, g := range d.Gatherings() {
		on := d.SheetsFor(g)
		last[g.Number] = on[len(on)-1]
		for _, v := range d.Volumes {
			if own := g.Number >= v.First && g.Number <= v.Last(); own && (on[0] < v.FirstSheet || last[g.Number] >= v.FirstSheet+v.Sheets) {
				t.Errorf("%+v: gathering %d stands on sheets %v, volume %d has %d from %d on", o, g.Number, on, v.Number, v.Sheets, v.FirstSheet)
			}
		}
	}
	if d.Options.OnlyGathering > 0 {
		return
	}
	for _, run := range d.Runs {
		if run.Split {
			continue
		}
		first, end := d.Sheet(run, 1).Sheet.Number, d.Sheet(run, run.Sheets).Sheet.Number
		for _, g := range d.Gatherings() {
			on := d.SheetsFor(g)
			base := (first - 1) / len(d.Placement.Sheets) * len(d.Placement.Sheets)
			if in := on[0]+base >= first && on[0]+base <= end; in && last[g.Number]+base > end {
				t.Errorf("%+v: run %d ends with sheet %d, within gathering %d on sheets %v", o, run.Number, end, g.Number, on)
			}
		}
	}
}

func sumOf(runs []plan.Run) (n int) {
	for _, r := range runs {
		n += r.Sheets
	}
	return n
}

// TestRunsOfPieces: what the README says of runs where gatherings share sheets.
func TestRunsOfPieces(t *testing.T) {
	source := printtest.Book(t, 60) // 15 folded pieces: 5 gatherings of 3, on 8 sheets
	set := setting(t)
	for _, c := range []struct {
		run  options.Run
		by   options.CutBy
		want string
	}{
		{options.Run{Book: true}, 0, "[8], cut as [3 3] [3 3] [3]"},
		{options.Run{Gathering: true}, 0, "[3 3 2], cut as [3 3] [3 3] [3]"},
		{options.Run{Most: 6}, 0, "[6 2], cut as [3 3] [3 3] [3]"},
		{options.Run{Most: 2}, 0, "[2 2 2 2 2], cut as [3] [3] [3] [3] [3]"},
		{options.Run{Most: 5}, options.CutByRun, "[5 3], cut as [3 3 3] [3 3]"},
		{options.Run{Book: true}, options.CutByRun, "[8], cut as [3 3 3 3 3]"},
	} {
		d, err := draftOf(t.Context(), source, options.Options{Cut: 2, Pieces: 3, Run: c.run, CutBy: c.by}, set)
		if err != nil {
			t.Fatal(err)
		}
		var runs []int
		for _, run := range d.Runs {
			runs = append(runs, run.Sheets)
		}
		stacks := strings.TrimSuffix(strings.TrimPrefix(fmt.Sprint(d.Book.Stacks), "["), "]")
		if got := fmt.Sprintf("%v, cut as %s", runs, stacks); got != c.want {
			t.Errorf("runs of %v, cut by %v: %s, want %s", c.run, c.by, got, c.want)
		}
	}
}

// TestSparePiecesSaySo: the word stands on both sides of the piece and on no other sheet.
func TestSparePiecesSaySo(t *testing.T) {
	folder, d := handworked(t, printtest.Book(t, 36), options.Options{Cut: 2, Pieces: 3, Printer: "by-hand-short"}, setting(t))
	r := new(printtest.Reader)
	for _, f := range d.Runs[0].Passes {
		for i, page := range r.Pages(t, folder+"/"+f.Name) {
			says := strings.Contains(page.Text(), "spare")
			if want := f.Images[i].Sheet == 5; says != want {
				t.Errorf("%s, page %d: it says spare: %t, want %t", f.Name, i+1, says, want)
			}
		}
	}
}
