// Package phrase is sentences that name options and commands of the program as
// values. What a person is told is worded far below the place where it is shown:
// a [Setting] names an option by its key, a [Command] a command by its name, and
// whoever shows a [Sentence] writes both in a [Style]: a command line as flags,
// a page perhaps as buttons.
package phrase

import (
	"fmt"
	"strings"

	"foldwright/reorder/lists"
)

// Setting is an option by its key, which is that of worklists and of plan.json,
// and its value; without a value the option as such is meant.
type Setting struct{ Key, Value string }

// Set is an option, or a value of it.
func Set(key string, value ...any) Setting { return Setting{key, fmt.Sprint(value...)} }

// String is the setting as a worklist has it.
func (s Setting) String() string {
	if s.Value == "" {
		return "'" + s.Key + "'"
	}
	return fmt.Sprintf("'%s: %s'", s.Key, s.Value)
}

// In writes the setting in a style.
func (s Setting) In(style Style) string { return orPlain(style).Setting(s) }

// Command is a command of the program, what it is about, and its options.
type Command struct {
	Name      string
	Arguments []string
	Settings  []Setting
}

func (c Command) String() string {
	words := append([]string{"foldwright", c.Name}, c.Arguments...)
	for i, s := range c.Settings {
		words = append(words, []string{"with", "and"}[min(i, 1)], s.String())
	}
	return strings.Join(words, " ")
}

// In writes the command in a style.
func (c Command) In(style Style) string { return orPlain(style).Command(c) }

// Style is how settings and commands are written where a text is shown; nil is [Plain].
type Style interface {
	Setting(Setting) string
	Command(Command) string
}

// Plain is the style of texts that no one in particular shows, such as those of plan.json.
type Plain struct{}

func (Plain) Setting(s Setting) string { return s.String() }
func (Plain) Command(c Command) string { return c.String() }

func orPlain(style Style) Style {
	if style == nil {
		return Plain{}
	}
	return style
}

// Sentence is a text whose gaps are filled with values. The zero value says nothing.
type Sentence struct {
	plain  error // as [Plain] writes it; it wraps the errors among args
	format string
	args   []any
}

// New fills the gaps of a format of [fmt.Errorf].
func New(format string, args ...any) Sentence {
	return Sentence{fmt.Errorf(format, args...), format, args}
}

// Join names settings with a text between each two.
func Join(settings []Setting, between string) Sentence {
	gaps, args := make([]string, len(settings)), make([]any, len(settings))
	for i, s := range settings {
		gaps[i], args[i] = "%s", s
	}
	return New(strings.Join(gaps, between), args...)
}

// IsZero tells whether the sentence says nothing.
func (s Sentence) IsZero() bool { return s.plain == nil || s.plain.Error() == "" }

func (s Sentence) String() string { return s.In(nil) }

// Err is an error that says the same and wraps the errors among the values.
func (s Sentence) Err() error { return s.plain }

// MarshalText writes the sentence in the style [Plain].
func (s Sentence) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what a sentence says; what it named is only text then.
func (s *Sentence) UnmarshalText(text []byte) error {
	*s = New("%s", string(text))
	return nil
}

// In writes the sentence in a style.
func (s Sentence) In(style Style) string {
	if s.IsZero() {
		return ""
	}
	args := make([]any, len(s.args))
	for i, arg := range s.args {
		switch v := arg.(type) {
		case Setting:
			arg = v.In(style)
		case Command:
			arg = v.In(style)
		case Sentence:
			arg = v.In(style)
		case error:
			arg = written{Of(v, style)}
		}
		args[i] = arg
	}
	return fmt.Errorf(s.format, args...).Error()
}

// written is an error of which only its text in a style is left.
type written struct{ text string }

func (w written) Error() string { return w.text }

// Of writes an error in a style, on one line: what was joined with ends of lines
// between, stands side by side. Ends of lines within a name stay what they are.
func Of(err error, style Style) string {
	text := err.Error()
	switch e := err.(type) {
	case interface{ In(Style) string }:
		return e.In(style)
	case interface{ Unwrap() error }:
		if inner := e.Unwrap(); inner != nil {
			return strings.Replace(text, inner.Error(), Of(inner, style), 1)
		}
	case interface{ Unwrap() []error }:
		var plain, lines []string
		for _, inner := range e.Unwrap() {
			plain, lines = append(plain, inner.Error()), append(lines, Of(inner, style))
		}
		if joined := strings.Join(plain, "\n"); strings.Contains(text, joined) {
			return strings.Replace(text, joined, strings.Join(lines, "; "), 1)
		}
		for i, inner := range plain {
			text = strings.Replace(text, inner, lines[i], 1)
		}
	}
	return text
}

// Strings is sentences in a style.
func Strings(sentences []Sentence, style Style) []string {
	return lists.Map(sentences, func(s Sentence) string { return s.In(style) })
}
