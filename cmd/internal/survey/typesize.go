package survey

import "slices"

// TypeSize is the size in points, to a tenth, that most letters of the wanted pages have, as far as a
// sample of them tells; 0: it holds no text.
func (v *Survey) TypeSize() float64 {
	const sampled = 12
	count := map[float64]int{}
	for _, page := range PickEvenly(slices.Compact(slices.Sorted(slices.Values(v.SourcePages(v.Chosen)))), sampled) {
		shows, _ := v.Content(page) // what is wrong with a page is said elsewhere
		for pt, n := range shows.Type {
			count[pt] += n
		}
	}
	most, size := 0, 0.0
	for pt, n := range count {
		if n > most || n == most && pt < size {
			most, size = n, pt
		}
	}
	return size
}

// PickEvenly picks at most n of the pages, evenly.
func PickEvenly(pages []int, n int) []int {
	if len(pages) <= n {
		return pages
	}
	out := make([]int, n)
	for i := range out {
		out[i] = pages[i*len(pages)/n]
	}
	return out
}
