package output

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// wordsOn finds where words of a prepared job stand, in mm on their side. What
// is cut off is found as well.
func wordsOn(t *testing.T, folder string, made plan.Plan) map[string][]geom.Point {
	t.Helper()
	out := map[string][]geom.Point{}
	for _, r := range made.Runs {
		for _, name := range r.Files() {
			doc := rendertest.Open(t, filepath.Join(folder, name))
			for page := 1; page <= doc.Pages(); page++ {
				words, err := doc.Words(context.Background(), page)
				if err != nil {
					t.Fatal(err)
				}
				for _, w := range words {
					out[w.Text] = append(out[w.Text], w.Origin)
				}
			}
		}
	}
	return out
}

// inked is the box around all ink on the first side of a file, in mm.
func inked(t *testing.T, folder, name string) geom.Rect {
	t.Helper()
	r, found, err := rendertest.Ink(t.Context(), rendertest.Open(t, filepath.Join(folder, name)), 1, 100, 128)
	if err != nil || !found {
		t.Fatalf("no ink: %v", err)
	}
	return r
}

// A4, with bleed and marks around a finished page of A5.
const printersPage = "/MediaBox[0 0 595.28 841.89]/CropBox[40 40 555.28 801.89]/TrimBox[87.87 123.31 507.4 718.58]"

// TestBoxes places one page by each of its boxes and looks how large it comes
// out on half an A4, and what of it is still seen.
func TestBoxes(t *testing.T) {
	// A bar across the trim box, one that fills the crop box's foot, and a mark in the media box's corner.
	content := "87.87 400 419.53 20 re f 40 40 515.28 10 re f 5 830 10 10 re f"
	source := printtest.RawBook(t, "", [2]string{printersPage, content})
	crop := geom.Size{W: 515.28, H: 761.89}
	for _, c := range []struct {
		box   options.Box
		size  geom.Size // points
		width float64   // of the widest mark that is seen, in points
	}{
		{options.BoxCrop, crop, 515.28},
		{options.BoxTrim, geom.Size{W: 419.53, H: 595.27}, 419.53},
		{options.BoxMedia, geom.Size{W: 595.28, H: 841.89}, 550.28}, // from the corner mark to the bar's end
		{options.BoxContent, geom.Size{W: 515.28, H: 380}, 515.28},
	} {
		folder, made := prepared(t, source, options.Options{Box: c.box, NoSideNames: true, Marks: options.Marks{Given: true}}, setting(t))
		const pt = 25.4 / 72
		want := math.Min(148.5/(c.size.W*pt), 210/(c.size.H*pt))
		if math.Abs(made.Scale-want) > 0.01 {
			t.Errorf("%s: the scale is %.3f, want %.3f", c.box, made.Scale, want)
		}
		ink := inked(t, folder, made.Runs[0].Files()[0])
		// The page lies sideways on its sheet: its width runs along the sheet.
		if got, want := ink.Size().H, c.width*pt*made.Scale; math.Abs(got-want) > 0.6 {
			t.Errorf("%s: what is seen is %.1f mm wide, want %.1f", c.box, got, want)
		}
	}
}

