package benchroom

import (
	"html"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/joblog"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/desktest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/written"
	"foldwright/profiles"
)

// browser asks the room as a browser without scripts does.
type browser struct {
	desktest.Browser
	books *library.Library
}

// open opens the room on a folder of books.
func open(t *testing.T, dir string) browser {
	t.Helper()
	l, err := library.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	d := &page.Desk{Context: t.Context(), Library: l, Profiles: profiles.Open(t.TempDir()), Region: "GB", Version: "test"}
	Add(d)
	return browser{desktest.Browser{T: t, Handler: d.Routes()}, l}
}

// book takes in a book and, unless o is nil, prepares it.
func (b browser) book(o *options.Options) library.Book {
	b.Helper()
	source := printtest.Book(b.T, 40)
	data, err := os.ReadFile(source)
	if err != nil {
		b.Fatal(err)
	}
	a, err := b.books.Begin()
	if err != nil {
		b.Fatal(err)
	}
	if err := a.Add("tides.pdf", strings.NewReader(string(data))); err != nil {
		b.Fatal(err)
	}
	kept, err := a.Keep("Tides", a.Files[0])
	if err != nil {
		b.Fatal(err)
	}
	if o != nil {
		b.prepare(kept, *o)
	}
	return kept
}

// prepare puts a job into the book's folder, in the place of one that is there.
func (b browser) prepare(kept library.Book, o options.Options) {
	b.Helper()
	folder, _ := written.Folder(b.T, kept.Sources()[0], o)
	if err := os.RemoveAll(kept.Job()); err != nil {
		b.Fatal(err)
	}
	if err := os.Rename(folder, kept.Job()); err != nil {
		b.Fatal(err)
	}
}

func (b browser) get(path string) string {
	b.Helper()
	return html.UnescapeString(b.Get(path))
}

// post sends a form; live as the script does. It returns the page that follows.
func (b browser) post(path string, live bool, settings ...string) string {
	b.Helper()
	form := url.Values{}
	for i := 0; i < len(settings); i += 2 {
		form.Set(settings[i], settings[i+1])
	}
	send := b.Post
	if live {
		send = b.Live
	}
	w := send(path, form)
	switch w.Code {
	case http.StatusOK:
		return html.UnescapeString(w.Body.String())
	case http.StatusSeeOther:
		to, _, _ := strings.Cut(w.Header().Get("Location"), "#")
		return b.get(to)
	}
	b.Fatalf("POST %s: %d %s", path, w.Code, w.Body)
	return ""
}

// holds says what of these a page does not say, in any order.
func (b browser) holds(text string, all ...string) {
	b.Helper()
	for _, want := range all {
		if !strings.Contains(text, want) {
			b.Errorf("%q is not on the page:\n%s", want, main(text))
		}
	}
}

// main is the words of a page, without its drawings.
func main(text string) string {
	text = regexp.MustCompile(`(?s)<svg.*?</svg>`).ReplaceAllString(text, "")
	_, text, _ = strings.Cut(text, "<main")
	return text
}

// near is what stands with a box.
func (b browser) near(text, key string) string {
	b.Helper()
	_, rest, found := strings.Cut(text, `id="box-`+key+`"`)
	if !found {
		b.Fatalf("there is no box %s:\n%s", key, main(text))
	}
	near, _, _ := strings.Cut(rest, "</div>")
	return near
}

const at = "/books/tides/bench"

var a4 = options.Options{Paper: "a4", Dummy: true}

func TestNothingToMeasureBeforeTheBookIsPrepared(t *testing.T) {
	b := open(t, t.TempDir())
	b.book(nil)
	b.holds(b.get(at), "has not been prepared yet", `<a href="/books/tides">Go to the plan</a>`)
	if w := b.Visit("/books/none/bench"); w.Code != http.StatusNotFound {
		t.Errorf("a book that is not there: %d", w.Code)
	}
	if w := b.Visit(at + "/files/bench-sheet.pdf"); w.Code != http.StatusNotFound {
		t.Errorf("a bench sheet of nothing: %d", w.Code)
	}
	// What is measured all the same is kept until there is a plan.
	b.holds(b.post(at, false, "block-thickness", "6.2"), "has not been prepared yet")
}

