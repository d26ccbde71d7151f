package shelf

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/pagestyle"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles/publish"
	"foldwright/reorder"
)

//go:embed page.html
var pageHTML string

var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Funcs(template.FuncMap{
		"style":    pagestyle.CSS,
		"count":    reorder.Count,
		"took":     TookText,
		"runsheet": runSheet,
		"waiting":  func(r Report) []Entry { return r.in(Waiting) },
		"made":     func(r Report) []Entry { return filter(r.Titles, Entry.isMade) },
		"when":     func(t time.Time) string { return t.Local().Format("2 January 2006, 15:04") },
	}).Parse(pageHTML))
})

// writeHTML writes the report as one self-contained page.
func (r Report) writeHTML(w io.Writer) error { return pageTemplate().Execute(visible.NewWriter(w), r) }

func (e Entry) isMade() bool { return e.State == Done || e.State == Complete }

// Where names the source of a title that failed, unless its sentence does so
// already, and says what was tried.
func (e Entry) Where() string {
	var parts []string
	if e.Failure == nil || !strings.Contains(e.Failure.Sentence, e.Source) {
		parts = append(parts, e.Source)
	}
	switch {
	case !e.Tried:
		parts = append(parts, "failed before, and not tried again because nothing has changed")
	case e.Seconds > 0:
		parts = append(parts, "tried for "+TookText(e.Seconds))
	default:
		parts = append(parts, "not attempted")
	}
	return strings.Join(parts, ", ")
}

// Warning is what is said of one title or more.
type Warning struct {
	Text   string
	Titles []string
	All    bool // it is said of all that are ready to print, and those are several
}

// Warnings are those of all titles, each once, in the order in which they are met.
func (r Report) Warnings() []Warning {
	var out []Warning
	at := map[string]int{}
	for _, e := range r.Titles {
		said := e.Warnings
		if len(e.Kept) > 0 {
			said = append(slices.Clone(said), publish.KeptText(e.Kept))
		}
		for _, text := range said {
			i, known := at[text]
			if !known {
				i, at[text] = len(out), len(out)
				out = append(out, Warning{Text: text})
			}
			out[i].Titles = append(out[i].Titles, e.Name)
		}
	}
	made := len(filter(r.Titles, Entry.isMade))
	for i := range out {
		out[i].All = made > 1 && len(out[i].Titles) == made
	}
	return out
}

func filter(all []Entry, what func(Entry) bool) []Entry {
	return slices.DeleteFunc(slices.Clone(all), func(e Entry) bool { return !what(e) })
}

// Figures are the report in a few words.
func (r Report) Figures() []string {
	out := []string{reorder.Count(len(r.Titles), "title")}
	for _, c := range []struct {
		state State
		says  string
	}{{Done, "made this time"}, {Complete, "already complete"}, {Failed, "failed"}, {Waiting, "not reached"}} {
		if n := r.Count(c.state); n > 0 {
			out = append(out, fmt.Sprintf("%d %s", n, c.says))
		}
	}
	return out
}

// Sheets is how many sheets of paper the shelf takes.
func (r Report) Sheets() int {
	n := 0
	for _, p := range r.Papers {
		n += p.Sheets
	}
	return n
}

// runSheet is the address of a title's run sheet, seen from the report.
func runSheet(e Entry) template.URL {
	path := e.Folder + "/" + output.RunSheetFile
	if filepath.IsAbs(filepath.FromSlash(e.Folder)) {
		return template.URL((&url.URL{Scheme: "file", Path: "/" + strings.TrimPrefix(path, "/")}).String())
	}
	// The dot keeps a colon in a name from being read as a scheme.
	return template.URL("./" + (&url.URL{Path: path}).EscapedPath())
}

func duration(seconds float64) time.Duration { return time.Duration(seconds * float64(time.Second)) }

// TookText is how long something took, as a person says it.
func TookText(seconds float64) string {
	switch d := duration(seconds); {
	case d < 100*time.Millisecond:
		return fmt.Sprintf("%.2f s", d.Seconds())
	case d < 10*time.Second && d%time.Second != 0:
		return fmt.Sprintf("%.1f s", d.Seconds())
	case d < 2*time.Minute:
		return fmt.Sprintf("%.0f s", d.Seconds())
	case d < 2*time.Hour:
		return fmt.Sprintf("%.0f min", d.Minutes())
	default:
		return fmt.Sprintf("%.1f h", d.Hours())
	}
}
