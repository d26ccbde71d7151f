package job

import (
	"context"
	"runtime"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/render"
	"foldwright/printer"
	"foldwright/reorder"
)

// Ink is looked for in small pictures: what matters is whether a line of text
// is lost, not a hairline.
const (
	inkDPI       = 50
	inkThreshold = 200  // of 255; lighter greys are paper texture in scans
	inkLeast     = 0.55 // mm, one pixel: less is not told from nothing
)

// lost is how far a page's ink reaches into the edge that the printer cannot
// reach.
type lost struct {
	page int
	mm   float64
}

// warnInk names the pages whose ink would fall into the edge that the printer
// cannot reach. Only pages whose box reaches into it are looked at.
func (d *Draft) warnInk(ctx context.Context, path, password string, engine *Engine) error {
	if !d.Options.KeepClear.Given {
		return nil
	}
	places := d.nearEdge()
	if len(places) == 0 {
		return nil
	}
	r, err := engine.Renderer(ctx)
	if err != nil {
		return err
	}
	doc, err := r.Open(ctx, path, password)
	if err != nil {
		d.say("whether ink falls into the edge that the printer cannot reach could not be measured: %v", err)
		return nil
	}
	defer doc.Close()
	found, err := d.measureInk(ctx, doc, places)
	if err != nil {
		return err
	}
	if len(found) == 0 {
		return nil
	}
	worst := found[0]
	var pages []int
	for _, l := range found {
		pages = append(pages, l.page)
		if l.mm > worst.mm {
			worst = l
		}
	}
	slices.Sort(pages)
	d.say("%s: ink falls into the edge that the printer cannot reach, on page %d by %.1f mm", reorder.PagesText(pages), worst.page, worst.mm)
	return nil
}

// onSide is where a page lands in its print file.
type onSide struct {
	page   int
	matrix reorder.Matrix
}

// nearEdge is the pages whose box reaches into the unprintable edge.
func (d *Draft) nearEdge() []onSide {
	printable := d.printable()
	source := d.Source.Pages()
	var near []onSide
	for _, run := range d.Runs {
		for _, f := range run.Files {
			for _, image := range f.Images {
				for _, p := range d.placed(run, image) {
					if !p.Matrix.Bounds(source[p.Page-1].Visible()).Within(printable, 0.01) {
						near = append(near, onSide{p.Page, p.Matrix})
					}
				}
			}
		}
	}
	return near
}

func (d *Draft) printable() reorder.Rect {
	k := d.Options.KeepClear
	return printer.KeepClear{Head: float64(k.Head), Tail: float64(k.Tail), Left: float64(k.Left), Right: float64(k.Right)}.Printable(d.Paper.Size)
}

// measureInk draws the pages, as many at once as there are cores.
func (d *Draft) measureInk(ctx context.Context, doc *render.Document, places []onSide) ([]lost, error) {
	printable := d.printable()
	var mu sync.Mutex
	var found []lost
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for _, p := range places {
		group.Go(func() error {
			ink, any, err := doc.Ink(ctx, p.page, inkDPI, inkThreshold)
			if err != nil || !any {
				return err
			}
			b := p.matrix.Bounds(ink)
			mm := max(printable.X0-b.X0, b.X1-printable.X1, printable.Y0-b.Y0, b.Y1-printable.Y1)
			if mm >= inkLeast {
				mu.Lock()
				found = append(found, lost{p.page, mm})
				mu.Unlock()
			}
			return nil
		})
	}
	err := group.Wait()
	slices.SortFunc(found, func(a, b lost) int { return a.page - b.page })
	return found, err
}
