package runsheet

import (
	"fmt"
	"strings"

	"foldwright/cmd/internal/drawing"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// Insert is leaves of other paper that are laid into a book: plates, or end-leaves.
type Insert struct {
	Name    string // of its folder
	Printed bool   // in that folder is a run sheet of its own
	How     reorder.Attach
	Ends    int       // folded sheets of end-leaves at each end; 0: plates
	Sewn    bool      // end-leaves
	Stubs   bool      // the second leaf of a folded pair is cut down
	Leaf    geom.Size // to which a leaf is cut, as it is read
	Paper   string    // what people call it; empty: any
	Laid    []Laid
	FoldOut reorder.FoldOut
}

// Laid is a plate's place in the book.
type Laid struct {
	Text string // in words
	Slot reorder.Slot
}

// Plates is what a run sheet knows whose sheets are laid into another book.
type Plates struct {
	Insert
	Book string
}

// Trade words of this stage.
var (
	wTip   = word("tip", "paste a narrow strip along the spine edge of a leaf and lay it onto the page beside it")
	wGuard = word("guard", "a narrow strip of strong thin paper that is folded lengthwise, sewn through its fold and carries a leaf")
)

// pasted is how wide the paste is by which a leaf is tipped on, in mm, and guardWide how wide a guard is before it is
// folded (both common practice, no source).
const (
	pasted    = "3 to 5 mm"
	guardWide = 24.0
)

// insertStages is what is laid into the gatherings before they are sewn.
func (j Job) insertStages() []Stage {
	if len(j.Inserts) == 0 {
		return nil
	}
	s := Stage{Heading: "Lay in what is on other paper", Drawers: []Stage{{Heading: "Safe with knives and glue", Notes: []Note{knives, adhesives}, Paper: j.isCautious()}}}
	var folders []string
	for _, in := range j.Inserts {
		if in.Printed {
			folders = append(folders, in.Name)
		}
	}
	if len(folders) > 0 {
		s.Steps = append(s.Steps, printInsertsStep(folders))
	}
	for _, in := range j.Inserts {
		s.Steps = append(s.Steps, LayInsert{in, j})
	}
	return []Stage{s, {Heading: "Look through it once more", Steps: []Step{leafInsertsStep}}}
}

func printInsertsStep(folders []string) Text {
	t := text("Print them: follow the run sheet in the folder {}.", literal(folders[0]))
	if len(folders) > 1 {
		t = text("Print them: follow the run sheets in the folders")
		for _, f := range folders {
			t = t.item("{}", literal(f))
		}
	}
	return t.why("They can be printed before the book or after it, on the paper and the printer that their run sheets name.")
}

var leafInsertsStep = text("Leaf through the {} once more: every leaf of other paper lies where its list says, its head up, and the pages of the book still follow each other.", wGathering.as("gatherings"))

// LayInsert lays leaves of other paper into the gatherings.
type LayInsert struct {
	Insert
	Job
}

func (l LayInsert) Text() Text {
	var t Text
	name := literal(l.Insert.Name)
	switch {
	case l.Ends > 0:
		t = l.endsText()
	case l.How == reorder.Wrapped:
		t = text("{}: lay each folded pair round the leaves named here, heads up. It is sewn with them.", name).
			why("Both its leaves and the leaves inside it lie in one fold. If leaves still hang together at another edge, open them first.")
		if l.Stubs {
			t = t.why("Its second leaf is empty: cut it down to a stub of about 15 mm once the pair lies in its place.")
		}
	case l.How == reorder.Guard:
		t = text("{}: cut a {} of strong thin paper for each leaf, {} wide and as high as the leaf, and fold it lengthwise. Paste the leaf's edge at the {} {} onto one half, fold to fold, and lay the guard round the leaves named here. It is sewn with them.",
			name, wGuard, l.length(guardWide), wSpine, pasted)
		t = t.why("The grain of the guard runs along the fold. The half without the leaf stays as a stub.")
		if len(l.FoldOut.Folds) > 0 {
			t = t.why("Leave the fold-out folded: its folds lie {} and more inside the edge that is trimmed.", l.length(reorder.ClearOfTrim))
		}
	default:
		t = text("{}: {} each plate: brush paste {} wide along the spine edge of its back, and lay it on the page after its place, spine edge to the fold, its head up.", name, wTip.as("tip"), pasted).
			why("Lay waste paper under the plate and over it, so that only that strip gets paste. Press it under a board with clean paper between until it is dry.").
			why("At the end of the book there is no page after it: paste its front to the last page.")
	}
	for _, laid := range l.Laid {
		t.List = append(t.List, say("{}", laid.Text))
	}
	if l.Trim != (reorder.Trim{}) {
		t = t.why("Leaves of other paper are cut to their last size before they are laid in. The book's leaves are not: the head of a plate lies {} below theirs.", l.length(l.Trim.Head))
	}
	return t
}

// endsText is about end-leaves.
func (l LayInsert) endsText() Text {
	name, paper := literal(l.Insert.Name), "other paper"
	if l.Insert.Paper != "" {
		paper = l.Insert.Paper
	}
	n := reorder.Count(l.Ends, "folded sheet")
	var t Text
	if l.Sewn {
		t = text("{}: lay {} before the first {} and {} after the last. Each is sewn like a gathering.", name, n, wGathering, n)
	} else {
		t = text("{}: {} {} onto the first page and {} onto the last: brush paste {} wide along the fold, and lay it fold to fold.", name, wTip.as("tip"), n, n, pasted)
	}
	if len(l.Volumes) > 1 {
		t = t.item("in each {}", wVolume)
	}
	if !l.Printed {
		bind := l.Form.Bind
		open := bind.TurnToSide(l.Insert.Leaf)
		open.W *= 2
		t = t.why("Nothing is printed on them. Take {} of {} for each end, cut it to {} and fold it in the middle, the grain along the fold.", reorder.Count(l.Ends, "sheet"), paper, l.size(bind.TurnToSide(open)))
	}
	return t
}

// Drawing shows the first place.
func (l LayInsert) Drawing() drawing.Drawing {
	if l.Ends > 0 || len(l.Laid) == 0 || l.Laid[0].Slot.Edges {
		return nil
	}
	s := l.Laid[0].Slot
	return drawing.LaidIn{How: l.How, Leaves: s.Leaves, Before: s.Before, Stub: l.Stubs}
}

// platesPart is what is done with sheets that are laid into another book.
func platesPart(j Job) Part {
	p := j.Plates
	stages := j.handStages()
	stages[0].Steps = []Step{text("Keep the sheets in their order, fronts up.")}
	if j.Form.Fold == reorder.Loose {
		stages[0].Steps = []Step{text("Keep the leaves in their order, fronts up. With the head of its page away from you, the edge of a leaf at the {} is the one at the {}.", wSpine, j.Form.Bind)}
		stages = stages[:1]
	}
	cut := Stage{Heading: "Cut to size", Drawers: j.knifeDrawers()}
	what := "leaf"
	if p.How == reorder.Wrapped || p.Ends > 0 {
		what = "folded sheet"
	}
	cut.Steps = append(cut.Steps, cutPlatesStep(j, what))
	if len(p.FoldOut.Folds) > 0 {
		cut.Steps = append(cut.Steps, FoldPlate{p.FoldOut, j})
	}
	check := Stage{Heading: "Press and check", Steps: []Step{pressStep(reorder.Loose), text("See that every page is there, {} in all, its head up.", reorder.Count(j.Pages, "page")).
		orElse("Otherwise see {}.", misfitLink)}}
	lay := Stage{Heading: "Lay them into the book", Steps: []Step{backToBookStep(p)}}
	return Part{Anchor: MakeAnchor, Heading: "Make the leaves", Stages: append(stages, cut, check, lay)}
}

func cutPlatesStep(j Job, what string) Text {
	leaf := j.Trim.Of(j.Leaf, j.Form.Bind)
	if j.Trim == (reorder.Trim{}) {
		return text("Nothing is cut off: each leaf is {} as it is.", j.size(leaf))
	}
	t := text("Cut each {} to {} along the fine strokes outside its corners. Nothing is cut off at the {}.", what, j.size(leaf), wSpine)
	var off []string
	for _, e := range []struct {
		edge string
		mm   float64
	}{{"head", j.Trim.Head}, {"tail", j.Trim.Tail}, {"edge across from the spine", j.Trim.ForeEdge}} {
		if e.mm > 0.05 {
			off = append(off, fmt.Sprintf("%s at the %s", j.length(e.mm), e.edge))
		}
	}
	return t.why("That is {}.", refusal.List(off, "and"))
}

// FoldPlate folds a leaf that is wider than the others.
type FoldPlate struct {
	reorder.FoldOut
	Job
}

func (f FoldPlate) Text() Text {
	places := lists.Map(f.Folds, func(at float64) string { return f.length(at) })
	if len(f.Folds) == 1 {
		return text("Fold the leaf {} from its edge at the {}, the printed side inside: the free end comes to lie over the first panel.", places[0], wSpine).
			why("It opens away from the spine. The fold lies {} inside the trimmed edge at least, so that the knife does not open it.", f.length(reorder.ClearOfTrim))
	}
	return text("Fold the leaf {} from its edge at the {}, backwards, the printed side outside. Then fold it {} from that edge, forwards, over the first panel.", places[1], wSpine, places[0]).
		why("The third panel comes to lie on top, its free edge away from the spine: who pulls at it opens the leaf. No fold lies nearer than {} to the trimmed edge, and none in the sewing.", f.length(reorder.ClearOfTrim))
}

func (f FoldPlate) Drawing() drawing.Drawing {
	return drawing.FoldOut{FoldOut: f.FoldOut, Units: f.Units}
}

func backToBookStep(p *Plates) Text {
	t := text("Go on with the run sheet of {}, where it says how they are held.", literal(p.Book))
	if len(p.Laid) > 0 {
		t = text("They belong into {}, whose run sheet says how they are held ({}):", literal(p.Book), p.How)
		for _, l := range p.Laid {
			t.List = append(t.List, say("{}", l.Text))
		}
	}
	return t
}

// laidInto names what is laid into a gathering; empty: nothing.
func (j Job) laidInto(gathering int) string {
	var names []string
	for _, in := range j.Inserts {
		for _, l := range in.Laid {
			if l.Slot.Gathering == gathering {
				names = append(names, in.Name)
				break
			}
		}
	}
	return strings.Join(names, ", ")
}
