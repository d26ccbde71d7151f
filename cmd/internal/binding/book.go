package binding

import (
	"fmt"

	"foldwright/reorder"
	"foldwright/reorder/geom"
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
	Copies      int // printed of the book; figures are for one
	Paper       string
	Caliper     reorder.Caliper
	CaliperOf   string // what it is known from
	GSM         Range  // zero: unknown
	GSMOf       string
	Others      []Other // leaves of other paper
}

// Other is leaves of other paper between those of a book, or at its ends.
type Other struct {
	Name      string
	Leaves    int // thicknesses of its paper
	Caliper   reorder.Caliper
	CaliperOf string // what it is known from
}

// Measured is what a person has measured; it replaces estimates. Zero is not given.
type Measured struct {
	Block       float64   // thickness of the sewn and pressed block at its fore-edge, mm
	Leaf        geom.Size // its spine at the side, mm
	Board       float64   // thickness, mm
	Thread      float64   // diameter, mm
	Spine       float64   // the sewn block's, over its curve, mm
	StackLeaves int       // leaves of a stack of this paper under light pressure
	Stack       float64   // and how thick it is, mm
	Supports    int
	Stations    []float64 // printed in the folds, mm from the trimmed head
}

// Missing is what has still to be measured before boards and cover may be cut, by the keys of its options.
func (s Structure) Missing(m Measured) (options []string) {
	for _, need := range []struct {
		option string
		mm     float64
		needed bool
	}{{"block-thickness", m.Block, true}, {"spine", m.Spine, s.Spine != Flat}, {"board", m.Board, s.Cover != Paper}} {
		if need.needed && need.mm == 0 {
			options = append(options, need.option)
		}
	}
	return options
}

// check refuses what no book can have.
func (m Measured) check(u Units) error {
	for _, b := range []struct {
		option, what        string
		mm, least, greatest float64 // what is believed lies between the bounds
	}{
		{"block-thickness", "the block's thickness", m.Block, 0.2, 200},
		{"board", "the board's thickness", m.Board, 0.3, 10},
		{"thread", "the thread's diameter", m.Thread, 0.05, 3},
		{"spine", "the spine over its curve", m.Spine, 0.2, 300},
		{"leaf-size", "the leaf's width", m.Leaf.W, 20, 1000},
		{"leaf-size", "the leaf's height", m.Leaf.H, 20, 1000},
		{"stack", "the stack's thickness", m.Stack, 0.1, 500},
	} {
		if b.mm != 0 && !(b.mm >= b.least && b.mm <= b.greatest) {
			return refuseMeasured(b.option, "", u.say("%s cannot be %s: it must be between %s and %s", b.what, Exactly(b.mm), Exactly(b.least), Exactly(b.greatest)))
		}
	}
	if m.Supports < 0 || m.Supports > 20 {
		return refuseMeasured("supports", "", fmt.Sprintf("there cannot be %d supports: use 1 to 20", m.Supports))
	}
	if m.Stack != 0 {
		const advice = "measure 40 leaves under light pressure"
		if m.StackLeaves < 2 {
			return refuseMeasured("stack", advice, fmt.Sprintf("a stack of %s is too thin to measure", LeavesText(m.StackLeaves)))
		}
		if one := m.Stack / float64(m.StackLeaves); one < 0.02 || one > 1 {
			return refuseMeasured("stack", advice, u.say("a leaf would be %s thick; paper for books is %s to %s", Exactly(one), Exactly(0.02), Exactly(1)))
		}
	}
	return nil
}

// UntrimmedLeaf is the leaf before trimming, in mm, its spine at the side.
func (b Book) UntrimmedLeaf() geom.Size {
	return geom.Size{W: b.Leaf.W + b.Trim.ForeEdge, H: b.Leaf.H + b.Trim.Head + b.Trim.Tail}
}

// Ends is what the ends of the spine are called, the one from which stations
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

// thicknesses is how many thicknesses of paper lie in the block.
func (b Book) thicknesses() float64 { return float64(b.Leaves * max(1, b.Thicknesses)) }

// LeavesText is a number of leaves.
func LeavesText(n int) string {
	if n == 1 {
		return "1 leaf"
	}
	return fmt.Sprintf("%d leaves", n)
}

// checkBook refuses a book that the structure does not hold.
func (s Structure) checkBook(b Book, edges bool) error {
	switch {
	case b.Leaves < 1 || b.Gatherings < 1:
		return refuse("", "a book without leaves cannot be measured")
	case edges && s.Sewn != Side:
		return refuseMeasured("structure", "choose the structure stab", s.Title+" is sewn through folds, and this book has loose leaves")
	case s.Sewn == OneFold && b.Gatherings > 1:
		return refuseMeasured("structure", "choose a structure for several gatherings, such as case or long-stitch",
			fmt.Sprintf("a %s has one gathering, and this book has %d", s.Title, b.Gatherings))
	}
	return nil
}

func refuse(advice, sentence string) error {
	return refusal.Plan.New("%s", sentence).Advise("%s", advice)
}

// MeasuredError refuses what was measured or chosen for a book.
type MeasuredError struct {
	error
	Option string // that said it, by its key
}

func (e *MeasuredError) Unwrap() error { return e.error }

func refuseMeasured(option, advice, sentence string) error {
	return &MeasuredError{refuse(advice, sentence), option}
}
