package printerroom

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/learn"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// beginText asks for a name.
const beginText = `{{with .Body}}<p>You print a test sheet, push a pin through it and say what you see. From this Foldwright finds out how your printer feeds and turns paper. Have ready: one to three sheets of paper, a pencil, a pin, and if you want to measure, a ruler and a bright window.</p>
<p>Take care at the printer: a laser printer is hot inside where the paper comes out. The printer's own manual comes first. Keep the pin in a cork when you don't use it.</p>
<form method="post" action="/printers/learn">{{with .Address}}<input type="hidden" name="address" value="{{.}}">{{end}}
<p><label for="name">A name for the printer, with the tray and the paper you will use</label><br><input id="name" name="name" value="{{.Name}}" required autocomplete="off" aria-describedby="name-help"></p>
<p class="soft" id="name-help">For example “desk”, and later “desk card” for its other tray. What a printer does may differ from tray to tray and from paper to paper: each gets its own name.</p>
{{if .Taken}}<p class="printer-tick"><input type="checkbox" id="anew" name="anew" value="yes"> <label for="anew">Learn “{{.Name}}” anew. What is known of it stays until you have answered all questions.</label></p>{{end}}
<p><button>Begin</button></p></form>
{{with .Walks}}<h2>Begun and not finished</h2><ul class="printer-list">{{range .}}<li><a href="/printers/learn/{{.ID}}">Go on learning “{{.Name}}”</a></li>{{end}}</ul>{{end}}{{end}}`

type beginView struct {
	Name, Address string
	Taken         bool
	Walks         []shownWalk
}

func (s *room) begin(w http.ResponseWriter, r *http.Request) error {
	return s.showBegin(w, beginView{Name: r.URL.Query().Get("name")}, nil)
}

func (s *room) showBegin(w http.ResponseWriter, show beginView, refused error) error {
	v := page.View{Title: "Learn a printer", At: "printers"}
	walks, err := s.walks()
	for _, k := range walks {
		show.Walks = append(show.Walks, shownWalk{k.ID, k.Name, len(k.Given)})
	}
	if err = cmp.Or(refused, err); err != nil {
		s.Notify(&v, err)
	}
	show.Taken = show.Name != "" && s.isTaken(show.Name)
	v.Body = show
	return s.Show(w, beginPage, v)
}

// isTaken tells whether there is a printer of the person's of this name.
func (s *room) isTaken(name string) bool {
	names, _ := s.Profiles.Names()
	return slices.Contains(names, name) && !slices.Contains(profiles.Builtin(), name)
}

// beginWalk begins to learn a printer.
func (s *room) beginWalk(w http.ResponseWriter, r *http.Request) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	name, address := strings.TrimSpace(r.PostForm.Get("name")), r.PostForm.Get("address")
	if err := s.Profiles.CheckFree(name, r.PostForm.Get("anew") != ""); err != nil {
		if s.isTaken(name) {
			err = refusal.Output.New("there is a printer “%s” already", name).Advise("choose another name, or say that you want to learn it anew")
		}
		return s.showBegin(w, beginView{Name: name, Address: address}, err)
	}
	k, err := s.addWalk(name, address)
	if err != nil {
		return err
	}
	return page.Go(w, r, k.path())
}

var errOld = refusal.Output.New("that page was older than your answers, so nothing was changed").Advise("this is where you are")

// between stands between the numbers that were typed into boxes: then decimal commas are understood.
const between = "; "

func boxName(n int) string { return "box-" + strconv.Itoa(n+1) }

// take takes what was done on a screen of a walk: an answer, a step back, or the end.
func (s *room) take(w http.ResponseWriter, r *http.Request) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	if r.PostForm.Get("do") == "keep" {
		return s.keep(w, r)
	}
	k, err := s.change(r.PathValue("walk"), func(k *walk) error {
		if r.PostForm.Get("change") != strconv.Itoa(k.Change) {
			return errOld
		}
		if r.PostForm.Get("do") == "back" {
			return k.goBack()
		}
		return k.goOn(r.PostForm)
	})
	switch {
	case k.ID == "":
		return err
	case err == errOld:
		return s.showWalk(w, k, nil, err)
	case err != nil:
		return s.showWalk(w, k, r.PostForm, err)
	}
	return page.Go(w, r, k.path())
}

// goOn takes what a screen's form says, and goes on to the next.
func (k *walk) goOn(form map[string][]string) error {
	i, err := k.begun()
	if err != nil {
		return err
	}
	switch where, q := k.at(i); where {
	case atPaper:
		return k.choosePaper(form)
	case atPrinting:
		heard, _ := i.Heard()
		if k.Screen++; k.Screen >= len(printScreens(heard)) {
			k.setPrinted()
		}
		k.Sending = false
	case atQuestion:
		answer, err := readAnswer(q, form)
		if err == nil {
			_, err = i.Answer(answer)
		}
		if err != nil {
			return err
		}
		k.keepAnswers(i)
	}
	return nil
}

