package options

import (
	"fmt"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Form is how the printed sheets become gatherings.
func (o Options) Form() reorder.Form {
	return reorder.Form{
		Fold:    o.Fold,
		Cut:     o.Cut,
		Nest:    o.Nest,
		Bind:    o.Bind,
		Leaf:    o.Leaf,
		CutEdge: o.CutEdge,
		Copies:  o.CopiesAcross,
		Overlap: float64(o.Overlap),

		ByPieces: o.Pieces > 0,
	}
}

// SizesFor is the size of each gathering for a text of so many places: its printed sheets, or its pieces.
func (o Options) SizesFor(places int) []int {
	if len(o.Gatherings) > 0 {
		return o.Gatherings
	}
	if sizes, ok := o.formSizes(places); ok {
		return sizes
	}
	if form := o.Form(); form.ByPieces {
		return reorder.PieceSizes(form.SizeFor(places), o.Fewest, o.Pieces, o.Cut)
	}
	return reorder.SizesBetween(reorder.SheetsFor(places, o.Form()), o.Fewest, o.Sheets)
}

// formSizes is the sizes of the gatherings where the fold leaves no choice.
func (o Options) formSizes(places int) ([]int, bool) {
	s := o.Fold.Scheme()
	sheets := reorder.SheetsFor(places, o.Form())
	switch {
	case s.OneStack:
		return []int{sheets}, true
	case s.Alone:
		return reorder.SizesBetween(sheets, 1, 1), true
	}
	return nil, false
}

// Stacks groups the gatherings of each volume that are cut as one. What is cut
// by the run must be whole in its run.
func (o Options) Stacks(sizes []int) ([][]int, error) {
	if o.Pieces > 0 {
		return o.stackPieces(sizes)
	}
	var stacks [][]int
	if o.CutBy != CutByRun {
		for i := range sizes {
			stacks = append(stacks, sizes[i:i+1])
		}
		return stacks, nil
	}
	for _, v := range reorder.Volumes(sizes, max(1, o.Volumes)) {
		in := sizes[v.First-1 : v.Last()]
		for _, run := range o.RunsOf(in) {
			if run.Split {
				return nil, o.refuseSplit()
			}
			left, n := run.Sheets(), 0
			for left > 0 {
				left -= in[n]
				n++
			}
			stacks = append(stacks, in[:n])
			in = in[n:]
		}
	}
	return stacks, nil
}

// stackPieces is the stacks of gatherings that are counted in pieces. Sheets of two volumes are
// not cut as one, nor is a gathering that is printed by itself cut with others.
func (o Options) stackPieces(sizes []int) (stacks [][]int, err error) {
	form := o.Form()
	for _, v := range reorder.Volumes(sizes, max(1, o.Volumes)) {
		in, from := sizes[v.First-1:v.Last()], v.First
		if g := o.OnlyGathering; g >= from && g <= v.Last() {
			stacks = append(append(stacks, o.groupPieces(in[:g-from])...), in[g-from:g-from+1])
			in = in[g-from+1:]
		}
		stacks = append(stacks, o.groupPieces(in)...)
	}
	for _, s := range stacks {
		if sheets, _ := form.SheetsOf(s...); o.CutBy == CutByRun && o.Run.Most > 0 && sheets > o.Run.Most {
			return nil, o.refuseSplit()
		}
	}
	return stacks, nil
}

// groupPieces groups gatherings of so many pieces for cutting. Cut by the run, the last sheet of a run can be half used.
func (o Options) groupPieces(pieces []int) [][]int {
	if o.CutBy == CutByRun && !o.Run.Gathering {
		return reorder.FillPieces(pieces, o.Cut, o.Run.Most)
	}
	return reorder.StackPieces(pieces, o.Cut, o.Run.Most)
}

func (o Options) refuseSplit() error {
	return refusal.Plan.New("%s: a gathering of more than %s does not fit into one run", phrase.Set("cut-by", CutByRun), reorder.Count(o.Run.Most, "sheet"))
}

// HowOften is how many copies of the book are printed.
func (o Options) HowOften() int { return max(1, o.Copies) }

// RunsOf shares gatherings of so many printed sheets out among runs; where gatherings share sheets, the stacks that are cut as one.
func (o Options) RunsOf(sizes []int) []reorder.Run {
	if o.Run.Gathering {
		return reorder.RunPerGathering(sizes)
	}
	runs := reorder.Runs(sizes, o.Run.Most)
	if o.Fold.Scheme().OneStack {
		for i := range runs {
			runs[i].Split = false // single leaves and the sheets of a strip only keep their order
		}
	}
	return runs
}

func (o Options) Placing() reorder.Placing {
	var frame *reorder.Margins
	if m := o.Margins; m.Given && o.Blank == 0 {
		frame = &reorder.Margins{Inner: float64(m.Inner), Outer: float64(m.Outer), Head: float64(m.Head), Tail: float64(m.Tail)}
	}
	return reorder.Placing{
		Frame:  frame,
		Scale:  o.Scale.Scale,
		Stand:  o.Place,
		Gutter: float64(o.Gutter),
		Wide:   o.Wide,
		Clip:   o.CutOverhang,
		Each:   o.ScaleEach,
	}
}

// IsTrimmed tells whether leaves are cut after folding.
func (o Options) IsTrimmed() bool { return o.Trim.Given || o.TrimTo != (Dimensions{}) }

// LeafOf is the leaf that paper of a size gives, before trimming, and what is cut off it.
func (o Options) LeafOf(paper geom.Size) (leaf geom.Size, trim reorder.Trim, err error) {
	if leaf, err = o.Form().PanelSize(paper); err == nil {
		trim, err = o.TrimOf(leaf)
	}
	return leaf, trim, err
}

// TrimOf is what is cut off leaves of the given size.
func (o Options) TrimOf(leaf geom.Size) (reorder.Trim, error) {
	t := reorder.Trim{Head: float64(o.Trim.Head), Tail: float64(o.Trim.Tail), ForeEdge: float64(o.Trim.ForeEdge)}
	if o.TrimTo != (Dimensions{}) {
		var err error
		t, err = reorder.TrimTo(leaf, geom.Size{W: float64(o.TrimTo.W), H: float64(o.TrimTo.H)}, o.Bind)
		if err != nil {
			return t, err
		}
	}
	if s := o.Fold.Scheme(); t.ForeEdge > 0 && s.OneSided {
		return t, refusal.Plan.New("the fore-edge of a %s is a fold, which must not be cut off", o.Fold).Advise("%s cuts head and tail only", phrase.Set("trim", fmt.Sprintf("%s,%s,0", geom.Millimetres(t.Head), geom.Millimetres(t.Tail))))
	}
	return t, nil
}
