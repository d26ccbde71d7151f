package pdf

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"foldwright/reorder/geom"
)

// MediaBox, CropBox and Rotate are inherited, UserUnit and the other boxes are not
// (ISO 32000-1, table 30; boxes: 14.11.2).
func TestVisibleBox(t *testing.T) {
	const mm = 25.4 / 72
	for _, c := range []struct {
		name, tree, page string
		w, h             float64 // points
		warning          string
	}{
		{name: "media", page: "/MediaBox [0 0 300 500]", w: 300, h: 500},
		{name: "origin elsewhere", page: "/MediaBox [-100 50 200 550]", w: 300, h: 500},
		{name: "corners swapped", page: "/MediaBox [300 500 0 0]", w: 300, h: 500},
		{name: "inherited", tree: "/MediaBox [0 0 300 500]", w: 300, h: 500},
		{name: "crop inherited, media its own", tree: "/CropBox [50 50 150 250]", page: "/MediaBox [0 0 300 500]", w: 100, h: 200},
		{name: "crop beyond media", page: "/MediaBox [0 0 300 500] /CropBox [-50 100 900 400]", w: 300, h: 300},
		{name: "crop without extent", page: "/MediaBox [0 0 300 500] /CropBox [0 0 0 0]", w: 300, h: 500},
		{name: "crop that is no box", page: "/MediaBox [0 0 300 500] /CropBox [9 9 (x) 99]", w: 300, h: 500},
		{name: "crop of a hair's breadth", page: "/MediaBox [0 0 300 500] /CropBox [9 9 9.005 99]", w: 300, h: 500},
		{name: "no media at all", page: "", w: 612, h: 792, warning: "page 1: it has no page size (MediaBox); Letter is assumed, as in PDF viewers"},
		{name: "media of three numbers", page: "/MediaBox [0 0 300]", w: 612, h: 792, warning: "page 1: it has no page size (MediaBox); Letter is assumed, as in PDF viewers"},
		{name: "media beyond belief", page: "/MediaBox [0 0 300 20000000]", w: 612, h: 792, warning: "page 1: it has no page size (MediaBox); Letter is assumed, as in PDF viewers"},
		{name: "crop of three numbers", page: "/MediaBox [0 0 300 500] /CropBox [9 9 99]", w: 300, h: 500},
		{name: "media and turn that are null, one by reference", tree: "/MediaBox [0 0 300 500] /Rotate 90", page: "/MediaBox null /Rotate 99 0 R", w: 500, h: 300},
		// Objects 1 to 3: a number, a turn and a box.
		{name: "all by reference", tree: "/MediaBox 3 0 R /Rotate 2 0 R", page: "/CropBox [0 0 1 0 R 50] /UserUnit 1 0 R", w: 150, h: 9},
		{name: "turned", page: "/MediaBox [0 0 300 500] /Rotate 90", w: 500, h: 300},
		{name: "turned back", page: "/MediaBox [0 0 300 500] /Rotate -90", w: 500, h: 300},
		{name: "turned more than once", page: "/MediaBox [0 0 300 500] /Rotate 450", w: 500, h: 300},
		{name: "turned on its head", page: "/MediaBox [0 0 300 500] /Rotate 180", w: 300, h: 500},
		{name: "turned inherited", tree: "/Rotate 270", page: "/MediaBox [0 0 300 500]", w: 500, h: 300},
		{name: "turned inherited and overruled by nought", tree: "/Rotate 270", page: "/MediaBox [0 0 300 500] /Rotate 0", w: 300, h: 500},
		{name: "turned by no multiple of 90", page: "/MediaBox [0 0 300 500] /Rotate 89.9", w: 500, h: 300},
		{name: "user unit", page: "/MediaBox [0 0 300 500] /UserUnit 72", w: 300 * 72, h: 500 * 72},
		{name: "user unit of nought", page: "/MediaBox [0 0 300 500] /UserUnit 0", w: 300, h: 500},
		{name: "user unit beyond belief", page: "/MediaBox [0 0 300 500] /UserUnit 2000000", w: 300, h: 500},
		{name: "user unit, which isn't inherited", tree: "/UserUnit 72", page: "/MediaBox [0 0 300 500]", w: 300, h: 500},
		{name: "a long page", page: "/MediaBox [0 0 300 14400]", w: 300, h: 14400},
		{name: "media without extent", page: "/MediaBox [0 0 0 500]", w: 612, h: 792, warning: "page 1: its page size (MediaBox) is empty; Letter is assumed, as in PDF viewers"},
		{name: "crop outside media", page: "/MediaBox [0 0 300 500] /CropBox [400 0 500 100]", w: 300, h: 500, warning: "page 1: its CropBox lies outside its MediaBox; the whole MediaBox is shown"},
	} {
		s := &source{tree: c.tree, objects: []string{"3", "90", "[0 0 300 500]"}}
		s.page("%s", c.page)
		d := mustOpen(t, s.bytes())
		p := d.Pages()[0]
		if p.Problem != nil || math.Abs(p.Size.W-c.w*mm) > 1e-9 || math.Abs(p.Size.H-c.h*mm) > 1e-9 {
			t.Errorf("%s: %v, %v, want %v", c.name, p.Size, p.Problem, geom.Size{W: c.w * mm, H: c.h * mm})
		}
		if got := strings.Join(d.Warnings(), "\n"); got != c.warning {
			t.Errorf("%s: warned %q, want %q", c.name, got, c.warning)
		}
	}
}

