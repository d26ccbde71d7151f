package printerroom_test

import (
	"bytes"
	"context"
	"fmt"
	"html"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"foldwright/cmd/internal/cli"
	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/desk/planroom"
	"foldwright/cmd/internal/desk/printerroom"
	"foldwright/cmd/internal/ipp"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/printertest"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/sample"
)

// person sits in front of a page, knows nothing but what stands on it and on the test sheet, and clicks.
type person struct {
	*testing.T
	books, profiles string
	handler         http.Handler
	at              string // the page that is open
	text            string
	close           func() error
	end             context.CancelFunc                // of the program
	finding         func(context.Context) []ipp.Found // nil: the network is searched
}

func sitDown(t *testing.T, books, store string) *person {
	t.Helper()
	p := &person{T: t, books: books, profiles: store}
	p.start()
	return p
}

// start starts the program.
func (p *person) start() {
	p.Helper()
	l, err := library.Open(p.books)
	if err != nil {
		p.Fatal(err)
	}
	ctx, end := context.WithCancel(p.Context())
	d := &page.Desk{Context: ctx, Library: l, Profiles: profiles.Open(p.profiles), Region: "GB", Version: "test"}
	planroom.Add(d)
	if p.finding != nil {
		printerroom.AddFinding(d, p.finding)
	} else {
		printerroom.Add(d)
	}
	p.handler, p.close, p.end = d.Routes(), l.Close, end
}

// kill ends the program while something is in work, and starts another one.
func (p *person) kill() {
	p.Helper()
	p.end()
	p.start()
}

// restart ends the program and starts another one, which knows only what is on the disk.
func (p *person) restart() {
	p.Helper()
	if err := p.close(); err != nil {
		p.Fatal(err)
	}
	p.start()
}

func (p *person) ask(r *http.Request) {
	p.Helper()
	for range 5 {
		w := httptest.NewRecorder()
		p.handler.ServeHTTP(w, r)
		if w.Code == http.StatusSeeOther {
			r = httptest.NewRequest(http.MethodGet, w.Header().Get("Location"), nil)
			continue
		}
		if w.Code != http.StatusOK {
			p.Fatalf("%s %s: %d %s", r.Method, r.URL, w.Code, w.Body)
		}
		p.at, p.text = r.URL.Path, w.Body.String()
		return
	}
	p.Fatalf("%s leads in circles", r.URL)
}

func (p *person) open(path string) {
	p.Helper()
	p.ask(httptest.NewRequest(http.MethodGet, path, nil))
}

// follow follows the link that begins with these words.
func (p *person) follow(words string) {
	p.Helper()
	for _, m := range regexp.MustCompile(`(?s)<a [^>]*href="([^"]*)"[^>]*>(.*?)</a>`).FindAllStringSubmatch(p.text, -1) {
		if strings.HasPrefix(plain(m[2]), words) {
			p.open(html.UnescapeString(m[1]))
			return
		}
	}
	p.Fatalf("no link %q in %s", words, p.text)
}

// form is a form as a browser has it: what it sends if nothing is touched.
type form struct {
	action string
	text   string
	values url.Values
}

var (
	forms   = regexp.MustCompile(`(?s)<form [^>]*action="([^"]*)"[^>]*>(.*?)</form>`)
	inputs  = regexp.MustCompile(`<input ([^>]*)>`)
	labels  = regexp.MustCompile(`(?s)<label for="([^"]*)">(.*?)</label>`)
	buttons = regexp.MustCompile(`(?s)<button([^>]*)>(.*?)</button>`)
	drawn   = regexp.MustCompile(`(?s)<svg.*?</svg>`)
	tags    = regexp.MustCompile(`<[^>]*>`)
)

func attribute(tag, name string) (string, bool) {
	m := regexp.MustCompile(`(?:^|\s)` + name + `(?:="([^"]*)")?(?:\s|$)`).FindStringSubmatch(tag)
	if m == nil {
		return "", false
	}
	return html.UnescapeString(m[1]), true
}

// plain is what somebody reads.
func plain(text string) string {
	return strings.Join(strings.Fields(html.UnescapeString(tags.ReplaceAllString(drawn.ReplaceAllString(text, " "), " "))), " ")
}

