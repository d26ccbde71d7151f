package learn

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// Interview is the questions of one printer and what has been answered so far. [Interview.Next]
// is what is asked now, [Interview.Answer] answers it, [Interview.TakeBack] goes back by one. The
// answers that were given say all of it: [Resume] goes on with them another day.
type Interview struct {
	first Heard // before any question
	on    reorder.Paper

	heard   Heard
	paper   reorder.Paper
	sheet   learning.Sheet
	measure bool // the person has a ruler at hand
	all     []*question
	given   []Given
	before  printer.Facts // what was known before the last answer
	doubt   *Doubt        // that has come of it
	kept    map[string]string
}

// Given is an answer: the question by its ID, and the answer as [Interview.Answer] takes it.
type Given struct {
	Question string `json:"question"`
	Answer   string `json:"answer"`
}

// Question is what is asked now.
type Question struct {
	ID      string   // stays the same in all versions of the program
	Look    string   // what to look at, and the question
	Alone   string   // the same where the question before is not to be seen
	Typing  string   // how the answer is typed on one line; empty: nothing has to be said of it
	Ahead   string   // the question to somebody who has not printed yet; empty: it is not asked then
	Choices []Choice // what can be answered; none: something is typed
	Typed   bool     // at a terminal: the answer is typed even if there are choices
	Boxes   []string // what each of the numbers is that are typed
	Skip    string   // what no answer means; empty: an answer is needed
	Before  string   // what was answered before; empty: nothing
}

// Choice is an answer out of a list: what is answered, and how a person says it after printing
// and, where that differs, before.
type Choice struct{ Word, Says, Ahead string }

// Outcome is what has come of an answer.
type Outcome struct {
	Doubt   *Doubt   // the answers contradict each other: some are asked again; nil: they do not
	Follows []Follow // what is known now and was not before
}

// Follow is a fact, and the answers that it follows from, in words.
type Follow struct{ Says, From string }

// Doubt is a contradiction.
type Doubt struct {
	*learning.Contradiction
	Told []Told // the answers out of lists that are asked again
}

// Told is an answer in words: what it is about, and what was said.
type Told struct{ About, Says string }

// Text explains the doubt. skip is how a question is left out.
func (d Doubt) Text(skip string) string {
	if d.Advice != "" {
		return fmt.Sprintf("Something is wrong: %v. If you measured correctly, %s. Measure again now, or %s to leave it out and learn the rest from this sheet.", d.Contradiction, d.Advice, skip)
	}
	return "That cannot be: " + d.Because + ". Please look again."
}

// Begin begins an interview about a test sheet on a paper, unless the person names another one, where
// something may have been heard already. The error is that of [SheetOn].
func Begin(paper reorder.Paper, heard Heard) (*Interview, error) {
	sheet, err := SheetOn(paper)
	if err != nil {
		return nil, err
	}
	heard.Shifts, heard.Edges = slices.Clip(heard.Shifts), slices.Clip(heard.Edges)
	return &Interview{
		first: heard, on: paper, heard: heard, paper: paper, sheet: sheet, all: questions(), kept: map[string]string{},
	}, nil
}

// Resume goes on with the answers of an interview that began with the same paper and was told the same: kept are
// those that were taken back. What this version of the program does not ask any more is left out.
func Resume(paper reorder.Paper, heard Heard, given []Given, kept map[string]string) (*Interview, error) {
	i, err := Begin(paper, heard)
	if err != nil {
		return nil, err
	}
	i.replay(given, kept)
	return i, nil
}

// replay answers as was answered, as far as the same is asked; what is left over is kept.
func (t *Interview) replay(given []Given, kept map[string]string) {
	fits := true
	for _, g := range given {
		if q := t.next(); fits && q != nil && q.id == g.Question {
			fits = t.answer(g.Answer) == nil
		} else {
			fits = false
		}
		if !fits {
			t.kept[g.Question] = g.Answer
		}
	}
	maps.Copy(t.kept, kept)
}

// Given are the answers, in order; with those that were taken back [Resume] makes the same interview of them.
func (t *Interview) Given() (given []Given, takenBack map[string]string) {
	return slices.Clone(t.given), maps.Clone(t.kept)
}

// Last is what has come of the last answer.
func (t *Interview) Last() Outcome {
	if t.doubt != nil || len(t.given) == 0 {
		return Outcome{Doubt: t.doubt}
	}
	return Outcome{Follows: t.whatFollows(t.before)}
}

// Heard is what was heard, and on which paper the sheet was printed.
func (t *Interview) Heard() (Heard, reorder.Paper) { return t.heard, t.paper }

// Sheet is where what is measured stands on the test sheet.
func (t *Interview) Sheet() learning.Sheet { return t.sheet }

// next is the question that is open; nil: none is.
func (t *Interview) next() *question {
	i := slices.IndexFunc(t.all, func(q *question) bool { return !q.done && q.isOpen(t) })
	if i < 0 {
		return nil
	}
	return t.all[i]
}

// Next is what is asked now; false: nothing is left to ask.
func (t *Interview) Next() (Question, bool) {
	q := t.next()
	if q == nil {
		return Question{}, false
	}
	look := q.look(t)
	out := Question{ID: q.id, Look: look, Alone: look, Ahead: q.ahead, Choices: q.words, Typed: q.picks == nil, Boxes: q.boxes, Skip: q.skip, Before: q.before}
	if q.alone != nil {
		out.Alone = q.alone(t)
	}
	if q.typing != nil {
		out.Typing = q.typing(t)
	}
	for _, p := range q.picks {
		out.Choices = append(out.Choices, p.Choice)
	}
	if kept, is := t.kept[q.id]; is {
		out.Before = kept
	}
	return out, true
}

