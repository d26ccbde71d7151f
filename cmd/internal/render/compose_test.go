package render_test

import (
	"bytes"
	"image"
	"testing"

	"codeberg.org/go-pdf/fpdf"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/geom"
)

// TestComposedPagesStandWhereTheyArePut draws a bar of 30 x 10 mm, whose lower
// left corner stands 20 mm from the left and 40 mm from the lower edge of its
// page, through matrices and looks where its ink is.
func TestComposedPagesStandWhereTheyArePut(t *testing.T) {
	doc := pdftest.New(100.3, 160.7)
	doc.AddPage()
	doc.Rect(20, 160.7-50, 30, 10, "F")
	d := rendertest.OpenBytes(t, "bar", output(t, doc))
	sheet := geom.Size{W: 210, H: 297}
	bar := geom.Rect{X0: 20, Y0: 40, X1: 50, Y1: 50}
	for _, m := range []geom.Matrix{
		geom.Identity,
		geom.Translate(60.2, 100.4),
		geom.Enlarge(0.5).Then(geom.Translate(10, 10)),
		geom.Rotate(1).Then(geom.Translate(200, 20)),
		geom.Enlarge(1.3).Then(geom.HalfTurn(sheet)),
		geom.Rotate(3).Then(geom.Translate(5, 150)),
	} {
		const dpi = 60
		picture, err := d.Compose(t.Context(), sheet, dpi, []render.Placed{{Page: 1, Matrix: m, Clip: sheet.Rect()}})
		if err != nil {
			t.Fatal(err)
		}
		got, found := render.Dark(picture, 128)
		want := m.Bounds(bar)
		x, y := float64(picture.Rect.Dx())/sheet.W, float64(picture.Rect.Dy())/sheet.H
		near := func(pixel int, mm float64) bool { return float64(pixel)-mm <= 0.6 && mm-float64(pixel) <= 0.6 }
		if !found || !near(got.Min.X, want.X0*x) || !near(got.Max.X, want.X1*x) ||
			!near(got.Min.Y, (sheet.H-want.Y1)*y) || !near(got.Max.Y, (sheet.H-want.Y0)*y) {
			t.Errorf("%v: ink at %v, want %v mm", m, got, want)
		}
	}
	// Cut in the middle of the bar.
	picture, err := d.Compose(t.Context(), sheet, 60, []render.Placed{{Page: 1, Matrix: geom.Identity, Clip: geom.Rect{X0: 0, Y0: 0, X1: 35, Y1: 297}}})
	if err != nil {
		t.Fatal(err)
	}
	if got, _ := render.Dark(picture, 128); got.Max.X < 82 || got.Max.X > 84 {
		t.Errorf("cut off at 35 mm, which is pixel 83, the ink ends at %d", got.Max.X)
	}
}

// TestComposedFormIsDrawnWhereItsPageIs fills a canvas with a page that has
// form fields and compares it with the page itself.
func TestComposedFormIsDrawnWhereItsPageIs(t *testing.T) {
	d := rendertest.OpenBytes(t, "form", marked([]int{4, 0, 4, 36, 2}))
	size, err := d.Size(t.Context(), 1)
	if err != nil {
		t.Fatal(err)
	}
	want, err := d.Gray(t.Context(), 1, 60)
	if err != nil {
		t.Fatal(err)
	}
	for quarters := range 4 {
		turn := geom.Rotate(quarters)
		b := turn.Bounds(size.Rect())
		m := turn.Then(geom.Translate(-b.X0, -b.Y0))
		got, err := d.Compose(t.Context(), b.Size(), 60, []render.Placed{{Page: 1, Matrix: m, Clip: m.Bounds(size.Rect())}})
		if err != nil {
			t.Fatal(err)
		}
		back := turned(got, 4-quarters)
		if diff := render.Compare(want, back); diff.Mean > 0.3 || diff.Worst > 12 {
			t.Errorf("turned by %d quarters: %v", quarters, diff)
		}
	}
}

// turned turns a picture against the clock by quarter turns.
func turned(g *image.Gray, quarters int) *image.Gray {
	for range quarters % 4 {
		b := g.Bounds()
		out := image.NewGray(image.Rect(0, 0, b.Dy(), b.Dx()))
		for y := range b.Dy() {
			for x := range b.Dx() {
				out.SetGray(y, b.Dx()-1-x, g.GrayAt(x, y))
			}
		}
		g = out
	}
	return g
}

func output(t *testing.T, doc *fpdf.Fpdf) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := doc.Output(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