// TestContentBoxIsCommon has pages whose words stand at different places: they
// keep them among each other, and --margin leaves room.
func TestContentBoxIsCommon(t *testing.T) {
	box := "/MediaBox[0 0 419.53 595.28]"
	bar := func(x, y float64) [2]string { return [2]string{box, fmt.Sprintf("%g %g 100 40 re f", x, y)} }
	source := printtest.RawBook(t, "", bar(150, 200), bar(160, 360), [2]string{box, ""}, bar(150, 250))
	d, err := draftOf(t.Context(), source, options.Options{Box: options.BoxContent, Margin: 10}, setting(t))
	if err != nil {
		t.Fatal(err)
	}
	const pt = 25.4 / 72
	want := geom.Rect{X0: 150*pt - 10, Y0: 200*pt - 10, X1: 260*pt + 10, Y1: 400*pt + 10}
	for page := 1; page <= 4; page++ {
		if got := d.Shown(page).Box; !got.IsWithin(want, 0.6) || !want.IsWithin(got, 0.6) {
			t.Errorf("page %d: the content box is %v, want %v", page, got, want)
		}
	}
	spread := printtest.RawBook(t, "", [2]string{"/MediaBox[0 0 800 600]", "100 200 150 100 re f 520 220 100 100 re f"})
	halves, err := draftOf(t.Context(), spread, options.Options{Box: options.BoxContent, Split: options.SplitSpreads}, setting(t))
	if err != nil {
		t.Fatal(err)
	}
	for page, want := range map[int]geom.Rect{1: {X0: 100, Y0: 200, X1: 250, Y1: 320}, 2: {X0: 500, Y0: 200, X1: 650, Y1: 320}} {
		want = geom.Rect{X0: want.X0 * pt, Y0: want.Y0 * pt, X1: want.X1 * pt, Y1: want.Y1 * pt}
		if got := halves.Shown(page).Box; !got.IsWithin(want, 0.6) || !want.IsWithin(got, 0.6) {
			t.Errorf("half %d: the content box is %v, want %v", page, got, want)
		}
	}
	empty := printtest.RawBook(t, "", [2]string{box, ""})
	if _, err := draftOf(t.Context(), empty, options.Options{Box: options.BoxContent}, setting(t)); refusal.Of(err) != refusal.Plan {
		t.Errorf("a book without ink: %v", err)
	}
}

// TestContentBoxOfEachSize has pages of two sizes, of which each has a box of its own, a
// page that cannot be drawn, which is taken whole, and print that is hardly seen.
func TestContentBoxOfEachSize(t *testing.T) {
	const pt = 25.4 / 72
	small, large := "/MediaBox[0 0 400 600]", "/MediaBox[0 0 600 800]"
	undrawn := "/Type/Pages" // PDFium doesn't load it
	source := printtest.RawBook(t, "",
		[2]string{small, "100 100 50 50 re f"}, [2]string{small, "0.8 g 200 300 50 50 re f"},
		[2]string{large, "300 400 90 90 re f"}, [2]string{undrawn + "/MediaBox[0 0 300 300]", "100 100 50 50 re f"},
		[2]string{"/MediaBox[0 0 300 300]", "100 100 50 50 re f"})
	d, err := draftOf(t.Context(), source, options.Options{Box: options.BoxContent}, setting(t))
	if err != nil {
		t.Fatal(err)
	}
	both := geom.Rect{X0: 100, Y0: 100, X1: 250, Y1: 350}
	for i, want := range []geom.Rect{both, both, {X0: 300, Y0: 400, X1: 390, Y1: 490}, {X1: 300, Y1: 300}, {X1: 300, Y1: 300}} {
		want = geom.Rect{X0: want.X0 * pt, Y0: want.Y0 * pt, X1: want.X1 * pt, Y1: want.Y1 * pt}
		if got := d.Shown(i + 1).Box; !got.IsWithin(want, 0.6) || !want.IsWithin(got, 0.6) {
			t.Errorf("page %d: the content box is %v, want %v", i+1, got, want)
		}
	}
	if want := "page 4 can't be loaded, so its print could not be measured and the whole page is used"; !slices.Contains(phrase.Strings(d.Warnings(), nil), want) {
		t.Errorf("warnings: %q", d.Warnings())
	}
}

// TestContentBoxNamesTheWidest warns of the one page that makes the box large.
func TestContentBoxNamesTheWidest(t *testing.T) {
	box := "/MediaBox[0 0 419.53 595.28]"
	var pages [][2]string
	for range 8 {
		pages = append(pages, [2]string{box, "100 100 200 400 re f"})
	}
	pages[6][1] = "0 0 419 595 re f"
	d, err := draftOf(t.Context(), printtest.RawBook(t, "", pages...), options.Options{Box: options.BoxContent}, setting(t))
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(phrase.Strings(d.Warnings(), nil), func(w string) bool { return strings.HasPrefix(w, "page 7: print reaches at least 10 mm further") }) {
		t.Errorf("warnings: %q", d.Warnings())
	}
}

