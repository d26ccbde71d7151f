package learn

import (
	"slices"
	"strconv"

	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/profiles"
)

// question is one thing that is asked.
type question struct {
	place int // among all questions
	// asks is what is asked again after a contradiction; 0 if nothing
	// contradicts the answer.
	asks  learning.Question
	look  func(*talk) string // what to look at, and the question
	picks []pick             // what can be answered; nil for typed numbers or words
	read  func(*talk, string) error
	// skip says what Enter alone means; empty if an answer is needed.
	skip string
	// open tells whether the question has to be asked as things stand.
	open func(*talk) bool
	// forget undoes the answer.
	forget func(*talk)
}

// pick is one answer out of a list.
type pick struct {
	says string
	set  func(*talk)
}

// constant is a text that doesn't change.
func constant(text string) func(*talk) string { return func(*talk) string { return text } }

// questions are all of them, in the order in which they are asked.
func questions() []question {
	all := slices.Concat(feeding(), order(), measuring(), stacking())
	for i := range all {
		all[i].place = i
	}
	return all
}

// feeding is what one sheet tells of how paper is fed and turned.
func feeding() []question {
	return []question{
		{
			asks: learning.AskTwoSided,
			look: constant("How did you print the test sheet?"),
			picks: []pick{
				{"test-front.pdf first; then I put the paper back and printed test-back.pdf", func(t *talk) { t.heard.TwoSided = printer.ByHand }},
				{"test-both.pdf; the printer turned the paper over by itself", func(t *talk) { t.heard.TwoSided = printer.Automatic }},
			},
			open:   func(t *talk) bool { return t.heard.TwoSided == 0 },
			forget: func(t *talk) { t.heard.TwoSided = 0 },
		},
		{
			look: constant("How many test sheets did you print?"),
			picks: []pick{
				{"one", func(*talk) {}},
				{"three, with I, II and III on them", func(t *talk) { t.heard.Three = true }},
			},
			open: func(t *talk) bool { return !t.heard.Three },
		},
		{
			asks: learning.AskReload,
			look: constant("When the first side was printed: how did you put the paper back into the printer?"),
			picks: []pick{
				{"just as it came out, without turning it in any way", func(t *talk) { t.heard.Reload = printer.AsDelivered }},
				{"turned half round, flat on the table: what lay up still lay up", func(t *talk) { t.heard.Reload = printer.RotateHalf }},
				{"turned over sideways, like the page of a book", func(t *talk) { t.heard.Reload = printer.TurnLong }},
				{"turned over lengthwise, like the leaf of a wall calendar", func(t *talk) { t.heard.Reload = printer.TurnShort }},
			},
			open:   func(t *talk) bool { return t.isByHand() && t.heard.Reload == 0 },
			forget: func(t *talk) { t.heard.Reload = 0 },
		},
		{
			asks: learning.AskReading,
			look: constant(`Push a pin through the middle of the cross beside the letter A, and look where it
comes out. Which number stands beside the hole? (If the letters and the numbers
are all on one side: which number stands in the corner of the A?)`),
			picks: []pick{
				{"the number 1", func(t *talk) { t.heard.Reading = learning.A1 }},
				{"the number 2", func(t *talk) { t.heard.Reading = learning.A2 }},
				{"the number 3", func(t *talk) { t.heard.Reading = learning.A3 }},
				{"the number 4", func(t *talk) { t.heard.Reading = learning.A4 }},
			},
			open:   func(t *talk) bool { return t.heard.Reading == 0 },
			forget: func(t *talk) { t.heard.Reading = 0 },
		},
		{
			asks: learning.AskPencil,
			look: constant(`Before you printed, you drew a pencil cross on the side of the blank sheet that
then lay up in the tray (in an upright tray: that looked at you). Where is it now?`),
			picks: []pick{
				{"on the side with the letters A B C D, in the circle", func(t *talk) { t.heard.Pencil = learning.OnPrinted }},
				{"on the other side", func(t *talk) { t.heard.Pencil = learning.OnUnprinted }},
			},
			skip:   "I drew none",
			open:   func(t *talk) bool { return t.isByHand() && t.heard.Pencil == 0 },
			forget: func(t *talk) { t.heard.Pencil = 0 },
		},
		{
			asks: learning.AskLands,
			look: constant("When the paper had come out, before you lifted it: on which side was the print just made?"),
			picks: []pick{
				{"on the upper side: I could read it", func(t *talk) { t.heard.Lands = printer.FaceUp }},
				{"on the lower side: I saw the other one", func(t *talk) { t.heard.Lands = printer.FaceDown }},
			},
			skip:   "I did not look",
			open:   func(t *talk) bool { return t.isByHand() && t.heard.Lands == 0 },
			forget: func(t *talk) { t.heard.Lands = 0 },
		},
		{
			asks: learning.AskLands,
			look: constant("When the paper had come out, before you lifted it: which side lay up?"),
			picks: []pick{
				{"the letters A B C D", func(t *talk) { t.heard.Lands = printer.FaceUp }},
				{"the numbers 1 2 3 4", func(t *talk) { t.heard.Lands = printer.FaceDown }},
			},
			skip:   "I did not look",
			open:   func(t *talk) bool { return !t.isByHand() && t.heard.Lands == 0 },
			forget: func(t *talk) { t.heard.Lands = 0 },
		},
	}
}

