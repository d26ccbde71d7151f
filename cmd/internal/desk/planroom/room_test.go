package planroom

import (
	"bytes"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/profiles"
	"foldwright/reorder/phrase"
)

// browser asks a desk as a browser without scripts does.
type browser struct {
	*testing.T
	room    *room
	handler http.Handler
}

func open(t *testing.T) browser {
	t.Helper()
	l, err := library.Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	d := &page.Desk{Context: t.Context(), Library: l, Profiles: profiles.Open(t.TempDir()), Region: "GB", Version: "test", Renderer: rendertest.Shared(t)}
	s := add(d)
	t.Cleanup(func() {
		for end := time.Now().Add(time.Minute); d.IsBusy() && time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		}
		for _, o := range slices.Clone(s.drafts.open) {
			s.drafts.forget(t.Context(), o.book)
		}
		l.Close()
	})
	return browser{t, s, d.Routes()}
}

func (b browser) do(r *http.Request) *httptest.ResponseRecorder {
	b.Helper()
	w := httptest.NewRecorder()
	b.handler.ServeHTTP(w, r)
	return w
}

func (b browser) get(path string) string {
	b.Helper()
	w := b.do(httptest.NewRequest(http.MethodGet, path, nil))
	if w.Code != http.StatusOK {
		b.Fatalf("GET %s: %d %s", path, w.Code, w.Body)
	}
	return w.Body.String()
}

func (b browser) post(path string, form url.Values, live bool) *httptest.ResponseRecorder {
	b.Helper()
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if live {
		r.Header.Set("X-Live", "yes")
	}
	return b.do(r)
}

type upload struct {
	name string
	data []byte
}

func (b browser) upload(files ...upload) *httptest.ResponseRecorder {
	b.Helper()
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	for _, f := range files {
		part, err := m.CreateFormFile("source", f.name)
		if err != nil {
			b.Fatal(err)
		}
		part.Write(f.data)
	}
	m.Close()
	r := httptest.NewRequest(http.MethodPost, "/books", &body)
	r.Header.Set("Content-Type", m.FormDataContentType())
	return b.do(r)
}

// book takes in a book of so many pages.
func (b browser) book(pages int) library.Book {
	b.Helper()
	w := b.upload(upload{"Larkhaven.pdf", read(b.T, printtest.Book(b.T, pages))})
	if w.Code != http.StatusSeeOther {
		b.Fatalf("%d %s", w.Code, w.Body)
	}
	return b.stored()
}

