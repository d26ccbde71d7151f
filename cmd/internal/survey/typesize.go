package survey

import (
	"context"
	"math"
	"slices"
)

// sampledPages is how many pages are looked at for the size of the type.
const sampledPages = 12

// TypeSize is the size in points, to a tenth, that most letters of the wanted pages have, as far as a
// sample of them tells; 0: it holds no text. Pages that cannot be read are left out of the sample; the error is that of the context.
func (v *Survey) TypeSize(ctx context.Context) (float64, error) {
	if v.typePT > 0 {
		return v.typePT, nil
	}
	doc, err := v.Render(ctx)
	if err != nil {
		return 0, ctx.Err()
	}
	defer doc.Close()
	count := map[float64]int{}
	for _, page := range PickEvenly(slices.Compact(slices.Sorted(slices.Values(v.SourcePages(v.Chosen)))), sampledPages) {
		sizes, err := doc.TypeSizes(ctx, page)
		if err != nil {
			continue
		}
		drawn, err := doc.Size(ctx, page)
		if err != nil {
			continue
		}
		unit := v.Pages()[page-1].Size.W / drawn.W // which the renderer does not know
		for mm, n := range sizes {
			count[math.Round(mm*unit/25.4*72*10)/10] += n
		}
	}
	most := 0
	for pt, n := range count {
		if n > most || n == most && pt < v.typePT {
			most, v.typePT = n, pt
		}
	}
	return v.typePT, ctx.Err()
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
