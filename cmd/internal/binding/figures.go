package binding

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"foldwright/reorder/enum"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Figure is one measure of the book and what it was worked out from.
type Figure struct {
	Name   string
	Value  string // in the units of its sheet
	Amount Range  // a length in mm, which of a piece is its width; grams; a share; a number
	Height Range  // of a piece that has width and height; else zero
	From   string
	Yours  phrase.Setting // the option that gives a measured one instead, if From is a default
	Loose  bool           // a piece of paper or cloth that is cut by itself, besides boards and cover
}

// IsEstimate tells whether the figure is only estimated.
func (f Figure) IsEstimate() bool { return !f.Amount.IsExact() || !f.Height.IsExact() }

// Why is what the figure was worked out from, and whether it is only estimated.
func (f Figure) Why(style phrase.Style) string {
	from := f.From
	if f.Yours != (phrase.Setting{}) {
		from += "; give yours with " + f.Yours.In(style)
	}
	if f.IsEstimate() {
		return "estimate: " + from
	}
	return from
}

// Short is the figure's name without what its lengths are.
func (f Figure) Short() string {
	name, _, _ := strings.Cut(f.Name, ",")
	return name
}

// PercentText writes a share to two digits.
func PercentText(share Range) string { return writeOutwards(share.Times(100), 2) + " percent" }

// ounce is an avoirdupois ounce in grams, a sixteenth of 453.59237 g.
const ounce = 28.349523125

// weight writes grams.
func (u Units) weight(grams Range) string {
	if u == Inches {
		return writeOutwards(grams.Times(1/ounce), 2) + " oz"
	}
	return writeOutwards(grams, 2) + " g"
}

// ThreadLength writes the length of thread, in metres or yards from a metre on.
func (u Units) ThreadLength(r Range) string {
	const metre = 1000
	switch {
	case r.Least <= metre:
		return u.Length(r)
	case u == Inches:
		return writeOutwards(r.Times(1/(36*geom.Inch)), 2) + " yd"
	}
	return writeOutwards(r.Times(1.0/metre), 2) + " m"
}

// writeOutwards writes a range to so many digits, the least rounded down and the
// most up where they differ.
func writeOutwards(r Range, digits int) string {
	return r.outwards(func(v float64, round func(float64) float64) string {
		if v == 0 {
			return "0"
		}
		decimals := max(0, digits-1-int(math.Floor(math.Log10(math.Abs(v)))))
		decimals = min(decimals, digits-1)
		return fmt.Sprintf("%.*f", decimals, roundToSteps(v, math.Pow10(decimals), round))
	})
}

// outwards writes both ends of a range, rounded so that it gets no narrower, or one figure where
// they look alike.
func (r Range) outwards(write func(v float64, round func(float64) float64) string) string {
	if r.IsExact() {
		return write(r.Least, math.Round)
	}
	least, most := write(r.Least, math.Floor), write(r.Most, math.Ceil)
	if least == most {
		return least
	}
	return least + " to " + most
}

// Range is what a figure lies between; both ends are the same where it is
// known. The zero value is not given.
type Range struct{ Least, Most float64 }

// Exactly is a figure that is known.
func Exactly(v float64) Range { return Range{v, v} }

// IsExact tells whether the figure is known.
func (r Range) IsExact() bool { return r.Least == r.Most }

// Middle is halfway between the ends.
func (r Range) Middle() float64 { return (r.Least + r.Most) / 2 }

// Plus is the sum; Minus the difference, least where the other is most.
func (r Range) Plus(o Range) Range  { return Range{r.Least + o.Least, r.Most + o.Most} }
func (r Range) Minus(o Range) Range { return Range{r.Least - o.Most, r.Most - o.Least} }

// Times is a multiple by a factor that is not negative; By the product with
// another range of which neither end is negative.
func (r Range) Times(f float64) Range { return Range{r.Least * f, r.Most * f} }
func (r Range) By(o Range) Range      { return Range{r.Least * o.Least, r.Most * o.Most} }

// Within is what two ranges share, or the end of the other one that lies nearer if they share nothing.
func (r Range) Within(o Range) Range { return Range{o.nearest(r.Least), o.nearest(r.Most)} }

// nearest is the place in the range that lies nearest to another.
func (r Range) nearest(v float64) float64 { return min(max(v, r.Least), r.Most) }

// Over is the quotient by a range above 0.
func (r Range) Over(o Range) Range { return Range{r.Least / o.Most, r.Most / o.Least} }

func (r Range) String() string {
	if r.IsExact() {
		return geom.Millimetres(r.Least)
	}
	return geom.Millimetres(r.Least) + " to " + geom.Millimetres(r.Most)
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
	least, ok := geom.ParseLength(first)
	most, ok2 := geom.ParseLength(second)
	if !ok || !ok2 || most < least || math.Abs(most) > 1e5 {
		return refusal.Use.New("%q is not a number or a range: use 6mm, 1/8in, 1/8 to 3/16 in or 0.4 to 0.7, for example; units are mm, in and pt", text)
	}
	*r = Range{least, most}
	return nil
}

