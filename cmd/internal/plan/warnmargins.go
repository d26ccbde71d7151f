package plan

import (
	"context"
	"slices"

	"foldwright/cmd/internal/survey"
	"foldwright/reorder/phrase"
)

// warnMargins names the pages that were left out when the text was measured and whose print reaches beyond the leaf.
func (d *Draft) warnMargins(ctx context.Context) error {
	if d.Options.Placing().Frame == nil || d.Options.Dummy {
		return nil
	}
	cuts := d.cutPages()
	for source, pages := range cuts {
		pages = slices.DeleteFunc(pages, func(c cutPage) bool {
			return c.matrix.Bounds(d.Shown(c.page).Seen).IsWithin(c.trimmed, LeastInk)
		})
		if cuts[source] = pages; len(pages) == 0 {
			delete(cuts, source)
		}
	}
	var cut []lost
	err := measureEach(ctx, d, cuts, "whether print lies beyond the leaf", func(source int, small survey.Picture) error {
		for _, c := range cuts[source] {
			ink, any := small.Ink(d.Shown(c.page).Seen)
			over := Overhangs(c.matrix.Bounds(ink), c.trimmed)
			if mm := slices.Max(over[:]); any && mm >= LeastInk {
				cut = append(cut, lost{source, mm})
			}
		}
		return nil
	})
	d.sayLost(cut, "print reaches beyond the leaf and is cut off", phrase.New(""))
	return err
}
