package cli

import (
	"encoding/xml"
	"errors"
	"html"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/reorder/sample"
)

var (
	commandLine = regexp.MustCompile(`>(foldwright (?:continue|reprint|measure) [^<]+)<`)
	unbroken    = regexp.MustCompile(`<span class="unbroken">([^<]*)</span>`)
)

// TestRunSheetsCommandLines: the command lines that a run sheet tells work as
// they stand there, in the folder above the job's, whatever that is called.
func TestRunSheetsCommandLines(t *testing.T) {
	source := printtest.Book(t, 90)
	for _, c := range []struct {
		folder string
		args   []string
		lines  int
	}{
		{"tides-print", nil, 6},
		{"tides of the north & south-print", []string{"--run", "gathering", "--printer", "automatic-short"}, 4},
		{"pouch", []string{"--fold", "pouch"}, 4},
		{"trial", []string{"--only-gathering", "3", "--printer", "by-hand-face-up-long"}, 5},
		{"singles", []string{"--only-gathering", "2", "--gatherings", "12,1,10"}, 3},
	} {
		above := t.TempDir()
		place := filepath.Join(above, c.folder)
		run(t, append([]string{"prepare", source, "--paper", "a4", "--quiet", "--out", place}, c.args...)...)
		page, err := os.ReadFile(filepath.Join(place, output.RunSheetFile))
		if err != nil {
			t.Fatal(err)
		}
		t.Chdir(above)
		found := commandLine.FindAllStringSubmatch(unbroken.ReplaceAllString(string(page), "$1"), -1)
		if len(found) != c.lines {
			t.Errorf("%s: %d command lines, want %d: %v", c.folder, len(found), c.lines, found)
		}
		for _, line := range found {
			words := inWords(html.UnescapeString(line[1]))[1:]
			if words[0] != "measure" {
				words = append(words, "--source", source)
			}
			run(t, words...)
		}
	}
}

// inWords parts a command line into its words, as a shell does where words
// with spaces stand in quotes.
func inWords(line string) (out []string) {
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			out = append(out, part)
			continue
		}
		out = append(out, strings.Fields(part)...)
	}
	return out
}

// TestRunSheetsAreShort counts the words that the pages of twelve jobs show to somebody who taps on
// nothing, all of them and those before the first file's name.
func TestRunSheetsAreShort(t *testing.T) {
	t.Parallel()
	source, folder := filepath.Join("..", "..", "..", "testdata", "larkhaven.pdf"), t.TempDir()
	known := []string{"--printer", "by-hand-short"}
	all := []struct {
		name        string
		args        []string
		before, all int // at most
	}{
		{"known", known, 250, 1500},
		{"guess", nil, 500, 1500},
		{"many-runs", append(known, "--run", "1"), 250, 1500},
		{"quarto", append(known, "--fold", "quarto"), 250, 1500},
		{"cut", append(known, "--cut", "2"), 250, 1500},
		{"pouch", append(known, "--fold", "pouch"), 250, 1500},
		{"concertina", append(known, "--fold", "concertina"), 250, 1500},
		{"long-stitch", append(known, "--structure", "long-stitch"), 250, 1500},
		{"pamphlet", append(known, "--pages", "1-24", "--gatherings", "6", "--structure", "pamphlet"), 250, 1500},
		{"letter", append(known, "--paper", "letter", "--trim", "0.125in"), 250, 1500},
		{"kit", nil, 750, 3200},
		{"reprint", nil, 250, 1500},
	}
	for _, c := range sample.Of(t, all, 3, 0, len(all)-2, len(all)-1) { // the first is what is reprinted
		place := filepath.Join(folder, c.name)
		file := filepath.Join(place, output.RunSheetFile)
		switch c.name {
		case "kit":
			run(t, "kit", source, "--quiet", "--out", place)
			file = filepath.Join(place, output.StartFile)
		case "reprint":
			run(t, "reprint", filepath.Join(folder, "known"), "--sheet", "7,9-11", "--source", source, "--quiet", "--out", place)
		default:
			run(t, append([]string{"prepare", source, "--quiet", "--out", place}, c.args...)...)
		}
		before, all := shownWords(t, file)
		t.Logf("%s: %d words, %d before the first file's name", c.name, all, before)
		if all > c.all || before > c.before || before == 0 {
			t.Errorf("%s: %d words of at most %d, %d of at most %d before the first file's name", c.name, all, c.all, before, c.before)
		}
	}
}

// shownWords counts the words of a page that are shown before anything is tapped on; those of drawings
// are among them.
func shownWords(t *testing.T, file string) (before, all int) {
	t.Helper()
	page, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer page.Close()
	d := xml.NewDecoder(page)
	d.Entity = xml.HTMLEntity
	isWord := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
	var within []string
	hidden := 0 // the depth at which something begins that is not shown
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return before, all
		}
		if err != nil {
			t.Fatal(err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			within = append(within, x.Name.Local)
			isShut := x.Name.Local == "details" && !slices.ContainsFunc(x.Attr, func(a xml.Attr) bool { return a.Name.Local == "open" })
			if hidden == 0 && (isShut || slices.Contains([]string{"head", "title", "desc"}, x.Name.Local)) {
				hidden = len(within)
			}
		case xml.EndElement:
			if len(within) == hidden {
				hidden = 0
			}
			within = within[:len(within)-1]
		case xml.CharData:
			if len(within) == 0 || hidden > 0 && (len(within) <= hidden || within[hidden] != "summary") {
				continue
			}
			if within[len(within)-1] == "b" && printFile.Match(x) && before == 0 {
				before = all
			}
			for word := range strings.FieldsSeq(string(x)) {
				if strings.ContainsFunc(word, isWord) {
					all++
				}
			}
		}
	}
}

var printFile = regexp.MustCompile(`^(run|check|test|sheet)\S*\.pdf$`)
