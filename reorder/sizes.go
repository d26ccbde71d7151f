package reorder

// SheetsFor is the number of printed sheets that so many pages need.
func SheetsFor(pages int, form Form) int {
	per := form.PagesPerSheet()
	return (pages + per - 1) / per
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
	n := (sheets + most - 1) / most
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
