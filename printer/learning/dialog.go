package learning

import (
	"fmt"
	"math"
	"strings"

	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// Sizes at which images are printed, as parts of their true size.
const (
	printersOwn  = 0.010 // no printer is further off than that
	suspicious   = 0.007 // further off and alike on both axes is a setting
	alikeWithin  = 0.002 // how closely a ruler tells whether the axes are alike
	letterOnA4   = 0.941 // 279.4 mm / 297 mm
	paperWithin  = 0.004
	fittedLow    = 0.957 // 96 to 97.5 percent, with what a ruler leaves open
	fittedHigh   = 0.978
	unbelievable = 0.2 // more is no setting but a wrong number
)

// readSlack is how much too long a ruler may have been read, in mm: the last
// quarter of a millimetre must not make one percent too much.
const readSlack = 0.125 + 1e-9

// DialogError says that a face was printed at a size that the print dialog has
// changed, and by which setting, if it can be told.
type DialogError struct {
	Question      Question // what was measured
	Face          string   // front or back
	Across, Along float64  // percent of the true size
	Cause         string
}

func (e *DialogError) Error() string {
	size := percent(e.Across) + " percent of its size"
	if percent(e.Across) != percent(e.Along) {
		size = fmt.Sprintf("%s percent of its size across and %s percent along", percent(e.Across), percent(e.Along))
	}
	return fmt.Sprintf("the %s was printed at %s: %s", e.Face, size, e.Cause)
}

// Kind is whose fault it is.
func (e *DialogError) Kind() refusal.Kind { return refusal.Plan }

// Hint says what the next sheet needs.
func (e *DialogError) Hint() string {
	return "print the test sheet again at actual size: 100 percent, no fitting, the right paper; then measure that one"
}

func percent(v float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0")
}

// scaling is the size of a face by its measured rulers, refusing what the
// printer cannot have done.
func scaling(measured, ruler reorder.Size, q Question) (printer.Scaling, error) {
	if measured == (reorder.Size{}) {
		return printer.Scaling{}, nil
	}
	face := strings.TrimPrefix(q.String(), "ruler-")
	s := printer.Scaling{Across: measured.W / ruler.W, Along: measured.H / ruler.H}
	x, y := s.Across-1, s.Along-1
	if !(math.Abs(x) <= unbelievable && math.Abs(y) <= unbelievable) {
		return s, &Contradiction{
			fmt.Sprintf("the rulers of the %s are %s mm across and %s mm along, not %s and %s: no print dialog makes that of them",
				face, reorder.Millimetres(ruler.W), reorder.Millimetres(ruler.H), reorder.Millimetres(measured.W), reorder.Millimetres(measured.H)),
			[]Question{q},
		}
	}
	alike := math.Abs(x-y) <= alikeWithin
	own := math.Abs(x)*ruler.W <= printersOwn*ruler.W+readSlack && math.Abs(y)*ruler.H <= printersOwn*ruler.H+readSlack
	if own && !(alike && math.Abs(x+y)/2 > suspicious) {
		return s, nil
	}
	return s, &DialogError{q, face, s.Across * 100, s.Along * 100, cause(s, alike)}
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
