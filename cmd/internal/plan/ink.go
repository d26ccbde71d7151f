package plan

import (
	"context"
	"maps"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/survey"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
)

// LeastInk is in mm, one pixel of a small picture: less is not told from nothing.
const LeastInk = 0.55

// lost is how far a page's ink reaches into the edge that the printer cannot
// reach.
type lost struct {
	page int // of the source
	mm   float64
}

// warnInk names the pages whose ink would fall into the edge that the printer
// cannot reach. Only pages whose box reaches into it are looked at.
func (d *Draft) warnInk(ctx context.Context) error {
	if !d.Options.KeepClear.Given || d.Options.Dummy {
		return nil
	}
	printable := d.Printable(d.Options.KeepClear)
	near := d.nearEdge(printable)
	var found []lost
	err := measureEach(ctx, d, near, "whether ink falls into the edge that the printer cannot reach", func(page int, small survey.Picture) error {
		for _, p := range near[page] {
			if mm, into := d.IntoEdge(small, p, printable); into {
				found = append(found, lost{page, mm})
			}
		}
		return nil
	})
	if len(found) > 0 && err == nil {
		d.sayLost(found, "ink falls into the edge that the printer cannot reach", d.CureEdge(ctx, printable))
		err = ctx.Err()
	}
	return err
}

// measureEach draws the source pages that have an entry, lets measure look at each, and says of
// which pages it could not be told what was to be measured. Its error is that of the context.
func measureEach[T any](ctx context.Context, d *Draft, entries map[int]T, what string, measure func(page int, small survey.Picture) error) error {
	if len(entries) == 0 {
		return nil
	}
	failed := survey.Undrawn{}
	err := d.EachPicture(ctx, slices.Sorted(maps.Keys(entries)), func(page int, small survey.Picture, err error) error {
		if err == nil {
			err = measure(page, small)
		}
		if err != nil {
			failed.Add(page, err)
		}
		return ctx.Err()
	})
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		d.say("%s could not be measured: %v", what, err)
	}
	failed.Each(func(why string) { d.say("%s: %s could not be measured there", why, what) })
	return nil
}

// sayLost names the pages that lose ink, the one that loses most, and what helps, which begins with a colon.
func (d *Draft) sayLost(found []lost, what string, cure phrase.Sentence) {
	if len(found) == 0 {
		return
	}
	slices.SortFunc(found, func(a, b lost) int { return a.page - b.page })
	if last := found[len(found)-1]; d.IsRuled(last.page) { // they are the last pages
		found = slices.DeleteFunc(found, func(l lost) bool { return d.IsRuled(l.page) })
		d.say("the ruling of the blank gatherings: %s", what)
		d.sayLost(found, what, cure)
		return
	}
	worst := found[0]
	var pages []int
	for _, l := range found {
		pages = append(pages, l.page)
		if l.mm > worst.mm {
			worst = l
		}
	}
	d.say("%s: %s, on page %d by %.1f mm%s", reorder.PagesText(slices.Compact(pages)), what, worst.page, worst.mm, cure)
}

// NearEdge is the pages of the source that could have ink outside the printable part of the
// paper, as they are placed in their print files, by source page.
func (d *Draft) NearEdge(printable geom.Rect) map[int][]pdf.Placed {
	near := d.nearEdge(printable)
	maps.DeleteFunc(near, func(source int, _ []pdf.Placed) bool { return d.IsRuled(source) })
	return near
}

// nearEdge is the same with the pages of blank gatherings.
func (d *Draft) nearEdge(printable geom.Rect) map[int][]pdf.Placed {
	near := map[int][]pdf.Placed{}
	for _, run := range d.Runs {
		for _, f := range run.Passes {
			for _, image := range f.Images {
				if d.CopyOf(d.Sheet(run, image.Sheet).Sheet.Number) > 1 {
					continue // what holds of the first copy holds of all
				}
				for _, p := range d.Placed(run, image) {
					if !p.Matrix.Bounds(d.shownPart(p)).IsWithin(printable, 0.01) {
						near[p.Page] = append(near[p.Page], p)
					}
				}
			}
		}
	}
	return near
}

// shownPart is the part of the source page that a placed page shows.
func (d *Draft) shownPart(p pdf.Placed) geom.Rect {
	if p.Box != (geom.Rect{}) {
		return p.Box
	}
	return d.Pages()[p.Page-1].Visible()
}

func (d *Draft) Printable(k options.Edges) geom.Rect {
	return printer.KeepClear{Head: float64(k.Head), Tail: float64(k.Tail), Left: float64(k.Left), Right: float64(k.Right)}.Printable(d.Paper.Size)
}

// IntoEdge is how far a placed page's ink leaves the printable part of the paper.
func (d *Draft) IntoEdge(small survey.Picture, p pdf.Placed, printable geom.Rect) (mm float64, into bool) {
	ink, any := small.Ink(d.shownPart(p))
	b := p.Matrix.Bounds(ink).Common(p.Clip)
	if !any || b.X0 >= b.X1 || b.Y0 >= b.Y1 {
		return 0, false // nothing there, or cut off
	}
	mm = max(printable.X0-b.X0, b.X1-printable.X1, printable.Y0-b.Y0, b.Y1-printable.Y1)
	return mm, mm >= LeastInk
}
