package plan

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/cmd/internal/options"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// layBetween lays blank gatherings between those of the book, whose pages fill gatherings of the given sizes: each is as
// large as the one before it, and one before the first as the largest. Pages beyond the last gathering stay at the end.
func (d *Draft) layBetween(pages, sizes []int) (allPages, allSizes []int, err error) {
	b := d.Options.BlankGatherings
	if d.Between = nil; len(b) == 0 {
		return pages, sizes, nil
	}
	if b.Last() > len(sizes) {
		return nil, nil, refusal.Plan.New("%s: the book has only %s", phrase.Set("blank-gatherings", b), reorder.Count(len(sizes), "gathering")).
			Advise("%s lays a blank one after the last", phrase.Set("blank-gatherings", "end"))
	}
	for after := range len(sizes) + 1 {
		size := slices.Max(sizes)
		if after > 0 {
			size = sizes[after-1]
			n := min(len(pages), d.Options.Form().PagesOf(size))
			allPages, allSizes, pages = append(allPages, pages[:n]...), append(allSizes, size), pages[n:]
		}
		if !b.Lies(after, len(sizes)) {
			continue
		}
		for i := range d.Options.Form().PagesOf(size) {
			allPages = append(allPages, d.Ruled(i%2 == 0))
		}
		allSizes = append(allSizes, size)
		d.Between = append(d.Between, len(allSizes))
	}
	return append(allPages, pages...), allSizes, nil
}

// IsBetween tells whether a gathering is blank and lies between those of the book.
func (d *Draft) IsBetween(gathering int) bool { return slices.Contains(d.Between, gathering) }

// own are the gatherings that hold the book's pages.
func (d *Draft) own(gatherings []reorder.Gathering) []reorder.Gathering {
	return slices.DeleteFunc(slices.Clone(gatherings), func(g reorder.Gathering) bool { return d.IsBetween(g.Number) })
}

// BetweenText says which of the printed gatherings are blank, how many pages they have, and what is printed on them;
// empty: none are.
func (d *Draft) BetweenText() string {
	var numbers []int
	pages := 0
	for _, g := range d.Gatherings() {
		if d.IsBetween(g.Number) {
			numbers, pages = append(numbers, g.Number), pages+len(g.Pages)
		}
	}
	if len(numbers) == 0 {
		return ""
	}
	name := "gathering"
	if len(numbers) > 1 {
		name = "gatherings"
	}
	where := refusal.List(strings.Split(PageRanges(numbers).String(), ","), "and")
	return fmt.Sprintf("%s in %s %s, %s: no page of the PDF", reorder.Count(pages, "page"), name, where, d.BetweenKind())
}

// BetweenKind is what is printed on blank gatherings.
func (d *Draft) BetweenKind() string {
	if d.Options.Ruling == options.RulingPlain {
		return "plain"
	}
	return "ruled (" + d.Options.Ruling.String() + ")"
}
