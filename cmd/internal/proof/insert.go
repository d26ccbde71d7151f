package proof

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
)

// insert is leaves of other paper, printed and cut.
type insert struct {
	said  plan.Insert
	print *Print
}

// prints is the print and those of leaves of other paper.
func (p *Print) prints() []*Print {
	out := []*Print{p}
	for _, in := range p.inserts {
		out = append(out, in.print)
	}
	return out
}

// layIn prints what is laid into the book, cuts it to size, lays it in as the plan says and reads the book once more.
func (p *Print) layIn(ctx context.Context) error {
	gatherings, spine := p.piles, p.spine
	for _, said := range p.plan.Inserts {
		if !said.Printed {
			continue
		}
		in := &insert{said, &Print{Folder: filepath.Join(p.Folder, filepath.Base(said.Name)), insert: len(p.inserts) + 1}}
		p.inserts = append(p.inserts, in)
		if err := in.print.make(ctx); err != nil {
			return err
		}
		leaves, err := in.cutLeaves(spine)
		if err == nil {
			gatherings, err = p.layEach(in, gatherings, leaves, spine)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", said.Name, err)
		}
	}
	if len(p.inserts) == 0 {
		return nil
	}
	return p.readBound(gatherings, spine)
}

// cutLeaves cuts the leaves or folded pairs of an insert to size, as they are read, in the order of the book.
func (in *insert) cutLeaves(spine geom.Towards) ([]paper.Pile, error) {
	o := in.print.plan.Options
	var each []paper.Pile
	for _, p := range in.print.piles {
		if o.Fold == reorder.Loose {
			each = append(each, p.Singly()...)
		} else {
			each = append(each, p)
		}
	}
	want := geom.Size{W: float64(o.Plates.Leaf.W), H: float64(o.Plates.Leaf.H)}
	for i, p := range each {
		if have := p.Size(); have.W < want.W-0.1 || have.H < want.H-0.1 {
			return nil, fmt.Errorf("a leaf of %s is cut from %s", want, have)
		}
		p = cutTo(p, want, spine)
		folds := in.said.FoldOut.Folds
		for k := range folds {
			p = foldBack(p, folds[len(folds)-1-k], len(folds)-1-k == 1, spine, want)
		}
		each[i] = p
	}
	return each, nil
}

// cutTo cuts a leaf, or a folded pair, to a size: nothing at the spine, and at the ends of the spine alike.
func cutTo(p paper.Pile, want geom.Size, spine geom.Towards) paper.Pile {
	have := p.Size()
	ends, from, to := reorder.Level, (have.H-want.H)/2, (have.H+want.H)/2
	across, fore, keepFar := reorder.Upright, want.W, false
	switch spine {
	case geom.Right:
		fore, keepFar = have.W-want.W, true
	case geom.Up:
		ends, from, to = reorder.Upright, (have.W-want.W)/2, (have.W+want.W)/2
		across, fore, keepFar = reorder.Level, have.H-want.H, true
	}
	if from > 0.01 {
		p, _ = p.Cut(ends, to)
		_, p = p.Cut(ends, from)
	}
	if off := max(have.W-want.W, have.H-want.H); off > 0.01 && fore > 0.01 {
		below, beyond := p.Cut(across, fore)
		if p = below; keepFar {
			p = beyond
		}
	}
	return p
}

// foldBack folds what lies beyond so many mm from the spine over the rest, or under it.
func foldBack(p paper.Pile, at float64, under bool, spine geom.Towards, whole geom.Size) paper.Pile {
	over := reorder.RightOverLeft
	switch spine {
	case geom.Right:
		over, at = reorder.LeftOverRight, p.Size().W-at
	case geom.Up:
		over, at = reorder.NearOverFar, p.Size().H-at
	}
	if under {
		return p.FoldUnder(over, at)
	}
	return p.Fold(over, at)
}

