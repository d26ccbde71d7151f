package runsheet

import (
	"html/template"
	"slices"
	"strings"
	"sync"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/visible"
)

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

// SewingStages is how the gatherings of a job with its bench figures are pierced and sewn; a cover of paper
// is made there too, one with boards is not. It is nil where nothing is pierced.
func SewingStages(j Job) (stages []Stage) {
	for _, p := range sewPart(j) {
		stages = append(stages, p.Stages...)
	}
	if len(j.Bench) > 0 && j.Bench[0].Structure.Cover != binding.Paper {
		stages = slices.DeleteFunc(stages, func(s Stage) bool { return s.Heading == coverHeading })
	}
	return stages
}
