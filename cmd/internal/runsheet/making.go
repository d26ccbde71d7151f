package runsheet

import (
	"fmt"
	"slices"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/drawing"
	"foldwright/reorder"
)

func makingPart(j Job) Part {
	if j.Plates != nil {
		return platesPart(j)
	}
	stages := append(append(j.handStages(), checkStage(j)), j.insertStages()...)
	return Part{Anchor: MakeAnchor, Heading: "Fold", Stages: append(stages, afterStage(j))}
}

// restPart makes the other gatherings like the one that was tried.
func restPart(j Job) Part {
	others := j
	others.Gatherings, others.Handwork, others.Runs = j.Gatherings[1:], j.Trial.Then, j.Trial.Rest
	like := Stage{Heading: "Fold the others", Steps: []Step{likeTrialStep}}
	out := append([]Stage{others.handStages()[0], like, checkStage(j)}, j.insertStages()...)
	return Part{Anchor: MakeAnchor, Heading: "Fold", Stages: append(out, afterStage(j))}
}

// likeTrialStep makes all gatherings as the first one was made.
var likeTrialStep = text("Do with each {} what you did with the first one, under {}. Then lay the first one on top of the others.", wGathering, trialLink)

// handStages is what the hands do until the gatherings lie there to be read, the first
// of them the sorting.
func (j Job) handStages() []Stage {
	steps := j.handSteps()
	scheme := j.Form.Fold.Scheme()
	folding := Stage{Heading: "Fold", Steps: steps.fold}
	switch {
	case scheme.Strip:
		folding.Heading = "Join and fold"
	case len(scheme.Creases) == 0:
		folding.Heading = "Lay the leaves ready"
	case scheme.CutOff != nil:
		folding.Drawers = j.knifeDrawers()
	}
	if len(steps.nest) == 1 { // nothing is laid together
		folding.Steps, steps.nest = append(folding.Steps, steps.nest...), nil
	}
	sorting := Stage{Heading: "Sort the sheets", Steps: steps.sort}
	if j.Marks != (Marks{}) {
		sorting.Drawers = []Stage{{Heading: "The marks on the sheets", Notes: []Note{marksNote(j.Marks)}}}
	}
	return slices.DeleteFunc([]Stage{
		sorting, {Heading: "Cut", Steps: steps.cut, Drawers: j.knifeDrawers()}, folding, {Heading: "Nest", Steps: steps.nest},
	}, func(s Stage) bool { return len(s.Steps) == 0 })
}

func (j Job) knifeDrawers() []Stage {
	safe := Stage{Heading: "Safe with knives", Notes: []Note{knives}, Paper: j.isCautious()}
	if j.Form.Cut >= manyCuts {
		safe.Notes = append(safe.Notes, smallPieces)
	}
	return []Stage{safe}
}

func checkStage(j Job) Stage {
	s := Stage{Heading: "Press and check", Steps: []Step{pressStep(j.Form.Fold), Collate{j, len(j.handSteps().bolts) > 0}}}
	if len(j.Volumes) > 1 {
		s.Steps = append(s.Steps, partVolumesStep(j.Volumes))
	}
	return s
}

// bindHeading stands above what is done with the gatherings.
const bindHeading = "Bind"

// afterStage is what a binder does with the gatherings.
func afterStage(j Job) Stage {
	safe := Stage{Heading: "Safe with needles, knives and glue", Notes: []Note{needles, knives, adhesives}, Paper: j.isCautious()}
	if j.Form.Fold.Scheme().Strip { // nothing is sewn or stabbed
		safe.Heading, safe.Notes = "Safe with knives and glue", []Note{knives, adhesives}
	}
	s := Stage{Heading: bindHeading, Drawers: []Stage{safe}}
	for i, sheet := range j.Bench {
		sew := sewStep(sheet)
		if len(j.Bench) > 1 {
			sew.Lead = say("Volume {}: {}", i+1, sew.Lead)
		}
		s.Steps = append(s.Steps, sew)
	}
	s.Steps = append(append(s.Steps, orderOfWorkStep(j)), j.handSteps().bolts...)
	return s
}

// handSteps is the motions of the plan as steps.
type handSteps struct {
	sort, cut, fold []Step
	nest            []Step // lay together what was folded, as it is read
	bolts           []Step // open them when the book is sewn
}

