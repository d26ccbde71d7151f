package shelfroom

import (
	"context"
	"errors"
	"io/fs"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/testkit/desktest"
	"foldwright/profiles/publish"
	"foldwright/reorder/refusal"
)

// TestNothingToPrepare: no books, no shelf, nothing ticked, no file.
func TestNothingToPrepare(t *testing.T) {
	b := open(t)
	desktest.Contains(t, b.Get("/shelf"), "There are no books yet", "data-drop")
	desktest.Contains(t, b.Get("/shelf/report"), "No shelf has been prepared yet")
	b.Leads("/shelf/stop", nil, "/shelf")
	if w := b.Visit("/shelf/work"); w.Header().Get("Location") != "/shelf" {
		t.Error(w.Code, w.Body)
	}
	desktest.Contains(t, b.Post("/shelf/on", nil).Body.String(), "There is no shelf to go on with")
	desktest.Contains(t, b.Post("/shelf", url.Values{"do": {"start"}}).Body.String(), "No book is ticked", "Tick those that are to be prepared")
	desktest.Contains(t, b.Upload("/shelf/books").Body.String(), "No file has come")
	desktest.Contains(t, b.Post("/shelf/books", url.Values{"source": {"x"}}).Body.String(), "No file has come")
	if _, err := b.room.Library.Shelf(); err == nil {
		t.Error("a shelf was written down")
	}
}

// TestEveryFileBecomesABook, and what is refused is told and stops no other.
func TestEveryFileBecomesABook(t *testing.T) {
	b := open(t)
	four := pages(t, 4, "")
	w := b.Upload("/shelf/books", desktest.NewFile("Tides.pdf", four), desktest.NewFile("letter.pdf", []byte("Dear keeper")), desktest.NewFile("Stores.pdf", four),
		desktest.NewFile("nothing.pdf", nil), desktest.NewFile("Tides.pdf", four), desktest.NewFile("locked.pdf", pages(t, 4, "gull")))
	desktest.Contains(t, w.Body.String(), "2 files were not taken in", "“letter.pdf” is not a PDF file", "“nothing.pdf” is empty", "4 books taken in", "4 of 4 books ticked",
		"Tides (tides)", "Tides (tides-2)")
	entries, _ := os.ReadDir(b.room.Library.Dir())
	if len(entries) != 4 {
		t.Errorf("the library holds %v", entries)
	}
	if w := b.Upload("/shelf/books", desktest.NewFile("Birds.pdf", four)); w.Header().Get("Location") != "/shelf?came=1" {
		t.Error(w.Code, w.Body)
	}
	desktest.Contains(t, b.Get("/shelf?came=1"), "1 book taken in", "5 of 5 books ticked")
}

// TestTicks: buttons tick without losing what was typed.
func TestTicks(t *testing.T) {
	b := open(t)
	b.takeIn("Tides", "Stores")
	b.start([]string{"tides"})
	b.finish()
	desktest.Contains(t, b.Get("/shelf"), `value="stores" checked`, "1 of 2 books ticked", "prepared: 4 pages on 1 sheet", "never prepared")
	for do, says := range map[string]string{"all": "2 of 2 books ticked", "needed": "1 of 2 books ticked", "none": "0 of 2 books ticked", "look": "1 of 2 books ticked"} {
		html := b.Post("/shelf", url.Values{"do": {do}, "book": {"tides"}, "paper-other": {"300x400mm"}, "fold": {"quarto"}, "cut-overhang": {"true"}}).Body.String()
		desktest.Contains(t, html, says, `value="300x400mm"`, `value="quarto" selected`, `value="true" selected`)
	}
	b.Post("/books/tides/choices", url.Values{"set": {"fold=quarto"}})
	desktest.Contains(t, b.Get("/shelf"), "2 of 2 books ticked", "prepared with older choices")
}

