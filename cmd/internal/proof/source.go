package proof

import (
	"context"
	"errors"
	"math"
	"runtime"
	"sync"

	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
	"foldwright/reorder"
)

// source is the PDF that the job was made from.
type source struct {
	ctx     context.Context // of the proof, for pictures needed to find the text
	path    string
	doc     *pdf.Document
	drawing *render.Document
	pages   []pdf.Page
}

func (s *source) close() error { return errors.Join(s.doc.Close(), s.drawing.Close()) }

// What is printed on a page is measured in small pictures, as it was when the
// job was planned.
const (
	contentDPI  = 50
	contentDark = 235 // of 255: faint print counts, the grain of scanned paper does not
	mostPixels  = 4e6 // no page is worth more
)

// fitContent shrinks the boxes of the pages to what is printed on them and so
// much around it: pages whose boxes have one size, to the millimetre, get one box.
func (s *source) fitContent(text []Shown, margin float64) error {
	type class struct{ w, h float64 }
	of := func(t Shown) class {
		size := t.box.Size()
		return class{math.Round(size.W), math.Round(size.H)}
	}
	var mu sync.Mutex
	ink := map[class]reorder.Rect{}
	group, ctx := errgroup.WithContext(s.ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for _, t := range text {
		group.Go(func() error {
			r, found, err := s.inkIn(ctx, t)
			if err != nil || !found {
				return err
			}
			mu.Lock()
			defer mu.Unlock()
			if old, ok := ink[of(t)]; ok {
				r = boundsOf(old, r)
			}
			ink[of(t)] = r
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		return err
	}
	for i, t := range text {
		if r, ok := ink[of(t)]; ok {
			r = r.Inset(-margin, -margin, -margin, -margin)
			text[i].box = move(r, t.box.X0, t.box.Y0)
		}
	}
	return nil
}

// inkIn is the rectangle around what is printed in the box of a page, from the
// box's lower left corner. A page that cannot be drawn counts as full.
func (s *source) inkIn(ctx context.Context, t Shown) (reorder.Rect, bool, error) {
	size := s.pages[t.Page-1].Size
	pixels := size.W * size.H / (25.4 * 25.4) * contentDPI * contentDPI
	picture, err := s.drawing.Gray(ctx, t.Page, contentDPI*math.Min(1, math.Sqrt(mostPixels/pixels)))
	if ctx.Err() != nil {
		return reorder.Rect{}, false, ctx.Err()
	}
	if err != nil {
		return t.box.Size().Rect(), true, nil
	}
	r, found := findDark(picture, size, t.box, contentDark)
	return move(r, -t.box.X0, -t.box.Y0), found, nil
}

func move(r reorder.Rect, x, y float64) reorder.Rect {
	return reorder.Rect{X0: r.X0 + x, Y0: r.Y0 + y, X1: r.X1 + x, Y1: r.Y1 + y}
}

func boundsOf(a, b reorder.Rect) reorder.Rect {
	return reorder.Rect{X0: min(a.X0, b.X0), Y0: min(a.Y0, b.Y0), X1: max(a.X1, b.X1), Y1: max(a.Y1, b.Y1)}
}

func intersect(a, b reorder.Rect) reorder.Rect {
	return reorder.Rect{X0: max(a.X0, b.X0), Y0: max(a.Y0, b.Y0), X1: min(a.X1, b.X1), Y1: min(a.Y1, b.Y1)}
}
