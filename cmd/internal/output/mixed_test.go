package output

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
)

// TestMixedSizes has one scale for the book, from the size most pages have, and
// says what became of the others.
func TestMixedSizes(t *testing.T) {
	page := func(w, h float64) [2]string {
		const mm = 72 / 25.4
		return [2]string{fmt.Sprintf("/MediaBox[0 0 %g %g]", w*mm, h*mm), ""}
	}
	// Five of A5, an A4, an A5 and an A4 that are wider than high, and a small one.
	source := printtest.RawBook(t, "", page(148, 210), page(148, 210), page(210, 297), page(210, 148), page(297, 210), page(100, 140), page(148, 210), page(148, 210), page(148, 210))
	turned := "pages 4, 5: landscape, so rotated 90 degrees, with the head at the left"
	for _, c := range []struct {
		name   string
		o      options.Options
		scales map[int]float64 // by page
		said   []string
		unsaid string
	}{
		{"one scale", options.Options{}, map[int]float64{1: 1, 3: 148.5 / 210, 4: 1, 5: 148.5 / 210, 6: 1},
			[]string{turned, "pages 3, 5: larger than most pages, so shrunk to fit (the smallest to 70.7 percent; the book is printed at 100 percent)"}, ""},
		{"shrunk", options.Options{Wide: reorder.WideShrink}, map[int]float64{1: 1, 3: 148.5 / 210, 4: 148.5 / 210, 5: 0.5, 6: 1},
			[]string{"pages 3, 4, 5: larger than most pages, so shrunk to fit (the smallest to 50 percent"}, "turned"},
		{"each by itself", options.Options{ScaleEach: true}, map[int]float64{1: 1, 3: 148.5 / 210, 5: 148.5 / 210, 6: 148.5 / 100},
			[]string{turned}, "shrunk"},
	} {
		d, err := draftOf(t.Context(), source, c.o, setting(t))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range d.Placement.Sheets {
			for _, p := range slices.Concat(s.Front, s.Back) {
				got := math.Hypot(p.Matrix[0], p.Matrix[1])
				if want, ok := c.scales[p.Page]; ok && math.Abs(got-want) > 0.005 {
					t.Errorf("%s: page %d stands at %.3f, want %.3f", c.name, p.Page, got, want)
				}
				isTurned := math.Abs(p.Matrix[1]) < 1e-9 // on a folio pages lie sideways
				if want := c.o.Wide != reorder.WideShrink && (p.Page == 4 || p.Page == 5); isTurned != want {
					t.Errorf("%s: page %d turned: %v", c.name, p.Page, isTurned)
				}
			}
		}
		all := strings.Join(phrase.Strings(d.Warnings(), nil), "\n")
		for _, want := range c.said {
			if !strings.Contains(all, want) {
				t.Errorf("%s: %q is not said, but %q", c.name, want, all)
			}
		}
		if c.unsaid != "" && strings.Contains(all, c.unsaid) {
			t.Errorf("%s: %q is said", c.name, all)
		}
	}
}

// TestScaleIsThatOfMostPages has a larger page first, which is not the one that counts.
func TestScaleIsThatOfMostPages(t *testing.T) {
	const mm = 72 / 25.4
	page := func(w, h float64) [2]string { return [2]string{fmt.Sprintf("/MediaBox[0 0 %g %g]", w*mm, h*mm), ""} }
	d, err := draftOf(t.Context(), printtest.RawBook(t, "", page(210, 297), page(148, 210), page(148, 210)), options.Options{}, setting(t))
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(d.Placement.Scale-1) > 0.005 {
		t.Errorf("the book stands at %.3f", d.Placement.Scale)
	}
	if want := "page 1: larger than most pages, so shrunk to fit"; !strings.Contains(strings.Join(phrase.Strings(d.Warnings(), nil), "\n"), want) {
		t.Errorf("%q is not said, but %q", want, d.Warnings())
	}
}

// TestBookOfWidePagesIsNotTurned has the pages stand as they are read, and says what helps.
func TestBookOfWidePagesIsNotTurned(t *testing.T) {
	wide := [2]string{"/MediaBox[0 0 800 600]", ""}
	d, err := draftOf(t.Context(), printtest.RawBook(t, "", wide, wide, wide, wide), options.Options{}, setting(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range d.Placement.Sheets[0].Front {
		if math.Abs(p.Matrix[1]) < 1e-9 { // on a folio pages lie sideways
			t.Errorf("page %d is turned", p.Page)
		}
	}
	if want := "most pages are landscape and their panels portrait, so they come out small"; !strings.Contains(strings.Join(phrase.Strings(d.Warnings(), nil), "\n"), want) {
		t.Errorf("%q is not said, but %q", want, d.Warnings())
	}
}
