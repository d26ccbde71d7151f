package learn

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"foldwright/cmd/internal/visible"
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
}

// Ask puts the questions of an [Interview], one at a time, shows what
// follows from each answer, and asks again where answers contradict each
// other. It returns what was heard and on which paper the sheet was printed.
// The error is [ErrEnded], the context's, or that of [SheetOn].
func Ask(ctx context.Context, c Conversation, heard Heard) (Heard, reorder.Paper, error) {
	i, err := Begin(c.Paper, heard)
	if err != nil {
		return heard, c.Paper, err
	}
	t := &talk{Out: c.Out, lines: readLines(c.In), Interview: i}
	t.print(`
This asks what you see on your printed test sheet, and finds out from it how your
printer feeds and turns paper. If you have no test sheet yet, stop with Ctrl-C and type
    foldwright testsheet
then come back with the sheet. To answer, type the number of your choice and press Enter.
`)
	for {
		q, open := i.Next()
		if !open {
			return i.heard, i.paper, nil
		}
		came, err := t.askUntilClear(ctx, q)
		if err != nil {
			return i.heard, i.paper, err
		}
		if came.Doubt != nil {
			t.print("\n%s\n", wrap(came.Doubt.Text("press Enter"), ""))
			continue
		}
		for _, f := range came.Follows {
			t.print("%s", wrap(fmt.Sprintf("  So: %s This follows from %s.", f.Says, f.From), "      "))
		}
		t.print("")
	}
}

type talk struct {
	*Interview
	Out   io.Writer
	lines <-chan string
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
func (t *talk) askUntilClear(ctx context.Context, q Question) (Outcome, error) {
	t.print("%s", wrap(q.Look+" "+q.Typing, ""))
	picks := q.Choices
	if q.Typed {
		picks = nil
	}
	for i, p := range picks {
		t.print("%s", wrap(fmt.Sprintf("  %d  %s", i+1, p.Says), "     "))
	}
	if q.Skip != "" {
		t.print("  Enter alone: %s", q.Skip)
	}
	if q.Before != "" {
		t.print("  Before, you answered: %s", numberOf(picks, q.Before))
	}
	for {
		fmt.Fprint(t.Out, "> ")
		var line string
		select {
		case <-ctx.Done():
			t.print("")
			return Outcome{}, ctx.Err()
		case heard, more := <-t.lines:
			if !more {
				t.print("")
				return Outcome{}, ErrEnded
			}
			line = heard
		}
		came, advice := t.takeLine(q, picks, line)
		if advice == "" {
			return came, nil
		}
		t.print("%s", wrap("  "+advice, "  "))
	}
}

// numberOf is an answer as it was typed: the number of a choice, or the text.
func numberOf(picks []Choice, word string) string {
	if i := slices.IndexFunc(picks, func(c Choice) bool { return c.Word == word }); i >= 0 {
		return strconv.Itoa(i + 1)
	}
	return word
}

// takeLine is one answer; what it cannot understand it answers with advice.
func (t *talk) takeLine(q Question, picks []Choice, line string) (came Outcome, advice string) {
	if picks != nil && (line != "" || q.Skip == "") {
		n, err := strconv.Atoi(strings.TrimSuffix(line, "."))
		switch {
		case line == "":
			return came, "please answer: " + choices(len(picks))
		case err != nil || n < 1 || n > len(picks):
			return came, "please type " + choices(len(picks))
		}
		line = picks[n-1].Word
	}
	came, err := t.Answer(line)
	if err != nil {
		return came, err.Error()
	}
	return came, ""
}

func choices(n int) string {
	if n == 2 {
		return "1 or 2"
	}
	return fmt.Sprintf("a number from 1 to %d", n)
}