// order is what three sheets tell.
func order() []question {
	return []question{
		{
			asks: learning.AskTop,
			look: func(t *talk) string {
				if t.isByHand() {
					return `Look at the three sheets as they lay when they came out last. Take the one on top:
which sheet is it, on the side with the word "back"?`
				}
				return "Look at the three sheets as they lay when they came out. Which one is on top?"
			},
			picks: []pick{
				{"sheet I", func(t *talk) { t.heard.Top = learning.TopFirst }},
				{"sheet III", func(t *talk) { t.heard.Top = learning.TopLast }},
			},
			skip:   "I don't know any more",
			open:   func(t *talk) bool { return t.heard.Three && t.heard.Top == 0 },
			forget: func(t *talk) { t.heard.Top = 0 },
		},
		{
			asks: learning.AskPair,
			look: func(t *talk) string {
				if t.isOneFace() {
					return `Take the sheet whose print with the word "front" says I. What does its other print say, the one with the word "back"?`
				}
				return `Take the sheet that says I on the side with the word "front". What does its other side say?`
			},
			picks: []pick{
				{"I", func(t *talk) { t.heard.Pair = learning.PairSame }},
				{"III", func(t *talk) { t.heard.Pair = learning.PairReversed }},
			},
			open:   func(t *talk) bool { return t.heard.Three && t.isByHand() && t.heard.Pair == 0 },
			forget: func(t *talk) { t.heard.Pair = 0 },
		},
		{
			asks: learning.AskStacks,
			look: constant("While the sheets came out: where did each one come to lie?"),
			picks: []pick{
				{"on top of the one before it", func(t *talk) { t.heard.Stacks = printer.OnTop }},
				{"beneath the one before it", func(t *talk) { t.heard.Stacks = printer.Beneath }},
			},
			skip:   "I did not watch",
			open:   func(t *talk) bool { return t.heard.Three && t.known().Stacks == 0 },
			forget: func(t *talk) { t.heard.Stacks = 0 },
		},
	}
}

// stacking is what the run sheet's words depend on.
func stacking() []question {
	return []question{
		{
			look: constant("What kind of tray do you feed from?"),
			picks: []pick{
				{"a drawer: the paper lies inside", func(t *talk) { t.heard.Tray = profiles.Drawer }},
				{"an upright one: the paper stands behind the printer", func(t *talk) { t.heard.Tray = profiles.Upright }},
				{"a slot: the paper lies flat and sticks out", func(t *talk) { t.heard.Tray = profiles.Slot }},
			},
			skip: "I'd rather not say",
			open: func(t *talk) bool { return t.heard.Tray == 0 },
		},
		{
			look: constant("How many sheets of this paper does the tray take?"),
			read: func(t *talk, text string) error {
				n, err := strconv.Atoi(text)
				if err != nil || n < 1 {
					return refuseNumbers(text, "a number of sheets")
				}
				t.heard.TraySheets = n
				return nil
			},
			skip: "I don't know",
			open: func(t *talk) bool { return t.heard.TraySheets == 0 },
		},
		{
			look: constant("How does the printer print?"),
			picks: []pick{
				{"with a laser: sheets come out warm", func(t *talk) { t.heard.Process = profiles.Laser }},
				{"with ink: sheets come out a little wet", func(t *talk) { t.heard.Process = profiles.Inkjet }},
			},
			skip: "I don't know",
			open: func(t *talk) bool { return t.heard.Process == 0 },
		},
	}
}
