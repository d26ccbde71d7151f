package cli

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
	"io/fs"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/proctest"
	"foldwright/reorder/sample"
)

// deskProcess is the program with its page open, and a browser that has come in.
type deskProcess struct {
	*testing.T
	cmd     *exec.Cmd
	books   string
	at      string
	browser *http.Client
}

func openDesk(t *testing.T, books, profiles string) deskProcess {
	t.Helper()
	cmd := exec.Command("program", "open", "--no-browser", "--books", books, "--profiles", profiles)
	said, err := cmd.StderrPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(said).ReadString('\n')
	found := regexp.MustCompile(`(http://127\.0\.0\.1:\d+)/in\?token=\w+`).FindStringSubmatch(line)
	if found == nil {
		t.Fatalf("it says %q, %v", line, err)
	}
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	d := deskProcess{t, cmd, books, found[1], &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
	t.Cleanup(d.kill)
	d.ask(http.NewRequest(http.MethodGet, found[0], nil))
	return d
}

// kill ends the program as a failing computer does, and waits until what it has started is gone.
func (d deskProcess) kill() {
	children := proctest.Children(d.T, d.cmd.Process.Pid)
	_ = d.cmd.Process.Kill() // it may have ended
	_ = d.cmd.Wait()
	for _, c := range children {
		proctest.AwaitGone(d.T, c)
	}
}

// ask sends a request, and returns where it leads to and what is answered.
func (d deskProcess) ask(r *http.Request, err error) (to, text string) {
	d.Helper()
	if err != nil {
		d.Fatal(err)
	}
	answer, err := d.browser.Do(r)
	if err != nil {
		d.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode >= 400 {
		d.Fatalf("%s: %d %v %s", r.URL, answer.StatusCode, err, body)
	}
	return answer.Header.Get("Location"), string(body)
}

func (d deskProcess) get(path string) (to, text string) {
	d.Helper()
	return d.ask(http.NewRequest(http.MethodGet, d.at+path, nil))
}

func (d deskProcess) post(path string, form url.Values) (to string) {
	d.Helper()
	r, err := http.NewRequest(http.MethodPost, d.at+path, strings.NewReader(form.Encode()))
	if err == nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	to, text := d.ask(r, err)
	if to == "" {
		d.Fatalf("%s %v: %s", path, form, text)
	}
	return to
}

// leads waits until a page leads to another.
func (d deskProcess) leads(path, to string) {
	d.Helper()
	d.until(path+" to lead on", func() bool {
		got, text := d.get(path)
		if strings.Contains(text, `class="wrong"`) {
			d.Fatal(text)
		}
		return got == to
	})
}

// until waits for something.
func (d deskProcess) until(what string, found func() bool) {
	d.Helper()
	for end := time.Now().Add(5 * time.Minute); !found(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			d.Fatalf("waited in vain for %s", what)
		}
	}
}

const gull = "gull" // the password of one book

// shelfBooks are ten books of a library and what is chosen for them.
var shelfBooks = map[string]url.Values{
	"journal": nil, "tides": {"fold": {"quarto"}}, "stores": {"sheets": {"2"}, "run": {"gathering"}}, "birds": {"bind": {"right"}},
	"storms": {"paper": {"letter"}}, "letters": {"cut": {"2"}, "marks": {"none"}}, "wrecks": {"printer": {"automatic-long"}},
	"oil": {"place": {"classic"}, "volumes": {"2"}}, "fog": {"fold": {"octavo"}}, "locked": nil,
}

// takeInBooks takes them in, and chooses.
func takeInBooks(d deskProcess) {
	d.Helper()
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	n := 16
	for _, name := range slices.Sorted(func(yield func(string) bool) {
		for name := range shelfBooks {
			if !yield(name) {
				return
			}
		}
	}) {
		file := filepath.Join(d.TempDir(), name+".pdf")
		var err error
		switch name {
		case "journal":
			err = copyFile("../../../testdata/larkhaven.pdf", file)
		case "locked":
			err = lockedBook(file, gull, "keeper")
		default:
			doc := pdftest.New(148, 210)
			doc.SetFont("Helvetica", "", 14)
			for p := range n {
				doc.AddPage()
				doc.Text(30, 40, fmt.Sprintf("%s, page %d", name, p+1))
			}
			n += 12
			err = doc.OutputFileAndClose(file)
		}
		if err != nil {
			d.Fatal(err)
		}
		data, err := os.ReadFile(file)
		if err != nil {
			d.Fatal(err)
		}
		part, err := m.CreateFormFile("source", name+".pdf")
		if err != nil {
			d.Fatal(err)
		}
		if _, err := part.Write(data); err != nil {
			d.Fatal(err)
		}
	}
	m.Close()
	r, err := http.NewRequest(http.MethodPost, d.at+"/shelf/books", &body)
	if err == nil {
		r.Header.Set("Content-Type", m.FormDataContentType())
	}
	if to, text := d.ask(r, err); to != "/shelf?came=10" {
		d.Fatal(to, text)
	}
}

// ids are the folders of the books, which are called by their own titles where they have one.
func ids(t *testing.T, books string) (out []string) {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(books, "*", "book.json"))
	if err != nil || len(found) != len(shelfBooks) {
		t.Fatal(found, err)
	}
	for _, f := range found {
		out = append(out, filepath.Base(filepath.Dir(f)))
	}
	return out
}

