package asking

import (
	"context"
	"errors"
	"fmt"
	"html/template"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"

	"foldwright/reorder/refusal"
)

func form(question int, answers ...string) url.Values {
	return url.Values{questionField: {fmt.Sprint(question)}, answerField: answers}
}

// asked waits for a question.
func asked(t *testing.T, p *Person) Now {
	t.Helper()
	n, err := p.Wait(t.Context(), func(n Now) bool { return n.Question != nil || n.Ended })
	if err != nil || n.Ended {
		t.Fatal(err, n.Err)
	}
	return n
}

// TestAnswersReachWhoAsked, each of its kind.
func TestAnswersReachWhoAsked(t *testing.T) {
	var heard []string
	p := Begin(t.Context(), func(ctx context.Context, p *Person) error {
		p.Tell("Empty the tray.")
		p.Tell("Empty the tray.")
		p.Tell("Lay paper into it.")
		yes, err := p.Confirm(ctx, "Printed?")
		sheets, err2 := p.Sheets(ctx, "Which?", []int{4, 5, 6})
		none, err3 := p.Sheets(ctx, "Which else?", []int{4})
		heard = append(heard, fmt.Sprint(yes, sheets, none))
		return errors.Join(err, err2, err3)
	})
	n := asked(t, p)
	if want := []string{"Empty the tray.", "Lay paper into it."}; !slices.Equal(n.Told, want) {
		t.Errorf("told is %q", n.Told)
	}
	for i, answers := range [][]string{{"yes"}, {"4", "6"}, nil} {
		n = asked(t, p)
		if n.Question.Number != i+1 {
			t.Errorf("question %d has the number %d", i+1, n.Question.Number)
		}
		if i > 0 && len(n.Told) > 0 {
			t.Errorf("what was told before is still there: %q", n.Told)
		}
		if err := p.Take(form(i+1, answers...)); err != nil {
			t.Fatal(err)
		}
		if _, err := p.Wait(t.Context(), func(n Now) bool { return n.Ended || n.Question != nil }); err != nil {
			t.Fatal(err)
		}
	}
	<-p.Ended()
	if n := p.Now(); !n.Ended || n.Err != nil || !slices.Equal(heard, []string{"true [4 6] []"}) {
		t.Errorf("%+v %q", n, heard)
	}
}

// TestAnswersThatAreNoneChangeNothing: those of an old page, twice the same, and nonsense.
func TestAnswersThatAreNoneChangeNothing(t *testing.T) {
	p := Begin(t.Context(), func(ctx context.Context, p *Person) error {
		if yes, err := p.Confirm(ctx, "One?"); err != nil || !yes {
			return fmt.Errorf("%t %w", yes, err)
		}
		if yes, err := p.Confirm(ctx, "Two?"); err != nil || yes {
			return fmt.Errorf("%t %w", yes, err)
		}
		_, err := p.Sheets(ctx, "Three?", []int{7})
		return err
	})
	asked(t, p)
	for _, wrong := range []url.Values{nil, form(0, "yes"), form(2, "yes"), form(1), form(1, "perhaps"), {answerField: {"yes"}}} {
		if p.Take(wrong) == nil {
			t.Errorf("%v was taken", wrong)
		}
	}
	// Two windows answer at once: one of them is told that it was late.
	var taken, late int
	var mutex sync.Mutex
	var both sync.WaitGroup
	for range 2 {
		both.Go(func() {
			err := p.Take(form(1, "yes"))
			mutex.Lock()
			defer mutex.Unlock()
			if err == nil {
				taken++
			} else if refusal.Of(err) == refusal.Output {
				late++
			}
		})
	}
	both.Wait()
	if taken != 1 || late != 1 {
		t.Errorf("%d taken, %d late", taken, late)
	}
	asked(t, p)
	for _, wrong := range []url.Values{form(1, "yes"), form(2), form(2, ""), form(2, "1"), form(2, "yes", "no")} {
		if p.Take(wrong) == nil {
			t.Errorf("%v was taken", wrong)
		}
	}
	if err := p.Take(form(2, "no")); err != nil {
		t.Fatal(err)
	}
	asked(t, p)
	if p.Take(form(3, "8")) == nil || p.Take(form(3, "7", "x")) == nil {
		t.Error("a sheet that is not among them was taken")
	}
	if a, b := p.Now(), p.Now(); a.Question.Number != 3 || b.Question.Number != 3 {
		t.Errorf("looking changes something: %+v %+v", a, b)
	}
	if err := p.Take(form(3)); err != nil {
		t.Fatal(err)
	}
	<-p.Ended()
	if err := p.Now().Err; err != nil {
		t.Error(err)
	}
	if p.Take(form(3)) == nil {
		t.Error("an answer was taken after the end")
	}
}

// TestAQuestionEndsWithItsContext, and with the person who is stopped.
func TestAQuestionEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	question := func(ctx context.Context, p *Person) error {
		_, err := p.Confirm(ctx, "Is anybody there?")
		return err
	}
	p := Begin(ctx, question)
	asked(t, p)
	cancel()
	<-p.Ended()
	if n := p.Now(); !n.Ended || n.Question != nil || refusal.Of(n.Err) != refusal.Interrupted {
		t.Errorf("%+v", n)
	}
	other := Begin(t.Context(), question)
	asked(t, other)
	other.Stop()
	if n := other.Now(); refusal.Of(n.Err) != refusal.Interrupted {
		t.Errorf("%+v", n)
	}
}

// TestHowFarItIs is shown from Start to Done.
func TestHowFarItIs(t *testing.T) {
	at, further := make(chan struct{}), make(chan struct{})
	p := Begin(t.Context(), func(_ context.Context, p *Person) error {
		p.Step(5) // of nothing
		p.Start("run 1, front", 10)
		p.Step(3)
		p.Step(1)
		close(at)
		<-further
		p.End()
		return nil
	})
	<-at
	if b := p.Now().Bar; b == nil || *b != (Bar{"run 1, front", 4, 10}) {
		t.Errorf("%+v", b)
	}
	close(further)
	<-p.Ended()
	if b := p.Now().Bar; b != nil {
		t.Errorf("%+v", b)
	}
}

// TestTheTemplateSendsWhatTakeReads: every field of every kind of question stands in the form.
func TestTheTemplateSendsWhatTakeReads(t *testing.T) {
	page := template.Must(template.New("asking").Parse(Template))
	for _, c := range []struct {
		q    Question
		want []string
	}{
		{Question{Number: 7, Text: "Is it <printed>?"}, []string{`value="7"`, `value="yes"`, `value="no"`, "Print now"}},
		{Question{Number: 8, Text: "Which?", Among: []int{12, 13}}, []string{`value="8"`, `value="12"`, `value="13"`}},
	} {
		var out strings.Builder
		f := Form{Now: Now{Told: []string{"Told."}, Question: &c.q, Bar: &Bar{"x", 1, 2}}, Action: "/answer", Yes: "Print now"}
		if err := page.ExecuteTemplate(&out, "asking", f); err != nil {
			t.Fatal(err)
		}
		for _, want := range append(c.want, `name="`+questionField+`"`, `name="`+answerField+`"`, `action="/answer"`, template.HTMLEscapeString(c.q.Text), "Told.", "1 of 2") {
			if !strings.Contains(out.String(), want) {
				t.Errorf("%q is missing in %s", want, out.String())
			}
		}
	}
}
