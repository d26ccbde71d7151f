package benchsheet

import (
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/sample"
)

// Whatever the structure, the paper and the units, nothing leaves the page, and
// the figures on it are those that were worked out.
func TestBenchSheetStaysOnItsPages(t *testing.T) {
	type job struct {
		name  string
		u     binding.Units
		paper geom.Size
	}
	var jobs []job
	for _, name := range structure.Names() {
		for _, u := range []binding.Units{binding.MM, binding.Inches} {
			for _, paper := range []geom.Size{{W: 210, H: 297}, {W: 215.9, H: 279.4}} {
				jobs = append(jobs, job{name, u, paper})
			}
		}
	}
	for _, c := range sample.Of(t, jobs, 2, 0, len(jobs)-1) {
		name, u, paper := c.name, c.u, c.paper
		sheet := sheetOf(t, u, name, geom.Size{W: 145.5, H: 204}, reorder.Trim{Head: 3, Tail: 3, ForeEdge: 3}, binding.Measured{Thread: 0.5})
		b := BenchSheet{"the keepers' journal", paper, sheet, nil, nil}
		doc := drawn(t, paper, b.Sides())
		var text strings.Builder
		for page := 1; page <= doc.Pages(); page++ {
			ink, found, err := rendertest.Ink(t.Context(), doc, page, 50, 200)
			if err != nil || !found || !ink.IsWithin(paper.Rect().Inset(margin, margin, margin, margin), 1.5) {
				t.Errorf("%s in %s, page %d: ink in %v, %v", name, u, page, ink, err)
			}
			words, err := doc.Words(t.Context(), page)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range words {
				text.WriteString(w.Text + " ")
			}
		}
		for _, f := range append(sheet.Before, sheet.After...) {
			if !strings.Contains(text.String(), f.Value) {
				t.Errorf("%s in %s: %s, %s, is not on the sheet", name, u, f.Name, f.Value)
			}
		}
		if u == binding.Inches && (strings.Contains(text.String(), " mm ") || strings.Contains(text.String(), "millimetres")) {
			t.Errorf("%s in inches speaks of millimetres: %s", name, text.String())
		}
		boxes := strings.Contains(text.String(), "Measure the sewn and pressed block")
		if boxes != (sheet.Structure.Cover != binding.Paper) {
			t.Errorf("%s: boxes to fill in: %t", name, boxes)
		}
		if !strings.Contains(text.String(), "never put a finger behind the fold") {
			t.Errorf("%s: no word of caution", name)
		}
	}
}

// The sums with letters give the figures: a person who fills the boxes in gets
// what the program reckons from the same measures. VAUGHN, Printing and
// Bookbinding for Schools, 1912, pp. 117-118, worked by hand: A 9 in, B 6 in, C 1 in.
func TestBoxesSayTheRule(t *testing.T) {
	sheet := sheetOf(t, binding.Inches, "case", geom.Size{W: 152.4, H: 228.6}, reorder.Trim{}, binding.Measured{Block: 16, Spine: 25.4, Board: 2.4})
	doc := drawn(t, geom.Size{W: 210, H: 297}, BenchSheet{"x", geom.Size{W: 210, H: 297}, sheet, nil, nil}.Sides())
	words, err := doc.Words(t.Context(), 2)
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	for _, w := range words {
		text.WriteString(w.Text + " ")
	}
	for _, rule := range []string{
		"joint = D + 3/16", "board, width = B - J + 1/8 square",
		"board, height = A + 1/4, two squares",
		"spine strip, width = C; as long as the boards",
		"cover, width = 2 E + C + 2 J + 1 1/2, two joints and the turn-ins",
		"cover, height = F + 1 1/2, the turn-ins",
		"expected 9 in", "expected 1 in", "expected 5 27/32 in",
	} {
		if !strings.Contains(text.String(), rule) {
			t.Errorf("%q is not on the sheet:\n%s", rule, text.String())
		}
	}
}
