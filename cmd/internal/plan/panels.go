package plan

import (
	"context"
	"math"

	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// OnPanel is a page of the book on its side of a sheet, before the printer's
// correction.
type OnPanel struct {
	Place  int // in the book, from 1
	Shown  survey.Shown
	matrix geom.Matrix // from the source page's visible box
	panel  reorder.Panel
}

// Panels is where the printed pages stand, by source page; those of blank gatherings are left out.
func (d *Draft) Panels() map[int][]OnPanel {
	first := map[int]int{} // place in the book before each gathering
	next := 0
	for _, g := range d.Book.Gatherings {
		first[g.Number] = next
		next += len(g.Pages)
	}
	out := map[int][]OnPanel{}
	for _, s := range d.Printed {
		for _, side := range []reorder.Side{reorder.Front, reorder.Back} {
			placed := map[int]reorder.Placed{}
			for _, p := range s.Side(side) {
				placed[p.Page] = p
			}
			for _, panel := range s.Sheet.Side(side) {
				p, ok := placed[panel.Page]
				if !ok || d.IsRuled(d.SourcePage(panel.Page)) {
					continue
				}
				shown := d.Shown(panel.Page)
				out[shown.Page] = append(out[shown.Page], OnPanel{
					first[s.Sheet.Gathering] + panel.Place, shown,
					geom.Translate(-shown.Box.X0, -shown.Box.Y0).Then(p.Matrix), panel,
				})
			}
		}
	}
	return out
}

// DistanceToFold is how near to the fold that is sewn through the page's ink comes, in mm.
func (p OnPanel) DistanceToFold(small survey.Picture) (float64, bool) {
	ink, any := small.Ink(p.Shown.Seen)
	b := p.matrix.Bounds(ink).Common(p.panel.Rect)
	if !any || b.X0 >= b.X1 || b.Y0 >= b.Y1 {
		return 0, false
	}
	switch r := p.panel.Rect; p.panel.Spine {
	case geom.Left:
		return b.X0 - r.X0, true
	case geom.Right:
		return r.X1 - b.X1, true
	case geom.Down:
		return b.Y0 - r.Y0, true
	default:
		return r.Y1 - b.Y1, true
	}
}

// FoldClear is how far from the fold print is read without breaking the spine, in mm (common practice, no source).
const FoldClear = 10

// nearFold is how near the fold any print comes, in mm, and on which source page; ok is false where there is no print.
func (d *Draft) nearFold(ctx context.Context) (mm float64, page int, ok bool) {
	panels := d.Panels()
	mm = math.Inf(1)
	err := d.EachPicture(ctx, keysOf(panels), func(source int, small survey.Picture, err error) error {
		if err != nil {
			return nil // which is said elsewhere
		}
		for _, p := range panels[source] {
			if at, any := p.DistanceToFold(small); any && (at < mm || at == mm && source < page) {
				mm, page = at, source
			}
		}
		return nil
	})
	return mm, page, err == nil && page > 0
}