func TestAnOutdatedOrDamagedPlanIsTold(t *testing.T) {
	b := open(t, t.TempDir())
	kept := b.book(&a4) // by other hands than the desk's, so its request is another
	b.holds(b.get(at), "older choices", `<a href="/books/tides">go to the plan</a>`, "Before sewing")
	if err := os.WriteFile(filepath.Join(kept.Job(), plan.File), []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	b.holds(b.get(at), `class="wrong"`, `<a href="/books/tides">Go to the plan</a>`)
}

// TestEveryBoxMayBeEmpty, and what holds then is said to be an estimate.
func TestEveryBoxMayBeEmpty(t *testing.T) {
	b := open(t, t.TempDir())
	b.book(&a4)
	text := b.get(at)
	b.holds(text, "ESTIMATED", "The inside of the cover, with its boards", "The block, seen from the tail", "Where the holes are")
	for _, key := range []string{"stack", "thread", "block-thickness", "spine", "board"} {
		b.holds(b.near(text, key), "If empty:", "an estimate", "in mm")
	}
	if text := b.post(at, false); strings.Contains(text, `class="wrong"`) || strings.Contains(text, `class="bench-wrong"`) {
		t.Errorf("an empty form is wrong: %s", main(text))
	}
}

// TestWhatWasMeasuredIsKept through other choices, an end of the program, and a job that is prepared again.
func TestWhatWasMeasuredIsKept(t *testing.T) {
	dir := t.TempDir()
	b := open(t, dir)
	kept := b.book(&a4)
	measured := []string{"shown-units", "mm", "block-thickness", "4.4", "spine", "9", "board", "2,2", "leaf-width", "147"}
	live := b.post(at, true, measured...)
	b.holds(live, "is not a length", "measure the height of the leaf too"[1:], "leave out what is marked as wrong")
	b.books.Close()

	again := open(t, dir)
	for range 2 {
		text := again.get(at)
		again.holds(again.near(text, "block-thickness"), `value="4.4"`)
		again.holds(again.near(text, "board"), `value="2,2"`, "is not a length", `aria-invalid="true"`)
		again.holds(again.near(text, "leaf-width"), `value="147"`)
		again.holds(again.near(text, "leaf-height"), "easure the height of the leaf too")
		again.prepare(kept, options.Options{Paper: "a5", Dummy: true})
	}
	// A record that cannot be read is told, and not written over.
	record := filepath.Join(kept.Dir(), "bench.json")
	if err := os.WriteFile(record, []byte("[]"), 0o600); err != nil {
		t.Fatal(err)
	}
	w := again.Do(httptest.NewRequest(http.MethodGet, at, nil))
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "cannot be read") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	again.Do(httptest.NewRequest(http.MethodPost, at+"?board=2", nil))
	if data, err := os.ReadFile(record); err != nil || string(data) != "[]" {
		t.Errorf("a damaged record became %q, %v", data, err)
	}
}

// TestRefusalsStandBesideTheirBoxes, with what was typed, and the other figures are there all the same.
func TestRefusalsStandBesideTheirBoxes(t *testing.T) {
	b := open(t, t.TempDir())
	b.book(&a4)
	for _, c := range []struct {
		key, typed, says string
		with             []string
	}{
		{"block-thickness", "900", "cannot be 900 mm: it must be between", nil},
		{"spine", "-3", "must be greater than 0", nil},
		{"board", "3/32", "a fraction of an inch? Write 3/32in.", nil},
		{"thread", "9", "thread's diameter cannot be 9 mm", nil},
		{"supports", "15", "do not fit on a spine of 210 mm. 3 would fit.", nil},
		{"supports", "x", `"x" is not`, nil},
		{"stack", "90", "a leaf would be", []string{"stack-leaves", "40"}},
		{"stack-leaves", "40", "", nil},
		{"leaf-height", "290", "a leaf cannot be", []string{"leaf-width", "148"}},
		{"structure", "pamphlet", "a pamphlet has one gathering, and this book has", nil},
		{"structure", "../case.yaml", "there is no way of binding called", nil},
		{"two-on", "yes", "cannot be sewn two on", []string{"structure", "long-stitch"}},
		{"block-thickness", "12", "is that right?", nil},
	} {
		form := append([]string{"shown-units", "mm", c.key, c.typed}, c.with...)
		text := b.post(at, true, form...)
		near := b.near(text, c.key)
		if !strings.Contains(strings.ToLower(near), strings.ToLower(c.says)) {
			t.Errorf("%s %s: %s", c.key, c.typed, near)
		}
		if c.key != "two-on" && c.key != "structure" && !strings.Contains(near, `value="`+c.typed+`"`) {
			t.Errorf("%s: %s is lost: %s", c.key, c.typed, near)
		}
		b.holds(text, "Before sewing", "text block, thickness")
	}
	b.holds(b.near(b.post(at, true, "stack-leaves", "40"), "stack"), "easure how thick these leaves are")
}