// Answer answers what is asked now: by the word of a choice or by what was typed; empty leaves it out, where
// that can be. Where the answers contradict each other, some are forgotten and asked again. The error
// says why the answer cannot be understood, and nothing has changed then.
func (t *Interview) Answer(text string) (Outcome, error) {
	if err := t.answer(text); err != nil {
		return Outcome{}, err
	}
	return t.Last(), nil
}

func (t *Interview) answer(text string) error {
	q := t.next()
	if q == nil {
		return refusal.Use.New("nothing is left to ask")
	}
	before := t.knownFacts()
	if err := t.take(q, text); err != nil {
		return err
	}
	q.before, q.done = text, true
	t.given = append(t.given, Given{q.id, text})
	delete(t.kept, q.id)
	t.before, t.doubt = before, t.findDoubt()
	for _, q := range t.all {
		if t.doubt != nil && q.asks != 0 && slices.Contains(t.doubt.Again, q.asks) {
			q.forget(t)
			q.done = false
		}
	}
	return nil
}

func (t *Interview) take(q *question, text string) error {
	if text == "" && q.skip != "" {
		return nil
	}
	if q.picks == nil {
		return q.read(t, text)
	}
	i := slices.IndexFunc(q.picks, func(p pick) bool { return p.Word == text })
	if i < 0 {
		return refusal.Use.New("please choose one of the answers")
	}
	q.picks[i].set(t)
	return nil
}

// TakeBack takes the last answer back, which is kept to be proposed when the question comes again. It is
// false if there is none.
func (t *Interview) TakeBack() bool {
	n := len(t.given) - 1
	if n < 0 {
		return false
	}
	fresh, err := Begin(t.on, t.first)
	if err != nil {
		return false // it began once
	}
	t.kept[t.given[n].Question] = t.given[n].Answer
	fresh.replay(t.given[:n], t.kept)
	*t = *fresh
	return true
}

// findDoubt finds what contradicts itself in what was heard so far; nil: nothing does.
func (t *Interview) findDoubt() *Doubt {
	_, err := t.heard.KnownFacts()
	if err == nil && t.measure {
		_, err = t.heard.Fit(t.sheet, t.knownFacts().FlipEdge)
	}
	var c *learning.Contradiction
	if !errors.As(err, &c) {
		return nil
	}
	return &Doubt{c, t.toldOf(c.Again)}
}

// toldOf is the answers to these questions, as far as they were given out of lists.
func (t *Interview) toldOf(again []learning.Question) (out []Told) {
	for _, q := range t.all {
		if !q.done || q.asks == 0 || !slices.Contains(again, q.asks) {
			continue
		}
		if i := slices.IndexFunc(q.picks, func(p pick) bool { return p.Word == q.before }); i >= 0 {
			out = append(out, Told{answerNames[q.asks], q.picks[i].Says})
		}
	}
	return out
}

// whatFollows is what is known now and was not before.
func (t *Interview) whatFollows(before printer.Facts) (out []Follow) {
	old := map[string]string{}
	for _, f := range runsheet.Facts(profiles.Profile{Facts: before}) {
		old[f.Name] = f.Value
	}
	for _, f := range runsheet.Facts(profiles.Profile{Facts: t.knownFacts()}) {
		if old[f.Name] != f.Value {
			out = append(out, Follow{f.Says.String(), t.reasons(f.Name)})
		}
	}
	return out
}

func (t *Interview) reasons(fact string) string {
	return refusal.List(lists.Map(t.heard.Reasons(fact), func(q learning.Question) string { return answerNames[q] }), "and")
}

// answerNames are the answers that tell of facts, as they are called in a sentence.
var answerNames = map[learning.Question]string{
	learning.AskTwoSided: "how you printed the test sheet",
	learning.AskReload:   "how you put the paper back",
	learning.AskReading:  "the number at the pin hole",
	learning.AskPencil:   "where the pencil cross is",
	learning.AskLands:    "which side lay up",
	learning.AskStacks:   "where each sheet landed",
	learning.AskFeedFrom: "where the tray takes its sheets",
	learning.AskSends:    "the order in which the computer sends the pages",
	learning.AskTop:      "which sheet lay on top",
	learning.AskPair:     "what the other side of sheet I says",
}

// knownFacts are the facts that follow so far.
func (t *Interview) knownFacts() printer.Facts {
	known, err := t.heard.KnownFacts()
	if err != nil {
		return printer.Facts{} // until the contradiction is resolved
	}
	return known
}

func (t *Interview) hasThree() bool { return t.heard.Three }

func (t *Interview) isByHand() bool { return t.heard.TwoSided == printer.ByHand }

// isOneFace tells whether both prints fell on one face.
func (t *Interview) isOneFace() bool {
	return t.heard.Reading == learning.K1 || t.heard.Reading == learning.K3
}

func (t *Interview) sheets() int {
	if t.heard.Three {
		return 3
	}
	return 1
}

// SheetOn is where what is measured stands on the test sheet of a paper. It refuses paper
// that is too small.
func SheetOn(paper reorder.Paper) (learning.Sheet, error) {
	if err := testsheet.Check(paper); err != nil {
		return learning.Sheet{}, err
	}
	across, along := testsheet.Rulers(paper)
	return learning.Sheet{
		Size:       paper.Size,
		Ruler:      geom.Size{W: across.Length, H: along.Length},
		Mark:       testsheet.Corner(paper, 3),
		FrontPitch: testsheet.FrontPitch,
		BackPitch:  testsheet.BackPitch,
	}, nil
}
