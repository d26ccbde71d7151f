package runsheet

import (
	"fmt"
	"slices"

	"foldwright/cmd/internal/drawing"
	"foldwright/reorder"
)

// afterHeading stands above what is done with the gatherings.
const afterHeading = "What comes after"

func makingPart(j Job) Part {
	sort, cut, fold, nest, bolts := j.handwork()
	scheme := j.Form.Fold.Scheme()
	folding := Stage{Heading: "Fold", Steps: fold}
	switch {
	case scheme.Strip:
		folding.Heading = "Join and fold"
	case len(scheme.Creases) == 0:
		folding.Heading = "The leaves"
	case scheme.CutOff != nil:
		folding.Notes = []Note{knives}
	}
	if len(nest) == 1 { // nothing is laid together
		folding.Steps, nest = append(folding.Steps, nest...), nil
	}
	check := []Step{Press{j.Form.Fold}, Collate{j, len(bolts) > 0}}
	if len(j.Volumes) > 1 {
		check = append(check, partVolumesStep(j.Volumes))
	}
	sorting := Stage{Heading: "Sort the sheets", Steps: sort}
	if j.Marks != (Marks{}) {
		sorting.Notes = []Note{marksNote(j.Marks)}
	}
	cutting := Stage{Heading: "Cut", Notes: []Note{knives}, Steps: cut}
	after := Stage{Heading: afterHeading, Notes: []Note{orderOfWorkNote(j), needles, adhesives}}
	if len(cut) == 0 && scheme.CutOff == nil {
		after.Notes = []Note{orderOfWorkNote(j), knives, needles, adhesives}
	}
	part := Part{Anchor: "make", Heading: "Make the gatherings", Stages: []Stage{sorting}}
	for _, s := range []Stage{
		cutting, folding, {Heading: "Lay together", Steps: nest}, {Heading: "Press and check", Steps: check}, {Heading: "Open the bolts", Steps: bolts},
	} {
		if len(s.Steps) > 0 {
			part.Stages = append(part.Stages, s)
		}
	}
	part.Stages = append(part.Stages, after)
	return part
}

// handwork is the motions of the plan as steps: what is sorted, cut, folded,
// laid together and opened.
func (j Job) handwork() (sort, cut, fold, nest, bolts []Step) {
	h := Hand{Form: j.Form, Several: len(j.Gatherings) > 1, SideNames: j.SideNames}
	if len(j.Runs) > 0 {
		h.top = j.Runs[0].Top
	}
	for _, g := range j.Gatherings {
		h.pieces = max(h.pieces, j.Form.Pieces(g.Sheets))
	}
	next := workpiece{paper: drawing.Flat{Size: j.Paper.Size, Layers: 1}} // the finished stack
	for i, motion := range j.Handwork {
		h.Motion, h.Last, h.work = motion, false, next
		to := &fold
		next = next.after(motion)
		switch m := motion.(type) {
		case reorder.Deal:
			if i > 0 {
				cut = append(cut, CountOff{m.Counts, j.Gatherings, j.SideNames})
				continue
			}
			h.Stacks, h.ByRun = len(m.Counts), len(m.Counts) < len(j.Gatherings)
			if h.ByRun {
				sort = append(sort, KeepStacks{m.Counts})
				continue
			}
			if len(j.Runs) > 1 {
				var runs JoinRuns
				for _, r := range j.Runs {
					runs.Sheets = append(runs.Sheets, r.Sheets)
				}
				sort = append(sort, runs)
			}
			sort = append(sort, TakeApart{j.Gatherings, j.SideNames})
			continue
		case reorder.LayDown:
			if m.Face == reorder.Front && (j.Form.Cut > 1 || j.Form.Copies) && !h.Pieces {
				cut = append(cut, h)
				h.Pieces = true
				continue
			}
		case reorder.CutPile, reorder.CutApart:
			to = &cut
		case reorder.NestPieces, reorder.Present, reorder.LayIn:
			to = &nest
		case reorder.OpenBolts:
			to = &bolts
		case reorder.FoldOver:
			h.Last = isLastFold(j.Handwork[i+1:])
		}
		*to = append(*to, h)
	}
	return sort, cut, fold, nest, bolts
}

// isLastFold tells whether no fold follows.
func isLastFold(rest []reorder.Motion) bool {
	return !slices.ContainsFunc(rest, func(m reorder.Motion) bool { _, fold := m.(reorder.FoldOver); return fold })
}

// KeepStacks keeps what is cut as one stack by itself.
type KeepStacks struct{ Sheets []int }