// layEach lays the leaves of an insert into the gatherings, copy after copy. End-leaves lie before the first gathering
// and after the last of each volume.
func (p *Print) layEach(in *insert, gatherings, leaves []paper.Pile, spine geom.Towards) ([]paper.Pile, error) {
	out := slices.Clone(gatherings)
	copies := max(1, p.plan.Copies)
	each := len(p.plan.Gatherings) / copies
	if in.said.Ends > 0 {
		return p.layEnds(in, out, leaves, copies, spine)
	}
	if len(leaves) != copies*len(in.said.Laid) || each == 0 {
		return nil, fmt.Errorf("it has %d leaves for %d places in %d copies", len(leaves), len(in.said.Laid), copies)
	}
	for c := range copies {
		for i, l := range in.said.Laid {
			g := c*each + l.Gathering - p.plan.Gatherings[0].Number
			if g < 0 || g >= len(out) {
				return nil, fmt.Errorf("there is no gathering %d", l.Gathering)
			}
			leaf := leaves[c*len(in.said.Laid)+i]
			var err error
			switch size := out[g].Size(); in.said.How {
			case reorder.Wrapped:
				out[g], err = out[g].LayRound(leaf, l.Before, spine)
			case reorder.Guard:
				var guard paper.Pile
				if guard, err = foldGuard(size, spine); err == nil {
					out[g], err = out[g].HangOnGuard(leaf, guard, l.Before, spine)
				}
			default:
				out[g], err = out[g].TipIn(leaf, l.Before, spine)
			}
			if err == nil && p.isSewn() {
				err = out[g].CheckBound(spine)
			}
			if err != nil {
				return nil, fmt.Errorf("the plate %s: %w", l.Text(in.said.How), err)
			}
		}
	}
	return out, nil
}

// foldGuard folds a bare guard for leaves of a size at the spine.
func foldGuard(leaf geom.Size, spine geom.Towards) (paper.Pile, error) {
	const share = 6 // of the leaf
	size, over, wide := geom.Size{W: leaf.W / share * 2, H: leaf.H}, reorder.LeftOverRight, leaf.W/share
	switch spine {
	case geom.Right:
		over = reorder.RightOverLeft
	case geom.Up:
		size, over, wide = geom.Size{W: leaf.W, H: leaf.H / share * 2}, reorder.FarOverNear, leaf.H/share
	}
	fed := size
	if size.W > size.H {
		fed = size.Turn()
	}
	p, err := paper.NewPile([]paper.Sheet{{Size: fed}})
	if fed != size {
		p = p.Rotate(1)
	}
	return p.Fold(over, wide), err
}

// layEnds lays end-leaves before the first gathering and after the last of each volume.
func (p *Print) layEnds(in *insert, gatherings, leaves []paper.Pile, copies int, spine geom.Towards) (out []paper.Pile, err error) {
	volumes := p.plan.Volumes
	each := len(gatherings) / copies
	sizes := []int{each}
	if len(volumes) > 1 {
		sizes = nil
		for _, v := range volumes {
			sizes = append(sizes, v.Gatherings)
		}
	}
	if n := 2 * in.said.Ends * len(sizes) * copies; len(leaves) != n {
		return nil, fmt.Errorf("there are %d folded sheets of end-leaves, and %d are needed", len(leaves), n)
	}
	take := func() []paper.Pile {
		now := leaves[:in.said.Ends]
		leaves = leaves[in.said.Ends:]
		return now
	}
	for range copies {
		for _, n := range sizes {
			volume := slices.Clone(gatherings[:n])
			gatherings = gatherings[n:]
			front, back := take(), take()
			if in.said.Sewn {
				out = slices.Concat(out, front, volume, back)
				continue
			}
			if volume[0], err = volume[0].TipIn(stackPiles(front), 0, spine); err != nil {
				return nil, err
			}
			if volume[n-1], err = volume[n-1].TipIn(stackPiles(back), volume[n-1].Leaves(spine), spine); err != nil {
				return nil, err
			}
			out = append(out, volume...)
		}
	}
	for _, g := range out {
		if p.isSewn() && err == nil {
			err = g.CheckBound(spine)
		}
	}
	return out, err
}

// stackPiles lays piles on each other, the first on top.
func stackPiles(piles []paper.Pile) paper.Pile {
	on := piles[len(piles)-1]
	for i := len(piles) - 2; i >= 0; i-- {
		on = piles[i].LayOn(on)
	}
	return on
}

