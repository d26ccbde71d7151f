package printerroom_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/ipp"
	"foldwright/cmd/internal/testkit/desktest"
	"foldwright/cmd/internal/testkit/ipptest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/profiles"
)

// opened is a person in front of a desk with the given profiles, each a copy of a built-in one.
func opened(t *testing.T, names ...string) (*person, profiles.Store) {
	t.Helper()
	store := profiles.Open(t.TempDir())
	for _, name := range names {
		p, err := store.Find(profiles.Guess)
		if err != nil {
			t.Fatal(err)
		}
		p.Name = name
		if _, err := store.Save(p, false); err != nil {
			t.Fatal(err)
		}
	}
	p := sitDown(t, t.TempDir(), store.Dir)
	t.Cleanup(func() { _ = p.close() })
	return p, store
}

// status is what a request is answered with, whose page is open then.
func (p *person) status(method, path string, form url.Values) int {
	p.Helper()
	r := httptest.NewRequest(method, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	p.handler.ServeHTTP(w, r)
	p.text = w.Body.String()
	return w.Code
}

func (p *person) mustSee(texts ...string) {
	p.Helper()
	for _, text := range texts {
		if !p.sees(text) {
			p.Errorf("%q is not to be seen in: %s", text, plain(p.text))
		}
	}
}

// begin begins to learn a printer on A4 by hand with three sheets, up to the questions.
func (p *person) begin(name string) {
	p.Helper()
	p.open("/printers/learn")
	f := p.formWith("Begin")
	f.values.Set("name", name)
	p.send(f)
	p.pick("A4 (")
	p.pick("One side at a time")
	p.pick("Three sheets")
	for range 4 {
		p.press("o on")
	}
	p.mustSee("how did you put the paper back")
}

func TestNoPrinterIsKnownAtFirst(t *testing.T) {
	p, _ := opened(t)
	p.open("/printers")
	p.mustSee("You have learned no printer yet", "by-hand-short", "automatic-long", "the default")
	if p.sees("Begun and not finished") {
		t.Error("something was begun")
	}
}

// TestPrintersThatCannotBeReadAreTold, and the others are shown all the same.
func TestPrintersThatCannotBeReadAreTold(t *testing.T) {
	p, store := opened(t, "desk")
	broken := filepath.Join(store.Dir, "attic.yaml")
	if err := os.WriteFile(broken, []byte("format: 1\nname: attic\nlands: sideways\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	p.open("/printers")
	p.mustSee("lands cannot be", "desk", "attic", "It prints one side at a time")
	p.open("/printers/of/attic")
	p.mustSee("lands cannot be", "Nothing is lost", "Learn it anew", "Remove it")
	if data, err := os.ReadFile(broken); err != nil || !strings.Contains(string(data), "sideways") {
		t.Errorf("the file was touched: %s %v", data, err)
	}
	p.follow("Remove it")
	p.press("Remove the printer")
	if _, err := os.Stat(broken); err == nil {
		t.Error("it was not removed")
	}
}

// TestNamesAreNoPaths: a name that is a path is no printer, whatever lies there.
func TestNamesAreNoPaths(t *testing.T) {
	p, store := opened(t, "desk")
	secret := filepath.Join(t.TempDir(), "secret.yaml")
	data, err := os.ReadFile(filepath.Join(store.Dir, "desk.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(secret, data, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{secret, "../" + filepath.Base(store.Dir) + "/desk", "desk.yaml", ".", ""} {
		if code := p.status(http.MethodGet, "/printers/of/"+url.PathEscape(name), nil); code == http.StatusOK {
			t.Errorf("%q is shown: %s", name, plain(p.text))
		}
		for _, action := range []string{"rename", "copy", "default", "remove", "ask"} {
			if code := p.status(http.MethodPost, "/printers/of/"+url.PathEscape(name)+"/"+action, url.Values{"to": {"other"}}); code < 400 && code != http.StatusTemporaryRedirect && code != http.StatusMovedPermanently {
				t.Errorf("%s of %q is answered with %d", action, name, code)
			}
		}
	}
	names, err := store.Names()
	if err != nil || len(names) != len(profiles.Builtin())+1 {
		t.Errorf("printers are %v, %v", names, err)
	}
}

// TestAPrinterIsRenamedWithAllThatIsKnownOfIt, and not to a name that it cannot have.
func TestAPrinterIsRenamedWithAllThatIsKnownOfIt(t *testing.T) {
	const odd = "desk #2, 100% “card”"
	p, store := opened(t, "desk", "hall")
	old, err := store.Find("desk")
	if err == nil {
		err = store.SetChecked(old, "iso_a4_210x297mm")
	}
	if err == nil {
		err = store.SetDefault("desk")
	}
	if err != nil {
		t.Fatal(err)
	}
	p.open("/printers/of/desk")
	f := p.formWith("Keep the address")
	f.values.Set("address", "ipp://lamp-room.local/ipp/print")
	p.send(f)
	book(t, p.books, map[string]string{"printer": "desk"})
	p.open("/printers/of/desk")
	p.mustSee("These books are to be printed on it: “Larkhaven”", "found right on A4")
	for _, name := range []string{"hall", "by-hand-long", "a/b", "", ".x"} {
		f := p.formWith("Rename")
		f.values.Set("to", name)
		p.send(f)
		if !strings.Contains(p.text, `class="wrong"`) {
			t.Errorf("renamed to %q: %s", name, plain(p.text))
		}
	}
	f = p.formWith("Rename")
	f.values.Set("to", odd)
	p.send(f)
	p.mustSee("Printer "+odd, "This is the default", "found right on A4", "“Larkhaven”")
	if !strings.Contains(p.text, "ipp://lamp-room.local/ipp/print") {
		t.Error("the address was lost")
	}
	p.open("/printers")
	p.follow(odd)
	p.mustSee("Printer " + odd)
	names, err := store.Names()
	if err != nil || strings.Join(names[len(profiles.Builtin()):], "|") != odd+"|hall" {
		t.Errorf("%q, %v", names, err)
	}
	p.follow("Remove it")
	p.mustSee("cannot be undone", "Larkhaven")
	p.press("Remove the printer")
	if name, err := store.Default(); err != nil || name != profiles.Guess {
		t.Errorf("the default is %q, %v", name, err)
	}
	if p.status(http.MethodPost, "/printers/of/by-hand-long/remove", nil) < 400 {
		t.Error("a built-in printer was removed")
	}
}

// book puts a book into the library, while no program has it open.
func book(t *testing.T, dir string, choices map[string]string) {
	t.Helper()
	l, err := library.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	a, err := l.Begin()
	if err != nil {
		t.Fatal(err)
	}
	if err := a.Add("larkhaven.pdf", strings.NewReader("a book")); err != nil {
		t.Fatal(err)
	}
	b, err := a.Keep("Larkhaven", a.Files[0])
	if err != nil {
		t.Fatal(err)
	}
	b.Choices = choices
	if err := b.Keep(); err != nil {
		t.Fatal(err)
	}
}

// TestAPrinterIsCopiedForAnotherTray.
func TestAPrinterIsCopiedForAnotherTray(t *testing.T) {
	p, store := opened(t, "desk")
	p.open("/printers/of/desk")
	f := p.formWith("Copy")
	f.values.Set("to", "desk card")
	p.send(f)
	p.mustSee("Printer desk card")
	p.press("Make it the default")
	p.mustSee("This is the default")
	a, err := store.Find("desk")
	b, err2 := store.Find("")
	if err != nil || err2 != nil || a.Facts != b.Facts || b.Name != "desk card" {
		t.Errorf("%+v %+v, %v %v", a, b, err, err2)
	}
	p.open("/printers/of/desk")
	p.send(func() form { f := p.formWith("Copy"); f.values.Set("to", "desk card"); return f }())
	p.mustSee("exists already")
}

// TestAddressesOfPrinters: nonsense is refused, a printer says what it is, and one that is gone is told.
func TestAddressesOfPrinters(t *testing.T) {
	p, _ := opened(t, "desk")
	keep := func(address string) {
		t.Helper()
		p.open("/printers/of/desk")
		f := p.formWith("Keep the address")
		f.values.Set("address", address)
		p.send(f)
	}
	keep("ftp://somewhere")
	p.mustSee("ipp:// and ipps:// only")
	peer := ipptest.Start(t, ipptest.PDFDuplex()...)
	keep(peer.URI)
	p.press("Ask the printer")
	p.mustSee("Simulated Duplex", "PDF, sent as they are", "stationery")
	keep("ipp://127.0.0.1:9/ipp/print")
	p.press("Ask the printer")
	if !strings.Contains(p.text, `class="wrong"`) || !p.sees("It prints one side at a time") {
		t.Errorf("a printer that is gone: %s", plain(p.text))
	}
	keep("")
	if p.sees("Ask the printer") {
		t.Error("the address was not forgotten")
	}
}

// TestPrintersAreFound and their addresses kept; where none answers, that is told.
func TestPrintersAreFound(t *testing.T) {
	p, store := opened(t, "desk")
	var found []ipp.Found
	p.finding = func(context.Context) []ipp.Found { return found }
	p.restart()
	look := func(button string) {
		t.Helper()
		p.open("/printers/found")
		p.press(button)
		p.until("Look again")
	}
	look("Look for printers")
	p.mustSee("No printer and no queue has answered")
	found = []ipp.Found{{Name: "Lamp room", Address: "ipp://10.0.0.7/ipp/print", Model: "Simulated <b>Duplex</b>"}}
	look("Look again")
	p.mustSee("Lamp room", "Simulated <b>Duplex</b>", "ipp://10.0.0.7/ipp/print")
	f := p.formWith("Keep its address")
	f.values.Set("printer", "desk")
	p.send(f)
	if !strings.Contains(p.text, `value="ipp://10.0.0.7/ipp/print"`) {
		t.Errorf("the address was not kept: %s", p.text)
	}
	p.open("/printers/found")
	f = p.formWith("Learn it")
	f.values.Set("name", "lamp")
	p.send(f)
	p.mustSee("Which paper lies in the tray?")
	if names, err := store.Names(); err != nil || len(names) != len(profiles.Builtin())+1 {
		t.Errorf("%v %v", names, err)
	}
}

// until opens the page again until it says something.
func (p *person) until(text string) {
	p.Helper()
	desktest.Await(p.T, p.at+" to say "+text, func() bool {
		if !p.sees(text) {
			p.open(p.at)
		}
		return p.sees(text)
	})
}

// TestRefusalsOfAWalkLoseNothing: names, papers and answers that cannot be.
func TestRefusalsOfAWalkLoseNothing(t *testing.T) {
	p, _ := opened(t, "desk")
	p.open("/printers/learn")
	for name, says := range map[string]string{"by-hand-long": "a built-in profile has it", "a/b": "path separator", "desk": "there is a printer “desk” already"} {
		f := p.formWith("Begin")
		f.values.Set("name", name)
		p.send(f)
		if !strings.Contains(strings.ToLower(plain(p.text)), strings.ToLower(says)) {
			t.Errorf("%q: %s", name, plain(p.text))
		}
	}
	f := p.formWith("Begin")
	f.values.Set("name", "hall")
	p.send(f)
	for _, paper := range []string{"a6", "a9", "sailcloth"} {
		f := p.formWith("Go on")
		f.values.Set("other", paper)
		p.send(f)
		if !strings.Contains(p.text, `value="`+paper+`"`) || !strings.Contains(p.text, `class="wrong"`) {
			t.Errorf("%s: %s", paper, plain(p.text))
		}
	}
	p.begin("attic")
	f = p.formWith("Go on")
	f.values.Del("answer")
	p.send(f)
	p.mustSee("Please choose one of the answers", "how did you put the paper back")
	for _, answer := range []string{"Just as it came", "The number 4", "On the side with", "On the lower", "Sheet III", "III", "I did not watch", "Yes"} {
		p.pick(answer)
	}
	p.mustSee("They should be 170 and 250 mm apart")
	for _, c := range []struct{ a, b, says string }{{"", "", "Nothing was filled in"}, {"170", "", "One box is still empty"}, {"wide", "250", "is not two lengths"}} {
		f := p.formWith("Go on")
		f.values.Set("box-1", c.a)
		f.values.Set("box-2", c.b)
		p.send(f)
		p.mustSee(c.says)
		if c.a != "" && !strings.Contains(p.text, `value="`+c.a+`"`) {
			t.Errorf("%q was lost: %s", c.a, p.text)
		}
	}
	p.fill("163,25", "240,0") // decimal commas
	p.mustSee("Something is wrong: the front was printed at 96 percent of its size", "leave the boxes empty", "What you answered before is filled in")
	p.press("Not measured")
	p.mustSee("from the middle of ring 1 to that of ring 2")
}

// TestContradictionsAreMended without beginning again.
func TestContradictionsAreMended(t *testing.T) {
	p, _ := opened(t)
	p.begin("desk")
	p.pick("Just as it came")
	p.mustSee("Push a pin")
	p.pick("The number 1")
	p.mustSee("So: The stack goes back turned over like the page of a book.", "This follows from how you put the paper back and the number at the pin hole.")
	p.pick("On the side with")
	p.pick("On the lower")
	p.mustSee("That cannot be: the pencil cross says", "the number at the pin hole: the number 1", "how did you put the paper back")
	p.press("Go on") // it is chosen still
	f := p.formWith("Go on")
	if got := f.values.Get("answer"); got != "K1" {
		t.Errorf("proposed is %q", got)
	}
	p.pick("The number 4")
	p.pick("On the side with")
	p.pick("On the lower")
	p.mustSee("Take the one on top")
	p.pick("Sheet III")
	p.pick("III")
	if p.sees("That cannot be") {
		t.Errorf("still a contradiction: %s", plain(p.text))
	}
}

// TestBackAndForth: back to the beginning, and forth by what is proposed.
func TestBackAndForth(t *testing.T) {
	p, _ := opened(t)
	p.begin("desk")
	for _, answer := range []string{"Just as it came", "The number 4", "On the side with", "I did not look", "Sheet III"} {
		p.pick(answer)
	}
	p.mustSee("What does its other side say?")
	steps := 0
	for ; !p.sees("Which paper lies in the tray?"); steps++ {
		if steps > 20 {
			t.Fatal("no way back to the beginning")
		}
		p.press("Back")
	}
	if steps != 5+4+2+1 {
		t.Errorf("%d steps back", steps)
	}
	for range steps {
		p.restart()
		p.open("/printers")
		p.follow("Go on learning")
		p.press("o on")
	}
	p.mustSee("What does its other side say?")
	// Another way of printing is another walk, and what was answered still fits as far as it is asked.
	for range 5 + 4 + 2 {
		p.press("Back")
	}
	p.pick("It turns the paper")
	p.press("Go on")
	p.mustSee("A pencil cross (1 of 3)")
}

// TestAnOldPageChangesNothing: its form is refused kindly, and where the walk is is shown.
func TestAnOldPageChangesNothing(t *testing.T) {
	p, _ := opened(t)
	p.begin("desk")
	old := p.formWith("Go on")
	old.values.Set("answer", "rotate")
	back := p.formWith("Back")
	p.pick("Just as it came")
	for _, f := range []form{old, back} {
		p.send(f)
		p.mustSee("That page was older than your answers", "Push a pin")
	}
	p.press("Back")
	if got := p.formWith("Go on").values.Get("answer"); got != "as-delivered" {
		t.Errorf("the answer is %q", got)
	}
}

// TestAPrinterIsLearnedAnew only if that is said, and the old profile stays until then.
func TestAPrinterIsLearnedAnew(t *testing.T) {
	p, store := opened(t, "desk", "hall")
	before := read(t, filepath.Join(store.Dir, "desk.yaml"))
	p.open("/printers/of/desk")
	p.follow("Learn it anew")
	f := p.formWith("Begin")
	name, value, _ := f.labelled("Learn “desk” anew")
	f.values.Set(name, value)
	p.send(f)
	p.pick("A4 (")
	p.pick("It turns the paper")
	p.pick("One sheet")
	for range 3 {
		p.press("o on")
	}
	for _, answer := range []string{"The number 2", "The letters", "No, not now", "I'd rather not say"} {
		p.pick(answer)
	}
	p.press("I don't know")
	p.pick("I don't know")
	p.mustSee("It turns the sheets and prints both sides by itself.", "Three test sheets show it: “Learn a printer” on the Printers page.")
	p.press("Keep this printer")
	p.mustSee("There is a printer “desk” already")
	if got := read(t, filepath.Join(store.Dir, "desk.yaml")); got != before {
		t.Error("the old profile was replaced")
	}
	f = p.formWith("Keep this printer")
	name, value, ok := f.labelled("Replace what was known of “desk”")
	if !ok {
		t.Fatal(plain(p.text))
	}
	f.values.Set(name, value)
	p.send(f)
	p.mustSee("Printer desk", "It turns the paper itself")
	if made, err := store.Find("desk"); err != nil || made.TwoSided.String() != "automatic" || made.Paper != "a4" {
		t.Errorf("%+v %v", made, err)
	}
	p.open("/printers/learn")
	if p.sees("Go on learning") {
		t.Error("it is still being learned")
	}
}

// TestAnswersThatCannotBeReadAreTold, and never written over.
func TestAnswersThatCannotBeReadAreTold(t *testing.T) {
	p, _ := opened(t, "desk")
	file := filepath.Join(p.books, "learning.json")
	for _, text := range []string{"{", `{"kind":"something else","format":1}`} {
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		p.open("/printers")
		p.mustSee("learning.json", "desk")
		if p.status(http.MethodPost, "/printers/learn", url.Values{"name": {"hall"}}) < 400 {
			t.Error("a walk was begun")
		}
		if got := read(t, file); got != text {
			t.Errorf("the file is now %q", got)
		}
	}
}

// TestAWalkThatIsGoneIsTold.
func TestAWalkThatIsGoneIsTold(t *testing.T) {
	p, _ := opened(t)
	p.begin("desk")
	at := p.at
	p.follow("Stop learning this printer")
	p.press("Throw the answers away")
	for _, method := range []string{http.MethodGet, http.MethodPost} {
		if code := p.status(method, at, nil); code != http.StatusNotFound {
			t.Errorf("%s: %d", method, code)
		}
		p.mustSee("No printer is being learned here any more")
	}
}

// TestTheTestSheetIsPrintedFromHere: fronts, and then backs, on a printer that answers; one that is gone is told.
func TestTheTestSheetIsPrintedFromHere(t *testing.T) {
	peer := ipptest.Start(t, ipptest.PDFDuplex()...)
	for _, c := range []struct {
		way, next string
		jobs      int
	}{{"One side at a time", "how did you put the paper back", 2}, {"It turns the paper", "Push a pin", 1}} {
		p, store := opened(t)
		p.open("/printers/learn")
		f := p.formWith("Begin")
		f.values.Set("name", "lamp")
		p.send(f)
		p.pick("A4 (")
		p.pick(c.way)
		p.pick("Three sheets")
		send := func(address string) {
			t.Helper()
			f := p.formWith("Print the test sheet there")
			f.values.Set("other", address)
			p.send(f)
		}
		send("")
		p.mustSee("No printer was chosen")
		send("ftp://x")
		p.mustSee("ipp:// and ipps:// only")
		send("ipp://127.0.0.1:9/ipp/print")
		p.until(`A pencil cross`)
		if !strings.Contains(p.text, `class="wrong"`) {
			t.Errorf("nothing is told of a printer that is gone: %s", plain(p.text))
		}
		send(peer.URI)
		p.until("Shall it be printed?")
		p.mustSee("draw a cross with a pencil")
		p.press("Stop")
		p.until("A pencil cross")
		before := len(peer.Jobs)
		send(peer.URI)
		for range c.jobs {
			p.until("Shall it be printed?")
			p.press("It lies in the tray: print")
		}
		p.until(c.next)
		peer.Lock()
		jobs := peer.Jobs[before:]
		peer.Unlock()
		if len(jobs) != c.jobs {
			t.Errorf("%d jobs", len(jobs))
		}
		for _, j := range jobs {
			if j.Format != "application/pdf" || len(j.Document) == 0 {
				t.Errorf("%s, %d bytes", j.Format, len(j.Document))
			}
		}
		p.press("Back")
		if !p.sees("of") || p.sees(c.next) {
			t.Errorf("back leads to %s", plain(p.text))
		}
		p.press("o on")
		_ = store
	}
}

// TestPrintingThatWasCutOffIsTold at the next start.
func TestPrintingThatWasCutOffIsTold(t *testing.T) {
	peer := ipptest.Start(t, ipptest.PDFDuplex()...)
	p, _ := opened(t)
	p.open("/printers/learn")
	f := p.formWith("Begin")
	f.values.Set("name", "lamp")
	p.send(f)
	p.pick("A4 (")
	p.pick("One side at a time")
	p.pick("One sheet")
	f = p.formWith("Print the test sheet there")
	f.values.Set("other", peer.URI)
	p.send(f)
	p.until("Shall it be printed?")
	p.kill()
	p.open("/printers")
	p.follow("Go on learning “lamp”")
	p.mustSee("Foldwright was ended while the test sheet was being printed", "A pencil cross")
	p.press("Go on")
	if p.sees("Foldwright was ended") {
		t.Error("it is told for ever")
	}
}

// TestThePagesOfferTheTestSheet of the paper and the number that were chosen.
func TestThePagesOfferTheTestSheet(t *testing.T) {
	p, _ := opened(t)
	p.open("/printers/learn")
	f := p.formWith("Begin")
	f.values.Set("name", "lamp")
	p.send(f)
	p.pick("Letter (")
	p.pick("It turns the paper")
	p.pick("Three sheets")
	p.press("o on")
	dir := t.TempDir()
	p.save("test-both.pdf", dir)
	pages := new(printtest.Reader).Pages(t, filepath.Join(dir, "test-both.pdf"))
	if len(pages) != 6 || pages[0].Size.H > 280 {
		t.Errorf("%d pages, the first %+v", len(pages), pages[0].Size)
	}
	if p.status(http.MethodGet, p.at+"/sheet/other.pdf", nil) != http.StatusNotFound {
		t.Error("another file was served")
	}
}