func (k KeepStacks) Text() Text {
	if len(k.Sheets) == 1 {
		return Text{Lead: say("Leave the stack whole, in its order, fronts up. It is cut as one, and only then taken apart into {}.", wGathering.as("gatherings"))}
	}
	t := Text{Lead: say("Leave the stack of each {} whole, in its order, fronts up. It is cut as one, and only then taken apart into {}.", wRun, wGathering.as("gatherings"))}
	for i, n := range k.Sheets {
		t.List = append(t.List, say("run {}: {}", i+1, reorder.Count(n, "sheet")))
	}
	return t
}

// CountOff takes the cut stacks apart.
type CountOff struct {
	Pieces     []int
	Gatherings []Gathering
	SideNames  bool
}

func (c CountOff) Text() Text {
	t := Text{Lead: say("Count the pieces off from the top of the cut stack, gathering by gathering:")}
	for i, n := range c.Pieces {
		t.List = append(t.List, say("gathering {}: {}", c.Gatherings[i].Number, reorder.Count(n, "piece")))
	}
	if c.SideNames {
		t.More = append(t.More, say("The {} tells you for each piece to which one it belongs, and its place there.", wSideName))
	}
	return t
}

// JoinRuns puts the stacks of all runs together.
type JoinRuns struct{ Sheets []int } // of each run

func (r JoinRuns) Text() Text {
	if len(r.Sheets) == 2 {
		return Text{Lead: say("Put the stacks of both runs together, fronts up: run 1 on top, run 2 under it.")}
	}
	return Text{Lead: say("Put the stacks of all {} runs together, fronts up: run 1 on top, the next run under it, and so on.", len(r.Sheets))}
}

// TakeApart divides the stack into gatherings.
type TakeApart struct {
	Gatherings []Gathering
	SideNames  bool
}

func (t TakeApart) Text() Text {
	if len(t.Gatherings) == 1 {
		return Text{Lead: say("All sheets make one {}. Keep them in their order, fronts up.", wGathering)}
	}
	if !slices.ContainsFunc(t.Gatherings, func(g Gathering) bool { return g.Sheets != 1 }) {
		return Text{Lead: say("Every sheet is a {} of its own. Keep them in their order, fronts up.", wGathering)}
	}
	out := Text{Lead: say("Take the stack apart into {} from the top. Lay each aside for itself, in order, fronts up.", wGathering.as("gatherings"))}
	if t.SideNames {
		out.More = append(out.More, say("The {} tells you for each sheet to which one it belongs.", wSideName))
	}
	for _, g := range t.Gatherings {
		out.List = append(out.List, g.sentence())
	}
	return out
}

func (g Gathering) sentence() Sentence {
	if g.Sheets == 1 {
		return say("gathering {}: sheet {}", g.Number, g.First)
	}
	return say("gathering {}: sheets {} to {}", g.Number, g.First, g.First+g.Sheets-1)
}

// Press flattens what is folded.
type Press struct{ Fold reorder.Fold }

func (p Press) Text() Text {
	return Text{Lead: say("Press the {} flat between clean boards under a weight, best over night.", partsName(p.Fold))}
}

// partsName is what a book of the fold is made of.
func partsName(f reorder.Fold) string {
	s := f.Scheme()
	switch {
	case s.Strip:
		return "strip"
	case s.Held == reorder.Edges:
		return "leaves"
	}
	return "gatherings"
}

// bookUnit is what a book of the fold is if it has no more than one gathering.
func bookUnit(f reorder.Fold) string {
	if f.Scheme().Held == reorder.Edges {
		return "book"
	}
	return "gathering"
}

// Collate checks the pages before anything is sewn.
type Collate struct {
	Job
	Bolts bool // some leaves still hang together
}

// stairs tells whether dark blocks go down the backs of the gatherings.
func (c Collate) stairs() bool { return c.Marks.Collation && len(c.Gatherings) > 1 }

