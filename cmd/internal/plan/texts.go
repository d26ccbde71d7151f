package plan

import (
	"fmt"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/options"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Thickness says how thick the printed leaves are together, which is an
// estimate unless the paper was measured.
func (d *Draft) Thickness() string {
	leaves := 0
	for _, g := range d.Gatherings() {
		leaves += len(g.Pages) / 2
	}
	caliper, of := d.Options.LeafCaliper()
	all := caliper.Times(leaves * d.Book.Form.LeafThicknesses())
	if d.Book.Form.LeafThicknesses() == 2 {
		of += ", folded double"
	}
	without := "without the thread"
	var words []string
	for _, v := range d.Volumes {
		for _, o := range others(d.Inserts, v) {
			all = all.Plus(o.Caliper.Times(o.Leaves))
			words = append(words, fmt.Sprintf("%s of %s", binding.LeavesText(o.Leaves), o.Name))
		}
	}
	if len(words) > 0 {
		without = fmt.Sprintf("with %s, %s", refusal.List(words, "and"), without)
	}
	if u := d.Options.Units; u == binding.Inches {
		paper := of
		if d.Options.Caliper > 0 {
			paper = measuredPaper
		}
		block := u.Length(binding.Range{Least: all.Least, Most: all.Most})
		return fmt.Sprintf("%s, %s each: %s, %s", binding.LeavesText(leaves)+" of "+paper, u.Length(binding.Range{Least: caliper.Least, Most: caliper.Most}), block, without)
	}
	if all.IsExact() {
		return fmt.Sprintf("%s of %s, %.1f mm, %s", binding.LeavesText(leaves), of, all.Usual, without)
	}
	return fmt.Sprintf("%s of %s, %.2f to %.2f mm each: about %.1f mm (%.1f to %.1f), %s",
		binding.LeavesText(leaves), of, caliper.Least, caliper.Most, all.Usual, all.Least, all.Most, without)
}

// Creep says how far the innermost leaf stands out, and what was done about it.
func (d *Draft) Creep() phrase.Sentence {
	depth := d.Book.Depth()
	if depth == 0 {
		return phrase.New("none, no leaf lies within another")
	}
	applied := d.Options.CreepIn(d.Book)
	if applied == 0 {
		caliper, of := d.Options.LeafCaliper()
		total := reorder.PinchedFold.Creep(caliper.Usual).At(depth)
		text := fmt.Sprintf("about %.1f mm in total with %s", total, of)
		if total < reorder.WorthMoving {
			return phrase.New("%s, not worth moving pages for", text)
		}
		return phrase.New("%s; %s or %s moves the pages of inner leaves towards the spine", text, phrase.Set("caliper"), phrase.Set("weight"))
	}
	total := applied.At(depth)
	text := fmt.Sprintf("%s mm in total", twoDecimals(total))
	if d.Options.CreepMeasured > 0 {
		text += " as measured"
	} else {
		caliper, of := d.Options.LeafCaliper()
		text += fmt.Sprintf(" with leaves of %s", of)
		if !caliper.IsExact() {
			text = "about " + text
		}
		text += fmt.Sprintf(" (%s where the fold is flat at its back)", twoDecimals(reorder.SquareFold.Creep(caliper.Usual).At(depth)))
	}
	text += "; inner pages are moved towards the spine"
	if total < reorder.WorthMoving {
		text += fmt.Sprintf(", though below %g mm it is not worth it", reorder.WorthMoving)
	}
	return phrase.New("%s", text)
}

// GrainText says how the grain of the person's own paper runs; empty where nobody knows it. In a book it
// runs along the spine (Roberts and Etherington, Bookbinding and the Conservation of Books).
func (d *Draft) GrainText() string {
	grain := d.Own.Grain
	switch {
	case grain == 0:
		return ""
	case (grain == profiles.GrainLong) == d.Book.Form.SpineAlongHeight(d.Paper.Size):
		return fmt.Sprintf("along the %s edge of the paper, in the book along the spine, as it should", grain)
	}
	return fmt.Sprintf("along the %s edge of the paper, in the book across the spine: it will open stiffly", grain)
}

func twoDecimals(mm float64) string { return fmt.Sprintf("%.2f", mm) }

// PagesPrinted is the number of source pages in the gatherings to be printed.
func (d *Draft) PagesPrinted() int {
	pages, _ := d.count()
	return pages
}

// BlanksPrinted is the number of blank pages among them, without those of blank gatherings.
func (d *Draft) BlanksPrinted() int {
	_, blanks := d.count()
	return blanks
}

func (d *Draft) count() (pages, blanks int) {
	for _, g := range d.own(d.Gatherings()) {
		for _, page := range g.Pages {
			if page == 0 {
				blanks++
			} else {
				pages++
			}
		}
	}
	return pages, blanks
}

// LeafText is the size of a leaf before trimming and, if it is trimmed, after.
func (d *Draft) LeafText() string {
	leaf := d.Book.PanelSize()
	if d.Trim == (reorder.Trim{}) {
		return leaf.String() + " before trimming"
	}
	return fmt.Sprintf("%s, trimmed to %s", leaf, d.Trim.Of(leaf, d.Book.Form.Bind))
}

// Margins are the margins of the text of most pages on the trimmed leaf, where margins were asked for; empty else.
func (d *Draft) Margins() string {
	f := d.Options.Placing().Frame
	if f == nil {
		return ""
	}
	leaf, text := d.Options.Bind.TurnToSide(d.Trim.Of(d.Book.PanelSize(), d.Book.Form.Bind)), d.Options.Bind.TurnToSide(d.Placement.Most)
	wide, high := text.W*d.Placement.Scale, text.H*d.Placement.Scale
	return fmt.Sprintf("inner %.0f, outer %.0f, head %.0f, tail %.0f mm, around text of %.0f x %.0f mm at %.0f percent",
		f.Inner, leaf.W-f.Inner-wide, f.Head, leaf.H-f.Head-high, wide, high, d.Placement.Scale*100)
}

// PageRanges is rising numbers as ranges.
func PageRanges(rising []int) (out options.Pages) {
	for _, n := range rising {
		if last := len(out) - 1; last >= 0 && out[last].Last == n-1 {
			out[last].Last = n
			continue
		}
		out = append(out, options.PageRange{First: n, Last: n})
	}
	return out
}

// Ranges writes rising numbers shortly. What would be too long for the name of
// a file is told by its ends.
func Ranges(numbers []int) string {
	const most = 40
	if text := PageRanges(numbers).String(); len(text) <= most {
		return text
	}
	return fmt.Sprintf("%d-to-%d", numbers[0], numbers[len(numbers)-1])
}
