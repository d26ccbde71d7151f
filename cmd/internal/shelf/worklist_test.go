package shelf

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// lay writes a worklist beside a few sources and reads it.
func lay(t *testing.T, text, out string, given ...phrase.Setting) (Shelf, string, error) {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{
		"tides.pdf", "birds/terns.pdf", "birds/rare/auks.PDF", "birds/notes.txt", "odd [1].pdf", ".hidden/x.pdf",
		"old-print/run-01-front.pdf", ".new-print.part/run-01-front.pdf",
	} {
		write(t, filepath.Join(dir, name), "")
	}
	write(t, filepath.Join(dir, "old-print/plan.json"), `{"kind": "foldwright plan", "format": 99}`)
	file := filepath.Join(dir, "shelf.yaml")
	write(t, file, text)
	s, err := ReadWorklist(file, out, given)
	return s, dir, err
}

// told writes the titles down: name, source, place and settings, relative to dir.
func told(s Shelf, dir string) string {
	var lines []string
	for _, t := range s.Titles {
		line := fmt.Sprintf("%s %s %s", t.Name, t.Source, t.Place)
		for _, s := range t.Settings {
			line += fmt.Sprintf(" %s=%s", s.Key, s.Value)
		}
		if t.Password != "" {
			line += " password in " + t.Password
		}
		lines = append(lines, filepath.ToSlash(strings.ReplaceAll(line, dir+string(filepath.Separator), "")))
	}
	return strings.Join(lines, "\n")
}

func TestWorklist(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"one title": {"titles:\n - tides.pdf", "tides tides.pdf out/tides-print"},
		"defaults and a title's own": {
			"defaults: {sheets: 4, cut-overhang: true}\ntitles:\n - {source: tides.pdf, sheets: 5}\n - source: birds/terns.pdf",
			"tides tides.pdf out/tides-print cut-overhang=true sheets=5\nbirds/terns birds/terns.pdf out/birds/terns-print sheets=4 cut-overhang=true",
		},
		"a default taken back": {"defaults: {sheets: 4, cut-overhang: true}\ntitles:\n - {source: tides.pdf, sheets: ~}", "tides tides.pdf out/tides-print cut-overhang=true"},
		"a list":               {"titles:\n - {source: tides.pdf, gatherings: [4, 4, 3]}", "tides tides.pdf out/tides-print gatherings=4,4,3"},
		"a pattern":            {"titles:\n - birds/*.pdf", "birds/terns birds/terns.pdf out/birds/terns-print"},
		"folders": {"titles:\n - '**/*.pdf'",
			"birds/rare/auks birds/rare/auks.PDF out/birds/rare/auks-print\nbirds/terns birds/terns.pdf out/birds/terns-print\n" +
				"odd [1] odd [1].pdf out/odd [1]-print\ntides tides.pdf out/tides-print"},
		"folders below":       {"titles:\n - birds/**/*", "birds/rare/auks birds/rare/auks.PDF out/birds/rare/auks-print\nbirds/terns birds/terns.pdf out/birds/terns-print"},
		"a file, no pattern":  {"titles:\n - odd [1].pdf", "odd [1] odd [1].pdf out/odd [1]-print"},
		"names":               {"titles:\n - {source: tides.pdf, name: x/big}\n - {source: tides.pdf, out: elsewhere}", "x/big tides.pdf out/x/big-print\ntides tides.pdf elsewhere"},
		"paths":               {"titles:\n - {source: tides.pdf, printer: ./desk.yaml, structure: mine.yaml, password-file: key}", "tides tides.pdf out/tides-print printer=desk.yaml structure=mine.yaml password in key"},
		"a structure's name":  {"titles:\n - {source: tides.pdf, structure: cords}", "tides tides.pdf out/tides-print structure=cords"},
		"a printer's name":    {"titles:\n - {source: tides.pdf, printer: desk}", "tides tides.pdf out/tides-print printer=desk"},
		"a source not there":  {"titles:\n - moon.pdf", "moon moon.pdf out/moon-print"},
		"an anchor":           {"defaults: &d {sheets: 4}\ntitles:\n - {source: tides.pdf, sheets: ~, gatherings: &g [1, 2]}\n - {source: birds/terns.pdf, sheets: ~, gatherings: *g}", "tides tides.pdf out/tides-print gatherings=1,2\nbirds/terns birds/terns.pdf out/birds/terns-print gatherings=1,2"},
		"an output elsewhere": {"out: prepared\ntitles:\n - tides.pdf", "tides tides.pdf prepared/tides-print"},
	} {
		out := "out"
		if strings.HasPrefix(c.text, "out:") {
			out = ""
		}
		s, dir, err := lay(t, "format: 1\n"+c.text, out)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if got := told(s, dir); got != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", name, got, c.want)
		}
	}
}

