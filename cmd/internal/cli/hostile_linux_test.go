package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"log"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/ipptest"
	"foldwright/cmd/internal/testkit/ptytest"
	"foldwright/cmd/internal/testkit/rendertest"
)

// hostile is a name that sets a terminal's title, rings, clears, colours, turns letters round, hides one,
// and would begin a line of ours.
const hostile = "a\x1b]0;owned\x07\x1b[2J\u009b31m\u202egnp\u2066\u200b\nfoldwright: forged\rz"

// hostileBook has such a name for a font that is not in the file, and for a layer.
const hostileBook = `%PDF-1.7
1 0 obj << /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [6 0 R] /D << /ON [6 0 R] /Order [6 0 R] >> >> >> endobj
2 0 obj << /Type /Pages /Kids [3 0 R] /Count 1 >> endobj
3 0 obj << /Type /Page /Parent 2 0 R /MediaBox [0 0 300 400] /Contents 5 0 R /Resources << /Font << /F 4 0 R >> /Properties << /L 6 0 R >> >> >> endobj
4 0 obj << /Type /Font /Subtype /TrueType /BaseFont /a#1b#5d0;owned#07#1b#5b2J#0afoldwright:#20forged#0dz /Encoding /WinAnsiEncoding >> endobj
5 0 obj << /Length 60 >> stream
/OC /L BDC BT /F 12 Tf 50 300 Td (The light is lit) Tj ET EMC 
endstream endobj
6 0 obj << /Type /OCG /Name (a\033]0;owned\007\033[2J\nfoldwright: forged\rz) >> endobj
trailer << /Root 1 0 R >>
`

// hostileThings are files of every kind with hostile names and hostile texts in them.
type hostileThings struct{ dir, book, locked, profile, store, structure, list, job, reports string }

func layHostile(t *testing.T) hostileThings {
	t.Helper()
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	quoted := mustJSON(t, hostile)
	x := hostileThings{dir: dir, book: at(hostile + ".pdf"), locked: at("locked" + hostile + ".pdf"), profile: at(hostile + ".yaml"),
		store: at("store" + hostile), structure: at("way" + hostile + ".yaml"), list: at("shelf" + hostile + ".yaml"),
		job: at("job" + hostile), reports: at("reports")}
	put := func(path, text string) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	put(x.book, hostileBook)
	if err := lockedBook(x.locked, "gull", "keeper"); err != nil {
		t.Fatal(err)
	}
	profile := fmt.Sprintf("format: 1\nname: %s\ntwo-sided: by-hand\nfeed-face: up\nfeed-from: top\nlands: face-down\nstacks: on-top\n"+
		"sends: first-page-first\nreload: as-delivered\nflip-edge: long\nnote: %[1]s\n", quoted)
	put(x.profile, profile)
	put(filepath.Join(x.store, hostile+".yaml"), profile)
	put(filepath.Join(x.store, "bad.yaml"), fmt.Sprintf("format: 1\n%s: 1\n", quoted))
	put(filepath.Join(x.store, "papers", "bad.yaml"), fmt.Sprintf("format: 1\nname: bad\n%s: 1\n", quoted))
	put(filepath.Join(x.store, "default-printer"), hostile+"\n")
	put(x.structure, fmt.Sprintf("%s: 1\n", quoted))
	put(x.list, fmt.Sprintf("format: 1\ntitles:\n - source: %s\n   name: %s\n - source: %s\n   sheets: 0\n", mustJSON(t, hostile+".pdf"), quoted, mustJSON(t, "none"+hostile+".pdf")))
	put(at("keys"+hostile+".yaml"), fmt.Sprintf("format: 1\n%s: 1\n", quoted))
	put(at("values"+hostile+".yaml"), fmt.Sprintf("format: 1\ntitles:\n - {source: x.pdf, sheets: %s}\n", quoted))
	put(filepath.Join(x.reports, "batch-report-1-of-1.json"), fmt.Sprintf(`{"kind": "foldwright batch report", "format": 1, "program_version": "1.0.0", "shelf": %s,
		"share": "1/1", "titles": [{"name": %[1]s, "source": %[1]s, "folder": "x", "state": "done", "printer": %[1]s, "paper": %[1]s, "sheets": 3}]}`, quoted))
	mustRun(t, "prepare", x.book, "--quiet", "--printer", x.profile, "--out", x.job)
	// What a plan says that another has written.
	made := filepath.Join(x.job, plan.File)
	data, err := os.ReadFile(made)
	if err != nil {
		t.Fatal(err)
	}
	var all map[string]any
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	all["structure"].(map[string]any)["title"] = hostile
	all["paper"].(map[string]any)["name"] = hostile
	all["warnings"] = []string{hostile}
	put(made, mustJSON(t, all))
	return x
}

func mustJSON(t *testing.T, v any) string {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	// YAML takes no control characters, not even above ASCII.
	var out strings.Builder
	for _, r := range string(data) {
		if r > '~' {
			fmt.Fprintf(&out, "\\u%04x", r)
		} else {
			out.WriteRune(r)
		}
	}
	return out.String()
}