func (c Collate) Text() Text {
	lead := say("{}: leaf through it and see that the pages follow each other as in the PDF, from the first to the last, {} in all.",
		wCollate.as("Collate the "+bookUnit(c.Form.Fold)), reorder.Count(c.Pages, "page"))
	if len(c.Gatherings) > 1 {
		lay := fmt.Sprintf("lay the gatherings on each other, the first on top and all folds at the %s", c.Form.Bind)
		if c.Form.Fold.Scheme().Held == reorder.Edges {
			lay = fmt.Sprintf("lay the leaves on each other, the first on top and all open edges at the %s", c.Form.Bind)
		}
		lead = say("{}: {}. Leaf through them and see that the pages follow each other as in the PDF, from the first to the last, {} in all.",
			wCollate.as("Collate the book"), lay, reorder.Count(c.Pages, "page"))
	}
	t := Text{Lead: lead}
	if c.stairs() {
		t.More = append(t.More, say("Look at the folds: from the first gathering to the last, the dark blocks go down like stairs. A step that is missing, doubled or out of place is a gathering that is so."))
	}
	if c.Bolts {
		t.More = append(t.More, say("Where leaves still hang together, look in between them."))
	}
	if c.Blanks > 0 {
		t.More = append(t.More, say("Blank pages belong to it, {} in all. Do not take any out.", c.Blanks))
	}
	return t
}

// partVolumesStep lays the gatherings of each volume together.
func partVolumesStep(volumes []reorder.Volume) Text {
	t := Text{Lead: say("Part the pile into its {}. From here on each is a book for itself.", wVolume.as("volumes"))}
	for _, v := range volumes {
		t.List = append(t.List, volumeSentence(v))
	}
	return t
}

func volumeSentence(v reorder.Volume) Sentence {
	gatherings := fmt.Sprintf("gatherings %d to %d", v.First, v.Last())
	if v.First == v.Last() {
		gatherings = fmt.Sprintf("gathering %d", v.First)
	}
	if v.FirstPage == 0 {
		return say("volume {}: {}, all of them blank", v.Number, gatherings)
	}
	return say("volume {}: {}, beginning with page {} of the PDF", v.Number, gatherings, v.FirstPage)
}

// orderOfWorkNote is what a binder does with the gatherings, in its order.
func orderOfWorkNote(j Job) Text {
	switch j.Form.Fold {
	case reorder.Loose, reorder.Pouch:
		t := Text{Lead: say("The order of work from here: knock the leaves even at the {} edge and clamp them, glue that edge or {} it about {} from the edge, {} the others, add the cover, press.", j.Form.Bind, wStab, amount(fromSpine(j.Bench)), wTrim)}
		if j.Form.Fold == reorder.Pouch {
			t.More = append(t.More, say("Do not trim the edge with the folds: the leaves stay closed there."))
		}
		return t
	case reorder.Concertina:
		return Text{Lead: say("The order of work from here: press the folded strip, cut two boards and cover them, and glue them to its first and its last page or to blank leaves there.")}
	}
	t := Text{
		Lead: say("The order of work from here: {} the folds, sew, glue up the {}, {}, {}, {} the spine, measure, cut boards and cloth, make the {}, hang the book into it, press.",
			wPierce, wSpine, wTrim, wRound, wLine, wCase),
		More: []Sentence{
			say("Cut boards and cloth only when the sewn and pressed book has been measured."),
		},
	}
	switch {
	case j.Program == Program{}: // nobody who reads this has the program
	case len(j.Bench) > 0:
		t.More = append(t.More, say("What is known of measures before sewing stands under {}.", link{"Figures for the bench", benchAnchor}))
	default:
		t.More = append(t.More, say("All measures, from the holes in the folds to the cloth, are given by {}.", j.Program.command("measure")))
	}
	return t
}

// marksNote says what the marks on the sheets are for.
func marksNote(marks Marks) Text {
	t := Text{Lead: say("There are marks on the sheets. They lie in folds, on cuts or on what is trimmed off, never on a page:")}
	k := marks
	if k.Fold {
		t.List = append(t.List, say("Short thin strokes at the ends of each fold: the crease runs from one to the other."))
	}
	if k.Cut {
		t.List = append(t.List, say("Short dashed strokes at the ends of each cut before folding, on the faces that then lie up: the cut runs from one to the other."))
	}
	if k.Collation {
		t.List = append(t.List, say("A dark block on the fold of each gathering, outside. It shows when one is missing or out of its order."))
	}
	switch k.Signing {
	case reorder.Letters:
		t.List = append(t.List, say("The letter of each gathering, at the foot of its first page in the fold: A to Z without J, V and W, then AA, BB and so on."))
	case reorder.Numbers:
		t.List = append(t.List, say("The number of each gathering, at the foot of its first page in the fold."))
	}
	if k.Stations {
		t.List = append(t.List, say("In the innermost fold of each gathering, pairs of short strokes: {} between the two of a pair. The dark point beside them shows to the head.", wPierce))
	}
	if k.Corners {
		t.List = append(t.List, say("Fine strokes outside the corners of each leaf: {} along them.", wTrim))
	}
	return t
}
