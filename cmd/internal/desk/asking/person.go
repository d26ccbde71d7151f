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

// Question is what the work waits for: numbers of sheets, of which none is an answer too, or a yes or a no.
type Question struct {
	Number int // from 1, of this work
	Text   string
	Among  []int // the numbers of sheets that are asked about; none: it is answered by yes or no
}

// IsForSheets tells whether numbers of sheets are asked for.
func (q Question) IsForSheets() bool { return len(q.Among) > 0 }

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
	a, err := p.ask(ctx, Question{Text: question})
	return a.yes, err
}

// Sheets asks for numbers of sheets.
func (p *Person) Sheets(ctx context.Context, question string, among []int) ([]int, error) {
	a, err := p.ask(ctx, Question{Text: question, Among: slices.Clone(among)})
	return a.sheets, err
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

// End ends the piece of work that is counted.
func (p *Person) End() { p.change(func() { p.now.Bar = nil }) }
