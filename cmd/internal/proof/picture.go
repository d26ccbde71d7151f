package proof

import (
	"image"
	"math"

	"foldwright/cmd/internal/render"
	"foldwright/reorder/geom"
)

// canvas relates a picture to the millimetres of what it shows.
type canvas struct {
	size   geom.Size
	pixels image.Point
}

func (c canvas) x(mm float64) float64 { return mm / c.size.W * float64(c.pixels.X) }
func (c canvas) y(mm float64) float64 { return (1 - mm/c.size.H) * float64(c.pixels.Y) }

// rect is the pixels nearest to a rectangle.
func (c canvas) rect(r geom.Rect) image.Rectangle {
	round := func(v float64) int { return int(math.Round(v)) }
	return image.Rect(round(c.x(r.X0)), round(c.y(r.Y1)), round(c.x(r.X1)), round(c.y(r.Y0))).Intersect(image.Rectangle{Max: c.pixels})
}

// mm is the rectangle that pixels cover.
func (c canvas) mm(r image.Rectangle) geom.Rect {
	x, y := c.size.W/float64(c.pixels.X), c.size.H/float64(c.pixels.Y)
	return geom.Rect{
		X0: float64(r.Min.X) * x, X1: float64(r.Max.X) * x,
		Y0: c.size.H - float64(r.Max.Y)*y, Y1: c.size.H - float64(r.Min.Y)*y,
	}
}

// findDark is the smallest rectangle in mm around everything darker than
// threshold within a part of a picture of something of the given size.
func findDark(picture *image.Gray, size geom.Size, part geom.Rect, threshold uint8) (geom.Rect, bool) {
	c := canvas{size, picture.Bounds().Size()}
	dark, found := render.Dark(picture.SubImage(c.rect(part)).(*image.Gray), threshold)
	if !found {
		return geom.Rect{}, false
	}
	return c.mm(dark), true
}

// cropPicture is a part of a picture as a picture of its own.
func cropPicture(g *image.Gray, r image.Rectangle) *image.Gray {
	return g.SubImage(r.Intersect(g.Bounds())).(*image.Gray)
}

// Pixels is how large a picture of paper is.
func Pixels(paper geom.Size, dpi float64) image.Point {
	return image.Pt(max(1, int(paper.W/25.4*dpi+0.5)), max(1, int(paper.H/25.4*dpi+0.5)))
}

// White is an empty picture of paper.
func White(paper geom.Size, dpi float64) *image.Gray { return render.White(Pixels(paper, dpi)) }

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

// likeness is a page at a glance: the greys of a coarse grid over its box as
// it is read. It finds out which page stands where another should; a closer
// look follows.
type likeness [likeColumns * likeRows]uint8

const (
	likeColumns = 24
	likeRows    = 32
)

// likenessOf is that of a box on a picture: m maps the box's frame, as the page is
// read, to what the picture shows.
func likenessOf(picture *image.Gray, c canvas, m geom.Matrix, box geom.Rect) (l likeness) {
	const samples = 4 // across and along each field
	b := picture.Bounds()
	w, h := box.Size().W/(likeColumns*samples), box.Size().H/(likeRows*samples)
	for row := range likeRows {
		for column := range likeColumns {
			sum := 0
			for i := range samples * samples {
				at := m.Apply(geom.Point{
					X: box.X0 + (float64(column*samples+i%samples)+0.5)*w,
					Y: box.Y0 + (float64(row*samples+i/samples)+0.5)*h,
				})
				v := uint8(0xff)
				if p := image.Pt(int(c.x(at.X)), int(c.y(at.Y))); p.In(b) {
					v = picture.GrayAt(p.X, p.Y).Y
				}
				sum += int(v)
			}
			l[row*likeColumns+column] = uint8(sum / (samples * samples))
		}
	}
	return l
}

// distance is how unlike two pages are.
func (l *likeness) distance(o *likeness) int {
	sum := 0
	for i, v := range l {
		d := int(v) - int(o[i])
		sum += max(d, -d)
	}
	return sum
}
