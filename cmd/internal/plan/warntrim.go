package plan

import (
	"context"
	"maps"
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
	pages := d.Panels()
	text := &textFinder{source: d.Source}
	defer text.close()
	var cut []lost
	var rims []int
	err := measureEach(ctx, d, pages, "whether print is cut off", func(source int, small survey.Picture) error {
		for _, p := range pages[source] {
			mm, rim, err := d.lookAtCut(ctx, text, small, p)
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

// warnMargins names the pages that were left out when the text was measured and whose print reaches beyond the leaf.
func (d *Draft) warnMargins(ctx context.Context) error {
	if d.Options.Placing().Frame == nil || d.Options.Dummy {
		return nil
	}
	pages := d.Panels()
	for source, on := range pages {
		pages[source] = slices.DeleteFunc(on, func(p OnPanel) bool {
			return p.matrix.Bounds(p.Shown.Seen).IsWithin(p.trimmed, LeastInk)
		})
	}
	maps.DeleteFunc(pages, func(_ int, on []OnPanel) bool { return len(on) == 0 })
	var cut []lost
	err := measureEach(ctx, d, pages, "whether print lies beyond the leaf", func(source int, small survey.Picture) error {
		for _, p := range pages[source] {
			ink, any := small.Ink(p.Shown.Seen)
			over := Overhangs(p.matrix.Bounds(ink), p.trimmed)
			if mm := slices.Max(over[:]); any && mm >= LeastInk {
				cut = append(cut, lost{source, mm})
			}
		}
		return nil
	})
	d.sayLost(cut, "print reaches beyond the leaf and is cut off", phrase.New(""))
	return err
}

// lookAtCut measures how much print of a page is cut off, and whether print
// that runs to the page's edge ends too near to the cut. Print that runs to
// the edge is meant to be cut, but text is not.
func (d *Draft) lookAtCut(ctx context.Context, text *textFinder, small survey.Picture, p OnPanel) (mm float64, rim bool, err error) {
	shown := p.Shown
	ink, any := small.Ink(shown.Box)
	if !any {
		return 0, false, nil
	}
	edges := shown.Box
	if d.Options.Box == options.BoxContent { // whose edges are where print ends, not where the page does
		edges = d.Pages()[shown.Page-1].Visible()
	}
	box := p.matrix.Bounds(edges)
	printed := p.matrix.Bounds(ink)
	reach := Overhangs(p.matrix.Bounds(shown.Seen).Common(p.panel.Rect), p.trimmed)
	short := Overhangs(printed, box) // of the page's edge, so not above 0
	over := Overhangs(printed.Common(p.panel.Rect), p.trimmed)
	cuts := Overhangs(p.panel.Rect, p.trimmed) // the spine has none
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
	over = Overhangs(p.matrix.Bounds(words).Common(p.panel.Rect), p.trimmed)
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
