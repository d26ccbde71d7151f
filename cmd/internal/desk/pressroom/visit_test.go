package pressroom

import (
	"context"
	"fmt"
	"html"
	"io"
	"maps"
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

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/testkit/benchtest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/profiles"
	"foldwright/reorder/paper"
)

// visitor is a person who does what the pages of the room say, at a simulated printer.
type visitor struct {
	*testing.T
	*benchtest.Bench
	base  string // of the desk
	room  *room  // nil: it is in another process
	dir   string // of books and printers
	wait  func() // until there is something new
	limit int    // of pages that are looked at
	seen  []string
	lost  []string // what was clicked as lost when it was asked
}

// desk is a desk with the room over a folder.
func desk(ctx context.Context, t testing.TB, dir string) (*page.Desk, *room) {
	t.Helper()
	books, err := library.Open(filepath.Join(dir, "books"))
	if err != nil {
		t.Fatal(err)
	}
	d := &page.Desk{Context: ctx, Library: books, Profiles: profiles.Open(filepath.Join(dir, "printers")), Region: "GB", Version: "test", Renderer: rendertest.Shared(t)}
	s := add(d)
	s.every = 10 * time.Millisecond
	return d, s
}

// visit opens a desk in this process, with a book for the printer that is prepared. Some of its facts may be assumed.
func visit(t *testing.T, facts printer.Facts, tray int, choices map[string]string, assumed ...string) *visitor {
	t.Helper()
	v := &visitor{T: t, Bench: benchtest.New(t, facts), dir: t.TempDir(), limit: 400}
	ctx, cancel := context.WithCancel(context.Background())
	d, s := desk(ctx, t, v.dir)
	v.prepare(d, tray, choices, assumed...)
	server := httptest.NewServer(d.Routes())
	t.Cleanup(func() {
		server.Close()
		if p := s.press("tides"); p != nil {
			p.Stop()
		}
		cancel()
		d.Library.Close()
	})
	v.base, v.room = server.URL, s
	v.wait = func() {
		if p := s.press("tides"); p != nil {
			if _, err := p.Wait(t.Context(), func(n now) bool { return n.Question != nil || n.Ended }); err != nil {
				t.Fatal(err)
			}
		}
	}
	return v
}

// prepare takes a book in and prepares it.
func (v *visitor) prepare(d *page.Desk, tray int, choices map[string]string, assumed ...string) {
	v.Helper()
	fail := func(err error) {
		if err != nil {
			v.Helper()
			v.Fatal(err)
		}
	}
	_, err := d.Profiles.Save(profiles.Profile{Format: profiles.Format, Name: "lamp", Facts: v.Facts, TraySheets: tray, Assumed: assumed}, false)
	fail(err)
	arrival, err := d.Library.Begin()
	fail(err)
	f, err := os.Open(printtest.Book(v.T, 40))
	fail(err)
	defer f.Close()
	fail(arrival.Add("tides.pdf", f))
	b, err := arrival.Keep("Tides", arrival.Files[0])
	fail(err)
	b.Choices = map[string]string{"printer": "lamp", "paper": "a4"}
	for key, text := range choices {
		b.Choices[key] = text
	}
	fail(b.Keep())
	r, err := b.Resolve(d.Setting())
	fail(err)
	source, err := survey.Open(v.Context(), b.Sources()[0], "", d.Renderer)
	fail(err)
	defer source.Close()
	draft, err := plan.New(v.Context(), r, source)
	fail(err)
	_, err = output.Job{Draft: draft, Style: d.Words}.Write(v.Context(), b.Job(), false, nothing{})
	fail(err)
	v.Folder = b.Job()
}

type nothing struct{}

func (nothing) Step(int) {}

const at0 = "/books/tides/print"

// get is a page.
func (v *visitor) get(path string) string {
	v.Helper()
	_, text := v.do(http.Get(v.base + path))
	return text
}

// post sends a form and is the page that follows.
func (v *visitor) post(path string, form url.Values) (int, string) {
	v.Helper()
	return v.do(http.PostForm(v.base+path, form))
}

func (v *visitor) do(answer *http.Response, err error) (int, string) {
	v.Helper()
	if err != nil {
		return 0, "" // the program has been killed
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		return 0, ""
	}
	v.seen = append(v.seen, string(text))
	return answer.StatusCode, string(text)
}

var (
	toldText  = regexp.MustCompile(`(?s)<p class="told">(.*?)</p>`)
	legend    = regexp.MustCompile(`(?s)<legend[^>]*>(.*?)</legend>`)
	strong    = regexp.MustCompile(`(?s)<p class="question"><strong>(.*?)</strong>`)
	number    = regexp.MustCompile(`name="question" value="(\d+)"`)
	moves     = regexp.MustCompile(`name="moves" value="(\d+)"`)
	checked   = regexp.MustCompile(`name="lost" value="(\d+)" checked`)
	mainOfAll = regexp.MustCompile(`(?s)<main.*</main>`)
)