// formWith is the form with a button that says this.
func (p *person) formWith(button string) form {
	p.Helper()
	for _, m := range forms.FindAllStringSubmatch(p.text, -1) {
		for _, b := range buttons.FindAllStringSubmatch(m[2], -1) {
			if !strings.Contains(plain(b[2]), button) {
				continue
			}
			f := form{html.UnescapeString(m[1]), m[2], url.Values{}}
			for _, in := range inputs.FindAllStringSubmatch(m[2], -1) {
				name, _ := attribute(in[1], "name")
				value, _ := attribute(in[1], "value")
				kind, _ := attribute(in[1], "type")
				_, checked := attribute(in[1], "checked")
				if kind != "radio" && kind != "checkbox" || checked {
					f.values.Add(name, value)
				}
			}
			if name, named := attribute(b[1], "name"); named {
				value, _ := attribute(b[1], "value")
				f.values.Set(name, value)
			}
			return f
		}
	}
	p.Fatalf("no button %q in %s", button, plain(p.text))
	return form{}
}

// labelled is the input whose label begins with these words.
func (f form) labelled(words string) (name, value string, ok bool) {
	for _, m := range labels.FindAllStringSubmatch(f.text, -1) {
		if !strings.HasPrefix(plain(m[2]), words) {
			continue
		}
		for _, in := range inputs.FindAllStringSubmatch(f.text, -1) {
			if id, _ := attribute(in[1], "id"); id == m[1] {
				name, _ = attribute(in[1], "name")
				value, _ = attribute(in[1], "value")
				return name, value, true
			}
		}
	}
	return "", "", false
}

