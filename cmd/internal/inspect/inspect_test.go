package inspect

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/written"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
)

// inspected plans a job with a named printer and inspects its source.
func inspected(t *testing.T, source string, o options.Options) Findings {
	t.Helper()
	o.Printer = "by-hand-short"
	d := written.Draft(t, source, o)
	in, err := Look(t.Context(), d, silent{})
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// said fails unless each of the words is found in a sentence.
func said(t *testing.T, what string, in Findings, want ...string) {
	t.Helper()
	for _, w := range want {
		found := false
		for _, f := range in.Findings {
			found = found || strings.Contains(f.String(), w)
		}
		if !found {
			t.Errorf("%s: %q is not said, but %q", what, w, in.Findings)
		}
	}
}

func unsaid(t *testing.T, what string, in Findings, words string) {
	t.Helper()
	for _, f := range in.Findings {
		if strings.Contains(f.String(), words) {
			t.Errorf("%s: %q is said", what, f)
		}
	}
}

const a4Page = "/MediaBox[0 0 595.28 841.89]"

// TestTypeSize has type of 11 pt, written in two ways, that comes out at 0.707 of it.
func TestTypeSize(t *testing.T) {
	line := "(The lamp was lit at six and burned until morning.) Tj "
	source := printtest.RawBook(t, "",
		[2]string{a4Page, "BT /F 11 Tf 100 700 Td " + line + "0 -20 Td " + line + "ET BT /F 30 Tf 100 500 Td (Night) Tj ET"},
		[2]string{a4Page, "q 2 0 0 2 0 0 cm BT /F 1 Tf 5.5 0 0 5.5 50 300 Tm " + line + "ET Q"})
	in := inspected(t, source, options.Options{})
	if in.Printed.SourcePT != 11 || math.Abs(in.Printed.TypePT-11*0.7071) > 0.06 {
		t.Errorf("type of %g pt comes out at %g", in.Printed.SourcePT, in.Printed.TypePT)
	}
	said(t, "small type", in, "most type comes out at 7.8 pt, which is small to read (below 8.5 pt)")
	in = inspected(t, source, options.Options{Paper: "a3"})
	if math.Abs(in.Printed.TypePT-11) > 0.06 {
		t.Errorf("on A3 type comes out at %g", in.Printed.TypePT)
	}
	unsaid(t, "type of 11 pt", in, "small to read")
	if in := inspected(t, printtest.RawBook(t, "", [2]string{a4Page, "100 100 50 50 re f"}), options.Options{}); in.Printed.SourcePT != 0 {
		t.Errorf("a page without text has type of %g pt", in.Printed.SourcePT)
	}
}

// TestCoarsePictures has a picture of 100 by 100 pixels at several sizes: drawn
// by the page, and by a form that shrinks it to a half.
func TestCoarsePictures(t *testing.T) {
	grey := strings.Repeat("80", 100*100) + ">"
	picture := fmt.Sprintf("<</Type/XObject/Subtype/Image/Width 100/Height 100/BitsPerComponent 8/ColorSpace/DeviceGray/Filter/ASCIIHexDecode/Length %d>>\nstream\n%s\nendstream", len(grey), grey)
	form := "<</Type/XObject/Subtype/Form/BBox[0 0 600 600]/Matrix[0.5 0 0 0.5 0 0]/Resources<</XObject<</X 6 0 R>>>>/Length %d>>\nstream\n%s\nendstream"
	a5 := "/MediaBox[0 0 419.53 595.28]" // 100 percent on half an A4
	for _, c := range []struct {
		size   float64 // points, as printed
		coarse float64 // dpi; 0: fine enough
	}{{100, 72}, {47, 0}, {49, 147}, {20, 0}} {
		draw := fmt.Sprintf("q %g 0 0 %g 100 100 cm /X Do Q", 2*c.size, 2*c.size)
		objects := []string{picture, fmt.Sprintf(form, len(draw), draw)}
		for _, content := range []string{fmt.Sprintf("q %g 0 0 %g 100 100 cm /X1 Do Q", c.size, c.size), "/X2 Do"} {
			in := inspected(t, printtest.RawBookWith(t, objects, "", [2]string{a5, content}), options.Options{Scale: options.Scale{Scale: 1}})
			switch coarse := in.Printed.Coarse; {
			case in.Printed.Pictures != 1:
				t.Errorf("%s: %d pictures", content, in.Printed.Pictures)
			case c.coarse == 0 && len(coarse) != 0:
				t.Errorf("%s, %g pt: %+v", content, c.size, coarse)
			case c.coarse > 0 && (len(coarse) != 1 || math.Abs(coarse[0].DPI-c.coarse) > 1):
				t.Errorf("%s, %g pt: %+v, want %g dpi", content, c.size, coarse, c.coarse)
			}
		}
	}
}

// TestPicturesAreCoarseAsPrinted has a page that is shrunk, which makes pictures finer, and an
// ornament, whose pixels are not seen.
func TestPicturesAreCoarseAsPrinted(t *testing.T) {
	picture := func(pixels int) string {
		return fmt.Sprintf("<</Type/XObject/Subtype/Image/Width %d/Height %[1]d/BitsPerComponent 8/ColorSpace/DeviceGray/Filter/ASCIIHexDecode/Length %d>>\nstream\n%s>\nendstream",
			pixels, 2*pixels*pixels+1, strings.Repeat("80", pixels*pixels))
	}
	content := "q 100 0 0 100 100 100 cm /X1 Do Q q 20 0 0 20 300 300 cm /X2 Do Q"
	in := inspected(t, printtest.RawBookWith(t, []string{picture(100), picture(10)}, "", [2]string{a4Page, content}), options.Options{})
	if coarse := in.Printed.Coarse; in.Printed.Pictures != 2 || len(coarse) != 1 || math.Abs(coarse[0].DPI-72/0.7071) > 1 {
		t.Errorf("%d pictures, coarse %+v", in.Printed.Pictures, coarse)
	}
}

// TestInkNearEdgeAndFold puts bars at known distances. On half an A4 an A5
// page stands at 100 percent: rectos have the fold at the left.
func TestInkNearEdgeAndFold(t *testing.T) {
	const mm = 72 / 25.4
	a5 := fmt.Sprintf("/MediaBox[0 0 %g %g]", 148*mm, 210*mm)
	bar := func(left, right float64) string {
		return fmt.Sprintf("%g %g %g 20 re f", left*mm, 100*mm, (148-left-right)*mm)
	}
	source := printtest.RawBook(t, "", [2]string{a5, bar(20, 20)}, [2]string{a5, bar(20, 4)}, [2]string{a5, bar(6, 20)}, [2]string{a5, bar(2, 20)})
	in := inspected(t, source, options.Options{Scale: options.Scale{Scale: 1}})
	// Page 4 is a verso: 2 mm from its outer edge, half a millimetre of spare
	// panel beyond it.
	if got := in.Printed.Edge; len(got) != 1 || got[0].Page != 4 || math.Abs(got[0].MM-1.7) > 0.6 {
		t.Errorf("in the edge: %v", got)
	}
	if got := in.Printed.Fold; len(got) != 2 || got[0].Page != 2 || math.Abs(got[0].MM-4) > 0.6 || got[1].Page != 3 || math.Abs(got[1].MM-6) > 0.6 {
		t.Errorf("near the fold: %v", got)
	}
	said(t, "edge and fold", in, "page 4: ink in the outermost 4.2 mm", "pages 2, 3: ink within 10 mm of the fold")
	in = inspected(t, source, options.Options{Scale: options.Scale{Scale: 1}, Bind: reorder.BindRight})
	if got := in.Printed.Fold; len(got) != 1 || got[0].Page != 4 {
		t.Errorf("bound at the right, near the fold: %v", got)
	}
}

// TestInkNearUprightFolds has pages of A6 on A4 that is folded twice: the fold that is sewn
// through runs along the sheet, at the left of one leaf and at the right of another.
func TestInkNearUprightFolds(t *testing.T) {
	const mm = 72 / 25.4
	// The bars of rectos are 6 mm from the fold, those of versos 4 mm.
	bars := [2]string{
		fmt.Sprintf("%g %g %g 20 re f", 6*mm, 70*mm, (105-6-20)*mm),
		fmt.Sprintf("%g %g %g 20 re f", 20*mm, 70*mm, (105-20-4)*mm),
	}
	var pages [][2]string
	for i := range 8 {
		pages = append(pages, [2]string{fmt.Sprintf("/MediaBox[0 0 %g %g]", 105*mm, 148*mm), bars[i%2]})
	}
	in := inspected(t, printtest.RawBook(t, "", pages...), options.Options{Scale: options.Scale{Scale: 1}, Fold: reorder.Quarto})
	if len(in.Printed.Fold) != 8 {
		t.Errorf("near the fold: %v", in.Printed.Fold)
	}
	for _, got := range in.Printed.Fold {
		want := 6.0
		if got.Page%2 == 0 {
			want = 4
		}
		if math.Abs(got.MM-want) > 0.6 {
			t.Errorf("page %d: %g mm from the fold, want %g", got.Page, got.MM, want)
		}
	}
}

func TestSpreadsAreProposed(t *testing.T) {
	wide := "/MediaBox[0 0 800 560]"
	text := func(x0, x1, x2, x3 float64) string {
		return fmt.Sprintf("%g 100 %g 350 re f %g 100 %g 350 re f", x0, x1-x0, x2, x3-x2)
	}
	for _, c := range []struct {
		name    string
		pages   [][2]string
		percent float64 // 0: no spreads
		said    string
	}{
		{"spreads", [][2]string{{wide, text(60, 360, 440, 740)}, {wide, text(60, 360, 440, 740)}, {wide, text(60, 360, 440, 700)}}, 50, "two pages side by side: 'split: spreads'"},
		{"with a cover", [][2]string{{"/MediaBox[0 0 400 560]", "50 50 300 400 re f"}, {wide, text(60, 360, 440, 740)}, {wide, text(60, 360, 440, 740)}}, 50, "'split: spreads'"},
		{"beside the middle", [][2]string{{wide, text(60, 330, 370, 740)}, {wide, text(60, 330, 370, 740)}, {wide, text(60, 330, 370, 740)}}, 44, "'split: spreads' with 'split-at: 4"},
		{"slides", [][2]string{{wide, text(60, 360, 440, 740) + " 200 480 400 30 re f"}, {wide, "200 480 400 30 re f"}, {wide, text(60, 360, 440, 740) + " 200 480 400 30 re f"}}, 0, ""},
		{"slides of which most have no heading", [][2]string{{wide, text(60, 360, 440, 740) + " 200 480 400 30 re f"}, {wide, text(60, 360, 440, 740)}, {wide, text(60, 360, 440, 740)}, {wide, text(60, 360, 440, 740)}}, 0, ""},
		{"print on the left half only", [][2]string{{wide, "60 100 300 350 re f"}, {wide, "60 100 300 350 re f"}}, 0, ""},
		{"two wide pages among many", [][2]string{{wide, text(60, 360, 440, 740)}, {wide, text(60, 360, 440, 740)}, {a4Page, ""}, {a4Page, ""}, {a4Page, ""}}, 0, ""},
		{"two columns on upright pages", [][2]string{{a4Page, "60 100 200 500 re f 320 100 200 500 re f"}, {a4Page, "60 100 200 500 re f 320 100 200 500 re f"}}, 0, ""},
	} {
		in := inspected(t, printtest.RawBook(t, "", c.pages...), options.Options{})
		switch {
		case c.percent == 0 && in.Spreads != nil:
			t.Errorf("%s: taken for spreads: %+v", c.name, in.Spreads)
		case c.percent != 0 && (in.Spreads == nil || math.Abs(in.Spreads.AtPercent-c.percent) > 1):
			t.Errorf("%s: %+v, want %g percent", c.name, in.Spreads, c.percent)
		}
		if c.said != "" {
			said(t, c.name, in, c.said)
		}
	}
}

// TestSplitSpreadsAreNotProposed has spreads that are split already.
func TestSplitSpreadsAreNotProposed(t *testing.T) {
	spread := [2]string{"/MediaBox[0 0 800 560]", "60 100 300 350 re f 440 100 300 350 re f"}
	in := inspected(t, printtest.RawBook(t, "", spread, spread), options.Options{Split: options.SplitSpreads})
	if in.Spreads == nil {
		t.Error("the spreads are not seen")
	}
	unsaid(t, "split already", in, "'split: spreads'")
}

// numberedPages have a bar for their text and, where number gives one, a number at a height in points.
func numberedPages(count int, y float64, number func(page int) int) [][2]string {
	var pages [][2]string
	for i := 1; i <= count; i++ {
		content := "60 150 280 350 re f "
		if n := number(i); n > 0 {
			content += printtest.Word(fmt.Sprint(n), 195, y)
		}
		pages = append(pages, [2]string{"/MediaBox[0 0 400 600]", content})
	}
	return pages
}

func TestPrintedNumbersTellRectos(t *testing.T) {
	numbered := func(offset int) [][2]string {
		return numberedPages(14, 40, func(page int) int { return page + offset })
	}
	in := inspected(t, printtest.RawBook(t, "", numbered(-3)...), options.Options{})
	if !in.Numbering.Printed || in.Numbering.Offset != -3 {
		t.Errorf("numbering %+v", in.Numbering)
	}
	said(t, "three pages before page 1", in, "page 4, numbered 1, falls on a verso; in books it is a recto: 'drop-pages: 1' leaves a page out, 'blanks-before: 1' adds a blank")
	for what, in := range map[string]Findings{
		"two pages before page 1": inspected(t, printtest.RawBook(t, "", numbered(-2)...), options.Options{}),
		"a blank before them":     inspected(t, printtest.RawBook(t, "", numbered(-3)...), options.Options{BlanksBefore: 1}),
	} {
		unsaid(t, what, in, "falls on")
	}
	in = inspected(t, printtest.RawBook(t, "", numbered(-20)...), options.Options{})
	if in.Numbering.Printed {
		t.Errorf("no numbers, but %+v", in.Numbering)
	}
	// What the file itself says of its pages counts more, whether the plan fits it or not.
	for _, labels := range []string{"/PageLabels<</Nums[0<</S/D>>]>>", "/PageLabels<</Nums[0<</S/r>>1<</S/D>>]>>"} {
		in := inspected(t, printtest.RawBook(t, labels, numbered(-3)...), options.Options{})
		if !in.Numbering.Labels || !in.Numbering.Printed {
			t.Errorf("numbering %+v", in.Numbering)
		}
		unsaid(t, labels, in, "falls on")
	}
}

// TestWhatIsTakenForPageNumbers has numbers that rise with the pages, in the text, and on few pages.
func TestWhatIsTakenForPageNumbers(t *testing.T) {
	each := func(page int) int { return page + 2 }
	upTo := func(last int) func(int) int {
		return func(page int) int {
			if page > last {
				return 0
			}
			return page + 2
		}
	}
	for _, c := range []struct {
		name  string
		pages [][2]string
		agree int // 0: they are none
	}{
		{"in the tail", numberedPages(14, 40, each), 14},
		{"in the head", numberedPages(14, 560, each), 14},
		{"at the foot of the text", numberedPages(14, 100, each), 0},
		{"on half of the pages", numberedPages(10, 40, upTo(5)), 5},
		{"on less than half of them", numberedPages(11, 40, upTo(5)), 0},
		{"on four pages of six", numberedPages(6, 40, upTo(4)), 0},
	} {
		want := Numbering{Sampled: len(c.pages)}
		if c.agree > 0 {
			want.Printed, want.Offset, want.Agree = true, 2, c.agree
		}
		if got := inspected(t, printtest.RawBook(t, "", c.pages...), options.Options{}).Numbering; got != want {
			t.Errorf("%s: %+v, want %+v", c.name, got, want)
		}
	}
}

func TestMarginsAndCover(t *testing.T) {
	page := func(left float64) [2]string {
		return [2]string{"/MediaBox[0 0 400 600]", fmt.Sprintf("%g 100 300 400 re f", left)}
	}
	var inner, outer [][2]string
	for range 5 {
		inner = append(inner, page(30), page(70)) // rectos have 30 at the spine
		outer = append(outer, page(70), page(30))
	}
	in := inspected(t, printtest.RawBook(t, "", inner...), options.Options{})
	if in.Margins == nil || !in.Margins.Alternate || in.Margins.InnerMM >= in.Margins.ForeEdgeMM {
		t.Errorf("margins %+v", in.Margins)
	}
	unsaid(t, "the narrow margin at the spine", in, "margins alternate")
	said(t, "the wide margin at the spine", inspected(t, printtest.RawBook(t, "", outer...), options.Options{}), "the margins alternate, and the wider one (24 mm, against 11 mm) lies at the spine")
	numbered := slices.Clone(outer)
	for i := range numbered {
		numbered[i][1] += " " + printtest.Word(fmt.Sprint(i+1), 195, 40)
	}
	in = inspected(t, printtest.RawBook(t, "", numbered...), options.Options{})
	if in.Margins == nil || !in.Margins.Alternate || !in.Numbering.Printed {
		t.Errorf("margins %+v, numbering %+v", in.Margins, in.Numbering)
	}
	unsaid(t, "numbers that are right", in, "margins alternate")
	unsaid(t, "labels that are right", inspected(t, printtest.RawBook(t, "/PageLabels<</Nums[0<</S/D>>]>>", outer...), options.Options{}), "margins alternate")
	unsaid(t, "bound at the right", inspected(t, printtest.RawBook(t, "", outer...), options.Options{Bind: reorder.BindRight}), "margins alternate")

	var covered [][2]string
	for range 7 {
		covered = append(covered, page(50))
	}
	covered[0][1] = "0 0 400 600 re f"
	in = inspected(t, printtest.RawBook(t, "", covered...), options.Options{})
	if !in.Cover {
		t.Error("the cover is not seen")
	}
	said(t, "a cover", in, "page 1 looks like a cover")
	unsaid(t, "the cover left out", inspected(t, printtest.RawBook(t, "", covered...), options.Options{DropPages: options.Pages{{First: 1, Last: 1}}}), "cover")
	for i := range 3 {
		covered[i][1] = covered[0][1]
	}
	in = inspected(t, printtest.RawBook(t, "", covered...), options.Options{})
	if in.Cover {
		t.Error("a page like the two after it is taken for a cover")
	}
	unsaid(t, "a book with print to the edges", in, "cover")
}

// TestInspectionOfTheFile tells what the file says of its pages, and of layers.
func TestInspectionOfTheFile(t *testing.T) {
	catalog := "/OCProperties<</OCGs[12 0 R 13 0 R]/D<</OFF[13 0 R]>>>>/ViewerPreferences<</Direction/R2L>>/PageLabels<</Nums[0<</S/r>>]>>"
	layers := []string{"<</Type/OCG/Name(tides)>>", "<</Type/OCG/Name(chart)>>"}
	cover, page := [2]string{"/MediaBox[0 0 420 600]", ""}, [2]string{"/MediaBox[0 0 400 600]", ""}
	undrawn := [2]string{"/Type/Pages/MediaBox[0 0 400 600]", ""} // PDFium doesn't load it
	in := inspected(t, printtest.RawBookWith(t, layers, catalog, cover, page, undrawn, page), options.Options{KeepClear: options.Edges{Given: true, Head: 9, Tail: 8, Left: 7, Right: 6}})
	text, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`"pages":4,"sizes":[{"width_mm":141.1,"height_mm":211.7,"pages":"2-4"},{"width_mm":148.2,"height_mm":211.7,"pages":"1"}]`,
		`"encrypted":false,"right_to_left":true,"numbering":{"labels":true,"printed":false`,
		`"layers":[{"name":"tides","prints":true},{"name":"chart","prints":false}]`,
		`"unprintable_edge_mm":[9,8,7,6],"unprintable_assumed":false`,
		`"pages_not_drawn":"3"`,
	} {
		if !strings.Contains(string(text), want) {
			t.Errorf("%s is not in %s", want, text)
		}
	}
	if want := "page 3 can't be loaded: whether ink falls into the edge that the printer cannot reach could not be measured there"; !slices.Contains(phrase.Strings(in.Warnings, nil), want) {
		t.Errorf("prepare would warn of %q", in.Warnings)
	}
	said(t, "a page that PDFium doesn't draw", in, "page 3 can't be loaded, so its ink was not checked")
}