func TestFlagsComeBeforeTheWorklist(t *testing.T) {
	s, dir, err := lay(t, "format: 1\ndefaults: {sheets: 3}\ntitles:\n - {source: tides.pdf, sheets: 4, cut-overhang: true}", "out",
		phrase.Setting{Key: "sheets", Value: "6"}, phrase.Setting{Key: PasswordKey, Value: "mine"})
	if want := "tides tides.pdf out/tides-print cut-overhang=true sheets=6 password in mine"; err != nil || told(s, dir) != want {
		t.Errorf("got %s, %v", told(s, dir), err)
	}
	if s.Titles[0].Options.Sheets != 6 || !s.Titles[0].Options.CutOverhang {
		t.Errorf("got %+v", s.Titles[0].Options)
	}
}

func TestWorklistIsStrict(t *testing.T) {
	for text, want := range map[string]string{
		"":                         "is empty",
		"- tides.pdf":              "line 1: a list of keys and values is needed here",
		"titles: [tides.pdf]":      "line 1: a worklist has to begin with format: 1",
		"format: 2\ntitles: []":    "line 1: a worklist has to begin with format: 1",
		"format: 1":                "line 1: the worklist has no titles",
		"format: 1\ntitles: []":    "line 2: the list of titles is empty",
		"format: 1\ntitles: a.pdf": "line 2: titles has to be a list, each with a dash before it",
		"format: 1\ntitels: []":    `line 2: key "titels" is not known, did you mean "titles"?`,
		"format: 1\nbooks: []":     `line 2: key "books" is not known, known keys are format, out, defaults, titles`,
		"format: 1\nsheets: 4":     `line 2: key "sheets" belongs to a title or to the defaults`,
		"format: 1\ntitles:\n - {source: a.pdf, shetes: 4}":                                                             `line 3: key "shetes" is not known, did you mean "sheets"?`,
		"format: 1\ntitles:\n - x: 1":                                                                                   `line 3: key "x" is not known, known keys are source, name, out, paper, sheets, `,
		"format: 1\ndefaults:\n  source: x\ntitles: [a.pdf]":                                                            `line 3: key "source" belongs to a title`,
		"format: 1\ntitles:\n - source: a.pdf\n   sheets: 4\n   sheets: 5":                                              `line 5: key "sheets" is given twice`,
		"format: 1\ntitles:\n - source: a.pdf\n   sheets: many":                                                         "line 4: sheets: ",
		"format: 1\ntitles:\n - source: a.pdf\n   sheets: {a: 1}":                                                       "line 4: sheets has no value",
		"format: 1\ntitles:\n - source: a.pdf\n   gatherings: []":                                                       "line 4: gatherings has no value",
		"format: 1\ndefaults:\n  sheets: many\ntitles:\n - a.pdf":                                                       "line 3: sheets: ",
		"format: 1\ndefaults:\n  proof: perhaps\ntitles:\n - a.pdf":                                                     `line 3: proof: "perhaps" is neither true nor false`,
		"format: 1\ntitles:\n - sheets: 4":                                                                              "line 3: this title has no source",
		"format: 1\ntitles:\n - source:":                                                                                "line 3: source has no value",
		"format: 1\ntitles:\n - source: a.pdf\n   margin: 5":                                                            "line 3: 'margin' needs 'box: content'",
		"format: 1\ntitles:\n - source: birds/*.pdf\n - moon/*.pdf":                                                     "line 4: moon/*.pdf matches no PDF",
		"format: 1\ntitles:\n - '[x'":                                                                                   `line 3: "[x" is not a pattern`,
		"format: 1\ntitles:\n - {source: '**/*.pdf', name: all}":                                                        "line 3: name and out are for one title, and **/*.pdf means 4",
		"format: 1\ntitles:\n - {source: a.pdf, name: ../b}":                                                            `line 3: name "../b" leads out of the output folder`,
		"format: 1\ntitles:\n - a.pdf\n - b.pdf\n - a.pdf":                                                              "a.pdf (line 3) and ",
		"format: 1\ntitles:\n - {source: a.pdf, name: same}\n - {source: b.pdf, name: same}":                            "would both be written to",
		"format: 1\ntitles:\n - {source: a.pdf, out: x}\n - {source: b.pdf, out: x/y/z}":                                "line 4: ",
		"format: 1\ntitles:\n - {source: c.pdf, out: x}\n - {source: x/b.pdf}":                                          "lies in",
		"format: 1\ntitles: [a.pdf\n":                                                                                   "line 1: did not find expected",
		"format: 1\ntitles: [a.pdf]\n---\nformat: 1":                                                                    "holds more than one document",
		"format: 1\ntitles:\n - a.pdf\n - ../elsewhere/a.pdf":                                                           "would both be written to",
		"format: 1\ntitles:\n - [a.pdf]":                                                                                "line 3: a list of keys and values is needed here",
		"format: 1\nout: 7\nout: 8\ntitles: [a.pdf]":                                                                    `line 3: key "out" is given twice`,
		"format: 1\nout: out\ntitles:\n - {source: a.pdf, name: deep/er}\n - {source: b.pdf, out: out/deep/er-print/x}": "folder of",
	} {
		s, dir, err := lay(t, text, "")
		if refusal.Of(err) != refusal.Use || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %q (%s)", text, err, want, told(s, dir))
		}
	}
}

