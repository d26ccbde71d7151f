package pdf

import (
	"bytes"
	"math"
	"testing"

	"foldwright/reorder/geom"
)

func TestDrawing(t *testing.T) {
	const mm = 25.4 / 72 // a point, so that spots are in the unit of the drawing
	p := func(x, y float64) geom.Point { return geom.Point{X: x * mm, Y: y * mm} }
	r := func(x0, y0, x1, y1 float64) geom.Rect {
		return geom.Rect{X0: x0 * mm, Y0: y0 * mm, X1: x1 * mm, Y1: y1 * mm}
	}
	pen := Pen{Width: 6 * mm}
	text := Text{Text: "llllllllll", Font: HelveticaBold, Size: 40 * mm, Anchor: AnchorLeft}
	anchored := func(a Anchor, angle float64) func(d *Drawing) {
		return func(d *Drawing) {
			t := text
			t.Anchor, t.Angle = a, angle
			d.WriteText(p(100, 100), t)
		}
	}
	for _, c := range []struct {
		name  string
		draw  func(d *Drawing)
		spots []spot
	}{
		{"nothing", func(*Drawing) {}, []spot{{100, 100, "white"}}},
		{"line", func(d *Drawing) { d.DrawLine(p(20, 100), p(180, 100), pen) }, []spot{{100, 100, "black"}, {100, 110, "white"}, {10, 100, "white"}}},
		{"pen without width", func(d *Drawing) { d.DrawLine(p(20, 100), p(180, 100), Pen{}) }, []spot{{100, 100, "white"}}},
		{"grey line", func(d *Drawing) { d.DrawLine(p(20, 100), p(180, 100), Pen{Width: 6 * mm, Grey: 0.5}) }, []spot{{100, 100, "grey"}}},
		{"dashes", func(d *Drawing) { d.DrawLine(p(0, 100), p(200, 100), Pen{Width: 6 * mm, Dash: []float64{50 * mm}}) }, []spot{{25, 100, "black"}, {75, 100, "white"}, {125, 100, "black"}}},
		{"a whole line after dashes", func(d *Drawing) {
			d.DrawLine(p(0, 50), p(200, 50), Pen{Width: 6 * mm, Dash: []float64{50 * mm}})
			d.DrawLine(p(0, 100), p(200, 100), pen)
		}, []spot{{75, 50, "white"}, {75, 100, "black"}}},
		{"polyline", func(d *Drawing) { d.DrawPolyline([]geom.Point{p(50, 50), p(150, 50), p(150, 150)}, pen) }, []spot{{100, 50, "black"}, {150, 100, "black"}, {100, 100, "white"}}},
		{"polygon", func(d *Drawing) { d.DrawPolygon([]geom.Point{p(50, 50), p(150, 50), p(150, 150)}, pen) }, []spot{{100, 100, "black"}, {120, 80, "white"}}},
		{"filled polygon", func(d *Drawing) { d.FillPolygon([]geom.Point{p(50, 50), p(150, 50), p(150, 150)}, 0) }, []spot{{120, 80, "black"}, {80, 120, "white"}}},
		{"rectangle", func(d *Drawing) { d.DrawRect(r(50, 50, 150, 150), pen) }, []spot{{50, 100, "black"}, {100, 150, "black"}, {100, 100, "white"}}},
		{"filled rectangle", func(d *Drawing) { d.FillRect(r(50, 50, 150, 150), 0.5) }, []spot{{100, 100, "grey"}, {40, 100, "white"}}},
		{"circle", func(d *Drawing) { d.DrawCircle(p(100, 100), 50*mm, pen) }, []spot{{50, 100, "black"}, {100, 150, "black"}, {135, 135, "black"}, {100, 100, "white"}}},
		{"filled circle", func(d *Drawing) { d.FillCircle(p(100, 100), 50*mm, 0) }, []spot{{100, 100, "black"}, {140, 140, "white"}}},
		{"text from its left", anchored(AnchorLeft, 0), []spot{{106, 110, "black"}, {196, 110, "black"}, {95, 110, "white"}, {100, 90, "white"}}},
		{"text about its middle", anchored(AnchorCentre, 0), []spot{{50, 110, "black"}, {150, 110, "black"}, {40, 110, "white"}, {160, 110, "white"}}},
		{"text from its right", anchored(AnchorRight, 0), []spot{{95, 110, "black"}, {105, 110, "white"}}},
		{"text upwards", anchored(AnchorLeft, 90), []spot{{90, 106, "black"}, {90, 95, "white"}, {110, 110, "white"}}},
	} {
		var side Side
		c.draw(&side.Drawing)
		var b bytes.Buffer
		if err := Write(t.Context(), &b, PrintFile{Paper: geom.Size{W: 200 * mm, H: 200 * mm}, Sides: []Side{side}}); err != nil {
			t.Fatal(err)
		}
		valid(t, c.name, b.Bytes())
		look(t, c.name, b.Bytes(), 1, c.spots)
	}
}

// Widths from Adobe's Core14 AFM files, from memory: Helvetica A 667, W 944,
// space 278, Adieresis 667; Helvetica-Bold A 722; Euro 556 in both.
func TestTextWidth(t *testing.T) {
	for _, c := range []struct {
		text string
		font Font
		want float64
	}{
		{"A", Helvetica, 667}, {"WA A", Helvetica, 944 + 667 + 278 + 667}, {"Ä", Helvetica, 667}, {"A", HelveticaBold, 722}, {"€", Helvetica, 556}, {"", Helvetica, 0},
	} {
		if got := TextWidth(c.text, c.font, 1000); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("%q in %v: %v, want %v", c.text, c.font, got, c.want)
		}
	}
}

func TestCharactersThatTheFontsLack(t *testing.T) {
	for text, want := range map[string]string{
		"Łódź": "L\xF3dz", "“x” – …": "\x93x\x94 \x96 \x85", "−5": "-5", "日": "?", "½": "\xBD", "a\tb": "a b", "Ÿ€": "\x9F\x80",
	} {
		if got := string(winAnsi(text)); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestNames(t *testing.T) {
	for f := Helvetica; f < lastFont; f++ {
		if f.String() == "" || fontNames[f].key == "" {
			t.Errorf("font %d has no name", f)
		}
	}
}
