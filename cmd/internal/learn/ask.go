package learn

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/visible"
	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// ErrEnded says that the answers ended before the questions did.
var ErrEnded = refusal.Use.New("the answers ended before the questions did, nothing was written")

// Conversation is what [Ask] needs.
type Conversation struct {
	In  io.Reader
	Out io.Writer
	// Paper is what the test sheet was printed on unless the person names another one.
	Paper reorder.Paper
	// Sheet is the test sheet on a paper; its error says why there is none.
	Sheet func(reorder.Paper) (learning.Sheet, error)
}

// Ask puts every question that is still open, one at a time, shows what
// follows from each answer, and asks again where answers contradict each
// other. It returns what was heard and on which paper the sheet was printed.
// The error is [ErrEnded], the context's, or what Sheet says of the paper.
func Ask(ctx context.Context, c Conversation, heard Heard) (Heard, reorder.Paper, error) {
	sheet, err := c.Sheet(c.Paper)
	if err != nil {
		return heard, c.Paper, err
	}
	t := &talk{Conversation: c, lines: readLines(c.In), heard: heard, paper: c.Paper, sheet: sheet}
	t.print(`
This asks what you see on your printed test sheet, and finds out from it how your
printer feeds and turns paper. If you have no test sheet yet, stop with Ctrl-C and type
    foldwright testsheet
then come back with the sheet. To answer, type the number of your choice and press Enter.
`)
	all := questions()
	for {
		next := slices.IndexFunc(all, func(q *question) bool { return !q.done && q.open(t) })
		if next < 0 {
			return t.heard, t.paper, nil
		}
		before := t.knownFacts()
		if err := t.askUntilClear(ctx, all[next]); err != nil {
			return t.heard, t.paper, err
		}
		all[next].done = true
		again := t.explainDoubts()
		for _, q := range all {
			if q.asks != 0 && slices.Contains(again, q.asks) {
				q.forget(t)
				q.done = false
			}
		}
		if again == nil {
			t.tellWhatFollows(before)
		}
	}
}

// talk is a conversation that has begun.
type talk struct {
	Conversation
	lines   <-chan string
	heard   Heard
	paper   reorder.Paper
	sheet   learning.Sheet
	measure bool // the person has a ruler at hand
}

func (t *talk) print(format string, args ...any) { fmt.Fprintf(t.Out, format+"\n", args...) }

// width is how long lines may be, in letters: a small window's.
const width = 78

// wrap breaks a text into lines; those after the first begin with the indent.
func wrap(text, indent string) string {
	start := text[:len(text)-len(strings.TrimLeft(text, " "))]
	return start + strings.Join(visible.Lines(text, func(line string, at int) bool {
		before := indent
		if at == 0 {
			before = start
		}
		return len(before)+utf8.RuneCountInString(line) <= width
	}), "\n"+indent)
}

// readLines are the lines of an input as they come. Reading goes on beside the
// conversation, so that an interrupt is not held up by a question.
func readLines(in io.Reader) <-chan string {
	out := make(chan string)
	go func() {
		defer close(out)
		for s := bufio.NewScanner(in); s.Scan(); {
			out <- strings.TrimSpace(s.Text())
		}
	}()
	return out
}

// askUntilClear asks one question until the answer can be understood.
func (t *talk) askUntilClear(ctx context.Context, q *question) error {
	t.print("%s", wrap(q.look(t), ""))
	for i, p := range q.picks {
		t.print("%s", wrap(fmt.Sprintf("  %d  %s", i+1, p.says), "     "))
	}
	if q.skip != "" {
		t.print("  Enter alone: %s", q.skip)
	}
	if q.before != "" {
		t.print("  Before, you answered: %s", q.before)
	}
	for {
		fmt.Fprint(t.Out, "> ")
		var line string
		select {
		case <-ctx.Done():
			t.print("")
			return ctx.Err()
		case heard, more := <-t.lines:
			if !more {
				t.print("")
				return ErrEnded
			}
			line = heard
		}
		advice := t.takeAnswer(q, line)
		if advice == "" {
			q.before = line
			return nil
		}
		t.print("%s", wrap("  "+advice, "  "))
	}
}

// takeAnswer is one answer; what it cannot understand it answers with advice.
func (t *talk) takeAnswer(q *question, line string) (advice string) {
	switch {
	case line == "" && q.skip != "":
		return ""
	case line == "" && q.picks != nil:
		return "please answer: " + choices(len(q.picks))
	case q.picks == nil:
		if err := q.read(t, line); err != nil {
			return err.Error()
		}
		return ""
	}
	n, err := strconv.Atoi(strings.TrimSuffix(line, "."))
	if err != nil || n < 1 || n > len(q.picks) {
		return "please type " + choices(len(q.picks))
	}
	q.picks[n-1].set(t)
	return ""
}

// choices are the numbers of the answers.
func choices(n int) string {
	if n == 2 {
		return "1 or 2"
	}
	return fmt.Sprintf("a number from 1 to %d", n)
}

// explainDoubts explains what contradicts itself in what was heard so far, and
// returns what has to be asked again.
func (t *talk) explainDoubts() []learning.Question {
	_, err := t.heard.KnownFacts()
	if err == nil && t.measure {
		_, err = t.heard.Fit(t.sheet, t.knownFacts().FlipEdge)
	}
	var doubt *learning.Contradiction
	switch {
	case !errors.As(err, &doubt):
		return nil
	case doubt.Advice != "":
		t.print("\n%s\n", wrap(fmt.Sprintf("Something is wrong: %v. If you measured correctly, %s. Measure again now, or press Enter to leave it out and learn the rest from this sheet.", doubt, doubt.Advice), ""))
	default:
		t.print("\n%s\n", wrap("That cannot be: "+doubt.Because+". Please look again.", ""))
	}
	return doubt.Again
}

// tellWhatFollows says what is known now and was not before.
func (t *talk) tellWhatFollows(before printer.Facts) {
	old := map[string]string{}
	for _, f := range runsheet.Facts(profiles.Profile{Facts: before}) {
		old[f.Name] = f.Value
	}
	for _, f := range runsheet.Facts(profiles.Profile{Facts: t.knownFacts()}) {
		if old[f.Name] != f.Value {
			t.print("%s", wrap(fmt.Sprintf("  So: %s This follows from %s.", f.Says, t.reasons(f.Name)), "      "))
		}
	}
	t.print("")
}

// reasons names the answers that a fact follows from.
func (t *talk) reasons(fact string) string {
	var words []string
	for _, q := range t.heard.Reasons(fact) {
		words = append(words, answerNames[q])
	}
	return refusal.List(words, "and")
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
func (t *talk) knownFacts() printer.Facts {
	known, err := t.heard.KnownFacts()
	if err != nil {
		return printer.Facts{} // until the contradiction is resolved
	}
	return known
}

func (t *talk) hasThree() bool { return t.heard.Three }

func (t *talk) isByHand() bool { return t.heard.TwoSided == printer.ByHand }

// isOneFace tells whether both prints fell on one face.
func (t *talk) isOneFace() bool {
	return t.heard.Reading == learning.K1 || t.heard.Reading == learning.K3
}

// sheets is how many test sheets there are.
func (t *talk) sheets() int {
	if t.heard.Three {
		return 3
	}
	return 1
}
