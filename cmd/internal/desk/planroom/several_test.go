package planroom

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/testkit/desktest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/reorder/phrase"
)

// prepared prepares a book by its page, and is its plan.
func (b browser) prepared(book library.Book) plan.Plan {
	b.Helper()
	at := "/books/" + book.ID + "/prepare"
	b.Post(at, nil)
	desktest.Await(b.T, "the print files", func() bool { return b.Visit(at).Code == http.StatusSeeOther })
	made, err := plan.Read(book.Job())
	if err != nil {
		b.Fatal(err)
	}
	return made
}

// command is the plan that the command makes of files and settings.
func (b browser) command(settings map[string]string, files ...string) plan.Plan {
	b.Helper()
	fail := func(err error) {
		if err != nil {
			b.Helper()
			b.Fatal(err)
		}
	}
	var o options.Options
	for key, text := range settings {
		fail(o.Set(phrase.Setting{Key: key, Value: text}))
	}
	r, err := o.Resolve(b.room.Setting())
	fail(err)
	source, err := survey.OpenBook(b.room.Renderer, files, func(path string) (*survey.Source, error) {
		return survey.Open(b.Context(), path, "", b.room.Renderer)
	})
	fail(err)
	defer source.Close()
	d, err := plan.New(b.Context(), r, source)
	fail(err)
	folder := filepath.Join(b.TempDir(), "print")
	_, err = output.Job{Draft: d, Style: b.room.Words}.Write(b.Context(), folder, false, nothing{})
	fail(err)
	made, err := plan.Read(folder)
	fail(err)
	return made
}

type nothing struct{}

func (nothing) Step(int) {}

// sameJob tells whether two plans are those of the same job, with the same files to the byte.
func sameJob(t *testing.T, page, command plan.Plan) {
	t.Helper()
	for _, p := range []*plan.Plan{&page, &command} {
		p.Source.Path = ""
		for i := range p.Source.Parts {
			p.Source.Parts[i].Path = ""
		}
	}
	if !reflect.DeepEqual(page, command) {
		t.Errorf("the page plans\n%+v\nthe command plans\n%+v", page, command)
	}
	if len(page.Files) < 3 {
		t.Errorf("only %d files were compared", len(page.Files))
	}
}

// TestThePagePlansSeveralFilesAsTheCommandDoes: each file keeps its half-title, numbers run through all,
// in the order of the names as people count.
func TestThePagePlansSeveralFilesAsTheCommandDoes(t *testing.T) {
	b := open(t)
	dir := t.TempDir()
	var files []string
	var sent []desktest.File
	for i, name := range []string{"part-2.pdf", "part-10.pdf", "part-1.pdf"} {
		data := read(t, printtest.Book(t, 3+i))
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		files, sent = append(files, path), append(sent, desktest.NewFile(name, data))
	}
	if w := b.Upload("/books", sent...); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	book := b.stored()
	at := "/books/" + book.ID
	choices := map[string]string{"half-titles": "true", "numbers": "outer", "numbers-from": "5", "fold": "quarto"}
	form := url.Values{"sign": {"letter"}}
	for key, text := range choices {
		form.Set(key, text)
	}
	form["marks"] = []string{"fold", "cut", "collation", "stations", "corners"}
	desktest.Contains(t, b.Live(at+"/choices", form).Body.String(), "15 pages on 3 sheets", `alt="half-title"`, "Front: pages half-title")
	sameJob(t, b.prepared(book), b.command(choices, files[2], files[0], files[1]))
	if b.stored().IsOutdated(b.room.Setting()) {
		t.Error("it is called outdated at once")
	}
}

// TestABookOfTheFormerFormatIsRead: its record named one file.
func TestABookOfTheFormerFormatIsRead(t *testing.T) {
	b := open(t)
	book := b.book(4)
	record := `{"kind": "foldwright book", "format": 1, "name": "Tides", "file": "larkhaven.pdf", "choices": {"fold": "quarto"}}`
	if err := os.WriteFile(filepath.Join(book.Dir(), "book.json"), []byte(record), 0o600); err != nil {
		t.Fatal(err)
	}
	desktest.Contains(t, b.Get("/books/"+book.ID), "Tides", "4 pages on 1 sheet")
	if err := os.WriteFile(filepath.Join(book.Dir(), "book.json"), []byte(`{"kind": "foldwright book", "format": 2, "name": "Tides", "files": ["../../x.pdf"]}`), 0o600); err != nil {
		t.Fatal(err)
	}
	desktest.Contains(t, b.Get("/"), "is damaged")
}

// TestABlankBook is begun on the page, and planned, shown and prepared as the command does; it keeps its
// number of pages whatever is chosen.
func TestABlankBook(t *testing.T) {
	b := open(t)
	desktest.Contains(t, b.Get("/"), "A blank book", `name="new-blank" value="96"`)
	for _, c := range []struct {
		form url.Values
		says string
	}{
		{url.Values{"new-blank": {""}}, "A book without a PDF needs its number of pages"},
		{url.Values{"new-blank": {"0"}}, "A book without a PDF needs its number of pages"},
		{url.Values{"new-blank": {"many"}, "name": {"Lamps & oil"}}, `value="Lamps &amp; oil"`},
		{url.Values{"new-blank": {"8"}, "new-spacing": {"7mm"}}, "needs “What is printed on them: lines”"},
	} {
		w := b.Post("/books/blank", c.form)
		desktest.Contains(t, w.Body.String(), c.says, `<details class="plan-blank" open>`)
	}
	if all, err := b.room.Library.Books(); err != nil || len(all) > 0 {
		t.Fatalf("%v %v", all, err)
	}
	b.Leads("/books/blank", url.Values{"new-blank": {"48"}, "new-ruling": {"lines"}, "new-spacing": {"8mm"}, "new-numbers": {"outer"}, "name": {"Lamp log"}}, "/books/lamp-log")
	const at = "/books/lamp-log"
	html := b.Get(at)
	desktest.Contains(t, html, "48 pages on 12 sheets", "The blank pages", "look/page/1.png")
	desktest.Lacks(t, html, `name="half-titles"`, `name="gutter"`, "instead of the PDF")
	for _, p := range []string{"/look/page/1.png?width=240", "/look/side/1/front.png?width=480"} {
		b.Get(at + p)
	}
	book := b.stored()
	choices := map[string]string{"blank": "48", "ruling": "lines", "spacing": "8mm", "numbers": "outer"}
	sameJob(t, b.prepared(book), b.command(choices))
	desktest.Contains(t, b.Get("/"), "Lamp log", "48 pages on 12 sheets")
	b.Post(at+"/choices", url.Values{"reset": {"yes"}})
	if got := b.stored().Choices; !reflect.DeepEqual(got, map[string]string{"blank": "48"}) {
		t.Errorf("after all choices are forgotten: %v", got)
	}
	html = b.Live(at+"/choices", url.Values{"blank": {""}, "fold": {"quarto"}}).Body.String()
	desktest.Contains(t, html, "A book without a PDF needs its number of pages", "48 pages on 6 sheets")
	if w := b.Post(at+"/kit", url.Values{"kit-paper": {"a4"}}); w.Code != http.StatusSeeOther {
		t.Errorf("its kit: %d %s", w.Code, w.Body)
	}
	desktest.Await(t, "the kit", func() bool { return b.Visit(at+"/prepare").Code == http.StatusSeeOther })
	b.Get(at + "/kit")
}
