package runsheet

import (
	"fmt"
	"slices"

	"foldwright/reorder"
)

func makingPart(j Job) Part {
	sort, cut, fold, nest, bolts := j.handwork()
	part := Part{Anchor: "make", Heading: "Make the gatherings", Stages: []Stage{{Heading: "Sort the sheets", Notes: markNotes(j.Marks), Steps: sort}}}
	add := func(s Stage) {
		if len(s.Steps)+len(s.Notes) > 0 {
			part.Stages = append(part.Stages, s)
		}
	}
	if len(cut) > 0 {
		add(Stage{Heading: "Cut", Notes: []Note{Knives}, Steps: cut})
	}
	folding := Stage{Heading: "Fold", Steps: fold}
	scheme := j.Form.Fold.Scheme()
	switch {
	case scheme.Strip:
		folding.Heading = "Join and fold"
	case len(scheme.Creases) == 0:
		folding.Heading = "The leaves"
	case scheme.CutOff != nil:
		folding.Notes = append(folding.Notes, Knives)
	}
	if len(nest) == 1 { // nothing is laid together
		folding.Steps, nest = append(folding.Steps, nest...), nil
	}
	add(folding)
	add(Stage{Heading: "Lay together", Steps: nest})
	check := []Step{Press{j.Form.Fold}, Collate{j.Pages, j.Blanks, len(j.Gatherings), j.Form.Fold, j.Form.Bind, len(bolts) > 0, j.Marks.Collation}}
	if len(j.Volumes) > 1 {
		check = append(check, PartVolumes{j.Volumes})
	}
	add(Stage{Heading: "Press and check", Steps: check})
	add(Stage{Heading: "Open the bolts", Steps: bolts})
	after := Stage{Heading: "What comes after", Notes: []Note{OrderOfWork{j.Form.Fold, j.Form.Bind, j.Folder, len(j.Bench) > 0}}}
	if len(cut) == 0 && scheme.CutOff == nil {
		after.Notes = append(after.Notes, Knives)
	}
	after.Notes = append(after.Notes, Needles, Adhesives)
	add(after)
	return part
}

func markNotes(m Marks) []Note {
	if m == (Marks{}) {
		return nil
	}
	return []Note{Marked{m}}
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
	next := j.begun()
	for i, motion := range j.Handwork {
		h.Motion, h.Last, h.lies = motion, false, next
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
				sort = append(sort, j.joinRuns())
			}
			sort = append(sort, TakeApart{j.Gatherings, j.SideNames})
		case reorder.LayDown:
			if m.Face == reorder.Front && (j.Form.Cut > 1 || j.Form.Copies) && !h.Pieces {
				cut = append(cut, h)
				h.Pieces = true
				continue
			}
			fold = append(fold, h)
		case reorder.CutPile, reorder.CutApart:
			cut = append(cut, h)
		case reorder.NestPieces, reorder.Present, reorder.LayIn:
			nest = append(nest, h)
		case reorder.OpenBolts:
			bolts = append(bolts, h)
		case reorder.FoldOver:
			h.Last = lastFold(j.Handwork[i+1:])
			fold = append(fold, h)
		default:
			fold = append(fold, h)
		}
	}
	return sort, cut, fold, nest, bolts
}

// lastFold tells whether no fold follows.
func lastFold(rest []reorder.Motion) bool {
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
type JoinRuns struct {
	Runs   int
	Sheets []int // of each
}

func (j Job) joinRuns() JoinRuns {
	out := JoinRuns{Runs: len(j.Runs)}
	for _, r := range j.Runs {
		out.Sheets = append(out.Sheets, r.Sheets)
	}
	return out
}

func (r JoinRuns) Text() Text {
	if r.Runs == 2 {
		return Text{Lead: say("Put the stacks of both runs together, fronts up: run 1 on top, run 2 under it.")}
	}
	return Text{
		Lead: say("Put the stacks of all {} runs together, fronts up: run 1 on top, the next run under it, and so on.", r.Runs),
	}
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
	return Text{Lead: say("Press the {} flat between clean boards under a weight, best over night.", madeOf(p.Fold))}
}

// madeOf is what a book of the fold is made of.
func madeOf(f reorder.Fold) string {
	s := f.Scheme()
	switch {
	case s.Strip:
		return "strip"
	case s.Held == reorder.Edges:
		return "leaves"
	}
	return "gatherings"
}

// one is what a book of the fold is if it has no more than one gathering.
func one(f reorder.Fold) string {
	if f.Scheme().Held == reorder.Edges {
		return "book"
	}
	return "gathering"
}

// Collate checks the pages before anything is sewn.
type Collate struct {
	Pages, Blanks int
	Gatherings    int
	Fold          reorder.Fold
	Bind          reorder.Bind
	Bolts         bool // some leaves still hang together
	Steps         bool // dark blocks go down the backs of the gatherings
}

func (c Collate) Text() Text {
	lead := say("{}: leaf through it and see that the pages follow each other as in the PDF, from the first to the last, {} in all.",
		wCollate.as("Collate the "+one(c.Fold)), reorder.Count(c.Pages, "page"))
	if c.Gatherings > 1 {
		lay := fmt.Sprintf("lay the gatherings on each other, the first on top and all folds at the %s", c.Bind)
		if c.Fold.Scheme().Held == reorder.Edges {
			lay = fmt.Sprintf("lay the leaves on each other, the first on top and all open edges at the %s", c.Bind)
		}
		lead = say("{}: {}. Leaf through them and see that the pages follow each other as in the PDF, from the first to the last, {} in all.",
			wCollate.as("Collate the book"), lay, reorder.Count(c.Pages, "page"))
	}
	t := Text{Lead: lead}
	if c.Steps && c.Gatherings > 1 {
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

// PartVolumes lays the gatherings of each volume together.
type PartVolumes struct{ Volumes []Volume }

func (p PartVolumes) Text() Text {
	t := Text{Lead: say("Part the pile into its {}. From here on each is a book for itself.", wVolume.as("volumes"))}
	for _, v := range p.Volumes {
		t.List = append(t.List, v.sentence())
	}
	return t
}

func (v Volume) sentence() Sentence {
	gatherings := fmt.Sprintf("gatherings %d to %d", v.First, v.Last)
	if v.First == v.Last {
		gatherings = fmt.Sprintf("gathering %d", v.First)
	}
	if v.FirstPage == 0 {
		return say("volume {}: {}, all of them blank", v.Number, gatherings)
	}
	return say("volume {}: {}, beginning with page {} of the PDF", v.Number, gatherings, v.FirstPage)
}

// OrderOfWork is what a binder does with the gatherings, in its order.
type OrderOfWork struct {
	Fold    reorder.Fold
	Bind    reorder.Bind
	Folder  string // of the job; empty: nobody who reads this has the program
	Figures bool   // the sheet has figures for the bench
}

func (o OrderOfWork) Text() Text {
	switch o.Fold {
	case reorder.Loose, reorder.Pouch:
		t := Text{
			Lead: say("The order of work from here: knock the leaves even at the {} edge and clamp them, glue that edge or {} it about 8 mm from the edge, {} the others, add the cover, press.", o.Bind, wStab, wTrim),
		}
		if o.Fold == reorder.Pouch {
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
	case o.Folder == "":
	case o.Figures:
		t.More = append(t.More, say("What is known of measures before sewing stands under {}.", link{"Figures for the bench", benchAnchor}))
	default:
		t.More = append(t.More, say("All measures, from the holes in the folds to the cloth, are given by {}.", literal("foldwright measure "+quoted(o.Folder))))
	}
	return t
}
