package runsheet

import (
	"html/template"
	"slices"
	"strings"
	"sync"

	"foldwright/cmd/internal/visible"
)

// Screen is one step of a run sheet, as it is shown alone, or the notes of a stage that has no steps.
type Screen struct {
	Part, Stage string // the headings it stands under
	Anchor      string // of the part
	Notes       []Note // what to know before the step
	Step        Step   // nil: there are notes only
	Drawers     []Stage
}

// Anchors of parts that whoever shows screens has to know.
const MakeAnchor, CheckAnchor, LostAnchor = "make", "check", "lost"

// Screens are the steps of a job as somebody goes through them who sees one at a time:
// every run has steps of its own. check tells whether the check sheet is printed first. What
// is only for those who are sent there is left out, and so are the figures for the bench.
func Screens(j Job, check bool) []Screen {
	j.eachRun = true
	parts := Parts(j)
	at := slices.IndexFunc(parts, func(p Part) bool { return p.Anchor == CheckAnchor })
	if at >= 0 {
		sheet := parts[at]
		sheet.Shut = false
		parts = slices.Delete(parts, at, at+1)
		if first := slices.IndexFunc(parts, Part.isRun); check && first >= 0 {
			parts = slices.Insert(parts, first, sheet)
		}
	}
	return ScreensOf(parts)
}

// isRun tells whether the part prints a run.
func (p Part) isRun() bool { return len(p.Anchor) > 4 && p.Anchor[:4] == "run-" }

// ScreensOf are the steps of parts, but for those that are shut.
func ScreensOf(parts []Part) (out []Screen) {
	for _, p := range parts {
		if p.Shut || p.Anchor == benchAnchor {
			continue
		}
		for _, s := range p.Stages {
			one := Screen{Part: p.Heading, Stage: s.Heading, Anchor: p.Anchor, Notes: s.Notes, Drawers: s.Drawers}
			if len(s.Steps) == 0 {
				out = append(out, one)
			}
			for _, one.Step = range s.Steps {
				out = append(out, one)
				one.Notes, one.Drawers = nil, nil
			}
		}
	}
	return out
}

// fragmentTemplate sets stages for another page, each below a heading of the third level. It has no boxes to
// tick: nobody would keep them.
var fragmentTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.Must(template.New("page").Parse(pageHTML)).New("fragment").Parse(fragmentHTML))
})

const fragmentHTML = `
{{- range .}}
<div class="work">
<h3>{{.Heading}}</h3>
{{- range .Notes}}{{template "note" .}}{{end}}
{{- range .Steps}}
<div class="step">
<div>{{template "told" .}}{{template "more" .}}</div>
{{- with .Drawing}}
<div class="drawn">{{.}}</div>
{{- end}}
</div>
{{- end}}
</div>
{{- end}}`

// Fragment is stages as a part of another HTML page, which holds drawing.Style; the ids of the drawings are
// d1 and so on.
func Fragment(stages []Stage) (template.HTML, error) {
	t := &teller{shown: map[string]bool{}, told: map[string]bool{}}
	var texts []stageText
	for _, s := range stages {
		texts = append(texts, t.stage(s, false))
	}
	var out strings.Builder
	err := fragmentTemplate().ExecuteTemplate(visible.NewWriter(&out), "fragment", texts)
	return template.HTML(out.String()), err
}
