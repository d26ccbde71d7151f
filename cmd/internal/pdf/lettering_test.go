package pdf

import (
	"bytes"
	"math"
	"testing"

	"golang.org/x/image/font/sfnt"

	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/geom"
)

// set writes one line on a page of its own.
func set(t *testing.T, text Text, at geom.Point) []byte {
	t.Helper()
	var side Side
	side.Drawing.WriteText(at, text)
	var b bytes.Buffer
	if err := Write(t.Context(), &b, PrintFile{Paper: geom.Size{W: 200, H: 60}, Sides: []Side{side}}); err != nil {
		t.Fatal(err)
	}
	valid(t, text.Text, b.Bytes())
	return b.Bytes()
}

// Every letter that a lettering holds can be read from the file again, and its ink stands where Ink says.
func TestLetteringIsReadBack(t *testing.T) {
	for f := Lettering; f < lastFont; f++ {
		for _, text := range []string{"Journal of Larkhaven", "Łódź, Ελλάς, Юг", "fjord & quay (1887)"} {
			line := Text{Text: text, Font: f, Size: 9, Anchor: AnchorLeft}
			at := geom.Point{X: 20, Y: 30}
			doc := rendertest.OpenBytes(t, "set.pdf", set(t, line, at))
			glyphs, err := doc.Text(t.Context(), 1)
			if err != nil {
				t.Fatal(err)
			}
			var read []rune
			for _, g := range glyphs {
				read = append(read, g.Rune)
			}
			if string(read) != text {
				t.Errorf("%v: %q is read as %q", f, text, string(read))
			}
			ink, _, err := rendertest.Ink(t.Context(), doc, 1, 508, 128)
			if err != nil {
				t.Fatal(err)
			}
			want := line.Ink().Moved(at.X, at.Y)
			for _, d := range []float64{ink.X0 - want.X0, ink.Y0 - want.Y0, ink.X1 - want.X1, ink.Y1 - want.Y1} {
				if math.Abs(d) > 0.1 {
					t.Errorf("%v, %q: ink at %.2f, and Ink says %.2f", f, text, ink, want)
					break
				}
			}
			if w := line.Width(); w < want.X1-at.X-1 || w > want.X1-at.X+2 { // a slanting letter hangs over
				t.Errorf("%v, %q: width %.2f, its ink ends at %.2f", f, text, w, want.X1-at.X)
			}
		}
	}
}

func TestLettersThatALetteringLacks(t *testing.T) {
	for f := Lettering; f < lastFont; f++ {
		if got := string(f.Missing("日誌 of 日 Larkhaven é e\u0301")); got != "日誌" {
			t.Errorf("%v lacks %q", f, got)
		}
	}
	if got := Helvetica.Missing("日"); len(got) > 0 {
		t.Errorf("a font of every reader says what it lacks: %q", string(got))
	}
}

// The name by which a font is written is its own.
func TestLetteringIsNamedAsItIs(t *testing.T) {
	for f := Lettering; f < lastFont; f++ {
		if name, err := letterings[f].parse().font.Name(nil, sfnt.NameIDPostScript); err != nil || name != f.String() {
			t.Errorf("%v is %q, %v", f, name, err)
		}
	}
}

// What a drawing within another shows is moved, turned, and cut off at its window.
func TestWithin(t *testing.T) {
	const mm = 25.4 / 72
	var part, whole Drawing
	part.FillRect(geom.Rect{X1: 100 * mm, Y1: 20 * mm}, 0)
	quarter := geom.Rotate(1).Then(geom.Translate(100*mm, 50*mm))
	whole.DrawWithin(geom.Rect{X0: 0, Y0: 60 * mm, X1: 200 * mm, Y1: 140 * mm}, quarter, part)
	whole.FillRect(geom.Rect{X0: 150 * mm, X1: 160 * mm, Y0: 150 * mm, Y1: 160 * mm}, 0)
	var b bytes.Buffer
	if err := Write(t.Context(), &b, PrintFile{Paper: geom.Size{W: 200 * mm, H: 200 * mm}, Sides: []Side{{Drawing: whole}}}); err != nil {
		t.Fatal(err)
	}
	valid(t, "within", b.Bytes())
	look(t, "within", b.Bytes(), 1, []spot{
		{90, 100, "black"}, {85, 65, "black"}, {85, 138, "black"}, {90, 55, "white"}, {90, 145, "white"}, {75, 100, "white"}, {105, 100, "white"}, {155, 155, "black"},
	})
}
