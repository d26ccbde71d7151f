package binding

import (
	"fmt"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Book is what is known of a text block before it is sewn.
type Book struct {
	Leaf        geom.Size    // trimmed, its spine at the side
	Bind        reorder.Bind // where the spine lies as the pages are read; zero is the left
	Trim        reorder.Trim // what the trimmed leaf has lost
	Leaves      int
	Thicknesses int // of paper in a leaf: 2 where it is closed at its fore-edge
	Gatherings  int
	Sheets      int // printed
	Paper       string
	Caliper     reorder.Caliper
	CaliperOf   string // what it is known from
	GSM         Range  // zero: unknown
	GSMOf       string
}

// Measured is what a person has found; it wins over estimates. Zero is not given.
type Measured struct {
	Block       float64   // thickness of the sewn and pressed block at its fore-edge, mm
	Leaf        geom.Size // its spine at the side, mm
	Board       float64   // thickness, mm
	Thread      float64   // diameter, mm
	Back        float64   // the sewn block's, over its curve, mm
	StackLeaves int       // leaves of a stack of this paper under light pressure
	Stack       float64   // and how thick it is, mm
	Supports    int
	Stations    []float64 // printed in the folds, mm from the trimmed head
}

// bounds of what is believed, in mm.
var bounds = []struct {
	what        string
	of          func(Measured) float64
	least, most float64
}{
	{"the block's thickness", func(m Measured) float64 { return m.Block }, 0.2, 200},
	{"the board's thickness", func(m Measured) float64 { return m.Board }, 0.3, 10},
	{"the thread's diameter", func(m Measured) float64 { return m.Thread }, 0.05, 3},
	{"the back over its curve", func(m Measured) float64 { return m.Back }, 0.2, 300},
	{"the leaf's width", func(m Measured) float64 { return m.Leaf.W }, 20, 1000},
	{"the leaf's height", func(m Measured) float64 { return m.Leaf.H }, 20, 1000},
	{"the stack's thickness", func(m Measured) float64 { return m.Stack }, 0.1, 500},
}

// check refuses what no book is.
func (m Measured) check() error {
	for _, b := range bounds {
		if v := b.of(m); v != 0 && !(v >= b.least && v <= b.most) {
			return refuse("", newReason(b.what+" of {} cannot be, it lies between {} and {}", Exactly(v), Exactly(b.least), Exactly(b.most)))
		}
	}
	if m.Supports < 0 || m.Supports > 20 {
		return refuse("", newReason(fmt.Sprintf("%d supports cannot be, there are at most 20", m.Supports)))
	}
	if m.Stack != 0 {
		const advice = "measure 40 leaves under light pressure"
		if m.StackLeaves < 2 {
			return refuse(advice, newReason(fmt.Sprintf("a stack of %s is too thin to be measured", leavesText(m.StackLeaves))))
		}
		if one := m.Stack / float64(m.StackLeaves); one < 0.02 || one > 1 {
			return refuse(advice, newReason("a leaf would be {} thick, paper for books lies between {} and {}", Exactly(one), Exactly(0.02), Exactly(1)))
		}
	}
	return nil
}

// UntrimmedLeaf is the leaf before trimming, in mm, its spine at the side.
func (b Book) UntrimmedLeaf() geom.Size {
	return geom.Size{W: b.Leaf.W + b.Trim.ForeEdge, H: b.Leaf.H + b.Trim.Head + b.Trim.Tail}
}

// Ends is what the ends of the back are called, the one from which stations
// count and the other.
func (b Book) Ends() (first, last string) {
	if b.Bind == reorder.BindTop {
		return "left end", "right end"
	}
	return "head", "tail"
}

// Axes is what the two lengths of a piece are called, that across the spine and
// that along it.
func (b Book) Axes() (across, along string) {
	if b.Bind == reorder.BindTop {
		return "across", "along the spine"
	}
	return "width", "height"
}

// size is both lengths of a piece.
func (b Book) size() string {
	across, along := b.Axes()
	return across + " x " + along
}

func leavesText(n int) string {
	if n == 1 {
		return "1 leaf"
	}
	return fmt.Sprintf("%d leaves", n)
}

// holds refuses structures that do not hold such a book.
func (s Structure) holds(b Book, edges bool) error {
	switch {
	case b.Leaves < 1 || b.Gatherings < 1:
		return refuse("", newReason("a book without leaves has no measures"))
	case edges && s.Sewn != Side:
		return refuse("take the structure stab", newReason(s.Title+" is sewn through folds, and this book has loose leaves"))
	case s.Sewn == OneFold && b.Gatherings > 1:
		return refuse("take a structure for several gatherings, such as case or long-stitch",
			newReason(fmt.Sprintf("%s is one gathering, and this book has %d", s.Title, b.Gatherings)))
	}
	return nil
}

// third is by how much of the estimate a measured figure may differ unasked.
const third = 1.0 / 3

// askAbout asks about a measured figure that is far from its estimate; empty
// if it is near.
func askAbout(u Units, what string, measured float64, estimate Range) string {
	if measured >= estimate.Least*(1-third) && measured <= estimate.Most*(1+third) {
		return ""
	}
	return fmt.Sprintf("%s was measured as %s, and was expected at %s: is that right?", what, u.Length(Exactly(measured)), u.Length(estimate))
}

// Error says why figures or rules are refused.
type Error struct {
	What   Reason
	Advice string
	Rule   string // the key of the structure's rule that is wrong; may be empty
	Units  Units  // in which it is told; zero is MM
}

func (e *Error) Error() string { return e.In(nil) }

// In writes the error in a style.
func (e *Error) In(style phrase.Style) string { return e.What.In(e.Units, style) }

// Kind is whose fault it is.
func (e *Error) Kind() refusal.Kind { return refusal.Plan }

// Hint is what can be done about it.
func (e *Error) Hint() phrase.Sentence {
	if e.Advice == "" {
		return phrase.Sentence{}
	}
	return phrase.New("%s", e.Advice)
}

func refuse(advice string, what Reason) error { return &Error{What: what, Advice: advice} }
