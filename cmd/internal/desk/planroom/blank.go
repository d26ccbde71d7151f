package planroom

import (
	"maps"
	"net/http"
	"slices"
	"strings"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/options"
	"foldwright/reorder/refusal"
)

// blankKeys are the choices that a blank book is begun with; the others follow on its page.
var blankKeys = []string{"blank", "ruling", "spacing", "numbers"}

// newBlank is the form of a blank book.
type newBlank struct {
	Open     bool
	Name     string
	Controls []control
}

// askBlank is the form with what was typed, and why some of it was not taken.
func (s *room) askBlank(name string, typed map[string]string, wrong map[string]error) newBlank {
	out := newBlank{Open: len(typed) > 0, Name: name}
	for _, key := range blankKeys {
		c, _ := choiceOf(key)
		k := control{choice: blankWords(c), Value: typed[key], None: "none"}
		k.Key = "new-" + key // of its elements
		if key == "blank" && typed == nil {
			k.Value = "96"
		}
		if key == "ruling" {
			k.None = "nothing"
		}
		k.Wrong = s.Explain(wrong[key])
		out.Controls = append(out.Controls, k)
	}
	return out
}

// blankWords is a choice as it is asked for a book that has no PDF.
func blankWords(c choice) choice {
	switch c.Key {
	case "blank":
		c.Label, c.Help = "Number of pages", "A leaf has two: 96 pages are 48 leaves."
	case "ruling":
		c.Values = slices.DeleteFunc(slices.Clone(c.Values), func(v value) bool { return v.Value == options.RulingPlain.String() })
	case "spacing":
		c.Help += " Only if something is printed on the pages."
	case "numbers":
		c.Help = "At the foot of the pages."
	case "numbers-skip":
		c.Help = "Such as 1-4."
	}
	return c
}

// beginBlank begins a book that has no PDF.
func (s *room) beginBlank(w http.ResponseWriter, r *http.Request) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	typed, wrong := readChoices(blankKeys, func(key string) string { return strings.TrimSpace(r.PostForm.Get("new-" + key)) })
	if typed["blank"] == "" || typed["blank"] == "0" {
		wrong["blank"] = errNoPages
	}
	name := clean(r.PostForm.Get("name"))
	asked := s.askBlank(name, typed, wrong)
	if len(wrong) > 0 {
		return s.showSome(w, "", nil, asked)
	}
	maps.DeleteFunc(typed, func(_, text string) bool { return text == "" })
	if _, err := (library.Book{Choices: typed}).Resolve(s.Setting()); err != nil {
		return s.showSome(w, "", err, asked)
	}
	if name == "" {
		name = "Blank book"
	}
	a, err := s.Library.Begin()
	if err != nil {
		return err
	}
	a.Choices = typed
	b, err := a.Keep(name)
	if err != nil {
		return err
	}
	return page.Go(w, r, "/books/"+b.ID)
}

var errNoPages error = refusal.Use.New("a book without a PDF needs its number of pages").Advise("type a number, such as 96")

// keepBlank keeps the number of pages of a book that has no PDF, whatever is chosen.
func keepBlank(b library.Book, chosen map[string]string, wrong map[string]error, reset bool) {
	if !b.IsBlank() || chosen["blank"] != "" && chosen["blank"] != "0" {
		return
	}
	chosen["blank"] = b.Choices["blank"]
	if !reset {
		wrong["blank"] = errNoPages
	}
}

// groupsFor are the choices that a book has: without a PDF, those of its pages come first, and none of the PDF's.
func groupsFor(b library.Book) []group {
	if !b.IsBlank() {
		return groups
	}
	var out []group
	for _, g := range groups {
		var left []choice
		for _, c := range g.Choices {
			if !slices.Contains(options.OfSources, c.Key) {
				left = append(left, blankWords(c))
			}
		}
		g.Choices = left
		if g.ID == "blank" {
			g.Title = "The blank pages"
			out = slices.Insert(out, 0, g)
			continue
		}
		out = append(out, g)
	}
	return out
}
