package runsheet

import (
	"fmt"
	"strings"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/reorder"
)

// Ends is some sheets in the order in which they come out, by the side names
// on the fronts of the first and the last.
type Ends struct {
	Sheets      int
	First, Last string // empty without side names
}

// DeliveredStack is the stack that lies in the delivery after a pass.
func DeliveredStack(f printer.Facts, pass printer.Pass, e Ends) drawing.Stack {
	lies := printer.Deliver(f, pass, []string{e.First, e.Last})
	s := drawing.Stack{Where: drawing.Delivery, Sheets: e.Sheets, Top: lies.Sheets[0], Bottom: lies.Sheets[1], Up: drawing.Front, Under: drawing.Back}
	if pass == printer.FrontPass {
		s.Under = drawing.Blank
	}
	if !lies.FrontsUp {
		s.Up, s.Under = s.Under, s.Up
	}
	return s
}

// firstDelivery is the stack that lies in the delivery after the first pass of a run.
func firstDelivery(f printer.Facts, r Run) drawing.Stack {
	return DeliveredStack(f, r.Files[0].Pass, Ends{r.Sheets, r.Files[0].FirstOut, r.Files[0].LastOut})
}

// feedEnds is a loaded stack in the order in which its sheets are printed.
func feedEnds(f printer.Facts, loaded drawing.Stack) Ends {
	out := printer.Stack[string]{Sheets: []string{loaded.Top, loaded.Bottom}}.Feed(f.FeedFrom)
	return Ends{loaded.Sheets, out[0], out[1]}
}

// LookAt compares a stack with what it must be.
type LookAt struct{ Stack drawing.Stack }

func (l LookAt) Text() Text {
	t := Text{Lead: l.lead(), Else: say("Otherwise see {}.", misfitLink)}
	if w := l.Stack.Where; w == drawing.Tray || w == drawing.BesideTray { // to be printed on the blank sides
		t.Else = nil
		t.More = []Sentence{say("The blank sides lie {}. They are printed next.", l.Stack.Fronts().Other().Way())}
	}
	if l.Stack.Top == "" {
		return t
	}
	if l.Stack.Sheets > 1 {
		t.More = append(t.More, say("The bottom sheet must show {}.", literal(shortName(l.Stack.Bottom))))
	}
	if l.Stack.Fronts() == drawing.Lower {
		t.More = append(t.More, say("Lift the sheets to see their undersides, and lay them back as they lay."))
	}
	if l.Stack.Where == drawing.Table && l.Stack.Sheets > 1 {
		t.More = append(t.More, say("From the top down their numbers rise."))
	}
	return t
}

// lead is which way the fronts lie, and what the top sheet reads.
func (l LookAt) lead() Sentence {
	where := map[drawing.Where]Sentence{
		drawing.Delivery: say("In the {}", wDelivery), drawing.Tray: say("In the {}", wTray), drawing.BesideTray: say("Beside the {}", wTray),
		drawing.Aside: say("On the stack that you laid aside"), drawing.Table: say("On the stack before you"),
	}[l.Stack.Where]
	s := say("{} the {} must lie {}", where, wFront.as("fronts"), l.Stack.Fronts().Way())
	if l.Stack.Top == "" {
		return say("{}.", s)
	}
	shows := "and the top sheet must show"
	if l.Stack.Fronts() == drawing.Lower {
		shows = "and the underside of the top sheet must show"
	}
	return say("{}, {} {}.", s, shows, literal(shortName(l.Stack.Top)))
}

// shortName is as much of a side name as tells one sheet from another.
func shortName(name string) string {
	short, _, _ := strings.Cut(name, " \u00b7 ")
	return short
}

// endNames is the side names on the fronts of a stack's ends.
func endNames(s drawing.Stack) []Sentence {
	switch {
	case s.Top == "":
		return nil
	case s.Sheets == 1:
		return []Sentence{say("The sheet's {}: {}", wSideName, literal(s.Top))}
	}
	return []Sentence{
		say("The top sheet's {}: {}", wSideName, literal(s.Top)),
		say("The bottom sheet's {}: {}", wSideName, literal(s.Bottom)),
	}
}

// PutBack takes the whole stack from the delivery back into the tray.
type PutBack struct {
	Reload printer.Reload
	Stack  drawing.Stack // as it lies; without sheets: not known
	Beside bool          // the tray does not hold it: it is laid beside the tray
}

