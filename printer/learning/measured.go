package learning

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"foldwright/printer"
	"foldwright/reorder/geom"
)

// Sheet is where what is measured stands on the test sheet, in mm.
type Sheet struct {
	Size  geom.Size
	Ruler geom.Size  // the lengths of the rulers across and along the sheet
	Mark  geom.Point // the mark in the lower left corner of the front
	// FrontPitch and BackPitch are the distances of the verniers' lines; their
	// difference is what a vernier resolves.
	FrontPitch, BackPitch float64
}

// Measured is what a person measured on printed test sheets, in mm. What was
// not measured is zero or nil.
type Measured struct {
	// Shifts are the readings of the verniers of one sheet each: how far the
	// back lies to the right of the front and above it, seen through from the front.
	Shifts []printer.Shift
	// Skew is how much further right the back lies at the head than at the tail.
	Skew *float64
	// RulerFront and RulerBack are the measured lengths of the rulers.
	RulerFront, RulerBack geom.Size
	// Mark is how far the mark in the lower left corner of the front lies from
	// the paper's left edge and from its lower one.
	Mark *geom.Point
	// Edges is how far from its edges each pass stopped to print.
	Edges []printer.KeepClear
}

// Readings are the four vernier readings of one sheet, in mm, held to the
// light with the front towards the person and upright: at the middle of the
// head and the tail how far the back lies to the right, at the right and the
// left how far up.
type Readings struct{ Head, Right, Tail, Left float64 }

// Shift is how far the back lies from the front at the middle of the sheet.
func (r Readings) Shift() printer.Shift {
	return printer.Shift{Right: (r.Head + r.Tail) / 2, Up: (r.Right + r.Left) / 2}
}

// Skew is how much further right the back lies at the head than at the tail.
func (r Readings) Skew() float64 { return r.Head - r.Tail }

// Fit is what the printer's errors are, as far as they can be undone, and as
// far as they cannot.
type Fit struct {
	Registration printer.Registration
	Scale        printer.Scalings
	KeepClear    *printer.KeepClear // nil if no edge was measured
	// Shift is the middle of the measured shifts of the back against the front.
	Shift printer.Shift
	// Sheets is how many sheets tell of the shift, none or one of which tells
	// nothing of the wander.
	Sheets int
	// Wander is by how much the shifts of the sheets differ, the larger of the
	// two axes, in mm. A sheet lies at most half of it off the middle.
	Wander float64
	// Skew is as it was measured; nothing undoes it.
	Skew *float64
	// DoubtfulSize tells that a size may be the print dialog's doing: the person has
	// to say that the dialog said 100 percent.
	DoubtfulSize bool
}

// Limits of what is a printer's error and not a misreading.
const (
	largestShift = 10.0 // mm
	// ruleSlack is how closely one reads a common ruler, in mm: a shift against
	// the paper below that is not corrected.
	ruleSlack = 0.5
)

// Fit finds the errors of a printer that turns its sheets about the given
// edge. The error is a [*Contradiction], for a misreading or a size that the
// print dialog has changed.
func (m Measured) Fit(sheet Sheet, flip printer.FlipEdge) (Fit, error) {
	out := Fit{Skew: m.Skew, Sheets: len(m.Shifts)}
	var err error
	if out.Scale.Front, err = findScaling(m.RulerFront, sheet.Ruler, AskRulerFront); err != nil {
		return Fit{}, err
	}
	if out.Scale.Back, err = findScaling(m.RulerBack, sheet.Ruler, AskRulerBack); err != nil {
		return Fit{}, err
	}
	out.DoubtfulSize = isDoubtful(out.Scale.Front) || isDoubtful(out.Scale.Back)
	both, err := m.bothShift(sheet, out.Scale.Front)
	if err != nil {
		return Fit{}, err
	}
	if err := m.readShifts(sheet, &out); err != nil {
		return Fit{}, err
	}
	if len(m.Shifts) > 0 {
		slack := out.Scatter()
		measured := printer.Shift{Right: ignoreSlack(out.Shift.Right, slack), Up: ignoreSlack(out.Shift.Up, slack)}
		out.Registration = printer.Registration{Both: both, Back: subtractBoth(measured, both, flip)}
	} else {
		out.Registration.Both = both
	}
	if out.Registration.Check() != nil {
		return Fit{}, contradict("the shift of the back and the place of the mark together make a printer that is more than 10 mm off, which is a misreading", AskShift, AskMark)
	}
	if m.Skew != nil && math.Abs(*m.Skew) > largestShift {
		return Fit{}, contradict("a skew above 10 mm is a misreading", AskSkew)
	}
	out.KeepClear, err = m.keepClear()
	return out, err
}