// spreadBook has a cover, two spreads and a last single page.
func spreadBook(t *testing.T) string {
	single, double := "/MediaBox[0 0 400 600]", "/MediaBox[0 0 800 600]"
	return printtest.RawBook(t, "",
		[2]string{single, printtest.Word("cover", 50, 500)},
		[2]string{double, printtest.Word("a", 50, 500) + printtest.Word("b", 450, 500)},
		[2]string{double, printtest.Word("c", 50, 500) + printtest.Word("d", 450, 500)},
		[2]string{single, printtest.Word("last", 50, 500)})
}

func TestSpreads(t *testing.T) {
	source := spreadBook(t)
	for _, c := range []struct {
		o      options.Options
		pages  string
		halves string
	}{
		{options.Options{Split: options.SplitSpreads}, "[1 2 2 3 3 4 0 0]", "[- left right left right - - -]"},
		{options.Options{Split: options.SplitSpreads, Bind: reorder.BindRight}, "[1 2 2 3 3 4 0 0]", "[- right left right left - - -]"},
		{options.Options{Split: options.SplitSpreads, SplitFirst: options.FirstDouble}, "[1 1 2 2 3 3 4 0]", "[left right left right left right - -]"},
		{options.Options{Split: options.SplitSpreads, Pages: options.Pages{{First: 2, Last: 3}}, SplitFirst: options.FirstSingle}, "[2 2 3 3]", "[left right left right]"},
		{options.Options{Split: options.SplitSpreads, DropPages: options.Pages{{First: 1, Last: 1}}, BlanksBefore: 1}, "[0 2 2 3 3 4 0 0]", "[- left right left right - - -]"},
		{options.Options{}, "[1 2 3 4]", "[]"},
	} {
		pages, halves := pagesAndHalves(t, source, c.o)
		if fmt.Sprint(pages) != c.pages || fmt.Sprint(halves) != c.halves {
			t.Errorf("%+v: pages %v halves %v, want %s %s", c.o, pages, halves, c.pages, c.halves)
		}
	}
}

// TestFirstSpreadIsACover has a first page as wide as the others that is one page all the same.
func TestFirstSpreadIsACover(t *testing.T) {
	double := [2]string{"/MediaBox[0 0 800 600]", ""}
	pages, halves := pagesAndHalves(t, printtest.RawBook(t, "", double, double), options.Options{Split: options.SplitSpreads, SplitFirst: options.FirstSingle})
	if fmt.Sprint(pages) != "[1 2 2 0]" || fmt.Sprint(halves) != "[- left right -]" {
		t.Errorf("pages %v halves %v", pages, halves)
	}
}

// pagesAndHalves is the source page, and which half of it, at each place of a book.
func pagesAndHalves(t *testing.T, source string, o options.Options) (pages []int, halves []string) {
	t.Helper()
	_, made := prepared(t, source, o, setting(t))
	for _, g := range made.Gatherings {
		pages = append(pages, g.Pages...)
		for _, h := range g.Halves {
			if h == 0 {
				halves = append(halves, "-")
			} else {
				halves = append(halves, h.String())
			}
		}
	}
	return pages, halves
}

