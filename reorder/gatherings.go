package reorder

import "math"

// SheetsFor is the number of printed sheets that so many pages need.
func SheetsFor(pages int, form Form) int { return roundUp(pages, form.PagesPerSheet()) }

// UsualThickness is that of a gathering in millimetres, where nothing else is
// said: about 8 leaves of 0.1 mm (common practice, no source).
const UsualThickness = 0.8

// SheetsOfThickness is the number of printed sheets, or pieces, whose gathering comes
// closest to a thickness, at least one. Both are in millimetres.
func SheetsOfThickness(form Form, caliper, thickness float64) int {
	return max(1, int(math.Round(thickness/sheetThickness(form, caliper))))
}

// SheetsWithin is the fewest and the most printed sheets, or pieces, whose gathering is
// between thin and thick millimetres; ok tells whether there are any.
func SheetsWithin(form Form, caliper, thin, thick float64) (fewest, most int, ok bool) {
	const rounding = 1e-9
	one := sheetThickness(form, caliper)
	fewest = max(1, int(math.Ceil(thin/one-rounding)))
	most = int(math.Floor(thick/one + rounding))
	return fewest, most, fewest <= most
}

// sheetThickness is the thickness in mm of a printed sheet when it is folded, or of a piece.
func sheetThickness(form Form, caliper float64) float64 {
	return caliper * float64(form.PagesOf(1)/2)
}

// SizesBetween shares sheets out among the fewest gatherings of fewest to most
// sheets each. Sizes differ by at most one; the smaller gatherings lie in the
// middle of the book. Where the sheets cannot be shared out so, the fewest
// possible sheets are added. With fewest 1 no paper is added, so a lone sheet is
// left only where the sizes cannot differ otherwise: for a single sheet, for
// gatherings of one, and for an odd number of sheets in gatherings of at most two.
func SizesBetween(sheets, fewest, most int) []int {
	if sheets < 1 || fewest < 1 || most < fewest {
		return nil
	}
	for {
		n := (sheets + most - 1) / most
		if n*fewest <= sheets {
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
		sheets++
	}
}

// Run is the sheets of a book that are printed together, by their places in
// the finished stack, from 1.
type Run struct {
	First, Last int
	// Split tells that the run begins or ends within a gathering.
	Split bool
}

// Sheets is the number of sheets in the run.
func (r Run) Sheets() int { return r.Last - r.First + 1 }

// Runs groups gatherings of the given sizes into runs of whole gatherings with
// at most most sheets each. A gathering that alone is larger is split. most 0
// is one run for all.
func Runs(sizes []int, most int) []Run {
	var runs []Run
	next := 1
	open := false // the last run takes whole gatherings and has room
	for _, n := range sizes {
		last := next + n - 1
		switch {
		case open && (most == 0 || last-runs[len(runs)-1].First < most):
			runs[len(runs)-1].Last = last
		case most == 0 || n <= most:
			runs = append(runs, Run{next, last, false})
			open = true
		default:
			for first := next; first <= last; first += most {
				runs = append(runs, Run{first, min(first+most-1, last), true})
			}
			open = false
		}
		next = last + 1
	}
	return runs
}

// RunPerGathering makes every gathering a run of its own.
func RunPerGathering(sizes []int) []Run {
	var runs []Run
	next := 1
	for _, n := range sizes {
		runs = append(runs, Run{next, next + n - 1, false})
		next += n
	}
	return runs
}

// Volume is the gatherings that are bound in one cover.
type Volume struct {
	Number     int `json:"number"`
	First      int `json:"first-gathering"` // its number
	Gatherings int `json:"gatherings"`
	FirstSheet int `json:"first-sheet"` // its number in the book
	Sheets     int `json:"sheets"`
	FirstPage  int `json:"first-page"` // the first source page in it, 0 if it is all blank
}

// Last is the number of the last gathering.
func (v Volume) Last() int { return v.First + v.Gatherings - 1 }

// Volumes shares gatherings of the given sizes out among n volumes, in order
// and as evenly as whole gatherings can be. There are none if n is less than
// one or more than the gatherings. What stands on their sheets is not known here.
func Volumes(sizes []int, n int) []Volume {
	if n < 1 || n > len(sizes) {
		return nil
	}
	sum := make([]int, len(sizes)+1) // sheets in the first gatherings
	for i, s := range sizes {
		sum[i+1] = sum[i] + s
	}
	volumes := make([]Volume, n)
	end := 0 // gatherings in the volumes so far
	for i := range volumes {
		first := end + 1
		wanted := float64(sum[len(sizes)]) * float64(i+1) / float64(n)
		left := n - 1 - i // volumes that still need a gathering each
		for end = first; end < len(sizes)-left && deviation(sum[end+1], wanted) < deviation(sum[end], wanted); end++ {
		}
		volumes[i] = Volume{Number: i + 1, First: first, Gatherings: end - first + 1, FirstSheet: sum[first-1] + 1, Sheets: sum[end] - sum[first-1]}
	}
	return volumes
}

func deviation(sheets int, wanted float64) float64 { return math.Abs(float64(sheets) - wanted) }
