package testsheet

import (
	"bytes"
	"testing"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

func checkSheet(t *testing.T, c CheckSheet, side reorder.Side, m geom.Matrix) *render.Document {
	t.Helper()
	var b bytes.Buffer
	if err := pdf.Write(t.Context(), &b, pdf.PrintFile{Paper: c.Paper.Size, Sides: []pdf.Side{c.Side(side, m)}}); err != nil {
		t.Fatal(err)
	}
	return rendertest.OpenBytes(t, "check sheet", b.Bytes())
}

func TestCheckSheetFitsItsPaper(t *testing.T) {
	for _, c := range []struct {
		paper string
		rule  float64
	}{{"a4", 100}, {"letter", 100}, {"a5", 100}, {"half-letter", 100}, {"a3", 100}, {"a6", 50}, {"70x100mm", 20}} {
		sheet := CheckSheet{Paper: parsed(t, c.paper), Title: "a title", Backs: true}
		if got := sheet.RuleLength(); got != c.rule {
			t.Errorf("%s: a rule of %g mm, want %g", c.paper, got, c.rule)
		}
		across, along := sheet.Rules()
		if across.Length != c.rule || along.Length != c.rule {
			t.Errorf("%s: rules of %g and %g mm", c.paper, across.Length, along.Length)
		}
		// Nothing may fall into the edge that printers do not reach.
		for side := reorder.Front; side <= reorder.Back; side++ {
			ink, any, err := rendertest.Ink(t.Context(), checkSheet(t, sheet, side, geom.Identity), 1, 72, 200)
			if err != nil || !any {
				t.Fatalf("%s, %s: %v, %v", c.paper, side, any, err)
			}
			if room := sheet.Paper.Size.Rect().Inset(15, 15, 15, 15); !ink.IsWithin(room, 0.1) {
				t.Errorf("%s, %s: ink in %v, beyond %v", c.paper, side, ink, room)
			}
		}
	}
}

// The marks are those of the front, seen through; a back that is turned
// wrongly brings the other letter behind the pin.
func TestCheckMarksLieBehindEachOther(t *testing.T) {
	c := CheckSheet{Paper: parsed(t, "a4"), Backs: true}
	w := c.Paper.Size.W
	for i := range CheckMarks {
		front, back := c.Mark(i, reorder.Front), c.Mark(i, reorder.Back)
		if distance(geom.Point{X: w - front.X, Y: front.Y}, back) > 1e-9 {
			t.Errorf("mark %d: %v and %v", i, front, back)
		}
		wrong := geom.HalfTurn(c.Paper.Size).Apply(c.Mark(1-i, reorder.Back))
		if distance(wrong, back) > 1e-9 {
			t.Errorf("turned, the other mark lies at %v, not at %v", wrong, back)
		}
	}
}

// The rules are drawn through the correction: they end where it says.
func TestRulesAreCorrected(t *testing.T) {
	const dpi = 300
	c := CheckSheet{Paper: parsed(t, "a4"), Backs: true}
	m := geom.Matrix{1.01, 0, 0, 0.99, 2, -3}
	picture, err := checkSheet(t, c, reorder.Front, m).Gray(t.Context(), 1, dpi)
	if err != nil {
		t.Fatal(err)
	}
	dark := func(p geom.Point) bool {
		return picture.GrayAt(int(p.X/25.4*dpi), int((c.Paper.Size.H-p.Y)/25.4*dpi)).Y < 160
	}
	across, along := c.Rules()
	for _, r := range []Ruler{across, along} {
		for mm := 0.5; mm < r.Length; mm += 3 {
			if !dark(m.Apply(r.At(mm))) {
				t.Errorf("no rule at %g mm", mm)
			}
		}
		for _, mm := range []float64{-0.5, r.Length + 0.5} {
			if dark(m.Apply(r.At(mm))) {
				t.Errorf("the rule goes on at %g mm", mm)
			}
		}
	}
}

// A job whose backs stay blank has no pin marks.
func TestOneSidedCheckSheet(t *testing.T) {
	c := CheckSheet{Paper: parsed(t, "a4")}
	for _, w := range words(t, checkSheet(t, c, reorder.Front, geom.Identity), 1) {
		if w.Text == "A" || w.Text == "B" || w.Text == "pin" {
			t.Errorf("%q stands there", w.Text)
		}
	}
}