// stored is the one book that is kept.
func (b browser) stored() library.Book {
	b.Helper()
	all, err := b.room.Library.Books()
	if err != nil || len(all) != 1 {
		b.Fatal(all, err)
	}
	return all[0]
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// until waits until a page says something.
func (b browser) until(path, text string) string {
	b.Helper()
	for end := time.Now().Add(2 * time.Minute); ; time.Sleep(20 * time.Millisecond) {
		if got := b.get(path); strings.Contains(got, text) {
			return got
		} else if time.Now().After(end) {
			b.Fatalf("%s never says %q: %s", path, text, got)
		}
	}
}

func contains(t *testing.T, text string, wanted ...string) {
	t.Helper()
	for _, w := range wanted {
		if !strings.Contains(text, w) {
			t.Errorf("%q is missing in %s", w, text)
		}
	}
}

// TestAllOptionsCanBeChosen: each option has its control, once, and its words.
func TestAllOptionsCanBeChosen(t *testing.T) {
	var asked []string
	for _, g := range groups {
		for _, c := range g.Choices {
			asked = append(asked, c.Key)
			if c.Label == "" || words.Setting(words{}, phrase.Set(c.Key)) != "“"+c.Label+"”" {
				t.Errorf("%s: %q", c.Key, c.Label)
			}
			for _, v := range c.Values {
				if err := new(options.Options).Set(phrase.Setting{Key: c.Key, Value: v.Value}); err != nil {
					t.Errorf("%s: %v", c.Key, err)
				}
				if c.Kind == shapes && shape(c.Key, v.Value) == "" {
					t.Errorf("%s %s has no drawing", c.Key, v.Value)
				}
			}
		}
	}
	keys := options.Keys()
	slices.Sort(keys)
	slices.Sort(asked)
	if !slices.Equal(keys, asked) {
		t.Errorf("asked for are %q, there are %q", asked, keys)
	}
	b := open(t)
	html := b.get("/books/" + b.book(8).ID)
	for _, key := range keys {
		if !strings.Contains(html, ` name="`+key+`"`) {
			t.Errorf("%s has no control", key)
		}
	}
	for name := range builtinPrinters {
		if !slices.Contains(profiles.Builtin(), name) {
			t.Errorf("there is no printer %s", name)
		}
	}
	if len(builtinPrinters) != len(profiles.Builtin()) {
		t.Errorf("%d printers of %d have words", len(builtinPrinters), len(profiles.Builtin()))
	}
}

func TestBooks(t *testing.T) {
	b := open(t)
	contains(t, b.get("/"), "There are no books yet", `type="file"`, "data-drop")
	book := b.book(8)
	if book.Name != "Larkhaven" {
		t.Errorf("it is called %q", book.Name)
	}
	contains(t, b.get("/"), "Larkhaven", "/books/larkhaven/print")
	html := b.get("/books/larkhaven")
	contains(t, html, "8 pages on 2 sheets of A4", "1 gathering of 2 sheets")
	if strings.Contains(html, "assuming by-hand") {
		t.Error("it names a profile that only a command line knows")
	}
	contains(t, b.get("/books/larkhaven/remove"), "cannot be undone")
	if w := b.post("/books/larkhaven/remove", nil, false); w.Code != http.StatusSeeOther {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if entries, _ := os.ReadDir(b.room.Library.Dir()); len(entries) > 0 {
		t.Errorf("%v is left", entries)
	}
}

func TestDamagedBookIsNamedAndRemoved(t *testing.T) {
	b := open(t)
	book := b.book(4)
	if err := os.WriteFile(filepath.Join(book.Dir(), "book.json"), []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	contains(t, b.get("/"), "is damaged", "Take the PDF in once more")
	contains(t, b.get("/books/larkhaven/remove"), "larkhaven")
	b.post("/books/larkhaven/remove", nil, false)
	contains(t, b.get("/"), "There are no books yet")
}

// TestSeveralFilesBecomeOneBook: all pages come, in the order of the names, each with its own size.
func TestSeveralFilesBecomeOneBook(t *testing.T) {
	b := open(t)
	part := func(pages int) []byte { return read(t, printtest.Book(t, pages)) }
	w := b.upload(upload{"part 10.pdf", part(3)}, upload{"part 2.pdf", part(4)}, upload{"part 1.pdf", read(t, "../../../../testdata/larkhaven.pdf")})
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	book := b.stored()
	o, release, err := b.room.drafts.hold(t.Context(), book)
	if err != nil {
		t.Fatal(err)
	}
	defer release()
	first := rendertest.Open(t, "../../../../testdata/larkhaven.pdf")
	if got, want := len(o.source.Pages()), first.Pages()+7; got != want {
		t.Errorf("%d pages, want %d", got, want)
	}
	joined := rendertest.Open(t, book.Source())
	for _, c := range []struct {
		page int
		mark string
	}{{first.Pages() + 1, "p1"}, {first.Pages() + 4, "p4"}, {first.Pages() + 5, "p1"}, {first.Pages() + 7, "p3"}} {
		words, err := joined.Words(t.Context(), c.page)
		if err != nil || len(words) != 1 || words[0].Text != c.mark {
			t.Errorf("page %d shows %v, %v, want %s", c.page, words, err, c.mark)
		}
		if size, err := joined.Size(t.Context(), c.page); err != nil || size.W < 147.9 || size.W > 148.1 {
			t.Errorf("page %d: %v %v", c.page, size, err)
		}
	}
	files, _ := filepath.Glob(filepath.Join(book.Dir(), "*"))
	if len(files) != 2 {
		t.Errorf("the folder holds %q", files)
	}
}

// TestNothingIsLeftOfWhatIsRefused: empty, broken off, no PDF, too large, no file.
func TestNothingIsLeftOfWhatIsRefused(t *testing.T) {
	b := open(t)
	whole := read(t, printtest.Book(t, 4))
	contains(t, b.upload(upload{"a.pdf", nil}).Body.String(), "“a.pdf” is empty")
	contains(t, b.upload(upload{"b.pdf", []byte("no book at all")}).Body.String(), "“b.pdf” is not a PDF file")
	contains(t, b.upload().Body.String(), "No file has come", "Choose a PDF first")
	contains(t, b.upload(upload{"c.pdf", whole}, upload{"d.pdf", []byte("none")}).Body.String(), "“d.pdf” is not a PDF file")
	contains(t, b.post("/books", url.Values{"source": {"x"}}, false).Body.String(), "No file has come")

	read := false
	r := httptest.NewRequest(http.MethodPost, "/books", readerFunc(func([]byte) (int, error) { read = true; return 0, io.EOF }))
	r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
	r.ContentLength = library.MostUpload * 2
	contains(t, b.do(r).Body.String(), "more than 2 GB")
	if read {
		t.Error("it was read all the same")
	}
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	part, _ := m.CreateFormFile("source", "e.pdf")
	part.Write(whole)
	r = httptest.NewRequest(http.MethodPost, "/books", io.MultiReader(&body, readerFunc(func([]byte) (int, error) { return 0, io.ErrUnexpectedEOF })))
	r.Header.Set("Content-Type", m.FormDataContentType())
	if w := b.do(r); w.Code == http.StatusSeeOther {
		t.Error("what was broken off became a book")
	}
	if entries, _ := os.ReadDir(b.room.Library.Dir()); len(entries) > 0 {
		t.Errorf("%v is left", entries)
	}
}

type readerFunc func([]byte) (int, error)

func (f readerFunc) Read(p []byte) (int, error) { return f(p) }

func TestChoices(t *testing.T) {
	b := open(t)
	at := "/books/" + b.book(64).ID
	post := func(form url.Values, live bool) string { return b.post(at+"/choices", form, live).Body.String() }
	usual := url.Values{"marks": {"fold", "cut", "collation", "stations", "corners"}, "sign": {"letter"}}
	with := func(pairs ...string) url.Values {
		out := url.Values{}
		for k, v := range usual {
			out[k] = v
		}
		for i := 0; i < len(pairs); i += 2 {
			out.Set(pairs[i], pairs[i+1])
		}
		return out
	}
	contains(t, post(with("fold", "quarto", "paper-other", "300x400mm"), true), `value="quarto" checked`, "300")
	if got := b.stored().Choices; len(got) != 2 || got["fold"] != "quarto" || got["paper"] != "300x400mm" {
		t.Errorf("chosen is %v", got)
	}
	// A wrong value is told beside its box and not kept, the others are.
	html := post(with("fold", "folio", "gutter", "wide"), true)
	contains(t, html, `id="wrong-gutter"`, `&#34;wide&#34; is not a length`, `value="wide"`, `aria-invalid="true"`)
	if got := b.stored().Choices; len(got) != 1 || got["fold"] != "folio" {
		t.Errorf("chosen is %v", got)
	}
	// A contradiction is told, what was typed stays, and what was kept holds.
	html = post(with("cut-edge", "tail"), true)
	contains(t, html, "“Edges that you cut by hand” needs “Cut each sheet before folding: in half”", `value="tail" selected`, `value="cut=2&amp;cut-edge=tail"`)
	if got := b.stored().Choices; len(got) != 1 {
		t.Errorf("chosen is %v", got)
	}
	post(url.Values{"set": {"cut=2&cut-edge=tail"}}, false)
	if got := b.stored().Choices; len(got) != 3 || got["cut"] != "2" || got["cut-edge"] != "tail" {
		t.Errorf("chosen is %v", got)
	}
	// What no plan can be made of is told, and what would help can be chosen.
	html = post(url.Values{"set": {"scale=300%25"}}, true)
	contains(t, html, `value="scale=fit"`, `value="cut-overhang=true"`)
	post(url.Values{"set": {"scale=fit"}}, false)
	if strings.Contains(html, "--cut") {
		t.Error("it speaks of flags")
	}
	post(with("sheets", "3"), false)
	post(url.Values{"set": {"fold=quarto"}}, false)
	if got := b.stored().Choices; len(got) != 2 || got["sheets"] != "3" || got["fold"] != "quarto" {
		t.Errorf("chosen is %v", got)
	}
	post(url.Values{"set": {"drop-pages=7"}}, false)
	post(url.Values{"set": {"drop-pages=1"}}, false)
	if got := b.stored().Choices["drop-pages"]; got != "1,7" {
		t.Errorf("left out is %q", got)
	}
	post(url.Values{"reset": {"yes"}}, false)
	if got := b.stored().Choices; len(got) != 0 {
		t.Errorf("chosen is %v", got)
	}
}

// TestCuresAreButtons follows an advice of the plan.
// TestOwnPapersAreOffered beside the sizes, and what they know is taken.
func TestOwnPapersAreOffered(t *testing.T) {
	b := open(t)
	if _, err := b.room.Profiles.SavePaper(profiles.Paper{Name: "ivory", Size: "320x450mm", Caliper: 0.12}, false); err != nil {
		t.Fatal(err)
	}
	at := "/books/" + b.book(16).ID
	contains(t, b.get(at), `value="ivory"`, "your ivory, 320 x 450 mm")
	contains(t, b.post(at+"/choices", url.Values{"paper": {"ivory"}}, true).Body.String(), `value="ivory" selected`, "Not chosen: 0.12mm.")
}

func TestCuresAreButtons(t *testing.T) {
	b := open(t)
	at := "/books/" + b.book(40).ID
	html := b.until(at, "makes a single gathering")
	contains(t, html, `name="set" value="gatherings=10"`)
	contains(t, b.post(at+"/choices", url.Values{"set": {"gatherings=10"}}, true).Body.String(), "1 gathering of 10 sheets")
}

func TestPrepareAndOutdate(t *testing.T) {
	b := open(t)
	book := b.book(16)
	at := "/books/" + book.ID
	if w := b.post(at+"/prepare", nil, false); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	wait := func() string {
		for end := time.Now().Add(2 * time.Minute); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
			if w := b.do(httptest.NewRequest(http.MethodGet, at+"/prepare", nil)); w.Code == http.StatusSeeOther {
				return w.Header().Get("Location")
			} else if strings.Contains(w.Body.String(), `class="wrong"`) {
				t.Fatal(w.Body)
			}
		}
		t.Fatal("it is never done")
		return ""
	}
	if to := wait(); to != at+"/print" {
		t.Errorf("it leads to %s", to)
	}
	if !book.IsPrepared() || book.IsOutdated(b.room.Setting()) {
		t.Error("it is not prepared as chosen")
	}
	if w := b.do(httptest.NewRequest(http.MethodGet, at+"/files/run-01-front.pdf", nil)); w.Code != http.StatusOK || !strings.HasPrefix(w.Body.String(), "%PDF") {
		t.Error(w.Code)
	}
	for _, name := range []string{"..%2fbook.json", "other.pdf", "..%2flarkhaven.pdf"} {
		if w := b.do(httptest.NewRequest(http.MethodGet, at+"/files/"+name, nil)); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", name, w.Code)
		}
	}
	sheet := string(read(t, filepath.Join(book.Job(), output.RunSheetFile)))
	if regexp.MustCompile(`foldwright [a-z]+ \S+ --`).MatchString(sheet) {
		t.Error("the run sheet has command lines")
	}
	b.post(at+"/choices", url.Values{"set": {"fold=quarto"}}, false)
	contains(t, b.get(at), "The print files are of older choices", "Prepare the print files again")
	b.post(at+"/choices", url.Values{"reset": {"yes"}}, false)
	if strings.Contains(b.get(at), "older choices") {
		t.Error("it is outdated with the choices that it was made with")
	}
	if w := b.post(at+"/kit", url.Values{"kit-paper": {"a4", "letter"}, "maker": {"Ann Tern"}}, false); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code, w.Body)
	}
	wait()
	if r, err := output.ReadKit(kitPath(book)); err != nil || len(r.Editions) != 2 || r.Maker != "Ann Tern" {
		t.Error(r, err)
	}
	if w := b.do(httptest.NewRequest(http.MethodGet, at+"/kit", nil)); w.Code != http.StatusOK || !strings.HasPrefix(w.Body.String(), "PK") {
		t.Error(w.Code)
	}
}

