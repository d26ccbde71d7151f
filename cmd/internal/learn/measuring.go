package learn

import (
	"fmt"

	"foldwright/printer/learning"
	"foldwright/reorder"
)

// measuring is what a ruler and the light of a window tell.
func measuring() []question {
	return []question{
		{
			look: constant(`Do you want to measure how true your printer prints? You need a ruler and the light
of a window. Without it fronts and backs may lie a millimetre or two apart.`),
			picks: []pick{
				{"yes, I have a ruler here", func(t *talk) { t.measure = true }},
				{"no, not now", func(*talk) {}},
			},
			skip: "no, not now",
			open: func(t *talk) bool { return !t.measure },
		},
		{
			look: func(t *talk) string {
				return fmt.Sprintf("Which paper did you print on? For example a4, letter or 148x210mm. (Enter: %s)", t.paper.Name)
			},
			read: func(t *talk, text string) error {
				paper, err := reorder.ParsePaper(text)
				if err != nil {
					return err
				}
				sheet, err := t.Sheet(paper)
				if err != nil {
					return err
				}
				t.paper, t.sheet, t.heard.Paper = paper, sheet, text
				return nil
			},
			skip: "the paper named here",
			open: func(t *talk) bool { return t.measure && t.heard.Paper == "" },
		},
		numbersQuestion(learning.AskRulerFront, func(t *talk) string {
			r := t.sheet.Ruler
			return fmt.Sprintf(`On the side with the letters: measure from the middle of the cross at A to that at B, and from the
one at D to the one at A, as closely as you can. They should be %s and %s mm apart. Type what you
measure, like this: %s, %s`, shortLength(r.W), shortLength(r.H), shortLength(r.W+0.5), shortLength(r.H-0.5))
		}, (*Heard).SetRulerFront, func(t *talk) bool { return t.heard.RulerFront.W == 0 }, func(t *talk) { t.heard.RulerFront = reorder.Size{} }),
		numbersQuestion(learning.AskRulerBack, constant(`On the side with the numbers: the same, from ring 1 to ring 2, and from ring 4 to ring 1.`),
			(*Heard).SetRulerBack, ifOnTwoFaces(func(t *talk) bool { return t.heard.RulerBack.W == 0 }), func(t *talk) { t.heard.RulerBack = reorder.Size{} }),
		numbersQuestion(learning.AskMark, func(t *talk) string {
			m := t.sheet.Mark
			return fmt.Sprintf(`On the side with the letters, the arrow pointing up: how far does the middle of the cross at D lie from the left edge
of the paper, and how far from the lower edge? It should be %s and %s mm. Type both.`, shortLength(m.X), shortLength(m.Y))
		}, (*Heard).SetMark, func(t *talk) bool { return t.heard.Mark == nil }, func(t *talk) { t.heard.Mark = nil }),
		shift(0), shift(1), shift(2),
		edges(0), edges(1),
	}
}

// numbersQuestion is a question with typed numbers that may be left out.
func numbersQuestion(asks learning.Question, look func(*talk) string, read func(*Heard, string) error, open func(*talk) bool, forget func(*talk)) question {
	return question{
		asks: asks, look: look, skip: "not measured",
		read:   func(t *talk, text string) error { return read(&t.heard, text) },
		open:   func(t *talk) bool { return t.measure && open(t) },
		forget: forget,
	}
}

// ifOnTwoFaces is for what cannot be measured if both prints lie on one face.
func ifOnTwoFaces(open func(*talk) bool) func(*talk) bool {
	return func(t *talk) bool { return !t.isOneFace() && open(t) }
}

// shift asks for the verniers of one of the sheets, from 0.
func shift(sheet int) question {
	return numbersQuestion(learning.AskShift, func(t *talk) string {
		if sheet > 0 {
			return fmt.Sprintf("The same with sheet %s: top, right, bottom, left.", []string{"I", "II", "III"}[sheet])
		}
		which := "the sheet"
		if t.heard.Three {
			which = "sheet I"
		}
		return fmt.Sprintf(`Hold %s to the light, the letters towards you, the arrow pointing up. At the middle of
each edge stands a row of fine lines with numbers, and from the other side a row without numbers shines
through. Which line of the numbered row runs on straight into one of the other row? The numbers
are millimetres, each line a quarter of one: the second line after 0 is 0.5, the first one before it -0.25.
Type the four: top, right, bottom, left. Like this: 0.5, -0.25, 0.75, 0`, which)
	}, (*Heard).AddShift, ifOnTwoFaces(func(t *talk) bool { return len(t.heard.Shifts) == sheet && sheet < t.sheets() }),
		func(t *talk) { t.heard.Shifts, t.heard.Skew = nil, nil })
}

// edges asks for the ladders of one of the faces, from 0.
func edges(face int) question {
	return numbersQuestion(learning.AskEdges, func(t *talk) string {
		if face > 0 {
			return "The same on the side with the numbers: top, right, bottom, left."
		}
		return `On the side with the letters, the arrow pointing up: at each edge is a ladder of 16 steps, each
a millimetre nearer to the edge than the next. Which step is the outermost one that still has its black
end (three are numbered: 5, 10 and 15)? Type the four: top, right, bottom, left. Like this: 4, 4, 12, 4`
	}, (*Heard).AddEdges, func(t *talk) bool { return len(t.heard.Edges) == face && (face == 0 || !t.isOneFace()) },
		func(t *talk) { t.heard.Edges = nil })
}
