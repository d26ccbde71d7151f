package proof

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/sample"
)

// kind is a kind of annotation, without an appearance of its own.
type kind struct {
	name, entries string
	drawn         bool // something of it is printed
	alike         bool // PDFium by itself draws the same, but for what is to stay upright
}

// kinds are all of ISO 32000-1, tables 169 and 220, and redaction of ISO 32000-2.
var kinds = []kind{
	{"Text", "/Contents (ebb)", true, false},
	{"Link", "/Border [0 0 8] /C [0]", false, false},
	{"FreeText", "/Contents (ebb and flow) /DA (0 g /Helv 24 Tf) /C [0.8]", true, false},
	{"Line", "/L [60 60 140 130] /C [0] /BS << /W 6 >> /LE [/OpenArrow /ClosedArrow]", true, false},
	{"Square", "/C [0] /IC [0.5] /BS << /W 8 >>", true, true},
	{"Circle", "/C [0] /IC [0.5] /BS << /W 8 >>", true, true},
	{"Polygon", "/Vertices [60 60 140 60 100 130] /C [0] /IC [0.5] /BS << /W 6 >>", true, false},
	{"PolyLine", "/Vertices [60 60 140 60 100 130] /C [0] /BS << /W 6 >> /LE [/None /OpenArrow]", true, false},
	{"Highlight", "/C [0.4] /QuadPoints [60 110 140 110 60 90 140 90]", true, true},
	{"Underline", "/C [0] /QuadPoints [60 110 140 110 60 90 140 90]", true, true},
	{"Squiggly", "/C [0] /QuadPoints [60 110 140 110 60 90 140 90]", true, true},
	{"StrikeOut", "/C [0] /QuadPoints [60 110 140 110 60 90 140 90]", true, true},
	{"Stamp", "/Name /Draft", false, true},
	{"Caret", "/Sy /P", false, true},
	{"Ink", "/InkList [[60 60 100 130 140 60]] /C [0] /BS << /W 6 >>", true, true},
	{"Popup", "/Open true", false, true},
	{"FileAttachment", "/Name /PushPin", false, true},
	{"Sound", "/Name /Speaker", false, true},
	{"Movie", "/T (tide)", false, true},
	{"Screen", "/T (tide) /MK << /BG [0.5] >>", false, true},
	{"PrinterMark", "", false, true},
	{"TrapNet", "", false, true},
	{"Watermark", "", false, true},
	{"3D", "", false, true},
	{"Redact", "/QuadPoints [60 110 140 110 60 90 140 90] /IC [0]", false, true},
	{"Widget", "/FT /Tx /T (a) /V (ebb) /DA (0 g /Helv 30 Tf) /MK << /BC [0] /BG [0.8] >>", true, false},
	{"Widget", "/FT /Tx /T (a) /Ff 4096 /V (ebb and flow and ebb again) /DA (0 g /Helv 18 Tf)", true, false},
	{"Widget", "/FT /Tx /T (a) /Ff 16777216 /MaxLen 4 /V (ebb) /DA (0 g /Helv 30 Tf)", true, false},
	{"Widget", "/FT /Tx /T (a) /Ff 8192 /V (ebb) /DA (0 g /Helv 30 Tf)", false, false},
	{"Widget", "/FT /Btn /T (a) /V /Yes /AS /Yes /MK << /BC [0] >>", true, false},
	{"Widget", "/FT /Btn /T (a) /Ff 32768 /V /Yes /AS /Yes /MK << /BC [0] >>", true, false},
	{"Widget", "/FT /Btn /T (a) /Ff 65536 /MK << /BC [0] /CA (ebb) >>", true, true},
	{"Widget", "/FT /Ch /T (a) /Ff 131072 /V (ebb) /Opt [(ebb) (flow)] /DA (0 g /Helv 30 Tf)", true, false},
	{"Widget", "/FT /Ch /T (a) /V (ebb) /Opt [(ebb) (flow)] /DA (0 g /Helv 24 Tf)", true, false},
	{"Widget", "/FT /Sig /T (a)", false, true},
}

// shownHow are the ways in which each kind stands on a page of the book.
var shownHow = []struct {
	name, flags, turn string
	own               bool // it has an appearance stream
	printed           bool
}{
	{"as it is", "/F 4", "", false, true},
	{"with an appearance", "/F 4", "", true, true},
	{"hidden", "/F 6", "", false, false},
	{"hidden, with an appearance", "/F 6", "", true, false},
	{"not for print", "/F 0", "", false, false},
	{"not for print, with an appearance", "/F 0", "", true, false},
	{"for print only", "/F 36", "", false, true},
	{"for print only, with an appearance", "/F 36", "", true, true},
	{"on a turned page", "/F 4", "/Rotate 90", false, true},
	{"on a turned page, with an appearance", "/F 4", "/Rotate 90", true, true},
	{"upright on a turned page", "/F 20", "/Rotate 270", false, true},
	{"upright on a turned page, with an appearance", "/F 20", "/Rotate 270", true, true},
	{"upside down", "/F 4", "/Rotate 180", false, true},
	{"upside down, with an appearance", "/F 4", "/Rotate 180", true, true},
}

