package runsheet

import (
	"foldwright/cmd/internal/drawing"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// Hand is one motion of the hands, from the plan itself.
type Hand struct {
	reorder.Motion
	Job
	Pieces bool // of cut sheets, not whole ones
	Last   bool // no fold follows
	Stacks int  // how many stacks are cut

	work workpiece // what lies there before
}

func (h Hand) Text() Text {
	switch m := h.Motion.(type) {
	case reorder.LayDown:
		return h.layDown(m)
	case reorder.CutPile:
		return h.cut(m)
	case reorder.CutApart:
		return h.cutApart(m)
	case reorder.CutOffInset:
		return h.cutOff(m)
	case reorder.LayIn:
		return Text{
			Lead: say("Open the folded sheet in its middle and lay the folded offcut into it, fold into fold."),
			More: []Sentence{h.headsSentence()},
		}
	case reorder.FoldOver:
		return h.fold(m)
	case reorder.SlitBolt:
		return text("Before the next fold, slit the fold at the {} open: from its {} end to a little past its middle.", drawing.Edges[m.Edge], drawing.Ends[m.From]).
			why("Use a flat, blunt knife. Uncut, the paper would crumple inside the next fold. What is not slit holds the leaves together.")
	case reorder.NestPieces:
		return h.nest()
	case reorder.Join:
		return h.join(m)
	case reorder.Pleat:
		return text("Fold the strip to and fro between its pages, every {}: from page 1 on the first fold goes backwards, the second forwards, and so on.", h.length(m.Width)).
			why("The first fold brings two printed sides outside, the second brings two together. All edges come to lie on each other.")
	case reorder.Present:
		return h.present(m)
	case reorder.OpenBolts:
		return h.openBolts(m)
	}
	return Text{}
}

// thing is what is folded by itself.
func (h Hand) thing() string {
	if h.Pieces {
		return "piece"
	}
	return "sheet"
}

var uprightAt = map[geom.Towards]string{
	geom.Up:   "so that the pages farthest from you are upright and those nearest you upside down",
	geom.Down: "so that the pages nearest you are upright", geom.Left: "so that the pages at the left are upright",
}

func (h Hand) layDown(m reorder.LayDown) Text {
	how := uprightAt[m.Upright]
	switch {
	case m.Size.W < m.Size.H:
		how = "a short edge nearest you, " + how
	case m.Size.W > m.Size.H:
		how = "a long edge nearest you, " + how
	}
	stack, cut := "the stack", h.Form.Cut > 1 || h.Form.Copies
	if h.Stacks > 1 {
		stack = "each stack by itself"
	}
	switch {
	case m.Face == reorder.Back && m.Singly:
		return text("Fold each {} separately. Lay it before you, front down, {}.", h.thing(), how).
			why("Keep what is folded in its order.")
	case m.Face == reorder.Back:
		return text("Fold all {}s of a gathering together, as if they were one. Lay the first before you, front down, {}. Lay the others on it in their order, each turned the same way, and knock them even.", h.thing(), how).
			why("The first is now at the bottom. Once they are folded it is the outermost.")
	case h.Form.Fold.Scheme().Strip:
		return text("Lay the sheets before you, fronts up, {}.", how)
	case cut && !h.Pieces:
		return text("Take {}, knock it even and lay it before you, fronts up, {}.", stack, how).
			why("A stack that is too thick for your knife is cut in portions: lay these on each other again afterwards as they lay before.")
	}
	return text("Take {}, knock it even and lay it before you, fronts up, {}.", stack, how).
		why("The first page lies on top.")
}

// manyCuts is so many pieces of a sheet that a corner which is not square shows in the last
// of them (common practice, no source).
const manyCuts = 8

var squareCornerStep = text("Hold a set square to the near left corner of the stack. If it is not square, shave the near edge until it is.").
	why("Cuts add up: a slant at the first shows in the last piece.").
	why("Before every cut, knock the stack even into this corner again.")

func (h Hand) cut(m reorder.CutPile) Text {
	half := drawing.Halves[m.On]
	t := text("Cut the stack through its middle {}. Then lay the {} half on the {} one.", h.work.paper.LineRuns(m.Line, m.At), half[0], half[1])
	if m.Turn {
		t.Lead = say("Cut the stack through its middle {}. Turn the {} half round, flat on the table, and lay the {} half on it.", h.work.paper.LineRuns(m.Line, m.At), half[1], half[0])
		t.More = append(t.More, say("Now all pages lie the same way round, and every edge that you cut lies at the tail, below the text."))
	}
	if !h.work.piece { // at the first cut, which is enough
		t.More = append(t.More, say("Don't mix up the order within the halves."))
	}
	return t
}

func (h Hand) cutApart(m reorder.CutApart) Text {
	t := text("Cut the stack through its middle {}. The two halves are two books: keep them apart.", h.work.paper.LineRuns(m.Line, m.At)).
		why("Each lies in its order, the first page on top.")
	if h.SideNames {
		t.More = append(t.More, say("The {} says copy 1 in the one and copy 2 in the other.", wSideName))
	}
	return t
}

func (h Hand) cutOff(m reorder.CutOffInset) Text {
	off := "far"
	if m.Line == reorder.Upright {
		off = "right-hand"
	}
	t := text("Cut the {} end off, {}. Turn it half round, flat on the table: it is the offcut. Fold it separately:", off, h.work.paper.LineRuns(m.Line, m.At)).
		why("Lay it aside, and go on with the rest of the sheet as it lies.")
	t.List = lists.Map(m.Inset, func(one reorder.Motion) Sentence { return Hand{Motion: one, Job: h.Job}.Text().Lead })
	return t
}

func (h Hand) fold(m reorder.FoldOver) Text {
	t := text("Bring the {} edge over onto the {} one, and crease the fold.", drawing.Halves[m.Over][0], drawing.Halves[m.Over][1])
	if !h.Last {
		return t
	}
	t.More = append(t.More, say("Hold the edges together, then run the crease flat from its middle outwards, best with a smooth piece of bone or plastic."))
	if h.Form.Fold.Scheme().Held != reorder.Sewn {
		return t
	}
	t.More = append(t.More, say("This is the fold that is sewn through."))
	if h.SideNames {
		t.More = append(t.More, say("The {} lies in it.", wSideName))
	}
	return t
}

// headsSentence is how the pages of what is laid together stand to each other.
func (h Hand) headsSentence() Sentence {
	if h.Form.Bind == reorder.BindTop {
		return say("The pages of every opening are read the same way round.")
	}
	return say("The tops of all pages lie at the same end.")
}

func (h Hand) nest() Text {
	t := Text{
		Lead: say("{} the folded {} of each gathering: the first stays outermost, the second goes into its middle, the third into the middle of the second, and so on.", wNest.as("Nest"), h.thing()+"s"),
		More: []Sentence{h.headsSentence(), say("Knock them even in the fold and at one end.")},
	}
	if h.SideNames && h.Pieces {
		t.More = append(t.More, say("The {} numbers the pieces from the outermost inwards.", wSideName))
	}
	return t
}

var joinSides = map[geom.Towards][2]string{
	geom.Right: {"to the right of", "left"}, geom.Left: {"to the left of", "right"}, geom.Down: {"below", "far"},
}

func (h Hand) join(m reorder.Join) Text {
	way := joinSides[m.To]
	return text("Join the sheets into one strip: lay the second sheet {} the first, its {} edge exactly {} from the {} edge of the first. It covers the bare end there: glue it onto that end.", way[0], way[1], h.length(m.At), way[1]).
		why("Join the third sheet to the second in the same way, and so on. The bare end of the last sheet is cut off.").
		why("Use a thin, even line of glue, and let it dry under a weight between clean paper.")
}

var spineAt = map[geom.Towards]string{geom.Left: "left", geom.Right: "right", geom.Up: "far edge"}

func (h Hand) present(m reorder.Present) Text {
	what, each, edge := "The gathering", "Each gathering", "fold"
	if m.Held == reorder.Edges {
		what, each, edge = "The book", "Each leaf", "edge that is glued or stabbed"
	}
	if h.Form.Fold == reorder.Concertina {
		edge = "edge that is held"
	}
	if len(h.Gatherings) > 1 {
		what = each
	}
	lies := say("{} now lies as it is read: its first page is on top, upright, and the {} is at the {}.", what, edge, spineAt[m.Spine])
	switch {
	case m.TurnOver:
		return Text{Lead: say("Turn it over like the page of a book."), More: []Sentence{lies}}
	case m.Quarters == 2:
		return Text{Lead: say("Turn it half round, flat on the table."), More: []Sentence{lies}}
	}
	return Text{Lead: lies}
}

// boltName is what a bolt's edge is called in the book.
func (h Hand) boltName(edge geom.Towards) string {
	if h.Form.Bind == reorder.BindTop {
		return map[geom.Towards]string{geom.Down: "the edge opposite the spine", geom.Left: "the left", geom.Right: "the right"}[edge]
	}
	return map[geom.Towards]string{geom.Up: "the head", geom.Down: "the tail", geom.Left: "the fore-edge", geom.Right: "the fore-edge"}[edge]
}

func (h Hand) openBolts(m reorder.OpenBolts) Text {
	names := lists.Map(m.Edges, h.boltName)
	return text("Leave the {} at {} closed until the book is sewn. Then cut them open with a flat, blunt knife; the fold at the {} stays.", wBolt.as("bolts"), refusal.List(names, "and"), wSpine).
		why("Closed, they keep the leaves even while you sew. If you {} those edges, they are gone with the shavings.", wTrim)
}