// TestSpreadsStandOnTheirPanels reads the print files: each word stands where
// its half of the spread has it.
func TestSpreadsStandOnTheirPanels(t *testing.T) {
	// The left page is the narrower one.
	source := printtest.RawBook(t, "",
		[2]string{"/MediaBox[0 0 800 600]", printtest.Word("left", 250, 500) + printtest.Word("right", 400, 500)},
		[2]string{"/MediaBox[0 0 800 600]", printtest.Word("third", 10, 500) + printtest.Word("fourth", 310, 500)})
	for _, at := range []options.SplitAt{{Share: 0.375}, {MM: 300 * 25.4 / 72}} {
		const pt = 25.4 / 72 / 2 // at half the size
		for blanks, wanted := range []map[string]float64{
			// Left halves are rectos, so that the outer edges of the spread are at the spine.
			{"left": 250 * pt, "right": (800 - 400) * pt, "third": 10 * pt, "fourth": (800 - 310) * pt},
			// Left halves are versos: where the spread is split, there is the spine.
			{"left": (300 - 250) * pt, "right": (400 - 300) * pt, "third": (300 - 10) * pt, "fourth": (310 - 300) * pt},
		} {
			folder, made := prepared(t, source, options.Options{Split: options.SplitSpreads, SplitAt: at, Scale: options.Scale{Scale: 0.5}, BlanksBefore: blanks}, setting(t))
			words := wordsOn(t, folder, made)
			for text, want := range wanted {
				// The fold of a folio lies at half the sheet's height.
				if !slices.ContainsFunc(words[text], func(p geom.Point) bool { return math.Abs(math.Abs(p.Y-297.0/2)-want) < 0.1 }) {
					t.Errorf("%s, %d blanks: %q stands at %v, want it %.2f mm from the fold", at, blanks, text, words[text], want)
				}
			}
		}
	}
}

func TestNothingOfTheOtherHalfIsSeen(t *testing.T) {
	// Black on the right half only: the left page is white to its edge.
	source := printtest.RawBook(t, "", [2]string{"/MediaBox[0 0 800 600]", "404 0 396 600 re f"})
	folder, made := prepared(t, source, options.Options{Split: options.SplitSpreads, Pages: options.Pages{{First: 1, Last: 1}}, NoSideNames: true, Marks: options.Marks{Given: true}}, setting(t))
	front, found, err := rendertest.Ink(t.Context(), rendertest.Open(t, filepath.Join(folder, made.Runs[0].Files()[0])), 1, 50, 128)
	if err != nil {
		t.Fatal(err)
	}
	if found {
		t.Errorf("on the front, which holds the left half, there is ink: %v", front)
	}
	if _, found, _ := rendertest.Ink(t.Context(), rendertest.Open(t, filepath.Join(folder, made.Runs[0].Files()[1])), 1, 50, 128); !found {
		t.Error("the right half is lost")
	}
}

func TestDroppedPages(t *testing.T) {
	source := printtest.Book(t, 6)
	_, made := prepared(t, source, options.Options{DropPages: options.Pages{{First: 1, Last: 1}, {First: 5, Last: 0}}, BlanksBefore: 2}, setting(t))
	if got := fmt.Sprint(made.Gatherings[0].Pages); got != "[0 0 2 3 4 0 0 0]" {
		t.Errorf("pages %s", got)
	}
	for want, o := range map[string]options.Options{
		"'drop-pages' leaves no pages":                                    {DropPages: options.Pages{{First: 1, Last: 0}}},
		"'drop-pages: 9' names page 9, but the source has 6 pages":        {DropPages: options.Pages{{First: 9, Last: 9}}},
		"'margin' must be between -50 mm and 100 mm":                      {Box: options.BoxContent, Margin: 101},
		"'margin' needs 'box: content'":                                   {Margin: 3},
		"'split-at' and 'split-first' need 'split: spreads'":              {SplitAt: options.SplitAt{MM: 3}},
		"'blanks-before: -1' must not be negative":                        {BlanksBefore: -1},
		"'split-at: 900mm' does not lie on page 1, which is 148 x 210 mm": {Split: options.SplitSpreads, SplitAt: options.SplitAt{MM: 900}},
	} {
		_, err := draftOf(t.Context(), source, o, setting(t))
		if err == nil {
		}
		if err == nil || err.Error() != want {
			t.Errorf("%+v: %v, want %q", o, err, want)
		}
	}
}

