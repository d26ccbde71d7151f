package plan

import (
	"fmt"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
)

// standing is whether odd page numbers fall on rectos, as books have them.
type standing int

const (
	StandsUnknown standing = iota
	StandsRight
	StandsWrong
)

// warnReading compares what the source says about its reading order with the
// plan: which pages are rectos, and at which edge the spine is.
func (d *Draft) warnReading() {
	o := d.Options
	if d.RightToLeft() && o.Bind != reorder.BindRight {
		d.say("the source is read from right to left, but the spine is at the left: %s puts it at the right", phrase.Set("bind", "right"))
	}
	stands, sentence := d.LabelStanding()
	if stands == StandsWrong {
		d.say("%s", sentence)
	}
	if o.BlanksBefore%2 == 1 && stands == StandsUnknown {
		d.say("%s before the first page: an odd number turns rectos into versos", reorder.Count(o.BlanksBefore, "blank"))
	}
}

// LabelStanding looks where the page falls that the source's labels number 1
// or, in a source without one, the first that has an arabic number. If that
// is the wrong side, it comes with a sentence.
func (d *Draft) LabelStanding() (standing, phrase.Sentence) {
	if d.Options.Split == options.SplitSpreads {
		return StandsUnknown, phrase.Sentence{} // a label is of both halves
	}
	labels := d.Labels()
	isOne := func(l pdf.Label) bool { return l.Decimal && l.Number == 1 }
	wanted := isOne
	if !slices.ContainsFunc(labels, isOne) {
		wanted = func(l pdf.Label) bool { return l.Decimal }
	}
	if !slices.ContainsFunc(labels, wanted) {
		return StandsUnknown, phrase.Sentence{}
	}
	for i, page := range d.Places() {
		if page == 0 || !wanted(labels[d.SourcePage(page)-1]) {
			continue
		}
		l := labels[d.SourcePage(page)-1]
		if i%2 == (l.Number+1)%2 {
			return StandsRight, phrase.Sentence{}
		}
		return StandsWrong, d.WrongSide(i+1, d.SourcePage(page), l.Text)
	}
	return StandsUnknown, phrase.Sentence{}
}

// Places is the page at each place of the book in reading order; the first is a recto.
func (d *Draft) Places() []int {
	var all []int
	for _, g := range d.Book.Gatherings {
		all = append(all, g.Pages...)
	}
	return all
}

// FirstPage is the first page of the book that is no blank.
func (d *Draft) FirstPage() int {
	places := d.Places()
	return places[slices.IndexFunc(places, func(page int) bool { return page != 0 && !d.IsRuled(d.SourcePage(page)) })]
}

// WrongSide says that a page at a place of the book falls on the other side
// than its number wants, with the cures.
func (d *Draft) WrongSide(place, page int, number string) phrase.Sentence {
	name := fmt.Sprintf("page %d", page)
	if number != fmt.Sprint(page) {
		name = fmt.Sprintf("page %d, numbered %s,", page, number)
	}
	side, other := "verso", "recto"
	if place%2 == 1 {
		side, other = other, side
	}
	blanks := d.Options.BlanksBefore
	cure := phrase.New("%s adds a blank", phrase.Set("blanks-before", blanks+1))
	if blanks > 0 {
		cure = phrase.New("%s takes a blank away", phrase.Set("blanks-before", blanks-1))
	}
	if first := d.SourcePage(d.FirstPage()); first != page {
		cure = phrase.New("%s leaves a page out, %s", phrase.Set("drop-pages", first), cure)
	}
	return phrase.New("%s falls on a %s; in books it is a %s: %s", name, side, other, cure)
}
