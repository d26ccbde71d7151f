package proof

import (
	"image"

	"foldwright/reorder"
)

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
func likenessOf(picture *image.Gray, c canvas, m reorder.Matrix, box reorder.Rect) (l likeness) {
	const samples = 4 // across and along each field
	b := picture.Bounds()
	w, h := box.Size().W/(likeColumns*samples), box.Size().H/(likeRows*samples)
	for row := range likeRows {
		for column := range likeColumns {
			sum := 0
			for i := range samples * samples {
				at := m.Apply(reorder.Point{
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
