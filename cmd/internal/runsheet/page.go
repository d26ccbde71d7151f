package runsheet

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/pagestyle"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
	"foldwright/reorder/lists"
)

//go:embed page.html
var pageHTML string

var pageTemplate = sync.OnceValue(func() *template.Template { return template.Must(template.New("page").Parse(pageHTML)) })

// Write writes the run sheet as one self-contained HTML page. The errors are
// those of w.
func Write(w io.Writer, j Job) error {
	return write(w, page{Job: j, Figures: j.figures(), Parts: tell(Parts(j))})
}

// figures is the title line: what the book is made of.
func (j Job) figures() []string {
	pages := reorder.Count(j.Pages, "page")
	if j.Copies > 1 {
		pages = fmt.Sprintf("%d copies of %s", j.Copies, pages)
	}
	if j.Blanks > 0 {
		pages += fmt.Sprintf(", %d blank added", j.Blanks)
	}
	sheets := reorder.Count(j.sheets(), "sheet") + " of " + j.Paper.Word()
	if ready := j.sheetsToLayReady(); ready > 0 {
		sheets += fmt.Sprintf(": lay %d ready", ready)
	}
	if j.Plates != nil {
		return []string{pages, sheets, fmt.Sprintf("%s for %s", j.Plates.Name, j.Plates.Book)}
	}
	out := []string{pages, sheets, "gatherings: " + gatheringSizes(j.Form, j.Gatherings)}
	for _, in := range j.Inserts {
		out = append(out, in.Name)
	}
	if len(j.Volumes) > 1 {
		out = append(out, reorder.Count(len(j.Volumes), "volume"))
	}
	return out
}

// page is what the template sets.
type page struct {
	Job
	Kind    string // of the page; empty: a run sheet
	Figures []string
	Parts   []partText
}

// IsFirst tells whether all that is behind taps is printed.
func (p page) IsFirst() bool { return p.isCautious() || p.Program == Program{} }

// PageStyle is how all pages of the program look.
func (page) PageStyle() template.CSS { return pagestyle.CSS() }

// DrawingStyle is what the page says of how drawings look.
func (page) DrawingStyle() template.CSS { return template.CSS(drawing.Style) }

// partText is a part whose notes and steps have been put into words.
type partText struct {
	Part
	Stages []stageText
}

type stageText struct {
	Stage
	Number  int  // of a stage to be ticked off, from 1 on the page
	Shut    bool // it is behind a tap: nothing in it is once more
	Notes   []stepText
	Steps   []stepText
	Drawers []stageText
}

// HasMore tells whether more is said of a step behind a tap.
func (s stageText) HasMore() bool {
	return !s.Shut && slices.ContainsFunc(s.Steps, func(t stepText) bool { return len(t.More) > 0 })
}

// stepText is a text as it is set.
type stepText struct {
	Text
	Drawing template.HTML
	drawn   drawing.Drawing
}

// teller puts parts into words. It explains a trade word where it first stands, and
// once more where it is first shown without a tap.
type teller struct {
	shown, told map[string]bool
	drawings    int
	stages      int
}

func tell(parts []Part) []partText {
	t := &teller{shown: map[string]bool{}, told: map[string]bool{}}
	out := make([]partText, len(parts))
	for i, p := range parts {
		out[i].Part = p
		out[i].Stages = lists.Map(p.Stages, func(s Stage) stageText { return t.stage(s, p.Shut) })
	}
	return out
}

func (t *teller) stage(s Stage, shut bool) stageText {
	out := stageText{Stage: s, Shut: shut}
	if len(s.Steps) > 0 && !shut {
		t.stages++
		out.Number = t.stages
	}
	out.Notes = lists.Map(s.Notes, func(n Note) stepText { return t.text(n, shut) })
	out.Steps = lists.Map(s.Steps, func(step Step) stepText { return t.text(step, shut) })
	out.Drawers = lists.Map(s.Drawers, func(d Stage) stageText { return t.stage(d, shut || !d.Open) })
	return out
}

// text is a note or a step in words; shut: it is all behind a tap.
func (t *teller) text(n Note, shut bool) stepText {
	out := stepText{Text: n.Text()}
	out.Lead, out.List = t.explain(out.Lead, shut), t.explainAll(out.List, shut)
	out.Table = slices.Clone(out.Table)
	for i, row := range out.Table {
		out.Table[i] = t.explainAll(row, shut)
	}
	out.Else, out.More = t.explain(out.Else, shut), t.explainAll(out.More, true)
	if d := DrawingOf(n); d != nil {
		t.drawings++
		out.drawn = d
		out.Drawing = template.HTML(drawing.Append(nil, d, fmt.Sprintf("d%d", t.drawings)))
	}
	return out
}

func (t *teller) explainAll(list []Sentence, shut bool) (out []Sentence) {
	for _, s := range list {
		out = append(out, t.explain(s, shut))
	}
	return out
}

