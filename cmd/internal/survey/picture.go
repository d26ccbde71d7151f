package survey

import (
	"bytes"
	"compress/flate"
	"context"
	"errors"
	"image"
	"io"
	"maps"
	"math"
	"runtime"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/render"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Pages are looked at in small pictures: what matters is whether a line of text
// is lost, not a hairline.
const (
	pictureDPI = 50
	morePixels = 4e6 // than any page is worth when it is only looked at for ink
)

// What counts as ink, of 255. What is printed on a page may be faint, so that
// hardly anything passes for white but the grain of scanned paper; what is lost
// has to be darker than the texture of paper in scans.
const (
	inkThreshold   = 200
	faintThreshold = 235
)

// Picture is a source page drawn small, of which only two things are kept: where
// there is ink, and where there is something fainter.
type Picture struct {
	gray *image.Gray
	size geom.Size // mm, of the page's visible box
}

// Ink is the smallest rectangle around all ink within a part of the page, in the
// frame of its visible box.
func (p Picture) Ink(within geom.Rect) (geom.Rect, bool) { return p.findDark(within, inkThreshold) }

// Faint is [Picture.Ink] with what is fainter than ink.
func (p Picture) Faint(within geom.Rect) (geom.Rect, bool) {
	return p.findDark(within, faintThreshold)
}

// Size is the size in mm of the page's visible box.
func (p Picture) Size() geom.Size { return p.size }

func (p Picture) findDark(within geom.Rect, threshold uint8) (geom.Rect, bool) {
	all := p.gray.Bounds()
	x, y := float64(all.Dx())/p.size.W, float64(all.Dy())/p.size.H
	part := image.Rect(
		int(math.Round(within.X0*x)), all.Max.Y-int(math.Round(within.Y1*y)),
		int(math.Round(within.X1*x)), all.Max.Y-int(math.Round(within.Y0*y)))
	dark, found := render.Dark(p.gray.SubImage(part).(*image.Gray), threshold)
	return geom.Rect{
		X0: float64(dark.Min.X) / x, X1: float64(dark.Max.X) / x,
		Y0: float64(all.Max.Y-dark.Max.Y) / y, Y1: float64(all.Max.Y-dark.Min.Y) / y,
	}, found
}

// Columns tells of each hundredth of the width whether there is ink in it.
func (p Picture) Columns() (columns [100]bool) {
	b := p.gray.Bounds()
	for x := range b.Dx() {
		for y := range b.Dy() {
			if p.gray.Pix[p.gray.PixOffset(b.Min.X+x, b.Min.Y+y)] < inkThreshold {
				columns[x*100/b.Dx()] = true
				break
			}
		}
	}
	return columns
}

// Undrawn are pages that could not be drawn or read, by the reason.
type Undrawn map[string][]int

func (u Undrawn) Add(page int, err error) {
	why := err.Error()
	if drawing, ok := errors.AsType[*render.Error](err); ok {
		why = drawing.Why()
	}
	u[why] = append(u[why], page)
}

// Each hands out the pages of one reason after the other, named with it: page
// 3 could not be drawn in 20 s.
func (u Undrawn) Each(say func(what string)) {
	for _, why := range slices.Sorted(maps.Keys(u)) {
		pages := slices.Compact(slices.Sorted(slices.Values(u[why])))
		say(reorder.PagesText(pages) + " " + why)
	}
}

// small is a picture as it is kept: a page of text takes a few kilobytes.
type small struct {
	bounds image.Rectangle
	packed []byte
	err    error // it could not be drawn
}

// A new packer takes as long as the packing of a page of text.
var packers = sync.Pool{New: func() any {
	w, _ := flate.NewWriter(io.Discard, flate.BestSpeed) // the level is one that there is
	return w
}}

func keep(gray *image.Gray, err error) small {
	if err != nil {
		return small{err: err}
	}
	for i, v := range gray.Pix {
		switch {
		case v < inkThreshold:
			gray.Pix[i] = 0
		case v < faintThreshold:
			gray.Pix[i] = inkThreshold
		default:
			gray.Pix[i] = 255
		}
	}
	w := packers.Get().(*flate.Writer)
	defer packers.Put(w)
	var out bytes.Buffer
	w.Reset(&out)
	_, _ = w.Write(gray.Pix) // into memory
	_ = w.Close()
	return small{gray.Rect, out.Bytes(), nil}
}

func (s small) unpack() *image.Gray {
	gray := image.NewGray(s.bounds)
	_, _ = io.ReadFull(flate.NewReader(bytes.NewReader(s.packed)), gray.Pix) // packed above
	return gray
}

// EachPicture draws source pages, as many at once as there are cores, and
// hands them to see one by one, in no order. No page is drawn twice: what has been drawn
// is kept. A page that cannot be drawn comes with its error; see ends the
// drawing with an error of its own. It may be called from several goroutines at once.
func (v *Survey) EachPicture(ctx context.Context, pages []int, see func(page int, p Picture, err error) error) error {
	source := v.Pages()
	var doc *render.Document
	if slices.ContainsFunc(pages, func(page int) bool { return !v.isDrawn(page) }) {
		var err error
		if doc, err = v.Render(ctx); err != nil {
			return err
		}
		defer doc.Close()
	}
	var seeing sync.Mutex
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for _, page := range pages {
		group.Go(func() error {
			v.mutex.Lock()
			kept, drawn := v.small[page]
			v.mutex.Unlock()
			if !drawn {
				size := source[page-1].Size
				pixels := size.W * size.H / (25.4 * 25.4) * pictureDPI * pictureDPI
				gray, err := doc.Gray(ctx, page, pictureDPI*math.Min(1, math.Sqrt(morePixels/pixels)))
				if ctx.Err() != nil {
					return ctx.Err()
				}
				kept = keep(gray, err)
			}
			v.mutex.Lock()
			v.small[page] = kept
			v.mutex.Unlock()
			seeing.Lock()
			defer seeing.Unlock()
			if kept.err != nil {
				return see(page, Picture{}, kept.err)
			}
			return see(page, Picture{kept.unpack(), source[page-1].Size}, nil)
		})
	}
	return group.Wait()
}

func (s *Source) isDrawn(page int) bool {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	_, drawn := s.small[page]
	return drawn
}