// A mark in the lower left corner of the visible box, and one at its upper
// edge, must stand where a viewer shows them.
func TestTurnedPagesStandUpright(t *testing.T) {
	for _, c := range []struct {
		rotate int
		spots  []spot
	}{
		{0, []spot{{5, 5, "black"}, {95, 145, "white"}}},
		{90, []spot{{5, 95, "black"}, {145, 5, "white"}}},
		{180, []spot{{95, 145, "black"}, {5, 5, "white"}}},
		{270, []spot{{145, 5, "black"}, {5, 95, "white"}}},
		{-90, []spot{{145, 5, "black"}, {5, 95, "white"}}},
		{450, []spot{{5, 95, "black"}, {145, 5, "white"}}},
	} {
		faithful{name: fmt.Sprint(c.rotate), spots: map[int][]spot{1: c.spots}, build: func(s *source) {
			s.page("/MediaBox [-50 -50 300 300] /CropBox [20 30 120 180] /Rotate %d /Contents %d 0 R", c.rotate,
				s.stream("", "0 g 20 30 20 20 re f 0 0 10 400 re f"))
		}}.run(t)
	}
}

func TestUserUnitScalesThePage(t *testing.T) {
	s := &source{}
	s.page("/MediaBox [0 0 100 100] /UserUnit 2 /Contents %d 0 R", s.stream("", "0 g 0 0 50 50 re f"))
	d := mustOpen(t, s.bytes())
	look(t, "the print file", asIs(t, d, 1), 1, []spot{{95, 95, "black"}, {105, 105, "white"}, {195, 195, "white"}})
}

// The other boxes are given in the frame of the visible one, as it is turned; they
// default to it (ISO 32000-1, 14.11.2).
func TestOtherBoxes(t *testing.T) {
	s := &source{}
	s.tree = "/ArtBox [100 100 200 200]" // not inherited
	s.page("/MediaBox [0 0 400 300] /CropBox [50 50 350 250] /TrimBox [60 70 340 230] /BleedBox [-9 -9 999 999] /Rotate 90")
	p := mustOpen(t, s.bytes()).Pages()[0]
	const mm = 25.4 / 72
	rect := func(x0, y0, x1, y1 float64) geom.Rect {
		return geom.Rect{X0: x0 * mm, Y0: y0 * mm, X1: x1 * mm, Y1: y1 * mm}
	}
	for _, c := range []struct {
		name      string
		got, want geom.Rect
	}{
		{"media", p.Media, rect(-50, -50, 250, 350)},
		{"trim", p.Trim, rect(20, 10, 180, 290)},
		{"bleed, cut to media", p.Bleed, rect(-50, -50, 250, 350)},
		{"art, missing", p.Art, rect(0, 0, 200, 300)},
	} {
		if !c.got.IsWithin(c.want, 1e-9) || !c.want.IsWithin(c.got, 1e-9) {
			t.Errorf("%s box: %v, want %v", c.name, c.got, c.want)
		}
	}
}