// TestPagesWithUnitsOfTheirOwn have type and pictures twice as large as they say.
func TestPagesWithUnitsOfTheirOwn(t *testing.T) {
	box := "/UserUnit 2/MediaBox[0 0 209.76 297.64]"
	picture := "<</Type/XObject/Subtype/Image/Width 100/Height 100/BitsPerComponent 8/ColorSpace/DeviceGray/Filter/ASCIIHexDecode/Length 20001>>\nstream\n" + strings.Repeat("80", 100*100) + ">\nendstream"
	pixel := "<</Type/XObject/Subtype/Image/Width 1/Height 1/BitsPerComponent 8/ColorSpace/DeviceGray/Length 1>>\nstream\n8\nendstream"
	content := "BT /F 5.5 Tf 20 200 Td (The lamp was lit at six.) Tj ET q 50 0 0 50 20 20 cm /X1 Do Q q 50 0 0 50 120 20 cm /X2 Do Q"
	in := inspected(t, printtest.RawBookWith(t, []string{picture, pixel}, "", [2]string{box, content}), options.Options{Scale: options.Scale{Scale: 1}})
	if in.Printed.SourcePT != 11 || in.Printed.TypePT != 11 {
		t.Errorf("type of %g pt comes out at %g", in.Printed.SourcePT, in.Printed.TypePT)
	}
	// The single pixel, a tint, is not coarse however large it is.
	if coarse := in.Printed.Coarse; in.Printed.Pictures != 2 || len(coarse) != 1 || math.Abs(coarse[0].DPI-72) > 1 {
		t.Errorf("%d pictures, coarse %+v", in.Printed.Pictures, coarse)
	}
	said(t, "a coarse picture", in, "page 1: pictures print at less than 150 dpi, the coarsest at 72 dpi")
}

