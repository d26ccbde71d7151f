package plan_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/written"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
)

const (
	mm = 72 / 25.4
	a4 = "/MediaBox[0 0 595.28 841.89]"
	a5 = "/MediaBox[0 0 419.53 595.28]" // 100 percent on half an A4
)

// print is a line of type of 11 pt within a block, in mm, that is as dark as its frame.
func print(x, y, w, h float64) string {
	return fmt.Sprintf("BT /F 11 Tf %g %g Td (The lamp was lit at six and burned until morning.) Tj ET %g %g %g %g re S",
		(x+2)*mm, (y+h/2)*mm, x*mm, y*mm, w*mm, h*mm)
}

// book is a PDF of pages that are alike.
func book(t *testing.T, pages int, page, content string) string {
	t.Helper()
	return printtest.RawBook(t, "", slices.Repeat([][2]string{{page, content}}, pages)...)
}

// draft plans a book for a printer of which nothing is known but what the options say.
func draft(t *testing.T, source string, o options.Options) *plan.Draft {
	t.Helper()
	o.Printer = "by-hand-short"
	return written.Draft(t, source, o)
}

// said is the sentences with some words in them.
func said(sentences []phrase.Sentence, words string) (found []string) {
	for _, s := range sentences {
		if strings.Contains(s.String(), words) {
			found = append(found, s.String())
		}
	}
	return found
}

// Type of 11 pt on A4 comes out at 3.9 pt in octavo: it is said once, with a fold that was tried, and
// nothing is said of type that is large enough, or small in the source.
func TestTypeThatComesOutTooSmall(t *testing.T) {
	source := book(t, 40, a4, print(20, 20, 170, 257))
	small := "most type comes out at"
	got := said(draft(t, source, options.Options{Fold: reorder.Octavo}).Warnings(), small)
	if len(got) != 1 || got[0] != "most type comes out at 3.9 pt, too small to read with ease (below 7 pt): 'fold: folio' makes it 7.8 pt" {
		t.Errorf("octavo: %q", got)
	}
	got = said(draft(t, source, options.Options{Fold: reorder.Quarto}).Warnings(), small)
	if len(got) != 1 || !strings.HasSuffix(got[0], ": 'fold: folio' makes it 7.8 pt, 'paper: a3' makes it 7.8 pt") {
		t.Errorf("quarto: %q", got)
	}
	if got := said(draft(t, source, options.Options{}).Warnings(), small); got != nil {
		t.Errorf("folio: %q", got)
	}
	tiny := book(t, 8, a5, strings.Replace(print(20, 20, 100, 150), "/F 11 Tf", "/F 5 Tf", 1))
	if got := said(draft(t, tiny, options.Options{}).Warnings(), small); got != nil {
		t.Errorf("as small in the source: %q", got)
	}
}

// Print within 2 mm of the paper's edge gets a scale, which was tried: with it nothing is said.
func TestInkInTheEdgeNamesACure(t *testing.T) {
	source := book(t, 8, a5, print(20, 2, 100, 206))
	keep := options.Edges{Given: true, Head: 5, Tail: 5, Left: 5, Right: 5}
	o := options.Options{KeepClear: keep}
	const lost = "ink falls into the edge that the printer cannot reach"
	got := said(draft(t, source, o).Warnings(), lost)
	if len(got) != 1 || !strings.Contains(got[0], ": 'scale: 9") || !strings.HasSuffix(got[0], "%' keeps it clear") {
		t.Fatalf("%q", got)
	}
	_, cure, _ := strings.Cut(got[0], "'scale: ")
	cure, _, _ = strings.Cut(cure, "'")
	for cure, want := range map[string]int{cure: 0, "99%": 1} {
		if err := o.Scale.UnmarshalText([]byte(cure)); err != nil {
			t.Fatal(err)
		}
		if got := said(draft(t, source, o).Warnings(), lost); len(got) != want {
			t.Errorf("at %s: %q", cure, got)
		}
	}
}

