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

// answer is a pick that stands for a value.
type answer[T comparable] struct {
	says  string
	value T
}

func is[T comparable](says string, value T) answer[T] { return answer[T]{says, value} }

// about completes a question for a field of what was heard: its answers are what the field can
// be, and it is open while the field is zero and, unless that is nil, when.
func about[T comparable](q question, field func(*Heard) *T, when func(*talk) bool, answers ...answer[T]) question {
	var unheard T
	for _, a := range answers {
		q.picks = append(q.picks, pick{a.says, func(t *talk) { *field(&t.heard) = a.value }})
	}
	q.open = func(t *talk) bool { return (when == nil || when(t)) && *field(&t.heard) == unheard }
	q.forget = func(t *talk) { *field(&t.heard) = unheard }
	return q
}

// always is a text that doesn't change.
func always(text string) func(*talk) string { return func(*talk) string { return text } }

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
		about(question{
			asks: learning.AskTwoSided,
			look: always("How did you print the test sheet?"),
		}, func(h *Heard) *printer.TwoSided { return &h.TwoSided }, nil,
			is("test-front.pdf first; then I put the paper back and printed test-back.pdf", printer.ByHand),
			is("test-both.pdf; the printer turned the paper over by itself", printer.Automatic)),
		{
			look: always("How many test sheets did you print?"),
			picks: []pick{
				{"one", func(*talk) {}},
				{"three, with I, II and III on them", func(t *talk) { t.heard.Three = true }},
			},
			open: func(t *talk) bool { return !t.heard.Three },
		},
		about(question{
			asks: learning.AskReload,
			look: always("When the first side was printed: how did you put the paper back into the printer?"),
		}, func(h *Heard) *printer.Reload { return &h.Reload }, (*talk).byHand,
			is("just as it came out, without turning it in any way", printer.AsDelivered),
			is("turned half round, flat on the table: what lay up still lay up", printer.RotateHalf),
			is("turned over sideways, like the page of a book", printer.TurnLong),
			is("turned over lengthwise, like the leaf of a wall calendar", printer.TurnShort)),
		about(question{
			asks: learning.AskReading,
			look: always(`Push a pin through the middle of the cross beside the letter A, and look where it
comes out. Which number stands beside the hole? (If the letters and the numbers
are all on one side: which number stands in the corner of the A?)`),
		}, func(h *Heard) *learning.Reading { return &h.Reading }, nil,
			is("the number 1", learning.A1),
			is("the number 2", learning.A2),
			is("the number 3", learning.A3),
			is("the number 4", learning.A4)),
		about(question{
			asks: learning.AskPencil,
			look: always(`Before you printed, you drew a pencil cross on the side of the blank sheet that
then lay up in the tray (in an upright tray: that looked at you). Where is it now?`),
			skip: "I drew none",
		}, func(h *Heard) *learning.Pencil { return &h.Pencil }, (*talk).byHand,
			is("on the side with the letters A B C D, in the circle", learning.OnPrinted),
			is("on the other side", learning.OnUnprinted)),
		about(question{
			asks: learning.AskLands,
			look: always("When the paper had come out, before you lifted it: on which side was the print just made?"),
			skip: "I did not look",
		}, func(h *Heard) *printer.Lands { return &h.Lands }, (*talk).byHand,
			is("on the upper side: I could read it", printer.FaceUp),
			is("on the lower side: I saw the other one", printer.FaceDown)),
		about(question{
			asks: learning.AskLands,
			look: always("When the paper had come out, before you lifted it: which side lay up?"),
			skip: "I did not look",
		}, func(h *Heard) *printer.Lands { return &h.Lands }, func(t *talk) bool { return !t.byHand() },
			is("the letters A B C D", printer.FaceUp),
			is("the numbers 1 2 3 4", printer.FaceDown)),
	}
}

// order is what three sheets tell.
func order() []question {
	return []question{
		about(question{
			asks: learning.AskTop,
			look: func(t *talk) string {
				if t.byHand() {
					return `Look at the three sheets as they lay when they came out last. Take the one on top:
which sheet is it, on the side with the word "back"?`
				}
				return "Look at the three sheets as they lay when they came out. Which one is on top?"
			},
			skip: "I don't know any more",
		}, func(h *Heard) *learning.Top { return &h.Top }, (*talk).three,
			is("sheet I", learning.TopFirst),
			is("sheet III", learning.TopLast)),
		about(question{
			asks: learning.AskPair,
			look: func(t *talk) string {
				if t.oneFace() {
					return `Take the sheet whose print with the word "front" says I. What does its other print say, the one with the word "back"?`
				}
				return `Take the sheet that says I on the side with the word "front". What does its other side say?`
			},
		}, func(h *Heard) *learning.Pair { return &h.Pair }, func(t *talk) bool { return t.three() && t.byHand() },
			is("I", learning.PairSame),
			is("III", learning.PairReversed)),
		about(question{
			asks: learning.AskStacks,
			look: always("While the sheets came out: where did each one come to lie?"),
			skip: "I did not watch",
		}, func(h *Heard) *printer.Stacks { return &h.Stacks }, func(t *talk) bool { return t.three() && t.known().Stacks == 0 },
			is("on top of the one before it", printer.OnTop),
			is("beneath the one before it", printer.Beneath)),
	}
}

// stacking is what the run sheet's words depend on.
func stacking() []question {
	return []question{
		about(question{
			look: always("What kind of tray do you feed from?"),
			skip: "I'd rather not say",
		}, func(h *Heard) *profiles.Tray { return &h.Tray }, nil,
			is("a drawer: the paper lies inside", profiles.Drawer),
			is("an upright one: the paper stands behind the printer", profiles.Upright),
			is("a slot: the paper lies flat and sticks out", profiles.Slot)),
		{
			look: always("How many sheets of this paper does the tray take?"),
			read: func(t *talk, text string) error {
				n, err := strconv.Atoi(text)
				if err != nil || n < 1 {
					return &NumbersError{text, "a number of sheets"}
				}
				t.heard.TraySheets = n
				return nil
			},
			skip: "I don't know",
			open: func(t *talk) bool { return t.heard.TraySheets == 0 },
		},
		about(question{
			look: always("How does the printer print?"),
			skip: "I don't know",
		}, func(h *Heard) *profiles.Process { return &h.Process }, nil,
			is("with a laser: sheets come out warm", profiles.Laser),
			is("with ink: sheets come out a little wet", profiles.Inkjet)),
	}
}
