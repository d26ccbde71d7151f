package runsheet

import (
	"html/template"
	"strings"
	"unicode/utf8"
)

// setText is a text as it is set on the page. The template would ask every
// span by reflection what it is, which took a sixth of the time of a small title.
type setText struct {
	Lead       template.HTML
	List, More []template.HTML
}

func set(t Text) setText {
	out := setText{Lead: t.Lead.html(), List: make([]template.HTML, len(t.List)), More: make([]template.HTML, len(t.More))}
	for i, s := range t.List {
		out.List[i] = s.html()
	}
	for i, s := range t.More {
		out.More[i] = s.html()
	}
	return out
}

// html is the sentence as it is set on the page.
func (s Sentence) html() template.HTML {
	var b strings.Builder
	for _, span := range s {
		text := template.HTMLEscapeString(span.Text)
		switch span.Mark {
		case Literal:
			b.WriteString(`<b class="literal`)
			if span.unbroken() {
				b.WriteString(` unbroken`)
			}
			b.WriteString(`">`)
			if span.isCommand() {
				text = inWords(span.Text)
			}
			b.WriteString(text + `</b>`)
		case Value:
			b.WriteString(`<b>` + text + `</b>`)
		case Word:
			b.WriteString(`<i>` + text + `</i>`)
		case Link:
			b.WriteString(`<a href="#` + template.HTMLEscapeString(span.To) + `">` + text + `</a>`)
		default:
			b.WriteString(text)
		}
	}
	return template.HTML(b.String())
}

// unbroken tells whether the span is short enough to keep in one line of a phone.
func (s Span) unbroken() bool { return utf8.RuneCountInString(s.Text) <= 26 }

// isCommand tells whether the span is a line for a terminal.
func (s Span) isCommand() bool { return s.Mark == Literal && strings.Contains(s.Text, " --") }

// inWords sets a line for a terminal so that it breaks at its spaces only.
func inWords(text string) string {
	words := strings.Fields(text)
	for i, w := range words {
		words[i] = `<span class="unbroken">` + template.HTMLEscapeString(w) + `</span>`
	}
	return strings.Join(words, " ")
}
