package job

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/enum"
)

// Shown is what of the source becomes one page of the book. All rectangles are
// in the frame of the source page's visible box: mm, origin at its lower left corner.
type Shown struct {
	Page int          // of the source, from 1
	Half Half         // of a spread; zero: of the whole page
	Box  reorder.Rect // what is fitted to the panel
	Seen reorder.Rect // nothing outside is shown; it can be larger than Box
}

// Half is one of the two pages that stand side by side in a spread.
type Half int

const (
	LeftHalf Half = iota + 1
	RightHalf
)

var halfWords = enum.Words{What: "half", List: []string{"left", "right"}}

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

// Box is which box of a source page is placed.
type Box int

const (
	BoxCrop    Box = iota + 1 // the visible box, what a viewer shows
	BoxTrim                   // the finished page, without bleed and printer's marks
	BoxMedia                  // all there is
	BoxContent                // what is printed on the pages, found by drawing them
)

var boxWords = enum.Words{What: "box", List: []string{"crop", "trim", "media", "content"}}

func (b Box) String() string { return boxWords.Of(int(b)) }

func (b Box) MarshalText() ([]byte, error) { return []byte(b.String()), nil }

func (b *Box) UnmarshalText(text []byte) error { return enum.Parse(b, boxWords, string(text)) }

// of is the box of one page. The content box begins with what is visible.
func (b Box) of(p pdf.Page) reorder.Rect {
	switch b {
	case BoxTrim:
		return p.Trim
	case BoxMedia:
		return p.Media
	}
	return p.Visible()
}

// Shown is what a page of the book shows. Pages of the book count the pages of
// the source, its spreads split; without --split they are the same.
func (d *Draft) Shown(page int) Shown { return d.shown[page-1] }

// SourcePage is the source page of a page of the book, 0 for a blank.
func (d *Draft) SourcePage(page int) int {
	if page == 0 {
		return 0
	}
	return d.shown[page-1].Page
}

// sourcePages is the source pages of pages of the book, each once where the
// halves of a spread follow each other.
func (d *Draft) sourcePages(pages []int) []int {
	out := make([]int, len(pages))
	for i, p := range pages {
		out[i] = d.SourcePage(p)
	}
	return slices.Compact(out)
}

// pagesText names pages of the book as the source counts them.
func (d *Draft) pagesText(pages []int) string { return reorder.PagesText(d.sourcePages(pages)) }

// show decides what the pages of the book show, for all pages of the source.
func (d *Draft) show() {
	o := d.Options
	source := d.Source.Pages()
	spread := spreads(source, o)
	for i, p := range source {
		box := o.Box.of(p)
		seen := o.seen(p, box)
		if !spread[i] {
			d.shown = append(d.shown, Shown{p.Number, 0, box, seen})
			continue
		}
		fold := box.X0 + o.SplitAt.of(box.X1-box.X0)
		left, right := box, box
		left.X1, right.X0 = fold, fold
		seenLeft, seenRight := seen, seen
		seenLeft.X1, seenRight.X0 = fold, fold
		halves := []Shown{{p.Number, LeftHalf, left, seenLeft}, {p.Number, RightHalf, right, seenRight}}
		if o.Bind == reorder.BindRight {
			slices.Reverse(halves)
		}
		d.shown = append(d.shown, halves...)
	}
}

// spreads tells which pages are split. The pages of the commonest width are
// spreads, and what is nearly as wide; narrower ones, a cover or a last page,
// are single pages.
func spreads(source []pdf.Page, o Options) []bool {
	out := make([]bool, len(source))
	if o.Split != SplitSpreads {
		return out
	}
	count := map[int]int{}
	most := 0
	for _, p := range source {
		w := int(math.Round(o.Box.of(p).Size().W))
		count[w]++
		if count[w] > count[most] || count[w] == count[most] && w > most {
			most = w
		}
	}
	const nearly = 0.75 // between a single page, a half, and a spread
	for i, p := range source {
		out[i] = o.Box.of(p).Size().W >= nearly*float64(most)
	}
	switch o.SplitFirst {
	case FirstSingle:
		out[0] = false
	case FirstDouble:
		out[0] = true
	}
	return out
}

// chosen is the pages of the book that are wanted, in reading order.
func (d *Draft) chosen() ([]int, error) {
	o := d.Options
	n := len(d.Source.Pages())
	pages, err := o.Pages.Of(n)
	if err != nil {
		return nil, err
	}
	dropped := map[int]bool{}
	if len(o.DropPages) > 0 {
		list, err := o.DropPages.of("--drop-pages", n)
		if err != nil {
			return nil, err
		}
		for _, p := range list {
			dropped[p] = true
		}
	}
	wanted := map[int]bool{}
	for _, p := range pages {
		wanted[p] = !dropped[p]
	}
	var out []int
	for i, s := range d.shown {
		if wanted[s.Page] {
			out = append(out, i+1)
		}
	}
	if len(out) == 0 {
		return nil, &ChoiceError{"--drop-pages leaves no page"}
	}
	return out, nil
}

// sound refuses pages that cannot be placed.
func (d *Draft) sound(pages []int) error {
	source := d.Source.Pages()
	for _, page := range pages {
		s := d.shown[page-1]
		if err := source[s.Page-1].Problem; err != nil {
			return err
		}
		if size := s.Box.Size(); !(size.W > 0.01 && size.H > 0.01) {
			if s.Half != 0 {
				return &UseError{fmt.Sprintf("--split-at %s does not lie on page %d, which is %s", d.Options.SplitAt, s.Page, source[s.Page-1].Size), ""}
			}
			return &pdf.Error{File: d.SourceName, Page: s.Page, Err: pdf.ErrZeroSize}
		}
	}
	return nil
}

// asSource names pages in an error as the source counts them.
func (d *Draft) asSource(err error) error {
	var leaves *reorder.LeavesPanelError
	if errors.As(err, &leaves) {
		leaves.Pages = d.sourcePages(leaves.Pages)
	}
	return err
}