// TestInspectionOfExtras finds layers, annotations and fonts, and writes lists, never null.
func TestInspectionOfExtras(t *testing.T) {
	annots := "/Annots[<</Type/Annot/Subtype/Square/Rect[10 10 50 50]/F 4>><</Type/Annot/Subtype/Link/Rect[10 10 50 50]/F 4>><</Type/Annot/Subtype/Square/Rect[10 10 50 50]>>]"
	source := printtest.RawBook(t, "/OCProperties<</OCGs[4 0 R 5 0 R]/D<</OFF[5 0 R]>>>>", [2]string{a4Page + annots, printtest.Word("lamp", 100, 100)})
	in := inspected(t, source, options.Options{})
	text, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`"annotations":[{"kind":"Link","printed":0,"left_out":1},{"kind":"Square","printed":1,"left_out":1}]`,
		`"fonts":[{"name":"Helvetica","kind":"Type1","embedded":false,"pages":"1"}]`,
		`"coarse_pictures":[]`,
	} {
		if !strings.Contains(string(text), want) {
			t.Errorf("%s is not in %s", want, text)
		}
	}
	if strings.Contains(string(text), "null") {
		t.Errorf("null is in %s", text)
	}
	said(t, "a font that is not in the file", in, "1 font is not in the file, so the printer may use a substitute: Helvetica")
}

