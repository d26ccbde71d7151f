package ipp

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/reorder"
)

// Fact is something that a printer says of itself, in words.
type Fact struct{ About, Says string }

// Facts are what a printer says of itself, as far as it concerns whoever prints on it.
func (d Description) Facts() (facts []Fact) {
	say := func(about, text string) {
		if text != "" {
			facts = append(facts, Fact{about, text})
		}
	}
	say("printer", d.Model)
	say("address", d.Address)
	if d.Spooler != "" {
		say("queue", fmt.Sprintf("of a spooler, version %s, that leads to %s", d.Spooler, d.Device))
	}
	say("state", stateWords(d.State))
	switch format, err := d.Format(); {
	case err != nil:
		say("files", "neither PDF nor PWG raster: foldwright cannot print there")
	case format == PDF:
		say("files", "PDF, sent as they are")
	default:
		say("files", fmt.Sprintf("PWG raster, drawn by foldwright at %d dots per inch", d.Resolution()))
	}
	say("paper", d.sizes(sizeWord))
	for _, m := range d.Ready {
		if d.Spooler != "" {
			break // it was seen to invent what lies ready
		}
		lies := []string{sizeWord(Extent{Least: m.Size, Most: m.Size}), m.Type, m.Source}
		say("lies ready", strings.Join(slices.DeleteFunc(lies, func(text string) bool { return text == "" }), ", "))
		if m.Margins != (Margins{}) {
			say("cannot reach", m.Margins.String())
		}
	}
	say("sides", strings.Join(d.Sides, ", "))
	say("trays", strings.Join(d.Sources, ", "))
	say("deliveries", strings.Join(d.Bins, ", "))
	return facts
}

func stateWords(s State) string {
	words := s.Words()
	switch {
	case !s.Accepts:
		words = append([]string{"takes no jobs"}, words...)
	case len(words) == 0 && s.Stopped:
		words = []string{"stopped"}
	case len(words) == 0:
		words = []string{"ready"}
	}
	return strings.Join(words, "; ")
}

// sizeWord is what people call a size of paper, or the size where it has no name.
func sizeWord(e Extent) string {
	if e.Least == e.Most {
		for _, name := range reorder.ShortPaperNames() {
			if p, err := reorder.ParsePaper(name); err == nil && e.Holds(p.Size) {
				return p.Word()
			}
		}
	}
	return e.String()
}
