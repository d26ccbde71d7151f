package runsheet

import (
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// bench is the figures of 30 sheets in 8 gatherings of office paper.
func bench(name string, units binding.Units, trim reorder.Trim) binding.Sheet {
	rules, err := structure.Find(name)
	if err != nil {
		panic(err) // a sample that cannot be
	}
	b := binding.Book{
		Leaf: geom.Size{W: 148.5 - trim.ForeEdge, H: 210 - trim.Head - trim.Tail}, Trim: trim, Leaves: 60, Gatherings: 8, Sheets: 30,
		Caliper: reorder.OfficeCaliper, CaliperOf: "office paper",
	}
	if rules.Sewn == binding.OneFold {
		b.Gatherings = 1
	}
	sheet, err := binding.Measure(b, binding.Options{Structure: rules, Units: units})
	if err != nil {
		panic(err)
	}
	return sheet
}

// Every figure and every station of the bench stands on the run sheet, in the
// units that were chosen and in no others.
func TestFiguresStandOnTheSheet(t *testing.T) {
	for _, name := range structure.Names() {
		for _, u := range []binding.Units{binding.MM, binding.Inches} {
			b := bench(name, u, reorder.Trim{Head: 3, Tail: 4, ForeEdge: 5})
			got := wordsOf([]Part{benchPart([]binding.Sheet{b}, Program{Folder: "BOOK-print"})})
			for _, f := range b.Before {
				if !strings.Contains(got, f.Name+": "+f.Value+" (") || !strings.Contains(got, f.From) {
					t.Errorf("%s in %s: %s is not on the sheet", name, u, f.Name)
				}
			}
			for _, h := range b.Stations.Holes {
				if want := b.Book.NameOf(h) + ": " + u.Length(binding.Exactly(h.At+3)); !strings.Contains(got, want) {
					t.Errorf("%s in %s: %q is not on the sheet", name, u, want)
				}
			}
			if strings.Contains(got, " mm") == (u == binding.Inches) {
				t.Errorf("%s in %s:\n%s", name, u, got)
			}
		}
	}
}

// How far from the spine holes go through loose leaves is one figure, with a bench and without.
func TestHolesThroughTheSideHaveOnePlace(t *testing.T) {
	stab := bench("stab", binding.MM, reorder.Trim{})
	want := stab.Units.Length(stab.Structure.FromSpine)
	if got := fromSpine(nil); got != want {
		t.Errorf("without a bench %s, with it %s", got, want)
	}
	stab.Structure.FromSpine = binding.Exactly(12)
	j := usualJob()
	j.Form.Fold, j.Bench = reorder.Loose, []binding.Sheet{stab}
	if got := wordsOf([]Part{{Stages: []Stage{{Notes: []Note{orderOfWorkStep(j)}}}}}); !strings.Contains(got, "about 12 mm from the edge") {
		t.Errorf("order of work: %s", got)
	}
	if got := wordsOf([]Part{{Stages: []Stage{{Notes: []Note{sewStep(bench("stab", binding.MM, reorder.Trim{}))}}}}}); !strings.Contains(got, want+" from the spine") {
		t.Errorf("stations: %s", got)
	}
}