func (j Job) handSteps() (steps handSteps) {
	h := Hand{Job: j}
	next := workpiece{paper: drawing.Flat{Size: j.Paper.Size, Layers: 1, Units: j.Units}} // the finished stack
	for i, motion := range j.Handwork {
		h.Motion, h.Last, h.work = motion, false, next
		to := &steps.fold
		next = next.after(motion)
		switch m := motion.(type) {
		case reorder.Deal:
			if i > 0 {
				if j.Form.ByPieces {
					steps.cut = append(steps.cut, CountOffStacks{j, j.Handwork[0].(reorder.Deal).Counts, m.Counts, m.Spare})
				} else {
					steps.cut = append(steps.cut, CountOff{m.Counts, j})
				}
				continue
			}
			h.Stacks = len(m.Counts)
			if !j.Form.ByPieces && len(m.Counts) < len(j.Gatherings) { // cut run by run
				steps.sort = append(steps.sort, KeepStacks{m.Counts})
				continue
			}
			if len(j.Runs) > 1 {
				steps.sort = append(steps.sort, joinRunsStep)
			}
			if j.Copies > 1 {
				steps.sort = append(steps.sort, takeCopiesStep(j))
			}
			if j.Form.ByPieces {
				steps.sort = append(steps.sort, TakeStacks{j, m.Counts, j.spareOf()})
			} else {
				steps.sort = append(steps.sort, TakeApart{j})
			}
			continue
		case reorder.LayDown:
			if m.Face == reorder.Front && (j.Form.Cut > 1 || j.Form.Copies) && !h.Pieces {
				steps.cut = append(steps.cut, h)
				if j.Form.Cut >= manyCuts {
					steps.cut = append(steps.cut, squareCornerStep)
				}
				h.Pieces = true
				continue
			}
		case reorder.CutPile, reorder.CutApart:
			to = &steps.cut
		case reorder.NestPieces, reorder.Present, reorder.LayIn:
			to = &steps.nest
		case reorder.OpenBolts:
			to = &steps.bolts
		case reorder.FoldOver:
			h.Last = !slices.ContainsFunc(j.Handwork[i+1:], func(m reorder.Motion) bool { _, fold := m.(reorder.FoldOver); return fold })
		}
		*to = append(*to, h)
	}
	return steps
}

// KeepStacks keeps what is cut as one stack by itself.
type KeepStacks struct{ Sheets []int }

func (KeepStacks) Text() Text {
	return text("Leave the stack of each {} whole, in its order, fronts up. It is cut as one, and only then taken apart into {}.", wRun, wGathering.as("gatherings"))
}

// CountOff takes the cut stacks apart.
type CountOff struct {
	Pieces []int // of each gathering
	Job
}

func (c CountOff) Text() Text {
	t := text("Count the pieces off from the top of the cut stack, gathering by gathering:")
	t.Table = c.gatheringTable("pieces", func(i int) string { return fmt.Sprint(c.Pieces[i]) })
	if c.SideNames {
		t.More = append(t.More, say("The {} on each piece says to which one it belongs, and its place there.", wSideName))
	}
	return t
}

// gatheringTable has a row for each gathering: its mark, and what is said of it.
func (j Job) gatheringTable(head string, of func(i int) string) [][]Sentence {
	rows := [][]Sentence{j.addLetter("letter", say("gathering"), say("{}", head))}
	for i, g := range j.Gatherings {
		rows = append(rows, j.addLetter(j.Marks.Signing.Name(g.Number), say("{}", g.Number), say("{}", of(i))))
	}
	return rows
}

// addLetter adds a letter after the first cell of a row, if gatherings are signed by letters.
func (j Job) addLetter(letter string, row ...Sentence) []Sentence {
	if j.Marks.Signing == reorder.Letters {
		return slices.Insert(row, 1, say("{}", letter))
	}
	return row
}

var joinRunsStep = text("Put the stacks of all {} together, fronts up: run 1 on top, the next one under it, and so on.", wRun.as("runs"))

// takeCopiesStep divides the stack into the copies of the book.
func takeCopiesStep(j Job) Text {
	first, last := j.Gatherings[0], j.Gatherings[len(j.Gatherings)-1]
	end := last.First + last.Sheets - 1
	t := Text{
		Lead:  say("Take the stack apart into {} copies from the top. Set each aside separately, and do all that follows with one copy after the other:", j.Copies),
		Table: [][]Sentence{{say("copy"), say("sheets")}},
	}
	for i := range j.Copies {
		from := first.First + i*j.BookSheets
		if i > 0 && j.Trial != nil { // of the first copy a gathering has been made already
			from = 1 + i*j.BookSheets
		}
		t.Table = append(t.Table, []Sentence{say("{}", i+1), say("{}", Pages{from, end + i*j.BookSheets}.String())})
	}
	if j.SideNames {
		t.More = append(t.More, say("The {} says to which copy a sheet belongs.", wSideName))
	}
	return t
}