// TestPageThatCannotBePlaced names the page, unless it is left out.
func TestPageThatCannotBePlaced(t *testing.T) {
	ok := [2]string{"/MediaBox[0 0 400 600]", printtest.Word("x", 50, 50)}
	source := printtest.RawBook(t, "", ok, ok, ok)
	data, err := os.ReadFile(source)
	if err != nil {
		t.Fatal(err)
	}
	// Where the second page was, its number in the tree leads to no page any more.
	data = bytes.Replace(data, []byte("6 0 obj\n<<"), []byte("6 0 obj\n9 "), 1)
	if err := os.WriteFile(source, data, 0o600); err != nil {
		t.Fatal(err)
	}
	var bad *pdf.Error
	if _, err := draftOf(t.Context(), source, options.Options{}, setting(t)); !errors.As(err, &bad) || bad.Page != 2 {
		t.Errorf("got %v", err)
	}
	_, err = draftOf(t.Context(), source, options.Options{DropPages: options.Pages{{First: 2, Last: 2}}}, setting(t))
	if err != nil {
		t.Fatal(err)
	}
}

func TestRectoOrVerso(t *testing.T) {
	box := "/MediaBox[0 0 400 600]"
	page := [2]string{box, printtest.Word("x", 50, 50)}
	const front = "/PageLabels<</Nums[0<</P(Cover)>>1<</S/D>>]>>"
	for _, c := range []struct {
		name, catalog string
		o             options.Options
		want, not     string
	}{
		{"a cover before page 1", front, options.Options{}, "page 2, numbered 1, falls on a verso; in books it is a recto: 'drop-pages: 1' leaves a page out, 'blanks-before: 1' adds a blank", ""},
		{"the first cure", front, options.Options{DropPages: options.Pages{{First: 1, Last: 1}}}, "", "verso"},
		{"the second cure", front, options.Options{BlanksBefore: 1}, "", "verso"},
		{"no cover", "/PageLabels<</Nums[0<</S/D>>]>>", options.Options{}, "", "verso"},
		{"roman, then arabic", "/PageLabels<</Nums[0<</S/r>>3<</S/D>>]>>", options.Options{}, "page 4, numbered 1, falls on a verso", ""},
		{"kids", "/PageLabels<</Kids[<</Nums[0<</S/r>>]>><</Nums[3<</S/D>>]>>]>>", options.Options{}, "page 4, numbered 1, falls on a verso", ""},
		{"a part of the book", "/PageLabels<</Nums[0<</S/D>>]>>", options.Options{Pages: options.Pages{{First: 2, Last: 0}}}, "", "verso"},
		{"a volume that goes on", "/PageLabels<</Nums[0<</S/D/St 312>>]>>", options.Options{}, "page 1, numbered 312, falls on a recto; in books it is a verso: 'blanks-before: 1' adds a blank", "drop"},
		{"a blank too many", "/PageLabels<</Nums[0<</S/D>>]>>", options.Options{BlanksBefore: 1}, "page 1 falls on a verso; in books it is a recto: 'blanks-before: 0' takes a blank away", "drop"},
		{"a prefix", "/PageLabels<</Nums[0<</P(Cover)>>1<</P(B-)/S/D>>]>>", options.Options{}, "page 2, numbered B-1, falls on a verso", ""},
		{"labels of spreads", "/PageLabels<</Nums[0<</S/r>>1<</S/D>>]>>", options.Options{Split: options.SplitSpreads, SplitFirst: options.FirstSingle}, "", "verso"},
		{"an odd number of blanks", "", options.Options{BlanksBefore: 3}, "3 blanks before the first page: an odd number turns rectos into versos", ""},
		{"an even number of blanks", "", options.Options{BlanksBefore: 2}, "", "blanks before"},
		{"right to left", "/ViewerPreferences<</Direction/R2L>>", options.Options{}, "the source is read from right to left, but the spine is at the left: 'bind: right'", ""},
		{"right to left and bound so", "/ViewerPreferences<</Direction/R2L>>", options.Options{Bind: reorder.BindRight}, "", "right to left"},
	} {
		d, err := draftOf(t.Context(), printtest.RawBook(t, c.catalog, page, page, page, page, page), c.o, setting(t))
		if err != nil {
			t.Fatal(err)
		}
		all := strings.Join(phrase.Strings(d.Warnings(), nil), "\n")
		if !strings.Contains(all, c.want) || c.not != "" && strings.Contains(all, c.not) {
			t.Errorf("%s: %q is said, want %q and not %q", c.name, all, c.want, c.not)
		}
	}
}
