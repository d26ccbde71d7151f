package learning

import (
	"slices"

	"foldwright/printer"
)

type claim struct {
	question Question
	// rests are other answers without which this one says nothing.
	rests []Question
	holds func(printer.Facts) bool
}

// claims are the answers that were given, each as what it says.
func (a Answers) claims() []claim {
	says := map[Question]claim{
		AskTwoSided: {holds: func(f printer.Facts) bool { return f.TwoSided == a.TwoSided }},
		AskReload:   {holds: func(f printer.Facts) bool { return f.TwoSided == printer.ByHand }},
		AskReading:  {rests: a.reloadQuestions(), holds: a.agreesWithPin},
		AskPencil: {holds: func(f printer.Facts) bool {
			return (f.FeedFace == printer.FeedUp) == (a.Pencil == OnPrinted) && f.FeedFace != 0
		}},
		AskLands:    {holds: func(f printer.Facts) bool { return f.Lands == a.Lands }},
		AskStacks:   {holds: func(f printer.Facts) bool { return f.Stacks == a.Stacks }},
		AskFeedFrom: {holds: func(f printer.Facts) bool { return f.FeedFrom == a.FeedFrom }},
		AskSends:    {holds: func(f printer.Facts) bool { return f.Sends == a.Sends }},
		AskTop:      {holds: func(f printer.Facts) bool { return topOf(f) == a.Top }},
		AskPair:     {rests: a.reloadQuestions(), holds: func(f printer.Facts) bool { return pairOf(f, a.Reload) == a.Pair }},
	}
	var all []claim
	for _, answer := range a.Given() {
		c := says[answer.Question]
		c.question = answer.Question
		all = append(all, c)
	}
	return all
}

func (a Answers) reloadQuestions() []Question {
	if a.Reload == 0 {
		return nil
	}
	return []Question{AskReload}
}

// agreesWithPin compares a printer's turn with the pin reading. Without a word
// on what was done with the sheet, only the turn is known.
func (a Answers) agreesWithPin(f printer.Facts) bool {
	if f.TwoSided == printer.Automatic {
		return !a.Reading.isSameFace() && f.FlipEdge == a.Reading.flipEdge()
	}
	return f.FlipEdge == a.Reading.flipEdge() && (a.Reload == 0 || f.Reload == a.reloadFromNow())
}

// reloadFromNow is what has to be done with a stack from now on: what was done with
// the test sheet and, if its two prints fell on one face, a turn about the long
// edge after it.
func (a Answers) reloadFromNow() printer.Reload {
	if !a.Reading.isSameFace() {
		return a.Reload
	}
	return map[printer.Reload]printer.Reload{
		printer.AsDelivered: printer.TurnLong, printer.RotateHalf: printer.TurnShort,
		printer.TurnLong: printer.AsDelivered, printer.TurnShort: printer.RotateHalf,
	}[a.Reload]
}

// topOf is the sheet of three that such a printer leaves on top.
func topOf(f printer.Facts) Top {
	if printer.Deliver(f, printer.FrontPass, threeOut(f)).Sheets[0] == 3 {
		return TopLast
	}
	return TopFirst
}

// pairOf is how backs come to lie on fronts if one file after the other is
// printed in the same order and the stack is put back in the given way: the
// delivery, the person and the tray may each reverse the order.
func pairOf(f printer.Facts, done printer.Reload) Pair {
	if f.TwoSided == printer.Automatic {
		return PairSame
	}
	loaded := printer.Deliver(f, printer.FrontPass, threeOut(f)).PutBack(done)
	if slices.Equal(loaded.Feed(f.FeedFrom), threeOut(f)) {
		return PairSame
	}
	return PairReversed
}

// threeOut is three test sheets in the order in which they come out.
func threeOut(f printer.Facts) []int {
	inOrder := printer.SharedFiles(3, false)[0]
	return f.SheetsOut(inOrder.File)
}
