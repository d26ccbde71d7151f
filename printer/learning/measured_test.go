package learning_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/reorder/geom"
)

// a4 is a test sheet with rulers of whole centimetres.
var a4 = learning.Sheet{
	Size:       geom.Size{W: 210, H: 297},
	Ruler:      geom.Size{W: 170, H: 250},
	Mark:       geom.Point{X: 20, Y: 23.5},
	FrontPitch: 5, BackPitch: 4.75,
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// TestShiftOfBothChangesItsSign: "the left offset when the sheet turns about
// the long edge, the top offset when about the short edge" (a printer
// language's reference on calibration offsets). A printer that puts everything
// 2 mm to the right and 1 mm up, and nothing else, shows a shift of -4 mm
// across on a sheet turned about its long edge and of -2 mm along on one
// turned about its short edge; nothing is left for the back alone.
func TestShiftOfBothChangesItsSign(t *testing.T) {
	for flip, seen := range map[printer.FlipEdge]printer.Shift{
		printer.LongEdge:  {Right: -4},
		printer.ShortEdge: {Up: -2},
	} {
		fit, err := learning.Measured{Shifts: []printer.Shift{seen}, Mark: &geom.Point{X: 22, Y: 24.5}}.Fit(a4, flip)
		if err != nil {
			t.Fatal(err)
		}
		want := printer.Registration{Both: printer.Shift{Right: 2, Up: 1}}
		if fit.Registration != want {
			t.Errorf("%s: %+v, want %+v", flip, fit.Registration, want)
		}
	}
}

func TestNothingBelowTheScatterIsCorrected(t *testing.T) {
	fit, err := learning.Measured{Shifts: []printer.Shift{{Right: 1.5, Up: -0.25}, {Right: 1.25, Up: 0.5}, {Right: 2, Up: 0}}}.Fit(a4, printer.LongEdge)
	if err != nil {
		t.Fatal(err)
	}
	// Across they lie from 1.25 to 2, along from -0.25 to 0.5.
	if !near(fit.Wander, 0.75) || !near(fit.Scatter(), 0.375) || !near(fit.Shift.Right, 1.625) || !near(fit.Shift.Up, 0.125) {
		t.Errorf("%+v", fit)
	}
	if got := fit.Registration.Back; !near(got.Right, 1.625) || got.Up != 0 {
		t.Errorf("corrected: %+v", got)
	}
}

// TestVernierOnStretchedFaces: the tenth line meets another one where the
// faces' sizes put it, not at 2.5 mm.
func TestVernierOnStretchedFaces(t *testing.T) {
	m := learning.Measured{
		Shifts:     []printer.Shift{{Right: 2.5, Up: 2.5}},
		RulerFront: geom.Size{W: 171.7, H: 250}, RulerBack: geom.Size{W: 170, H: 250},
	}
	fit, err := m.Fit(a4, printer.LongEdge)
	if err != nil {
		t.Fatal(err)
	}
	// Ten lines: 10 x 5 mm x 1.01 on the front, 10 x 4.75 mm on the back.
	if !near(fit.Shift.Right, 50.5-47.5) || !near(fit.Shift.Up, 2.5) {
		t.Errorf("%+v", fit.Shift)
	}
}

func TestMisreadings(t *testing.T) {
	skew := 12.0
	for name, c := range map[string]struct {
		m     learning.Measured
		says  string
		again learning.Question
	}{
		"shift": {learning.Measured{Shifts: []printer.Shift{{}, {Up: 10.5}}}, "sheet 2: a back that lies more than 10 mm from its front is a misreading", learning.AskShift},
		"mark":  {learning.Measured{Mark: &geom.Point{X: 31, Y: 23}}, "the mark was measured at 31 x 23 mm and should lie at 20 x 23.5", learning.AskMark},
		"ruler": {learning.Measured{RulerBack: geom.Size{W: 6.7, H: 9.8}}, "the rulers of the back are 170 mm across and 250 mm along, not 6.7 and 9.8", learning.AskRulerBack},
		"skew":  {learning.Measured{Skew: &skew}, "a skew above 10 mm is a misreading", learning.AskSkew},
		"edges": {learning.Measured{Edges: []printer.KeepClear{{Head: 60}}}, "between 0 and 50 mm", learning.AskEdges},
		"together": {learning.Measured{Shifts: []printer.Shift{{Right: 9}}, Mark: &geom.Point{X: 29, Y: 23.5}},
			"together make a printer that is more than 10 mm off", learning.AskShift},
	} {
		_, err := c.m.Fit(a4, printer.LongEdge)
		var e *learning.Contradiction
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.says) || e.Again[0] != c.again {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestDialog: an a4 page on letter paper, or the reverse, is printed at 279.4 /
// 297 = 94.1 percent; one fitted within edges of 1/6 in at (210 - 2 x 4.233) /
// 210 = 96.0 percent on a4 and (279.4 - 2 x 4.233) / 279.4 = 97.0 on letter.
func TestDialog(t *testing.T) {
	for name, c := range map[string]struct {
		across, along float64
		says          string
	}{
		"letter on a4":        {0.9407, 0.9407, "the dialog took letter for a4 paper, or a4 for letter"},
		"fitted on a4":        {0.9597, 0.9597, "the dialog fitted the page to the printable area"},
		"fitted on letter":    {0.9697, 0.9697, "the dialog fitted the page to the printable area"},
		"alike, 1.6 percent":  {0.984, 0.984, "the dialog has a scale other than 100 percent"},
		"alike, larger":       {1.03, 1.03, "the dialog enlarged the page"},
		"along only, too far": {1, 1.016, "the dialog stretched the page to another paper"},
	} {
		m := learning.Measured{RulerFront: geom.Size{W: 170 * c.across, H: 250 * c.along}}
		_, err := m.Fit(a4, printer.LongEdge)
		var e *learning.Contradiction
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.says) || !strings.HasPrefix(err.Error(), "the front was printed") || !strings.Contains(e.Hint().String(), "actual size") {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, own := range [][2]float64{{1.01, 0.99}, {0.99, 0.99}, {0.993, 0.993}, {1.01, 1.01}, {0.985, 0.985}, {1, 1.015}} {
		m := learning.Measured{RulerBack: geom.Size{W: 170 * own[0], H: 250 * own[1]}}
		fit, err := m.Fit(a4, printer.LongEdge)
		if err != nil || !near(fit.Scale.Back.Across, own[0]) || !near(fit.Scale.Back.Along, own[1]) || fit.Scale.Front != (printer.Scaling{}) {
			t.Errorf("%v: %+v, %v", own, fit.Scale, err)
		}
		if err := fit.Scale.Check(); err != nil {
			t.Errorf("%v is learned, and no profile may have it: %v", own, err)
		}
	}
}

func TestEdges(t *testing.T) {
	fit, err := learning.Measured{Edges: []printer.KeepClear{{Head: 4, Right: 5, Tail: 15, Left: 4}, {Head: 6, Right: 4, Tail: 14, Left: 4}}}.Fit(a4, printer.LongEdge)
	if want := (printer.KeepClear{Head: 6, Right: 5, Tail: 15, Left: 4}); err != nil || *fit.KeepClear != want {
		t.Errorf("%+v, %v", fit.KeepClear, err)
	}
	if none, err := (learning.Measured{}).Fit(a4, printer.LongEdge); err != nil || none.KeepClear != nil || none.Registration != (printer.Registration{}) {
		t.Errorf("nothing measured: %+v, %v", none, err)
	}
}

// TestOneLimitOfSizes: what is not learned is not taken from a profile either, and what
// a print dialog may have made is asked.
func TestOneLimitOfSizes(t *testing.T) {
	for v := 0.97; v < 1.03; v += 0.0005 {
		fit, err := learning.Measured{RulerFront: geom.Size{W: 170 * v, H: 250 * v}}.Fit(a4, printer.LongEdge)
		written := printer.Scalings{Front: printer.Scaling{Across: v, Along: v}}.Check()
		within := v > 0.985-1e-6 && v < 1.015+1e-6
		if (err == nil) != within || (written == nil) != within {
			t.Errorf("%.4f: learned %v, written %v", v, err, written)
		}
		if doubtful := v < 0.993-1e-6 || v > 1.007+1e-6; within && fit.DoubtfulSize != doubtful {
			t.Errorf("%.4f: in doubt: %v", v, fit.DoubtfulSize)
		}
	}
}
