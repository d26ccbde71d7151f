package render_test

import (
	"fmt"
	"image"
	"math"
	"testing"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/geom"
)

const point = 25.4 / 72 // mm

// near tells whether two lengths in mm agree to within tolerance.
func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

func nearPoint(a, b geom.Point, tolerance float64) bool {
	return near(a.X, b.X, tolerance) && near(a.Y, b.Y, tolerance)
}

func nearRect(a, b geom.Rect, tolerance float64) bool {
	return nearPoint(geom.Point{X: a.X0, Y: a.Y0}, geom.Point{X: b.X0, Y: b.Y0}, tolerance) &&
		nearPoint(geom.Point{X: a.X1, Y: a.Y1}, geom.Point{X: b.X1, Y: b.Y1}, tolerance)
}

// seen maps a place in a page's own space, in points, to the frame of the
// visible page in mm, said separately for each value of Rotate: which way the
// page's x and y run when it is seen.
func seen(rotate int, crop geom.Rect, x, y float64) geom.Point {
	left, right, below, above := x-crop.X0, crop.X1-x, y-crop.Y0, crop.Y1-y
	p := map[int]geom.Point{
		0:   {X: left, Y: below},
		90:  {X: below, Y: right},
		180: {X: right, Y: above},
		270: {X: above, Y: left},
	}[rotate]
	return geom.Point{X: p.X * point, Y: p.Y * point}
}

func TestPlacesOnTurnedAndCroppedPages(t *testing.T) {
	crop := geom.Rect{X0: 20, Y0: 30, X1: 320, Y1: 260}
	// The rectangle alone is ink, to be found to 0.2 mm; the text is grey.
	const content = `
		0.5 g
		BT /Helv 10 Tf 1 0 0 1 100 100 Tm (gale tide) Tj ET
		BT /Helv 10 Tf 0 1 -1 0 150 100 Tm (north) Tj ET
		BT /Helv 10 Tf -1 0 0 -1 250 200 Tm (west) Tj ET
		BT /Helv 10 Tf 0 -1 1 0 200 200 Tm (south) Tj ET
		q 0.7071 0.7071 -0.7071 0.7071 60 60 cm BT /Helv 10 Tf (slant) Tj ET Q
		0 g 41 52 7 110 re f 41 52 60 3 re f`
	var list []testPage
	rotations := []int{0, 90, 180, 270}
	for _, r := range rotations {
		list = append(list, testPage{fmt.Sprintf("/MediaBox [-10 -20 400 300] /CropBox [20 30 320 260] /Rotate %d", r), content})
	}
	d := rendertest.OpenBytes(t, "turned", pages(list...))
	if d.Pages() != len(rotations) {
		t.Fatalf("%d pages, want %d", d.Pages(), len(rotations))
	}
	for i, rotate := range rotations {
		t.Run(fmt.Sprint(rotate), func(t *testing.T) {
			page := i + 1
			size, err := d.Size(t.Context(), page)
			want := geom.Size{W: 300 * point, H: 230 * point}
			if rotate%180 == 90 {
				want = want.Turn()
			}
			if err != nil || !near(size.W, want.W, 1e-3) || !near(size.H, want.H, 1e-3) {
				t.Errorf("size %v, %v; want %v", size, err, want)
			}

			words, err := d.Words(t.Context(), page)
			if err != nil {
				t.Fatal(err)
			}
			found := map[string]render.Word{}
			for _, w := range words {
				found[w.Text] = w
			}
			for text, at := range map[string]struct{ x, y, angle float64 }{
				"gale": {100, 100, 0}, "north": {150, 100, 90}, "west": {250, 200, 180}, "south": {200, 200, 270}, "slant": {60, 60, 45},
			} {
				w, ok := found[text]
				if !ok {
					t.Errorf("%q is not among %v", text, words)
					continue
				}
				if p := seen(rotate, crop, at.x, at.y); !nearPoint(w.Origin, p, 0.01) {
					t.Errorf("%q begins at %.2f, want %.2f", text, w.Origin, p)
				}
				if a := math.Mod(at.angle-float64(rotate)+360, 360); w.Angle != a {
					t.Errorf("%q runs at %v degrees, want %v", text, w.Angle, a)
				}
				if !w.Box.Inset(-1, -1, -1, -1).IsWithin(size.Rect(), 1) || w.Box.Size().W < 2 || w.Box.Size().H < 2 {
					t.Errorf("%q lies in %v", text, w.Box)
				}
			}
			if len(found) != 6 {
				t.Errorf("words %v, want 6", words)
			}

			ink, ok, err := rendertest.Ink(t.Context(), d, page, 150, 64)
			a, b := seen(rotate, crop, 41, 52), seen(rotate, crop, 101, 162)
			rect := geom.Rect{X0: min(a.X, b.X), Y0: min(a.Y, b.Y), X1: max(a.X, b.X), Y1: max(a.Y, b.Y)}
			if err != nil || !ok || !nearRect(ink, rect, 0.2) {
				t.Errorf("ink %.2f, %v, %v; want %.2f", ink, ok, err, rect)
			}
		})
	}
}