// MarshalText writes the range so that it is read as the same one.
func (r Range) MarshalText() ([]byte, error) {
	text := exactly(r.Least)
	if !r.IsExact() {
		text += " to " + exactly(r.Most)
	}
	return []byte(text), nil
}

// rangeJSON is a range in plan.json; one that is known is a number there.
type rangeJSON struct {
	Least float64 `json:"least"`
	Most  float64 `json:"most"`
}

func (r Range) MarshalJSON() ([]byte, error) {
	if r.IsExact() {
		return json.Marshal(r.Most)
	}
	return json.Marshal(rangeJSON(r))
}

// UnmarshalJSON reads the same.
func (r *Range) UnmarshalJSON(data []byte) error {
	var known float64
	if json.Unmarshal(data, &known) == nil {
		*r = Exactly(known)
		return nil
	}
	var v rangeJSON
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	if v.Least > v.Most {
		return refusal.Plan.New("%g to %g is not a range", v.Least, v.Most)
	}
	*r = Range(v)
	return nil
}

// exactly writes all digits of a number.
func exactly(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Units is in which units figures are written.
type Units int

const (
	MM Units = iota + 1
	Inches
)

var unitsWords = enum.New("units", "mm", "in")

func (u Units) String() string { return unitsWords.Of(int(u)) }

func (u Units) MarshalText() ([]byte, error) { return []byte(u.String()), nil }

func (u *Units) UnmarshalText(text []byte) error { return enum.Parse(u, unitsWords, string(text)) }

// Length writes a length with its unit, and no finer than hands can make it: a
// tenth of a millimetre below 10 mm, half a millimetre above; inches to 1/32.
// Ranges are rounded outwards, and no finer than a third of their width.
func (u Units) Length(r Range) string {
	if u == Inches {
		return u.Bare(r) + " in"
	}
	return u.Bare(r) + " mm"
}

// say is fmt.Sprintf with ranges written as lengths.
func (u Units) say(words string, args ...any) string {
	for i, arg := range args {
		if r, ok := arg.(Range); ok {
			args[i] = u.Length(r)
		}
	}
	return fmt.Sprintf(words, args...)
}

// Bare is Length without the unit.
func (u Units) Bare(r Range) string {
	coarse := (r.Most - r.Least) / 3
	small := math.Abs(r.Least) < thin
	if small && r.IsExact() && r.Least >= 1 {
		coarse = geom.Inch / 100
	}
	return r.outwards(func(v float64, round func(float64) float64) string {
		if v == 0 {
			return "0"
		}
		if u == Inches {
			if small {
				parts := coarsestPart(coarse/geom.Inch, 1000, 100)
				return fmt.Sprintf("%.*f", int(math.Log10(parts)), roundToSteps(v/geom.Inch, parts, round))
			}
			return writeFraction(roundToSteps(v/geom.Inch, coarsestPart(coarse/geom.Inch, 32, 16, 8, 4, 2, 1), round))
		}
		switch {
		case math.Abs(v) < 1:
			return fmt.Sprintf("%.2f", roundToSteps(v, coarsestPart(coarse, 100, 20), round))
		case math.Abs(v) < 10:
			return trimNoughts(fmt.Sprintf("%.1f", roundToSteps(v, coarsestPart(coarse, 10, 2, 1), round)))
		}
		return trimNoughts(fmt.Sprintf("%.1f", roundToSteps(v, coarsestPart(coarse, 2, 1, 0.2), round)))
	})
}

// WidthByHeight writes width and height of a piece.
func (u Units) WidthByHeight(w, h Range) string { return u.Bare(w) + " x " + u.Length(h) }

// thin is, in mm, what no ruler measures well: what begins below it is written
// as decimals of an inch.
const thin = 1.5

// coarsestPart is the parts of one, which are given from many to few, that are
// still no coarser than a step; the first if all are.
func coarsestPart(step float64, parts ...float64) float64 {
	best := parts[0]
	for _, p := range parts {
		if 1/p <= step {
			best = p
		}
	}
	return best
}

// roundToSteps rounds to a part of one. What lies within a millionth of a step is on it.
func roundToSteps(v, parts float64, round func(float64) float64) float64 {
	x := v * parts
	if near := math.Round(x); math.Abs(x-near) < 1e-6 {
		x = near
	}
	return round(x) / parts
}

func trimNoughts(s string) string { return strings.TrimSuffix(s, ".0") }

// writeFraction writes inches in the lowest terms of 1/32.
func writeFraction(v float64) string {
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	parts := int(math.Round(v * 32))
	whole, top, bottom := parts/32, parts%32, 32
	for top > 0 && top%2 == 0 {
		top, bottom = top/2, bottom/2
	}
	switch {
	case top == 0:
		return fmt.Sprintf("%s%d", sign, whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d", sign, top, bottom)
	}
	return fmt.Sprintf("%s%d %d/%d", sign, whole, top, bottom)
}