// drawnByUs is what moves the cursor for the bar and the panel.
var drawnByUs = regexp.MustCompile(`\x1b\[[KJA]|\r\n|\r *`)

// shownName is how the name is shown: by us, in an error in Go's quotes, or in those of YAML.
var shownName = regexp.MustCompile(`\\(u001b|x1b|e)\]0;owned`)

// onlySeen fails the test if a text holds a letter that does more than be read.
func onlySeen(t *testing.T, what, text string) {
	t.Helper()
	for i, r := range text {
		broken := r == utf8.RuneError && !strings.HasPrefix(text[i:], "\ufffd")
		if broken || r != '\n' && r != '\t' && (!unicode.IsGraphic(r) || unicode.Is(unicode.Cf, r)) {
			t.Errorf("%s: %U is left: %.300q", what, r, text[max(0, i-100):])
			break
		}
	}
}

// harmless fails the test if such a letter reached a terminal, or what passes for a line of ours.
func harmless(t *testing.T, what, written string) {
	t.Helper()
	if strings.Contains(strings.ReplaceAll(written, "\r\n", "\n"), "forged\r") {
		t.Errorf("%s: the cursor goes back: %q", what, written)
	}
	text := drawnByUs.ReplaceAllString(written, "\n")
	onlySeen(t, what, text)
	for line := range strings.Lines(text) {
		if strings.HasPrefix(strings.TrimSpace(line), "foldwright: forged") {
			t.Errorf("%s: a line is forged:\n%s", what, text)
		}
	}
}

// writeToTerminal runs the program within this process at a pseudo-terminal, and returns every byte that came
// there, also of packages that write to the process's streams or its log.
func writeToTerminal(t *testing.T, args ...string) string {
	t.Helper()
	person, terminal := ptytest.Open(t, 200)
	s, ended := ptytest.NewScreen(200), make(chan struct{})
	go func() {
		defer close(ended)
		_, _ = io.Copy(s, person) // ends with an error when the other end is closed
	}()
	out, problem, logged := os.Stdout, os.Stderr, log.Writer()
	os.Stdout, os.Stderr = terminal, terminal
	log.SetOutput(terminal)
	Run(t.Context(), args, Surroundings{
		In: strings.NewReader(""), Out: terminal, Err: terminal, Region: "GB", Person: true, Renderer: rendertest.Shared(t),
	})
	os.Stdout, os.Stderr = out, problem
	log.SetOutput(logged)
	if err := terminal.Close(); err != nil {
		t.Fatal(err)
	}
	<-ended
	return s.Written()
}