func group(r *regexp.Regexp, text string) string {
	if m := r.FindStringSubmatch(text); m != nil {
		return html.UnescapeString(m[1])
	}
	return ""
}

// words is what stands on a page.
func words(text string) string {
	text = regexp.MustCompile(`(?s)<[^>]*>`).ReplaceAllString(mainOfAll.FindString(text), " ")
	return strings.Join(strings.Fields(html.UnescapeString(text)), " ")
}

// print goes through the pages until all sheets are printed; it ends before if stop says so,
// or the program does not answer any more.
func (v *visitor) print(stop func(looked int) bool) (done bool) {
	v.Helper()
	for looked := range v.limit {
		if stop != nil && stop(looked) {
			return false
		}
		text := v.get(at0)
		switch {
		case text == "":
			return false
		case strings.Contains(text, "Some are lost"):
			again := v.get(at0 + "/again")
			form := url.Values{"moves": {group(moves, again)}}
			for _, m := range checked.FindAllStringSubmatch(again, -1) {
				form.Add("lost", m[1])
				v.lost = append(v.lost, m[1])
			}
			if status, said := v.post(at0+"/again", form); status != http.StatusOK && status != 0 {
				v.Fatalf("%d %s", status, words(said))
			}
		case strings.Contains(text, "All sheets are printed"):
			return true
		case strings.Contains(text, `name="question"`):
			v.reply(text)
		case strings.Contains(text, `action="`+at0+`/closed"`):
			v.Lock()
			v.TakeAway() // and puts new sheets into their places
			v.Unlock()
			form := url.Values{}
			if strings.Contains(text, "has stopped") {
				form.Set("on", "yes")
			}
			v.post(at0+"/closed", form)
		case strings.Contains(text, `id="to"`):
			if status, said := v.post(at0+"/begin", url.Values{"to": {v.Peer.URI}}); status != http.StatusOK && status != 0 {
				v.Fatalf("%d %s", status, words(said))
			}
		case strings.Contains(text, "data-poll"):
			v.wait()
		default:
			v.Fatalf("nothing to be done: %s", words(text))
		}
	}
	v.Fatalf("it never ends: %s", words(v.seen[len(v.seen)-1]))
	return false
}

// reply does what the page says, and answers its question.
func (v *visitor) reply(text string) {
	v.Helper()
	var said []string
	for _, m := range toldText.FindAllStringSubmatch(text, -1) {
		said = append(said, html.UnescapeString(m[1]))
	}
	ready := strings.Contains(text, "It lies in the tray: print")
	switch {
	case ready:
		said = append(said, printing.ReadyQuestion)
	case strings.Contains(text, `class="question"`):
		said = append(said, group(strong, text))
	default:
		said = append(said, group(legend, text))
	}
	all := strings.Join(said, "\n") + " "
	v.Lock()
	v.Screen.WriteString(all + "\n")
	answer := v.Hear(all)
	v.Unlock()
	form := url.Values{"question": {group(number, text)}}
	if answer == "nothing" {
		form["answer"] = []string{""}
	} else {
		form["answer"] = strings.Split(answer, ",")
	}
	for _, a := range form["answer"] {
		if !strings.Contains(text, fmt.Sprintf(`name="answer" value="%s"`, a)) && a != "" {
			v.Fatalf("the page has no answer %q: %s", a, words(text))
		}
	}
	if status, said := v.post(at0+"/answer", form); status != http.StatusOK && status != 0 {
		v.Fatalf("%d %s", status, words(said))
	}
}

// readMended folds what came out, with sheets that were printed once more in the places of
// those that they are for, and reads it.
func (v *visitor) readMended() {
	v.Helper()
	v.TakeAway()
	j := printtest.Load(v, v.Folder)
	good := map[int]paper.Sheet{}
	for _, stack := range v.Stacks {
		if printtest.Number(stack[0]) == 0 { // the check sheet
			continue
		}
		done, err := virtual.Finish(stack)
		if err != nil {
			v.Fatal(err)
		}
		for _, s := range done {
			n := 0
			if _, name, ok := strings.Cut(s.Front.Image.Text(), "sheet "); ok {
				_, _ = fmt.Sscanf(name, "%d", &n) // 0 is no sheet
			}
			good[n] = printtest.Printed(j.Size(), s)
		}
	}
	var sheets []paper.Sheet
	for _, n := range slices.Sorted(maps.Keys(good)) {
		sheets = append(sheets, good[n])
	}
	j.Read(v, sheets, 0.15)
}
