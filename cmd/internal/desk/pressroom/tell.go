package pressroom

import (
	"html/template"
	"strings"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/runsheet"
)

// stepped is what the page shows of a screen.
type stepped struct {
	Way            way
	Part, Stage    string
	Notes          []told
	Step           *told
	Drawers        []drawer
	Save           []saved // files that the step prints
	Settings       *drawer
	At, Of, Moves  int
	First, Trouble bool
	Done           bool   // there is no further step
	Lost           string // sheets that have to be printed once more before what follows
	InPart         string // what is printed from files of its own
	Unmade         bool   // the steps cannot be shown
}

// told is a note or a step in words.
type told struct {
	runsheet.Text
	Lead, Else template.HTML
	List, More []template.HTML
	Rows       [][]template.HTML
	Head       []template.HTML
	Drawing    template.HTML
}

type drawer struct {
	Heading string
	Notes   []told
	Open    bool
}

type saved struct{ Name, From string }

// teller sets sentences on the pages of a book.
type teller struct{ runSheet string }

func tellerFor(b library.Book) teller { return teller{at(b) + "/run-sheet"} }

// html is a sentence whose links lead to the run sheet.
func (t teller) html(s runsheet.Sentence) template.HTML {
	return template.HTML(strings.ReplaceAll(string(s.HTML()), `href="#`, `href="`+t.runSheet+`#`))
}

func (t teller) all(list []runsheet.Sentence) (out []template.HTML) {
	for _, s := range list {
		out = append(out, t.html(s))
	}
	return out
}

func (t teller) tell(n runsheet.Note) told {
	text := n.Text()
	out := told{Text: text, Lead: t.html(text.Lead), List: t.all(text.List), More: t.all(text.More)}
	if len(text.Else) > 0 {
		out.Else = t.html(text.Else)
	}
	for i, row := range text.Table {
		if i == 0 {
			out.Head = t.all(row)
			continue
		}
		out.Rows = append(out.Rows, t.all(row))
	}
	if d := runsheet.DrawingOf(n); d != nil {
		out.Drawing = template.HTML(drawing.Append(nil, d, "step"))
	}
	return out
}

func (t teller) drawer(s runsheet.Stage) drawer {
	out := drawer{Heading: s.Heading, Open: s.Open}
	for _, n := range s.Notes {
		out.Notes = append(out.Notes, t.tell(n))
	}
	return out
}

// settings is the settings of the print dialog, one by one.
func (t teller) settings(j runsheet.Job) *drawer {
	s := runsheet.SettingsStage(j)
	out := drawer{Heading: s.Heading}
	for _, step := range s.Steps {
		out.Notes = append(out.Notes, t.tell(step))
	}
	for _, d := range s.Drawers {
		for _, n := range d.Notes {
			out.Notes = append(out.Notes, t.tell(n))
		}
	}
	return &out
}