// TestNothingHostileReachesATerminal runs every command at a terminal with hostile names and texts in
// each place, and looks at every byte.
func TestNothingHostileReachesATerminal(t *testing.T) {
	t.Setenv("TERM", "xterm")
	x := layHostile(t)
	at := func(name string) string { return filepath.Join(x.dir, name) }
	if err := copyFile(demoBook, at("other"+hostile)); err != nil {
		t.Fatal(err)
	}
	peer := ipptest.Start(t, ipptest.Words("printer-make-and-model", hostile), ipptest.Words("document-format-supported", "application/pdf"))
	commands := map[string]bool{}
	for _, c := range []struct {
		args []string
		none bool // nothing hostile is said
	}{
		{args: []string{"prepare", x.book, "--out", at("made" + hostile)}},
		{args: []string{"prepare", x.book, "--out", x.job}},
		{args: []string{"prepare", x.book, "--dry-run", "--printer", x.profile}},
		{args: []string{"prepare", at("none" + hostile)}},
		{args: []string{"prepare", x.book, "--dry-run", "--printer", hostile}},
		{args: []string{"prepare", x.book, "--dry-run", "--paper", hostile}},
		{args: []string{"prepare", x.book, "--dry-run", "--structure", x.structure}},
		{args: []string{"prepare", x.book, "--dry-run", "--profiles", x.store}},
		{args: []string{"prepare", x.book, "--dry-run", "--password-file", at("none" + hostile)}},
		{args: []string{"prepare", x.book, "--scale", hostile}},
		{args: []string{"prepare", x.book, hostile}},
		{args: []string{"prepare", "--" + hostile}},
		{args: []string{hostile}},
		{args: []string{"inspect", x.book}},
		{args: []string{"inspect", x.book, "--json"}},
		{args: []string{"kit", x.book, "--out", at("kit" + hostile)}},
		{args: []string{"proof", x.job, "--source", x.book}},
		{args: []string{"proof", x.job, "--source", at("other" + hostile), "--out", at("p" + hostile)}},
		{args: []string{"preview", x.job, "--html"}},
		{args: []string{"simulate", x.job}},
		{args: []string{"simulate", x.job, "--printer", x.profile, "--put-back", "turn-long"}},
		{args: []string{"simulate", at("none" + hostile)}},
		{args: []string{"measure", x.job}},
		{args: []string{"reprint", at("made" + hostile), "--sheet", "1"}},
		{args: []string{"cover", at("none" + hostile), "--draft"}},
		{args: []string{"continue", at("made" + hostile), "--after-sheet", "1", "--pass", "front"}, none: true},
		{args: []string{"testsheet", "--out", at("sheet" + hostile)}},
		{args: []string{"learn", hostile, "--reading", "K2", "--profiles", at("new")}},
		{args: []string{"printers", "list", "--profiles", x.store}},
		{args: []string{"printers", "show", hostile, "--profiles", x.store}},
		{args: []string{"printers", "check", "--profiles", x.store}},
		{args: []string{"printers", "check", x.profile, at("none" + hostile + ".yaml")}},
		{args: []string{"printers", "copy", x.profile, "copied", "--profiles", at("new" + hostile)}},
		{args: []string{"printers", "remove", hostile, "--profiles", x.store}},
		{args: []string{"printers", "default", "--profiles", x.store}},
		{args: []string{"structures", hostile}},
		{args: []string{"papers", "add", "sand", "--size", hostile, "--profiles", x.store}},
		{args: []string{"papers", "add", "ivory", "--size", "a4", "--note", hostile, "--profiles", x.store}, none: true},
		{args: []string{"papers", "show", "bad", "--profiles", x.store}},
		{args: []string{"papers", "list", "--profiles", x.store}, none: true},
		{args: []string{"papers", "show", hostile, "--profiles", x.store}},
		{args: []string{"papers", "remove", hostile, "--profiles", x.store}},
		{args: []string{"reckon", "--pages", "96", "--paper", hostile}},
		{args: []string{"log", at("none" + hostile)}},
		{args: []string{"log", x.job, "--used", "1", "--note", hostile}},
		{args: []string{"log", x.job}},
		{args: []string{"shopping", x.job, "--out", at("shopping" + hostile)}},
		{args: []string{"batch", x.list, "--out", at("prepared" + hostile)}},
		{args: []string{"batch", x.list, "--out", at("prepared" + hostile), "--only", hostile}},
		{args: []string{"batch", at("keys" + hostile + ".yaml")}},
		{args: []string{"batch", at("values" + hostile + ".yaml")}},
		{args: []string{"batch", x.dir, "--out", at("again"), "--log", at("none/" + hostile)}},
		{args: []string{"batch", "--report", "--out", x.reports}},
		{args: []string{"printers", "ask", peer.URI}},
		{args: []string{"print", x.job, "--to", peer.URI}},
		{args: []string{"man", at("man" + hostile)}},
		{args: []string{"print", at("none" + hostile), "--to", "desk"}},
		{args: []string{"man", at("pages" + hostile)}},
		{args: []string{"open", "--books", filepath.Join(x.list, hostile)}}, // a file in the way
		{args: []string{"help", hostile}},
		{args: []string{"completion", hostile}},
		{args: []string{"version"}, none: true},
	} {
		commands[c.args[0]] = true
		what, written := fmt.Sprintf("%.300q", c.args), writeToTerminal(t, c.args...)
		harmless(t, what, written)
		if !c.none && !shownName.MatchString(written) {
			t.Errorf("%s: the name is not shown: %q", what, written)
		}
	}
	for _, c := range newRoot(Surroundings{Out: io.Discard, Err: io.Discard}).Commands() {
		if name := c.Name(); !commands[name] {
			t.Errorf("%s was not tried", name)
		}
	}

	s, person, status := session(t, 200, "prepare", x.locked, "--dry-run")
	s.Shows(t, "password of ")
	if _, err := person.WriteString("\x03"); err != nil {
		t.Fatal(err)
	}
	<-status
	harmless(t, "the question", strings.ReplaceAll(s.Written(), "^C", ""))

	// Pages are read with a browser, where names must not turn round what stands beside them.
	var pages []string
	for _, pattern := range []string{"*.html", "*/*.html", "*/reprint-*/*.html"} {
		found, err := filepath.Glob(filepath.Join(x.dir, pattern))
		if err != nil || len(found) == 0 {
			t.Fatalf("no pages %s, %v", pattern, err)
		}
		pages = append(pages, found...)
	}
	for _, page := range pages {
		data, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		onlySeen(t, fmt.Sprintf("%q", page), string(data))
	}
}

// TestDataStaysAsItIs reads names where standard output is no terminal, and JSON everywhere.
func TestDataStaysAsItIs(t *testing.T) {
	dir := t.TempDir()
	place := filepath.Join(dir, hostile)
	if status, out, said := runs(t, t.Context(), "testsheet", "--quiet", "--out", place); status != Done || out != place+"\n" {
		t.Errorf("status %d: %q, %s", status, out, said)
	}
	book := filepath.Join(dir, hostile+".pdf")
	if err := os.WriteFile(book, []byte(hostileBook), 0o666); err != nil {
		t.Fatal(err)
	}
	_, out, said := runs(t, t.Context(), "inspect", book, "--json")
	var found struct {
		File  string
		Fonts []struct{ Name string }
	}
	if err := json.Unmarshal([]byte(out), &found); err != nil || found.File != hostile+".pdf" || len(found.Fonts) == 0 || !strings.Contains(found.Fonts[0].Name, "\x1b]0;owned\x07") {
		t.Errorf("%+v, %v, %s", found, err, said)
	}
}