func TestNamesAreComparedAsPeopleCount(t *testing.T) {
	names := []string{"a10.pdf", "B.pdf", "a2.pdf", "a02b.pdf", "1.pdf"}
	slices.SortFunc(names, compareNames)
	if got := strings.Join(names, " "); got != "1.pdf a2.pdf a02b.pdf a10.pdf B.pdf" {
		t.Error(got)
	}
}

// TestPassword: it is asked for, and asked for again after a restart, and stands in no file.
func TestPassword(t *testing.T) {
	b := open(t)
	doc := pdftest.New(148, 210)
	doc.SetProtection(fpdf.CnProtectPrint, "a gull's secret", "the keeper's")
	for range 4 {
		doc.AddPage()
	}
	var locked bytes.Buffer
	if err := doc.Output(&locked); err != nil {
		t.Fatal(err)
	}
	plain := read(t, printtest.Book(t, 4))
	contains(t, b.upload(upload{"a.pdf", plain}, upload{"locked.pdf", locked.Bytes()}).Body.String(), "“locked.pdf” needs a password", "Take it in by itself")
	if w := b.upload(upload{"locked.pdf", locked.Bytes()}); w.Code != http.StatusSeeOther {
		t.Fatal(w.Body)
	}
	book := b.stored()
	at := "/books/" + book.ID
	contains(t, b.get(at), `type="password"`, "until you end Foldwright")
	contains(t, b.post(at+"/password", url.Values{"password": {"wrong"}}, false).Body.String(), "That is not the password.")
	if w := b.post(at+"/password", url.Values{"password": {"a gull's secret"}}, false); w.Code != http.StatusSeeOther {
		t.Fatal(w.Body)
	}
	contains(t, b.get(at), "4 pages on 1 sheet of A4")
	if text := string(read(t, filepath.Join(book.Dir(), "book.json"))); strings.Contains(text, "secret") {
		t.Error(text)
	}
}

