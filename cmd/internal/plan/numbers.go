package plan

import (
	"context"
	"slices"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// NumberText is a running number as it is set, read at an angle in degrees.
func NumberText(text string, angle float64) pdf.Text {
	return pdf.Text{Text: text, Font: pdf.Helvetica, Size: reorder.NumberSize, Angle: angle, Anchor: pdf.AnchorLeft}
}

// number gives the pages their running numbers, if they were asked for.
func (d *Draft) number() error {
	o := d.Options
	if o.Numbers == 0 {
		return nil
	}
	skip, err := o.NumbersSkip.Choose("numbers-skip", max(o.Blank, len(d.Given().Pages())))
	if err != nil {
		return err
	}
	n := reorder.Numbering{
		At: o.Numbers, From: o.NumbersFrom, Trim: d.Trim, Creep: o.CreepIn(d.Book), Clear: o.KeepClear.Widest(),
		Width: func(text string) float64 { return NumberText(text, 0).Width() },
		Skip: func(page int) bool {
			source := d.SourcePage(page)
			return d.IsHalfTitle(source) || d.IsRuled(source) || slices.Contains(skip, source)
		},
	}
	if d.Numbers, err = n.Numbers(d.Book); err != nil {
		return err
	}
	for _, number := range d.Numbers {
		d.Marks[number.Sheet] = append(d.Marks[number.Sheet], number.Mark)
	}
	if o.NumbersFrom%2 == 0 {
		d.say("the numbers begin with %d, an even one, so that rectos have even numbers; in books they have odd ones", o.NumbersFrom)
	}
	return nil
}

// numberClear is how far print has to keep from a running number, in mm (common practice, no source).
const numberClear = 1.5

// warnNumbers names the pages on whose print a running number would stand.
func (d *Draft) warnNumbers(ctx context.Context) error {
	if len(d.Numbers) == 0 || d.Options.Dummy {
		return nil
	}
	boxes := map[int][]geom.Rect{} // by the page of the book, of which there can be copies on the sheet
	for _, n := range d.Numbers {
		boxes[n.Page] = append(boxes[n.Page], n.Box.Inset(-numberClear, -numberClear, -numberClear, -numberClear))
	}
	pages := d.Panels()
	var struck []int
	err := measureEach(ctx, d, pages, "whether a number stands on print", func(source int, small survey.Picture) error {
		for _, p := range pages[source] {
			for _, box := range boxes[p.panel.Page] {
				within := p.matrix.Inverse().Bounds(box.Common(p.panel.Rect)).Common(p.Shown.Seen)
				if within.X0 >= within.X1 || within.Y0 >= within.Y1 || !box.Centre().Rect().IsWithin(p.panel.Rect, 0) {
					continue
				}
				if _, any := small.Ink(within); any {
					struck = append(struck, source)
				}
			}
		}
		return nil
	})
	if len(struck) > 0 {
		slices.Sort(struck)
		d.say("%s: the running number stands on print, or nearer to it than %g mm", reorder.PagesText(slices.Compact(struck)), numberClear)
	}
	return err
}