// TestChoicesForAll are written where a book says nothing of its own, or nowhere.
func TestChoicesForAll(t *testing.T) {
	b := open(t)
	b.takeIn("Tides", "Stores", "Birds")
	b.Post("/books/tides/choices", url.Values{"set": {"paper=letter"}})
	b.Post("/books/birds/choices", url.Values{"set": {"fold=quarto"}})
	before := b.book("tides").Choices
	html := b.Post("/shelf", url.Values{"do": {"start"}, "book": {"tides", "stores"}, "gutter": {"wide"}}).Body.String()
	desktest.Contains(t, html, "Nothing was started", "is not a length", `value="wide"`, `aria-invalid="true"`)
	html = b.Post("/shelf", url.Values{"do": {"start"}, "book": {"tides", "stores", "birds"}, "cut-edge": {"tail"}}).Body.String()
	desktest.Contains(t, html, "Nothing was started, for 3 books cannot be prepared so", "“Tides”: “Edges that you cut by hand” needs")
	if got := b.book("tides").Choices; len(got) != len(before) {
		t.Errorf("chosen is %v", got)
	}
	b.start([]string{"tides", "birds"}, "paper", "a3", "sheets", "2")
	desktest.Contains(t, b.finish(), "2 books: 2 ready to print")
	for id, want := range map[string]string{"tides": "letter 2 ", "birds": "a3 2 quarto", "stores": "  "} {
		c := b.book(id).Choices
		if got := c["paper"] + " " + c["sheets"] + " " + c["fold"]; got != want {
			t.Errorf("%s: chosen is %q", id, got)
		}
		if b.book(id).IsOutdated(b.room.Setting()) || b.book(id).IsPrepared() == (id == "stores") {
			t.Errorf("%s is not prepared as it says", id)
		}
	}
}

// TestPasswordGoesThroughThePipeAlone, and a book without its own is told as locked.
func TestPasswordGoesThroughThePipeAlone(t *testing.T) {
	b := open(t)
	const secret = "a-gulls-secret"
	b.Upload("/shelf/books", desktest.NewFile("Tides.pdf", pages(t, 4, "")), desktest.NewFile("Locked.pdf", pages(t, 8, secret)), desktest.NewFile("Stores.pdf", pages(t, 4, "")))
	all := []string{"tides", "locked", "stores"}
	b.start(all)
	desktest.Contains(t, b.finish(), "3 books: 2 ready to print, 1 failed", "Give the password on its Plan page", `<a href="/books/locked">Locked</a>`)
	b.Leads("/books/locked/password", url.Values{"password": {secret}}, "/books/locked")
	b.start([]string{"locked"})
	desktest.Contains(t, b.finish(), "1 book: 1 ready to print", "8 pages on 2 sheets of A4")
	for _, dir := range []string{b.room.Library.Dir(), b.signs} {
		err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			text, err := os.ReadFile(path)
			if strings.Contains(string(text), secret) {
				t.Errorf("%s holds the password", path)
			}
			return err
		})
		if err != nil {
			t.Error(err)
		}
	}
}

// TestWhileItWorks: what is in work is told and held, the tab may be closed, and what changes meanwhile is told.
func TestWhileItWorks(t *testing.T) {
	b := open(t)
	b.takeIn("Tides", "Stores", "Birds", "Lamps")
	for _, id := range []string{"tides", "stores", "birds", "lamps"} {
		b.give(id + ".hold")
	}
	b.start([]string{"tides", "stores", "birds", "lamps"})
	b.begun("lamps") // the largest comes first
	if !b.room.IsBusy() {
		t.Error("the program would end by idleness")
	}
	html := b.Get("/shelf/work")
	desktest.Contains(t, html, "0 of 4 books ready", "Lamps: being read and planned", "Stop the shelf", `data-poll="1000"`)
	for _, path := range []string{"/shelf", "/shelf/report"} {
		if w := b.Visit(path); w.Header().Get("Location") != "/shelf/work" {
			t.Errorf("%s: %d %s", path, w.Code, w.Body)
		}
	}
	for _, path := range []string{"/books/lamps/remove", "/books/lamps/prepare"} {
		if w := b.Post(path, nil); w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "The shelf is preparing “Lamps” just now") {
			t.Errorf("%s: %d %s", path, w.Code, w.Body)
		}
	}
	b.start([]string{"tides"}) // a second one is none: it leads to the first
	if n := len(b.room.current().asked.Books); n != 4 {
		t.Errorf("%d books are in work", n)
	}
	for _, id := range []string{"lamps", "birds", "stores"} {
		b.take(id + ".hold")
	}
	b.begun("tides")
	b.Post("/books/lamps/choices", url.Values{"set": {"fold=quarto"}})
	b.take("tides.hold")
	desktest.Contains(t, b.finish(), "4 books: 4 ready to print", "Something else was chosen since")
	desktest.Await(t, "the end of all work", func() bool { return !b.room.IsBusy() })
	b.Leads("/books/lamps/remove", nil, "/")
	desktest.Contains(t, b.Get("/shelf/report"), "1 removed since", "3 ready to print", "<li>Lamps</li>")
}