// TakeApart divides the stack into gatherings.
type TakeApart struct{ Job }

func (t TakeApart) Text() Text {
	if len(t.Gatherings) == 1 {
		return text("All sheets make one {}. Keep them in their order, fronts up.", wGathering)
	}
	if !slices.ContainsFunc(t.Gatherings, func(g Gathering) bool { return g.Sheets != 1 }) {
		return text("Every sheet is a {} of its own. Keep them in their order, fronts up.", wGathering)
	}
	out := Text{Lead: say("Take the stack apart into {} from the top. Set each aside separately, in order, fronts up:", wGathering.as("gatherings"))}
	if t.Copies > 1 {
		out.More = append(out.More, say("These are the sheets of copy 1. In each further copy their numbers are higher by {}.", t.BookSheets))
	}
	out.Table = t.gatheringTable("sheets", func(i int) string {
		return Pages{t.Gatherings[i].First, t.Gatherings[i].First + t.Gatherings[i].Sheets - 1}.String()
	})
	if slices.ContainsFunc(t.Inserts, func(in Insert) bool { return len(in.Laid) > 0 }) {
		out.Table[0] = append(out.Table[0], say("laid in later"))
		for i, g := range t.Gatherings {
			out.Table[i+1] = append(out.Table[i+1], say("{}", t.laidInto(g.Number)))
		}
	}
	if t.SideNames {
		out.More = append(out.More, say("The {} on each sheet begins with its number.", wSideName))
	}
	return out
}

func pressStep(f reorder.Fold) Text {
	parts := "gatherings"
	switch s := f.Scheme(); {
	case s.Strip:
		parts = "strip"
	case s.Held == reorder.Edges:
		parts = "leaves"
	}
	return text("Press the {} flat between clean boards under a weight, best overnight.", parts)
}

// Collate checks the pages before anything is sewn.
type Collate struct {
	Job
	Bolts bool // some leaves still hang together
}

// hasStairs tells whether dark blocks go down the spine.
func (c Collate) hasStairs() bool { return c.Marks.Collation && len(c.Gatherings) > 1 }

// follow is what is looked for.
func (c Collate) follow() string {
	if c.Made {
		return "no page is missing and none has slipped"
	}
	return "the pages follow each other as in the PDF"
}

func (c Collate) Text() Text {
	edges := c.Form.Fold.Scheme().Held == reorder.Edges
	t := text("{}: leaf through it and see that {}, {} in all.", wCollate.as(map[bool]string{true: "Collate the book", false: "Collate the gathering"}[edges]), c.follow(), reorder.Count(c.Pages, "page")).
		orElse("Otherwise see {}.", misfitLink)
	if len(c.Gatherings) > 1 {
		lay := fmt.Sprintf("lay the gatherings on each other, the first on top and all folds at the %s", c.Form.Bind)
		if edges {
			lay = fmt.Sprintf("lay the leaves on each other, the first on top and all open edges at the %s", c.Form.Bind)
		}
		t.Lead = say("{}: {}. Leaf through them and see that {}, {} in all.", wCollate.as("Collate the book"), lay, c.follow(), reorder.Count(c.Pages, "page"))
	}
	if c.hasStairs() {
		t.More = append(t.More, say("Look at the folds: from the first gathering to the last, the dark blocks go down like stairs. A gap, a repeat or a jump means that a gathering is missing, doubled or misplaced."))
	}
	if c.Bolts {
		t.More = append(t.More, say("Where leaves still hang together, look in between them."))
	}
	if c.Blanks > 0 {
		t.More = append(t.More, say("The book includes {}. Don't take any out.", reorder.Count(c.Blanks, "blank page")))
	}
	if c.Between != "" {
		t.More = append(t.More, say("To write in: {}. Leave what is blank where it lies.", c.Between))
	}
	return t
}

