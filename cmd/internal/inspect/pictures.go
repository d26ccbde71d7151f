package inspect

import (
	"math"
	"slices"

	"foldwright/reorder/lists"
)

// Coarse is a picture whose pixels show when it is printed.
type Coarse struct {
	Page     int     `json:"page"`
	DPI      float64 `json:"dpi"` // as printed
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
}

const (
	coarseDPI    = 150  // the figure; common practice, no source
	smallPicture = 10.0 // mm as printed: of ornaments pixels are not seen
)

// inspectPictures finds pictures that are coarse at the scale of their pages.
func (d inspector) inspectPictures(in *Findings, pages []int) {
	scale := map[int]float64{}
	for _, s := range d.Printed {
		for _, p := range slices.Concat(s.Front, s.Back) {
			scale[d.SourcePage(p.Page)] = math.Hypot(p.Matrix[0], p.Matrix[1])
		}
	}
	for _, page := range pages {
		s := scale[page]
		if s == 0 {
			continue // it is not printed
		}
		shows, _ := d.Content(page) // what is wrong with a page is said elsewhere
		for _, p := range shows.Pictures {
			in.Printed.Pictures++
			c := Coarse{page, tenth(p.PerMM * 25.4 / s), tenth(p.Size.W * s), tenth(p.Size.H * s)}
			if c.DPI < coarseDPI && min(c.WidthMM, c.HeightMM) >= smallPicture && p.Width*p.Height > 1 {
				in.Printed.Coarse = append(in.Printed.Coarse, c)
			}
		}
	}
}

func coarsePages(all []Coarse) []int {
	return slices.Compact(lists.Map(all, func(c Coarse) int { return c.Page }))
}
