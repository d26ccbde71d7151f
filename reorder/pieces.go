package reorder

import (
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

// The size of a gathering counts printed sheets, or with [Form].ByPieces the pieces
// that are folded for it. Then a printed sheet can carry pieces of several
// gatherings: what they share is cut as one stack, and they are counted off its
// pieces from the top. Pieces that are left at its bottom are spare.

// Pieces is how many sheets or pieces are folded for a gathering of a size.
func (f Form) Pieces(size int) int {
	if f.ByPieces {
		return size
	}
	return size * f.Cut
}

// PagesOf is how many pages gatherings hold whose sizes make that sum.
func (f Form) PagesOf(size int) int {
	if f.ByPieces {
		return size * f.pagesPerPiece()
	}
	return size * f.PagesPerSheet()
}

func (f Form) pagesPerPiece() int { return 2 * f.Fold.Scheme().layers() }

// SizeFor is the sum of the sizes of gatherings that so many pages need.
func (f Form) SizeFor(pages int) int { return roundUp(pages, f.PagesOf(1)) }

// SheetsOf is how many printed sheets are cut as one stack for gatherings of these
// sizes, and spare how many pieces of it none of them needs.
func (f Form) SheetsOf(sizes ...int) (sheets, spare int) {
	sum := 0
	for _, n := range sizes {
		sum += n
	}
	if !f.ByPieces {
		return sum, 0
	}
	sheets = roundUp(sum, f.Cut)
	return sheets, sheets*f.Cut - sum
}

// Shares is how many of a stack's printed sheets are counted with each of its
// gatherings, those with the first that it begins with; with some there may be none.
func (f Form) Shares(stack []int) []int {
	before := 0
	return lists.Map(prefixes(stack), func(sizes []int) int {
		sheets, _ := f.SheetsOf(sizes...)
		share := sheets - before
		before = sheets
		return share
	})
}

// prefixes is the first one, the first two and so on.
func prefixes(sizes []int) (out [][]int) {
	for i := range sizes {
		out = append(out, sizes[:i+1])
	}
	return out
}

// StackPieces groups gatherings of so many pieces each, which sheets are cut into,
// for cutting: in the fewest printed sheets, then in small stacks that leave no
// spare pieces but the last. No stack holds more gatherings than a sheet has pieces,
// nor, unless it is one gathering, more than most sheets; most 0 is no limit.
func StackPieces(pieces []int, cut, most int) [][]int {
	type plan struct{ sheets, squares, first int } // of all stacks from a gathering on, and the gatherings in the first
	best := make([]plan, len(pieces)+1)
	for from := len(pieces) - 1; from >= 0; from-- {
		sum := 0
		for n := 1; n <= cut && from+n <= len(pieces); n++ {
			sum += pieces[from+n-1]
			sheets := roundUp(sum, cut)
			if n > 1 && most > 0 && sheets > most {
				break
			}
			rest := best[from+n]
			p := plan{sheets + rest.sheets, sheets*sheets + rest.squares, n}
			if b := best[from]; n == 1 || p.sheets < b.sheets || p.sheets == b.sheets && (p.squares < b.squares || p.squares == b.squares && sum%cut == 0) {
				best[from] = p
			}
		}
	}
	var out [][]int
	for len(pieces) > 0 {
		n := best[len(best)-1-len(pieces)].first
		out = append(out, pieces[:n:n])
		pieces = pieces[n:]
	}
	return out
}

// FillPieces groups gatherings for cutting by the run: as many in a stack as most
// sheets hold, at least one; most 0 is one stack for all.
func FillPieces(pieces []int, cut, most int) [][]int {
	var out [][]int
	for len(pieces) > 0 {
		n, sum := 1, pieces[0]
		for n < len(pieces) && (most == 0 || roundUp(sum+pieces[n], cut) <= most) {
			sum += pieces[n]
			n++
		}
		out = append(out, pieces[:n:n])
		pieces = pieces[n:]
	}
	return out
}

// PieceSizes is [SizesBetween] for gatherings of fewest to most pieces of sheets that
// are cut: as many of the larger ones come first as fill whole sheets together.
func PieceSizes(pieces, fewest, most, cut int) []int {
	sizes := SizesBetween(pieces, fewest, most)
	if len(sizes) == 0 {
		return sizes
	}
	large, small, larger := sizes[0], sizes[len(sizes)/2], 0
	for _, n := range sizes {
		small = min(small, n)
		if n == large {
			larger++
		}
	}
	if large == small {
		return sizes
	}
	together := 1 // so many of the larger ones fill whole sheets
	for together*large%cut != 0 {
		together++
	}
	before := min(larger, roundUp((larger+1)/2, together)*together)
	for i := range sizes {
		sizes[i] = small
		if i < before || i >= len(sizes)-(larger-before) {
			sizes[i] = large
		}
	}
	return sizes
}

func roundUp(n, by int) int { return (n + by - 1) / by }

// Spare is a piece of a printed sheet that no gathering needs.
type Spare struct {
	Front geom.Rect // mm, in the view of the front
}

// On is where the piece lies on a side of a sheet of the given size, in the view of that side.
func (s Spare) On(side Side, sheet geom.Size) geom.Rect {
	if side == Front {
		return s.Front
	}
	return geom.Mirror(sheet).Bounds(s.Front)
}

// CarriedBy is the numbers of the printed sheets that carry a gathering's pages.
func (b Book) CarriedBy(gathering int) (numbers []int) {
	for _, s := range b.Sheets() {
		for _, p := range s.Pieces {
			if p.Gathering == gathering {
				numbers = append(numbers, s.Number)
				break
			}
		}
	}
	return numbers
}
