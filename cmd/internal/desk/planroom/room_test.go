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

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/testkit/desktest"
	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/profiles"
	"foldwright/reorder/phrase"
)

// browser asks a desk as a browser without scripts does.
type browser struct {
	desktest.Browser
	room *room
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
		desktest.Await(t, "the end of all work", func() bool { return !d.IsBusy() })
		for _, o := range slices.Clone(s.drafts.open) {
			s.drafts.forget(t.Context(), o.book)
		}
		l.Close()
	})
	return browser{desktest.Browser{T: t, Handler: d.Routes()}, s}
}

// book takes in a book of so many pages.
func (b browser) book(pages int) library.Book {
	b.Helper()
	w := b.Upload("/books", desktest.NewFile("Larkhaven.pdf", read(b.T, printtest.Book(b.T, pages))))
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
	keys := options.KeysWithoutFiles()
	slices.Sort(keys)
	slices.Sort(asked)
	if !slices.Equal(keys, asked) {
		t.Errorf("asked for are %q, there are %q", asked, keys)
	}
	b := open(t)
	html := b.Get("/books/" + b.book(8).ID)
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
	desktest.Contains(t, b.Get("/"), "There are no books yet", `type="file"`, "data-drop")
	book := b.book(8)
	if book.Name != "Larkhaven" {
		t.Errorf("it is called %q", book.Name)
	}
	desktest.Contains(t, b.Get("/"), "Larkhaven", "/books/larkhaven/print")
	html := b.Get("/books/larkhaven")
	desktest.Contains(t, html, "8 pages on 2 sheets of A4", "1 gathering of 2 sheets")
	if strings.Contains(html, "assuming by-hand") {
		t.Error("it names a profile that only a command line knows")
	}
	desktest.Contains(t, b.Get("/books/larkhaven/remove"), "cannot be undone")
	if w := b.Post("/books/larkhaven/remove", nil); w.Code != http.StatusSeeOther {
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
	desktest.Contains(t, b.Get("/"), "is damaged", "Take the PDF in once more")
	desktest.Contains(t, b.Get("/books/larkhaven/remove"), "larkhaven")
	b.Post("/books/larkhaven/remove", nil)
	desktest.Contains(t, b.Get("/"), "There are no books yet")
}

// TestNothingIsLeftOfWhatIsRefused: empty, broken off, no PDF, too large, no file.
func TestNothingIsLeftOfWhatIsRefused(t *testing.T) {
	b := open(t)
	whole := read(t, printtest.Book(t, 4))
	desktest.Contains(t, b.Upload("/books", desktest.NewFile("a.pdf", nil)).Body.String(), "“a.pdf” is empty")
	desktest.Contains(t, b.Upload("/books", desktest.NewFile("b.pdf", []byte("no book at all"))).Body.String(), "“b.pdf” is not a PDF file")
	desktest.Contains(t, b.Upload("/books").Body.String(), "No file has come", "Choose a PDF first")
	desktest.Contains(t, b.Upload("/books", desktest.NewFile("c.pdf", whole), desktest.NewFile("d.pdf", []byte("none"))).Body.String(), "“d.pdf” is not a PDF file")
	desktest.Contains(t, b.Post("/books", url.Values{"source": {"x"}}).Body.String(), "No file has come")

	read := false
	r := httptest.NewRequest(http.MethodPost, "/books", readerFunc(func([]byte) (int, error) { read = true; return 0, io.EOF }))
	r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
	r.ContentLength = library.MostUpload * 2
	desktest.Contains(t, b.Do(r).Body.String(), "more than 2 GB")
	if read {
		t.Error("it was read all the same")
	}
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	part, _ := m.CreateFormFile("source", "e.pdf")
	part.Write(whole)
	r = httptest.NewRequest(http.MethodPost, "/books", io.MultiReader(&body, readerFunc(func([]byte) (int, error) { return 0, io.ErrUnexpectedEOF })))
	r.Header.Set("Content-Type", m.FormDataContentType())
	if w := b.Do(r); w.Code == http.StatusSeeOther {
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
	post := func(form url.Values, live bool) string {
		if live {
			return b.Live(at+"/choices", form).Body.String()
		}
		return b.Post(at+"/choices", form).Body.String()
	}
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
	desktest.Contains(t, post(with("fold", "quarto", "paper-other", "300x400mm"), true), `value="quarto" checked`, "300")
	if got := b.stored().Choices; len(got) != 2 || got["fold"] != "quarto" || got["paper"] != "300x400mm" {
		t.Errorf("chosen is %v", got)
	}
	// A wrong value is told beside its box and not kept, the others are.
	html := post(with("fold", "folio", "gutter", "wide"), true)
	desktest.Contains(t, html, `id="wrong-gutter"`, `&#34;wide&#34; is not a length`, `value="wide"`, `aria-invalid="true"`)
	if got := b.stored().Choices; len(got) != 1 || got["fold"] != "folio" {
		t.Errorf("chosen is %v", got)
	}
	// A contradiction is told, what was typed stays, and what was kept holds.
	html = post(with("cut-edge", "tail"), true)
	desktest.Contains(t, html, "“Edges that you cut by hand” needs “Cut each sheet before folding: in half”", `value="tail" selected`, `value="cut=2&amp;cut-edge=tail"`)
	if got := b.stored().Choices; len(got) != 1 {
		t.Errorf("chosen is %v", got)
	}
	post(url.Values{"set": {"cut=2&cut-edge=tail"}}, false)
	if got := b.stored().Choices; len(got) != 3 || got["cut"] != "2" || got["cut-edge"] != "tail" {
		t.Errorf("chosen is %v", got)
	}
	// What no plan can be made of is told, and what would help can be chosen.
	html = post(url.Values{"set": {"scale=300%25"}}, true)
	desktest.Contains(t, html, `value="scale=fit"`, `value="cut-overhang=true"`)
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

// TestOwnPapersAreOffered beside the sizes, and what they know is taken.
func TestOwnPapersAreOffered(t *testing.T) {
	b := open(t)
	if _, err := b.room.Profiles.SavePaper(profiles.Paper{Name: "ivory", Size: "320x450mm", Caliper: 0.12}, false); err != nil {
		t.Fatal(err)
	}
	at := "/books/" + b.book(16).ID
	desktest.Contains(t, b.Get(at), `value="ivory"`, "your ivory, 320 x 450 mm")
	desktest.Contains(t, b.Live(at+"/choices", url.Values{"paper": {"ivory"}}).Body.String(), `value="ivory" selected`, "Not chosen: 0.12mm.")
}

// TestCuresAreButtons follows an advice of the plan.
func TestCuresAreButtons(t *testing.T) {
	b := open(t)
	at := "/books/" + b.book(40).ID
	html := b.Until(at, "makes a single gathering")
	desktest.Contains(t, html, `name="set" value="gatherings=10"`)
	desktest.Contains(t, b.Live(at+"/choices", url.Values{"set": {"gatherings=10"}}).Body.String(), "1 gathering of 10 sheets")
}

func TestPrepareAndOutdate(t *testing.T) {
	b := open(t)
	book := b.book(16)
	at := "/books/" + book.ID
	if w := b.Post(at+"/prepare", nil); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	wait := func() (to string) {
		desktest.Await(t, "the print files", func() bool {
			w := b.Visit(at + "/prepare")
			if strings.Contains(w.Body.String(), `class="wrong"`) {
				t.Fatal(w.Body)
			}
			to = w.Header().Get("Location")
			return w.Code == http.StatusSeeOther
		})
		return to
	}
	if to := wait(); to != at+"/print" {
		t.Errorf("it leads to %s", to)
	}
	if !book.IsPrepared() || book.IsOutdated(b.room.Setting()) {
		t.Error("it is not prepared as chosen")
	}
	if w := b.Visit(at + "/files/run-01-front.pdf"); w.Code != http.StatusOK || !strings.HasPrefix(w.Body.String(), "%PDF") {
		t.Error(w.Code)
	}
	for _, name := range []string{"..%2fbook.json", "other.pdf", "..%2flarkhaven.pdf"} {
		if w := b.Visit(at + "/files/" + name); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", name, w.Code)
		}
	}
	sheet := string(read(t, filepath.Join(book.Job(), output.RunSheetFile)))
	if regexp.MustCompile(`foldwright [a-z]+ \S+ --`).MatchString(sheet) {
		t.Error("the run sheet has command lines")
	}
	b.Post(at+"/choices", url.Values{"set": {"fold=quarto"}})
	desktest.Contains(t, b.Get(at), "The print files are of older choices", "Prepare the print files again")
	b.Post(at+"/choices", url.Values{"reset": {"yes"}})
	if strings.Contains(b.Get(at), "older choices") {
		t.Error("it is outdated with the choices that it was made with")
	}
	if w := b.Post(at+"/kit", url.Values{"kit-paper": {"a4", "letter"}, "maker": {"Ann Tern"}}); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code, w.Body)
	}
	wait()
	if r, err := output.ReadKit(kitPath(book)); err != nil || len(r.Editions) != 2 || r.Maker != "Ann Tern" {
		t.Error(r, err)
	}
	if w := b.Visit(at + "/kit"); w.Code != http.StatusOK || !strings.HasPrefix(w.Body.String(), "PK") {
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
	desktest.Contains(t, b.Upload("/books", desktest.NewFile("a.pdf", plain), desktest.NewFile("locked.pdf", locked.Bytes())).Body.String(), "“locked.pdf” needs a password", "Take it in by itself")
	if w := b.Upload("/books", desktest.NewFile("locked.pdf", locked.Bytes())); w.Code != http.StatusSeeOther {
		t.Fatal(w.Body)
	}
	book := b.stored()
	at := "/books/" + book.ID
	desktest.Contains(t, b.Get(at), `type="password"`, "until you end Foldwright")
	desktest.Contains(t, b.Post(at+"/password", url.Values{"password": {"wrong"}}).Body.String(), "That is not the password.")
	if w := b.Post(at+"/password", url.Values{"password": {"a gull's secret"}}); w.Code != http.StatusSeeOther {
		t.Fatal(w.Body)
	}
	desktest.Contains(t, b.Get(at), "4 pages on 1 sheet of A4")
	if text := string(read(t, filepath.Join(book.Dir(), "book.json"))); strings.Contains(text, "secret") {
		t.Error(text)
	}
}

// TestOnlyTwoSourcesStayOpen, and what somebody has in hand is closed when it is let go.
func TestOnlyTwoSourcesStayOpen(t *testing.T) {
	b := open(t)
	for range 3 {
		b.Upload("/books", desktest.NewFile("a.pdf", read(t, printtest.Book(t, 4))))
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
		b.Upload("/books", desktest.NewFile([]string{"Tides", "Stores"}[i%2]+".pdf", four))
	}
	if html := b.Get("/"); strings.Contains(html, `name="find"`) {
		t.Error("a few books need no box to find one")
	}
	b.Upload("/books", desktest.NewFile("Lamp oil.pdf", four))
	html := b.Get("/")
	desktest.Contains(t, html, `name="find"`, "From tides-2")
	html = b.Get("/?find=LAMP")
	desktest.Contains(t, html, "1 of 12 books with “LAMP” in the name", "/books/lamp-oil", "Show all books")
	if strings.Contains(html, "/books/tides") {
		t.Error("others are shown too")
	}
	desktest.Contains(t, b.Get("/?find=gull"), "0 of 12 books", "Show all books")
	if html := b.Get("/?find=gull"); strings.Contains(html, "There are no books yet") {
		t.Error("it says that there are no books")
	}
}