// explain takes the meanings from words that were explained before.
func (t *teller) explain(s Sentence, shut bool) Sentence {
	known := t.shown
	if shut {
		known = t.told
	}
	s = slices.Clone(s)
	for i, span := range s {
		if span.Mark != Word {
			continue
		}
		if known[span.To] {
			s[i].Says = ""
		}
		known[span.To], t.told[span.To] = true, true
	}
	return s
}

// HTML is the sentence as it is set on the page. The template would ask every
// span by reflection what it is, which took a sixth of the time of a small title.
func (s Sentence) HTML() template.HTML {
	var b strings.Builder
	for _, span := range s {
		text := template.HTMLEscapeString(span.Text)
		switch {
		case span.Mark == Literal:
			b.WriteString(`<b class="literal`)
			if utf8.RuneCountInString(span.Text) <= 26 { // it fits into one line of a phone
				b.WriteString(` unbroken`)
			}
			b.WriteString(`">`)
			if strings.Contains(span.Text, " --") { // a line for a terminal
				text = keepWordsWhole(span.Text)
			}
			b.WriteString(text + `</b>`)
		case span.Mark == Word && span.Says != "":
			b.WriteString(`<details class="word"><summary>` + text + `</summary><span> (` + template.HTMLEscapeString(span.Says) + `)</span></details>`)
		case span.Mark == Link:
			to := "#" + span.To
			if strings.HasSuffix(span.To, ".html") { // another page
				to = "./" + span.To
			}
			b.WriteString(`<a href="` + template.HTMLEscapeString(to) + `">` + text + `</a>`)
		default:
			b.WriteString(text)
		}
	}
	return template.HTML(b.String())
}

// keepWordsWhole sets a line for a terminal so that it breaks at its spaces only.
func keepWordsWhole(text string) string {
	words := strings.Fields(text)
	for i, w := range words {
		words[i] = `<span class="unbroken">` + template.HTMLEscapeString(w) + `</span>`
	}
	return strings.Join(words, " ")
}

// Lines is the page as plain text for a printed version, a paragraph each.
func Lines(parts []Part) (out []Line) {
	for _, p := range tell(parts) {
		out = append(out, Line{Heading: 1, Text: p.Heading})
		for _, s := range p.Stages {
			out = append(out, s.lines()...)
		}
	}
	return out
}

func (s stageText) lines() (out []Line) {
	if s.Heading != "" {
		out = append(out, Line{Heading: 2, Text: s.Heading})
	}
	for _, n := range s.Notes {
		out = append(out, n.lines("")...)
	}
	for i, step := range s.Steps {
		out = append(out, step.lines(fmt.Sprint(i+1))...)
	}
	for _, d := range s.Drawers {
		out = append(out, d.lines()...)
	}
	return out
}

// Line is a paragraph of a printed page.
type Line struct {
	Heading int    // 1 of a part, 2 of a stage, 0 of none
	Mark    string // before it: a step's number
	Inset   bool
	Bold    bool
	Text    string
	Drawing drawing.Drawing // of the step that begins here; nil: it has none
}

func (t stepText) lines(mark string) []Line {
	out := []Line{{Mark: mark, Bold: mark != "", Text: plainText(t.Lead), Drawing: t.drawn}}
	list := slices.Clone(t.List)
	for _, row := range t.Table[min(1, len(t.Table)):] {
		var line Sentence
		for i, cell := range row {
			if i > 0 {
				line = line.addPlain(", ")
			}
			line = append(line.addPlain(t.Table[0][i].String()+" "), cell...)
		}
		list = append(list, line)
	}
	for _, s := range list {
		out = append(out, Line{Inset: true, Mark: "\u2022", Text: plainText(s)})
	}
	for _, s := range append([]Sentence{t.Else}, t.More...) {
		if len(s) > 0 {
			out = append(out, Line{Inset: mark != "", Text: plainText(s)})
		}
	}
	for _, s := range append(t.sentences(), t.More...) {
		for _, span := range s {
			if span.Mark == Word && span.Says != "" {
				out = append(out, Line{Inset: true, Text: strings.ToUpper(span.To[:1]) + span.To[1:] + ": " + span.Says + "."})
			}
		}
	}
	return out
}

// plainText is a sentence without type of several kinds: headings that it refers to
// stand in quotes.
func plainText(s Sentence) string {
	var b strings.Builder
	for _, span := range s {
		if span.Mark == Link && span.Text != dialogLink.text {
			fmt.Fprintf(&b, "%q", span.Text)
		} else {
			b.WriteString(span.Text)
		}
	}
	return b.String()
}

// write sets a page. Names in it are of the source's maker, and must not turn round or hide what stands beside them.
func write(w io.Writer, p page) error { return pageTemplate().Execute(visible.NewWriter(w), p) }