// TestExampleIsRight reads the example that is printed, with every source in its place.
func TestExampleIsRight(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "birds/terns.pdf"), "")
	write(t, filepath.Join(dir, "shelf.yaml"), Example)
	s, err := ReadWorklist(filepath.Join(dir, "shelf.yaml"), "", nil)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"journal", "tides", "birds/terns", "stores", "stores-large", "letters"}
	var names []string
	for _, t := range s.Titles {
		names = append(names, t.Name)
	}
	if !slices.Equal(names, want) || s.Out != filepath.Join(dir, "prepared") {
		t.Errorf("got %v in %s", names, s.Out)
	}
}

func TestFindTitles(t *testing.T) {
	_, dir, err := lay(t, "format: 1\ntitles: [tides.pdf]", "out")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join(dir, "birds"), filepath.Join(dir, "again")); err != nil {
		t.Logf("without a link to a folder: %v", err) // not every system lets everybody make links
	}
	s, err := FindTitles(dir, "out", []phrase.Setting{{Key: "sheets", Value: "3"}})
	want := "birds/rare/auks birds/rare/auks.PDF out/birds/rare/auks-print sheets=3\nbirds/terns birds/terns.pdf out/birds/terns-print sheets=3\n" +
		"odd [1] odd [1].pdf out/odd [1]-print sheets=3\ntides tides.pdf out/tides-print sheets=3"
	if got := told(s, dir); err != nil || got != want {
		t.Errorf("got\n%s\n%v", got, err)
	}
	if _, err := FindTitles(filepath.Join(dir, "old-print"), "out", nil); refusal.Of(err) != refusal.Source || !strings.Contains(err.Error(), "was written by foldwright") {
		t.Errorf("a folder of ours was searched: %v", err)
	}
	if err := os.Mkdir(filepath.Join(dir, "nothing"), 0o777); err != nil {
		t.Fatal(err)
	}
	if _, err := FindTitles(filepath.Join(dir, "nothing"), "out", nil); refusal.Of(err) != refusal.Source || !strings.Contains(err.Error(), "holds no PDF") {
		t.Errorf("titles in an empty folder: %v", err)
	}
	if os.Symlink("moon", filepath.Join(dir, "nothing", "gone.pdf")) == nil {
		if s, err := FindTitles(filepath.Join(dir, "nothing"), "out", nil); err != nil || len(s.Titles) != 1 {
			t.Errorf("a link that leads nowhere is overlooked: %v, %v", s.Titles, err)
		}
	}
	write(t, filepath.Join(dir, "tides.PDF"), "")
	if _, err := FindTitles(dir, "out", nil); refusal.Of(err) != refusal.Use || !strings.Contains(refusal.Hint(err).String(), "another name") {
		// Where cases are not told apart there is only one file.
		if _, err := os.Stat(filepath.Join(dir, "TIDES.pdf")); err != nil {
			t.Errorf("two sources of one name: %v", err)
		}
	}
}

func TestPlacesThroughLinks(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "real"), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real", filepath.Join(dir, "link")); err != nil {
		t.Skipf("this system makes no links: %v", err)
	}
	s := Shelf{Titles: []Title{
		{Source: "a.pdf", Place: filepath.Join(dir, "real", "x", "a-print")},
		{Source: "b.pdf", Place: filepath.Join(dir, "link", "x", "a-print")},
	}}
	if err := s.check(); refusal.Of(err) != refusal.Use || !strings.Contains(refusal.Hint(err).String(), "another name") {
		t.Errorf("got %v", err)
	}
}

// TestPlacesThatAreOneByALink are refused like two of one name.
func TestPlacesThatAreOneByALink(t *testing.T) {
	dir := t.TempDir()
	s := Shelf{Titles: []Title{
		{Source: filepath.Join(dir, "a.pdf"), Place: filepath.Join(dir, "a-print")},
		{Source: filepath.Join(dir, "b.pdf"), Place: filepath.Join(dir, "b-print")},
	}}
	if err := s.check(); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(s.Titles[0].Place, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("a-print", s.Titles[1].Place); err != nil {
		t.Skip(err)
	}
	if err := s.check(); refusal.Of(err) != refusal.Use || !strings.Contains(refusal.Hint(err).String(), "another name") {
		t.Errorf("got %v", err)
	}
}

// TestFoldersAreSearchedOnce writes ** again and again: it means what it means once.
func TestFoldersAreSearchedOnce(t *testing.T) {
	dir := t.TempDir()
	deep := strings.Repeat("a/", 24)
	write(t, filepath.Join(dir, deep, "tides.pdf"), "")
	began := time.Now()
	found, err := search(dir, strings.Repeat("**/", 24)+"*.pdf")
	if err != nil || len(found) != 1 || time.Since(began) > patience {
		t.Errorf("found %q, %v, in %v", found, err, time.Since(began))
	}
}