// chooseForBooks chooses for every book by itself.
func chooseForBooks(d deskProcess, more url.Values) {
	d.Helper()
	for _, id := range ids(d.T, d.books) {
		set := url.Values{}
		for _, from := range []url.Values{more, shelfBooks[id]} {
			for key, value := range from {
				set[key] = value
			}
		}
		if len(set) > 0 {
			d.post("/books/"+id+"/choices", url.Values{"set": {set.Encode()}})
		}
	}
}

// libraryState is every file of the books by its path and digest.
func libraryState(t *testing.T, books string) shelfState {
	t.Helper()
	var text strings.Builder
	for _, id := range ids(t, books) {
		err := filepath.WalkDir(filepath.Join(books, id), func(path string, e fs.DirEntry, err error) error {
			rel, _ := filepath.Rel(books, path)
			if err != nil || e.IsDir() {
				fmt.Fprintln(&text, rel)
				return err
			}
			data, err := os.ReadFile(path)
			fmt.Fprintf(&text, "%s %x\n", rel, sha256.Sum256(data))
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return shelfState(text.String())
}

// prepared is how many books are prepared.
func prepared(t *testing.T, books string) int {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(books, "*", "print", "plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	return len(found)
}

// titlesInWork are the processes of titles that a desk has started.
func titlesInWork(t *testing.T, desk int) (out []int) {
	t.Helper()
	for _, child := range proctest.Children(t, desk) {
		line, err := os.ReadFile(fmt.Sprintf("/proc/%d/cmdline", child))
		if err == nil && strings.Contains(string(line), pageTitleCommand) {
			out = append(out, child)
		}
	}
	return out
}

// shelfLibrary is a library with the ten books, each with its choices, and another in which every book was prepared
// on its own page; that has the choice for all, too.
func shelfLibrary(t *testing.T, profiles string, all url.Values) (fresh string, want shelfState) {
	t.Helper()
	fresh, one := filepath.Join(t.TempDir(), "fresh"), filepath.Join(t.TempDir(), "one by one")
	d := openDesk(t, fresh, profiles)
	takeInBooks(d)
	chooseForBooks(d, nil)
	d.kill()
	copyLibrary(t, fresh, one)
	d = openDesk(t, one, profiles)
	chooseForBooks(d, all)
	d.post("/books/locked/password", url.Values{"password": {gull}})
	for _, id := range ids(t, one) {
		to := d.post("/books/"+id+"/prepare", nil)
		d.leads(to, "/books/"+id+"/print")
	}
	d.kill()
	return fresh, libraryState(t, one)
}

func copyLibrary(t *testing.T, from, to string) {
	t.Helper()
	for _, id := range ids(t, from) {
		if err := os.CopyFS(filepath.Join(to, id), os.DirFS(filepath.Join(from, id))); err != nil {
			t.Fatal(err)
		}
	}
}

// startShelf gives the password and starts the shelf.
func startShelf(d deskProcess, all url.Values) {
	d.Helper()
	d.post("/books/locked/password", url.Values{"password": {gull}})
	form := url.Values{"do": {"start"}, "book": ids(d.T, d.books)}
	for key, value := range all {
		form[key] = value
	}
	if to := d.post("/shelf", form); to != "/shelf/work" {
		d.Fatal(to)
	}
}

// TestShelfOnThePageIsTheSame: a shelf writes what the page of each book writes; killed at drawn moments, the program
// or the process of a title, and gone on with, too. FOLDWRIGHT_KILLS says how many moments.
func TestShelfOnThePageIsTheSame(t *testing.T) {
	t.Parallel()
	profiles := t.TempDir()
	all := url.Values{"paper": {"a4"}, "pad": {"split"}}
	fresh, want := shelfLibrary(t, profiles, all)
	whole := filepath.Join(t.TempDir(), "whole")
	copyLibrary(t, fresh, whole)
	d := openDesk(t, whole, profiles)
	startShelf(d, all)
	d.leads("/shelf/work", "/shelf/report")
	if _, text := d.get("/shelf/report"); !strings.Contains(text, "10 books: 10 ready to print.") {
		t.Error(text)
	}
	d.kill()
	libraryState(t, whole).same(t, want, "the shelf")

	kills := 2
	if sample.Full() {
		kills = 4
	}
	if n, err := strconv.Atoi(os.Getenv("FOLDWRIGHT_KILLS")); err == nil {
		kills = n
	}
	random := sample.Random(t)
	struck := map[string]int{}
	for i := 0; i < kills || i < 10*kills && (struck["the program"] == 0 || struck["a title"] == 0); i++ {
		if t.Failed() {
			return
		}
		books := filepath.Join(t.TempDir(), "killed")
		copyLibrary(t, fresh, books)
		d := openDesk(t, books, profiles)
		startShelf(d, all)
		after := random.IntN(len(shelfBooks) - 1)
		var titles []int
		d.until("a moment to kill", func() bool {
			titles = titlesInWork(t, d.cmd.Process.Pid)
			n := prepared(t, books)
			return n >= after && len(titles) > 0 || n == len(shelfBooks)
		})
		who := "the program"
		if i%2 == 1 && len(titles) > 0 {
			who = "a title"
			if err := syscall.Kill(titles[random.IntN(len(titles))], syscall.SIGKILL); err != nil && err != syscall.ESRCH {
				t.Fatal(err)
			}
			d.leads("/shelf/work", "/shelf/report")
			goOnWithShelf(d, url.Values{"do": {"start"}, "book": ids(t, books)})
		} else {
			d.kill()
			d = openDesk(t, books, profiles)
			_, text := d.get("/shelf")
			if n := prepared(t, books); n < len(shelfBooks) && !strings.Contains(text, "A shelf that did not come to its end") {
				t.Errorf("killed with %d books ready, it says %s", n, text)
			}
			d.post("/books/locked/password", url.Values{"password": {gull}})
			if d.post("/shelf/on", nil) == "/shelf/work" {
				d.leads("/shelf/work", "/shelf/report")
			}
		}
		struck[who]++
		if _, text := d.get("/shelf/report"); !strings.Contains(text, "10 books: 10 ready to print.") {
			t.Error(text)
		}
		d.kill()
		libraryState(t, books).same(t, want, fmt.Sprintf("kill %d, of %s, after %d books", i, who, after))
	}
	t.Logf("killed: %v", struck)
	if struck["the program"] == 0 || struck["a title"] == 0 {
		t.Errorf("the moments were badly chosen: %v", struck)
	}
}

// goOnWithShelf starts the shelf once more and waits for its end.
func goOnWithShelf(d deskProcess, form url.Values) {
	d.Helper()
	d.post("/shelf", form)
	d.leads("/shelf/work", "/shelf/report")
}