// book is a PDF whose pages each hold the kind as shownHow says.
func (k kind) book(acroForm string) []byte {
	objects := []string{
		"<< /Type /Catalog /Pages 2 0 R " + acroForm + " >>", "",
		"<< /Type /XObject /Subtype /Form /BBox [0 0 10 10] /Length 31 >>\nstream\n0 g 2 2 6 6 re f 0 0 5 1 re f   \nendstream",
		"<< /Length 29 >>\nstream\n0.9 g 20 20 m 90 20 l 20 180 l f\nendstream",
	}
	kids := ""
	for i, h := range shownHow {
		number := len(objects) + 1
		kids += fmt.Sprintf(" %d 0 R", number)
		appearance := ""
		if h.own {
			appearance = "/AP << /N 3 0 R >>"
			if strings.Contains(k.entries, "/AS /Yes") {
				appearance = "/AP << /N << /Yes 3 0 R >> >>"
			}
		}
		entries := strings.ReplaceAll(k.entries, "/T (a)", fmt.Sprintf("/T (field %d)", i))
		objects = append(objects,
			fmt.Sprintf("<< /Type /Page /Parent 2 0 R /MediaBox [-100 0 200 300] %s /Contents 4 0 R /Annots [%d 0 R] >>", h.turn, number+1),
			fmt.Sprintf("<< /Type /Annot /Subtype /%s /Rect [50 50 150 150] %s %s %s >>", k.name, h.flags, appearance, entries))
	}
	objects[1] = fmt.Sprintf("<< /Type /Pages /Kids [%s] /Count %d >>", kids, len(shownHow))
	var b, table bytes.Buffer
	b.WriteString("%PDF-1.7\n")
	for i, o := range objects {
		fmt.Fprintf(&table, "%010d 00000 n \n", b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	at := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n%strailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, table.String(), len(objects)+1, at)
	return b.Bytes()
}

// TestAnnotationsOfEveryKind prepares and proves books with every kind of annotation. What is printed
// of each is compared with what PDFium by itself would draw, where that draws it alike.
func TestAnnotationsOfEveryKind(t *testing.T) {
	t.Parallel()
	const form = "/AcroForm << /Fields [] /DA (0 g /Helv 12 Tf) >>"
	hardest := hard(kinds, func(k kind) string { return k.name + k.entries[:min(len(k.entries), 8)] }, "FreeText/Content", "Line/L [60 6")
	places := make([]int, len(kinds))
	for i := range places {
		places[i] = i
	}
	for _, i := range sample.Of(t, places, 3, hardest...) {
		k := kinds[i]
		for _, acroForm := range []string{form, form[:len(form)-2] + "/NeedAppearances true >>", ""} {
			if acroForm != form && (k.name != "Widget" || testing.Short()) {
				continue
			}
			t.Run(fmt.Sprintf("%d %s %d", i, k.name, len(acroForm)), func(t *testing.T) {
				source := filepath.Join(t.TempDir(), "book.pdf")
				if err := os.WriteFile(source, k.book(acroForm), 0o600); err != nil {
					t.Fatal(err)
				}
				folder := prepare(t, source, options.Options{Scale: options.Scale{Scale: 1}, NoSideNames: true})
				for _, f := range proved(t, folder, source).Faults {
					t.Errorf("%s: %s", shownHow[f.Page-1].name, f)
				}
				if acroForm == form {
					k.compare(t, source, folder)
				}
			})
		}
	}
}

// compare tells of a table's entry whether PDFium, which draws the source by itself here, agrees with the
// print, and whether anything is printed.
func (k kind) compare(t *testing.T, path, folder string) {
	source, err := survey.Open(t.Context(), path, "", rendertest.Shared(t))
	if err != nil {
		t.Fatal(err)
	}
	defer source.Close()
	p := opened(t, folder)
	alone := rendertest.Open(t, path)
	look, err := survey.Look(t.Context(), source, p.plan.Options)
	if err != nil {
		t.Fatal(err)
	}
	found, err := p.check(t.Context(), Options{Renderer: rendertest.Shared(t)}, look, alone)
	if err != nil {
		t.Fatal(err)
	}
	faults := slices.DeleteFunc(found.Faults, func(f Fault) bool { return f.Page > 0 && shownHow[f.Page-1].flags == "/F 20" })
	if alike := len(faults) == 0; alike != k.alike {
		t.Errorf("PDFium draws the same: %t, want %t: %v", alike, k.alike, faults)
	}
	shown, err := source.Render(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer shown.Close()
	for i, h := range shownHow {
		// The page's own content is lighter than that.
		_, found, err := rendertest.Ink(t.Context(), shown, i+1, 72, 200)
		if err != nil {
			t.Fatal(err)
		}
		want := h.printed && (h.own && k.name != "Link" && k.name != "Popup" || !h.own && k.drawn)
		if found != want {
			t.Errorf("%s: something is drawn: %t, want %t", h.name, found, want)
		}
	}
}
