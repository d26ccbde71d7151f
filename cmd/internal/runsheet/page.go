package runsheet

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/pagestyle"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
)

//go:embed page.html
var pageHTML string

var pageTemplate = template.Must(template.New("page").Parse(pageHTML))

// Write writes the run sheet as one self-contained HTML page. The errors are
// those of w.
func Write(w io.Writer, j Job) error {
	return write(w, page{
		Job: j,
		Figures: []string{
			reorder.Count(j.Pages, "page"),
			reorder.Count(j.sheets(), "sheet") + " of " + j.Paper.Word(),
			reorder.Count(len(j.Gatherings), "gathering"),
			reorder.Count(len(j.Runs), "run"),
		},
		Parts: tell(Parts(j)),
	})
}

// page is what the template sets.
type page struct {
	Job
	Kind    string // of the page; empty: a run sheet
	Figures []string
	Parts   []partText
}

// PageStyle is how all pages of the program look.
func (page) PageStyle() template.CSS { return pagestyle.CSS() }

// DrawingStyle is what the page says of how drawings look.
func (page) DrawingStyle() template.CSS { return drawing.Style }

// partText is a part whose notes and steps have been put into words.
type partText struct {
	Part
	Stages []stageText
}

type stageText struct {
	Heading string
	Notes   []stepText
	Steps   []stepText
}

// stepText is a text with the trade words to be explained below it.
type stepText struct {
	Text
	Number   int // of a step within its part
	drawn    drawing.Drawing
	Drawing  template.HTML // of a step
	Meanings []meaning
}

type meaning struct{ Word, Says string }

// tell puts parts into words, numbers the steps of each and finds for every
// trade word the text in which it first stands.
func tell(parts []Part) []partText {
	known, drawings := map[string]bool{}, 0
	text := func(t Text) stepText {
		out := stepText{Text: t}
		for _, s := range slices.Concat([]Sentence{t.Lead}, t.List, t.More) {
			for _, span := range s {
				if span.Mark == Word && !known[span.To] {
					known[span.To] = true
					out.Meanings = append(out.Meanings, meaning{span.To, meanings[span.To]})
				}
			}
		}
		return out
	}
	out := make([]partText, len(parts))
	for i, p := range parts {
		out[i] = partText{Part: p}
		number := 0
		for _, s := range p.Stages {
			stage := stageText{Heading: s.Heading}
			for _, n := range s.Notes {
				stage.Notes = append(stage.Notes, text(n.Text()))
			}
			for _, step := range s.Steps {
				number++
				told := text(step.Text())
				told.Number, told.Drawing, told.drawn = number, draw(step, &drawings), DrawingOf(step)
				stage.Steps = append(stage.Steps, told)
			}
			out[i].Stages = append(out[i].Stages, stage)
		}
	}
	return out
}

// HTML is the sentence as it is set on the page. The template would ask every
// span by reflection what it is, which took a sixth of the time of a small title.
func (s Sentence) HTML() template.HTML {
	var b strings.Builder
	for _, span := range s {
		text := template.HTMLEscapeString(span.Text)
		switch span.Mark {
		case Literal:
			b.WriteString(`<b class="literal`)
			if utf8.RuneCountInString(span.Text) <= 26 { // it fits into one line of a phone
				b.WriteString(` unbroken`)
			}
			b.WriteString(`">`)
			if strings.Contains(span.Text, " --") { // a line for a terminal
				text = keepWordsWhole(span.Text)
			}
			b.WriteString(text + `</b>`)
		case Value:
			b.WriteString(`<b>` + text + `</b>`)
		case Word:
			b.WriteString(`<i>` + text + `</i>`)
		case Link:
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
			if s.Heading != "" {
				out = append(out, Line{Heading: 2, Text: s.Heading})
			}
			for _, n := range s.Notes {
				out = append(out, n.lines("")...)
			}
			for _, step := range s.Steps {
				out = append(out, step.lines(fmt.Sprintf("%d", step.Number))...)
			}
		}
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
	for _, s := range t.List {
		out = append(out, Line{Inset: true, Mark: "\u2022", Text: plainText(s)})
	}
	for _, s := range t.More {
		out = append(out, Line{Inset: mark != "", Text: plainText(s)})
	}
	for _, m := range t.Meanings {
		out = append(out, Line{Inset: true, Text: strings.ToUpper(m.Word[:1]) + m.Word[1:] + ": " + m.Says})
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
func write(w io.Writer, p page) error { return pageTemplate.Execute(visible.NewWriter(w), p) }
