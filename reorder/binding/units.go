package binding

import (
	"fmt"
	"math"
	"strings"

	"foldwright/reorder/enum"
)

// Units is in which units figures are written.
type Units int

const (
	MM Units = iota + 1
	Inches
)

var unitsWords = enum.Words{What: "units", List: []string{"mm", "in"}}

func (u Units) String() string { return unitsWords.Of(int(u)) }

func (u Units) MarshalText() ([]byte, error) { return []byte(u.String()), nil }

func (u *Units) UnmarshalText(text []byte) error { return enum.Parse(u, unitsWords, string(text)) }

const inch = 25.4

// Length writes a length with its unit, and no finer than hands can make it: a
// tenth of a millimetre below 10 mm, half a millimetre above; inches to 1/32.
// Ranges are rounded outwards, and no finer than a third of their width.
func (u Units) Length(r Range) string {
	if u == Inches {
		return u.Bare(r) + " in"
	}
	return u.Bare(r) + " mm"
}

// Bare is Length without the unit.
func (u Units) Bare(r Range) string {
	down, up := math.Round, math.Round
	if !r.Exact() {
		down, up = math.Floor, math.Ceil
	}
	coarse := (r.Most - r.Least) / 3
	small := math.Abs(r.Least) < thin
	if small && r.Exact() && r.Least >= 1 {
		coarse = inch / 100
	}
	least, most := u.bare(r.Least, small, coarse, down), u.bare(r.Most, small, coarse, up)
	if least == most {
		return least
	}
	return least + " to " + most
}

// Sheetlike writes width and height of a piece.
func (u Units) Sheetlike(w, h Range) string { return u.Bare(w) + " x " + u.Length(h) }

// thin is, in mm, what no ruler measures well: what begins below it is written
// as decimals of an inch.
const thin = 1.5

// bare writes a length that may be rounded to steps of so many mm, if they are
// coarser than hands work.
func (u Units) bare(mm float64, small bool, coarse float64, round func(float64) float64) string {
	if mm == 0 {
		return "0"
	}
	if u == Inches {
		if small {
			parts := coarsest(coarse/inch, 1000, 100)
			return fmt.Sprintf("%.*f", int(math.Log10(parts)), steps(mm/inch, parts, round))
		}
		return fraction(steps(mm/inch, coarsest(coarse/inch, 32, 16, 8, 4, 2, 1), round))
	}
	switch {
	case math.Abs(mm) < 1:
		return fmt.Sprintf("%.2f", steps(mm, coarsest(coarse, 100, 20), round))
	case math.Abs(mm) < 10:
		return trimNoughts(fmt.Sprintf("%.1f", steps(mm, coarsest(coarse, 10, 2, 1), round)))
	}
	return trimNoughts(fmt.Sprintf("%.1f", steps(mm, coarsest(coarse, 2, 1, 0.2), round)))
}

// coarsest is the parts of one, which are given from many to few, that are
// still no coarser than a step; the first if all are.
func coarsest(step float64, parts ...float64) float64 {
	best := parts[0]
	for _, p := range parts {
		if 1/p <= step {
			best = p
		}
	}
	return best
}

// steps rounds to a part of one. What lies within a millionth of a step is on it.
func steps(v, parts float64, round func(float64) float64) float64 {
	x := v * parts
	if near := math.Round(x); math.Abs(x-near) < 1e-6 {
		x = near
	}
	return round(x) / parts
}

func trimNoughts(s string) string { return strings.TrimSuffix(s, ".0") }

// fraction writes inches in the lowest terms of 1/32.
func fraction(v float64) string {
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
