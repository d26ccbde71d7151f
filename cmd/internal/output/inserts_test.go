package output

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/printertest"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// optionsOf are options by their texts.
func optionsOf(t *testing.T, pairs ...string) options.Options {
	t.Helper()
	var settings []phrase.Setting
	for i := 0; i < len(pairs); i += 2 {
		settings = append(settings, phrase.Setting{Key: pairs[i], Value: pairs[i+1]})
	}
	o, err := options.Read(settings...)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// printedPiles prints a job and does with its sheets what the hands are told.
func printedPiles(t *testing.T, r *printtest.Reader, folder string) (piles []paper.Pile, spine geom.Towards) {
	t.Helper()
	j := printtest.Load(t, folder)
	p := printtest.Printer(t, j.Profile.Facts)
	var stack []paper.Sheet
	for _, run := range j.Runs {
		var files [][]printtest.Page
		for _, name := range run.Files() {
			files = append(files, r.Pages(t, filepath.Join(folder, name)))
		}
		if j.Profile.TwoSided == printer.Automatic && run.Passes[0].Pass == printer.FrontPass { // sent as a file of single sides
			var both []printtest.Page
			for _, front := range files[0] {
				both = append(both, front, printtest.Page{Size: front.Size})
			}
			files[0] = both
		}
		done, err := p.Make(files...)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range done {
			stack = append(stack, printtest.Printed(j.Size(), s))
		}
	}
	var sizes [][]int
	for _, g := range j.Gatherings {
		sizes = append(sizes, []int{g.Sheets})
	}
	work, err := j.Options.Form().Handwork(j.Size(), sizes)
	if err != nil {
		t.Fatal(err)
	}
	table, err := paper.Make(stack, work)
	if err != nil {
		t.Fatal(err)
	}
	for _, pile := range table.Piles() {
		if j.Options.Fold == reorder.Loose {
			piles = append(piles, pile.Singly()...)
		} else {
			piles = append(piles, pile)
		}
	}
	return piles, table.Spine()
}

// numbersFrom are labels of pages.
func numbersFrom(first, last int) (out []string) {
	for n := first; n <= last; n++ {
		out = append(out, fmt.Sprint(n))
	}
	return out
}

// TestPlatesMakeTheBookOnEveryPrinter prints a book, its plates and its end-leaves on every printer, or a sample, lays
// them in where the plan says, and reads a book in which each stands where it was asked for: every page once,
// upright, in order, all of them held. What is expected is written down here from the pages that were named.
func TestPlatesMakeTheBookOnEveryPrinter(t *testing.T) {
	t.Parallel()
	source, set, r := printtest.Book(t, 24), setting(t), new(printtest.Reader)
	pair, single, guard, ends := printtest.BookFrom(t, 101, 4), printtest.BookFrom(t, 201, 2), printtest.BookFrom(t, 301, 2), printtest.BookFrom(t, 401, 8)
	want := slices.Concat(numbersFrom(401, 404), numbersFrom(1, 2), numbersFrom(101, 102), numbersFrom(3, 6), numbersFrom(103, 104), numbersFrom(7, 8),
		[]string{"201", ""}, numbersFrom(9, 12), []string{"202", ""}, numbersFrom(13, 20), numbersFrom(301, 302), numbersFrom(21, 24), numbersFrom(405, 408))
	for _, facts := range printertest.Some(t, 1) {
		file := profileFile(t, facts)
		o := optionsOf(t, "printer", file, "sheets", "2", "end-leaves", "1,pages="+ends,
			"insert", "after=2,how=wrapped,pages="+pair+",after=8+12,paper=a5,pages="+single+",after=20,how=guard,paper=a5,pages="+guard)
		folder, made := prepared(t, source, o, set)
		if len(made.Inserts) != 4 {
			t.Fatalf("%+v", made.Inserts)
		}
		gatherings, spine := printedPiles(t, r, folder)
		for _, in := range made.Inserts {
			leaves, _ := printedPiles(t, r, filepath.Join(folder, in.Name))
			var err error
			if in.Ends > 0 {
				last := len(gatherings) - 1
				gatherings[0], err = gatherings[0].TipIn(leaves[0], 0, spine)
				if err == nil {
					gatherings[last], err = gatherings[last].TipIn(leaves[1], gatherings[last].Leaves(spine), spine)
				}
			}
			for i, l := range in.Laid {
				g := &gatherings[l.Gathering-1]
				switch in.How {
				case reorder.Tipped:
					*g, err = g.TipIn(leaves[i], l.Before, spine)
				case reorder.Wrapped:
					*g, err = g.LayRound(leaves[i], l.Before, spine)
				case reorder.Guard:
					strip, _ := paper.NewPile([]paper.Sheet{{Size: geom.Size{W: 24, H: 210}}})
					*g, err = g.HangOnGuard(leaves[i], strip.Fold(reorder.LeftOverRight, 12), l.Before, spine)
				}
			}
			if err != nil {
				t.Fatalf("%+v, %s: %v", facts, in.Name, err)
			}
		}
		var faces []paper.Face
		for _, g := range gatherings {
			if err := g.CheckBound(spine); err != nil {
				t.Fatal(err)
			}
			faces = append(faces, g.Pages(spine)...)
		}
		if err := papertest.Check(faces, want); err != nil {
			t.Fatalf("%+v: %v", facts, err)
		}
	}
	t.Logf("%d different files", r.Files())
}

// TestOneSidedPlatesHaveNoBackFile, and files are named after their folder.
func TestOneSidedPlatesHaveNoBackFile(t *testing.T) {
	source, set := printtest.Book(t, 24), setting(t)
	one, two := printtest.BookFrom(t, 101, 1), printtest.BookFrom(t, 201, 2)
	folder, made := prepared(t, source, optionsOf(t, "insert", "after=4,pages="+one+",after=8,pages="+two), set)
	names := func(name string) (out []string) {
		sub, err := plan.Read(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range sub.Runs {
			out = append(out, r.Files()...)
		}
		return out
	}
	if got := names("plates-01"); !slices.Equal(got, []string{"plates-01-front.pdf"}) {
		t.Errorf("%q", got)
	}
	if got := names("plates-02"); !slices.Equal(got, []string{"plates-02-front.pdf", "plates-02-back.pdf"}) {
		t.Errorf("%q", got)
	}
	if err := made.CheckFiles(folder, true); err != nil {
		t.Error(err)
	}
	if !slices.ContainsFunc(made.Files, func(e plan.Entry) bool { return e.Name == "plates-01/plan.json" }) {
		t.Error("the plan of the plates is no file of the folder")
	}
}

// TestPlatesCountInTheThickness: 12 leaves of 0.1 mm, 2 plates of 0.2 mm, a fold-out of 3 thicknesses of 0.15 mm and 4 end-leaves
// of 0.12 mm are 1.2 + 0.4 + 0.45 + 0.48 = 2.53 mm; the pages of the book stay as they were.
func TestPlatesCountInTheThickness(t *testing.T) {
	source, set := printtest.Book(t, 24), setting(t)
	plates := printtest.BookFrom(t, 101, 2)
	plain, err := draftOf(t.Context(), source, optionsOf(t, "caliper", "0.1mm"), set)
	if err != nil {
		t.Fatal(err)
	}
	d, err := draftOf(t.Context(), source, optionsOf(t, "caliper", "0.1mm", "end-leaves", "1,caliper=0.12mm",
		"insert", "after=4+8,caliper=0.2mm,pages="+plates+",after=16,caliper=0.15mm,fold-out=400mm,paper=a3,pages="+printtest.BookFrom(t, 201, 1)), set)
	if err != nil {
		t.Fatal(err)
	}
	if got := d.Measures[0].Block; math.Abs(got.Least-2.53) > 1e-9 || math.Abs(got.Most-2.53) > 1e-9 {
		t.Errorf("the block is %v mm", got)
	}
	if !strings.Contains(d.Thickness(), "2.5 mm, with 2 leaves of plates-01, 3 leaves of plates-02 and 4 leaves of end-leaves") {
		t.Error(d.Thickness())
	}
	if a, b := fmt.Sprint(plain.Plan().Gatherings), fmt.Sprint(d.Plan().Gatherings); a != b {
		t.Errorf("%s\n%s", a, b)
	}
}

// TestPlatesAreReprinted: what a plan made again prints is what it printed.
func TestPlatesAreReprinted(t *testing.T) {
	source, set := printtest.Book(t, 24), setting(t)
	plates := printtest.BookFrom(t, 101, 6)
	folder, _ := prepared(t, source, optionsOf(t, "insert", "after=4+8+12,pages="+plates), set)
	sub := filepath.Join(folder, "plates-01")
	d := redrafted(t, sub, plates, set)
	again := filepath.Join(t.TempDir(), "again")
	made, err := d.Write(t.Context(), again, false, silent{})
	if err != nil {
		t.Fatal(err)
	}
	made.Files = slices.DeleteFunc(made.Files, func(e plan.Entry) bool { return filepath.Ext(e.Name) != ".pdf" })
	if err := made.CheckFiles(sub, true); err != nil || len(made.Files) != 4 { // the same bytes there
		t.Error(err)
	}
	rep, err := d.Reprint(Choice{Sheets: only(2)})
	if err != nil || rep.Sheets != 1 {
		t.Errorf("%v, %v", rep, err)
	}
	if _, err := d.Remainder(Stop{After: 2, Pass: printer.BackPass}); err != nil {
		t.Error(err)
	}
	// And the book itself, whose plan names the PDF of the plates without its folder.
	redrafted(t, folder, source, set)
}

// TestPlatesRefused names what is wrong and what would do.
func TestPlatesRefused(t *testing.T) {
	source, set := printtest.Book(t, 24), setting(t)
	one, two, four := printtest.BookFrom(t, 101, 1), printtest.BookFrom(t, 201, 2), printtest.BookFrom(t, 301, 4)
	for _, c := range []struct {
		pairs      []string
		want, hint string
	}{
		{[]string{"insert", "after=5,pages=" + one}, "after=5: the page is a recto, and on the back of its leaf is page 6", "after=4 or after=6"},
		{[]string{"insert", "after=99,pages=" + one}, "after=99: that page is not in the book", ""},
		{[]string{"insert", "after=22,how=wrapped,pages=" + four}, "lies in the second half of gathering 2", "gathering 2's first and second leaf"},
		{[]string{"insert", "after=4+8+12,pages=" + two}, "has 2 pages, and 3 plates are to be printed", "3 pages or 6 pages"},
		{[]string{"insert", "after=4,paper=a6,pages=" + one}, "plates-01: A6 is too small for a leaf of 148.5 x 210 mm", "paper=a5"},
		{[]string{"insert", "after=4,fold-out=415mm,pages=" + one}, "plates-01: A4 is too small for a leaf of 415 x 210 mm", "paper=a3"},
		{[]string{"insert", "after=4,fold-out=430mm,paper=a3,pages=" + one}, "does not fold into leaves 148.5 mm wide", "fold-out=422mm"},
		{[]string{"insert", "after=4,pages=" + one, "fold", "concertina"}, "whose leaves are sewn or glued", ""},
		{[]string{"insert", "after=4,how=guard,pages=" + one, "fold", "loose"}, "guard needs a fold at the spine", ""},
		{[]string{"end-leaves", "1,pages=" + one}, "each folded sheet of end-leaves has 4", "give it 4 pages, for both ends alike, or 8"},
		{[]string{"end-leaves", "1,printer=by-hand-long"}, "nothing is printed on them", "pages="},
		{[]string{"insert", "after=4,pages=nowhere.pdf"}, "nowhere.pdf", ""},
	} {
		_, err := draftOf(t.Context(), source, optionsOf(t, c.pairs...), set)
		if err == nil {
			t.Errorf("%q is planned", c.pairs)
			continue
		}
		if hint := refusal.Hint(err).In(nil); !strings.Contains(err.Error(), c.want) || !strings.Contains(hint, c.hint) {
			t.Errorf("%q: %v (%s)", c.pairs, err, hint)
		}
	}
	for _, bad := range []string{"after=4", "pages=x.pdf", "after=x,pages=x.pdf", "after=4,pages=x.pdf,how=glued", "after=8+4,pages=x.pdf", "after=4,pages=x.pdf,how=tipped,fold-out=page", "after=4,after=5,pages=x.pdf"} {
		if _, err := options.Read(phrase.Setting{Key: "insert", Value: bad}); refusal.Of(err) != refusal.Use {
			t.Errorf("%q: %v", bad, err)
		}
	}
}
