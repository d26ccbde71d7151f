package survey

import (
	"math"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/enum"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Shown is what of the source becomes one page of the book. All rectangles are
// in the frame of the source page's visible box: mm, origin at its lower left corner.
type Shown struct {
	Page int       // of the source, from 1
	Half Half      // of a spread; zero: of the whole page
	Box  geom.Rect // what is fitted to the panel
	Seen geom.Rect // nothing outside is shown; it can be larger than Box
}

// Half is one of the two pages that stand side by side in a spread.
type Half int

const (
	LeftHalf Half = iota + 1
	RightHalf
)

var halfWords = enum.New("half", "left", "right")

func (h Half) String() string { return halfWords.Of(int(h)) }

// MarshalText writes nothing for a whole page.
func (h Half) MarshalText() ([]byte, error) {
	if h == 0 {
		return nil, nil
	}
	return []byte(h.String()), nil
}

func (h *Half) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*h = 0
		return nil
	}
	return enum.Parse(h, halfWords, string(text))
}

// boxOf is a box of one page. The content box begins with what is visible.
func boxOf(p pdf.Page, b options.Box) geom.Rect {
	switch b {
	case options.BoxTrim:
		return p.Trim
	case options.BoxMedia:
		return p.Media
	}
	return p.Visible()
}

// showPages decides what the pages of the book show, for all pages of a source.
func showPages(source []pdf.Page, o options.Options) []Shown {
	var out []Shown
	spread := findSpreads(source, o)
	for i, p := range source {
		box := boxOf(p, o.Box)
		seen := seenOf(p, o, box)
		if !spread[i] {
			out = append(out, Shown{p.Number, 0, box, seen})
			continue
		}
		fold := box.X0 + o.SplitAt.On(box.X1-box.X0)
		left, right := box, box
		left.X1, right.X0 = fold, fold
		seenLeft, seenRight := seen, seen
		seenLeft.X1, seenRight.X0 = fold, fold
		halves := []Shown{{p.Number, LeftHalf, left, seenLeft}, {p.Number, RightHalf, right, seenRight}}
		if o.Bind == reorder.BindRight {
			slices.Reverse(halves)
		}
		out = append(out, halves...)
	}
	return out
}

// findSpreads tells which pages are split. The pages of the commonest width are
// spreads, and what is nearly as wide; narrower ones, a cover or a last page,
// are single pages.
func findSpreads(source []pdf.Page, o options.Options) []bool {
	out := make([]bool, len(source))
	if o.Split != options.SplitSpreads {
		return out
	}
	count := map[int]int{}
	most := 0
	for _, p := range source {
		w := int(math.Round(boxOf(p, o.Box).Size().W))
		count[w]++
		if count[w] > count[most] || count[w] == count[most] && w > most {
			most = w
		}
	}
	const nearly = 0.75 // between a single page, a half, and a spread
	for i, p := range source {
		out[i] = boxOf(p, o.Box).Size().W >= nearly*float64(most)
	}
	switch o.SplitFirst {
	case options.FirstSingle:
		out[0] = false
	case options.FirstDouble:
		out[0] = true
	}
	return out
}

// choosePages is the pages of the book that are wanted, in reading order.
func (v *Survey) choosePages(o options.Options) ([]int, error) {
	n := len(v.Pages()) // nothing has been made yet
	pages, err := o.Pages.Of(n)
	if err != nil {
		return nil, err
	}
	if v.Covers, err = coverPages(n, o.TakeCovers); err != nil {
		return nil, err
	}
	dropped := v.Covers
	if len(o.DropPages) > 0 {
		list, err := o.DropPages.Choose("drop-pages", n)
		if err != nil {
			return nil, err
		}
		dropped = slices.Concat(dropped, list)
	}
	wanted := map[int]bool{}
	for _, p := range pages {
		wanted[p] = true
	}
	for _, p := range dropped {
		delete(wanted, p)
	}
	var out []int
	for i, s := range v.shown {
		if wanted[s.Page] {
			out = append(out, i+1)
		}
	}
	if len(out) == 0 {
		if len(o.DropPages) == 0 {
			return nil, refusal.Plan.New("%s leaves no pages", phrase.Set("take-covers", o.TakeCovers))
		}
		return nil, refusal.Plan.New("%s leaves no pages", phrase.Set("drop-pages"))
	}
	return out, nil
}

// coverPages is so many pages of a source of n, half of them from its beginning and half from its end.
func coverPages(n, taken int) (out []int, err error) {
	if taken > 0 && n <= taken {
		return nil, refusal.Plan.New("%s leaves no pages: the source has %s", phrase.Set("take-covers", taken), reorder.Count(n, "page"))
	}
	for i := range taken {
		page := i + 1
		if i >= taken/2 {
			page = n - taken + i + 1
		}
		out = append(out, page)
	}
	return out, nil
}

// checkPages refuses wanted pages that cannot be placed.
func (v *Survey) checkPages(o options.Options) error {
	source := v.Pages()
	for _, page := range v.Chosen {
		s := v.shown[page-1]
		if err := source[s.Page-1].Problem; err != nil {
			return err
		}
		if size := s.Box.Size(); !(size.W > 0.01 && size.H > 0.01) {
			if s.Half != 0 {
				return refusal.Use.New("%s does not lie on page %d, which is %s", phrase.Set("split-at", o.SplitAt), s.Page, source[s.Page-1].Size)
			}
			return &pdf.Error{File: v.Name, Page: s.Page, Err: pdf.ErrZeroSize}
		}
	}
	return nil
}

// seenOf is what shows of a page whose box is placed: where leaves are trimmed,
// the finished page shows with its bleed.
func seenOf(p pdf.Page, o options.Options, box geom.Rect) geom.Rect {
	if o.IsTrimmed() && o.Box == options.BoxTrim {
		return p.Bleed
	}
	return box
}
