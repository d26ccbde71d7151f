package inspect

import (
	"context"
	"math"
	"slices"

	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder/lists"
)

// bySide is how the ink of one page of the book lies on its box: the margins in mm.
type bySide struct {
	place       int // in the book, from 1
	left, right float64
}

// seenPages is what the small Pictures of all pages tell.
type seenPages struct {
	sides   []bySide
	bleeds  map[int]bool // source pages whose ink runs to all four edges of the page
	columns []columns    // of wide pages
	wide    int
}

// inspectInk draws every page once, small, and measures where its ink lies.
func (d inspector) inspectInk(ctx context.Context, in *Findings, progress Progress) error {
	keep, assumed := d.EdgeToClear()
	in.Printed.Assumed = assumed
	in.Printed.KeepMM = [4]float64{float64(keep.Head), float64(keep.Tail), float64(keep.Left), float64(keep.Right)}
	printable := d.Printable(keep)
	inFiles := d.NearEdge(printable)
	panels := d.Panels()
	seen := seenPages{bleeds: map[int]bool{}}
	pages := d.inspectedPages()
	err := d.EachPicture(ctx, pages, func(page int, small survey.Picture, err error) error {
		progress.Step(1)
		if err != nil {
			in.Printed.Undrawn = append(in.Printed.Undrawn, page)
			in.undrawn.Add(page, err)
			return nil
		}
		for _, p := range inFiles[page] {
			if mm, ok := d.IntoEdge(small, p, printable); ok {
				in.Printed.Edge = append(in.Printed.Edge, PageLength{page, plan.RoundTenth(mm)})
			}
		}
		for _, p := range panels[page] {
			if mm, ok := p.DistanceToFold(small); ok && mm < plan.FoldClear-plan.LeastInk {
				in.Printed.Fold = append(in.Printed.Fold, PageLength{page, plan.RoundTenth(math.Max(0, mm))})
			}
			if ink, ok := small.Ink(p.Shown.Box); ok {
				seen.sides = append(seen.sides, bySide{p.Place, ink.X0 - p.Shown.Box.X0, p.Shown.Box.X1 - ink.X1})
			}
		}
		seen.look(page, small)
		return nil
	})
	if err != nil {
		return err
	}
	slices.Sort(in.Printed.Undrawn)
	in.Printed.Edge.sort()
	in.Printed.Fold.sort()
	in.Printed.Fold = slices.Compact(in.Printed.Fold) // of two copies side by side
	in.Spreads = seen.spreads(len(pages))
	in.Margins = seen.margins(d.Options.Bind)
	in.Cover = len(pages) > 4 && seen.bleeds[pages[0]] && len(seen.bleeds) <= max(2, len(pages)/10)
	return nil
}

// look notes what a page's picture tells about the source as a whole.
func (s *seenPages) look(page int, small survey.Picture) {
	box := small.Size().Rect()
	if ink, ok := small.Ink(box); ok && box.IsWithin(ink, 2) {
		s.bleeds[page] = true
	}
	if small.Size().W > 1.15*small.Size().H {
		s.wide++
		s.columns = append(s.columns, small.Columns())
	}
}

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
			c := Coarse{page, plan.RoundTenth(p.PerMM * 25.4 / s), plan.RoundTenth(p.Size.W * s), plan.RoundTenth(p.Size.H * s)}
			if c.DPI < coarseDPI && min(c.WidthMM, c.HeightMM) >= smallPicture && p.Width*p.Height > 1 {
				in.Printed.Coarse = append(in.Printed.Coarse, c)
			}
		}
	}
}

func coarsePages(all []Coarse) []int {
	return slices.Compact(lists.Map(all, func(c Coarse) int { return c.Page }))
}
