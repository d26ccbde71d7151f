package drawing

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/geom"
)

// TestPagesLookLikeTheStyle holds what the style sheet says of lines against what is drawn
// on pages.
func TestPagesLookLikeTheStyle(t *testing.T) {
	widths := regexp.MustCompile(`\.drawing (?:\.(\w)|path) \{[^}]*stroke-width: ([0-9.]+)`)
	found := widths.FindAllStringSubmatch(Style, -1)
	for _, m := range found {
		want, err := strconv.ParseFloat(m[2], 64)
		if got := looks[m[1]].width; err != nil || got != want {
			t.Errorf("class %q is %g wide on pages, %s in the style", m[1], got, m[2])
		}
	}
	dashes := regexp.MustCompile(`\.drawing \.(\w) \{[^}]*stroke-dasharray: ([0-9. ]+)`)
	for _, m := range dashes.FindAllStringSubmatch(Style, -1) {
		var words []string
		for _, d := range looks[m[1]].dash {
			words = append(words, fmt.Sprint(d))
		}
		if strings.Join(words, " ") != m[2] {
			t.Errorf("class %q is dashed %v on pages, %s in the style", m[1], words, m[2])
		}
	}
	fills := regexp.MustCompile(`\.drawing \.(\w) \{[^}]*fill: #(\w+)`)
	for _, m := range fills.FindAllStringSubmatch(Style, -1) {
		if l := looks[m[1]]; !l.fill || (l.grey == 1) != (m[2] == "fff") {
			t.Errorf("class %q is filled %v on pages, %s in the style", m[1], l, m[2])
		}
	}
	if len(found) < 5 {
		t.Errorf("only %d widths", len(found))
	}
}

// TestDrawingsOnPages draws on a page and looks where there is ink: within the drawing's
// rectangle, and nowhere else.
func TestDrawingsOnPages(t *testing.T) {
	paper := geom.Size{W: 210, H: 297}
	for _, d := range append(firstSteps(), sewings()...) {
		var page pdf.Drawing
		title, _ := d.Describe()
		at := geom.Point{X: 80, Y: 240}
		high := OnPage(&page, d, at, 100)
		if high < 15 || high > 120 || high != HeightAt(d, 100) {
			t.Errorf("%s is %.1f mm high", title, high)
		}
		var out bytes.Buffer
		if err := pdf.Write(t.Context(), &out, pdf.PrintFile{Paper: paper, Sides: []pdf.Side{{Drawing: page}}}); err != nil {
			t.Fatal(err)
		}
		const dpi = 72
		picture, err := rendertest.OpenBytes(t, "page", out.Bytes()).Gray(t.Context(), 1, dpi)
		if err != nil {
			t.Fatal(err)
		}
		dark, found := render.Dark(picture, 200)
		if !found {
			t.Fatalf("%s: nothing is drawn", title)
		}
		mm := func(pixels int) float64 { return float64(pixels) * 25.4 / dpi }
		ink := geom.Rect{X0: mm(dark.Min.X), Y0: paper.H - mm(dark.Max.Y), X1: mm(dark.Max.X), Y1: paper.H - mm(dark.Min.Y)}
		if within := (geom.Rect{X0: at.X, Y0: at.Y - high, X1: at.X + 100, Y1: at.Y}); !ink.IsWithin(within, 0.6) {
			t.Errorf("%s is drawn at %v, not within %v", title, ink, within)
		}
	}
}
