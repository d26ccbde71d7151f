package survey

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// fitContent shrinks the boxes of the chosen pages to what is printed on them:
// pages of one size get one box, so that they keep their places among each
// other. What lies outside still shows where the panel has room for it.
func (v *Survey) fitContent(ctx context.Context, o options.Options) error {
	ink := map[int]geom.Rect{} // of pages of the book, from the lower left corner of their boxes
	bySource := map[int][]int{}
	for _, page := range v.Chosen {
		s := v.shown[page-1]
		bySource[s.Page] = append(bySource[s.Page], page)
	}
	failed := Undrawn{}
	err := v.EachPicture(ctx, v.SourcePages(v.Chosen), func(source int, p Picture, err error) error {
		if err != nil {
			failed.Add(source, err)
		}
		for _, page := range bySource[source] {
			box := v.shown[page-1].Box
			if err != nil {
				ink[page] = box.Size().Rect()
				continue
			}
			if r, found := p.Faint(box); found {
				ink[page] = r.Moved(-box.X0, -box.Y0)
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	failed.Each(func(what string) {
		v.say("%s, so its print could not be measured and the whole page is used", what)
	})
	if len(ink) == 0 {
		return refusal.Plan.New("%s: the pages are blank", phrase.Set("box", "content"))
	}
	for _, class := range v.sizeClasses(v.Chosen) {
		v.shareBox(class, ink, float64(o.Margin), o.Margins.Given)
	}
	return nil
}

// sizeClasses groups pages whose boxes have the same size, to a millimetre.
func (v *Survey) sizeClasses(pages []int) [][]int {
	classes := map[geom.Size][]int{}
	for _, page := range pages {
		s := v.shown[page-1].Box.Size()
		k := geom.Size{W: math.Round(s.W), H: math.Round(s.H)}
		classes[k] = append(classes[k], page)
	}
	return slices.SortedFunc(maps.Values(classes), func(a, b []int) int { return cmp.Compare(a[0], b[0]) })
}

// shareBox gives pages of one size the box around all of their ink.
// Where only is set, pages that reach much further than the others are left out of the measure.
func (v *Survey) shareBox(pages []int, ink map[int]geom.Rect, margin float64, only bool) {
	inked := slices.DeleteFunc(slices.Clone(pages), func(page int) bool { _, ok := ink[page]; return !ok })
	if len(inked) == 0 {
		return
	}
	if only {
		inked = v.leaveOut(inked, ink)
	}
	common := ink[inked[0]]
	for _, page := range inked {
		common = common.Around(ink[page])
	}
	if !only {
		v.sayWide(len(pages), inked, ink, common)
	}
	common = common.Inset(-margin, -margin, -margin, -margin)
	for _, page := range pages {
		s := &v.shown[page-1]
		s.Box = common.Moved(s.Box.X0, s.Box.Y0)
	}
}

// sayWide names pages that alone make the common box much larger, for a single
// plate or a scanner's shadow undoes what the person wanted.
func (v *Survey) sayWide(count int, inked []int, ink map[int]geom.Rect, common geom.Rect) {
	const much = 10 // mm
	few := max(1, len(ink)/20)
	var alone []int
	for edge, most := range outwards(common) {
		reach := slices.DeleteFunc(slices.Clone(inked), func(page int) bool { return outwards(ink[page])[edge] <= most-much })
		if len(reach) <= few && count > 2*len(reach) {
			alone = append(alone, reach...)
		}
	}
	if len(alone) > 0 {
		slices.Sort(alone)
		v.say("%s: print reaches at least %d mm further than on the other pages, which makes the content box of all pages larger", v.PagesText(slices.Compact(alone)), much)
	}
}

// leaveOut leaves out the pages, at most one in twenty, that reach much further than all others at an edge: a picture
// as large as its page, a scanner's shadow. They are named.
func (v *Survey) leaveOut(inked []int, ink map[int]geom.Rect) []int {
	const much = 5 // mm
	few := max(1, len(inked)/20)
	out := map[int]bool{}
	for edge := range 4 {
		reach := func(page int) float64 { return outwards(ink[page])[edge] }
		byReach := slices.SortedFunc(slices.Values(inked), func(a, b int) int { return cmp.Compare(reach(b), reach(a)) })
		for n := min(few, (len(byReach)-1)/2); n > 0; n-- {
			if reach(byReach[n-1]) >= reach(byReach[n])+much {
				for _, page := range byReach[:n] {
					out[page] = true
				}
				break
			}
		}
	}
	var named, kept []int
	for _, page := range inked {
		if out[page] {
			named = append(named, page)
		} else {
			kept = append(kept, page)
		}
	}
	if len(kept) == 0 {
		return inked
	}
	if len(named) > 0 {
		v.say("%s: print reaches at least %d mm further than on the other pages, so it was left out when the text was measured, and stands in the margins", v.PagesText(named), much)
	}
	return kept
}

// outwards is how far the edges of a rectangle lie to the left, down, to the right and up.
func outwards(r geom.Rect) [4]float64 { return [4]float64{-r.X0, -r.Y0, r.X1, r.Y1} }

func (v *Survey) say(format string, args ...any) {
	v.Notes = append(v.Notes, fmt.Sprintf(format, args...))
}