// Sentences that belong to stacks only.
const (
	KeepOrder  = "Keep the sheets in their order."
	AsOneBlock = "The whole stack is turned as one block, not sheet by sheet."
)

func (p PutBack) Text() Text {
	where := "into the tray"
	if p.Beside {
		where = "beside the tray, as it would lie in it"
	}
	t := text("Turn the whole stack half round, flat on the table, and lay it {}.", where).
		why("What lies up stays up. The edge that was nearest you is now the one farthest from you. " + KeepOrder)
	switch p.Reload {
	case printer.AsDelivered:
		t.Lead = say("Lift the whole stack over into the tray just as it lies, without any turn.")
		if p.Beside {
			t.Lead = say("Let the whole stack lie beside the tray just as it lies, without any turn.")
		}
		t.More = []Sentence{say("What lies up stays up. The edge nearest you stays nearest you. " + KeepOrder)}
	case printer.TurnLong, printer.TurnShort:
		like, edge, stays := "page of a book", "long", "short edge stays at its end"
		if p.Reload == printer.TurnShort {
			like, edge, stays = "leaf of a wall calendar", "short", "long edge stays on its side"
		}
		t.Lead = say("Turn the whole stack over like the {}, about its {} edge, and lay it {}.", like, edge, where)
		t.More = []Sentence{say("What lay up now lies down. The {} edges change places; each {}. "+AsOneBlock, edge, stays)}
	}
	return t
}

// putBackSteps puts a stack back that waits for its backs, and looks at it.
func putBackSteps(j Job, once drawing.Stack) []Step {
	where := drawing.Tray
	if once.Where == drawing.Aside {
		where = drawing.BesideTray
	}
	return []Step{PutBack{j.Profile.Reload, once, where == drawing.BesideTray}, LookAt{once.Put(j.Profile.Reload, where)}}
}

// TakeOut takes the printed stack from the delivery and lays it before the person.
type TakeOut struct {
	TurnOver bool
	Stack    drawing.Stack // as it lies in the delivery
}

func (t TakeOut) Text() Text {
	if t.TurnOver {
		return text("Take the stack out and turn it over as a whole, like the page of a book, so that the fronts lie up.")
	}
	return text("Take the stack out as it lies: don't turn it over.")
}

// turn is how the stack is turned on its way.
func (t TakeOut) turn() printer.Reload {
	return map[bool]printer.Reload{false: printer.AsDelivered, true: printer.TurnLong}[t.TurnOver]
}

// lookThroughStep compares the two sides of the printed sheets.
func lookThroughStep(j Job, sheets int) Text {
	t := text("Look at both sides of the top sheet and some others: they must be the right way up to each other.").
		orElse("Otherwise print no more, and see {}.", misfitLink)
	switch {
	case sheets == 1:
		t.Lead = say("Look at both sides of the sheet.")
	case j.SideNames:
		t.Lead = say("Look at both sides of the top sheet and some others: both {} must begin with the same sheet number.", wSideName.as("side names"))
	}
	if edge := headEdge(j.Form); edge != 0 {
		t.More = append(t.More, say("The tops of the pages must lie at the same {} edge of the paper on both sides.", edge))
	}
	return t
}

// headEdge is the kind of edge at which all pages of a sheet have their heads,
// zero if they lie differently, as they do on sheets folded more than once,
// or at another one.
func headEdge(f reorder.Form) printer.FlipEdge {
	if f.Fold != reorder.Folio || f.Cut != 1 || f.Bind == reorder.BindTop {
		return 0
	}
	return printer.LongEdge
}

// FinishHeading stands over what makes the delivered stack the finished one.
const FinishHeading = "Take the stack out"

// finishStage makes the delivered stack the finished one.
func finishStage(j Job, r Run, out drawing.Stack) Stage {
	take := TakeOut{out.Fronts() == drawing.Lower, out}
	finished := out.Put(take.turn(), drawing.Table)
	s := Stage{Heading: FinishHeading, Steps: []Step{take, LookAt{finished}}}
	if r.Files[len(r.Files)-1].Pass != printer.FrontPass {
		s.Steps = append(s.Steps, lookThroughStep(j, r.Sheets))
	}
	if len(j.Runs) > 1 {
		s.Steps = append(s.Steps, text("Lay the stack aside, fronts up, with a slip of paper that says {}.", literal(fmt.Sprintf("run %d", r.Number))))
	}
	return s
}
