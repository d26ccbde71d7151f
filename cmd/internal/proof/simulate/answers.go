package simulate

import (
	"math"

	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
)

// Answers reads the test sheet as a person would. It is meant for the outcome of [OfTest].
func (o Outcome) Answers() learning.Answers {
	made := o.Runs[0]
	a := learning.Answers{TwoSided: o.Facts.TwoSided, Reading: o.reading(), Lands: printer.FaceDown}
	first := made.Stages[0].Stack
	if up := first[0].Upper; up.Printed && up.Image.Side == reorder.Front {
		a.Lands = printer.FaceUp
	}
	if o.Facts.TwoSided == printer.ByHand {
		a.Reload, a.Pencil = o.PutBack, learning.OnUnprinted
		for _, face := range []virtual.Seen[Page]{first[0].Upper, first[0].Lower} {
			if face.Printed && face.Crossed {
				a.Pencil = learning.OnPrinted
			}
		}
	}
	if len(made.Sheets) == 1 {
		return a
	}
	a.Stacks, a.Top, a.Pair = o.Facts.Stacks, learning.TopLast, learning.PairReversed // the first one sees happen
	if pageOfBack(made.Stages[len(made.Stages)-2].Stack[0]).Sheet == 1 {
		a.Top = learning.TopFirst
	}
	for _, s := range made.Sheets {
		if s.Front.Image.Sheet == 1 && printBehind(s).Image.Sheet == 1 {
			a.Pair = learning.PairSame
		}
	}
	return a
}

// learnCommand learns a printer from the answers.
func learnCommand(a learning.Answers) phrase.Command {
	c := phrase.Command{Name: "learn", Arguments: []string{"NAME"}}
	c.Settings = lists.Map(a.Given(), func(answer learning.Answer) phrase.Setting { return phrase.Set(answer.Question.String(), answer.Value) })
	return c
}

// printBehind is the print that was made second: on the back, or over the front.
func printBehind(s virtual.Finished[Page]) virtual.Seen[Page] {
	if s.Front.Over != nil {
		return *s.Front.Over
	}
	return s.Back
}

// pageOfBack is the page of the back file on a sheet.
func pageOfBack(l Lying) Page {
	for _, face := range []virtual.Seen[Page]{l.Upper, l.Lower} {
		for f := &face; f != nil; f = f.Over {
			if f.Printed && f.Image.Side == reorder.Back {
				return f.Image
			}
		}
	}
	return Page{}
}

// reading pushes a pin through the cross at the letter K.
func (o Outcome) reading() (near learning.Reading) {
	paper, s := o.Task.Paper, o.Runs[0].Sheets[0]
	pin := s.Front.Place(testsheet.Corner(paper, 0), paper.Size)
	second := printBehind(s)
	if s.Front.Over == nil {
		pin.X = paper.Size.W - pin.X // on the other face
	}
	least := math.Inf(1)
	for i := range testsheet.Numbers {
		at := second.Place(testsheet.NumberAt(paper, i), paper.Size)
		if d := math.Hypot(at.X-pin.X, at.Y-pin.Y); d < least {
			near, least = learning.K1+learning.Reading(i), d
		}
	}
	return near
}

// meanings are what pin readings say (design 3, the test sheet).
var meanings = map[learning.Reading]string{
	learning.K1: "both prints are on one side, the same way up: put the stack back as you did, and then turn it over like the page of a book",
	learning.K2: "between front and back the sheet was turned over about its long edge (flip-edge long)",
	learning.K3: "both prints are on one side, one of them upside down: put the stack back as you did, and then turn it over like the page of a book",
	learning.K4: "between front and back the sheet was turned over about its short edge (flip-edge short)",
}
