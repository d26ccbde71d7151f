package render_test

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"testing"

	"foldwright/cmd/internal/render"
)

// slip is a white picture with black rectangles.
func slip(w, h int, marks ...image.Rectangle) *image.Gray {
	g := image.NewGray(image.Rect(0, 0, w, h))
	draw.Draw(g, g.Bounds(), image.White, image.Point{}, draw.Src)
	for _, m := range marks {
		draw.Draw(g, m, image.Black, image.Point{}, draw.Src)
	}
	return g
}

func TestCompare(t *testing.T) {
	mark := image.Rect(16, 16, 24, 24)
	softened := slip(40, 40, mark)
	for i := 15; i < 25; i++ {
		softened.SetGray(i, 15, color.Gray{Y: 200})
		softened.SetGray(15, i, color.Gray{Y: 90})
	}
	whole := slip(60, 60, mark.Add(image.Pt(10, 10)))
	for _, c := range []struct {
		name        string
		a, b        *image.Gray
		mean, worst float64
		block       image.Rectangle
	}{
		{"the same", slip(40, 40, mark), slip(40, 40, mark), 0, 0, image.Rectangle{}},
		{"one pixel to the right", slip(40, 40, mark), slip(40, 40, mark.Add(image.Pt(1, 0))), 0, 0, image.Rectangle{}},
		{"one pixel down and left", slip(40, 40, mark), slip(40, 40, mark.Add(image.Pt(-1, 1))), 0, 0, image.Rectangle{}},
		{"softened edge", slip(40, 40, mark), softened, 0, 0, image.Rectangle{}},
		{"a part of a larger picture", slip(40, 40, mark), whole.SubImage(image.Rect(10, 10, 50, 50)).(*image.Gray), 0, 0, image.Rectangle{}},
		// 64 of 1,600 pixels, all of one block.
		{"mark missing", slip(40, 40, mark), slip(40, 40), 4, 100, mark},
		{"mark too many", slip(40, 40), slip(40, 40, mark), 4, 100, mark},
		// At either side two columns of 8 pixels lie farther than a pixel from
		// the edge in the one picture, and of the third the 6 that have only
		// black around them in the other.
		{"three pixels to the right", slip(40, 40, mark), slip(40, 40, mark.Add(image.Pt(3, 0))), 2 * 22. / 16, 22 / .64, mark},
		{"other size, white", slip(40, 40, mark), slip(48, 41, mark), 0, 0, image.Rectangle{}},
		{"other size, ink beyond", slip(40, 40), slip(80, 40, image.Rect(64, 16, 72, 24)), 2, 100, image.Rect(64, 16, 72, 24)},
		{"thin line missing", slip(40, 40, image.Rect(0, 19, 40, 20)), slip(40, 40), 38. / 16, 12.5, image.Rect(8, 16, 16, 24)},
		{"no pixels", slip(0, 0), slip(0, 0), 0, 0, image.Rectangle{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := render.Compare(c.a, c.b)
			if math.Abs(d.Mean-c.mean) > 1e-9 || math.Abs(d.Worst-c.worst) > 1e-9 || d.Block != c.block {
				t.Errorf("got %v (%v), want mean %v, worst %v at %v", d, d.Block, c.mean, c.worst, c.block)
			}
			if back := render.Compare(c.b, c.a); back != d {
				t.Errorf("the other way round it is %v", back)
			}
		})
	}
}
