package plan

import (
	"context"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/survey"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
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
	near := d.NearEdge(printable)
	if len(near) == 0 {
		return nil
	}
	found, err := d.measureInk(ctx, near, printable)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		d.say("whether ink falls into the edge that the printer cannot reach could not be measured: %v", err)
	}
	d.sayLost(found, "ink falls into the edge that the printer cannot reach")
	return nil
}

// sayLost names the pages that lose ink, and the one that loses most.
func (d *Draft) sayLost(found []lost, what string) {
	if len(found) == 0 {
		return
	}
	slices.SortFunc(found, func(a, b lost) int { return a.page - b.page })
	worst := found[0]
	var pages []int
	for _, l := range found {
		pages = append(pages, l.page)
		if l.mm > worst.mm {
			worst = l
		}
	}
	d.say("%s: %s, on page %d by %.1f mm", reorder.PagesText(slices.Compact(pages)), what, worst.page, worst.mm)
}

// NearEdge is the pages that could have ink outside the printable part of the
// paper, as they are placed in their print files.
func (d *Draft) NearEdge(printable geom.Rect) []pdf.Placed {
	var near []pdf.Placed
	for _, run := range d.Runs {
		for _, f := range run.Passes {
			for _, image := range f.Images {
				for _, p := range d.Placed(run, image) {
					if !p.Matrix.Bounds(d.seen(p)).IsWithin(printable, 0.01) {
						near = append(near, p)
					}
				}
			}
		}
	}
	return near
}

// seen is the part of the source page that a placed page shows.
func (d *Draft) seen(p pdf.Placed) geom.Rect {
	if p.Box != (geom.Rect{}) {
		return p.Box
	}
	return d.Pages()[p.Page-1].Visible()
}

func (d *Draft) Printable(k options.Edges) geom.Rect {
	return printer.KeepClear{Head: float64(k.Head), Tail: float64(k.Tail), Left: float64(k.Left), Right: float64(k.Right)}.Printable(d.Paper.Size)
}

// measureInk draws the pages and tells, in the order of the source, whose ink leaves the
// printable part of the paper.
func (d *Draft) measureInk(ctx context.Context, places []pdf.Placed, printable geom.Rect) ([]lost, error) {
	onPage := map[int][]pdf.Placed{}
	var pages []int
	for _, p := range places {
		if onPage[p.Page] == nil {
			pages = append(pages, p.Page)
		}
		onPage[p.Page] = append(onPage[p.Page], p)
	}
	var found []lost
	failed := survey.Undrawn{}
	err := d.EachPicture(ctx, pages, func(page int, small survey.Picture, err error) error {
		if err != nil {
			failed.Add(page, err)
			return nil
		}
		for _, p := range onPage[page] {
			if mm, into := d.IntoEdge(small, p, printable); into {
				found = append(found, lost{page, mm})
			}
		}
		return nil
	})
	if err == nil {
		failed.Each(func(what string) {
			d.say("%s: whether ink falls into the edge that the printer cannot reach could not be measured there", what)
		})
	}
	slices.SortFunc(found, func(a, b lost) int { return a.page - b.page })
	return found, err
}

// IntoEdge is how far a placed page's ink leaves the printable part of the paper.
func (d *Draft) IntoEdge(small survey.Picture, p pdf.Placed, printable geom.Rect) (mm float64, into bool) {
	ink, any := small.Ink(d.seen(p))
	b := p.Matrix.Bounds(ink).Common(p.Clip)
	if !any || b.X0 >= b.X1 || b.Y0 >= b.Y1 {
		return 0, false // nothing there, or cut off
	}
	mm = max(printable.X0-b.X0, b.X1-printable.X1, printable.Y0-b.Y0, b.Y1-printable.Y1)
	return mm, mm >= LeastInk
}
