package learn

import (
	"math"
	"strconv"
	"strings"

	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// refuseNumbers refuses a text that is not the numbers that are wanted.
func refuseNumbers(text, want string) error {
	return refusal.Use.New("%q is not %s: numbers with a point, commas between them", text, want)
}

// parseNumbers reads so many numbers, with commas or spaces between them.
func parseNumbers(text, want string, counts ...int) ([]float64, error) {
	words := strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == ' ' || r == '\t' })
	var out []float64
	for _, w := range words {
		v, err := strconv.ParseFloat(strings.TrimSuffix(w, "mm"), 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, refuseNumbers(text, want)
		}
		out = append(out, v)
	}
	for _, n := range counts {
		if len(out) == n {
			return out, nil
		}
	}
	return nil, refuseNumbers(text, want)
}

// AddShift takes the readings of one more sheet: X,Y, or the four readings at
// the head, the right, the tail and the left, which tell the skew too.
func (h *Heard) AddShift(text string) error {
	v, err := parseNumbers(text, "a shift X,Y or four readings head,right,tail,left", 2, 4)
	if err != nil {
		return err
	}
	if len(v) == 2 {
		h.Shifts = append(h.Shifts, printer.Shift{Right: v[0], Up: v[1]})
		return nil
	}
	r := learning.Readings{Head: v[0], Right: v[1], Tail: v[2], Left: v[3]}
	h.Shifts = append(h.Shifts, r.Shift())
	// The skew that is told is the largest one.
	if skew := r.Skew(); h.Skew == nil || math.Abs(skew) > math.Abs(*h.Skew) {
		h.Skew = &skew
	}
	return nil
}

// SetSkew takes how much further right the back lies at the head than at the tail.
func (h *Heard) SetSkew(text string) error {
	v, err := parseNumbers(text, "one number of mm", 1)
	if err != nil {
		return err
	}
	h.Skew = &v[0]
	return nil
}

// SetRulerFront and SetRulerBack take the lengths across and along.
func (h *Heard) SetRulerFront(text string) error { return setPair(text, &h.RulerFront) }
func (h *Heard) SetRulerBack(text string) error  { return setPair(text, &h.RulerBack) }

func setPair(text string, to *reorder.Size) error {
	v, err := parseNumbers(text, "two lengths X,Y in mm", 2)
	if err != nil {
		return err
	}
	*to = reorder.Size{W: v[0], H: v[1]}
	return nil
}

// SetMark takes the distances of the mark from the left edge and the lower one.
func (h *Heard) SetMark(text string) error {
	v, err := parseNumbers(text, "two distances X,Y in mm", 2)
	if err != nil {
		return err
	}
	h.Mark = &reorder.Point{X: v[0], Y: v[1]}
	return nil
}

// AddEdges takes how far from its edges one more pass stopped: top, right,
// bottom, left, as the image stands upright.
func (h *Heard) AddEdges(text string) error {
	v, err := parseNumbers(text, "four edges T,R,B,L in mm", 4)
	if err != nil {
		return err
	}
	h.Edges = append(h.Edges, printer.KeepClear{Head: v[0], Right: v[1], Tail: v[2], Left: v[3]})
	return nil
}
