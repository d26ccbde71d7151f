package cli

import (
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/testkit/printtest"
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
		{"tides-print", nil, 5},
		{"tides of the north & south-print", []string{"--run", "gathering", "--printer", "automatic-short"}, 3},
		{"pouch", []string{"--fold", "pouch"}, 3},
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
