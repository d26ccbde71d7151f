package output

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
)

// bleeding writes a book of four A5 pages. Each has a grey area that reaches
// over as many millimetres beyond all edges of the page as bleed says; with a
// trim box the page lies 10 mm within its sheet.
func bleeding(t *testing.T, boxes bool, bleed float64) string {
	t.Helper()
	around := 0.0
	if boxes {
		around = 10
	}
	width, height := 148+2*around, 210+2*around
	doc := pdftest.New(width, height)
	doc.SetFont("Helvetica", "", 14)
	for range 4 {
		doc.AddPage()
		if boxes {
			doc.SetPageBox("trim", around, around, 148, 210)
			doc.SetPageBox("bleed", around-bleed, around-bleed, 148+2*bleed, 210+2*bleed)
		}
		doc.SetFillColor(120, 120, 120)
		doc.Rect(around-bleed, around-bleed, 148+2*bleed, 210+2*bleed, "F")
		doc.SetTextColor(255, 255, 255)
		doc.Text(around+40, around+40, "The lamp was lit at six.")
	}
	path := filepath.Join(t.TempDir(), "bleeding.pdf")
	if err := doc.OutputFileAndClose(path); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestBleedReachesBeyondTheCut renders print files and finds the grey area on
// both sides of the cut at head, tail and fore-edge.
func TestBleedReachesBeyondTheCut(t *testing.T) {
	o := options.Options{Printer: "by-hand-long", Trim: options.Trim{Given: true, Head: 4, Tail: 5, ForeEdge: 6}, NoSideNames: true, Marks: options.Marks{Given: true}}
	folder, made := prepared(t, bleeding(t, true, 3), o, setting(t))
	for _, w := range made.Warnings {
		if strings.Contains(w, "trim") || strings.Contains(w, "rim") {
			t.Errorf("warned: %s", w)
		}
	}
	// The page fits the leaf of 142.5 x 201 mm at this scale.
	scale := 201.0 / 210
	if math.Abs(made.Scale-scale) > 1e-4 {
		t.Fatalf("scale %v, want %v", made.Scale, scale)
	}
	doc := rendertest.Open(t, filepath.Join(folder, "run-01-front.pdf"))
	ink, found, err := rendertest.Ink(t.Context(), doc, 1, 200, 200)
	if err != nil || !found {
		t.Fatal(err)
	}
	// Two pages lie with their spines at the middle, heads at x = 0: head 4 mm
	// and tail 5 mm are cut off, 3 mm of bleed are scaled with the page. At the
	// fore-edge the page ends where its width does.
	want := geom.Rect{X0: 4 - 3*scale, X1: 205 + 3*scale, Y0: 148.5 - 148*scale - 3*scale, Y1: 148.5 + 148*scale + 3*scale}
	for i, d := range plan.Overhangs(ink, want) {
		if math.Abs(d) > 0.2 {
			t.Errorf("edge %d of %v lies %.2f mm off %v", i, ink, d, want)
		}
	}
}

func TestWarningsOnTrimming(t *testing.T) {
	text := func(x, y float64) string {
		doc := pdftest.New(148, 210)
		doc.SetFont("Helvetica", "", 14)
		for i := range 4 {
			doc.AddPage()
			doc.Text(40, 40, "The lamp was lit at six.")
			if i == 2 {
				doc.Text(x, y, "lamp")
			}
		}
		path := filepath.Join(t.TempDir(), "text.pdf")
		if err := doc.OutputFileAndClose(path); err != nil {
			t.Fatal(err)
		}
		return path
	}
	const rim = "print runs to the edge of the page and ends less than 1 mm beyond the cut: a white rim may show"
	trim3 := options.Trim{Given: true, Head: 3, Tail: 3, ForeEdge: 3}
	for _, c := range []struct {
		name, source string
		o            options.Options
		want         string
	}{
		{"text clear of the cut", text(60, 60), options.Options{Trim: trim3, Scale: options.Scale{Scale: 1}}, ""},
		{"text at the tail", text(60, 207.5), options.Options{Trim: trim3, Scale: options.Scale{Scale: 1}}, "page 3: print would be cut off in trimming, on page 3 by 1."},
		{"text at the fore-edge", text(134, 60), options.Options{Trim: options.Trim{Given: true, Head: 0, Tail: 0, ForeEdge: 10}, Scale: options.Scale{Scale: 1}}, "page 3: print would be cut off in trimming, on page 3 by"},
		{"text at the spine is not cut", text(1, 60), options.Options{Trim: trim3, Scale: options.Scale{Scale: 1}}, ""},
		{"fitted pages keep their text", text(60, 207.5), options.Options{Trim: trim3}, ""},
		{"bleed", bleeding(t, true, 3), options.Options{Trim: trim3}, ""},
		{"no bleed", bleeding(t, true, 0), options.Options{Trim: trim3}, "pages 1, 2, 3, 4: " + rim},
		{"no boxes", bleeding(t, false, 0), options.Options{Trim: trim3}, "pages 1, 2, 3, 4: " + rim},
		{"cut into a picture that reaches beyond", bleeding(t, false, 0), options.Options{Trim: trim3, Scale: options.Scale{Scale: 1}}, ""},
		{"bleed, but the box without it", bleeding(t, true, 3), options.Options{Trim: trim3, Box: options.BoxCrop}, ""},
	} {
		d, err := draftOf(t.Context(), c.source, c.o, setting(t))
		if err != nil {
			t.Fatal(c.name, err)
		}
		got := strings.Join(phrase.Strings(d.BookWarnings(), nil), "\n")
		if got != c.want && (c.want == "" || !strings.HasPrefix(got, c.want)) {
			t.Errorf("%s:\n got %q\nwant %q", c.name, got, c.want)
		}
	}
}

func TestTrimmedSizes(t *testing.T) {
	d := drafted(t, 8, options.Options{TrimTo: options.Dimensions{W: 140, H: 200}})
	if got := d.LeafText(); got != "148.5 x 210 mm, trimmed to 140 x 200 mm" {
		t.Error(got)
	}
	if got := d.RunSheet().Trim; got != (reorder.Trim{Head: 5, Tail: 5, ForeEdge: 8.5}) {
		t.Errorf("the run sheet has %v", got)
	}
	if got := drafted(t, 8, options.Options{Fold: reorder.Pouch, Trim: options.Trim{Given: true, Head: 3, Tail: 4, ForeEdge: 0}}).Trim; got != (reorder.Trim{Head: 3, Tail: 4}) {
		t.Errorf("a pouch is trimmed by %v", got)
	}
	for want, o := range map[string]options.Options{
		"the fore-edge of a pouch is a fold, which must not be cut off":                                             {Fold: reorder.Pouch, Trim: options.Trim{Given: true, Head: 3, Tail: 3, ForeEdge: 3}},
		"the fore-edge of a concertina is a fold, which must not be cut off":                                        {Fold: reorder.Concertina, Trim: options.Trim{Given: true, Head: 0, Tail: 0, ForeEdge: 1}},
		"'trim' and 'trim-to' cannot be used together":                                                              {Trim: options.Trim{Given: true}, TrimTo: options.Dimensions{W: 1, H: 1}},
		"a leaf of 148.5 x 210 mm cannot be trimmed to 152 x 229 mm":                                                {TrimTo: options.Dimensions{W: 152, H: 229}},
		"nothing is left of a leaf of 148.5 x 210 mm when 0, 0 and 100 mm are trimmed off head, tail and fore-edge": {Trim: options.Trim{Given: true, Head: 0, Tail: 0, ForeEdge: 100}, Gutter: 60},
	} {
		if _, err := draftOf(t.Context(), printtest.Book(t, 8), o, setting(t)); err == nil || err.Error() != want {
			t.Errorf("got %v, want %q", err, want)
		}
	}
}