// Scatter is how far a sheet lies off the middle of all at most, in mm. A
// smaller shift is not corrected, for it may be the wander of a single sheet.
func (f Fit) Scatter() float64 { return f.Wander / 2 }

// ignoreSlack gives the value if it is above the slack, else nought.
func ignoreSlack(v, slack float64) float64 {
	if math.Abs(v) < slack {
		return 0
	}
	return v
}

// subtractBoth gives the part of the measured shift of the back that the shift of both
// faces does not explain. The latter belongs to the printer: with the sheet
// turned about its long edge it lies to the left, seen through from the
// front, where it lay to the right, and turned about its short edge it lies
// below where it lay above.
func subtractBoth(measured, both printer.Shift, flip printer.FlipEdge) printer.Shift {
	if flip == printer.LongEdge {
		measured.Right += 2 * both.Right
	} else {
		measured.Up += 2 * both.Up
	}
	return measured
}

// readShifts takes the middle of the readings, which is never further from the
// truth than the printer wanders.
func (m Measured) readShifts(sheet Sheet, out *Fit) error {
	if len(m.Shifts) == 0 {
		return nil
	}
	low := printer.Shift{Right: math.Inf(1), Up: math.Inf(1)}
	high := printer.Shift{Right: math.Inf(-1), Up: math.Inf(-1)}
	for i, read := range m.Shifts {
		if !(math.Abs(read.Right) <= largestShift && math.Abs(read.Up) <= largestShift) {
			return contradict(fmt.Sprintf("sheet %d: a back that lies more than 10 mm from its front is a misreading", i+1), AskShift)
		}
		s := printer.Shift{
			Right: sheet.removeDistortion(read.Right, out.Scale.Front.Across, out.Scale.Back.Across),
			Up:    sheet.removeDistortion(read.Up, out.Scale.Front.Along, out.Scale.Back.Along),
		}
		low = printer.Shift{Right: min(low.Right, s.Right), Up: min(low.Up, s.Up)}
		high = printer.Shift{Right: max(high.Right, s.Right), Up: max(high.Up, s.Up)}
	}
	out.Shift = printer.Shift{Right: (low.Right + high.Right) / 2, Up: (low.Up + high.Up) / 2}
	out.Wander = max(high.Right-low.Right, high.Up-low.Up)
	return nil
}

// removeDistortion gives the shift that belongs to a vernier's reading if the faces are
// printed at other than their true sizes: the line that meets another one
// stands at its pitch times the size.
func (s Sheet) removeDistortion(reading, front, back float64) float64 {
	if s.FrontPitch == s.BackPitch {
		return reading
	}
	lines := reading / (s.FrontPitch - s.BackPitch)
	return lines * (s.FrontPitch*cmp.Or(front, 1) - s.BackPitch*cmp.Or(back, 1))
}

// bothShift is how far the front lies from where it should on the paper.
func (m Measured) bothShift(sheet Sheet, scale printer.Scaling) (printer.Shift, error) {
	if m.Mark == nil {
		return printer.Shift{}, nil
	}
	off := func(measured, mark, length, scale float64) float64 {
		return measured - (length/2 + (mark-length/2)*cmp.Or(scale, 1))
	}
	s := printer.Shift{
		Right: off(m.Mark.X, sheet.Mark.X, sheet.Size.W, scale.Across),
		Up:    off(m.Mark.Y, sheet.Mark.Y, sheet.Size.H, scale.Along),
	}
	if !(math.Abs(s.Right) <= largestShift && math.Abs(s.Up) <= largestShift) {
		return printer.Shift{}, contradict(fmt.Sprintf("the mark was measured at %s x %s mm and should lie at %s x %s: more than 10 mm off is a misreading",
			geom.Millimetres(m.Mark.X), geom.Millimetres(m.Mark.Y), geom.Millimetres(sheet.Mark.X), geom.Millimetres(sheet.Mark.Y)), AskMark)
	}
	return printer.Shift{Right: ignoreSlack(s.Right, ruleSlack), Up: ignoreSlack(s.Up, ruleSlack)}, nil
}