type silent struct{}

func (silent) Step(int) {}

// TestCuresAreTried has type that is small on paper, ink near the fold and in the edge: what is named as a cure
// does away with it, and what would not is not named.
func TestCuresAreTried(t *testing.T) {
	const mm = 72 / 25.4
	block := func(page string, x, y, w, h float64) string {
		content := fmt.Sprintf("BT /F 11 Tf %g %g Td (The lamp was lit at six and burned until morning.) Tj ET %g %g %g %g re S",
			(x+2)*mm, (y+h/2)*mm, x*mm, y*mm, w*mm, h*mm)
		return printtest.RawBook(t, "", slices.Repeat([][2]string{{page, content}}, 8)...)
	}
	a5 := "/MediaBox[0 0 419.53 595.28]" // 100 percent on half an A4

	roomy := block(a4Page, 50, 60, 110, 170)
	in := inspected(t, roomy, options.Options{})
	said(t, "wide margins", in, "which is small to read (below 8.5 pt): 'paper: a3' makes it 11 pt; 'box: content' with 'margin: ")
	var margin options.Length
	for _, f := range in.Findings {
		if _, rest, ok := strings.Cut(f.String(), "with 'margin: "); ok {
			value, _, _ := strings.Cut(rest, "'")
			if err := margin.UnmarshalText([]byte(value)); err != nil {
				t.Fatal(err)
			}
		}
	}
	in = inspected(t, roomy, options.Options{Box: options.BoxContent, Margin: margin})
	unsaid(t, "the content box and its margin", in, "mm")
	wide := options.Edges{Given: true, Head: 25, Tail: 25, Left: 25, Right: 25}
	unsaid(t, "an edge that the margin does not clear", inspected(t, roomy, options.Options{KeepClear: wide}), "'box: content'")
	unsaid(t, "margins already narrow", inspected(t, block(a4Page, 16, 16, 178, 265), options.Options{}), "'box: content'")

	in = inspected(t, block(a5, 8, 20, 132, 150), options.Options{})
	said(t, "print with some room at the fore-edge", in, "'gutter: 3mm' moves it away")
	unsaid(t, "with that gutter", inspected(t, block(a5, 8, 20, 132, 150), options.Options{Gutter: 3}), "mm of the fold")
	in = inspected(t, block(a5, 5, 20, 138, 150), options.Options{Scale: options.Scale{Scale: 1}, CutOverhang: true})
	said(t, "print at both edges of the page", in, "within 10 mm of the fold")
	unsaid(t, "no gutter has room", in, "'gutter: ")

	in = inspected(t, block(a5, 20, 2, 100, 206), options.Options{})
	said(t, "print at head and tail", in, "which most printers cannot reach, by 2.7 mm", "%' keeps it clear")
	unsaid(t, "at a smaller scale", inspected(t, block(a5, 20, 2, 100, 206), options.Options{Scale: options.Scale{Scale: 0.97}}), "cannot reach")
}
