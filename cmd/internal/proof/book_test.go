package proof

import (
	"bytes"
	"image"
	"math"
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// counted is a book of A5 pages. Page n bears n black squares, all in its
// upper half.
func counted(t *testing.T, pages int) string {
	t.Helper()
	doc := pdftest.New(148, 210)
	for n := 1; n <= pages; n++ {
		doc.AddPage()
		for i := range n {
			doc.Rect(20+float64(i%10)*10, 20+float64(i/10)*10, 4, 4, "F")
		}
	}
	path := filepath.Join(t.TempDir(), "counted.pdf")
	if err := doc.OutputFileAndClose(path); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestBookReadsInOrder counts the squares on each half of each opening of the
// book that is written.
func TestBookReadsInOrder(t *testing.T) {
	t.Parallel()
	const pages = 20
	source := counted(t, pages)
	left := geom.Rect{X1: 0.5, Y1: 1}
	right := geom.Rect{X0: 0.5, X1: 1, Y1: 1}
	for name, c := range map[string]struct {
		o            options.Options
		verso, recto geom.Rect // as parts of the opening
	}{
		"left":   {options.Options{}, left, right},
		"right":  {options.Options{Bind: reorder.BindRight}, right, left},
		"top":    {options.Options{Bind: reorder.BindTop}, geom.Rect{Y0: 0.5, X1: 1, Y1: 1}, geom.Rect{X1: 1, Y1: 0.5}},
		"octavo": {options.Options{Fold: reorder.Octavo, Printer: "automatic-long"}, left, right},
		"pouch":  {options.Options{Fold: reorder.Pouch}, left, right},
	} {
		c.o.NoSideNames, c.o.Marks = true, options.Marks{Given: true}
		p := opened(t, prepare(t, source, c.o))
		var out, again bytes.Buffer
		if err := p.WriteBook(t.Context(), &out); err != nil {
			t.Fatal(err)
		}
		if err := p.WriteBook(t.Context(), &again); err != nil || !bytes.Equal(out.Bytes(), again.Bytes()) {
			t.Errorf("%s: written twice the book differs, %v", name, err)
		}
		d := rendertest.OpenBytes(t, name, out.Bytes())
		next := 0 // the page before the first shows nothing
		for page := 1; page <= d.Pages(); page++ {
			picture, err := d.Gray(t.Context(), page, 100)
			if err != nil {
				t.Fatal(err)
			}
			for _, half := range []geom.Rect{c.verso, c.recto} {
				want := next
				if next > pages {
					want = 0
				}
				n, upright := squares(picture, half)
				if n != want || !upright {
					t.Errorf("%s: opening %d shows page %d, upright %t, want page %d", name, page, n, upright, want)
				}
				next++
			}
		}
		if next <= pages {
			t.Errorf("%s: the book ends before page %d", name, next)
		}
	}
}

// squares counts the squares on a part of a picture, by their upper left
// corners, and tells whether they stand in its upper half.
func squares(g *image.Gray, of geom.Rect) (n int, upright bool) {
	b := g.Bounds()
	x := func(share float64) int { return int(math.Round(share * float64(b.Dx()))) }
	y := func(share float64) int { return int(math.Round((1 - share) * float64(b.Dy()))) }
	// Without the rim, where the leaf's outline is drawn.
	r := image.Rect(x(of.X0), y(of.Y1), x(of.X1), y(of.Y0)).Inset(3)
	dark := func(x, y int) bool { return g.GrayAt(x, y).Y < 128 }
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if dark(x, y) && !dark(x-1, y) && !dark(x, y-1) {
				n++
			}
		}
	}
	all, found := render.Dark(cropPicture(g, r), 128)
	return n, !found || all.Max.Y <= (r.Min.Y+r.Max.Y)/2
}

func TestNamesBesideAFolder(t *testing.T) {
	for folder, want := range map[string]string{
		"larkhaven-print": "larkhaven-proof.pdf", "a/b-print/": "a/b-proof.pdf", "trial": "trial-proof.pdf",
	} {
		if got := BookFile(filepath.FromSlash(folder)); got != filepath.FromSlash(want) {
			t.Errorf("%s: %s, want %s", folder, got, want)
		}
	}
}
