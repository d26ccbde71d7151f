package job

import (
	"fmt"

	"foldwright/reorder"
	"foldwright/reorder/enum"
)

// CutBy is what is cut as one stack.
type CutBy int

const (
	CutByGathering CutBy = iota + 1 // each gathering by itself
	CutByRun                        // all sheets of a run, its gatherings are counted off afterwards
)

var cutByWords = enum.Words{What: "cut-by", List: []string{"gathering", "run"}}

func (c CutBy) String() string { return cutByWords.Of(int(c)) }

func (c CutBy) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

func (c *CutBy) UnmarshalText(text []byte) error { return enum.Parse(c, cutByWords, string(text)) }

// usualOverlap is what the sheets of a concertina are glued by, in mm (common
// practice, no source).
const usualOverlap = 10

// checkForm refuses what contradicts itself in how sheets become gatherings;
// what no paper can be folded to is refused by package reorder.
func (o Options) checkForm() error {
	s := o.Fold.Scheme()
	cut := o.Cut > 1
	switch {
	case o.Cut != 0 && o.Cut != 1 && o.Cut != 2 && o.Cut != 4:
		return &UseError{fmt.Sprintf("--cut is 1, 2 or 4, not %d", o.Cut), ""}
	case s.Whole && cut:
		return &UseError{fmt.Sprintf("--fold %s takes no --cut", o.Fold), "folio, quarto, octavo and sixteenmo can be cut first"}
	case o.CutEdge != 0 && !cut:
		return &UseError{"--cut-edge goes with --cut 2", "it says where the edges cut by hand come to lie"}
	case o.CutBy != 0 && !cut:
		return &UseError{"--cut-by goes with --cut 2 or --cut 4", "it says which sheets are cut as one stack"}
	case o.CutBy == CutByRun && o.OnlyGathering > 0:
		return &UseError{"--only-gathering goes with --cut-by gathering", "cut by the run, a sheet holds pieces of several gatherings"}
	case o.Nest != 0 && s.Whole:
		return &UseError{fmt.Sprintf("--nest goes with folio, quarto, octavo and sixteenmo, not with --fold %s", o.Fold), ""}
	case o.CopiesAcross && o.Fold != reorder.Loose:
		return &UseError{"--copies-across goes with --fold loose", "it prints two books side by side on single leaves"}
	case o.Overlap != 0 && !s.Strip:
		return &UseError{"--overlap goes with --fold concertina", "it is what the sheets of the strip are glued by"}
	case s.OneStack && o.sized():
		return &UseError{fmt.Sprintf("--fold %s makes one gathering of all sheets", o.Fold), "leave out --sheets, --fewest, --gatherings and --gathering-thickness"}
	case s.Alone && (o.Sheets > 1 || o.Fewest > 1 || o.GatheringThickness != Thickness{}):
		return &UseError{fmt.Sprintf("--fold %s is folded one sheet at a time", o.Fold), "each of its gatherings is one sheet"}
	}
	return nil
}

// sized tells whether a person has said how large the gatherings are.
func (o Options) sized() bool {
	return o.Sheets > 0 || o.Fewest > 0 || len(o.Gatherings) > 0 || o.GatheringThickness != Thickness{}
}

// resolveForm fills in how sheets become gatherings.
func (o *Options) resolveForm() {
	if o.Fold == 0 {
		o.Fold = reorder.Folio
	}
	o.Cut = max(1, o.Cut)
	if o.Cut > 1 && o.CutEdge == 0 {
		o.CutEdge = reorder.AnyEdge
	}
	if o.Cut > 1 && o.CutBy == 0 {
		o.CutBy = CutByGathering
	}
	if o.Nest == 0 {
		o.Nest = reorder.Inset
	}
	if o.Fold == reorder.Concertina && o.Overlap == 0 {
		o.Overlap = usualOverlap
	}
}

// form is how the printed sheets become gatherings.
func (o Options) form() reorder.Form {
	return reorder.Form{
		Fold:    o.Fold,
		Cut:     o.Cut,
		Nest:    o.Nest,
		Bind:    o.Bind,
		Leaf:    o.Leaf,
		CutEdge: o.CutEdge,
		Copies:  o.CopiesAcross,
		Overlap: float64(o.Overlap),
	}
}

// formSizes is the sizes of the gatherings where the fold leaves no choice.
func (o Options) formSizes(places int) ([]int, bool) {
	s := o.Fold.Scheme()
	sheets := reorder.SheetsFor(places, o.form())
	switch {
	case s.OneStack:
		return []int{sheets}, true
	case s.Alone:
		return reorder.BalancedSizes(sheets, 1), true
	}
	return nil, false
}

// stacks groups the gatherings of each volume that are cut as one. What is cut
// by the run must be whole in its run.
func (o Options) stacks(sizes []int) ([][]int, error) {
	var stacks [][]int
	if o.CutBy != CutByRun {
		for i := range sizes {
			stacks = append(stacks, sizes[i:i+1])
		}
		return stacks, nil
	}
	for _, v := range reorder.Volumes(sizes, max(1, o.Volumes)) {
		in := sizes[v.First-1 : v.Last]
		for _, run := range o.runs(in) {
			if run.Split {
				return nil, &ChoiceError{fmt.Sprintf("--cut-by run: a gathering of more than %s does not fit into one run", reorder.Count(o.Run.Most, "sheet"))}
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

// runs shares gatherings of the given sizes out among runs.
func (o Options) runs(sizes []int) []reorder.Run {
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
