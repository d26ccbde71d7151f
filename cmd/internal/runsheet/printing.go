package runsheet

import (
	"fmt"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
)

// EmptyTray makes sure that only counted sheets are printed.
type EmptyTray struct{}

func (EmptyTray) Text() Text {
	return Text{Lead: say("Take all paper out of the {}, and out of the {}.", wTray, wDelivery)}
}

// Fan loosens the sheets.
type Fan struct{}

func (Fan) Text() Text {
	return Text{Lead: say("{} the fresh paper and knock its edges even on the table.", wFan.as("Fan"))}
}

// LoadFresh puts fresh sheets into the tray.
type LoadFresh struct {
	Sheets   int
	Paper    reorder.Paper
	FeedFace printer.FeedFace // zero if the printer turns the sheets itself
	Tray     int              // how many sheets it takes, 0 if unknown
}

func (l LoadFresh) Text() Text {
	t := Text{
		Lead: say("Count exactly {} of {} paper, and lay what you counted into the tray.", reorder.Count(l.Sheets, "sheet"), paperWord(l.Paper)),
		More: []Sentence{say("Count twice. An exact number is what shows you later that no two sheets went through together.")},
	}
	if l.Tray == 0 && l.Sheets > 1 {
		t.More = append(t.More, say("If your tray or your delivery does not hold so many, prepare the book again with {} and a smaller number, or say in the {} how many it holds.", literal("--run"), wProfile))
	}
	switch l.FeedFace {
	case printer.FeedUp:
		t.More = append(t.More, say("The face that lies up in the tray gets printed. If your paper has a better face, that face lies up."))
	case printer.FeedDown:
		t.More = append(t.More, say("The face that lies down in the tray gets printed. If your paper has a better face, that face lies down."))
	}
	return t
}

// SplitRun says that the run holds a part of a gathering.
type SplitRun struct{}

func (SplitRun) Text() Text {
	return Text{
		Important: true,
		Lead:      say("This {} begins or ends in the middle of a {}.", wRun, wGathering),
		More:      []Sentence{say("Its sheets belong together with those of the run before it or after it. Fold nothing until all runs are printed.")},
	}
}

// PrintFile sends one file.
type PrintFile struct {
	File string
	Pass printer.Pass
	// FirstOut is the side name on the first sheet to come out; of an
	// automatic printer's sheet that of its front. Other is the name on that
	// sheet's other face, printed before. Empty without side names.
	FirstOut, Other string
	// First and Last are the faces that are printed of the sheets that come
	// out first and last, in the plan's views; of one sheet alone they are one.
	First, Last drawing.Print
}

func (p PrintFile) Text() Text {
	var t Text
	if p.FirstOut != "" {
		t.List = append(t.List, say("{} on the first sheet to come out: {}", wSideName, literal(p.FirstOut)))
	}
	if p.Other != "" {
		t.List = append(t.List, say("on its other face: {}", literal(p.Other)))
	}
	switch p.Pass {
	case printer.FrontPass:
		t.Lead = say("Look at {} and print {}. It prints the {} of every sheet.", dialogLink, literal(p.File), wFront)
	case printer.BackPass:
		t.Lead = say("Look at {} and print {}. It prints the back of every sheet.", dialogLink, literal(p.File))
	default:
		t.Lead = say("Look at {} and print {}. It prints both faces of every sheet, the {} and the back.", dialogLink, literal(p.File), wFront)
	}
	if p.FirstOut != "" {
		t.More = append(t.More, say("Look at that sheet if you can do so without reaching into the printer. If you read another name, cancel the rest and read {}.", troubleLink))
	}
	return t
}

// CountOut compares what came out with what was counted in.
type CountOut struct {
	Sheets int
	More   bool // another file of the run follows
}

func (c CountOut) Text() Text {
	t := Text{Lead: say("When the printer is done, count the sheets: {} in the {}, none left in the {}.", c.Sheets, wDelivery, wTray)}
	t.More = append(t.More, say("Keep them in their order, and lay them back just as they lay."))
	if c.More {
		t.More = append(t.More, say("If a sheet is missing or left over, do not print the second file. Read {}.", troubleLink))
	} else {
		t.More = append(t.More, say("If a sheet is missing or left over, read {}.", troubleLink))
	}
	return t
}

// Place is where a pile is looked at.
type Place int

const (
	InDelivery Place = iota + 1
	InTray
	OnTable
	Aside      // beside the printer
	BesideTray // waiting to be loaded, as it would lie in the tray
)

// LookAt compares a pile with what it must be.
type LookAt struct {
	Place Place
	Pile  Pile
	Gaps  bool // its sheets do not all follow each other in the book
}

func (l LookAt) Text() Text {
	t := Text{Lead: l.faces(), List: l.names()}
	if l.Place == InTray || l.Place == BesideTray {
		t.More = append(t.More, say("The blank faces lie {}. They are printed next.", l.Pile.Fronts.other()))
	}
	if l.Pile.Top == "" {
		return t
	}
	if l.Pile.Fronts == LooksDown {
		t.More = append(t.More, say("The names are on the undersides: lift the sheets to read them, and lay them back as they lay."))
	}
	switch {
	case l.Place != OnTable || l.Pile.Sheets == 1:
	case l.Gaps:
		t.More = append(t.More, say("From the top down their numbers rise."))
	default:
		t.More = append(t.More, say("From the top down the sheets count up one by one."))
	}
	if l.Place != InTray && l.Place != BesideTray {
		t.More = append(t.More, say("If something differs, stop and read {}.", troubleLink))
	}
	return t
}