// keepClear is the wider of the edges of all passes. Each is told in the frame
// of its own image, which is that of the print files.
func (m Measured) keepClear() (*printer.KeepClear, error) {
	if len(m.Edges) == 0 {
		return nil, nil
	}
	var out printer.KeepClear
	for _, e := range m.Edges {
		if err := e.Check(); err != nil {
			return nil, contradict(err.Error(), AskEdges)
		}
		out = printer.KeepClear{
			Head: max(out.Head, e.Head), Tail: max(out.Tail, e.Tail),
			Left: max(out.Left, e.Left), Right: max(out.Right, e.Right),
		}
	}
	return &out, nil
}

// Sizes at which images are printed, as parts of their true size.
const (
	doubtful     = 0.007 // further off, it may be the print dialog's doing: the person is asked
	alikeWithin  = 0.002 // how closely a ruler tells whether the axes are alike
	letterOnA4   = 0.941 // 279.4 mm / 297 mm
	paperWithin  = 0.004
	fittedLow    = 0.957 // 96 to 97.5 percent, with what a ruler leaves open
	fittedHigh   = 0.978
	unbelievable = 0.2 // more is no setting but a wrong number
)

// refuseSize refuses a face printed at a size that the print dialog has made, and says
// by which setting, if it can be told.
func refuseSize(s printer.Scaling, alike bool, q Question) error {
	across, along := geom.Percent(s.Across), geom.Percent(s.Along)
	size := across + " percent of its size"
	if across != along {
		size = fmt.Sprintf("%s percent of its size across and %s percent along", across, along)
	}
	return &Contradiction{
		Because: fmt.Sprintf("the %s was printed at %s: %s", faceOf(q), size, cause(s, alike)),
		Again:   []Question{q},
		Advice:  "print the test sheet again at actual size: 100 percent, no fitting, the right paper; then measure that one",
	}
}

// faceOf is the face that a question about rulers is about.
func faceOf(q Question) string { return strings.TrimPrefix(q.String(), "ruler-") }

// findScaling finds the size of a face by its measured rulers, refusing what the
// printer cannot have done.
func findScaling(measured, ruler geom.Size, q Question) (printer.Scaling, error) {
	if measured == (geom.Size{}) {
		return printer.Scaling{}, nil
	}
	s := printer.Scaling{Across: measured.W / ruler.W, Along: measured.H / ruler.H}
	x, y := s.Across-1, s.Along-1
	if !(math.Abs(x) <= unbelievable && math.Abs(y) <= unbelievable) {
		return s, contradict(fmt.Sprintf("the rulers of the %s are %s mm across and %s mm along, not %s and %s: no print dialog makes that of them",
			faceOf(q), geom.Millimetres(ruler.W), geom.Millimetres(ruler.H), geom.Millimetres(measured.W), geom.Millimetres(measured.H)), q)
	}
	alike := math.Abs(x-y) <= alikeWithin
	if printer.IsPrintersScaling(s.Across) && printer.IsPrintersScaling(s.Along) {
		return s, nil
	}
	return s, refuseSize(s, alike, q)
}

// isDoubtful tells whether a print dialog may have made a size that a printer can print.
func isDoubtful(s printer.Scaling) bool {
	off := max(math.Abs(cmp.Or(s.Across, 1)-1), math.Abs(cmp.Or(s.Along, 1)-1))
	return off > doubtful+1e-9
}

// cause is the setting of the print dialog that makes such a size.
func cause(s printer.Scaling, alike bool) string {
	middle := (s.Across + s.Along) / 2
	in := func(v float64) bool { return v >= fittedLow && v <= fittedHigh }
	switch {
	case alike && math.Abs(middle-letterOnA4) <= paperWithin:
		return "the dialog took letter for a4 paper, or a4 for letter, and shrank the page"
	case in(s.Across) && in(s.Along):
		return "the dialog fitted the page to the printable area"
	case alike && middle > 1:
		return "the dialog enlarged the page, as it does for printing without borders"
	case alike:
		return "the dialog has a scale other than 100 percent"
	}
	return "the dialog stretched the page to another paper"
}
