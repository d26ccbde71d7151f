package planroom

import (
	"cmp"
	"fmt"
	"html/template"
	"net/url"
	"slices"
	"strings"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/options"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// control is a choice with what was chosen.
type control struct {
	choice
	Value   string // what was chosen or typed; empty: nothing
	Other   string // what was typed into the box for another value
	Follows string // what holds if nothing is chosen
	None    string // what the first value of a plain list says
	Wrong   string // what is wrong with what was typed
}

// option is a value that can be chosen.
type option struct {
	value
	ID    string
	On    bool
	Shape template.HTML
}

// Options are the values of a choice; the first says that nothing was chosen.
func (c control) Options() []option {
	out := []option{{value: value{"", "not chosen" + c.Follows}, ID: c.Key + "-none", On: c.Value == "" && c.Other == ""}}
	for _, v := range c.Values {
		out = append(out, option{v, c.Key + "-" + v.Value, c.Value == v.Value && c.Other == "", shape(c.Key, v.Value)})
	}
	return out
}

// Marks are the marks that can be printed.
func (c control) Marks() (out []option) {
	chosen := strings.Split(c.Value, ",")
	for _, v := range markWords {
		out = append(out, option{v, "marks-" + v.Value, slices.Contains(chosen, v.Value), ""})
	}
	return out
}

// Signs are the ways of naming gatherings.
func (c control) Signs() (out []option) {
	chosen := strings.Split(c.Value, ",")
	none := !slices.Contains(chosen, "letter") && !slices.Contains(chosen, "number")
	for _, v := range signWords {
		out = append(out, option{v, "sign-" + v.Value, slices.Contains(chosen, v.Value) || v.Value == "" && none, ""})
	}
	return out
}

// shownGroup is a group with its controls.
type shownGroup struct {
	ID, Title string
	Open      bool
	Chosen    int
	Controls  []control
}

// controls are all choices with what was chosen: typed is what was not taken, wrong why.
func (s *room) controls(b library.Book, typed map[string]string, wrong map[string]error) (out []shownGroup) {
	resolved, err := b.Resolve(s.Setting())
	for i, g := range groupsFor(b) {
		shown := shownGroup{ID: g.ID, Title: g.Title, Open: i == 0}
		for _, c := range g.Choices {
			switch c.Key {
			case "printer":
				c.Values = s.printers()
			case "paper":
				c.Values = slices.Concat(s.ownPapers(), c.Values)
			}
			k := control{choice: c, Value: b.Choices[c.Key]}
			if text, ok := typed[c.Key]; ok {
				k.Value = text
			}
			if k.Value != "" {
				shown.Chosen++
			} else if err == nil {
				if text := resolved.Options.Value(c.Key); text != "" && c.Kind != tick {
					k.Follows = ": " + c.words(text)
				}
				if c.Key == "paper" {
					k.Follows += ", " + resolved.PaperBecause
				}
			}
			if c.Kind == marks && k.Value == "" {
				k.Value = options.UsualMarks.String()
			}
			if known := slices.ContainsFunc(c.Values, func(v value) bool { return v.Value == k.Value }); !known && k.Value != "" {
				if c.Another != "" {
					k.Other, k.Value = k.Value, ""
				} else if c.Kind == list {
					k.Values = append(slices.Clone(c.Values), value{k.Value, k.Value})
				}
			}
			k.Wrong = s.Explain(wrong[c.Key])
			shown.Controls = append(shown.Controls, k)
		}
		out = append(out, shown)
	}
	return out
}

// printers are the profiles; a store that cannot be read has none.
func (s *room) printers() (out []value) {
	names, _ := s.Profiles.Names()
	for _, name := range names {
		out = append(out, value{name, PrinterWords(name)})
	}
	return out
}

// ownPapers are the papers that the person keeps; one that cannot be read is not offered.
func (s *room) ownPapers() (out []value) {
	names, _ := s.Profiles.Papers()
	for _, name := range names {
		if p, err := s.Profiles.FindPaper(name); err == nil {
			stock, _ := p.Stock() // a paper that was read has one
			out = append(out, value{name, fmt.Sprintf("your %s, %s", name, stock.Word())})
		}
	}
	return out
}

// readForm reads all choices of a form. What each text says is refused by is in wrong.
func readForm(form url.Values) (typed map[string]string, wrong map[string]error) {
	return readChoices(options.KeysWithoutFiles(), func(key string) string {
		if c, _ := choiceOf(key); c.Kind == marks {
			return readMarks(form)
		}
		return typedText(form, key)
	})
}

// typedText is what a form says of a choice: in the box for another value, else among the values.
func typedText(form url.Values, key string) string {
	return cmp.Or(strings.TrimSpace(form.Get(key+"-other")), strings.TrimSpace(form.Get(key)))
}

// readChoices reads choices, each from its text.
func readChoices(keys []string, textOf func(key string) string) (typed map[string]string, wrong map[string]error) {
	typed, wrong = map[string]string{}, map[string]error{}
	for _, key := range keys {
		typed[key] = textOf(key)
		if typed[key] == "" {
			continue
		}
		if err := new(options.Options).Set(phrase.Setting{Key: key, Value: typed[key]}); err != nil {
			wrong[key] = err
		}
	}
	return typed, wrong
}

// readMarks is what the boxes for marks say; empty if they stand as usual.
func readMarks(form url.Values) string {
	list := slices.Clone(form["marks"])
	if sign := form.Get("sign"); sign != "" {
		list = append(list, sign)
	}
	switch text := strings.Join(list, ","); text {
	case "":
		return "none"
	case options.UsualMarks.String():
		return ""
	default:
		return text
	}
}

// withSettings is choices with some more, see [withSetting].
func withSettings(choices map[string]string, settings url.Values) (_ map[string]string, err error) {
	for key := range settings {
		if choices, err = withSetting(choices, phrase.Setting{Key: key, Value: settings.Get(key)}); err != nil {
			return nil, err
		}
	}
	return choices, nil
}

// withSetting is choices with one more, as a cure sets it: pages that are left out are added to those left out before.
func withSetting(choices map[string]string, s phrase.Setting) (map[string]string, error) {
	if !slices.Contains(options.KeysWithoutFiles(), s.Key) {
		return nil, refusal.Use.New("%s cannot be chosen on this page", s)
	}
	out := map[string]string{}
	for key, text := range choices {
		out[key] = text
	}
	if before := out[s.Key]; s.Key == "drop-pages" && before != "" {
		var old, more options.Pages
		if err := old.UnmarshalText([]byte(before)); err != nil {
			return nil, err
		}
		if err := more.UnmarshalText([]byte(s.Value)); err != nil {
			return nil, err
		}
		all := append(old, more...)
		slices.SortFunc(all, func(a, b options.PageRange) int { return a.First - b.First })
		s.Value = all.String()
	}
	out[s.Key] = s.Value
	if s.Value == "0" && strings.HasPrefix(s.Key, "blanks-") {
		delete(out, s.Key)
	}
	return out, nil
}
