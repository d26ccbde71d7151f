package cli

import (
	"bytes"
	"context"
	"html"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/desk/benchroom"
	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/profiles"
	"foldwright/reorder/sample"
)

// benchCase is what is prepared, and what is measured of it: as flags, and as a person fills in the page.
type benchCase struct {
	prepare, flags []string
	boxes          url.Values
}

// benchCases is every way of binding that suits a fold, on several papers, with what was measured in several ways.
func benchCases() (all []benchCase) {
	type measured struct {
		flags []string
		boxes url.Values
	}
	inMM := []measured{
		{nil, url.Values{}},
		{[]string{"--block-thickness", "6.2", "--spine", "9.4mm", "--board", "2.2"}, url.Values{"block-thickness": {"6.2"}, "spine": {"9.4mm"}, "board": {"2.2"}}},
		{[]string{"--stack", "40=4.1mm", "--thread", "0.5mm", "--units", "in"}, url.Values{"stack-leaves": {"40"}, "stack": {"4.1"}, "thread": {"0.5"}, "units": {"in"}}},
		{[]string{"--leaf-size", "100x140mm", "--board", "3/32in"}, url.Values{"leaf-width": {"100"}, "leaf-height": {"140"}, "board": {"3/32in"}}},
	}
	inInches := []measured{
		{nil, url.Values{}},
		{[]string{"--block-thickness", "1/4in", "--spine", "3/8in", "--board", "3/32in"}, url.Values{"block-thickness": {"1/4"}, "spine": {"3/8"}, "board": {"3/32in"}}},
		{[]string{"--thread", "0.02in", "--units", "mm"}, url.Values{"thread": {"0.02"}, "units": {"mm"}}},
	}
	for _, name := range structure.Names() {
		for _, how := range [][]string{
			{"--paper", "a4"}, {"--paper", "letter", "--trim", "2"}, {"--paper", "a3", "--fold", "quarto", "--trim", "4,3,2"}, {"--paper", "a3", "--fold", "octavo"},
			{"--paper", "a4", "--bind", "top", "--trim", "3"}, {"--paper", "a4", "--volumes", "2"}, {"--paper", "a4", "--fold", "loose"}, {"--paper", "letter", "--fold", "pouch"},
		} {
			edges := slices.Contains(how, "loose") || slices.Contains(how, "pouch")
			if edges != (name == structure.Leaves) || name == structure.Single && slices.Contains(how, "--volumes") {
				continue
			}
			if name == structure.Single {
				how = append(slices.Clone(how), "--gatherings", map[bool]string{true: "5", false: "10"}[slices.Contains(how, "quarto")])
				if slices.Contains(how, "octavo") {
					continue
				}
			}
			each := inMM
			if slices.Contains(how, "letter") {
				each = inInches
			}
			for _, m := range each {
				all = append(all, benchCase{how, append([]string{"--structure", name}, m.flags...), with(m.boxes, "structure", name)})
			}
		}
	}
	return all
}

func with(form url.Values, key, value string) url.Values {
	out := url.Values{key: {value}}
	for k, v := range form {
		out[k] = v
	}
	return out
}

// TestBenchPageSaysWhatMeasureSays is the law of the bench: for every way of binding and a sample of folds, papers
// and measurements, the figures on the page are those that the command prints for the same input.
func TestBenchPageSaysWhatMeasureSays(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 40)
	jobs := map[string]string{}
	all := benchCases()
	var always []int // every way of binding at least once
	for _, name := range structure.Names() {
		always = append(always, slices.IndexFunc(all, func(c benchCase) bool { return c.flags[1] == name && len(c.flags) > 2 }))
	}
	for _, c := range sample.Of(t, all, 4, always...) {
		key := strings.Join(c.prepare, " ")
		if jobs[key] == "" {
			jobs[key] = filepath.Join(t.TempDir(), "job")
			run(t, append([]string{"prepare", source, "--quiet", "--dummy", "--out", jobs[key]}, c.prepare...)...)
		}
		volumes := 0
		if slices.Contains(c.prepare, "--volumes") {
			volumes = 2
		}
		compareBench(t, jobs[key], c, volumes)
	}
}

