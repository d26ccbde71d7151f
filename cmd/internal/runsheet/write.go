package runsheet

import (
	_ "embed"
	"html/template"
	"io"

	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
)

//go:embed page.html
var pageHTML string

var pageTemplate = template.Must(template.New("page").Parse(pageHTML))

// Write writes the run sheet as one self-contained HTML page. The errors are
// those of w.
func Write(w io.Writer, j Job) error {
	sheets := 0
	for _, r := range j.Runs {
		sheets += r.Sheets
	}
	return write(w, page{
		Job: j,
		Figures: []string{
			reorder.Count(j.Pages, "page"),
			reorder.Count(sheets, "sheet") + " of " + paperWord(j.Paper),
			reorder.Count(len(j.Gatherings), "gathering"),
			reorder.Count(len(j.Runs), "run"),
		},
		Parts: told(Parts(j)),
	})
}

// page is what the template sets.
type page struct {
	Job
	Kind    string // of the page; empty: a run sheet
	Figures []string
	Parts   []toldPart
}

// write sets a page. Names in it are of the source's maker, and must not turn round or hide what stands beside them.
func write(w io.Writer, p page) error { return pageTemplate.Execute(visible.NewWriter(w), p) }

// DrawingStyle is what the page says of how drawings look.
func (page) DrawingStyle() template.CSS { return drawing.Style }