// TestOnlyTwoSourcesStayOpen, and what somebody has in hand is closed when it is let go.
func TestOnlyTwoSourcesStayOpen(t *testing.T) {
	b := open(t)
	for range 3 {
		b.upload(upload{"a.pdf", read(t, printtest.Book(t, 4))})
	}
	all, err := b.room.Library.Books()
	if err != nil || len(all) != 3 {
		t.Fatal(all, err)
	}
	var first *opened
	var release func()
	for i, book := range all {
		o, let, err := b.room.drafts.hold(t.Context(), book)
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			first, release = o, let
			continue
		}
		let()
	}
	if n := len(b.room.drafts.open); n != 2 {
		t.Errorf("%d are open", n)
	}
	select {
	case <-first.closed:
		t.Error("it was closed in use")
	default:
	}
	release()
	<-first.closed
}

// TestDraftsAreSharedAndReplaced asks for plans from several sides at once.
func TestDraftsAreSharedAndReplaced(t *testing.T) {
	b := open(t)
	book := b.book(40)
	folio, release, err := b.room.drafts.Draft(t.Context(), book)
	if err != nil {
		t.Fatal(err)
	}
	defer release()
	var group errgroup.Group
	for i := range 8 {
		next := book
		next.Choices = map[string]string{"keep-clear": "20mm"}
		if i%2 == 0 {
			next.Choices["fold"] = "quarto"
		}
		group.Go(func() error {
			d, release, err := b.room.drafts.Draft(t.Context(), next)
			if errors.Is(err, errSuperseded) {
				return nil
			}
			if err != nil {
				return err
			}
			defer release()
			if got := d.Options.Fold.String() == "quarto"; got != (next.Choices["fold"] == "quarto") {
				return errors.New("that is the plan of other choices")
			}
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		t.Error(err)
	}
	if again, release, err := b.room.drafts.Draft(t.Context(), book); err != nil || again.Book.Form != folio.Book.Form {
		t.Error(err)
	} else {
		release()
	}
}

// TestManyBooksAreFound by their names; books of one name are told apart by their folders.
func TestManyBooksAreFound(t *testing.T) {
	b := open(t)
	four := read(t, printtest.Book(t, 4))
	for i := range many - 1 {
		b.upload(upload{[]string{"Tides", "Stores"}[i%2] + ".pdf", four})
	}
	if html := b.get("/"); strings.Contains(html, `name="find"`) {
		t.Error("a few books need no box to find one")
	}
	b.upload(upload{"Lamp oil.pdf", four})
	html := b.get("/")
	contains(t, html, `name="find"`, "From tides-2")
	html = b.get("/?find=LAMP")
	contains(t, html, "1 of 12 books with “LAMP” in the name", "/books/lamp-oil", "Show all books")
	if strings.Contains(html, "/books/tides") {
		t.Error("others are shown too")
	}
	contains(t, b.get("/?find=gull"), "0 of 12 books", "Show all books")
	if html := b.get("/?find=gull"); strings.Contains(html, "There are no books yet") {
		t.Error("it says that there are no books")
	}
}