// TestStoppedAndGoneOnWith: nothing half written is left, and another start of the program says where the shelf stood.
func TestStoppedAndGoneOnWith(t *testing.T) {
	b := open(t)
	b.takeIn("Tides", "Stores", "Birds", "Lamps", "Oil")
	ids := []string{"tides", "stores", "birds", "lamps", "oil"}
	b.give("lamps.hold")
	b.give("tides.hold")
	b.start(ids)
	b.begun("tides")
	b.begun("lamps")
	b.Until("/shelf/work", "3 of 5 books ready")
	b.Leads("/shelf/stop", nil, "/shelf/work")
	html := b.Get("/shelf/report")
	desktest.Contains(t, html, "not reached", "Go on with what is left")
	for _, id := range []string{"tides", "lamps"} {
		left, _ := filepath.Glob(filepath.Join(b.book(id).Dir(), ".print.part*"))
		if b.book(id).IsPrepared() || len(left) > 0 {
			t.Errorf("of %s is left %q", id, left)
		}
	}
	c := openIn(t, b.room.Library.Dir(), b.signs)
	desktest.Contains(t, c.Get("/shelf"), "A shelf that did not come to its end", "3 of 5 books ready, 2 left", "Go on: 2 books left")
	c.take("lamps.hold")
	c.take("tides.hold")
	c.Leads("/books/birds/remove", nil, "/")
	desktest.Contains(t, c.Get("/shelf"), "2 of 5 books ready, 1 removed, 2 left")
	c.Leads("/shelf/on", nil, "/shelf/work")
	desktest.Contains(t, c.finish(), "5 books: 4 ready to print, 1 removed since")
	desktest.Lacks(t, c.Get("/shelf"), "did not come to its end")
	// The report is kept, for the next start of the program too.
	desktest.Contains(t, openIn(t, b.room.Library.Dir(), b.signs).Get("/shelf/report"), "5 books: 4 ready to print, 1 removed since", "4 pages on 1 sheet of A4")
}

// TestLeftShelf is asked for no more.
func TestLeftShelf(t *testing.T) {
	b := open(t)
	b.takeIn("Tides")
	b.give("tides.hold")
	b.start([]string{"tides"})
	b.begun("tides")
	b.Leads("/shelf/stop", nil, "/shelf/work")
	desktest.Contains(t, b.Get("/shelf"), "Leave it")
	b.Leads("/shelf/leave", nil, "/shelf")
	desktest.Lacks(t, b.Get("/shelf"), "did not come to its end")
	desktest.Lacks(t, b.Get("/shelf/report"), "Go on with what is left")
}