// readBound reads the book with what was laid in.
func (p *Print) readBound(gatherings []paper.Pile, spine geom.Towards) error {
	own := 0
	for _, g := range gatherings {
		for _, f := range g.Pages(spine) {
			if len(f.Marks) == 0 {
				continue // a stub
			}
			of := p
			var from spot
			if _, err := fmt.Sscan(f.Marks[0].Label, &from.insert); err != nil {
				return err
			}
			if from.insert > 0 {
				of = p.inserts[from.insert-1].print
			}
			f.Gathering = 1 // there is always one; which it is in, the places of the book say
			place, err := of.findPlace(f)
			if err != nil {
				return err
			}
			place.Insert = from.insert
			if from.insert > 0 {
				place.Leaf = f.Rect()
				p.Bound = append(p.Bound, place)
				continue
			}
			if p.isOneSided() && place.Side == reorder.Back {
				continue
			}
			if own == len(p.Places) || p.Places[own].Sheet != place.Sheet || p.Places[own].Side != place.Side {
				p.addFault("with what is laid in, the book's own pages are no more in order from place %d on", own+1)
				return nil
			}
			p.Bound = append(p.Bound, p.Places[own])
			own++
		}
	}
	for i := len(p.Bound) - 1; i >= 0; i-- { // a leaf belongs to the copy that goes on after it
		if p.Bound[i].Insert > 0 {
			p.Bound[i].Copy = max(1, p.plan.Copies)
			if i+1 < len(p.Bound) {
				p.Bound[i].Copy = p.Bound[i+1].Copy
			}
		}
	}
	return nil
}

// checkSlots looks whether every plate comes right after the page that was asked for.
func (c *checker) checkSlots() {
	report := func(in *insert, format string, a ...any) {
		c.faults = append(c.faults, Fault{Of: in.said.Name, What: fmt.Sprintf(format, a...)})
	}
	type sheet struct{ insert, number int }
	seen := map[sheet]bool{}
	own, last := 0, 0
	for _, place := range c.Bound {
		if place.Insert == 0 {
			if own == 0 || place.Copy != c.Places[own-1].Copy {
				last = 0
			}
			if page := c.expected[own].Page; page != 0 && !c.expected[own].ruled {
				last = page
			}
			own++
			continue
		}
		at := sheet{place.Insert, place.Sheet}
		in := c.inserts[place.Insert-1]
		if seen[at] || in.said.Ends > 0 {
			continue
		}
		seen[at] = true
		asked := c.placesAsked(in)
		if want := asked[place.Sheet%len(asked)]; want != last {
			report(in, "plate %d comes after page %d, and was to come after page %d", place.Sheet+1, last, want)
		}
		if !place.Recto || place.Side != reorder.Front {
			report(in, "plate %d lies with its back up", place.Sheet+1)
		}
	}
	for i, in := range c.inserts {
		for n := range in.print.Sheets {
			if in.said.Ends == 0 && len(c.Bound) > 0 && !seen[sheet{i + 1, n}] {
				report(in, "plate %d is not in the book", n+1)
			}
		}
	}
}

// placesAsked is the pages after which the plates of an insert were asked for.
func (c *checker) placesAsked(in *insert) []int {
	for i, said := range c.plan.Inserts {
		if said.Name == in.said.Name && i < len(c.plan.Options.Inserts) {
			return c.plan.Options.Inserts[i].After
		}
	}
	return []int{0}
}

// check compares the leaves with their own PDF, and adds what it finds.
func (in *insert) check(ctx context.Context, o Options, found *Result) error {
	paths, err := plan.FindSources(in.print.Folder, in.print.plan.Source)
	if err != nil {
		return err
	}
	if len(paths) == 0 {
		return fmt.Errorf("%s names no PDF", in.said.Name)
	}
	if o.Source, err = o.Source.Beside(ctx, paths[0]); err != nil {
		return err
	}
	o.Progress = nil
	more, err := in.print.Check(ctx, o)
	if err != nil {
		return err
	}
	for _, f := range more.Faults {
		f.Of = in.said.Name
		found.Faults = append(found.Faults, f)
	}
	for _, why := range more.Why {
		found.Why = append(found.Why, in.said.Name+": "+why)
	}
	found.Pages, found.Unseen = found.Pages+more.Pages, found.Unseen+more.Unseen
	found.Notes = append(found.Notes, more.Notes...)
	found.Mean, found.Worst = max(found.Mean, more.Mean), max(found.Worst, more.Worst)
	return nil
}

// platesOf is what stands on leaves of other paper: so many pages on each leaf, or on each folded pair, from its first
// side on.
func platesOf(v *survey.Survey, o options.Options) (out []survey.Shown) {
	sides := 2
	if o.Fold != reorder.Loose {
		sides = 4
	}
	for range max(1, o.Plates.Repeat) {
		for i, page := range v.Chosen {
			if i%o.Plates.Each == 0 {
				out = append(out, make([]survey.Shown, sides)...)
			}
			out[len(out)-sides+i%o.Plates.Each] = v.Shown(page)
		}
	}
	return out
}
