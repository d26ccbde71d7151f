package learning

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/printer"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Contradiction says that no printer gives these answers, or that a measured
// value cannot be right.
type Contradiction struct {
	Because string
	Again   []Question // to be looked at and answered again
	// Named: Because names answers by the words of their options.
	Named bool
	// Advice is what to do if that changes nothing, where there is something.
	Advice string
}

func (e *Contradiction) Error() string { return e.Because }

func (e *Contradiction) Kind() refusal.Kind { return refusal.Plan }

// Hint is the advice, else it names the flags to be looked at again.
func (e *Contradiction) Hint() phrase.Sentence {
	if e.Advice != "" {
		return phrase.New("%s", e.Advice)
	}
	return phrase.New("look at the sheet again and correct %s", join(e.Again, "or"))
}

// contradict says why a measured value cannot be right.
func contradict(because string, again ...Question) error {
	return &Contradiction{Because: because, Again: again}
}

// join names questions by the options that answer them.
func join(questions []Question, last string) phrase.Sentence {
	out := phrase.New("%s", phrase.Set(questions[0].String()))
	for i, q := range questions[1:] {
		between := ", "
		if i == len(questions)-2 {
			between = " " + last + " "
		}
		out = phrase.New("%s%s%s", out, between, phrase.Set(q.String()))
	}
	return out
}

// findContradiction finds the fewest claims that already leave no printer: only
// they are named and asked again.
func (a Answers) findContradiction(claims []claim) error {
	again := findFewest(claims, func(left []printer.Facts) bool { return len(left) == 0 })
	because, named := a.explain(again)
	return &Contradiction{Because: because, Again: again, Named: named}
}

// Reasons are the questions whose answers a known fact follows from, as few as there
// are. The fact is called as in profiles.
func (a Answers) Reasons(name string) []Question {
	at := slices.IndexFunc(facts, func(f fact) bool { return f.name == name })
	return findFewest(a.claims(), func(left []printer.Facts) bool { return agreeOn(left, facts[at]) })
}

// findFewest finds the fewest questions whose claims leave printers of which enough is
// true; they are all questions if it is true of no other ones.
func findFewest(claims []claim, enough func(left []printer.Facts) bool) []Question {
	fewest, all := questionsOf(claims), printer.Legal()
	for chosen := range 1 << len(claims) {
		var some []claim
		for i, c := range claims {
			if chosen&(1<<i) != 0 {
				some = append(some, c)
			}
		}
		if asked := questionsOf(some); len(asked) < len(fewest) && enough(findFulfilling(all, some)) {
			fewest = asked
		}
	}
	return fewest
}

// questionsOf is the questions that claims answer, and those without which they say nothing.
func questionsOf(claims []claim) []Question {
	var all []Question
	for _, c := range claims {
		all = append(all, c.question)
		all = append(all, c.rests...)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// explain puts into words why the answers to these questions exclude each other, and
// tells whether it names them by the words of their options.
func (a Answers) explain(questions []Question) (because string, named bool) {
	has := func(all ...Question) bool {
		return !slices.ContainsFunc(all, func(q Question) bool { return !slices.Contains(questions, q) })
	}
	switch {
	case has(AskTwoSided, AskReading) && a.TwoSided == printer.Automatic:
		return fmt.Sprintf("the reading %s means that both prints are on one side, and a printer that turns the paper itself cannot do that", a.Reading), false
	case has(AskTwoSided, AskPair) && a.TwoSided == printer.Automatic:
		return "a printer that turns the paper itself prints front I and back I on one sheet, so the pair cannot be reversed", false
	case has(AskTwoSided) && a.TwoSided == printer.Automatic:
		return fmt.Sprintf("with a printer that turns the paper itself you put nothing back, so there is no answer to give to %s", join(questions[1:], "or")), true
	case has(AskPencil, AskLands):
		return a.explainFaces(), false
	case has(AskTop) && has(AskPair):
		return fmt.Sprintf("the %s sheet on top and the pairs %s, together with %s, cannot come from one printer", a.Top, a.Pair, a.words(questions, AskTop, AskPair)), true
	case has(AskTop):
		return fmt.Sprintf("with %s the %s sheet would lie on top, not the %s", a.words(questions, AskTop), TopFirst+TopLast-a.Top, a.Top), true
	case has(AskPair):
		return fmt.Sprintf("with %s the pairs would be %s, not %s", a.words(questions, AskPair), PairSame+PairReversed-a.Pair, a.Pair), true
	}
	return "no printer can give all of these answers: " + a.words(questions), true
}

// explainFaces tells the first rule of the printer model in words.
func (a Answers) explainFaces() string {
	fed, came := "up", "up"
	if a.Pencil == OnUnprinted {
		fed = "down"
	}
	if a.Lands == printer.FaceDown {
		came = "down"
	}
	would, says := "the other side", "the same one"
	if !a.Reading.isSameFace() {
		would, says = "the same side", "the other one"
	}
	return fmt.Sprintf("the pencil cross says that the side lying %s in the tray gets printed; a sheet that came out with its print %s and went back %s would then be printed a second time on %s, but a pin that finds number %d says on %s",
		fed, came, wentBack[a.Reload], would, int(a.Reading), says)
}

var wentBack = map[printer.Reload]string{
	printer.AsDelivered: "as it came",
	printer.RotateHalf:  "turned half round on the table",
	printer.TurnLong:    "turned over like the page of a book",
	printer.TurnShort:   "turned over like the leaf of a wall calendar",
}

// words are the given answers with their flags' words, without those excepted.
func (a Answers) words(questions []Question, except ...Question) string {
	var out []string
	for _, answer := range a.Given() {
		if slices.Contains(questions, answer.Question) && !slices.Contains(except, answer.Question) {
			out = append(out, fmt.Sprintf("%s %s", answer.Question, answer.Value))
		}
	}
	return strings.Join(out, ", ")
}
