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
	t := &talk{Conversation: c, lines: readLines(c.In), heard: heard, paper: c.Paper, sheet: sheet, answered: map[int]string{}}
	t.print(`
This asks what you see on your printed test sheet, and finds out from it how your
printer feeds and turns paper. If you have no test sheet yet, stop with Ctrl-C and type
    foldwright testsheet
then come back with the sheet. Answer with the number of your choice, and Enter.
`)
	all := questions()
	done := make([]bool, len(all))
	for {
		next := slices.IndexFunc(all, func(q question) bool { return !done[q.place] && q.open(t) })
		if next < 0 {
			return t.heard, t.paper, nil
		}
		before := t.known()
		if err := t.askUntilClear(ctx, all[next]); err != nil {
			return t.heard, t.paper, err
		}
		done[next] = true
		again := t.explainDoubts()
		for _, q := range all {
			if q.asks != 0 && slices.Contains(again, q.asks) {
				q.forget(t)
				done[q.place] = false
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
	// answered is what was answered to a question, by its place.
	answered map[int]string
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
func (t *talk) askUntilClear(ctx context.Context, q question) error {
	t.print("%s", wrap(q.look(t), ""))
	for i, p := range q.picks {
		t.print("%s", wrap(fmt.Sprintf("  %d  %s", i+1, p.says), "     "))
	}
	if q.skip != "" {
		t.print("  Enter alone: %s", q.skip)
	}
	if before, ok := t.answered[q.place]; ok {
		t.print("  Before, you answered: %s", before)
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
			t.answered[q.place] = line
			return nil
		}
		t.print("%s", wrap("  "+advice, "  "))
	}
}

// takeAnswer is one answer; what it cannot understand it answers with advice.
func (t *talk) takeAnswer(q question, line string) (advice string) {
	switch {
	case line == "" && q.skip != "":
		return ""
	case line == "":
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
		_, err = t.heard.Fit(t.sheet, t.known().FlipEdge)
	}
	var contradiction *learning.Contradiction
	var dialog *learning.DialogError
	switch {
	case errors.As(err, &contradiction):
		t.print("\n%s\n", wrap("That cannot be: "+contradiction.Because+". Please look again.", ""))
		return contradiction.Again
	case errors.As(err, &dialog):
		t.print("\n%s\n", wrap(fmt.Sprintf("Something is wrong: %v. If you measured right, %s. Measure again now, or press Enter and let the rest be learned from this sheet.", dialog, dialog.Hint()), ""))
		return []learning.Question{dialog.Question}
	}
	return nil
}

// tellWhatFollows says what is known now and was not before.
func (t *talk) tellWhatFollows(before printer.Facts) {
	old := map[string]string{}
	for _, f := range runsheet.Facts(profiles.Profile{Facts: before}) {
		old[f.Name] = f.Value
	}
	for _, f := range runsheet.Facts(profiles.Profile{Facts: t.known()}) {
		if old[f.Name] != f.Value {
			t.print("%s", wrap(fmt.Sprintf("  So: %s", f.Says), "      "))
		}
	}
	t.print("")
}

// known are the facts that follow so far.
func (t *talk) known() printer.Facts {
	known, err := t.heard.KnownFacts()
	if err != nil {
		return printer.Facts{} // until the contradiction is resolved
	}
	return known
}

func (t *talk) three() bool { return t.heard.Three }

func (t *talk) isByHand() bool { return t.heard.TwoSided == printer.ByHand }

// isOneFace tells whether both prints fell on one face.
func (t *talk) isOneFace() bool {
	return t.heard.Reading == learning.A1 || t.heard.Reading == learning.A3
}

// sheets is how many test sheets there are.
func (t *talk) sheets() int {
	if t.heard.Three {
		return 3
	}
	return 1
}
