package printerroom

import (
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strings"
	"time"

	"foldwright/cmd/internal/desk/asking"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/learn"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// place is what a walk shows now.
type place int

const (
	atPaper place = iota + 1
	atQuestion
	atPrinting
	atReport
)

// ahead are the questions that are asked before the test sheet is printed.
var ahead = []string{"two-sided", "sheets"}

// at is where a walk is. The interview is nil until the paper has been chosen.
func (k walk) at(i *learn.Interview) (place, learn.Question) {
	if i == nil {
		return atPaper, learn.Question{}
	}
	q, open := i.Next()
	switch {
	case open && (k.Printed || slices.Contains(ahead, q.ID)):
		return atQuestion, q
	case !k.Printed:
		return atPrinting, q
	}
	return atReport, q
}

// begun is the interview of a walk, or nil while its paper is chosen.
func (k walk) begun() (*learn.Interview, error) {
	if k.Paper == "" || k.Anew {
		return nil, nil
	}
	return k.interview()
}

// body is what a walk shows.
type body struct {
	ID     string
	Change int
	Part   string // of the walk
	Title  string
	Begun  bool // there is something to go back to

	Doubt   string
	Told    []learn.Told
	Follows []learn.Follow

	Paper    *paperView
	Printing *printView
	Question *questionView
	Report   *reportView
	Sending  *asking.Form
}

type paperView struct {
	Papers []option
	Other  string
}

type option struct {
	Value, Says string
	On          bool
	Picture     template.HTML
	Desc        string // what the picture shows
}

type questionView struct {
	Look     string
	Pictures []template.HTML
	Options  []option
	Needed   bool // an answer is needed
	Boxes    []box
	Skip     string // what the button says that leaves the boxes out
	Before   bool   // what was answered before is chosen
	Refused  bool   // what was typed is, and the notice says why
}

type box struct{ Name, Label, Value string }

type printView struct {
	Steps     []string
	Picture   template.HTML
	File      string // to be printed; empty: none is
	First     bool   // nothing has been printed yet
	Addresses []option
	Found     foundView
}

type reportView struct {
	Says    []string
	Name    string
	Taken   bool // there is a printer of this name already
	Default bool
	Address string
	Wrong   string
}

func (s *room) show(w http.ResponseWriter, r *http.Request, k walk) error {
	if s.isSending(k.ID) {
		return page.Go(w, r, k.path()+"/printing")
	}
	return s.showWalk(w, k, nil, nil)
}

// showWalk shows where a walk is. typed is what a form held that was refused.
func (s *room) showWalk(w http.ResponseWriter, k walk, typed map[string][]string, refused error) error {
	v := page.View{Title: "Learn “" + k.Name + "”", At: "printers"}
	sending, ended := s.sendingNow(k.ID)
	if refused == nil {
		refused = ended
	}
	if sending == nil {
		var err error
		if k, err = s.walk(k.ID); err != nil { // it may just have been printed
			return err
		}
	}
	i, err := k.begun()
	if err != nil {
		return err
	}
	show := body{ID: k.ID, Change: k.Change, Begun: k.Paper != "" && !k.Anew}
	where, q := k.at(i)
	switch {
	case sending != nil:
		show.Part, show.Title, show.Sending = parts[0], "Printing the test sheet", askingForm(*sending, k)
		if refused == nil {
			v.Poll = time.Second
		}
	case where == atPaper:
		show.Part, show.Title, show.Paper = parts[0], "The paper", s.paperView(k, typed)
	case where == atPrinting:
		show.Part = parts[0]
		show.Title, show.Printing = s.printView(k, i)
		if show.Printing.Found.Searching && refused == nil {
			v.Poll = 500 * time.Millisecond
		}
		if k.Sending && refused == nil {
			refused = refusal.Interrupted.New("Foldwright was ended while the test sheet was being printed").Advise("print it once more, on fresh sheets")
		}
	case where == atQuestion:
		show.Part, show.Title, show.Question = partOf(q.ID), titles[q.ID], questionViewOf(k, i, q, typed)
		show.setLast(i.Last())
	default:
		show.Title = "What your printer does"
		show.Report, err = s.reportView(k, i, typed)
		if err != nil && refused == nil {
			refused = err
		}
		show.setLast(i.Last())
	}
	if refused != nil {
		s.Notify(&v, refused)
		show.Doubt, show.Told, show.Follows = "", nil, nil
	}
	v.Body = show
	return s.Show(w, learnPage, v)
}

// setLast tells what has come of the last answer.
func (b *body) setLast(last learn.Outcome) {
	b.Follows = last.Follows
	if d := last.Doubt; d != nil {
		b.Told = d.Told
		b.Doubt = d.Text("leave the boxes empty")
		if d.Named {
			b.Doubt = "No printer gives all of these answers together. Please look again."
		}
	}
}

// parts are the stretches of the walk.
var parts = []string{"Part 1 of 4: print the test sheet", "Part 2 of 4: what you see", "Part 3 of 4: what you measure", "Part 4 of 4: the tray"}

// partOf is the stretch that a question belongs to.
func partOf(question string) string {
	switch {
	case slices.Contains(ahead, question):
		return parts[0]
	case slices.Contains([]string{"tray", "tray-sheets", "process"}, question):
		return parts[3]
	case slices.Contains([]string{"reload", "reading", "pencil", "lands", "top", "pair", "stacks"}, question):
		return parts[1]
	}
	return parts[2]
}

// titles are the questions in a few words.
var titles = map[string]string{
	"two-sided": "Both sides of a sheet", "sheets": "How many test sheets", "reload": "How you put the paper back", "reading": "The pin",
	"pencil": "The pencil cross", "lands": "How sheets come out", "top": "The sheet on top", "pair": "The other side", "stacks": "Where sheets land",
	"measure": "A ruler and a window", "paper": "The paper", "ruler-front": "The size of the front", "ruler-back": "The size of the back",
	"actual-size": "Was it printed at actual size?", "mark": "Where the print lies on the paper", "shift-1": "Front and back against the light",
	"shift-2": "The second sheet against the light", "shift-3": "The third sheet against the light", "edges-1": "How far the front reaches",
	"edges-2": "How far the back reaches", "tray": "The tray", "tray-sheets": "Room in the tray", "process": "Laser or ink",
}

// paperView offers the papers on which the test sheet finds room.
func (s *room) paperView(k walk, typed map[string][]string) *paperView {
	chosen := k.Paper
	if typed != nil {
		chosen = chosenPaper(typed)
	}
	var v paperView
	usual, _ := s.Region.Choose(s.Profiles, "")
	for _, name := range reorder.ShortPaperNames() {
		p, err := reorder.ParsePaper(name)
		if err != nil || testsheet.Check(p) != nil {
			continue
		}
		v.Papers = append(v.Papers, option{Value: name, Says: fmt.Sprintf("%s (%s)", p.Word(), p.Size), On: name == chosen || chosen == "" && p == usual.Paper})
	}
	if !slices.ContainsFunc(v.Papers, func(o option) bool { return o.On }) {
		v.Other = chosen
	}
	return &v
}

// questionViewOf is a question as it is asked on a page.
func questionViewOf(k walk, i *learn.Interview, q learn.Question, typed map[string][]string) *questionView {
	heard, _ := i.Heard()
	v := &questionView{Look: q.Alone, Needed: q.Skip == ""}
	if !k.Printed && q.Ahead != "" {
		v.Look = q.Ahead
	}
	for n, d := range questionPictures(q.ID, i.Sheet()) {
		v.Pictures = append(v.Pictures, picture(d, fmt.Sprintf("look-%d", n)))
	}
	if len(q.Boxes) > 0 {
		v.setBoxes(q, typed)
		return v
	}
	before, answered := q.Before, q.Before != ""
	if typed != nil {
		before, answered = strings.Join(typed["answer"], ""), typed["answer"] != nil
	}
	for n, c := range q.Choices {
		o := option{Value: c.Word, Says: c.Says, On: answered && before == c.Word}
		if !k.Printed && c.Ahead != "" {
			o.Says = c.Ahead
		}
		if d := choicePicture(q.ID, c.Word, heard); d != nil {
			o.Picture = picture(d, fmt.Sprintf("pick-%d", n))
			_, o.Desc = d.Describe()
		}
		o.Says = page.Capitalize(o.Says)
		v.Options = append(v.Options, o)
	}
	if q.Skip != "" && !slices.ContainsFunc(q.Choices, func(c learn.Choice) bool { return c.Says == q.Skip }) {
		_, known := k.Back[q.ID]
		v.Options = append(v.Options, option{Says: page.Capitalize(q.Skip), On: before == "" && (answered || known)})
	}
	v.Before = q.Before != ""
	return v
}

func (v *questionView) setBoxes(q learn.Question, typed map[string][]string) {
	values := strings.Split(q.Before, between)
	for n, label := range q.Boxes {
		b := box{Name: boxName(n), Label: page.Capitalize(label)}
		if typed != nil {
			b.Value, v.Refused = strings.Join(typed[b.Name], ""), true
		} else if len(values) == len(q.Boxes) {
			b.Value = values[n]
		}
		v.Boxes = append(v.Boxes, b)
	}
	v.Skip, v.Before = page.Capitalize(q.Skip), q.Before != ""
}

// printScreen is something to do until the test sheet is printed.
type printScreen struct {
	title   string
	steps   []string
	file    string
	picture drawing.Drawing
}

// printScreens is all of it.
func printScreens(heard learn.Heard) []printScreen {
	steps, count := testsheet.Numbered(heard.Three), 1
	if heard.Three {
		count = 3
	}
	stack := drawing.Stack{Where: drawing.Delivery, Sheets: count, Up: drawing.Either, Under: drawing.Either}
	begin := printScreen{title: "A pencil cross", steps: steps[:1], picture: drawing.Pencilled{Count: count}}
	if heard.TwoSided == printer.Automatic {
		look := "Before you lift anything, look: which side lies up, the letters K L M N or the numbers 1 2 3 4?"
		if heard.Three {
			look = "Before you lift anything, look: which side lies up, the letters K L M N or the numbers 1 2 3 4? Which sheet lies on top, and did each land on top of the one before it or beneath it?"
		}
		return []printScreen{
			begin,
			{title: "Print both sides", steps: []string{testsheet.Automatic(heard.Three)}, file: testsheet.BothFile, picture: drawing.Way{Is: printer.Automatic}},
			{title: "Look before you lift", steps: []string{look}, picture: drawing.Lies{Stack: stack}},
		}
	}
	return []printScreen{
		begin,
		{title: "Print the front", steps: steps[1:2], file: testsheet.FrontFile, picture: drawing.Way{Is: printer.ByHand}},
		{title: "Look before you lift", steps: steps[2:3], picture: drawing.Lies{Stack: stack}},
		{title: "Put it back, and print the back", steps: steps[3:5], file: testsheet.BackFile, picture: drawing.PutIn{Count: count}},
	}
}

func (s *room) printView(k walk, i *learn.Interview) (string, *printView) {
	heard, _ := i.Heard()
	screens := printScreens(heard)
	n := min(k.Screen, len(screens)-1)
	now := screens[n]
	v := &printView{Steps: now.steps, Picture: picture(now.picture, "do"), File: now.file, First: n == 0}
	if v.First {
		v.Found = s.foundNow()
		v.Found.Walk = k.ID
		v.Addresses = s.addresses(k.Address, v.Found.Found)
	}
	return fmt.Sprintf("%s (%d of %d)", now.title, n+1, len(screens)), v
}

// reportView tells what follows from all answers.
func (s *room) reportView(k walk, i *learn.Interview, typed map[string][]string) (*reportView, error) {
	heard, _ := i.Heard()
	v := &reportView{Name: k.Name, Address: k.Address}
	if typed != nil {
		v.Name = strings.Join(typed["name"], "")
	}
	chosen, err := s.Profiles.Default()
	v.Default = err == nil && chosen == profiles.Guess
	v.Taken = errors.Is(s.Profiles.CheckFree(v.Name, false), profiles.ErrExists)
	c, err := heard.Conclude(k.Name, i.Sheet())
	if err != nil {
		v.Wrong = s.Sentence(err)
		return v, err
	}
	for _, says := range c.Report(learn.FactWords) {
		v.Says = append(v.Says, says.In(s.Words))
	}
	return v, nil
}
