package cover

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// drawnPage is a file with one page: a tower in black and grey, with its name.
func drawnPage(t *testing.T, size geom.Size) string {
	t.Helper()
	var d pdf.Drawing
	d.FillRect(size.Rect(), 0.8)
	for i := range 12 {
		at := float64(i) / 12
		d.FillCircle(geom.Point{X: size.W * at, Y: size.H * (1 - at)}, size.W/25, at*0.7)
		d.DrawLine(geom.Point{X: 0, Y: size.H * at}, geom.Point{X: size.W, Y: size.H * (1 - at)}, pdf.Pen{Width: 0.7})
	}
	d.WriteText(geom.Point{X: size.W / 2, Y: size.H / 2}, pdf.Text{Text: "The tower at Larkhaven", Font: pdf.LetteringBold, Size: size.W / 14, Anchor: pdf.AnchorCentre})
	var b bytes.Buffer
	if err := pdf.Write(t.Context(), &b, pdf.PrintFile{Paper: size, Sides: []pdf.Side{{Drawing: d}}}); err != nil {
		t.Fatal(err)
	}
	return put(t, "tower.pdf", b.Bytes())
}

func put(t *testing.T, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// painted is a PNG whose pixels tell where they are.
func painted(t *testing.T, w, h int) string {
	t.Helper()
	p := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			p.SetRGBA(x, y, color.RGBA{uint8(40 + 180*x/w), uint8(40 + 180*y/h), uint8(80 + 100*((x/40+y/40)%2)), 255})
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, p); err != nil {
		t.Fatal(err)
	}
	return put(t, "painted.png", b.Bytes())
}

func opened(t *testing.T, path string) *Picture {
	t.Helper()
	p, err := OpenPicture(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { p.Close() })
	return p
}

// cut is what of each page a person keeps, in pixels: between the marks to cut by, or those of its seams, as they are
// found on a page without pictures.
func cut(t *testing.T, w Work, s Sheet, mm float64) (out []image.Rectangle) {
	t.Helper()
	w.Whole, w.Text = nil, Text{}
	drawn, doc := written(t, w, s)
	for i, pieces := range drawn.Layout.Pages {
		picture, p := look(t, doc, i+1, drawn.Layout, mm), pieces[0]
		a := p.Area.Moved(p.At.X, p.At.Y)
		find := func(level, from, to float64, upright bool) (int, int) {
			found := picture.crossings(level, from-1, to+1, upright)
			if len(found) < 2 {
				t.Fatalf("no marks at %.1f mm", level)
			}
			return int(math.Round(found[0] * mm)), int(math.Round(found[len(found)-1] * mm))
		}
		free := w.Bleed + markGap + 3.9 // behind the points of seams
		level := func(low, high float64, joinsLow, joinsHigh bool) float64 {
			switch {
			case !joinsLow:
				return low - free
			case !joinsHigh:
				return high + free
			}
			return high + 1 // in the tab
		}
		var r image.Rectangle
		r.Min.X, r.Max.X = find(level(a.Y0, a.Y1, p.Joins.Below, p.Joins.Above), a.X0, a.X1, false)
		r.Min.Y, r.Max.Y = find(level(a.X0, a.X1, p.Joins.Left, p.Joins.Right), a.Y0, a.Y1, true)
		out = append(out, r)
	}
	return out
}

// Parts that are cut at their marks and glued so that their edges meet are the cover, pixel for pixel, as it comes from paper
// that holds it whole.
func TestGluedPartsAreTheWhole(t *testing.T) {
	const mm, bleed = 6, 3.0
	for _, c := range []struct {
		kind   Kind
		bind   reorder.Bind
		paper  geom.Size
		parts  int
		pixels bool
	}{
		{Case, reorder.BindLeft, a4, 2, false},
		{Case, reorder.BindLeft, a5, 4, true},
		{Jacket, reorder.BindRight, a4, 2, true},
		{Card, reorder.BindTop, a5, 4, false},
	} {
		// Whole pixels on whole pages: leaves of which all panels are halves of a millimetre.
		s := bench(t, "case", geom.Size{W: 130, H: 190}, c.bind, binding.Measured{Spine: 19, Board: 2.5})
		s.Structure.Square, s.Structure.TurnIn = binding.Exactly(3), binding.Exactly(15)
		s.BoardW, s.BoardH = binding.Exactly(130-7.5+3), binding.Exactly(196)
		f, err := Lay(c.kind, s, Sizes{Flap: 60})
		if err != nil {
			t.Fatal(err)
		}
		w := Work{Flat: f, Name: "larkhaven.pdf", Units: binding.MM, Bleed: bleed, Text: Text{Title: "The Light at Larkhaven", Author: "M. Orme", White: true}}
		if c.pixels {
			w.Whole = opened(t, painted(t, 1200, 700))
		} else {
			w.Whole = opened(t, drawnPage(t, geom.Size{W: f.Size.W + 2*bleed, H: f.Size.H + 2*bleed}))
		}
		name := fmt.Sprintf("%s, spine at the %s, on %s", c.kind, c.bind, c.paper)
		drawn, parts := written(t, w, on(c.paper))
		l, rects := drawn.Layout, cut(t, w, on(c.paper), mm)
		if len(l.Pages) < c.parts {
			t.Errorf("%s: in %d parts", name, len(l.Pages))
		}
		// Letters are not drawn alike lying and standing: the whole lies on its paper as the parts do on theirs.
		large := geom.Size{W: 500, H: 600}
		if l.Turned {
			large = geom.Size{W: math.Ceil(f.Size.H) + 50, H: math.Ceil(f.Size.W) + 60}
		}
		one, doc := written(t, w, on(large))
		if one.Layout.Turned != l.Turned {
			t.Fatalf("%s: turned %t, its parts %t", name, one.Layout.Turned, l.Turned)
		}
		if len(one.Layout.Pages) != 1 {
			t.Fatalf("%s: %d pages of %s", name, len(one.Layout.Pages), large)
		}
		whole, kept := look(t, doc, 1, one.Layout, mm), cut(t, w, on(large), mm)[0]
		if d := math.Abs(float64(kept.Dx())/mm - f.Size.W); d > 0.1 {
			t.Errorf("%s: the whole is cut to %.2f mm, want %.2f", name, float64(kept.Dx())/mm, f.Size.W)
		}
		// Glue row by row from the top: each part is laid to the right of the last.
		y := kept.Max.Y
		for row := range l.Rows {
			x, high := kept.Min.X, 0
			for column := range l.Columns {
				i := row*l.Columns + column
				part, r := look(t, parts, i+1, l, mm), rects[i]
				differ, worst, sum := 0, 0.0, 0.0
				for v := range r.Dy() {
					for u := range r.Dx() {
						d := math.Abs(part.dark(r.Min.X+u, r.Max.Y-1-v) - whole.dark(x+u, y-1-v))
						worst, sum = max(worst, d), sum+d
						if d > 8 {
							differ++
						}
					}
				}
				if differ > 0 {
					t.Errorf("%s, part %d: %d pixels of %d differ, by up to %.0f of 255, together by %.0f", name, i+1, differ, r.Dx()*r.Dy(), worst, sum)
				}
				x, high = x+r.Dx(), r.Dy()
			}
			if x != kept.Max.X {
				t.Errorf("%s, row %d: glued to %d pixels, the whole has %d", name, row+1, x-kept.Min.X, kept.Dx())
			}
			y -= high
		}
		if y != kept.Min.Y {
			t.Errorf("%s: glued to a height of %d pixels, the whole has %d", name, kept.Max.Y-y, kept.Dy())
		}
	}
}
