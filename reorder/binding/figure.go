package binding

import (
	"fmt"
	"math"
	"strings"
)

// Kind is what a figure counts.
type Kind int

const (
	Lengths Kind = iota + 1
	Grams
	Pieces
	Percent
)

// Figure is one measure of the book and what it was worked out from.
type Figure struct {
	Name   string
	Kind   Kind
	Amount Range
	Height Range // of a piece that has width and height; else zero
	Number int   // how many of them; 0: one
	From   Reason
	Loose  bool // a piece of paper or cloth that is cut by itself, besides boards and cover
}

// Estimate tells whether the figure is only estimated.
func (f Figure) Estimate() bool { return !f.Amount.Exact() || !f.Height.Exact() }

// Short is the figure's name without what its lengths are.
func (f Figure) Short() string {
	name, _, _ := strings.Cut(f.Name, ",")
	return name
}

// Value writes the figure in the given units.
func (f Figure) Value(u Units) string {
	number := ""
	if f.Number > 1 {
		number = fmt.Sprintf("%d of ", f.Number)
	}
	switch {
	case f.Kind == Grams && u == Inches:
		return outwards(f.Amount.Times(1/ounce), 2) + " oz"
	case f.Kind == Grams:
		return outwards(f.Amount, 2) + " g"
	case f.Kind == Percent:
		return PercentText(f.Amount)
	case f.Kind == Pieces:
		return number + fmt.Sprintf("%.0f", f.Amount.Most)
	case f.Height != Range{}:
		return number + u.Sheetlike(f.Amount, f.Height)
	case f.Amount.Least > metre:
		return number + long(f.Amount, u)
	}
	return number + u.Length(f.Amount)
}

// PercentText writes a share to two digits.
func PercentText(share Range) string { return outwards(share.Times(100), 2) + " percent" }

// ounce is an avoirdupois ounce in grams, a sixteenth of 453.59237 g.
const ounce = 28.349523125

const metre = 1000

// long writes the length of thread.
func long(r Range, u Units) string {
	if u == Inches {
		return outwards(r.Times(1/(36*inch)), 2) + " yd"
	}
	return outwards(r.Times(1.0/metre), 2) + " m"
}

// outwards writes a range to so many digits, the least rounded down and the
// most up where they differ.
func outwards(r Range, digits int) string {
	if r.Exact() {
		return digitsOf(r.Least, digits, math.Round)
	}
	least, most := digitsOf(r.Least, digits, math.Floor), digitsOf(r.Most, digits, math.Ceil)
	if least == most {
		return least
	}
	return least + " to " + most
}

func digitsOf(v float64, digits int, round func(float64) float64) string {
	if v == 0 {
		return "0"
	}
	decimals := max(0, digits-1-int(math.Floor(math.Log10(math.Abs(v)))))
	decimals = min(decimals, digits-1)
	return fmt.Sprintf("%.*f", decimals, steps(v, math.Pow10(decimals), round))
}

// Reason is what a figure was worked out from: words with {} where lengths stand.
type Reason struct {
	Words   string
	Lengths []Range
}

func because(words string, lengths ...Range) Reason { return Reason{words, lengths} }

// In writes the reason in the given units.
func (r Reason) In(u Units) string {
	var out strings.Builder
	rest := r.Words
	for _, l := range r.Lengths {
		before, after, found := strings.Cut(rest, "{}")
		if !found {
			break
		}
		out.WriteString(before + u.Length(l))
		rest = after
	}
	return out.String() + rest
}
