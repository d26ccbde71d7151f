package plan

import (
	"context"
	"math"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
)

// A cut by hand wanders: what shall reach the edge of the leaf has to reach
// this far beyond the cut, in mm (common practice, no source).
const bleedLeast = 1.0

// cutPage is a page on a leaf that is trimmed, in the view of its side.
type cutPage struct {
	page    int         // of the book
	matrix  geom.Matrix // from the source page's visible box
	panel   geom.Rect
	trimmed geom.Rect
}

// Overhangs are the lengths by which a rectangle reaches beyond another at its
// left, lower, right and upper edge, in mm; negative where it lies inside.
func Overhangs(r, other geom.Rect) [4]float64 {
	return [4]float64{other.X0 - r.X0, other.Y0 - r.Y0, r.X1 - other.X1, r.Y1 - other.Y1}
}

// warnTrim names pages that lose print to the knife, and pages whose print
// ends at the cut, where a white rim would show.
func (d *Draft) warnTrim(ctx context.Context) error {
	if d.Trim == (reorder.Trim{}) || d.Options.Blank > 0 && d.Options.Ruling == options.RulingPlain { // nothing stands on its pages
		return nil
	}
	cuts := d.cutPages()
	text := &textFinder{source: d.Source}
	defer text.close()
	var cut []lost
	var rims []int
	err := measureEach(ctx, d, cuts, "whether print is cut off", func(source int, small survey.Picture) error {
		for _, c := range cuts[source] {
			mm, rim, err := d.lookAtCut(ctx, text, small, c)
			if err != nil {
				return err
			}
			if mm >= LeastInk {
				cut = append(cut, lost{source, mm})
			}
			if rim {
				rims = append(rims, source)
			}
		}
		return nil
	})
	d.sayLost(cut, "print would be cut off in trimming", phrase.New(""))
	if len(rims) > 0 {
		slices.Sort(rims)
		d.say("%s: print runs to the edge of the page and ends less than %g mm beyond the cut: a white rim may show", reorder.PagesText(slices.Compact(rims)), bleedLeast)
	}
	return err
}

// cutPages is every printed page of the source with the cuts around it, by source page.
func (d *Draft) cutPages() map[int][]cutPage {
	all := map[int][]cutPage{}
	for _, s := range d.Printed {
		for _, p := range slices.Concat(s.Front, s.Back) {
			shown := d.Shown(p.Page)
			if d.IsRuled(shown.Page) {
				continue // which is made to fit
			}
			m := geom.Translate(-shown.Box.X0, -shown.Box.Y0).Then(p.Matrix)
			all[shown.Page] = append(all[shown.Page], cutPage{p.Page, m, p.Clip, p.Trimmed})
		}
	}
	return all
}

// lookAtCut measures how much print of a page is cut off, and whether print
// that runs to the page's edge ends too near to the cut. Print that runs to
// the edge is meant to be cut, but text is not.
func (d *Draft) lookAtCut(ctx context.Context, text *textFinder, small survey.Picture, c cutPage) (mm float64, rim bool, err error) {
	shown := d.Shown(c.page)
	ink, any := small.Ink(shown.Box)
	if !any {
		return 0, false, nil
	}
	edges := shown.Box
	if d.Options.Box == options.BoxContent { // whose edges are where print ends, not where the page does
		edges = d.Pages()[shown.Page-1].Visible()
	}
	box := c.matrix.Bounds(edges)
	printed := c.matrix.Bounds(ink)
	reach := Overhangs(c.matrix.Bounds(shown.Seen).Common(c.panel), c.trimmed)
	short := Overhangs(printed, box) // of the page's edge, so not above 0
	over := Overhangs(printed.Common(c.panel), c.trimmed)
	cuts := Overhangs(c.panel, c.trimmed) // the spine has none
	bleeds := false
	for i := range cuts {
		switch {
		case cuts[i] <= 0:
		case short[i] > -LeastInk:
			bleeds = true
			rim = rim || reach[i] < math.Min(bleedLeast, cuts[i])
		default:
			mm = math.Max(mm, over[i])
		}
	}
	if !bleeds {
		return mm, rim, nil
	}
	words, any, err := text.bounds(ctx, shown)
	if err != nil || !any {
		return mm, rim, err
	}
	over = Overhangs(c.matrix.Bounds(words).Common(c.panel), c.trimmed)
	for i := range cuts {
		if cuts[i] > 0 {
			mm = math.Max(mm, over[i])
		}
	}
	return mm, rim, nil
}

// textFinder finds where text stands; the source is opened for it when it is first asked.
type textFinder struct {
	source *survey.Source
	doc    *render.Document
}

func (f *textFinder) close() {
	if f.doc != nil {
		_ = f.doc.Close() // it was only read
	}
}

// bounds is the smallest rectangle around the text within a page's box.
func (f *textFinder) bounds(ctx context.Context, s survey.Shown) (_ geom.Rect, found bool, err error) {
	if f.doc == nil {
		if f.doc, err = f.source.Render(ctx); err != nil {
			return geom.Rect{}, false, err
		}
	}
	glyphs, err := f.doc.Text(ctx, s.Page)
	out := geom.Rect{X0: math.Inf(1), Y0: math.Inf(1), X1: math.Inf(-1), Y1: math.Inf(-1)}
	for _, g := range glyphs {
		b := g.Box.Common(s.Box)
		if b.X0 < b.X1 && b.Y0 < b.Y1 {
			found = true
			out = geom.Rect{X0: math.Min(out.X0, b.X0), Y0: math.Min(out.Y0, b.Y0), X1: math.Max(out.X1, b.X1), Y1: math.Max(out.Y1, b.Y1)}
		}
	}
	return out, found, err
}
