package benchsheet

import (
	"image"
	"math"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// crossings is where dark lines cross a level, as linesAlong does, but only
// between two places.
func crossings(picture *image.Gray, y, from, to float64) (out []float64) {
	for _, x := range linesAlong(picture, y) {
		if x >= from && x <= to {
			out = append(out, x)
		}
	}
	return out
}

func exactly(t *testing.T, what string, got []float64, want ...float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: lines at %.2f, want %.2f", what, got, want)
		return
	}
	for i := range want {
		if math.Abs(got[i]-want[i]) > 0.1 {
			t.Errorf("%s: a line at %.3f mm, want %.3f", what, got[i], want[i])
		}
	}
}

// Gauges are as wide as what they measure, within 0.1 mm, and the slanting cut
// keeps its distance from the board, whatever the structure says.
func TestGaugesAreTrueToSize(t *testing.T) {
	for _, name := range []string{"case", "cords", "flat-back"} {
		for _, paper := range []geom.Size{{W: 210, H: 297}, {W: 215.9, H: 279.4}} {
			sheet := sheetOf(t, binding.MM, name, geom.Size{W: 145.5, H: 204}, reorder.Trim{}, binding.Measured{})
			b := BenchSheet{"x", paper, sheet, nil, nil}
			picture, err := drawn(t, paper, []pdf.Side{{Drawing: b.gaugePage().Drawing}}).Gray(t.Context(), 1, dpi)
			if err != nil {
				t.Fatal(err)
			}
			gauges := b.gauges()
			for i, g := range gauges {
				x := gaugeX(i)
				exactly(t, name+", "+g.name, crossings(picture, paper.H-gaugeTop-gaugeHigh+3, x-2, x+g.width+1), x, x+g.width)
			}
			if len(gauges) != map[string]int{"case": 3, "cords": 3, "flat-back": 3}[name] {
				t.Errorf("%s: %d gauges", name, len(gauges))
			}
			// Where the slant crosses a level 5 mm below the cloth's edge, and the
			// board's edge on a level within the board. The board's corner is as
			// far from the slant as the thickest board is thick.
			at, cut := b.corner()
			turn := sheet.Structure.TurnIn.Middle()
			exactly(t, name+", slant", crossings(picture, at.Y-5, at.X-1, at.X+cut), at.X, at.X+cut-5)
			exactly(t, name+", board", crossings(picture, at.Y-turn-boardSeen+2, at.X-1, at.X+turn-1), at.X)
			if d := (2*turn - cut) / math.Sqrt2; math.Abs(d-sheet.Board.Most) > 1e-9 {
				t.Errorf("%s: the cut is %.2f mm from the board, want %.2f", name, d, sheet.Board.Most)
			}
		}
	}
}

// The scale bar of every page at exact size is as long as it says.
func TestRuleIsTrueToSize(t *testing.T) {
	paper := geom.Size{W: 210, H: 297}
	for u, want := range map[binding.Units]float64{binding.MM: 100, binding.Inches: 101.6} {
		sheet := sheetOf(t, u, "case", geom.Size{W: 145.5, H: 204}, reorder.Trim{}, binding.Measured{})
		for what, side := range map[string]pdf.Side{
			"guide":  Guide{"x", paper, sheet}.Sides()[0],
			"gauges": {Drawing: BenchSheet{"x", paper, sheet, nil, nil}.gaugePage().Drawing},
		} {
			picture, err := drawn(t, paper, []pdf.Side{side}).Gray(t.Context(), 1, dpi)
			if err != nil {
				t.Fatal(err)
			}
			ticks := linesAlong(picture, margin+8+1)
			if len(ticks) < 5 || math.Abs(ticks[len(ticks)-1]-ticks[0]-want) > 0.1 {
				t.Errorf("%s in %s: ticks at %.2f, want %g mm", what, u, ticks, want)
			}
		}
	}
}