// setPrinted notes that the test sheet is printed.
func (k *walk) setPrinted() { k.Printed, k.Sending, k.Ahead = true, false, len(k.Given) }

// goBack goes back by one screen. What was answered there is proposed again.
func (k *walk) goBack() error {
	i, err := k.begun()
	if err != nil || i == nil {
		return err
	}
	switch {
	case k.Printed && len(k.Given) <= k.Ahead:
		heard, _ := i.Heard()
		k.Printed, k.Screen = false, len(printScreens(heard))-1
	case !k.Printed && k.Screen > 0:
		k.Screen--
	case i.TakeBack():
		k.keepAnswers(i)
	default:
		k.Anew = true
	}
	return nil
}

func chosenPaper(form map[string][]string) string {
	if other := strings.TrimSpace(strings.Join(form["other"], "")); other != "" {
		return other
	}
	return strings.Join(form["paper"], "")
}

func (k *walk) choosePaper(form map[string][]string) error {
	text := chosenPaper(form)
	if text == "" {
		return refusal.Use.New("please choose the paper")
	}
	paper, err := reorder.ParsePaper(text)
	if err == nil {
		err = testsheet.Check(paper)
	}
	if err != nil {
		return err
	}
	k.Paper, k.Anew = text, false
	return nil
}

// readAnswer is what a form answers to a question, as an interview takes it.
func readAnswer(q learn.Question, form map[string][]string) (string, error) {
	if len(q.Boxes) == 0 {
		answer, given := form["answer"]
		if !given {
			return "", refusal.Use.New("please choose one of the answers")
		}
		return answer[0], nil
	}
	if form["skip"] != nil {
		return "", nil
	}
	var values []string
	empty := 0
	for n := range q.Boxes {
		value := strings.TrimSpace(strings.Join(form[boxName(n)], ""))
		if value == "" {
			empty++
		}
		values = append(values, value)
	}
	switch {
	case empty == len(values):
		return "", refusal.Use.New("nothing was filled in").Advise("fill it in, or choose “%s”", page.Capitalize(q.Skip))
	case empty > 0:
		return "", refusal.Use.New("%s still empty: fill in all of them, or choose “%s”", isOrAre(empty), page.Capitalize(q.Skip))
	}
	return strings.Join(values, between), nil
}

func isOrAre(boxes int) string {
	if boxes == 1 {
		return "one box is"
	}
	return fmt.Sprintf("%d boxes are", boxes)
}

// keep writes down what was learned, and ends the walk.
func (s *room) keep(w http.ResponseWriter, r *http.Request) error {
	k, err := s.walk(r.PathValue("walk"))
	if err != nil {
		return err
	}
	name := strings.TrimSpace(r.PostForm.Get("name"))
	if err := s.save(k, name, r.PostForm.Get("replace") != ""); err != nil {
		return s.showWalk(w, k, r.PostForm, err)
	}
	if r.PostForm.Get("default") != "" {
		err = s.Profiles.SetDefault(name)
	}
	if err == nil && r.PostForm.Get("address") != "" {
		err = s.Library.SetDevice(name, k.Address)
	}
	if err != nil {
		return err // what was learned is kept
	}
	if err := s.removeWalk(k.ID); err != nil {
		return err
	}
	return page.Go(w, r, pathOf(name))
}

// save writes the profile of what was answered, as the command learn does.
func (s *room) save(k walk, name string, replace bool) error {
	i, err := k.begun()
	if err != nil {
		return err
	}
	if where, _ := k.at(i); where != atReport {
		return errOld
	}
	heard, _ := i.Heard()
	c, err := heard.Conclude(name, i.Sheet())
	if err != nil {
		return err
	}
	_, err = s.Profiles.Save(c.Profile, replace)
	if err != nil && s.isTaken(name) && !replace {
		return refusal.Output.New("there is a printer “%s” already", name).Advise("choose another name, or say that it is to be replaced")
	}
	return err
}

func (s *room) askGiveUp(w http.ResponseWriter, _ *http.Request, k walk) error {
	return s.Show(w, giveUpPage, page.View{Title: "Stop learning “" + k.Name + "”?", At: "printers", Body: k})
}

func (s *room) giveUp(w http.ResponseWriter, r *http.Request, k walk) error {
	s.stopSending(k.ID)
	if err := s.removeWalk(k.ID); err != nil {
		return err
	}
	return page.Go(w, r, "/printers")
}