// compareBench compares command and page for one case.
func compareBench(t *testing.T, job string, c benchCase, volumes int) {
	t.Helper()
	args, form := append([]string{"measure", job}, c.flags...), c.boxes
	if volumes > 0 {
		args, form = append(args, "--volume", "2"), with(form, "volume", "2")
	}
	var said, wrong bytes.Buffer
	if status := Run(context.Background(), args, Surroundings{In: strings.NewReader(""), Out: &said, Err: &wrong, Region: "GB"}); status != Done {
		t.Fatalf("%v: status %d, %s", args, status, wrong.String())
	}
	got, want := onPage(benchPage(t, job, form)), printed(said.String())
	if len(want) < 15 || !slices.Equal(got, want) {
		for i := range max(len(got), len(want)) {
			if i >= len(got) || i >= len(want) || got[i] != want[i] {
				t.Errorf("%v %v:\nthe page says    %q\nthe command says %q", c.prepare, args, got[min(i, len(got)):min(i+2, len(got))], want[min(i, len(want)):min(i+2, len(want))])
				return
			}
		}
		t.Errorf("%v: only %d lines", args, len(want))
	}
}

// benchPage fills in the page of a prepared book and returns what it shows.
func benchPage(t *testing.T, job string, form url.Values) string {
	t.Helper()
	books, err := library.Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer books.Close()
	a, err := books.Begin()
	if err != nil {
		t.Fatal(err)
	}
	if err := a.Add("tides.pdf", strings.NewReader("pdf")); err != nil {
		t.Fatal(err)
	}
	b, err := a.Keep("Tides", a.Files[0])
	if err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS(b.Job(), os.DirFS(job)); err != nil {
		t.Fatal(err)
	}
	d := &page.Desk{Context: t.Context(), Library: books, Profiles: profiles.Open(t.TempDir()), Region: "GB", Version: "test", Words: flagStyle{}}
	benchroom.Add(d)
	routes := d.Routes()
	ask := func(r *http.Request) *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		routes.ServeHTTP(w, r)
		return w
	}
	at := "/books/tides/bench"
	if form.Get("volume") != "" {
		at += "?volume=" + form.Get("volume")
	}
	// The units that the form was shown with come back with it, as in a browser.
	first := ask(httptest.NewRequest(http.MethodGet, at, nil)).Body.String()
	shown := regexp.MustCompile(`name="shown-units" value="(\w+)"`).FindStringSubmatch(first)
	if shown == nil {
		t.Fatalf("there is no form: %s", first)
	}
	form = with(form, "shown-units", shown[1])
	r := httptest.NewRequest(http.MethodPost, at, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if w := ask(r); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	return ask(httptest.NewRequest(http.MethodGet, at, nil)).Body.String()
}

var (
	drawnOut   = regexp.MustCompile(`(?s)<svg.*?</svg>`)
	figureLine = regexp.MustCompile(`<dt>(.*?)</dt><dd><strong>(.*?)</strong> <span class="soft">(.*?)</span>`)
	stationRow = regexp.MustCompile(`<tr><th scope="row">(.*?)</th><td>(.*?)</td>(?:<td>(.*?)</td>)?</tr>`)
	asked      = regexp.MustCompile(`<p class="bench-wrong" id="question-[^"]*">(.*?)</p>`)
	advised    = regexp.MustCompile(`<strong>Advice\.</strong> (.*?)\.</p>`)
	noted      = regexp.MustCompile(`<p>Note: (.*?)\.</p>`)
	afterLine  = regexp.MustCompile(`<h3 id="after-heading">(.*?)</h3>`)
	headline   = regexp.MustCompile(`<p id="headline">(.*?)\.</p>`)
)

// onPage is what the page says, a line each, sorted: capitals at the beginning of a sentence are the page's.
func onPage(text string) (lines []string) {
	text = drawnOut.ReplaceAllString(text, "")
	add := func(words ...string) {
		lines = append(lines, strings.ToLower(strings.Join(strings.Fields(html.UnescapeString(strings.Join(words, " "))), " ")))
	}
	for _, m := range figureLine.FindAllStringSubmatch(text, -1) {
		add(m[1:]...)
	}
	for _, m := range stationRow.FindAllStringSubmatch(text, -1) {
		add(m[1:]...)
	}
	for of, found := range map[string]*regexp.Regexp{"question:": asked, "advice:": advised, "note:": noted, "": afterLine, "structure": headline} {
		for _, m := range found.FindAllStringSubmatch(text, -1) {
			add(of, m[1])
		}
	}
	slices.Sort(lines)
	return lines
}

// printed is the same of what the command has printed, without the headings that say the same on every page.
func printed(text string) (lines []string) {
	for line := range strings.SplitSeq(text, "\n") {
		line = strings.ToLower(strings.Join(strings.Fields(line), " "))
		if line != "" && line != "before sewing" && !strings.HasPrefix(line, "stations from") {
			lines = append(lines, line)
		}
	}
	slices.Sort(lines)
	return lines
}
