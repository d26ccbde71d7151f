package proof

import (
	"math"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
)

// Shown is what of the source stands on a page of the book. Its rectangles are
// in mm in the frame of the source page's visible box.
type Shown struct {
	Page int // of the source, from 1; 0 is a blank
	Half survey.Half
	box  reorder.Rect // what is fitted to the leaf
	seen reorder.Rect // beyond it nothing shows
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
	boxes := make([]reorder.Rect, len(s.pages))
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
		if o.Box == options.BoxTrim && isTrimmed(o) {
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
		at := one.box.X0 + splitAt(o.SplitAt, one.box.Size().W)
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

func boxOf(p pdf.Page, b options.Box) reorder.Rect {
	switch b {
	case options.BoxTrim:
		return p.Trim
	case options.BoxMedia:
		return p.Media
	}
	return p.Visible()
}

func isTrimmed(o options.Options) bool { return o.Trim.Given || o.TrimTo != options.Dimensions{} }

func splitAt(s options.SplitAt, width float64) float64 {
	switch {
	case s.Share > 0:
		return s.Share * width
	case s.MM > 0:
		return min(s.MM, width)
	}
	return width / 2
}

// commonWidth is the width that most boxes have, to the millimetre; of equally
// common ones the largest.
func commonWidth(boxes []reorder.Rect) float64 {
	count := map[float64]int{}
	best := 0.0
	for _, b := range boxes {
		count[math.Round(b.Size().W)]++
	}
	for w, n := range count {
		if n > count[best] || n == count[best] && w > best {
			best = w
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