func (l LookAt) faces() Sentence {
	switch l.Place {
	case InDelivery:
		return say("Look at the stack in the {}: the printed faces must lie {}.", wDelivery, l.Pile.Fronts)
	case InTray:
		return say("Look at the stack in the {}: the printed faces must lie {}.", wTray, l.Pile.Fronts)
	case BesideTray:
		return say("Look at the stack beside the {}: the printed faces must lie {}.", wTray, l.Pile.Fronts)
	case Aside:
		return say("Look at the stack that you laid aside: the fronts must lie {}.", l.Pile.Fronts)
	}
	return say("Look at the stack before you: the fronts must lie {}.", l.Pile.Fronts)
}

func (l LookAt) names() []Sentence {
	switch {
	case l.Pile.Top == "":
		return nil
	case l.Pile.Sheets == 1:
		return []Sentence{say("the sheet's {}: {}", wSideName, literal(l.Pile.Top))}
	}
	return []Sentence{
		say("the top sheet's {}: {}", wSideName, literal(l.Pile.Top)),
		say("the bottom sheet's {}: {}", wSideName, literal(l.Pile.Bottom)),
	}
}

// Rest gives heat or ink time.
type Rest struct{ Process profiles.Process }

func (r Rest) Text() Text {
	t := Text{Lead: say("Let the sheets rest. Do not turn them meanwhile or change their order.")}
	if r.Process != profiles.Inkjet {
		t.More = append(t.More, say("From a laser printer they are hot: wait until they are cool and lie flat, about ten minutes."))
	}
	if r.Process != profiles.Laser {
		t.More = append(t.More, say("From an inkjet printer they are wet: wait until a finger leaves no smear, a quarter of an hour or longer."))
	}
	return t
}

// PutBack takes the whole stack from the delivery back into the tray.
type PutBack struct {
	Reload printer.Reload
	Pile   Pile // as it lies in the delivery; without sheets: not known
	Beside bool // the tray does not hold it: it is laid beside the tray
}

func (p PutBack) Text() Text {
	where := "into the tray"
	if p.Beside {
		where = "beside the tray, as it would lie in it"
	}
	switch p.Reload {
	case printer.RotateHalf:
		return Text{
			Lead: say("Turn the whole stack half round, flat on the table, and lay it {}.", where),
			More: []Sentence{say("What lies up stays up. The edge that was nearest you is now the one farthest from you. Keep the sheets in their order.")},
		}
	case printer.TurnLong:
		return Text{
			Lead: say("Turn the whole stack over like the page of a book, about its long edge, and lay it {}.", where),
			More: []Sentence{say("What lay up now lies down. The long edges change places; each short edge stays at its end. The whole stack is turned as one block, not sheet by sheet.")},
		}
	case printer.TurnShort:
		return Text{
			Lead: say("Turn the whole stack over like the leaf of a wall calendar, about its short edge, and lay it {}.", where),
			More: []Sentence{say("What lay up now lies down. The short edges change places; each long edge stays on its side. The whole stack is turned as one block, not sheet by sheet.")},
		}
	}
	lead := say("Lift the whole stack over into the tray just as it lies, without any turn.")
	if p.Beside {
		lead = say("Let the whole stack lie beside the tray just as it lies, without any turn.")
	}
	return Text{
		Lead: lead,
		More: []Sentence{say("What lies up stays up. The edge nearest you stays nearest you. Keep the sheets in their order.")},
	}
}

// TakeOut takes the printed stack from the delivery and lays it before the person.
type TakeOut struct {
	TurnOver bool
	Pile     Pile // as it lies in the delivery
}

func (t TakeOut) Text() Text {
	if t.TurnOver {
		return Text{Lead: say("Take the stack out and turn it over as a whole, like the page of a book, so that the fronts lie up.")}
	}
	return Text{Lead: say("Take the stack out as it lies. The fronts already lie up: do not turn it over.")}
}

// LookThrough compares the two faces of the printed sheets.
type LookThrough struct {
	Sheets    int
	Top       Both
	SideNames bool
	// Heads is the kind of edge at which the heads of all pages lie, one and
	// the same edge on both faces; zero if they lie at more than one.
	Heads printer.FlipEdge
}

func (l LookThrough) Text() Text {
	lead := say("Look at both faces of the top sheet and some others: they must lie the right way up to each other.")
	if l.SideNames {
		lead = say("Look at both faces of the top sheet and some others: both names must begin with the same sheet number.")
	}
	if l.Sheets == 1 {
		lead = say("Look at both faces of the sheet.")
	}
	t := Text{Lead: lead}
	if l.Heads != 0 {
		t.More = append(t.More, say("The tops of the pages must lie at the same {} edge of the paper on both faces.", l.Heads))
	}
	t.More = append(t.More, say("If something differs, print no more and read {}.", troubleLink))
	return t
}

// LayAside keeps the stack of a run until all are printed.
type LayAside struct {
	Run   int
	Split bool
	Pile  Pile // fronts up
}

func (l LayAside) Text() Text {
	t := Text{Lead: say("Lay the stack aside, fronts up, with a slip of paper that says {}.", literal(fmt.Sprintf("run %d", l.Run)))}
	if l.Split {
		t.More = append(t.More, say("A gathering goes on in the run before it or after it: keep their stacks side by side."))
	}
	return t
}