// A print file holds its pages as form XObjects, turned: text and its direction must be
// found in them all the same.
func TestWordsInsideForms(t *testing.T) {
	var f pdfFile
	font := f.add("<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>")
	inner := f.stream(fmt.Sprintf("/Type /XObject /Subtype /Form /BBox [0 0 200 200] /Matrix [0 1 -1 0 200 0] /Resources << /Font << /Helv %d 0 R >> >>", font),
		"BT /Helv 12 Tf 20 30 Td (lamp) Tj ET")
	content := f.stream("", "q 0.5 0 0 0.5 40 60 cm /Leaf Do Q")
	page := f.add("<< /Type /Page /Parent %d 0 R /MediaBox [0 0 300 300] /Contents %d 0 R /Resources << /XObject << /Leaf %d 0 R >> >> >>", 5, content, inner)
	tree := f.add("<< /Type /Pages /Count 1 /Kids [%d 0 R] >>", page)
	d := rendertest.OpenBytes(t, "form", f.bytes(f.add("<< /Type /Catalog /Pages %d 0 R >>", tree), ""))
	words, err := d.Words(t.Context(), 1)
	// (20, 30) is turned to (200-30, 20), halved and moved by (40, 60).
	want := geom.Point{X: (170*0.5 + 40) * point, Y: (20*0.5 + 60) * point}
	if err != nil || len(words) != 1 || words[0].Text != "lamp" || words[0].Angle != 90 || !nearPoint(words[0].Origin, want, 0.01) {
		t.Errorf("words %v, %v; want lamp at %v running at 90 degrees", words, err, want)
	}
}

func TestBlankPageHasNoInkAndNoText(t *testing.T) {
	d := rendertest.OpenBytes(t, "blank", pages(testPage{"/MediaBox [0 0 300 200]", ""}, testPage{"/MediaBox [0 0 300 200]", "0.9 g 0 0 300 200 re f"}))
	for page := 1; page <= 2; page++ {
		ink, found, err := rendertest.Ink(t.Context(), d, page, 72, 200)
		if found || err != nil || ink != (geom.Rect{}) {
			t.Errorf("page %d: ink %v, %v, %v", page, ink, found, err)
		}
		if words, err := d.Words(t.Context(), page); len(words) != 0 || err != nil {
			t.Errorf("page %d: words %v, %v", page, words, err)
		}
	}
}

func TestPictures(t *testing.T) {
	d := rendertest.OpenBytes(t, "colours", pages(testPage{"/MediaBox [0 0 300 200]", "1 0 0 rg 0 100 150 100 re f 0 0 1 rg 150 0 150 100 re f"}))
	colour, err := d.RGBA(t.Context(), 1, 72)
	if err != nil || colour.Bounds() != image.Rect(0, 0, 300, 200) {
		t.Fatalf("%v, %v", colour.Bounds(), err)
	}
	gray, err := d.Gray(t.Context(), 1, 144)
	if err != nil || gray.Bounds() != image.Rect(0, 0, 600, 400) {
		t.Fatalf("%v, %v", gray.Bounds(), err)
	}
	// Luminance of ITU-R BT.601: red 0.299, blue 0.114 of 255.
	for _, c := range []struct {
		x, y    int
		rgba    [4]uint8
		luma    uint8
		meaning string
	}{
		{75, 50, [4]uint8{255, 0, 0, 255}, 76, "red at the head, left"},
		{225, 50, [4]uint8{255, 255, 255, 255}, 255, "paper at the head, right"},
		{225, 150, [4]uint8{0, 0, 255, 255}, 29, "blue at the tail, right"},
	} {
		p := colour.RGBAAt(c.x, c.y)
		if got := [4]uint8{p.R, p.G, p.B, p.A}; got != c.rgba {
			t.Errorf("%s: colour %v, want %v", c.meaning, got, c.rgba)
		}
		if got := gray.GrayAt(2*c.x, 2*c.y).Y; got != c.luma {
			t.Errorf("%s: grey %d, want %d", c.meaning, got, c.luma)
		}
	}
}
