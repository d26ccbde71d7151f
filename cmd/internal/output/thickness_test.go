package output

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/reorder"
	"foldwright/reorder/paper/papertest"
	"foldwright/reorder/refusal"
)

// drafted plans a job of so many marked pages.
func drafted(t *testing.T, pages int, o options.Options) Job {
	t.Helper()
	d, err := draftOf(t.Context(), printtest.Book(t, pages), o, setting(t))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d
}

func TestThicknessAndCreepAreSaid(t *testing.T) {
	var bond reorder.Weight
	if err := bond.UnmarshalText([]byte("20lb-bond")); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		o                options.Options
		thickness, creep string
	}{
		{options.Options{}, "16 leaves of office paper, 0.09 to 0.11 mm each: about 1.6 mm (1.4 to 1.8), without the thread",
			"about 0.3 mm in total with office paper, not worth moving pages for"},
		{options.Options{Sheets: 8}, "16 leaves of office paper, 0.09 to 0.11 mm each: about 1.6 mm (1.4 to 1.8), without the thread",
			"about 0.7 mm in total with office paper; 'caliper' or 'weight' moves the pages of inner leaves towards the spine"},
		{options.Options{Sheets: 8, Caliper: 0.12}, "16 leaves of 0.12 mm, 1.9 mm, without the thread",
			"0.84 mm in total with leaves of 0.12 mm (1.68 where the fold is flat at its back); inner pages are moved towards the spine"},
		{options.Options{Weight: bond, Sheets: 4}, "16 leaves of 20lb-bond paper (75 g/m2, uncoated), 0.09 to 0.10 mm each: about 1.6 mm (1.5 to 1.6), without the thread",
			"about 0.29 mm in total with leaves of 20lb-bond paper (75 g/m2, uncoated) (0.59 where the fold is flat at its back); inner pages are moved towards the spine, though below 0.5 mm it is not worth it"},
		{options.Options{CreepMeasured: 0.8, Caliper: 0.12, Sheets: 4}, "16 leaves of 0.12 mm, 1.9 mm, without the thread", // what was measured wins
			"0.80 mm in total as measured; inner pages are moved towards the spine"},
		{options.Options{Sheets: 1}, "16 leaves of office paper, 0.09 to 0.11 mm each: about 1.6 mm (1.4 to 1.8), without the thread",
			"none, no leaf lies within another"},
	} {
		d := drafted(t, 32, c.o)
		if got := d.Thickness(); got != c.thickness {
			t.Errorf("%+v:\n got %s\nwant %s", c.o, got, c.thickness)
		}
		if got := d.Creep().String(); got != c.creep {
			t.Errorf("%+v:\n got %s\nwant %s", c.o, got, c.creep)
		}
	}
}

func TestPaperThatCannotBe(t *testing.T) {
	for want, o := range map[string]options.Options{
		"'caliper' must be the thickness of one leaf":    {Caliper: 4},
		"'caliper' must be the thickness of one leaf, ":  {Caliper: 0.004},
		"'caliper' must be the thickness of one leaf, b": {Caliper: -0.1},
		"'creep-measured' must be between 0 and 20 mm":   {CreepMeasured: -1},
		"'creep-measured' must be between 0 and 20 mm, ": {CreepMeasured: 21},
	} {
		if err := o.Check(); refusal.Of(err) != refusal.Use || !strings.HasPrefix(err.Error(), strings.TrimSuffix(want, ", ")) || refusal.Hint(err).IsZero() {
			t.Errorf("%+v: %v", o, err)
		}
	}
}

// TestCreepInPrintFiles reads the marks of the print files back: those of
// sheet k of a gathering of four lie (k-1) 0.2 mm nearer to the spine.
func TestCreepInPrintFiles(t *testing.T) {
	source := printtest.Book(t, 32)
	o := options.Options{Printer: "by-hand-long", Sheets: 4, Scale: options.Scale{Scale: 0.9}}
	still, plan := prepared(t, source, o, setting(t))
	o.Caliper = 0.2
	moved, _ := prepared(t, source, o, setting(t))
	r := new(printtest.Reader)
	seen := map[int]int{}
	for _, name := range plan.Runs[0].Files() {
		before, after := r.Pages(t, filepath.Join(still, name)), r.Pages(t, filepath.Join(moved, name))
		for side := range before {
			after := after[side].Marks()
			for i, m := range before[side].Marks() {
				// Fronts and backs alike: the spine of a folio is the middle of its long edge.
				spine := plan.Paper.H / 2
				depth := side % 4
				if !strings.Contains(name, "front") {
					depth = (len(before) - 1 - side) % 4
				}
				was, is := math.Abs(m.At.Y-spine), math.Abs(after[i].At.Y-spine)
				if math.Abs(was-is-0.2*float64(depth)) > 0.02 || math.Abs(m.At.X-after[i].At.X) > 0.01 {
					t.Errorf("%s, side %d, page %s: %.2f mm from the spine, then %.2f, want %.1f mm less", name, side+1, m.Label, was, is, 0.2*float64(depth))
				}
				seen[depth]++
			}
		}
	}
	if len(seen) != 4 || seen[0] != 8 {
		t.Errorf("marks per depth: %v", seen)
	}
}

// TestCreepOfTheFoldedBook prints and folds quartos and an octavo. The depths
// of their leaves are worked out by hand: a quarto is two thicknesses in the
// fold and an octavo four.
func TestCreepOfTheFoldedBook(t *testing.T) {
	source := printtest.Book(t, 16)
	depths := []float64{0, 1, 2, 3, 3, 2, 1, 0}
	for name, o := range map[string]options.Options{
		"two quartos, inset":    {Fold: reorder.Quarto, Sheets: 2},
		"two quartos, together": {Fold: reorder.Quarto, Sheets: 2, Nest: reorder.Together},
		"octavo":                {Fold: reorder.Octavo},
		"folios, cut in 2":      {Cut: 2, Sheets: 2},
	} {
		o.Printer, o.Paper, o.Caliper = "by-hand-short", "a3", 0.25
		folder, plan := prepared(t, source, o, setting(t))
		j := printtest.Load(t, folder)
		how := papertest.Instructions{Cut: plan.Options.Cut, Folds: len(o.Fold.Scheme().Creases), Nest: reorder.Inset, Bind: reorder.BindLeft}
		if o.Nest == reorder.Together {
			how.Nest = reorder.Together
		}
		if o.Fold == 0 {
			how.Folds = 1
		}
		faces, err := papertest.ReadBook(j.Print(t, new(printtest.Reader), printtest.Printer(t, j.Profile.Facts)), []int{plan.Sheets}, how)
		if err != nil {
			t.Fatal(name, err)
		}
		if err := papertest.Check(faces, papertest.Labels(plan.Gatherings[0].Pages)); err != nil {
			t.Fatal(name, err)
		}
		for i, f := range faces {
			want := printtest.MarkX * plan.Scale
			if i%2 == 1 {
				want = (printtest.PageWidth - printtest.MarkX) * plan.Scale
			}
			want -= 0.25 * depths[i/2]
			if m := f.Marks[0]; math.Abs(m.FromSpine-want) > 0.05 {
				t.Errorf("%s: page %s stands %.2f mm from the spine, want %.2f", name, m.Label, m.FromSpine, want)
			}
		}
	}
}
