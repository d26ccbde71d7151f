// Package asking is a person in front of a browser, for work that asks as it goes on.
//
// [Begin] does the work in a goroutine of its own and gives it a [Person], who is told
// things and asked questions ([printing.Person]) and hears how far it is
// ([progress.Reporter]). The work waits until a form answers. A page shows [Person.Now]
// and gives what its form brings to [Person.Take].
//
// Nothing is kept in a page: a reload changes nothing, and two windows show the same.
// Questions have numbers, so that the answer of a page that is older than the question
// is refused. A question ends with the work's context.
package asking

import (
	"context"
	"slices"
	"sync"

	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/progress"
	"foldwright/reorder/refusal"
)

// Kind is how a question is answered; the zero value is invalid.
type Kind int

// The kinds of questions.
const (
	YesOrNo Kind = iota + 1
	Sheets       // numbers of sheets among those given; none is an answer too
	Choice       // one of the choices
)

// Question is what the work waits for.
type Question struct {
	Number  int // from 1, of this work
	Kind    Kind
	Text    string
	Among   []int    // the numbers of Sheets
	Choices []string // of Choice
}

// IsYesOrNo tells templates how the question is answered, as IsSheets and IsChoice do.
func (q Question) IsYesOrNo() bool { return q.Kind == YesOrNo }

// IsSheets tells whether numbers of sheets are asked for.
func (q Question) IsSheets() bool { return q.Kind == Sheets }

// IsChoice tells whether one of several choices is asked for.
func (q Question) IsChoice() bool { return q.Kind == Choice }

// Bar is how far a piece of the work is.
type Bar struct {
	What        string
	Done, Total int
}

// Now is what a page shows.
type Now struct {
	Told     []string  // since the last answer
	Question *Question // nil: nothing is asked
	Bar      *Bar      // nil: nothing that is counted is in work
	Ended    bool
	Err      error // what the work ended with
}

// answer is what a form said.
type answer struct {
	yes    bool
	sheets []int
	choice int // from 0
}

// Person implements [printing.Person] and [progress.Reporter]. Its methods may be called
// from several goroutines; one question is asked at a time.
type Person struct {
	cancel context.CancelFunc
	done   chan struct{}

	mutex   sync.Mutex
	changed chan struct{} // is closed, and made anew, when something changes
	now     Now
	asked   int
	answers chan answer // of the question that is open
}

var (
	_ printing.Person   = (*Person)(nil)
	_ progress.Reporter = (*Person)(nil)
)

// Begin begins work. It ends with the context, or when the person is stopped.
func Begin(ctx context.Context, work func(ctx context.Context, p *Person) error) *Person {
	ctx, cancel := context.WithCancel(ctx)
	p := &Person{cancel: cancel, done: make(chan struct{}), changed: make(chan struct{})}
	go func() {
		defer close(p.done)
		defer cancel()
		err := work(ctx, p)
		p.change(func() { p.now.Ended, p.now.Err, p.now.Bar, p.now.Question = true, err, nil, nil })
	}()
	return p
}

// Stop ends the work and waits until it has ended.
func (p *Person) Stop() {
	p.cancel()
	<-p.done
}

// Ended is closed when the work has ended.
func (p *Person) Ended() <-chan struct{} { return p.done }

// Now is what a page shows.
func (p *Person) Now() Now {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	return p.copy()
}

func (p *Person) copy() Now {
	n := p.now
	n.Told = slices.Clone(n.Told)
	if n.Bar != nil {
		bar := *n.Bar
		n.Bar = &bar
	}
	return n
}

// Wait waits until what a page shows is as wanted.
func (p *Person) Wait(ctx context.Context, wanted func(Now) bool) (Now, error) {
	for {
		p.mutex.Lock()
		now, changed := p.copy(), p.changed
		p.mutex.Unlock()
		if wanted(now) {
			return now, nil
		}
		select {
		case <-ctx.Done():
			return now, ctx.Err()
		case <-changed:
		}
	}
}

func (p *Person) change(do func()) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	do()
	close(p.changed)
	p.changed = make(chan struct{})
}

// Tell shows a text until the next question is answered. The same text is not shown twice
// in a row.
func (p *Person) Tell(text string) {
	p.change(func() {
		if n := len(p.now.Told); n == 0 || p.now.Told[n-1] != text {
			p.now.Told = append(p.now.Told, text)
		}
	})
}

// Confirm asks for yes or no.
func (p *Person) Confirm(ctx context.Context, question string) (bool, error) {
	a, err := p.ask(ctx, Question{Kind: YesOrNo, Text: question})
	return a.yes, err
}

// Sheets asks for numbers of sheets.
func (p *Person) Sheets(ctx context.Context, question string, among []int) ([]int, error) {
	a, err := p.ask(ctx, Question{Kind: Sheets, Text: question, Among: slices.Clone(among)})
	return a.sheets, err
}

// Choose asks for one of several choices and returns its number, from 0.
func (p *Person) Choose(ctx context.Context, question string, choices []string) (int, error) {
	a, err := p.ask(ctx, Question{Kind: Choice, Text: question, Choices: slices.Clone(choices)})
	return a.choice, err
}

// ask shows a question until it is answered or the context ends.
func (p *Person) ask(ctx context.Context, q Question) (answer, error) {
	answers := make(chan answer, 1)
	p.change(func() {
		p.asked++
		q.Number = p.asked
		p.now.Question, p.answers = &q, answers
	})
	select {
	case a := <-answers:
		return a, nil
	case <-ctx.Done():
		p.change(func() { p.now.Question, p.answers = nil, nil })
		return answer{}, refusal.Interrupted.New("stopped").Advise("begin again: what was done so far is written down")
	}
}

// Start begins to count a piece of work.
func (p *Person) Start(what string, total int) {
	p.change(func() { p.now.Bar = &Bar{What: what, Total: total} })
}

// Step counts n more of it as done.
func (p *Person) Step(n int) {
	p.change(func() {
		if p.now.Bar != nil {
			p.now.Bar.Done += n
		}
	})
}

// Done ends the piece of work that is counted.
func (p *Person) Done() { p.change(func() { p.now.Bar = nil }) }