// TestFailuresAreTold: a full disk, a source that is gone, a damaged record, and the others go on.
func TestFailuresAreTold(t *testing.T) {
	b := open(t)
	b.takeIn("Tides", "Stores", "Birds", "Lamps")
	b.give("lamps.full")
	if err := os.Remove(b.book("birds").Sources()[0]); err != nil {
		t.Fatal(err)
	}
	b.give("stores.hold")
	b.start([]string{"tides", "stores", "birds", "lamps"})
	b.begun("stores")
	damaged := filepath.Join(b.book("tides").Dir(), "book.json")
	b.take("stores.hold")
	b.finish()
	if err := os.WriteFile(damaged, []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	html := b.Get("/shelf/report")
	desktest.Contains(t, html, "4 books: 1 ready to print, 3 failed", "no space left on device", "Its PDF is not in its folder any more", "is damaged", "Take the PDF in once more")
	if first, second := strings.Index(html, "Failed: 3"), strings.Index(html, "Ready to print: 1"); first < 0 || first > second {
		t.Error("failures do not come first")
	}
	// A damaged book cannot be ticked, but is told.
	html = b.Get("/shelf")
	desktest.Contains(t, html, "is damaged")
	desktest.Lacks(t, html, `value="tides"`)
	b.take("lamps.full")
	b.start([]string{"tides", "lamps"})
	desktest.Contains(t, b.finish(), "1 book: 1 ready to print")
}

// TestUnwritableReport: the books are ready all the same.
func TestUnwritableReport(t *testing.T) {
	b := open(t)
	b.takeIn("Tides")
	b.give("tides.hold")
	b.start([]string{"tides"})
	b.begun("tides")
	record := filepath.Join(b.room.Library.Dir(), "batch-report.json")
	if err := os.Remove(record); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(record, 0o700); err != nil {
		t.Fatal(err)
	}
	b.take("tides.hold")
	<-b.room.current().Done()
	desktest.Contains(t, b.Get("/shelf/work"), "The report could not be written down", "Make room on the disk")
	if !b.book("tides").IsPrepared() {
		t.Error("the book is not ready")
	}
	desktest.Contains(t, b.Get("/shelf/report"), "1 book: 1 ready to print")
}

func TestDamagedRecordOfTheShelf(t *testing.T) {
	b := open(t)
	b.takeIn("Tides")
	for _, text := range []string{"{", `{"kind":"foldwright book","format":1}`} {
		if err := os.WriteFile(filepath.Join(b.room.Library.Dir(), "shelf.json"), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		desktest.Contains(t, b.Get("/shelf"), "is damaged", "Start a shelf anew", `value="tides"`)
		if w := b.Post("/shelf/on", nil); w.Code != http.StatusUnprocessableEntity {
			t.Error(w.Code)
		}
	}
	b.start([]string{"tides"})
	desktest.Contains(t, b.finish(), "1 book: 1 ready to print")
}

// TestPreparedMeanwhile: a book that is being written elsewhere is waited for.
func TestPreparedMeanwhile(t *testing.T) {
	b := open(t)
	b.takeIn("Tides", "Stores")
	place := b.book("tides").Job()
	written, release := make(chan struct{}), make(chan struct{})
	given := errors.New("given up")
	var group errgroup.Group
	group.Go(func() error {
		err := publish.Folder(t.Context(), place, publish.Options{}, func(context.Context, string) error {
			close(written)
			<-release
			return given
		})
		if !errors.Is(err, given) {
			return err
		}
		return nil
	})
	<-written
	b.start([]string{"tides", "stores"})
	b.begun("tides")
	b.take("tides.begun")
	b.begun("tides") // once more: so it had to wait
	close(release)
	if err := group.Wait(); err != nil {
		t.Fatal(err)
	}
	desktest.Contains(t, b.finish(), "2 books: 2 ready to print")
	if _, err := plan.ReadBrief(place); err != nil {
		t.Error(err)
	}
}

// TestPrintingIsNotDisturbed: a book whose printing has begun is not ticked by itself, and one that is in use is refused.
func TestPrintingIsNotDisturbed(t *testing.T) {
	b := open(t)
	b.takeIn("Tides", "Stores")
	b.start([]string{"tides", "stores"})
	b.finish()
	sum, err := plan.FileSHA256(filepath.Join(b.book("tides").Job(), plan.File))
	if err != nil {
		t.Fatal(err)
	}
	journal := `{"kind":"foldwright print journal","format":1,"plan-sha256":"` + sum + `","checked":true}`
	if err := os.WriteFile(filepath.Join(b.book("tides").Job(), printing.JournalFile), []byte(journal), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"tides", "stores"} {
		b.Post("/books/"+id+"/choices", url.Values{"set": {"fold=quarto"}})
	}
	html := b.Get("/shelf")
	desktest.Contains(t, html, "1 of 2 books ticked", `value="stores" checked`, "but its printing has begun")
	b.room.Guard(func(of library.Book) error {
		if of.ID == "tides" {
			return refusal.Output.New("“Tides” is being printed just now")
		}
		return nil
	})
	desktest.Contains(t, b.Post("/shelf", url.Values{"do": {"start"}, "book": {"tides", "stores"}}).Body.String(), "1 book cannot be prepared so", "“Tides” is being printed just now")
	if b.room.isWorking() {
		t.Error("it was started")
	}
}

// TestWarningsOfBooksThatWereReadyBefore are told in the words of the pages, though only those of their plans are kept.
func TestWarningsOfBooksThatWereReadyBefore(t *testing.T) {
	b := open(t)
	b.takeIn("Tides")
	b.Post("/books/tides/prepare", nil)
	desktest.Await(t, "the print files", func() bool { return b.book("tides").IsPrepared() })
	b.start([]string{"tides"})
	report := b.finish()
	desktest.Contains(t, report, "was ready before", "No printer was chosen")
	desktest.Lacks(t, report, "by-hand-short")
}
