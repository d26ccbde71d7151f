package cli

import (
	"slices"
	"strings"

	"foldwright/cmd/internal/options"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
)

// flagStyle writes options as flags and commands as command lines.
type flagStyle struct{}

func (flagStyle) Setting(s phrase.Setting) string {
	if s.Value == "" {
		return "--" + s.Key
	}
	return "--" + s.Key + " " + quote(s.Value)
}

func (f flagStyle) Command(c phrase.Command) string {
	return strings.Join(slices.Concat([]string{"foldwright", c.Name}, lists.Map(c.Arguments, quote), lists.Map(c.Settings, f.Setting)), " ")
}

// quote is a word as a command line takes it.
func quote(word string) string {
	if strings.ContainsAny(word, " \"'$`\\&|;<>()*?#~!{}[]\t") {
		return `"` + word + `"`
	}
	return word
}

// reportStyle writes options of titles as worklists have them, and what else is an
// option as [flagStyle] does: a batch report speaks of both.
type reportStyle struct{ flagStyle }

func (r reportStyle) Setting(s phrase.Setting) string {
	if slices.Contains(options.Keys(), s.Key) {
		return s.String()
	}
	return r.flagStyle.Setting(s)
}
