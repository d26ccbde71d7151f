package runsheet

import (
	"fmt"

	"foldwright/reorder"
)

func makingPart(j Job) (Part, error) {
	folds, err := foldSteps(j)
	if err != nil {
		return Part{}, err
	}
	var sort []Step
	if len(j.Runs) > 1 {
		sort = append(sort, JoinRuns{len(j.Runs)})
	}
	sort = append(sort, TakeApart{j.Gatherings, j.SideNames})
	check := []Step{Press{}, Collate{j.Pages, j.Blanks, len(j.Gatherings), j.Form.Bind, j.Marks.Collation}}
	if len(j.Volumes) > 1 {
		check = append(check, PartVolumes{j.Volumes})
	}
	return Part{Anchor: "make", Heading: "Make the gatherings", Stages: []Stage{
		{Heading: "Sort the sheets", Notes: markNotes(j.Marks), Steps: sort},
		{Heading: "Fold", Notes: []Note{newGrain(j), FindGrain{}}, Steps: folds},
		{Heading: "Press and check", Steps: check},
		{Heading: "What comes after", Notes: []Note{OrderOfWork{}, Knives, Needles, Adhesives}},
	}}, nil
}

func markNotes(m Marks) []Note {
	if m == (Marks{}) {
		return nil
	}
	return []Note{Marked{m}}
}

// foldSteps is how the flat sheets become gatherings. The error is [ErrForm].
func foldSteps(j Job) ([]Step, error) {
	if j.Form.Fold != reorder.Folio || j.Form.Cut != 1 {
		return nil, fmt.Errorf("%w: %s, cut %d", ErrForm, j.Form.Fold, j.Form.Cut)
	}
	steps := []Step{FoldOnce{j.SideNames}}
	for _, g := range j.Gatherings {
		if g.Sheets > 1 {
			return append(steps, Inset{}), nil
		}
	}
	return steps, nil
}

// JoinRuns puts the stacks of all runs together.
type JoinRuns struct{ Runs int }

func (r JoinRuns) Text() Text {
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

// FoldOnce folds each sheet by itself, about the middle of its long edge.
type FoldOnce struct{ SideNames bool }

func (f FoldOnce) Text() Text {
	t := Text{
		Lead: say("Fold each sheet by itself, once: lay it down with its front down, and bring one short edge exactly onto the other."),
		More: []Sentence{say("Hold the edges together, then run the crease flat from its middle outwards, best with a smooth piece of bone or plastic. The front is now outside.")},
	}
	if f.SideNames {
		t.More = append(t.More, say("The {} lies in the fold, inside and outside.", wSideName))
	}
	return t
}

// Inset puts the folded sheets of each gathering into each other.
type Inset struct{}

func (Inset) Text() Text {
	return Text{
		Lead: say("{} the sheets of each gathering: the first stays outermost, the second goes into it, the third into the second, until all are in.", wInset.as("Inset")),
		More: []Sentence{say("The tops of all pages lie at the same end. Knock the sheets even in the fold and at the top.")},
	}
}

// Press flattens the gatherings.
type Press struct{}

func (Press) Text() Text {
	return Text{Lead: say("Press the gatherings flat between clean boards under a weight, best over night.")}
}

// Collate checks the pages before anything is sewn.
type Collate struct {
	Pages, Blanks int
	Gatherings    int
	Bind          reorder.Bind
	Steps         bool // dark blocks go down the backs of the gatherings
}

func (c Collate) Text() Text {
	lead := say("{}: leaf through it and see that the pages follow each other as in the PDF, from the first to the last, {} in all.",
		wCollate.as("Collate the gathering"), reorder.Count(c.Pages, "page"))
	if c.Gatherings > 1 {
		lead = say("{}: lay the gatherings on each other, the first on top and all folds at the {}. Leaf through them and see that the pages follow each other as in the PDF, from the first to the last, {} in all.",
			wCollate.as("Collate the book"), c.Bind, reorder.Count(c.Pages, "page"))
	}
	t := Text{Lead: lead}
	if c.Steps && c.Gatherings > 1 {
		t.More = append(t.More, say("Look at the folds: from the first gathering to the last, the dark blocks go down like stairs. A step that is missing, doubled or out of place is a gathering that is so."))
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
type OrderOfWork struct{}

func (OrderOfWork) Text() Text {
	return Text{
		Lead: say("The order of work from here: {} the folds, sew, glue up the {}, {}, {}, {} the spine, measure, cut boards and cloth, make the {}, hang the book into it, press.",
			wPierce, wSpine, wTrim, wRound, wLine, wCase),
		More: []Sentence{say("Cut boards and cloth only when the sewn and pressed book has been measured.")},
	}
}
