package benchroom

import (
	"fmt"
	"html/template"
	"maps"
	"net/http"
	"os"
	"path/filepath"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/measure"
	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/sheets/benchsheet"
)

// figures is what follows from what was typed.
type figures struct {
	sheets []binding.Sheet // of one volume; empty: err says why
	wrong  wrongs
	err    error
}

// figures works out the figures. What the engine refuses of what was typed is left out, so that the other figures
// are there all the same.
func (s *room) figures(at place) (f figures) {
	left := maps.Clone(at.typed)
	f.wrong = wrongs{}
	for {
		asked, wrong := read(left, at.only())
		for key, err := range wrong {
			f.wrong[key] = err
			delete(left, key)
		}
		f.sheets, f.err = asked.Sheets(at.book.Job(), at.made, s.Words)
		keys := boxesBlamed(f.err, left)
		if f.err == nil || len(keys) == 0 {
			return f
		}
		f.wrong[keys[len(keys)-1]] = f.err
		for _, key := range keys {
			delete(left, key)
		}
	}
}

// files is bench sheet and piercing guide of a place.
func (s *room) files(at place) measure.Files {
	return measure.Files{Folder: at.book.Job(), Made: at.made, Volume: at.only(), Style: s.Words, Replace: true}
}

// body is the page.
type body struct {
	Address            string
	Prepared, Outdated bool
	Volume             int
	Volumes            []volume // empty: the book is one
	Units              binding.Units
	Groups             []shownGroup
	Sheet              *shownSheet // nil: there are no figures
	Files              []file
	Stale              bool // the files are of other figures
}

type volume struct {
	Number  int
	Address string
	On      bool
}

type file struct{ Name, Label, Address string }

// shownSheet is the figures as they are shown.
type shownSheet struct {
	Headline, AfterHeading string
	Partly                 bool // what is wrong is left out
	Before, After          []shownFigure
	Heads                  [2]string // of the stations
	Stations               []measure.Station
	Notes                  []string
	Advice                 []string
	Drawings               []shownDrawing
	Order                  []benchsheet.Work
	Sewing                 template.HTML
}

type shownFigure struct{ Name, Value, Why string }

type shownDrawing struct {
	Heading string
	SVG     template.HTML
}

// showBench shows the bench; refused is why something was not done.
func (s *room) showBench(w http.ResponseWriter, at place, refused error) error {
	v := page.View{Title: at.book.Name, Book: &at.book, At: "bench"}
	show := body{Address: at.address(), Prepared: at.book.IsPrepared(), Outdated: at.book.IsOutdated(s.Setting()), Volume: at.volume}
	var f figures
	switch {
	case at.damage != nil:
		f.err, show.Outdated = at.damage, false
	case show.Prepared:
		show.Units = unitsOf(at)
		f = s.figures(at)
		show.Groups = s.controls(at, f)
		show.Volumes = volumesOf(at)
	}
	if len(f.sheets) > 0 {
		sheet, err := s.shownSheet(at, f)
		if err != nil {
			return err
		}
		show.Sheet = &sheet
		show.Files, show.Stale = s.filesOf(at, f.sheets)
	}
	if refused == nil {
		refused = f.err
	}
	s.Notify(&v, refused)
	v.Body = show
	return s.Show(w, benchPage, v)
}

// unitsOf is the units in which boxes and figures are.
func unitsOf(at place) binding.Units {
	var u binding.Units
	if u.UnmarshalText([]byte(at.typed[keyUnits])) == nil {
		return u
	}
	return measure.UnitsOf(at.made)
}

