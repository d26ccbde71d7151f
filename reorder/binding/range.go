package binding

import (
	"math"
	"strconv"
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// Range is what a figure lies between; both ends are the same where it is
// known. The zero value is not given.
type Range struct{ Least, Most float64 }

// Exactly is a figure that is known.
func Exactly(v float64) Range { return Range{v, v} }

// Exact tells whether the figure is known.
func (r Range) Exact() bool { return r.Least == r.Most }

// Middle is halfway between the ends.
func (r Range) Middle() float64 { return (r.Least + r.Most) / 2 }

// Plus is the sum; Minus the difference, least where the other is most.
func (r Range) Plus(o Range) Range  { return Range{r.Least + o.Least, r.Most + o.Most} }
func (r Range) Minus(o Range) Range { return Range{r.Least - o.Most, r.Most - o.Least} }

// Times is a multiple by a factor that is not negative; By the product with
// another range of which neither end is negative.
func (r Range) Times(f float64) Range { return Range{r.Least * f, r.Most * f} }
func (r Range) By(o Range) Range      { return Range{r.Least * o.Least, r.Most * o.Most} }

// Over is the quotient by a range above nought.
func (r Range) Over(o Range) Range { return Range{r.Least / o.Most, r.Most / o.Least} }

func (r Range) String() string {
	if r.Exact() {
		return reorder.Millimetres(r.Least)
	}
	return reorder.Millimetres(r.Least) + " to " + reorder.Millimetres(r.Most)
}

// noRange refuses a text that is no range.
func noRange(text []byte) error {
	return refusal.Use.New("%q is no number or range, write such as 6mm, 1/8in, 1/8 to 3/16 in or 0.4 to 0.7; units are mm, in and pt", text)
}

// UnmarshalText reads a number or two with "to" between them; the unit of the
// second holds for both.
func (r *Range) UnmarshalText(text []byte) error {
	first, second, two := strings.Cut(string(text), " to ")
	if !two {
		second = first
	} else if rest := strings.TrimRight(second, "abcdefghijklmnopqrstuvwxyz"); !strings.HasSuffix(first, second[len(rest):]) {
		first += second[len(rest):]
	}
	least, ok := reorder.ParseLength(first)
	most, ok2 := reorder.ParseLength(second)
	if !ok || !ok2 || most < least || math.Abs(most) > 1e5 {
		return noRange(text)
	}
	*r = Range{least, most}
	return nil
}

// MarshalText writes the range so that it is read as the same one.
func (r Range) MarshalText() ([]byte, error) {
	text := exactly(r.Least)
	if !r.Exact() {
		text += " to " + exactly(r.Most)
	}
	return []byte(text), nil
}

// exactly writes all digits of a number.
func exactly(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Length is a length of a rule in millimetres.
type Length float64

// UnmarshalText reads a length as [reorder.ParseLength] does.
func (l *Length) UnmarshalText(text []byte) error {
	v, ok := reorder.ParseLength(string(text))
	if !ok || math.Abs(v) > 1e5 {
		return noRange(text)
	}
	*l = Length(v)
	return nil
}

// MarshalText writes the length so that it is read as the same one.
func (l Length) MarshalText() ([]byte, error) { return []byte(exactly(float64(l))), nil }

// Exactly is the length as a range that is known.
func (l Length) Exactly() Range { return Exactly(float64(l)) }
