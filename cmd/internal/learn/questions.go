package learn

import (
	"fmt"
	"slices"
	"strconv"

	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

type question struct {
	id string // stays what it is: answers are kept by it
	// asks is what is asked again after a contradiction; 0 if nothing
	// contradicts the answer.
	asks   learning.Question
	look   func(*Interview) string // what to look at, and the question
	alone  func(*Interview) string // the same where the question before is not to be seen; nil: look
	typing func(*Interview) string // how the answer is typed; nil: nothing has to be said of it
	picks  []pick                  // what can be answered; nil for typed numbers or words
	read   func(*Interview, string) error
	// ahead is the question to somebody who has not printed yet; empty: that is not asked.
	ahead string
	// boxes are what each of several typed numbers is; words are all that can be typed, where
	// that is little. Pages have boxes and buttons for them.
	boxes []string
	words []Choice
	// skip says what Enter alone means; empty if an answer is needed.
	skip string
	// isOpen tells whether the question has to be asked as things stand.
	isOpen func(*Interview) bool
	// forget undoes the answer.
	forget func(*Interview)

	done   bool   // for now
	before string // what was answered last
}

type pick struct {
	Choice
	set func(*Interview)
}

// answer is a pick that stands for a value.
type answer[T comparable] struct {
	says, ahead string
	value       T
}

func is[T comparable](says string, value T) answer[T] { return answer[T]{says, "", value} }

// fieldQuestion completes a question for a field of what was heard: its answers are what the field can
// be, and it is open while the field is zero and, unless that is nil, when.
func fieldQuestion[T interface {
	comparable
	fmt.Stringer
}](q question, field func(*Heard) *T, when func(*Interview) bool, answers ...answer[T]) *question {
	var unheard T
	for _, a := range answers {
		q.picks = append(q.picks, pick{Choice{a.value.String(), a.says, a.ahead}, func(t *Interview) { *field(&t.heard) = a.value }})
	}
	if q.id == "" {
		q.id = q.asks.String()
	}
	q.isOpen = func(t *Interview) bool { return (when == nil || when(t)) && *field(&t.heard) == unheard }
	q.forget = func(t *Interview) { *field(&t.heard) = unheard }
	return &q
}

func constant(text string) func(*Interview) string { return func(*Interview) string { return text } }

// questions are all of them, in the order in which they are asked.
func questions() []*question {
	return slices.Concat(feedQuestions(), orderQuestions(), measureQuestions(), trayQuestions())
}

// feedQuestions is what one sheet tells of how paper is fed and turned.
func feedQuestions() []*question {
	return []*question{
		fieldQuestion(question{
			asks:  learning.AskTwoSided,
			look:  constant("How did you print the test sheet?"),
			ahead: "How does your printer print both sides of a sheet?",
		}, func(h *Heard) *printer.TwoSided { return &h.TwoSided }, nil,
			answer[printer.TwoSided]{"test-front.pdf first; then I put the paper back and printed test-back.pdf", "one side at a time: I put the paper back for the second", printer.ByHand},
			answer[printer.TwoSided]{"test-both.pdf; the printer turned the paper over by itself", "it turns the paper over by itself", printer.Automatic}),
		{
			id:    "sheets",
			look:  constant("How many test sheets did you print: 1 or 3?"),
			ahead: "How many test sheets do you want to print?",
			words: []Choice{
				{"1", "one sheet", "one sheet: it shows how the paper is turned, and the order is assumed to be as on most printers"},
				{"3", "three sheets", "three sheets: they also show the order, and how exactly the back meets the front"},
			},
			read: func(t *Interview, text string) error {
				if text != "1" && text != "3" {
					return refusal.Use.New("please type 1 or 3: three sheets have the numerals I, II and III on them")
				}
				t.heard.Three = text == "3"
				return nil
			},
			isOpen: func(t *Interview) bool { return !t.heard.Three },
		},
		fieldQuestion(question{
			asks: learning.AskReload,
			look: constant("After the first side was printed, how did you put the paper back into the printer?"),
		}, func(h *Heard) *printer.Reload { return &h.Reload }, (*Interview).isByHand,
			is("just as it came out, without turning it in any way", printer.AsDelivered),
			is("turned half round, flat on the table: the same side still up", printer.RotateHalf),
			is("turned over sideways, like the page of a book", printer.TurnLong),
			is("turned over lengthwise, like the leaf of a wall calendar", printer.TurnShort)),
		fieldQuestion(question{
			asks: learning.AskReading,
			look: constant(`Push a pin through the middle of the cross at the letter K, and look where it comes
out. Which number is beside the hole? (If the letters and the numbers are all on one
side: which number is in the same corner as the K?)`),
		}, func(h *Heard) *learning.Reading { return &h.Reading }, nil,
			is("the number 1", learning.K1),
			is("the number 2", learning.K2),
			is("the number 3", learning.K3),
			is("the number 4", learning.K4)),
		fieldQuestion(question{
			asks: learning.AskPencil,
			look: constant(`Before printing you drew a pencil cross on the side of the blank sheet that lay up in
the tray (in an upright tray: the side that faced you). Where is it now?`),
			skip: "I drew none",
		}, func(h *Heard) *learning.Pencil { return &h.Pencil }, (*Interview).isByHand,
			is("on the side with the letters K L M N, in the circle", learning.OnPrinted),
			is("on the other side", learning.OnUnprinted)),
		fieldQuestion(question{
			asks: learning.AskLands,
			look: constant("When the paper had come out, before you lifted it: on which side was the new print?"),
			skip: "I did not look",
		}, func(h *Heard) *printer.Lands { return &h.Lands }, (*Interview).isByHand,
			is("on the upper side: I could read it", printer.FaceUp),
			is("on the lower side: I saw the other one", printer.FaceDown)),
		fieldQuestion(question{
			asks: learning.AskLands,
			look: constant("When the paper had come out, before you lifted it: which side lay up?"),
			skip: "I did not look",
		}, func(h *Heard) *printer.Lands { return &h.Lands }, func(t *Interview) bool { return !t.isByHand() },
			is("the letters K L M N", printer.FaceUp),
			is("the numbers 1 2 3 4", printer.FaceDown)),
	}
}

// orderQuestions is what three sheets tell.
func orderQuestions() []*question {
	return []*question{
		fieldQuestion(question{
			asks: learning.AskTop,
			look: func(t *Interview) string {
				if t.isByHand() {
					return `Look at the three sheets as they lay when they came out the second time. Take the one
on top: which sheet is it, by the side with the word "back"?`
				}
				return "Look at the three sheets as they lay when they came out. Which one is on top?"
			},
			skip: "I don't remember",
		}, func(h *Heard) *learning.Top { return &h.Top }, (*Interview).hasThree,
			is("sheet I", learning.TopFirst),
			is("sheet III", learning.TopLast)),
		fieldQuestion(question{
			asks: learning.AskPair,
			look: func(t *Interview) string {
				if t.isOneFace() {
					return `Take the sheet whose print with the word "front" says I. What does its other print say, the one with the word "back"?`
				}
				return `Take the sheet that says I on the side with the word "front". What does its other side say?`
			},
		}, func(h *Heard) *learning.Pair { return &h.Pair }, func(t *Interview) bool { return t.hasThree() && t.isByHand() },
			is("I", learning.PairSame),
			is("III", learning.PairReversed)),
		fieldQuestion(question{
			asks: learning.AskStacks,
			look: constant("As the sheets came out, where did each one land?"),
			skip: "I did not watch",
		}, func(h *Heard) *printer.Stacks { return &h.Stacks }, func(t *Interview) bool { return t.hasThree() && t.knownFacts().Stacks == 0 },
			is("on top of the one before it", printer.OnTop),
			is("beneath the one before it", printer.Beneath)),
	}
}

// trayQuestions is what the run sheet's words depend on.
func trayQuestions() []*question {
	return []*question{
		fieldQuestion(question{
			id:   "tray",
			look: constant("What kind of tray do you use?"),
			skip: "I'd rather not say",
		}, func(h *Heard) *profiles.Tray { return &h.Tray }, nil,
			is("a drawer: the paper lies inside", profiles.Drawer),
			is("an upright one: the paper stands behind the printer", profiles.Upright),
			is("a slot: the paper lies flat and sticks out", profiles.Slot)),
		{
			id:    "tray-sheets",
			boxes: []string{"sheets"},
			look:  constant("How many sheets of this paper does the tray take?"),
			read: func(t *Interview, text string) error {
				n, err := strconv.Atoi(text)
				if err != nil || n < 1 {
					return refusal.Use.New("%q is not a number of sheets: write for example 50", text)
				}
				t.heard.TraySheets = n
				return nil
			},
			skip:   "I don't know",
			isOpen: func(t *Interview) bool { return t.heard.TraySheets == 0 },
		},
		fieldQuestion(question{
			id:   "process",
			look: constant("How does the printer print?"),
			skip: "I don't know",
		}, func(h *Heard) *profiles.Process { return &h.Process }, nil,
			is("with a laser: sheets come out warm", profiles.Laser),
			is("with ink: sheets come out slightly damp", profiles.Inkjet)),
	}
}

// measureQuestions is what a ruler and the light of a window tell.
func measureQuestions() []*question {
	rulerBack := numbersQuestion(learning.AskRulerBack, constant(`On the side with the numbers: the same, from ring 1 to ring 2, and from ring 4 to ring 1.`), nil, []string{"from 1 to 2", "from 4 to 1"},
		(*Heard).SetRulerBack, ifOnTwoFaces(func(t *Interview) bool { return t.heard.RulerBack.W == 0 }), func(t *Interview) { t.heard.RulerBack = geom.Size{} })
	rulerBack.alone = func(t *Interview) string {
		r := t.sheet.Ruler
		return fmt.Sprintf(`On the side with the numbers: measure from the middle of ring 1 to that of ring 2, and from ring 4 to
ring 1. They should be %s and %s mm apart.`, shortLength(r.W), shortLength(r.H))
	}
	return []*question{
		{
			id: "measure",
			look: constant(`Do you want to measure how exactly your printer prints? You need a ruler and a bright
window. Without measuring, fronts and backs may be a millimetre or two apart.`),
			picks: []pick{
				{Choice{"yes", "yes, I have a ruler here", ""}, func(t *Interview) { t.measure = true }},
				{Choice{"no", "no, not now", ""}, func(*Interview) {}},
			},
			skip:   "no, not now",
			isOpen: func(t *Interview) bool { return !t.measure },
		},
		{
			id:   "paper",
			look: constant("Which paper did you print on?"),
			typing: func(t *Interview) string {
				return fmt.Sprintf("For example a4, letter or 148x210mm. (Enter: %s)", t.paper.Name)
			},
			read: func(t *Interview, text string) error {
				paper, err := reorder.ParsePaper(text)
				if err != nil {
					return err
				}
				sheet, err := SheetOn(paper)
				if err != nil {
					return err
				}
				t.paper, t.sheet, t.heard.Paper = paper, sheet, text
				return nil
			},
			skip:   "the paper named here",
			isOpen: func(t *Interview) bool { return t.measure && t.heard.Paper == "" },
		},
		numbersQuestion(learning.AskRulerFront, func(t *Interview) string {
			r := t.sheet.Ruler
			return fmt.Sprintf(`On the side with the letters: measure from the middle of the cross at K to that at L, and from the
one at N to the one at K, as exactly as you can. They should be %s and %s mm apart.`, shortLength(r.W), shortLength(r.H))
		}, func(t *Interview) string {
			return fmt.Sprintf("Type what you measure, like this: %s, %s", shortLength(t.sheet.Ruler.W+0.5), shortLength(t.sheet.Ruler.H-0.5))
		}, []string{"from K to L", "from N to K"}, (*Heard).SetRulerFront, func(t *Interview) bool { return t.heard.RulerFront.W == 0 }, func(t *Interview) { t.heard.RulerFront = geom.Size{} }),
		rulerBack,
		{
			id: "actual-size",
			look: constant(`These sizes are more than a printer is usually off. A print dialog that fits the page to the
paper does that too. Did the dialog say "actual size" or "100 percent"?`),
			picks: []pick{
				{Choice{"yes", "yes", ""}, func(t *Interview) { t.heard.ActualSize = true }},
				{Choice{"no", "no, or I don't know: leave the measuring for another sheet, printed at 100 percent", ""}, (*Interview).forgetSizes},
			},
			isOpen: func(t *Interview) bool {
				fit, err := t.heard.Fit(t.sheet, t.knownFacts().FlipEdge)
				return t.measure && err == nil && fit.DoubtfulSize && !t.heard.ActualSize
			},
		},
		numbersQuestion(learning.AskMark, func(t *Interview) string {
			m := t.sheet.Mark
			return fmt.Sprintf(`On the side with the letters, the arrow pointing up: how far does the middle of the cross at N lie from the left edge
of the paper, and how far from the lower edge? It should be %s and %s mm.`, shortLength(m.X), shortLength(m.Y))
		}, constant("Type both."), []string{"from the left edge", "from the lower edge"}, (*Heard).SetMark, func(t *Interview) bool { return t.heard.Mark == nil }, func(t *Interview) { t.heard.Mark = nil }),
		shiftQuestion(0), shiftQuestion(1), shiftQuestion(2),
		edgesQuestion(0), edgesQuestion(1),
	}
}

// forgetSizes ends the measuring: at another size nothing on the sheet lies where it should.
func (t *Interview) forgetSizes() {
	t.measure, t.heard.RulerFront, t.heard.RulerBack = false, geom.Size{}, geom.Size{}
}

// numbersQuestion is a question with typed numbers that may be left out.
func numbersQuestion(asks learning.Question, look, typing func(*Interview) string, boxes []string, read func(*Heard, string) error, isOpen func(*Interview) bool, forget func(*Interview)) *question {
	return &question{
		id: asks.String(), asks: asks, look: look, typing: typing, boxes: boxes, skip: "not measured",
		read:   func(t *Interview, text string) error { return read(&t.heard, text) },
		isOpen: func(t *Interview) bool { return t.measure && isOpen(t) },
		forget: forget,
	}
}

// ifOnTwoFaces is for what cannot be measured if both prints lie on one face.
func ifOnTwoFaces(isOpen func(*Interview) bool) func(*Interview) bool {
	return func(t *Interview) bool { return !t.isOneFace() && isOpen(t) }
}

// sheetEdges are what the four numbers of a sheet are about, in the order in which they are asked.
var sheetEdges = []string{"top", "right", "bottom", "left"}

// shiftQuestion asks for the verniers of one of the sheets, from 0.
func shiftQuestion(sheet int) *question {
	hold := func(which string) string {
		return fmt.Sprintf(`Hold %s to the light, the letters towards you, the arrow pointing up. At the middle of
each edge is a row of fine lines with numbers, and from the other side a row without numbers shines
through. Which line of the numbered row meets a line of the other row exactly? The numbers are
millimetres, and each line is a quarter of one: the second line after 0 is 0.5, the one before 0 is -0.25.`, which)
	}
	which := "sheet " + []string{"I", "II", "III"}[sheet]
	q := numbersQuestion(learning.AskShift, func(t *Interview) string {
		switch {
		case sheet > 0:
			return fmt.Sprintf("The same with %s: top, right, bottom, left.", which)
		case t.heard.Three:
			return hold(which)
		}
		return hold("the sheet")
	}, func(*Interview) string {
		if sheet > 0 {
			return ""
		}
		return "Type all four: top, right, bottom, left. Like this: 0.5, -0.25, 0.75, 0"
	}, sheetEdges, (*Heard).AddShift, ifOnTwoFaces(func(t *Interview) bool { return len(t.heard.Shifts) == sheet && sheet < t.sheets() }),
		func(t *Interview) { t.heard.Shifts, t.heard.Skew = nil, nil })
	q.id = fmt.Sprintf("shift-%d", sheet+1)
	if sheet > 0 {
		q.alone = constant(hold(which))
	}
	return q
}

// edgesQuestion asks for the ladders of one of the faces, from 0.
func edgesQuestion(face int) *question {
	ladders := func(side string) string {
		return fmt.Sprintf(`On the side with the %s, the arrow pointing up: at each edge is a ladder of 16 steps, each
a millimetre nearer to the edge than the next. Which is the outermost step that still has its black
end (three are numbered: 5, 10 and 15)?`, side)
	}
	q := numbersQuestion(learning.AskEdges, func(t *Interview) string {
		if face > 0 {
			return "The same on the side with the numbers: top, right, bottom, left."
		}
		return ladders("letters")
	}, func(*Interview) string {
		if face > 0 {
			return ""
		}
		return "Type all four: top, right, bottom, left. Like this: 4, 4, 12, 4"
	}, sheetEdges, (*Heard).AddEdges, func(t *Interview) bool { return len(t.heard.Edges) == face && (face == 0 || !t.isOneFace()) },
		func(t *Interview) { t.heard.Edges = nil })
	q.id = fmt.Sprintf("edges-%d", face+1)
	if face > 0 {
		q.alone = constant(ladders("numbers"))
	}
	return q
}
