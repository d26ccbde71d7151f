package testsheet

import (
	"bytes"
	"math"
	"slices"
	"testing"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/geom"
)

// written is a print file read back with PDFium.
func written(t *testing.T, f File) *render.Document {
	t.Helper()
	var b bytes.Buffer
	if err := f.Encode(t.Context(), &b); err != nil {
		t.Fatal(err)
	}
	return rendertest.OpenBytes(t, f.Name, b.Bytes())
}

func words(t *testing.T, d *render.Document, page int) []render.Word {
	t.Helper()
	w, err := d.Words(t.Context(), page)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// find is the one word of this text on a page.
func find(t *testing.T, words []render.Word, text string) render.Word {
	t.Helper()
	var found []render.Word
	for _, w := range words {
		if w.Text == text {
			found = append(found, w)
		}
	}
	if len(found) != 1 {
		t.Fatalf("%q stands there %d times", text, len(found))
	}
	return found[0]
}

var numerals = []string{"I", "II", "III"}

func TestMarksCanBeReadAtTheirPlaces(t *testing.T) {
	for _, name := range papers {
		paper := parsed(t, name)
		for _, three := range []bool{false, true} {
			for _, f := range Files(paper, three) {
				d := written(t, f)
				sheets := 1
				if three {
					sheets = 3
				}
				faces := []bool{f.Name != BackFile} // is it a front?
				if f.Name == BothFile {
					faces = []bool{true, false}
				}
				if d.Pages() != sheets*len(faces) {
					t.Fatalf("%s, %s has %d pages", name, f.Name, d.Pages())
				}
				for page := 1; page <= d.Pages(); page++ {
					text := words(t, d, page)
					marks, others, at := Letters, Numbers, LetterAt
					if !faces[(page-1)%len(faces)] {
						marks, others, at = Numbers, Letters, NumberAt
					}
					for i, mark := range marks {
						w := find(t, text, mark)
						middle := w.Box.Centre()
						if off := distance(middle, at(paper, i)); off > 0.6 || w.Angle != 0 {
							t.Errorf("%s, %s, page %d: %s stands %.2f mm off, at an angle of %.0f", name, f.Name, page, mark, off, w.Angle)
						}
					}
					for _, w := range text {
						if slices.Contains(others[:], w.Text) {
							t.Errorf("%s, %s, page %d: a stray %q", name, f.Name, page, w.Text)
						}
						if slices.Contains(numerals, w.Text) && (!three || w.Text != numerals[(page-1)/len(faces)]) {
							t.Errorf("%s, %s, page %d: a stray %q", name, f.Name, page, w.Text)
						}
					}
					if three {
						find(t, text, numerals[(page-1)/len(faces)])
					}
				}
			}
		}
	}
}

// With edges of 15 mm that the printer cannot reach, nothing is lost but steps
// of the ladders (issue 4: 4.2 and 15 mm; 1/6 in = 4.233 mm is practice).
func TestOnlyLaddersStandNearTheEdges(t *testing.T) {
	const dpi = 100
	for _, name := range papers {
		paper := parsed(t, name)
		for _, f := range Files(paper, false)[:2] {
			picture, err := written(t, f).Gray(t.Context(), 1, dpi)
			if err != nil {
				t.Fatal(err)
			}
			size := picture.Bounds().Size()
			ladder := LadderSteps*stepPitch/2 + 1
			strays := 0
			for y := range size.Y {
				for x := range size.X {
					p := geom.Point{X: float64(x) * 25.4 / dpi, Y: paper.Size.H - float64(y)*25.4/dpi}
					inner := paper.Size.Rect().Inset(15.8, 15.8, 15.8, 15.8)
					c := Circle(paper)
					if p.X > inner.X0 && p.X < inner.X1 && p.Y > inner.Y0 && p.Y < inner.Y1 ||
						math.Abs(p.X-c.X) < ladder || math.Abs(p.Y-c.Y) < ladder {
						continue
					}
					if picture.GrayAt(x, y).Y < 250 {
						strays++
					}
				}
			}
			if strays > 0 {
				t.Errorf("%s, %s: %d dark spots near the edges", name, f.Name, strays)
			}
		}
	}
}

// The lines are where the values say: a step of a ladder, a line of a vernier,
// a ruler's tick and the circle are dark, beside them the paper is white.
func TestLinesStandWhereTheValuesSay(t *testing.T) {
	const dpi = 300
	paper := parsed(t, "a4")
	for i, f := range Files(paper, false)[:2] {
		picture, err := written(t, f).Gray(t.Context(), 1, dpi)
		if err != nil {
			t.Fatal(err)
		}
		dark := func(p geom.Point) bool {
			x, y := int(p.X/25.4*dpi), int((paper.Size.H-p.Y)/25.4*dpi)
			darkest := uint8(255)
			for dx := -1; dx <= 1; dx++ {
				for dy := -1; dy <= 1; dy++ {
					darkest = min(darkest, picture.GrayAt(x+dx, y+dy).Y)
				}
			}
			return darkest < 128
		}
		var lines []geom.Point
		for _, l := range Ladders(paper) {
			for step := 1; step <= LadderSteps; step++ {
				lines = append(lines, l.Step(step).Middle())
			}
		}
		for _, v := range Verniers(paper) {
			for line := -v.Lines; line <= v.Lines; line++ {
				if i == 0 {
					lines = append(lines, v.Front(line).Middle())
				} else {
					lines = append(lines, v.Back(line).Middle())
				}
			}
			if i == 0 {
				for mm := -RoughTicks; mm <= RoughTicks; mm += 5 {
					lines = append(lines, v.place.at(float64(mm), roughLength))
				}
			} else {
				lines = append(lines, v.Pointer())
			}
		}
		across, along := Rulers(paper)
		for mm := 0.0; mm <= across.Length; mm += 10 {
			lines = append(lines, across.At(mm))
		}
		for mm := 0.0; mm <= along.Length; mm += 10 {
			lines = append(lines, along.At(mm))
		}
		c := Circle(paper)
		lines = append(lines, geom.Point{X: c.X + CircleRadius, Y: c.Y}, geom.Point{X: c.X, Y: c.Y - CircleRadius})
		for _, p := range lines {
			if !dark(p) {
				t.Errorf("%s: nothing at %.2f, %.2f", f.Name, p.X, p.Y)
			}
		}
		if dark(c) || dark(geom.Point{X: c.X + 8, Y: c.Y}) {
			t.Errorf("%s: the circle is not empty", f.Name)
		}
	}
}

// A file for an automatic printer asks for the long edge, whatever comes of
// it, as every such file of a job does; the sheets stand in their order.
func TestFilesAskForTheirFaces(t *testing.T) {
	want := map[string]pdf.Duplex{FrontFile: pdf.Simplex, BackFile: pdf.Simplex, BothFile: pdf.LongEdge}
	for _, f := range Files(parsed(t, "a4"), true) {
		if f.Duplex != want[f.Name] {
			t.Errorf("%s asks for %s", f.Name, f.Duplex)
		}
		delete(want, f.Name)
	}
	if len(want) > 0 {
		t.Errorf("no %v", want)
	}
}

// If a printer prints both faces on one, marks and numerals can still be told
// apart, whichever way up the second print lies.
func TestMarksOfBothFacesStandApart(t *testing.T) {
	for _, name := range papers {
		paper := parsed(t, name)
		both := written(t, Files(paper, true)[2])
		boxes := func(page int, texts ...string) []geom.Rect {
			var out []geom.Rect
			all := words(t, both, page)
			for _, text := range texts {
				out = append(out, find(t, all, text).Box)
			}
			return out
		}
		front := boxes(1, append(Letters[:], "front", "I")...)
		back := boxes(6, append(Numbers[:], "back", "III")...)
		for _, way := range []geom.Matrix{geom.Identity, geom.HalfTurn(paper.Size)} {
			for _, b := range back {
				b = way.Bounds(b)
				for _, f := range front {
					if b.X0 < f.X1 && f.X0 < b.X1 && b.Y0 < f.Y1 && f.Y0 < b.Y1 {
						t.Errorf("%s: %v and %v cover each other", name, f, b)
					}
				}
			}
		}
	}
}
