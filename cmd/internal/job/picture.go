package job

import (
	"context"
	"errors"
	"image"
	"maps"
	"math"
	"runtime"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
	"foldwright/reorder"
)

// picture is a source page drawn small.
type picture struct {
	gray *image.Gray
	size reorder.Size // mm, of the page's visible box
}

// ink is the smallest rectangle around everything darker than threshold within
// a part of the page, in the frame of its visible box.
func (p picture) ink(within reorder.Rect, threshold uint8) (reorder.Rect, bool) {
	all := p.gray.Bounds()
	x, y := float64(all.Dx())/p.size.W, float64(all.Dy())/p.size.H
	part := image.Rect(
		int(math.Round(within.X0*x)), all.Max.Y-int(math.Round(within.Y1*y)),
		int(math.Round(within.X1*x)), all.Max.Y-int(math.Round(within.Y0*y)))
	dark, found := render.Dark(p.gray.SubImage(part).(*image.Gray), threshold)
	return reorder.Rect{
		X0: float64(dark.Min.X) / x, X1: float64(dark.Max.X) / x,
		Y0: float64(all.Max.Y-dark.Max.Y) / y, Y1: float64(all.Max.Y-dark.Min.Y) / y,
	}, found
}

// undrawn are pages that could not be drawn or read, by the reason.
type undrawn map[string][]int

func (u undrawn) add(page int, err error) {
	why := err.Error()
	var drawing *render.Error
	if errors.As(err, &drawing) {
		why = drawing.Why()
	}
	u[why] = append(u[why], page)
}

// each hands out the pages of one reason after the other, named with it: page
// 3 could not be drawn in 20 s.
func (u undrawn) each(say func(what string)) {
	for _, why := range slices.Sorted(maps.Keys(u)) {
		pages := slices.Compact(slices.Sorted(slices.Values(u[why])))
		say(reorder.PagesText(pages) + " " + why)
	}
}

// morePixels is what no page is worth when it is only looked at for ink.
const morePixels = 4e6

// eachPicture draws source pages, as many at once as there are cores, and
// hands them to see one by one, in no order. A page that cannot be drawn comes
// with its error; see ends the drawing with an error of its own.
func eachPicture(ctx context.Context, doc *render.Document, source []pdf.Page, pages []int, dpi float64, see func(page int, p picture, err error) error) error {
	var mu sync.Mutex
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for _, page := range pages {
		group.Go(func() error {
			size := source[page-1].Size
			pixels := size.W * size.H / (25.4 * 25.4) * dpi * dpi
			gray, err := doc.Gray(ctx, page, dpi*math.Min(1, math.Sqrt(morePixels/pixels)))
			if ctx.Err() != nil {
				return ctx.Err()
			}
			mu.Lock()
			defer mu.Unlock()
			return see(page, picture{gray, size}, err)
		})
	}
	return group.Wait()
}
