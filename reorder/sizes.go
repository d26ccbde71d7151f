package reorder

import "math"

// SheetsFor is the number of printed sheets that so many pages need.
func SheetsFor(pages int, form Form) int {
	per := form.PagesPerSheet()
	return (pages + per - 1) / per
}

// UsualThickness is that of a gathering in millimetres, where nothing else is
// said: about 8 leaves of 0.1 mm (common practice, no source).
const UsualThickness = 0.8

// SheetsOfThickness is the number of printed sheets whose gathering comes
// closest to a thickness, at least one. Both are in millimetres.
func SheetsOfThickness(form Form, caliper, thickness float64) int {
	return max(1, int(math.Round(thickness/sheetThickness(form, caliper))))
}

// SheetsWithin is the fewest and the most printed sheets whose gathering is
// between thin and thick millimetres; ok tells whether there are any.
func SheetsWithin(form Form, caliper, thin, thick float64) (fewest, most int, ok bool) {
	const rounding = 1e-9
	one := sheetThickness(form, caliper)
	fewest = max(1, int(math.Ceil(thin/one-rounding)))
	most = int(math.Floor(thick/one + rounding))
	return fewest, most, fewest <= most
}

// sheetThickness is the thickness in mm of a printed sheet when it is folded.
func sheetThickness(form Form, caliper float64) float64 {
	return caliper * float64(form.PagesPerSheet()/2)
}

// BalancedSizes shares sheets out among the fewest gatherings of at most most
// sheets each. Sizes differ by at most one; the smaller gatherings lie in the
// middle of the book. No paper is added,
// so a lone sheet is left only where the sizes cannot differ otherwise: for a
// single sheet, for gatherings of one, and for an odd number of sheets in
// gatherings of at most two.
func BalancedSizes(sheets, most int) []int {
	if sheets < 1 || most < 1 {
		return nil
	}
	return shareOut(sheets, (sheets+most-1)/most)
}

// SizesBetween is [BalancedSizes] with at least fewest sheets in every
// gathering. Where the sheets cannot be shared out so, the fewest possible
// sheets are added.
func SizesBetween(sheets, fewest, most int) []int {
	if sheets < 1 || fewest < 1 || most < fewest {
		return nil
	}
	for {
		n := (sheets + most - 1) / most
		if n*fewest <= sheets {
			return shareOut(sheets, n)
		}
		sheets++
	}
}

// shareOut makes n gatherings of so many sheets.
func shareOut(sheets, n int) []int {
	small, larger := sheets/n, sheets%n
	sizes := make([]int, n)
	before := (larger + 1) / 2 // of the larger ones, this many come first
	for i := range sizes {
		sizes[i] = small
		if i < before || i >= n-(larger-before) {
			sizes[i]++
		}
	}
	return sizes
}
