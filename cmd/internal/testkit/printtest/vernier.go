package printtest

import (
	"math"

	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// ReadVernier is what a person reads at a vernier who holds the sheet to the light,
// the front towards them: the number of the line of the front that runs on
// best into one of the back, near the place where the triangle points. front and
// back tell where a point of the front's and the back's page has come to lie
// on the paper as it is seen then, in mm. A shift beyond the scale is read off the ticks,
// to half a millimetre. It is false if no triangle shows near the scale.
func ReadVernier(v testsheet.Vernier, paper reorder.Paper, front, back func(geom.Point) geom.Point) (mm float64, ok bool) {
	offset := func(p, from geom.Point) (along, across float64) {
		way := p.Minus(from)
		if v.Edge == geom.Up || v.Edge == geom.Down {
			return way.X, way.Y
		}
		return way.Y, way.X
	}
	for _, behind := range testsheet.Verniers(paper) {
		rough, across := offset(back(behind.Pointer()), front(v.Pointer()))
		if math.Abs(rough) > testsheet.RoughTicks+2 || math.Abs(across) > testsheet.RoughTicks+2 {
			continue
		}
		if math.Abs(rough) > v.Range()+testsheet.Resolution/2 {
			return math.Round(rough*2) / 2, true
		}
		best, reading := math.Inf(1), 0.0
		for f := -v.Lines; f <= v.Lines; f++ {
			if says := float64(f) * testsheet.Resolution; math.Abs(says-rough) > 1 {
				continue
			}
			for b := -behind.Lines; b <= behind.Lines; b++ {
				gap, _ := offset(back(behind.Back(b).Middle()), front(v.Front(f).Middle()))
				if math.Abs(gap) < best {
					best, reading = math.Abs(gap), float64(f)*testsheet.Resolution
				}
			}
		}
		return reading, true
	}
	return 0, false
}
