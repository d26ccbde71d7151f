package survey

import (
	"context"
	"fmt"
	"math"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Rules are thin and grey, so that they don't shine through: widths in mm, greys from 0, black, to 1 (common practice, no source).
const (
	ruleWidth = 0.15
	ruleGrey  = 0.6
	dotRadius = 0.22
	dotGrey   = 0.5
)

// lookBlank is the survey of a book without a source: its pages are made, each as large as the trimmed leaf.
func lookBlank(ctx context.Context, s *Source, o options.Options) (*Survey, error) {
	v := &Survey{Source: s.Nothing()}
	sides, err := ruledPages(o)
	if err != nil {
		return nil, err
	}
	pages := make([]pdf.MadePage, o.Blank)
	for i := range pages {
		pages[i] = sides[(i+o.BlanksBefore)%2]
		v.shown = append(v.shown, Shown{Page: i + 1, Box: pages[i].Size.Rect(), Seen: pages[i].Size.Rect()})
		v.Chosen = append(v.Chosen, i+1)
	}
	return v, v.extend(ctx, fmt.Sprintf("%d blank pages", o.Blank), pages)
}

// ruledPages are a recto and a verso that are ruled, each as large as the trimmed leaf.
func ruledPages(o options.Options) (sides [2]pdf.MadePage, err error) {
	paper, err := reorder.ParsePaper(o.Paper)
	if err != nil {
		return sides, err
	}
	leaf, trim, err := o.LeafOf(paper.Size)
	if err != nil {
		return sides, err
	}
	size := trim.Of(leaf, o.Bind)
	if !(size.W > 0.01 && size.H > 0.01) {
		return sides, refusal.Plan.New("nothing is left of a leaf of %s when it is trimmed", leaf)
	}
	for i := range sides {
		ruled := marginsOf(size, spineOf(o.Bind, i == 0), o.RulingMargins())
		if o.Ruling != options.RulingPlain && (ruled.Size().W < float64(o.Spacing) || ruled.Size().H < float64(o.Spacing)) {
			return sides, refusal.Plan.New("%s: between these margins nothing is left of a page of %s", phrase.Set("margins", o.RulingMargins()), size)
		}
		sides[i].Size = size
		rule(&sides[i].Drawing, o, ruled, spineOf(o.Bind, i == 0))
	}
	return sides, nil
}

// addRuled makes a recto and a verso for the blank gatherings of a book; they are not among the chosen pages, and all
// blank gatherings show them.
func (v *Survey) addRuled(ctx context.Context, o options.Options) error {
	sides, err := ruledPages(o)
	if err != nil {
		return err
	}
	v.ruled = len(v.Pages()) + 1
	for i, p := range sides {
		v.shown = append(v.shown, Shown{Page: v.ruled + i, Box: p.Size.Rect(), Seen: p.Size.Rect()})
	}
	return v.extend(ctx, "ruled pages", sides[:])
}

// Ruled is the page of the book that stands on the rectos of blank gatherings, or on their versos; 0: nothing does.
func (v *Survey) Ruled(recto bool) int {
	switch {
	case v.ruled == 0:
		return 0
	case recto:
		return len(v.shown) - 1
	}
	return len(v.shown)
}

// IsRuled tells whether a page of the source is one of those that blank gatherings show.
func (v *Survey) IsRuled(source int) bool { return v.ruled > 0 && source >= v.ruled }

// IsBlankBook tells whether the book has no source.
func (v *Survey) IsBlankBook() bool { return len(v.Given().Pages()) == 0 }

// spineOf is the edge at which a page is bound, as it is read.
func spineOf(b reorder.Bind, recto bool) geom.Towards {
	switch {
	case b == reorder.BindTop && recto:
		return geom.Up
	case b == reorder.BindTop:
		return geom.Down
	case (b == reorder.BindLeft) == recto:
		return geom.Left
	}
	return geom.Right
}

// marginsOf is what margins leave of a page of the given size whose spine lies at an edge. With the spine above or below,
// head and tail are at its ends, at the left and the right.
func marginsOf(page geom.Size, spine geom.Towards, m options.Margins) geom.Rect {
	in, out, head, tail := float64(m.Inner), float64(m.Outer), float64(m.Head), float64(m.Tail)
	switch spine {
	case geom.Left:
		return page.Rect().Inset(in, tail, out, head)
	case geom.Right:
		return page.Rect().Inset(out, tail, in, head)
	case geom.Up:
		return page.Rect().Inset(head, out, tail, in)
	}
	return page.Rect().Inset(head, in, tail, out)
}

// rule draws the ruling of a page between its margins. Lines begin at the margin above and are counted down; squares and
// dots begin at the margin above and at the spine. What is left over goes to the other edges.
func rule(d *pdf.Drawing, o options.Options, within geom.Rect, spine geom.Towards) {
	s := float64(o.Spacing)
	const rounding = 1e-6
	steps := func(length float64) int { return int(math.Floor(length/s + rounding)) }
	across, down := steps(within.Size().W), steps(within.Size().H)
	pen := pdf.Pen{Width: ruleWidth, Grey: ruleGrey}
	y := func(i int) float64 { return within.Y1 - float64(i)*s }
	if spine == geom.Down { // whose lines meet those of the leaf's other side
		y = func(i int) float64 { return within.Y0 + float64(i)*s }
	}
	x := func(i int) float64 { return within.X0 + float64(i)*s }
	if spine == geom.Right {
		x = func(i int) float64 { return within.X1 - float64(i)*s }
	}
	switch o.Ruling {
	case options.RulingLines:
		for i := range down + 1 {
			d.DrawLine(geom.Point{X: within.X0, Y: y(i)}, geom.Point{X: within.X1, Y: y(i)}, pen)
		}
	case options.RulingGrid:
		for i := range down + 1 {
			d.DrawLine(geom.Point{X: x(0), Y: y(i)}, geom.Point{X: x(across), Y: y(i)}, pen)
		}
		for i := range across + 1 {
			d.DrawLine(geom.Point{X: x(i), Y: y(0)}, geom.Point{X: x(i), Y: y(down)}, pen)
		}
	case options.RulingDots:
		for i := range down + 1 {
			for k := range across + 1 {
				d.FillCircle(geom.Point{X: x(k), Y: y(i)}, dotRadius, dotGrey)
			}
		}
	}
}
