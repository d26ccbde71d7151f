package render_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
)

// marked is a file with one page of 240 x 100 points and black squares of 20 points: one per set of annotation
// flags (ISO 32000-1, table 165), form fields at y = 50 and other annotations at y = 0.
func marked(flags []int) []byte {
	var f pdfFile
	look := f.stream("/Subtype /Form /BBox [0 0 20 20]", "0 0 20 20 re f")
	content := f.stream("", "")
	var fields, others strings.Builder
	for i, flag := range flags {
		fmt.Fprintf(&fields, "%d 0 R ", f.add("<< /Type /Annot /Subtype /Widget /FT /Tx /T (field %d) /F %d /Rect [%d 50 %d 70] /AP << /N %d 0 R >> >>", i, flag, i*40, i*40+20, look))
		fmt.Fprintf(&others, "%d 0 R ", f.add("<< /Type /Annot /Subtype /Stamp /F %d /Rect [%d 0 %d 20] /AP << /N %d 0 R >> >>", flag, i*40, i*40+20, look))
	}
	page := len(f.objects) + 1
	f.add("<< /Type /Page /Parent %d 0 R /MediaBox [0 0 240 100] /Contents %d 0 R /Annots [null %s %s] >>", page+1, content, &fields, &others)
	tree := f.add("<< /Type /Pages /Count 1 /Kids [%d 0 R] >>", page)
	return f.bytes(f.add("<< /Type /Catalog /Pages %d 0 R /AcroForm << /Fields [%s] >> >>", tree, &fields), "")
}

func TestAnnotationsAsPrinted(t *testing.T) {
	const hidden, print, noView = 2, 4, 32
	flags := []int{print, 0, hidden, hidden | print, noView | print, noView}
	printed := []bool{true, false, false, false, true, false}
	d := rendertest.OpenBytes(t, "marked", marked(flags))
	// Twice, for drawing must not change the document.
	for range 2 {
		picture, err := d.Gray(t.Context(), 1, 72)
		if err != nil {
			t.Fatal(err)
		}
		for i := range flags {
			for what, y := range map[string]int{"field": 40, "stamp": 90} {
				want := uint8(255)
				if printed[i] {
					want = 0
				}
				if got := picture.GrayAt(i*40+10, y).Y; got != want {
					t.Errorf("%s with flags %d: grey %d, want %d", what, flags[i], got, want)
				}
			}
		}
	}
	var saved bytes.Buffer
	if err := d.Save(t.Context(), &saved); err != nil {
		t.Fatal(err)
	}
	for _, flag := range []string{"/F 36", "/F 32", "/F 6"} {
		if n := bytes.Count(saved.Bytes(), []byte(flag)); n != 2 {
			t.Errorf("the saved copy has %q %d times, want twice", flag, n)
		}
	}
}

// Layers: one is for print only, one for the screen only (ISO 32000-1, 8.11.4.5).
func TestLayersAsPrinted(t *testing.T) {
	var f pdfFile
	paper := f.add("<< /Type /OCG /Name (paper) /Usage << /Print << /PrintState /ON >> /View << /ViewState /OFF >> >> >>")
	screen := f.add("<< /Type /OCG /Name (screen) /Usage << /Print << /PrintState /OFF >> /View << /ViewState /ON >> >> >>")
	content := f.stream("", "/OC /Paper BDC 0 0 50 50 re f EMC /OC /Screen BDC 50 0 50 50 re f EMC")
	page := f.add("<< /Type /Page /Parent %d 0 R /MediaBox [0 0 100 50] /Contents %d 0 R /Resources << /Properties << /Paper %d 0 R /Screen %d 0 R >> >> >>", 5, content, paper, screen)
	tree := f.add("<< /Type /Pages /Count 1 /Kids [%d 0 R] >>", page)
	both := fmt.Sprintf("[%d 0 R %d 0 R]", paper, screen)
	root := f.add("<< /Type /Catalog /Pages %d 0 R /OCProperties << /OCGs %s /D << /Order %s /AS [<< /Event /Print /Category [/Print] /OCGs %s >> << /Event /View /Category [/View] /OCGs %s >>] >> >> >>", tree, both, both, both, both)
	d := rendertest.OpenBytes(t, "layers", f.bytes(root, ""))
	picture, err := d.Gray(t.Context(), 1, 72)
	if err != nil {
		t.Fatal(err)
	}
	if got := picture.GrayAt(25, 25).Y; got != 0 {
		t.Errorf("the layer for print has grey %d, want 0", got)
	}
	if got := picture.GrayAt(75, 25).Y; got != 255 {
		t.Errorf("the layer for the screen has grey %d, want 255", got)
	}
}

// Blending is with the white of the paper, not with nothing.
func TestBlendingWithPaper(t *testing.T) {
	var f pdfFile
	content := f.stream("", "/Dim gs 0.5 g 0 0 50 50 re f")
	page := f.add("<< /Type /Page /Parent %d 0 R /MediaBox [0 0 50 50] /Contents %d 0 R /Group << /S /Transparency /CS /DeviceRGB >> /Resources << /ExtGState << /Dim << /BM /Multiply /ca 0.5 >> >> >> >>", 3, content)
	tree := f.add("<< /Type /Pages /Count 1 /Kids [%d 0 R] >>", page)
	d := rendertest.OpenBytes(t, "blending", f.bytes(f.add("<< /Type /Catalog /Pages %d 0 R >>", tree), ""))
	picture, err := d.Gray(t.Context(), 1, 72)
	if err != nil {
		t.Fatal(err)
	}
	// Half of the way from white to white times one half.
	if got := picture.GrayAt(25, 25).Y; got < 190 || got > 193 {
		t.Errorf("grey %d, want 191", got)
	}
}

// Fields of many documents are drawn by several workers at once, whose
// engines know them by the same addresses.
func TestFormsInParallel(t *testing.T) {
	r := rendertest.Shared(t)
	want, err := drawForm(t, r)
	if err != nil {
		t.Fatal(err)
	}
	done := make(chan error)
	for range 8 {
		go func() {
			got, err := drawForm(t, r)
			if err == nil && got != want {
				err = fmt.Errorf("a field is drawn differently in parallel")
			}
			done <- err
		}()
	}
	for range 8 {
		if err := <-done; err != nil {
			t.Error(err)
		}
	}
}

// drawForm opens a form of its own and returns the pixels of its picture.
func drawForm(t *testing.T, r *render.Renderer) (string, error) {
	d, err := r.OpenBytes(t.Context(), "form", marked([]int{4, 0, 4}), "")
	if err != nil {
		return "", err
	}
	defer d.Close()
	picture, err := d.Gray(t.Context(), 1, 72)
	if err != nil {
		return "", err
	}
	return string(picture.Pix), nil
}
