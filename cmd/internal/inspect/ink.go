package inspect

import (
	"context"
	"math"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

const (
	// usualEdge is what office printers cannot reach, in mm: 1/6 in (common practice, no source).
	usualEdge = 4.2
	foldClear = 10 // mm
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

// onPanel is a page of the book on its side of a sheet, before the printer's
// correction.
type onPanel struct {
	place  int
	shown  survey.Shown
	matrix geom.Matrix // from the source page's visible box
	panel  reorder.Panel
}

// inspectInk draws every page once, small, and measures where its ink lies.
func (d inspector) inspectInk(ctx context.Context, in *Findings, progress Progress) error {
	keep := d.Options.KeepClear
	if !keep.Given {
		keep = options.Edges{Given: true, Head: usualEdge, Tail: usualEdge, Left: usualEdge, Right: usualEdge}
		in.Printed.Assumed = true
	}
	in.Printed.KeepMM = [4]float64{float64(keep.Head), float64(keep.Tail), float64(keep.Left), float64(keep.Right)}
	printable := d.Printable(keep)
	inFiles := d.NearEdge(printable)
	panels := d.panels()
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
				in.Printed.Edge = append(in.Printed.Edge, PageLength{page, tenth(mm)})
			}
		}
		for _, p := range panels[page] {
			if mm, ok := p.distanceToFold(small); ok && mm < foldClear-plan.LeastInk {
				in.Printed.Fold = append(in.Printed.Fold, PageLength{page, tenth(math.Max(0, mm))})
			}
			if ink, ok := small.Ink(p.shown.Box); ok {
				seen.sides = append(seen.sides, bySide{p.place, ink.X0 - p.shown.Box.X0, p.shown.Box.X1 - ink.X1})
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

// panels is where the printed pages stand, by source page.
func (d inspector) panels() map[int][]onPanel {
	first := map[int]int{} // place in the book before each gathering
	next := 0
	for _, g := range d.Book.Gatherings {
		first[g.Number] = next
		next += len(g.Pages)
	}
	out := map[int][]onPanel{}
	for _, s := range d.Printed {
		for _, side := range []reorder.Side{reorder.Front, reorder.Back} {
			placed := map[int]reorder.Placed{}
			for _, p := range s.Side(side) {
				placed[p.Page] = p
			}
			for _, panel := range s.Sheet.Side(side) {
				p, ok := placed[panel.Page]
				if !ok || panel.Page == 0 {
					continue
				}
				shown := d.Shown(panel.Page)
				out[shown.Page] = append(out[shown.Page], onPanel{
					first[s.Sheet.Gathering] + panel.Place, shown,
					geom.Translate(-shown.Box.X0, -shown.Box.Y0).Then(p.Matrix), panel,
				})
			}
		}
	}
	return out
}

// distanceToFold is how near to the fold that is sewn through the page's ink comes.
func (p onPanel) distanceToFold(small survey.Picture) (float64, bool) {
	ink, any := small.Ink(p.shown.Seen)
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