// TestUnitsMayChange: what was typed in millimetres stays so when the page speaks in inches.
func TestUnitsMayChange(t *testing.T) {
	b := open(t, t.TempDir())
	b.book(&options.Options{Paper: "letter", Dummy: true})
	text := b.post(at, false, "shown-units", "in", "board", "3/32", "block-thickness", "0.2")
	b.holds(b.near(text, "board"), `value="3/32"`, "in in")
	b.holds(text, "3/32 in")
	text = b.post(at, false, "shown-units", "in", "units", "mm", "board", "3/32", "block-thickness", "0.2")
	b.holds(b.near(text, "board"), `value="3/32in"`, "in mm")
	b.holds(text, "2.4 mm") // 3/32 in are 2.38 mm
	text = b.post(at, false, "shown-units", "mm", "units", "", "board", "2.4", "block-thickness", "0.2in")
	b.holds(b.near(text, "board"), `value="2.4mm"`)
	b.holds(b.near(text, "block-thickness"), `value="0.2"`)
}

// TestFilesAreMade from what was measured, and are known to be old when that changes.
func TestFilesAreMade(t *testing.T) {
	b := open(t, t.TempDir())
	kept := b.book(&a4)
	b.post(at, false, "shown-units", "mm", "block-thickness", "12x")
	if text := b.post(at+"/files", false); !strings.Contains(text, "would leave out what is marked as wrong") {
		t.Errorf("%s", main(text))
	}
	if _, err := os.Stat(kept.Bench(0)); err == nil {
		t.Error("files are made of what is wrong")
	}
	b.post(at, false, "shown-units", "mm", "block-thickness", "4.4")
	text := b.post(at+"/files", false)
	for _, name := range []string{"bench-sheet.pdf", "piercing-guide.pdf"} {
		b.holds(text, `href="/books/tides/bench/files/`+name+`"`)
		w := b.Visit(at + "/files/" + name)
		if w.Code != http.StatusOK || !strings.HasPrefix(w.Body.String(), "%PDF") || !strings.Contains(w.Header().Get("Content-Disposition"), name) {
			t.Errorf("%s: %d %v", name, w.Code, w.Header())
		}
	}
	if strings.Contains(text, "of earlier figures") {
		t.Error("the files are old at once")
	}
	if log, err := joblog.Read(kept.Job()); err != nil || len(log.Lines) != 1 || log.Lines[0].Get("block-thickness") != "4.4mm" {
		t.Errorf("the job's log has %+v, %v", log, err)
	}
	b.holds(b.post(at, true, "shown-units", "mm", "block-thickness", "4.5"), "of earlier figures")
	for _, name := range []string{"figures.txt", "..%2fbook.json", "bench.json"} {
		if w := b.Visit(at + "/files/" + name); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", name, w.Code)
		}
	}
}

// TestVolumesAreMeasuredEachByItself.
func TestVolumesAreMeasuredEachByItself(t *testing.T) {
	b := open(t, t.TempDir())
	kept := b.book(&options.Options{Paper: "a4", Dummy: true, Volumes: 2})
	b.post(at+"?volume=2", false, "shown-units", "mm", "block-thickness", "3.1")
	first, second := b.get(at), b.get(at+"?volume=2")
	b.holds(b.near(first, "block-thickness"), `value=""`)
	b.holds(b.near(second, "block-thickness"), `value="3.1"`)
	b.holds(second, `<a href="/books/tides/bench?volume=2" aria-current="page">Volume 2</a>`)
	b.holds(b.post(at+"/files", false, "volume", "2"), `/bench/files/bench-sheet.pdf?volume=2"`)
	if _, err := os.Stat(filepath.Join(kept.Bench(2), "piercing-guide.pdf")); err != nil {
		t.Error(err)
	}
	if w := b.Visit(at + "?volume=3"); w.Code != http.StatusNotFound {
		t.Errorf("volume 3: %d", w.Code)
	}
}

// TestOrderOfWork has the cautions, and the sewing of the way of binding that is chosen.
func TestOrderOfWork(t *testing.T) {
	b := open(t, t.TempDir())
	b.book(&a4)
	b.holds(b.get(at), "Order of work", "Boards and cover", "Needles and awls", "kettle stitch before you go on", "over the tape")
	text := b.post(at, false, "structure", "long-stitch")
	b.holds(text, "The whole work", "Pierce the same holes into the cover")
	if strings.Contains(text, "Cut the boards.") {
		t.Error("a cover of paper has boards")
	}
}

// TestAConcertinaIsNotMeasured.
func TestAConcertinaIsNotMeasured(t *testing.T) {
	b := open(t, t.TempDir())
	o := a4
	if err := o.Fold.UnmarshalText([]byte("concertina")); err != nil {
		t.Fatal(err)
	}
	b.book(&o)
	b.holds(b.get(at), "A concertina is not sewn.", "Glue its ends to two boards")
}
