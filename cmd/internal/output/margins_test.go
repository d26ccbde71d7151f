package output

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer/printertest"
	"foldwright/reorder/refusal"
)

// framed is a book whose text stands in a frame from 60 to 360 and from 80 to 520 points on every page of A5, but for one
// page that a picture covers whole.
func framed(t *testing.T) string {
	t.Helper()
	var pages [][2]string
	for i := range 16 {
		content := "60 80 300 440 re S " + printtest.Word(fmt.Sprintf("p%d", i+1), 80, 500)
		if i == 6 {
			content = "0.5 g 0 0 420 595 re f 0 g " + printtest.Word("p7", 80, 500)
		}
		pages = append(pages, [2]string{"/MediaBox[0 0 420 595]", content})
	}
	return printtest.RawBook(t, "", pages...)
}

// TestMarginsAreThoseAskedFor prints and folds, and measures where the text stands on its leaves.
func TestMarginsAreThoseAskedFor(t *testing.T) {
	t.Parallel()
	source, set, r := framed(t), setting(t), new(printtest.Reader)
	margins := options.Margins{Given: true, Inner: 20, Outer: 24.5, Head: 18, Tail: 30}
	for _, facts := range printertest.Some(t, 1) {
		o := options.Options{
			Printer: profileFile(t, facts), Margins: margins, Trim: options.Trim{Given: true, Head: 2, Tail: 3, ForeEdge: 4},
			NoSideNames: true, Marks: options.Marks{Given: true},
		}
		folder, made := prepared(t, source, o, set)
		// Between the margins of a leaf of 144.5 x 205 mm lie 100 x 157 mm, and the text is 105.8 x 155.2 mm.
		scale := 100 / (300 * 25.4 / 72)
		if math.Abs(made.Scale-scale) > 0.008 {
			t.Fatalf("the scale is %.4f, not about %.4f", made.Scale, scale)
		}
		said := strings.Join(made.Warnings, "\n")
		if !strings.Contains(said, "page 7: print reaches at least 5 mm further than on the other pages, so it was left out") {
			t.Errorf("said:\n%s", said)
		}
		j := printtest.Load(t, folder)
		marks := 0
		for _, f := range j.Faces(t, j.Print(t, r, printtest.Printer(t, facts))) {
			for _, m := range f.Marks {
				marks++
				at := 20 * 25.4 / 72 * scale // of the word in the frame
				fromSpine := 20 + at
				if f.Place%2 == 0 {
					fromSpine = 20 + 100 - at
				}
				const near = 0.8 // mm, as pages are measured in small pictures
				if math.Abs(m.FromSpine-fromSpine) > near || math.Abs(m.FromHead-(2+18+at)) > near {
					t.Fatalf("page %s stands %.2f mm from the spine and %.2f from the head, not %.2f and %.2f", m.Label, m.FromSpine, m.FromHead, fromSpine, 20+at)
				}
			}
		}
		if marks != 16 {
			t.Errorf("%d pages are printed", marks)
		}
	}
}

// TestMarginsThatCannotBe: nothing is left, no print is there, or another option says where pages stand.
func TestMarginsThatCannotBe(t *testing.T) {
	set, source := setting(t), framed(t)
	wide := options.Margins{Given: true, Inner: 90, Outer: 70}
	if _, err := draftOf(t.Context(), source, options.Options{Margins: wide}, set); refusal.Of(err) != refusal.Plan || !strings.Contains(err.Error(), "between these margins nothing is left") {
		t.Errorf("got %v", err)
	}
	empty := printtest.RawBook(t, "", [2]string{"/MediaBox[0 0 420 595]", ""})
	narrow := options.Margins{Given: true, Inner: 20, Outer: 20}
	if _, err := draftOf(t.Context(), empty, options.Options{Margins: narrow}, set); refusal.Of(err) != refusal.Plan {
		t.Errorf("got %v", err)
	}
	for want, o := range map[string]options.Options{
		"'margins' and 'gutter' cannot be used together":     {Margins: narrow, Gutter: 3},
		"'margins' and 'box: crop' cannot be used together":  {Margins: narrow, Box: options.BoxCrop},
		"'margins' and 'scale-each' cannot be used together": {Margins: narrow, ScaleEach: true},
	} {
		if err := o.Check(); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

// TestNarrowMarginsInTheEdgeAreSaid: the printer does not reach as far as the text is wanted.
func TestNarrowMarginsInTheEdgeAreSaid(t *testing.T) {
	set, source := setting(t), framed(t)
	clear := options.Edges{Given: true, Head: 8, Tail: 8, Left: 8, Right: 8}
	for tail, wanted := range map[options.Length]bool{4: true, 14: false} {
		o := options.Options{Margins: options.Margins{Given: true, Inner: 20, Outer: tail, Head: 14, Tail: 14}, KeepClear: clear, DropPages: options.Pages{{First: 7, Last: 7}}}
		_, made := prepared(t, source, o, set)
		if said := strings.Join(made.Warnings, "\n"); strings.Contains(said, "ink falls into the edge") != wanted {
			t.Errorf("an outer margin of %s: said:\n%s", tail, said)
		}
	}
}

// TestPictureBeyondTheLeafIsSaid: a picture that was left out of the measure stands in the margins, as far as there is leaf.
func TestPictureBeyondTheLeafIsSaid(t *testing.T) {
	var pages [][2]string
	for i := range 8 {
		content := "60 80 300 440 re S " + printtest.Word(fmt.Sprintf("p%d", i+1), 80, 500)
		if i == 4 {
			content = "0.5 g 30 30 360 535 re f"
		}
		pages = append(pages, [2]string{"/MediaBox[0 0 420 595]", content})
	}
	source, set := printtest.RawBook(t, "", pages...), setting(t)
	for outer, cut := range map[options.Length]bool{20: false, 8: true} {
		_, made := prepared(t, source, options.Options{Margins: options.Margins{Given: true, Inner: 22, Outer: outer, Head: 20, Tail: 20}}, set)
		said := strings.Join(made.Warnings, "\n")
		if strings.Contains(said, "page 5: print reaches beyond the leaf and is cut off, on page 5 by ") != cut || strings.Contains(said, "beyond the leaf") != cut {
			t.Errorf("an outer margin of %s: said:\n%s", outer, said)
		}
	}
}
