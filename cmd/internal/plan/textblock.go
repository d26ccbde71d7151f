package plan

import (
	"errors"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// textBlock is the pages of the book with the blanks that were asked for
// before and after them, and before those that shall be rectos or versos.
func (d *Draft) textBlock() ([]int, error) {
	o, pages := d.Options, d.Chosen
	if o.Plates.IsGiven() {
		return o.Plates.Arrange(pages), nil
	}
	rectos, err := d.startPages("recto", o.Recto, pages)
	if err != nil {
		return nil, err
	}
	versos, err := d.startPages("verso", o.Verso, pages)
	if err != nil {
		return nil, err
	}
	if len(d.Covers) > 0 && !slices.Contains(rectos, pages[0]) {
		rectos = slices.Insert(rectos, 0, pages[0]) // without its cover, the text begins on a recto
	}
	for _, p := range rectos {
		if slices.Contains(versos, p) {
			return nil, refusal.Plan.New("page %d cannot be both a recto and a verso", d.SourcePage(p))
		}
	}
	rectos = append(rectos, d.Begins...)
	for _, p := range d.Begins {
		if slices.Contains(versos, p) {
			return nil, refusal.Plan.New("page %d cannot be a verso: a part of the book begins there", d.SourcePage(p))
		}
	}
	text := append(make([]int, o.BlanksBefore), pages...)
	text = reorder.PutOnSides(text, rectos, versos)
	return append(text, make([]int, o.BlanksAfter)...), nil
}

// startPages is the pages of the book that are named as a recto or a verso. Of
// the pages to which an outline leads those left out of the book do not count.
func (d *Draft) startPages(key string, s options.Starts, pages []int) ([]int, error) {
	wanted := s.Pages
	if s.Outline {
		wanted = d.OutlinePages()
		if len(wanted) == 0 {
			return nil, refusal.Plan.New("%s: the source has no outline that leads to its pages", phrase.Set(key, s))
		}
	}
	var out []int
	for _, source := range wanted {
		i := slices.IndexFunc(pages, func(p int) bool { return d.SourcePage(p) == source })
		switch {
		case i >= 0:
			out = append(out, pages[i])
		case !s.Outline:
			return nil, refusal.Plan.New("%s: that page is not in the book", phrase.Set(key, source))
		}
	}
	return out, nil
}

// padding is the blanks that fill gatherings of the given sizes.
func padding(places int, form reorder.Form, sizes []int) int {
	return max(0, form.PagesOf(sum(sizes))-places)
}

// volumes shares the gatherings out among covers.
func (d *Draft) volumes(sizes []int) ([]reorder.Volume, error) {
	n := max(1, d.Options.Volumes)
	if n > len(sizes) {
		return nil, refusal.Plan.New("%s: the book has only %s", phrase.Set("volumes", n), reorder.Count(len(sizes), "gathering"))
	}
	out := reorder.Volumes(sizes, n)
	d.countSheets(out)
	for i, v := range out {
		for _, g := range d.Book.Gatherings[v.First-1 : v.Last()] {
			for _, page := range g.Pages {
				if out[i].FirstPage == 0 && !d.IsRuled(d.SourcePage(page)) {
					out[i].FirstPage = d.SourcePage(page)
				}
			}
		}
	}
	return out, nil
}

// nameAsSource names pages that leave their panels as the source counts them, and says
// what would make them fit.
func (d *Draft) nameAsSource(err error) error {
	var leaves *reorder.LeavesPanelError
	if errors.As(err, &leaves) {
		leaves.Pages = d.SourcePages(leaves.Pages)
		// Rounded down, so that what is proposed fits; the twentieth of a
		// percent is below what is noticed.
		return refusal.Plan.New("%w", leaves).
			Advise("%s fits all pages, %s finds the scale itself, %s cuts off what is too large",
				phrase.Set("scale", int(leaves.Fits*100+0.05), "%"), phrase.Set("scale", "fit"), phrase.Set("cut-overhang"))
	}
	return err
}
