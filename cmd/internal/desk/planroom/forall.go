package planroom

import (
	_ "embed"
	"maps"
	"net/url"
	"slices"

	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/options"
)

// ForAllTemplate defines the template "for all", which is set with what [ForAll] returns: the controls
// of all choices, to stand in a form; and "plain", for one of them.
//
//go:embed forall.html
var ForAllTemplate string

// ForAll is all choices as they are asked for several books at once: as lists and boxes, without drawings.
// typed is what was typed so far, wrong why some of it is refused.
func ForAll(d *page.Desk, typed map[string]string, wrong map[string]error) any {
	s := &room{Desk: d}
	var out []shownGroup
	for _, g := range groups {
		shown := shownGroup{ID: g.ID, Title: g.Title}
		for _, c := range g.Choices {
			k := control{choice: s.askForAll(c), Value: typed[c.Key], None: "as each book says"}
			if k.Value != "" {
				shown.Chosen++
			}
			if k.Kind == list && k.Value != "" && !slices.ContainsFunc(k.Values, func(v value) bool { return v.Value == k.Value }) {
				k.Other, k.Value = k.Value, ""
			}
			k.Wrong = s.Explain(wrong[c.Key])
			shown.Open = shown.Open || k.Wrong != ""
			shown.Controls = append(shown.Controls, k)
		}
		out = append(out, shown)
	}
	return out
}

// askForAll is a choice as it is asked for several books: as a list or a box.
func (s *room) askForAll(c choice) choice {
	switch c.Kind {
	case shapes:
		c.Kind = list
	case tick:
		c.Kind, c.Values = list, []value{{"true", "yes"}}
	case marks:
		c.Kind, c.Values = list, []value{{options.UsualMarks.String(), "all"}, {"none", "none"}}
		c.Another = "Some of them, such as fold,collation,letter"
	}
	if c.Key == "printer" {
		c.Values = s.printers()
	}
	return c
}

// ReadForAll reads the choices of such a form. What is refused by its text alone is in wrong.
func ReadForAll(form url.Values) (typed map[string]string, wrong map[string]error) {
	typed, wrong = readChoices(options.KeysWithoutFiles(), func(key string) string { return typedText(form, key) })
	maps.DeleteFunc(typed, func(_, text string) bool { return text == "" })
	return typed, wrong
}

// PaperWords are a paper as a page says it, by its name of PWG 5101.1.
func PaperWords(name string) string { return choice{Key: "paper"}.words(name) }
