package measure

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/sheets/benchsheet"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// The bench sheet shows how the first gatherings are sewn: every hole of them, in words, and drawings that stay on the page.
func TestBenchSheetShowsTheWayOfTheThread(t *testing.T) {
	paper := geom.Size{W: 210, H: 297}
	for _, name := range structure.Names() {
		rules, err := structure.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		b := binding.Book{Leaf: geom.Size{W: 145, H: 204}, Leaves: 16, Gatherings: 2, Sheets: 8, Caliper: reorder.OfficeCaliper}
		if rules.Sewn == binding.OneFold {
			b.Gatherings = 1
		}
		sheet, err := binding.Measure(b, binding.Options{Structure: rules, Units: binding.Inches})
		if err != nil {
			t.Fatal(err)
		}
		all := ways(sheet)
		if want := map[bool]int{true: 0, false: b.Gatherings}[rules.Sewn == binding.Side]; len(all) != want {
			t.Errorf("%s: %d ways", name, len(all))
		}
		for i, w := range all {
			for hole := range sheet.Stations.Holes {
				if word := fmt.Sprint(hole + 1); !strings.Contains(strings.ToLower(w.Words), "at hole "+word) {
					t.Errorf("%s, gathering %d: nothing of hole %d: %s", name, i+1, hole+1, w.Words)
				}
			}
		}
		var file bytes.Buffer
		bench := benchsheet.BenchSheet{Title: "the keepers' journal", Paper: paper, Sheet: sheet, Ways: all}
		if err := pdf.Write(t.Context(), &file, pdf.PrintFile{Paper: paper, Sides: bench.Sides()}); err != nil {
			t.Fatal(err)
		}
		doc, shown := rendertest.OpenBytes(t, "bench.pdf", file.Bytes()), 0
		for page := 1; page <= doc.Pages(); page++ {
			ink, _, err := rendertest.Ink(t.Context(), doc, page, 50, 200)
			if err != nil || !ink.IsWithin(paper.Rect().Inset(12, 12, 12, 12), 1.5) {
				t.Errorf("%s, page %d: ink in %v, %v", name, page, ink, err)
			}
			words, err := doc.Words(t.Context(), page)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range words {
				if w.Text == "within" { // a caption of each drawing
					shown++
				}
			}
		}
		if shown != len(all) {
			t.Errorf("%s: %d of %d ways are drawn", name, shown, len(all))
		}
	}
}
