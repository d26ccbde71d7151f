package inspect

import (
	"cmp"
	"context"
	"math"
	"slices"

	"foldwright/cmd/internal/render"
	"foldwright/reorder/geom"
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
// Pictures that stand within the content itself are left aside: they are small by nature.
func (d inspector) inspectPictures(ctx context.Context, doc *render.Document, in *Findings, pages []int) error {
	scale := map[int]float64{}
	for _, s := range d.Printed {
		for _, p := range slices.Concat(s.Front, s.Back) {
			scale[d.SourcePage(p.Page)] = math.Hypot(p.Matrix[0], p.Matrix[1])
		}
	}
	printed := slices.DeleteFunc(slices.Clone(pages), func(page int) bool { return scale[page] == 0 })
	return in.eachPage(ctx, doc, printed, func(page int, drawn geom.Size) error {
		pictures, err := doc.Pictures(ctx, page)
		s := scale[page] * d.Pages()[page-1].Size.W / drawn.W // a page may have units of its own
		for _, p := range pictures {
			in.Printed.Pictures++
			c := Coarse{page, tenth(p.PerMM * 25.4 / s), tenth(p.Box.Size().W * s), tenth(p.Box.Size().H * s)}
			if c.DPI < coarseDPI && min(c.WidthMM, c.HeightMM) >= smallPicture && p.Width*p.Height > 1 {
				in.Printed.Coarse = append(in.Printed.Coarse, c)
			}
		}
		return err
	})
}

func coarsePages(all []Coarse) []int {
	var out []int
	for _, c := range all {
		out = append(out, c.Page)
	}
	return slices.Compact(out)
}

func coarsest(all []Coarse) Coarse {
	return slices.MinFunc(all, func(a, b Coarse) int { return cmp.Compare(a.DPI, b.DPI) })
}
