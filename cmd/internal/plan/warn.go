package plan

import (
	"slices"
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
)

// Warnings is what the person should know before printing: about the printer,
// the source, and the plan. Writing the print files can add to what is known
// of the source.
func (d *Draft) Warnings() []phrase.Sentence {
	return slices.Concat(d.Assumed(), d.BookWarnings())
}

// BookWarnings is the warnings that do not concern the printer's profile. Those
// about the source are sorted: its pages are read side by side.
func (d *Draft) BookWarnings() []phrase.Sentence {
	source := slices.Clone(d.Sequence.Warnings())
	slices.Sort(source)
	out := lists.Map(append(slices.Compact(source), d.Survey.Notes...), func(text string) phrase.Sentence { return phrase.New("%s", text) })
	return append(out, d.notes...)
}

// Assumed is what is taken for true of the printer and has not been tested.
func (d *Draft) Assumed() []phrase.Sentence {
	switch {
	case d.Guessed:
		return []phrase.Sentence{phrase.New("no printer given; assuming %s", d.Profile.Name)}
	case len(d.Profile.Assumed) > 0:
		return []phrase.Sentence{phrase.New("%s of the profile %s: %s", reorder.Count(len(d.Profile.Assumed), "untested fact"), d.Profile.Name, strings.Join(d.Profile.Assumed, ", "))}
	}
	return nil
}

func (d *Draft) say(format string, args ...any) {
	d.notes = append(d.notes, phrase.New(format, args...))
}

func (d *Draft) warnPages() {
	printed := map[int]bool{}
	for _, g := range d.Gatherings() {
		for _, page := range g.Pages {
			printed[page] = true
		}
	}
	pages := map[reorder.NoteKind][]int{}
	smallest := map[reorder.NoteKind]float64{}
	for _, n := range d.Placement.Notes {
		if !printed[n.Page] {
			continue
		}
		pages[n.Kind] = append(pages[n.Kind], n.Page)
		if s, ok := smallest[n.Kind]; !ok || n.Scale < s {
			smallest[n.Kind] = n.Scale
		}
	}
	if p := pages[reorder.Turned]; p != nil {
		d.say("%s: landscape, so rotated 90 degrees, with the head at the left", d.PagesText(p))
	}
	if p := pages[reorder.Shrunk]; p != nil {
		d.say("%s: larger than most pages, so shrunk to fit (the smallest to %s percent; the book is printed at %s percent)",
			d.PagesText(p), geom.Percent(smallest[reorder.Shrunk]), geom.Percent(d.Placement.Scale))
	}
	if p := pages[reorder.Clipped]; p != nil {
		d.say("%s: larger than the panel, so cut off at its edges", d.PagesText(p))
	}
	if p := pages[reorder.Uneven]; p != nil {
		d.say("%s: at this size the margins cannot grow from the spine over head and fore-edge to the tail", d.PagesText(p))
	}
	if d.isWideOnTall() {
		d.say("most pages are landscape and their panels portrait, so they come out small; if each holds two pages side by side, %s makes two of it", phrase.Set("split", "spreads"))
	}
}

// isWideOnTall tells whether most pages are wide and their panels tall.
func (d *Draft) isWideOnTall() bool {
	most, panel := d.Placement.Most, d.Book.PanelSize()
	return most.W > most.H && panel.W < panel.H
}
