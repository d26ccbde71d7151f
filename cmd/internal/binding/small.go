package binding

import (
	"reflect"
	"strconv"
)

// Small books. Rules of a structure are for books that are held in both hands. Below a
// height that the structure names, its lengths shrink in proportion: kettle stitches stand
// nearer the ends, tapes, joints and turn-ins are narrower, boards and thread thinner. A
// tag small is the least that hands and material allow, in mm. All of it is common
// practice, no source.

const (
	smallSquare      = 1.0 / 40 // of the height
	leastSmallSquare = 1.0      // mm
)

// shrinkTo is the rules for a book of a height in mm, and whether they shrink.
func (s Structure) shrinkTo(height float64) (Structure, bool) {
	if height >= s.ShrinkBelow.Middle() {
		return s, false
	}
	share := height / s.ShrinkBelow.Middle()
	rules := reflect.ValueOf(&s).Elem()
	for _, f := range reflect.VisibleFields(rules.Type()) {
		least, err := strconv.ParseFloat(f.Tag.Get("small"), 64)
		if err != nil {
			continue // it stays as it is
		}
		rule := rules.FieldByIndex(f.Index).Addr().Interface().(*Range)
		*rule = Range{shrink(rule.Least, share, least), shrink(rule.Most, share, least)}
	}
	square := max(leastSmallSquare, height*smallSquare)
	s.Square = Range{min(s.Square.Least, square), min(s.Square.Most, square)}
	return s, true
}

// shrink takes a share of a length, at least so much, and never more than the length.
func shrink(length, share, least float64) float64 { return min(length, max(length*share, least)) }
