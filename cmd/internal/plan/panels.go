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
	Place   int // in the book, from 1
	Shown   survey.Shown
	matrix  geom.Matrix // from the source page's visible box
	panel   reorder.Panel
	trimmed geom.Rect // what is left of the panel after trimming
}

// Panels is where the printed pages stand, by source page; those of blank gatherings, which are made to fit, are left out.
func (d *Draft) Panels() map[int][]OnPanel {
	before := d.Book.PlacesBefore()
	out := map[int][]OnPanel{}
	for _, s := range d.Printed {
		for _, side := range []reorder.Side{reorder.Front, reorder.Back} {
			placed := s.Side(side) // in the order of the panels, without those of blanks
			for _, panel := range s.Sheet.Side(side) {
				if panel.Page == 0 {
					continue
				}
				p := placed[0]
				placed = placed[1:]
				shown := d.Shown(panel.Page)
				if d.IsRuled(shown.Page) {
					continue
				}
				out[shown.Page] = append(out[shown.Page], OnPanel{
					before[s.Sheet.Pieces[panel.Piece-1].Gathering] + panel.Place, shown,
					geom.Translate(-shown.Box.X0, -shown.Box.Y0).Then(p.Matrix), panel, p.Trimmed,
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