// partVolumesStep lays the gatherings of each volume together.
func partVolumesStep(volumes []reorder.Volume) Text {
	t := text("Divide the pile into its {}. From here on each is a book of its own.", wVolume.as("volumes"))
	for _, v := range volumes {
		gatherings := fmt.Sprintf("gatherings %d to %d", v.First, v.Last())
		if v.First == v.Last() {
			gatherings = fmt.Sprintf("gathering %d", v.First)
		}
		begins := fmt.Sprintf("beginning with page %d of the PDF", v.FirstPage)
		if v.FirstPage == 0 {
			begins = "all of them blank"
		}
		t.List = append(t.List, say("volume {}: {}, {}", v.Number, gatherings, begins))
	}
	return t
}

// orderOfWorkStep is what a binder does with the gatherings, in its order (common
// practice, no source).
func orderOfWorkStep(j Job) Text {
	switch j.Form.Fold {
	case reorder.Loose, reorder.Pouch:
		t := text("Then knock the leaves even at the {} edge and clamp them, glue that edge or {} it about {} from the edge, {} the others, add the cover, press.", j.Form.Bind, wStab, fromSpine(j.Bench), wTrim)
		if j.Form.Fold == reorder.Pouch {
			t.More = append(t.More, say("Don't trim the edge with the folds: the leaves stay closed there."))
		}
		return t
	case reorder.Concertina:
		return text("Then press the folded strip, cut two boards and cover them, and glue them to its first and its last page or to blank leaves there.")
	}
	t := text("Then sew the gatherings, and cover the book.")
	if len(j.Bench) > 0 {
		t.Lead = orderOfWork(j.Bench[0].Structure)
	}
	switch {
	case j.Program == Program{}: // nobody who reads this has the program
	case len(j.Bench) > 0:
		t.More = []Sentence{say("More measures stand under {}.", link{"Figures for the bench", benchAnchor})}
	default:
		t.More = []Sentence{say("After printing, get the measures from {}.", j.Program.command("measure"))}
	}
	return t
}

// orderOfWork is what follows the folding with a way of binding.
func orderOfWork(s binding.Structure) Sentence {
	switch s.Sewn {
	case binding.OneFold:
		return say("Then fold the cover around the gathering, {} both through the fold, sew, press and {}.", wPierce, wTrim)
	case binding.ThroughCover:
		return say("Then {} the gatherings if you wish, cut and fold the cover, {} its {} and the folds at the same places, sew each gathering through the cover, press.", wTrim, wPierce, wSpine)
	case binding.Side:
		return say("Then knock the leaves even and clamp them, {} them with their cover, sew, press.", wStab)
	}
	on := map[binding.Support]string{binding.Cords: " on cords", binding.Tapes: " on tapes"}[s.Support]
	work := say("Then {} the folds, sew{}, glue up the {}, {}", wPierce, on, wSpine, wTrim)
	if s.Spine == binding.Rounded {
		work = say("{}, {}", work, wRound)
	}
	switch s.Cover {
	case binding.Boards:
		return say("{}, measure, cut the boards and lace them on, {} the spine, cover, press.", work, wLine)
	case binding.Paper:
		return say("{}, measure, cut the cover and glue it on, press.", work)
	}
	return say("{}, {} the spine, measure, cut boards and cloth, make the {}, hang the book into it, press.", work, wLine, wCase)
}

func marksNote(marks Marks) Text {
	t := text("There are marks on the sheets. They lie in folds, on cuts or on what is trimmed off, never on a page:")
	for _, m := range []struct {
		printed bool
		says    Sentence
	}{
		{marks.Fold, say("Short thin strokes at the ends of each fold: the crease runs from one to the other.")},
		{marks.Cut, say("Short dashed strokes at the ends of each cut before folding, on the sides that then lie up: the cut runs from one to the other.")},
		{marks.Collation, say("A dark block on the fold of each gathering, outside. It shows when one is missing or out of its order.")},
		{marks.Signing == reorder.Letters, say("The letter of each gathering, at the foot of its first page in the fold: A to Z without J, V and W, then AA, BB and so on.")},
		{marks.Signing == reorder.Numbers, say("The number of each gathering, at the foot of its first page in the fold.")},
		{marks.Stations, say("In the innermost fold of each gathering, pairs of short strokes: {} between the two of a pair. The dark point beside them lies towards the head.", wPierce)},
		{marks.Corners, say("Fine strokes outside the corners of each leaf: {} along them.", wTrim)},
	} {
		if m.printed {
			t.List = append(t.List, m.says)
		}
	}
	return t
}