// A box around what is printed leaves no margin at the fold and at the paper's edge: it is said, with a margin that was tried.
func TestContentWithoutMargins(t *testing.T) {
	source := book(t, 8, a4, print(50, 60, 110, 170))
	o := options.Options{Box: options.BoxContent}
	got := said(draft(t, source, o).Warnings(), "hard to read")
	if len(got) != 1 || !strings.HasPrefix(got[0], "print comes within 1 mm of the fold, where it is hard to read (page 1) and runs into the outermost 4.2 mm of the paper, which most printers cannot reach (page 1, by ") {
		t.Fatalf("%q", got)
	}
	_, cure, _ := strings.Cut(got[0], ": 'margin: ")
	cure, _, _ = strings.Cut(cure, "' keeps it clear")
	if err := o.Margin.UnmarshalText([]byte(cure)); err != nil {
		t.Fatal(err)
	}
	if got := said(draft(t, source, o).Warnings(), "print "); got != nil {
		t.Errorf("with a margin of %s: %q", cure, got)
	}
	o.Margin, o.Gutter = 0, 12
	if got := said(draft(t, source, o).Warnings(), "print "); len(got) != 1 || !strings.HasPrefix(got[0], "print runs into the outermost") {
		t.Errorf("with a gutter: %q", got)
	}
}

// A white rim shows where print runs to the edge of the page and ends at the cut, not
// where a box around it ends within wide margins.
func TestRimOfAContentBox(t *testing.T) {
	o := options.Options{Box: options.BoxContent}
	if err := o.Trim.UnmarshalText([]byte("3")); err != nil {
		t.Fatal(err)
	}
	// A column beside the edge of its page: on the leaf there is a wide margin beside it.
	for _, x := range []float64{10, 75, 140} {
		if got := said(draft(t, book(t, 8, a4, print(x, 20, 60, 257)), o).Warnings(), "white rim"); got != nil {
			t.Errorf("a column at %g mm: %q", x, got)
		}
	}
	if got := said(draft(t, book(t, 8, a4, "0 0 600 850 re f"), o).Warnings(), "white rim"); len(got) != 1 {
		t.Errorf("print to the edges: %q", got)
	}
}

// 193 pages in octavo, one sheet each, leave a last gathering of one page and 15 blanks.
func TestANearlyBlankLastGathering(t *testing.T) {
	source := book(t, 193, a5, print(20, 20, 100, 150))
	got := said(draft(t, source, options.Options{Fold: reorder.Octavo, Sheets: 1}).Advice(), "the last gathering")
	if len(got) != 1 || got[0] != "the last gathering holds only 1 page and 15 blanks: with 'sheets: 2' it holds 17 pages and 15 blanks" {
		t.Errorf("%q", got)
	}
	if got := said(draft(t, source, options.Options{}).Advice(), "the last gathering"); got != nil {
		t.Errorf("folio: %q", got)
	}
	six := options.Options{Fold: reorder.Octavo, Sheets: 1, Pages: options.Pages{{First: 1, Last: 118}}}
	if got := said(draft(t, source, six).Advice(), "the last gathering"); got != nil {
		t.Errorf("six pages and ten blanks: %q", got)
	}
}

// Each page stands at its place in the book, also where sheets carry pieces of several gatherings or two copies.
func TestPanelsKnowTheirPlaces(t *testing.T) {
	source := book(t, 50, a5, print(50, 60, 70, 70))
	for _, o := range []options.Options{{}, {Cut: 8, Pieces: 3}, {Fold: reorder.Loose, CopiesAcross: true}} {
		d := draft(t, source, o)
		panels, sides := d.Panels(), 1
		if o.CopiesAcross {
			sides = 2
		}
		if len(panels) != 50 {
			t.Errorf("%+v: %d pages are printed", o, len(panels))
		}
		for page, on := range panels {
			if len(on) != sides || slices.ContainsFunc(on, func(p plan.OnPanel) bool { return d.SourcePage(d.Places()[p.Place-1]) != page }) {
				t.Fatalf("%+v: page %d: %+v", o, page, on)
			}
		}
	}
}
