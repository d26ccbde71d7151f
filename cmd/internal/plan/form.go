package plan

import (
	"foldwright/reorder"
)

// handwork is what the hands do with the printed sheets.
func (d *Draft) handwork() ([]reorder.Motion, error) {
	stacks := d.Book.Stacks
	if g := d.Options.OnlyGathering; g > 0 {
		stacks = [][]int{{len(d.Book.Gatherings[g-1].Sheets)}}
	}
	return d.Book.Form.Handwork(d.Paper.Size, stacks)
}

// warnForm names what is hard to fold by hand.
func (d *Draft) warnForm() {
	form := d.Book.Form
	s := form.Fold.Scheme()
	thick, pieces := 0, 0
	for _, g := range d.Gatherings() {
		thick = max(thick, form.Thicknesses(len(g.Sheets)))
		pieces = max(pieces, form.Pieces(len(g.Sheets)))
	}
	if thick > reorder.WellFolded {
		d.say("%d thicknesses of paper are bent at once at the last fold, more than %d fold badly: take fewer sheets per gathering, or --nest inset", thick, reorder.WellFolded)
	}
	if s.Handy > 0 && pieces > s.Handy {
		what := "sheets"
		if form.Cut > 1 {
			what = "pieces"
		}
		d.say("gatherings of %d %s folded as %s are hard to fold by hand: take %d, see --sheets", pieces, what, form.Fold, s.Handy)
	}
}
