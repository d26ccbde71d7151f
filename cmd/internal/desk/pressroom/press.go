package pressroom

import (
	"cmp"
	"context"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"foldwright/cmd/internal/desk/asking"
	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/ipp"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/runsheet"
	"foldwright/printer"
)

// press is a job that is being printed on a printer.
type press struct {
	*asking.Person
	job   job
	again []int // sheets that are printed once more; none: the job is printed

	mutex       sync.Mutex
	left, whole printing.Step // what is laid into the tray
}

// press is the one of a book, nil if there is none.
func (s *room) press(id string) *press {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.presses[id]
}

// ways are how printing is stopped and gone on with on the page.
var ways = printing.Ways{Stop: "“Stop printing” stops", GoOn: "“Go on”"}

// start prints what is left of a job, or sheets of it once more, unless it is being printed.
func (s *room) start(j job, again []int) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.presses[j.ID] != nil {
		return
	}
	p := &press{job: j, again: again}
	s.presses[j.ID] = p
	release, ready := s.Hold(), make(chan struct{})
	p.Person = asking.Begin(s.Context, func(ctx context.Context, person *asking.Person) error {
		defer release()
		<-ready
		return s.print(ctx, p)
	})
	close(ready)
}

// print is what a press does.
func (s *room) print(ctx context.Context, p *press) error {
	r := p.job.record
	p.Tell("Asking the printer what it can do …")
	found, err := ipp.FindOne(ctx, r.To, ipp.Spooler, searchTime)
	if err != nil {
		return err
	}
	machine, says, err := found.AskDirectly(ctx)
	if err != nil {
		return err
	}
	if says.Spooler != "" {
		p.Tell(fmt.Sprintf("Jobs go through this computer's spooler, version %s, which may fit pages to the paper: measure the rules of the check sheet with care.", says.Spooler))
	}
	session := &printing.Session{
		Folder: p.job.Job(), Plan: p.job.made, Printer: machine, Says: says, Person: p, Bar: p, Renderer: s.Renderer, Every: s.every,
		Source: r.Tray, Type: r.Type, Bin: r.Bin, Ways: ways,
		Checked: func() error { return s.Profiles.SetChecked(p.job.made.Profile, p.job.made.Paper.Name) },
		Loads: func(left, whole printing.Step) {
			p.mutex.Lock()
			defer p.mutex.Unlock()
			p.left, p.whole = left, whole
		},
	}
	if len(p.again) > 0 {
		return session.PrintSheets(ctx, p.again)
	}
	return session.Print(ctx, r.NoCheck)
}

// pressed is what the page shows of a press.
type pressed struct {
	asking.Form
	Heading string
	Drawing template.HTML
	Ready   bool   // it is asked whether the paper lies in the tray
	Asks    string // for sheets
	Last    bool   // it is asked for the last good sheet: one, or none
	Pile    []sheet
	Wrong   string
	Hint    string
	Place   *told // where sheets belong that were printed once more
}

func (s *room) showPress(w http.ResponseWriter, b library.Book, p *press, v page.View) error {
	now := p.Now()
	if now.Question != nil { // what was done until then is done
		now.Told = slices.DeleteFunc(slices.Clone(now.Told), func(line string) bool { return strings.HasSuffix(line, "…") })
	}
	if b := now.Bar; b != nil && b.What != "" {
		b.What = strings.ToUpper(b.What[:1]) + b.What[1:]
	}
	shown := pressed{Form: asking.Form{Now: now, Action: at(b) + "/answer"}}
	switch q := now.Question; {
	case now.Ended && now.Err == nil:
		shown.Heading = "Everything that was to be printed now is printed"
	case now.Ended:
		shown.Heading, shown.Wrong, shown.Hint = "Printing has stopped", s.Sentence(now.Err), s.Hint(now.Err)
	case q == nil:
		shown.Heading, v.Poll = "At the printer", 500*time.Millisecond
	case q.Text == printing.ReadyQuestion:
		shown.Heading, shown.Ready, shown.Drawing = "Load the paper", true, p.drawing()
		if p.putsBack() {
			shown.Heading = "Put the stack back"
		}
	case q.IsForSheets():
		shown.Heading, shown.Last = "What came out?", strings.HasPrefix(q.Text, printing.LastGoodQuestion)
		shown.Pile = pile(p.job.made, q.Among)
		shown.Asks, _, _ = strings.Cut(q.Text, printing.NothingMeans)
	default:
		shown.Heading = "Look at it"
	}
	if shown.Heading == "At the printer" && now.Bar == nil && len(now.Told) == 0 {
		shown.Told = []string{"The printer is being asked …"}
	}
	if now.Ended && now.Err == nil && len(p.again) > 0 {
		shown.Place = s.place(p)
	}
	v.Body = shown
	return s.Show(w, pressPage, v)
}

