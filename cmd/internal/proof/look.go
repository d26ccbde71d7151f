package proof

import (
	"image"
	"math"

	"foldwright/cmd/internal/render"
	"foldwright/reorder"
)

// canvas relates a picture to the millimetres of what it shows.
type canvas struct {
	size   reorder.Size
	pixels image.Point
}

func (c canvas) x(mm float64) float64 { return mm / c.size.W * float64(c.pixels.X) }
func (c canvas) y(mm float64) float64 { return (1 - mm/c.size.H) * float64(c.pixels.Y) }

// rect is the pixels nearest to a rectangle.
func (c canvas) rect(r reorder.Rect) image.Rectangle {
	round := func(v float64) int { return int(math.Round(v)) }
	return image.Rect(round(c.x(r.X0)), round(c.y(r.Y1)), round(c.x(r.X1)), round(c.y(r.Y0))).Intersect(image.Rectangle{Max: c.pixels})
}

// mm is the rectangle that pixels cover.
func (c canvas) mm(r image.Rectangle) reorder.Rect {
	x, y := c.size.W/float64(c.pixels.X), c.size.H/float64(c.pixels.Y)
	return reorder.Rect{
		X0: float64(r.Min.X) * x, X1: float64(r.Max.X) * x,
		Y0: c.size.H - float64(r.Max.Y)*y, Y1: c.size.H - float64(r.Min.Y)*y,
	}
}

// findDark finds the smallest rectangle in mm around everything darker than
// threshold within a part of a picture of something of the given size.
func findDark(picture *image.Gray, size reorder.Size, part reorder.Rect, threshold uint8) (reorder.Rect, bool) {
	c := canvas{size, picture.Bounds().Size()}
	dark, found := render.Dark(picture.SubImage(c.rect(part)).(*image.Gray), threshold)
	if !found {
		return reorder.Rect{}, false
	}
	return c.mm(dark), true
}

// cropPicture gives a part of a picture as a picture of its own.
func cropPicture(g *image.Gray, r image.Rectangle) *image.Gray {
	return g.SubImage(r.Intersect(g.Bounds())).(*image.Gray)
}

// whitePicture is an empty picture.
func whitePicture(size image.Point) *image.Gray {
	g := image.NewGray(image.Rectangle{Max: size})
	for i := range g.Pix {
		g.Pix[i] = 0xff
	}
	return g
}

// Marks that the job itself puts on a sheet stand along the fold, on folds and
// cuts, and where leaves are trimmed.
const (
	markedAtSpine = 3.0 // mm from the fold that is sewn through: marks reach 2.5
	markedBeside  = 6.5 // mm from a spine edge that is not sewn: names stand at 5
	markedAtEdges = 1.0 // mm from other edges of a page: ticks on folds and cuts
	// markGrey is the lightest grey that a mark leaves on a dark page.
	markGrey = 160
)

// overlook makes print like want where it is darker, and where a mark could
// have made it lighter, within r.
func overlook(print, want *image.Gray, r image.Rectangle) {
	r = r.Intersect(print.Bounds())
	for y := r.Min.Y; y < r.Max.Y; y++ {
		p, w := print.Pix[print.PixOffset(r.Min.X, y):], want.Pix[want.PixOffset(r.Min.X, y):]
		for x := range r.Dx() {
			if p[x] < w[x] || p[x] < markGrey {
				p[x] = w[x]
			}
		}
	}
}

// isSameWithin tells of two pictures whether they agree as far as a proof demands.
func isSameWithin(d render.Difference) bool { return d.Mean <= mostMean && d.Worst <= mostWorst }

// What two pictures of the same page may differ by. They are drawn by one
// engine at the same place to the pixel, so what differs is rounding: over 3,000
// pages of manuals on every fold at most 0.02 and 4.1, in the tests 0.07 and 3.7
// (.ci/proof-books, TestNoFalseAlarm). Two pages of one book differ by 0.3 percent at
// least where they are nearly empty and by 3 to 7 where they are full; a word of
// one line makes 12 percent of a block.
const (
	mostMean  = 0.25 // percent
	mostWorst = 8.0  // percent of a block of 8 x 8 pixels
)

// isBlank tells whether a picture holds nothing that could be seen.
func isBlank(g *image.Gray) bool {
	_, found := render.Dark(g, 0xff-8)
	return !found
}
