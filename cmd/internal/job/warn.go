package job

import (
	"fmt"
	"strings"

	"foldwright/reorder"
)

// warn collects what the person should know before printing.
func (d *Draft) warn() {
	d.Warnings = append(d.Warnings, d.Source.Warnings()...)
	if d.Guessed {
		d.say("no printer was named: the usual case, %s, is assumed, and that is a guess", d.Profile.Name)
	} else if len(d.Profile.Assumed) > 0 {
		d.say("the profile %s only assumes its %s", d.Profile.Name, strings.Join(d.Profile.Assumed, ", "))
	}
	d.warnGatherings()
	d.warnPages()
	if len(d.Runs) > 0 && d.Runs[0].Split {
		d.say("a gathering is larger than a run of %s and is split", reorder.Count(d.Options.Run.Most, "sheet"))
	}
}

func (d *Draft) say(format string, args ...any) {
	d.Warnings = append(d.Warnings, fmt.Sprintf(format, args...))
}

func (d *Draft) warnGatherings() {
	form := d.Book.Form
	if blanks := d.Book.Blanks(); blanks >= form.PagesPerSheet() {
		d.say("%s are left at the end: the gatherings hold more than the pages need", reorder.Count(blanks, "blank page"))
	}
	total := len(d.Book.Sheets())
	for _, g := range d.Gatherings() {
		if len(g.Sheets) == 1 && total > 1 {
			advice := "other sizes avoid it, see --sheets and --gatherings"
			if g.Number == len(d.Book.Gatherings) {
				advice = "at the end its back needs a guard; " + advice
			}
			d.say("gathering %d is a lone sheet, which is weak to sew: %s", g.Number, advice)
		}
	}
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
		d.say("%s: wider than high, so turned by a quarter, the head to the left", reorder.PagesText(p))
	}
	if p := pages[reorder.Shrunk]; p != nil {
		d.say("%s: larger than most pages, so shrunk to fit (the smallest to %s percent, the book stands at %s percent)",
			reorder.PagesText(p), Percent(smallest[reorder.Shrunk]), Percent(d.Placement.Scale))
	}
	if p := pages[reorder.Clipped]; p != nil {
		d.say("%s: larger than the panel, cut off at its edges", reorder.PagesText(p))
	}
	if p := pages[reorder.Uneven]; p != nil {
		d.say("%s: the margins cannot rise from back over head and fore-edge to tail at this size", reorder.PagesText(p))
	}
	if most := d.Placement.Most; most.W > most.H {
		if panel := d.Book.PanelSize(); panel.W < panel.H {
			d.say("most pages are wider than high, their panels are higher than wide: they stand small")
		}
	}
}

// Percent writes a scale with at most one decimal.
func Percent(scale float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", scale*100), ".0") }