func volumesOf(at place) (out []volume) {
	for n := range at.volumes {
		other := at
		other.volume = n + 1
		out = append(out, volume{n + 1, other.address(), n+1 == at.volume})
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// filesOf is the files that have been made, and whether they are of other figures.
func (s *room) filesOf(at place, sheets []binding.Sheet) (out []file, stale bool) {
	dir := at.book.Bench(at.only())
	for _, f := range []file{{Name: benchsheet.SheetFile, Label: "Save the bench sheet"}, {Name: benchsheet.GuideFile, Label: "Save the piercing guide"}} {
		if _, err := os.Stat(filepath.Join(dir, f.Name)); err == nil {
			f.Address = strings.Replace(at.address(), "/bench", "/bench/files/"+f.Name, 1)
			out = append(out, f)
		}
	}
	return out, len(out) > 0 && !s.files(at).Holds(dir, sheets)
}

func (s *room) shownSheet(at place, f figures) (out shownSheet, err error) {
	sheet := f.sheets[0]
	out = shownSheet{
		Headline: page.Capitalize(sheet.Headline()) + ".", AfterHeading: page.Capitalize(measure.AfterHeading(sheet)), Partly: len(f.wrong) > 0,
		Before: s.list(sheet.Before), After: s.list(sheet.After), Stations: measure.StationRows(sheet),
		Order: benchsheet.Order(sheet.Structure),
	}
	out.Heads[0], out.Heads[1] = measure.StationHeads(sheet)
	for _, n := range sheet.Stations.Notes {
		out.Notes = append(out.Notes, page.Capitalize(n)+".")
	}
	for _, a := range sheet.Advice {
		out.Advice = append(out.Advice, page.Capitalize(a)+".")
	}
	for i, d := range []drawing.Drawing{measure.CoverOf(sheet), measure.BlockOf(sheet), measure.StationsOf(sheet)} {
		svg := drawing.Append(nil, d, fmt.Sprintf("scale%d", i+1))
		title, _ := d.Describe()
		out.Drawings = append(out.Drawings, shownDrawing{title, template.HTML(svg)})
	}
	out.Sewing, err = runsheet.Fragment(measure.Sewing(at.made, sheet, at.volume))
	return out, err
}

func (s *room) list(all []binding.Figure) (out []shownFigure) {
	for _, g := range all {
		out = append(out, shownFigure{g.Name, g.Value, g.Why(s.Words)})
	}
	return out
}

// shownGroup is a group with its controls.
type shownGroup struct {
	Title    string
	Controls []control
}

// control is a box with what was typed into it.
type control struct {
	box
	Value    string
	Unit     string
	Options  []option
	Empty    string // what holds while it is empty
	Wrong    string // what is refused
	Question string // what may be a slip
}

type option struct {
	Value, Label string
	On           bool
}

// Tells are the ids of what is told of the control.
func (c control) Tells() string {
	var ids []string
	for _, t := range []struct{ text, id string }{{c.Wrong, "wrong"}, {c.Question, "question"}, {c.Help, "help"}, {c.Empty, "empty"}} {
		if t.text != "" {
			ids = append(ids, t.id+"-"+c.Key)
		}
	}
	return strings.Join(ids, " ")
}

func (s *room) controls(at place, f figures) (out []shownGroup) {
	u := unitsOf(at)
	asked := map[string]string{}
	if len(f.sheets) > 0 {
		for _, q := range f.sheets[0].Questions {
			asked[q.Option] = page.Capitalize(q.Text)
		}
	}
	for _, g := range groups {
		shown := shownGroup{Title: g.Title}
		for _, b := range g.Boxes {
			c := control{box: b, Value: at.typed[b.Key]}
			if b.Kind == length {
				c.Value, c.Unit = withoutUnit(c.Value, u), u.String()
			}
			if err := f.wrong[b.Key]; err != nil {
				c.Wrong = s.Explain(err)
			}
			c.Question, asked[b.Option] = asked[b.Option], ""
			c.Options = optionsOf(b.Key, at, u)
			if c.Value == "" && len(f.sheets) > 0 {
				c.Empty = emptyText(b.Key, f.sheets[0])
			}
			shown.Controls = append(shown.Controls, c)
		}
		out = append(out, shown)
	}
	return out
}

// optionsOf is the values of a list; the first says that nothing was chosen.
func optionsOf(key string, at place, u binding.Units) (out []option) {
	chosen := at.typed[key]
	switch key {
	case keyStructure:
		title := at.made.Structure.Title
		if title == "" {
			title = titleOf(structure.Usual)
		}
		out = append(out, option{"", "as prepared: " + title, chosen == ""})
		for _, name := range structure.Names() {
			out = append(out, option{name, titleOf(name), chosen == name})
		}
	case keyUnits:
		words := map[binding.Units]string{binding.MM: "in millimetres", binding.Inches: "in inches"}
		out = append(out, option{"", "as for this book: " + words[measure.UnitsOf(at.made)], chosen == ""})
		for _, u := range []binding.Units{binding.MM, binding.Inches} {
			out = append(out, option{u.String(), words[u], chosen == u.String()})
		}
	}
	return out
}

// titleOf is what a built-in way of binding is called.
func titleOf(name string) string {
	s, err := structure.Find(name)
	if err != nil {
		return name
	}
	return s.Title
}

// emptyText is what holds while a box is empty.
func emptyText(key string, sheet binding.Sheet) string {
	u := sheet.Units
	estimate := func(r binding.Range) string {
		if r.IsExact() {
			return "If empty: " + u.Length(r) + "."
		}
		return "If empty: " + u.Length(r) + ", an estimate."
	}
	s := sheet.Structure
	leaf := sheet.Book.Bind.TurnToSide(sheet.Book.Leaf) // as its pages are read
	switch key {
	case "supports":
		if n := len(sheet.Stations.Supports); n > 0 {
			return fmt.Sprintf("If empty: %d.", n)
		}
		return "If empty: as many as suit the book."
	case keyStack:
		return fmt.Sprintf("If empty: one leaf of %s, %s thick, an estimate.", sheet.Book.CaliperOf, u.Length(binding.Range{Least: sheet.Book.Caliper.Least, Most: sheet.Book.Caliper.Most}))
	case "thread":
		return estimate(s.Thread)
	case "block-thickness":
		return estimate(sheet.Block)
	case keyWidth:
		return "If empty: " + u.Length(binding.Exactly(leaf.W)) + ", as planned."
	case keyHeight:
		return "If empty: " + u.Length(binding.Exactly(leaf.H)) + ", as planned."
	case "spine":
		return estimate(sheet.SpineOver)
	case "board":
		if s.Cover == binding.Paper {
			return "This way of binding has no boards."
		}
		return estimate(s.Board)
	}
	return ""
}