func (p *person) send(f form) {
	p.Helper()
	r := httptest.NewRequest(http.MethodPost, f.action, strings.NewReader(f.values.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	p.ask(r)
}

// pick chooses an answer and goes on.
func (p *person) pick(answer string) {
	p.Helper()
	f := p.formWith("Go on")
	name, value, ok := f.labelled(answer)
	if !ok {
		p.Fatalf("no answer %q in %s", answer, plain(p.text))
	}
	f.values.Set(name, value)
	p.send(f)
}

// fill fills the boxes, in their order, and goes on.
func (p *person) fill(numbers ...string) {
	p.Helper()
	f := p.formWith("Go on")
	for n, number := range numbers {
		name := fmt.Sprintf("box-%d", n+1)
		if _, is := f.values[name]; !is {
			p.Fatalf("no box for %s in %s", number, plain(p.text))
		}
		f.values.Set(name, number)
	}
	p.send(f)
}

func (p *person) press(button string) {
	p.Helper()
	p.send(p.formWith(button))
}

// sees tells whether a text stands on the page.
func (p *person) sees(text string) bool { return strings.Contains(plain(p.text), text) }

// save saves a file that the page offers, as a browser does.
func (p *person) save(name, dir string) {
	p.Helper()
	m := regexp.MustCompile(`href="([^"]*/sheet/` + regexp.QuoteMeta(name) + `)"`).FindStringSubmatch(p.text)
	if m == nil {
		p.Fatalf("%s is not offered in %s", name, plain(p.text))
	}
	w := httptest.NewRecorder()
	p.handler.ServeHTTP(w, httptest.NewRequest(http.MethodGet, m[1], nil))
	if w.Code != http.StatusOK {
		p.Fatal(w.Code, w.Body)
	}
	if err := os.WriteFile(filepath.Join(dir, name), w.Body.Bytes(), 0o600); err != nil {
		p.Fatal(err)
	}
}

// seen is what a person who has the printed sheets says to the words of a question.
type seen struct {
	printtest.Trial
	facts    printer.Facts
	reload   printer.Reload
	measured bool
}

// reloads are the ways of putting the paper back, as the page has them.
var reloads = map[printer.Reload]string{
	printer.AsDelivered: "Just as it came out", printer.RotateHalf: "Turned half round",
	printer.TurnLong: "Turned over sideways, like the page", printer.TurnShort: "Turned over lengthwise, like the leaf",
}

// answer looks at the sheets and answers the question that the page asks.
func (s seen) answer(p *person) {
	p.Helper()
	numbers := func(text string) []string { return strings.Split(text, ",") }
	switch {
	case p.sees("how did you put the paper back"):
		p.pick(reloads[s.reload])
	case p.sees("Push a pin through the middle of the cross"):
		p.pick("The number " + s.Reading(p.T)[1:])
	case p.sees("Where is it now?"):
		p.pick(map[string]string{"printed": "On the side with the letters", "unprinted": "On the other side"}[s.Pencil()])
	case p.sees("on which side was the new print?"):
		p.pick(map[string]string{"face-up": "On the upper side", "face-down": "On the lower side"}[s.Lands()])
	case p.sees("which side lay up?"):
		p.pick(map[string]string{"face-up": "The letters", "face-down": "The numbers"}[s.Lands()])
	case p.sees("Take the one on top"), p.sees("Which one is on top?"):
		p.pick(map[string]string{"first": "Sheet I", "last": "Sheet III"}[s.Top(p.T)])
	case p.sees("What does its other"):
		p.pick(map[string]string{"same": "I", "reversed": "III"}[s.Pair(p.T)])
	case p.sees("where did each one land?"):
		p.pick("I did not watch")
	case p.sees("Do you want to measure"):
		p.pick(map[bool]string{true: "Yes", false: "No"}[s.measured])
	case p.sees("from the middle of the cross at K to that at L"):
		p.fill(numbers(s.Rulers(false))...)
	case p.sees("from the middle of ring 1 to that of ring 2"):
		p.fill(numbers(s.Rulers(true))...)
	case p.sees("Did the dialog say"):
		p.pick("Yes")
	case p.sees("how far does the middle of the cross at N"):
		p.fill(numbers(s.Mark())...)
	case p.sees("Hold sheet I to the light"):
		p.fill(numbers(s.Verniers(p.T)[0])...)
	case p.sees("Hold sheet II to the light"):
		p.fill(numbers(s.Verniers(p.T)[1])...)
	case p.sees("Hold sheet III to the light"):
		p.fill(numbers(s.Verniers(p.T)[2])...)
	case p.sees("On the side with the letters, the arrow pointing up: at each edge is a ladder"):
		p.fill("4", "4", "12", "4")
	case p.sees("On the side with the numbers, the arrow pointing up: at each edge is a ladder"):
		p.fill("4", "5", "12", "4")
	case p.sees("What kind of tray"):
		p.pick("A drawer")
	case p.sees("How many sheets of this paper"):
		p.fill("50")
	case p.sees("How does the printer print?"):
		p.pick("With a laser")
	default:
		p.Fatalf("what does the page want? %s", plain(p.text))
	}
}

// toldAsFlags is the same, told to the command.
func (s seen) toldAsFlags(t *testing.T, paper string) []string {
	args := []string{"--paper", paper, "--top", s.Top(t), "--reading", s.Reading(t), "--lands", s.Lands(), "--tray", "drawer", "--tray-sheets", "50", "--process", "laser"}
	if s.reload == 0 { // nobody asks for the pairs of a printer that makes them
		args = append(args, "--two-sided", "automatic")
	} else {
		args = append(args, "--two-sided", "by-hand", "--reload", s.reload.String(), "--pencil", s.Pencil(), "--pair", s.Pair(t))
	}
	if !s.measured {
		return args
	}
	args = append(args, "--ruler-front", s.Rulers(false), "--mark", s.Mark(), "--edges", "4,4,12,4")
	if reading := s.Reading(t); reading == "K2" || reading == "K4" {
		args = append(args, "--ruler-back", s.Rulers(true), "--edges", "4,5,12,4")
		for _, v := range s.Verniers(t) {
			args = append(args, "--shift", v)
		}
	}
	return args
}

// other is a way of putting a stack back that brings the second print onto the face of the first where the given
// way does not.
var other = map[printer.Reload]printer.Reload{
	printer.AsDelivered: printer.TurnShort, printer.RotateHalf: printer.TurnLong,
	printer.TurnLong: printer.AsDelivered, printer.TurnShort: printer.RotateHalf,
}

// learn learns a printer through the pages. interrupted: the program is ended after every screen.
func (p *person) learn(name string, paper reorder.Paper, s seen, r *printtest.Reader, interrupted bool) {
	p.Helper()
	between := func() {
		if interrupted {
			p.restart()
			p.open("/printers")
			p.follow("Go on learning “" + name + "”")
		}
	}
	p.open("/printers")
	p.follow("Learn a printer")
	f := p.formWith("Begin")
	f.values.Set("name", name)
	p.send(f)
	between()
	p.pick(paper.Word() + " (")
	between()
	if s.facts.TwoSided == printer.ByHand {
		p.pick("One side at a time")
	} else {
		p.pick("It turns the paper")
	}
	between()
	p.pick("Three sheets")
	between()
	sheets := p.TempDir()
	for printed := false; !printed; between() {
		switch {
		case p.sees("Pencil a cross"), p.sees("Before you lift anything, look"):
			p.press("Go on")
		case p.sees("Save " + testsheet.FrontFile):
			p.save(testsheet.FrontFile, sheets)
			p.press("go on")
		case p.sees("Save " + testsheet.BackFile):
			p.save(testsheet.BackFile, sheets)
			p.press("go on")
		case p.sees("Save " + testsheet.BothFile):
			p.save(testsheet.BothFile, sheets)
			p.press("go on")
		default:
			printed = true
		}
	}
	s.Trial = printtest.Try(p.T, r, sheets, paper, printtest.Printer(p.T, s.facts), s.reload)
	for n := 0; !p.sees("Keep this printer"); n++ {
		if n > 40 {
			p.Fatalf("it does not come to an end: %s", plain(p.text))
		}
		s.answer(p)
		between()
	}
	f = p.formWith("Keep this printer")
	f.values.Del("default")
	p.send(f)
	if !p.sees("What it does with paper") {
		p.Fatalf("not kept: %s", plain(p.text))
	}
}

// TestThePagesLearnWhatTheCommandLearns is the law of this room: for each printer, a person who sees its test
// sheets and answers through the pages alone gets the profile, byte for byte, that the command writes of the same
// answers; also where the first try puts both prints on one side, and where the program is ended after every screen
// and gone on with by a new one.
func TestThePagesLearnWhatTheCommandLearns(t *testing.T) {
	r := new(printtest.Reader)
	readings := map[string]int{}
	random := sample.Random(t)
	for i, facts := range printertest.Some(t, 1) {
		tries := []printer.Reload{0}
		if facts.TwoSided == printer.ByHand {
			tries = []printer.Reload{facts.Reload, other[facts.Reload]}
			if !sample.Full() {
				tries = tries[:1+i%2][i%2:] // one of them
			}
		}
		for _, reload := range tries {
			name := fmt.Sprintf("printer %d %d", i, reload)
			on := []string{"a4", "letter"}[i%2]
			paper, err := reorder.ParsePaper(on)
			if err != nil {
				t.Fatal(err)
			}
			measured, interrupted := random.IntN(2) == 0, random.IntN(2) == 0
			s := seen{facts: facts, reload: reload, measured: measured}
			byPages, byCommand := t.TempDir(), t.TempDir()
			p := sitDown(t, t.TempDir(), byPages)
			p.learn(name, paper, s, r, interrupted)
			p.open("/printers")
			if p.sees("Begun and not finished") {
				t.Error("what is learned is still being learned")
			}
			if err := p.close(); err != nil {
				t.Error(err)
			}

			sheets := filepath.Join(t.TempDir(), "sheets")
			command(t, "testsheet", "--three", "--paper", on, "--out", sheets, "--quiet")
			s.Trial = printtest.Try(t, r, sheets, paper, printtest.Printer(t, facts), reload)
			command(t, append([]string{"learn", name, "--profiles", byCommand, "--quiet"}, s.toldAsFlags(t, on)...)...)
			file := name + ".yaml"
			want, got := read(t, filepath.Join(byCommand, file)), read(t, filepath.Join(byPages, file))
			if want != got {
				t.Errorf("%+v, put back %s, measured %t, interrupted %t: the pages learn\n%s\nand the command\n%s", facts, reload, measured, interrupted, got, want)
			}
			readings[s.Reading(t)]++
		}
	}
	if len(readings) < 3 {
		t.Errorf("only the readings %v were seen", readings)
	}
	t.Logf("readings: %v", readings)
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// command runs the program as somebody does who has a terminal.
func command(t *testing.T, args ...string) {
	t.Helper()
	var out, says bytes.Buffer
	if status := cli.Run(context.Background(), args, cli.Surroundings{In: strings.NewReader(""), Out: &out, Err: &says, Region: "GB"}); status != cli.Done {
		t.Fatalf("foldwright %s: status %d\n%s", strings.Join(args, " "), status, says.String())
	}
}