// place says where the sheets belong that were printed once more.
func (s *room) place(p *press) *told {
	j := p.job
	j.record.Way = making
	made, err := s.walk(s.Context, j)
	place := runsheet.PutInPlace{Numbers: plan.Ranges(p.again), Alone: len(p.again) == j.made.Sheets}
	if err == nil { // otherwise the names on the sheets are not spoken of
		place.SideNames = made.job.SideNames
	}
	text := tellerFor(j.Book).tell(place)
	return &text
}

// putsBack tells whether a stack goes back into the tray for its backs.
func (p *press) putsBack() bool {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	return p.left.Pass == printer.BackPass && p.whole.Portion <= 1 && len(p.left.Sheets) == len(p.whole.Sheets)
}

// drawing is how the paper is to lie in the tray, and how a stack gets there.
func (p *press) drawing() template.HTML {
	p.mutex.Lock()
	left, whole := p.left, p.whole
	p.mutex.Unlock()
	if len(left.Sheets) == 0 {
		return ""
	}
	fresh := drawing.Stack{Where: drawing.Tray, Sheets: len(left.Sheets), Up: drawing.Blank, Under: drawing.Blank}
	var d drawing.Drawing = drawing.Lies{Stack: fresh}
	if left.Pass == printer.BackPass {
		stack := runsheet.DeliveredStack(p.job.made.Profile.Facts, printer.FrontPass, runsheet.Ends{Sheets: len(left.Sheets)})
		d = drawing.Move{From: stack, Turn: p.job.made.Profile.Reload, To: drawing.Tray}
		if whole.Portion > 1 || len(left.Sheets) < len(whole.Sheets) { // it was turned already
			d = drawing.Lies{Stack: stack.Put(p.job.made.Profile.Reload, drawing.Tray)}
		}
	}
	return template.HTML(drawing.Append(nil, d, "lies"))
}

// answer takes the answer to a question of the engine.
func (s *room) answer(w http.ResponseWriter, r *http.Request, b library.Book) error {
	p := s.press(b.ID)
	if p == nil {
		return s.showWith(w, r, b, oldPage)
	}
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	if err := p.Take(r.PostForm); err != nil {
		return s.showWith(w, r, b, err)
	}
	// What comes next is often there at once.
	soon, cancel := context.WithTimeout(r.Context(), 300*time.Millisecond)
	defer cancel()
	_, _ = p.Wait(soon, func(n asking.Now) bool { return n.Question != nil || n.Ended })
	return page.Go(w, r, at(b))
}

// stop stops the printer.
func (s *room) stop(w http.ResponseWriter, r *http.Request, b library.Book) error {
	if p := s.press(b.ID); p != nil {
		p.Stop()
	}
	return page.Go(w, r, at(b))
}

// closePress takes away what a press has ended with; "on" begins it once more.
func (s *room) closePress(w http.ResponseWriter, r *http.Request, b library.Book) error {
	p := s.press(b.ID)
	if p == nil || !p.Now().Ended {
		return s.showWith(w, r, b, oldPage)
	}
	s.mutex.Lock()
	delete(s.presses, b.ID)
	s.mutex.Unlock()
	if r.PostFormValue("on") == "" {
		return page.Go(w, r, at(b))
	}
	j, err := s.open(b)
	if err == nil {
		s.start(j, p.again)
	}
	return s.orShow(w, r, b, err)
}

// sheet is one in the picture of a stack.
type sheet struct {
	Number int
	Order  int    // in which it came out, from 1
	Says   string // where it lies, at the ends of the stack
}

// pile is sheets that came out in an order as they lie in the delivery, the top one first.
func pile(made plan.Plan, out []int) []sheet {
	sheets := make([]sheet, len(out))
	for i, n := range out {
		sheets[i] = sheet{Number: n, Order: i + 1}
	}
	if cmp.Or(made.Profile.Stacks, printer.OnTop) == printer.OnTop {
		slices.Reverse(sheets)
	}
	if len(sheets) > 0 {
		sheets[0].Says, sheets[len(sheets)-1].Says = "on top", "at the bottom"
	}
	if len(sheets) == 1 {
		sheets[0].Says = ""
	}
	return sheets
}
