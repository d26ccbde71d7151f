// Package survey looks at a source before its pages are arranged.
//
// [Open] reads the structure of a PDF; [Look] decides what each page of the book
// shows of it ([Shown]): a page, half a spread, a box. Only what has to be drawn is
// drawn, and no page twice: [Survey.EachPicture] keeps its small pictures, and
// tells of ink what planning and inspecting ask.
package survey

import (
	"context"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/reorder"
	"foldwright/reorder/lists"
)

// Survey is what is known of a source before its pages are arranged: what each
// page of the book shows, which pages are wanted, and where ink is on them.
//
// Pages of the book count the pages of the source, its spreads split; without
// a split the two count alike.
type Survey struct {
	*Source
	Chosen []int    // the wanted pages of the book, in reading order
	Notes  []string // what a person should know of them
	// Begins are the pages of the book that have to be rectos because a part begins there: the first wanted page
	// of each file but the first, and half-titles.
	Begins []int
	Covers []int   // source pages that are taken out for the cover, in reading order
	shown  []Shown // by pages of the book
	ruled  int     // the first of two source pages for blank gatherings, the last of all; 0: there are none
}

// Look surveys a source for a job with the given options. It refuses
// options that don't fit the source; the errors are a [*pdf.Error] of a page that
// cannot be placed, and those of the renderer.
func Look(ctx context.Context, s *Source, o options.Options) (*Survey, error) {
	if o.Blank > 0 {
		return lookBlank(ctx, s, o)
	}
	s = s.Given()
	v := &Survey{Source: s, shown: showPages(s.Pages(), o)}
	var err error
	if v.Chosen, err = v.choosePages(o); err != nil {
		return nil, err
	}
	if err := v.checkPages(o); err != nil {
		return nil, err
	}
	v.findBeginnings()
	v.sayTwice()
	if o.HalfTitles {
		if err := v.addHalfTitles(ctx); err != nil {
			return nil, err
		}
	}
	if o.Box == options.BoxContent {
		if err := v.fitContent(ctx, o); err != nil {
			return nil, err
		}
		if err := v.checkPages(o); err != nil {
			return nil, err
		}
	}
	if len(o.BlankGatherings) > 0 && o.Ruling != options.RulingPlain {
		return v, v.addRuled(ctx, o)
	}
	return v, nil
}

// Shown is what a page of the book shows.
func (v *Survey) Shown(page int) Shown { return v.shown[page-1] }

// SourcePage is the source page of a page of the book, 0 for a blank.
func (v *Survey) SourcePage(page int) int {
	if page == 0 {
		return 0
	}
	return v.shown[page-1].Page
}

// SourcePages is the source pages of pages of the book, each once where the
// halves of a spread follow each other.
func (v *Survey) SourcePages(pages []int) []int {
	return slices.Compact(lists.Map(pages, v.SourcePage))
}

// PagesText names pages of the book as the source counts them.
func (v *Survey) PagesText(pages []int) string { return reorder.PagesText(v.SourcePages(pages)) }

// TypeSize is the size in points, to a tenth, that most letters of the wanted pages have, as far as a
// sample of them tells; 0: it holds no text.
func (v *Survey) TypeSize() float64 {
	const sampled = 12
	count := map[float64]int{}
	for _, page := range PickEvenly(slices.Compact(slices.Sorted(slices.Values(v.SourcePages(v.Chosen)))), sampled) {
		shows, _ := v.Content(page) // what is wrong with a page is said elsewhere
		for pt, n := range shows.Type {
			count[pt] += n
		}
	}
	most, size := 0, 0.0
	for pt, n := range count {
		if n > most || n == most && pt < size {
			most, size = n, pt
		}
	}
	return size
}

// PickEvenly picks at most n of the pages, evenly.
func PickEvenly(pages []int, n int) []int {
	if len(pages) <= n {
		return pages
	}
	out := make([]int, n)
	for i := range out {
		out[i] = pages[i*len(pages)/n]
	}
	return out
}
