package proof

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/reorder/phrase"
)

// withPlates is a job with a folded pair, plates, a fold-out and end-leaves.
func withPlates(t *testing.T, source string, more ...phrase.Setting) string {
	t.Helper()
	o, err := options.Read(append([]phrase.Setting{
		{Key: "sheets", Value: "2"},
		{Key: "end-leaves", Value: "1,pages=" + printtest.BookFrom(t, 401, 4)},
		{Key: "insert", Value: "after=2,how=wrapped,pages=" + printtest.BookFrom(t, 101, 3) + ",after=8+12,paper=a5,pages=" + printtest.BookFrom(t, 201, 2) +
			",after=20,fold-out=400mm,paper=a3,pages=" + printtest.BookFrom(t, 301, 1)},
	}, more...)...)
	if err != nil {
		t.Fatal(err)
	}
	return prepare(t, source, o)
}

// TestPlatesAreProved in books bound at every edge, with copies and volumes; the book of the proof shows them in their places.
func TestPlatesAreProved(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 24)
	for _, more := range [][]phrase.Setting{nil, {{Key: "bind", Value: "right"}}, {{Key: "bind", Value: "top"}}, {{Key: "copies", Value: "2"}}, {{Key: "volumes", Value: "2"}}, {{Key: "trim", Value: "3"}}} {
		folder := withPlates(t, source, more...)
		found := proved(t, folder, source)
		if len(found.Faults) > 0 {
			t.Errorf("%v: %v", more, found.Faults)
		}
		p := opened(t, folder)
		own, laid := 0, 0
		for _, place := range p.Bound {
			if place.Insert == 0 {
				own++
			} else {
				laid++
			}
		}
		ends, copies := 8, 1
		for _, m := range more {
			switch m.Key {
			case "copies":
				copies = 2
			case "volumes":
				ends = 16
			}
		}
		if want := copies * (ends + 4 + 4 + 2); own != len(p.Places) || laid != want {
			t.Errorf("%v: %d pages of the book of %d, %d of other paper, want %d", more, own, len(p.Places), laid, want)
		}
	}
}

// TestProofOfPlatesCanFail: files exchanged, a place that is not the one asked for, a file that is missing.
func TestProofOfPlatesCanFail(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 24)
	for name, c := range map[string]struct {
		damage func(t *testing.T, folder string)
		want   string
	}{
		"another place": {func(t *testing.T, folder string) { inPlan(t, folder, `"leaves-before": 2,`, `"leaves-before": 3,`) }, "plates-02: plate 2 comes after page 14, and was to come after page 12"},
		"no file": {func(t *testing.T, folder string) {
			if err := os.Remove(filepath.Join(folder, "plates-03", "plates-03-front.pdf")); err != nil {
				t.Fatal(err)
			}
		}, "plates-03: there are no print files"},
		"another size": {func(t *testing.T, folder string) {
			path := filepath.Join(folder, "plates-02", "plates-02-front.pdf")
			if err := os.Remove(path); err != nil {
				t.Fatal(err)
			}
			data, err := os.ReadFile(filepath.Join(folder, "run-01-front.pdf"))
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(path, data, 0o600); err != nil {
				t.Fatal(err)
			}
		}, "plates-02: "},
	} {
		folder := withPlates(t, source)
		c.damage(t, folder)
		found := proved(t, folder, source)
		var all []string
		for _, f := range found.Faults {
			all = append(all, f.String())
		}
		if text := strings.Join(all, "\n"); !strings.Contains(text, c.want) {
			t.Errorf("%s: %q is not found, but %q", name, c.want, text)
		}
	}
}

// inPlan changes a text in the plan of a folder.
func inPlan(t *testing.T, folder, old, new string) {
	t.Helper()
	path := filepath.Join(folder, "plan.json")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	at := strings.LastIndex(string(data[:strings.Index(string(data), `"name": "plates-03"`)]), old)
	if at < 0 {
		t.Fatalf("%s is not in %s", old, data)
	}
	if err := os.WriteFile(path, []byte(string(data[:at])+new+string(data[at+len(old):])), 0o600); err != nil {
		t.Fatal(err)
	}
}