// A page is painted as a form (ISO 32000-1, 8.10.1): the graphics state is saved, Matrix
// applied, BBox clipped to, the content painted, and the state restored. So the page's
// boxes and its turn lie in the form, and nothing that it leaves behind touches what follows.
func TestPageIsPaintedAsAForm(t *testing.T) {
	s := &source{}
	note := s.add("<< /Subtype /Stamp /F 4 /Rect [60 20 80 40] /AP << /N %d 0 R >> >>", s.stamp("/BBox [0 0 10 10]"))
	s.page("/MediaBox [0 0 300 300] /CropBox [20 10 120 60] /Rotate 90 /Annots [%d 0 R] /Contents %d 0 R", note,
		s.stream("", "0 g 20 10 20 20 re f q 0 0 5 5 re W n 0.5 0 0 0.5 99 99 cm 1 g q"))
	d := mustOpen(t, s.bytes())
	side := Side{Pages: []Placed{{Page: 1, Matrix: geom.Identity, Clip: d.Pages()[0].Visible()}}}
	const mm = 25.4 / 72
	side.Drawing.FillRect(geom.Rect{X0: 40 * mm, Y0: 80 * mm, X1: 50 * mm, Y1: 90 * mm}, 0)
	out := written(t, d, PrintFile{Paper: d.Pages()[0].Size, Sides: []Side{side}})
	look(t, "the print file", out, 1, []spot{{10, 90, "black"}, {10, 70, "white"}, {20, 50, "black"}, {45, 85, "black"}, {30, 20, "white"}})
	if want := "/BBox[20 10 120 60]/Matrix[0 -1 1 0 -10 120]"; !bytes.Contains(out, []byte(want)) {
		t.Errorf("the form isn't as %s says", want)
	}
}

// What lies beyond the visible box shows only where a larger box is asked for.
func TestBoxOfAPlacedPage(t *testing.T) {
	s := &source{}
	s.page("/MediaBox [0 0 200 200] /CropBox [50 50 150 150] /Contents %d 0 R", s.stream("", "0 g 0 0 200 200 re f"))
	d := mustOpen(t, s.bytes())
	p := d.Pages()[0]
	const mm = 25.4 / 72
	paper := geom.Size{W: 200 * mm, H: 200 * mm}
	for _, c := range []struct {
		name  string
		box   geom.Rect
		spots []spot
	}{
		{"visible", geom.Rect{}, []spot{{100, 100, "black"}, {60, 60, "black"}, {20, 20, "white"}, {180, 100, "white"}}},
		{"media", p.Media, []spot{{100, 100, "black"}, {20, 20, "black"}, {180, 180, "black"}}},
		{"left half", geom.Rect{X1: 50 * mm, Y1: 100 * mm}, []spot{{60, 100, "black"}, {95, 100, "black"}, {110, 100, "white"}}},
	} {
		out := written(t, d, PrintFile{Paper: paper, Sides: []Side{{Pages: []Placed{{
			Page: 1, Matrix: geom.Translate(50*mm, 50*mm), Clip: paper.Rect(), Box: c.box}}}}})
		look(t, c.name, out, 1, c.spots)
		tilted := written(t, d, PrintFile{Paper: paper, Sides: []Side{{Pages: []Placed{{
			Page: 1, Matrix: geom.Matrix{1, 1e-6, -1e-6, 1, 50 * mm, 50 * mm}, Clip: paper.Rect(), Box: c.box}}}}})
		look(t, c.name+", tilted", tilted, 1, c.spots)
	}
}
