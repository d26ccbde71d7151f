package proof

import (
	"context"
	"errors"
	"math"
	"runtime"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Shown is what of the source stands on a page of the book. Its rectangles are
// in mm in the frame of the source page's visible box.
type Shown struct {
	Page int // of the source, from 1; 0 is a blank
	Half survey.Half
	box  geom.Rect // what is fitted to the leaf
	seen geom.Rect // beyond it nothing shows
}

// text works out, from the options alone, what should stand at each place of
// the book, from its first to its last page, without the blanks that fill the
// last gathering.
func (s *source) text(o options.Options) ([]Shown, error) {
	all := s.pagesOfBook(o)
	wanted, err := o.Pages.Of(len(s.pages))
	if err != nil {
		return nil, err
	}
	var dropped []int
	if len(o.DropPages) > 0 {
		if dropped, err = o.DropPages.Of(len(s.pages)); err != nil {
			return nil, err
		}
	}
	all = slices.DeleteFunc(all, func(p Shown) bool {
		return !slices.Contains(wanted, p.Page) || slices.Contains(dropped, p.Page)
	})
	if o.Box == options.BoxContent {
		if err := s.fitContent(all, float64(o.Margin)); err != nil {
			return nil, err
		}
	}
	rectos, versos := s.starts(o.Recto), s.starts(o.Verso)
	out := make([]Shown, o.BlanksBefore)
	for i, p := range all {
		first := i == 0 || all[i-1].Page != p.Page // of a split page the half that comes first
		recto := len(out)%2 == 0
		if first && (recto && versos[p.Page] || !recto && rectos[p.Page]) {
			out = append(out, Shown{})
		}
		out = append(out, p)
	}
	return append(out, make([]Shown, o.BlanksAfter)...), nil
}

func (s *source) starts(o options.Starts) map[int]bool {
	pages := o.Pages
	if o.Outline {
		pages = s.doc.OutlinePages()
	}
	out := map[int]bool{}
	for _, p := range pages {
		out[p] = true
	}
	return out
}

// pagesOfBook is every page of the source, spreads as two pages.
func (s *source) pagesOfBook(o options.Options) []Shown {
	boxes := make([]geom.Rect, len(s.pages))
	for i, p := range s.pages {
		boxes[i] = boxOf(p, o.Box)
	}
	wide := math.Inf(1) // from which width on a page is a spread
	if o.Split == options.SplitSpreads {
		wide = 0.75 * commonWidth(boxes)
	}
	var out []Shown
	for i, p := range s.pages {
		one := Shown{Page: p.Number, box: boxes[i], seen: boxes[i]}
		if o.Box == options.BoxTrim && o.Trims() {
			one.seen = p.Bleed
		}
		spread := boxes[i].Size().W >= wide
		if i == 0 && o.Split == options.SplitSpreads && o.SplitFirst != options.FirstByWidth {
			spread = o.SplitFirst == options.FirstDouble
		}
		if !spread {
			out = append(out, one)
			continue
		}
		at := one.box.X0 + o.SplitAt.On(one.box.Size().W)
		left, right := one, one
		left.Half, right.Half = survey.LeftHalf, survey.RightHalf
		left.box.X1, left.seen.X1, right.box.X0, right.seen.X0 = at, at, at, at
		if o.Bind == reorder.BindRight {
			left, right = right, left
		}
		out = append(out, left, right)
	}
	return out
}

func boxOf(p pdf.Page, b options.Box) geom.Rect {
	switch b {
	case options.BoxTrim:
		return p.Trim
	case options.BoxMedia:
		return p.Media
	}
	return p.Visible()
}

// commonWidth is the width that most boxes have, to the millimetre; of equally
// common ones the largest.
func commonWidth(boxes []geom.Rect) float64 {
	var widths []float64
	for _, b := range boxes {
		widths = append(widths, math.Round(b.Size().W))
	}
	slices.Sort(widths)
	slices.Reverse(widths)
	return commonest(widths, func(w float64) float64 { return w })
}

// commonest is the first of those in a list whose key most of them have.
func commonest[T any, K comparable](list []T, key func(T) K) (best T) {
	count, most := map[K]int{}, 0
	for _, v := range list {
		count[key(v)]++
	}
	for _, v := range list {
		if n := count[key(v)]; n > most {
			best, most = v, n
		}
	}
	return best
}

// fill puts blanks around the text until it has so many places. Before it
// stands an even number of them.
func fill(text []Shown, places int, pad reorder.Pad) []Shown {
	blanks := max(0, places-len(text))
	before := 0
	switch pad {
	case reorder.PadBefore:
		before = blanks - blanks%2
	case reorder.PadSplit:
		before = blanks / 2
		before -= before % 2
	}
	out := append(make([]Shown, before), text...)
	return append(out, make([]Shown, blanks-before)...)
}

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
	ink := map[class]geom.Rect{}
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
				r = old.Around(r)
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
			text[i].box = r.Moved(t.box.X0, t.box.Y0)
		}
	}
	return nil
}

// inkIn is the rectangle around what is printed in the box of a page, from the
// box's lower left corner. A page that cannot be drawn counts as full.
func (s *source) inkIn(ctx context.Context, t Shown) (geom.Rect, bool, error) {
	size := s.pages[t.Page-1].Size
	pixels := size.W * size.H / (25.4 * 25.4) * contentDPI * contentDPI
	picture, err := s.drawing.Gray(ctx, t.Page, contentDPI*math.Min(1, math.Sqrt(mostPixels/pixels)))
	if ctx.Err() != nil {
		return geom.Rect{}, false, ctx.Err()
	}
	if err != nil {
		return t.box.Size().Rect(), true, nil
	}
	r, found := findDark(picture, size, t.box, contentDark)
	return r.Moved(-t.box.X0, -t.box.Y0), found, nil
}
