package proof

import (
	"image"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// expectation is what should stand at a place.
type expectation struct {
	Place
	survey.Shown
	// stands maps the frame of the source page to the page as it is read.
	stands geom.Matrix
	// printed maps the page as it is read to the page of the file.
	printed geom.Matrix
	from    Side
	ruled   bool     // it is a page of a blank gathering
	number  string   // the running number that stands at its foot; empty: none
	like    likeness // once it is drawn
	drawn   bool
	// What a check finds: only the goroutine that is at work on its page writes it.
	difference render.Difference
	wrong      bool // it does not look as it should
	fault      *Fault
	unseen     string // why it could not be compared; empty: it was
}

// see remembers how the page looks on a picture; m maps the page as it is read to it.
func (e *expectation) see(picture *image.Gray, c canvas, m geom.Matrix) {
	e.like, e.drawn = likenessOf(picture, c, m, e.stands.Bounds(e.Box)), true
}

// panel is the part of the file's page that the place takes.
func (e *expectation) panel() geom.Rect { return e.printed.Bounds(e.Size.Rect()) }

// expect works out what should stand at every place.
func (c *checker) expect(text []survey.Shown, look *survey.Survey) {
	p := c.Print
	c.expected = nil
	if len(p.Places) == 0 {
		return
	}
	perCopy := 0
	for _, place := range p.Places {
		if place.Copy == 1 {
			perCopy++
		}
	}
	before, places := p.plan.before(perCopy)
	blank := c.blankGatherings()
	filled := c.layBlank(fill(text, max(places, before+perCopy)-c.placesOf(blank), p.plan.Options.Pad), blank, look)
	if len(filled) > places {
		p.addFault("the gatherings have %d places, the text needs %d", places, len(filled))
	}
	c.placing = newPlacing(p.plan.Options, p.Places[0].Size, text, p.plan.CreepMM)
	for i, place := range p.Places {
		e := &expectation{Place: place, Shown: filled[before+i%perCopy], from: p.sideAt(place)}
		if e.Page != 0 {
			edge := spine(p.plan.Options.Bind, place.Recto)
			e.stands = c.placing.matrixAt(e.Shown, edge, place.depth)
			if e.ruled = look.IsRuled(e.Page); e.ruled {
				e.stands = c.placing.ruledAt(edge, place.depth)
			}
		}
		if e.from.File != nil {
			e.printed = inverse(e.from.View.Then(place.Lies))
		}
		e.number = c.numberOf(e.Page, before+i%perCopy)
		c.expected = append(c.expected, e)
	}
}

// textOf is what should stand at each place of the book, from its first to its last
// page, without the blanks that fill the last gathering.
func textOf(v *survey.Survey, o options.Options) []survey.Shown {
	if o.Plates.Name != "" {
		return platesOf(v, o)
	}
	rectos, versos := starts(v, o.Recto), starts(v, o.Verso)
	begins := map[survey.Shown]bool{} // a part of the book
	for _, page := range v.Begins {
		begins[v.Shown(page)] = true
	}
	if o.TakeCovers > 0 {
		rectos[v.Shown(v.Chosen[0]).Page] = true // a text whose cover was taken off begins on a recto
	}
	out := make([]survey.Shown, o.BlanksBefore)
	last := 0
	for _, page := range v.Chosen {
		shown := v.Shown(page)
		first := shown.Page != last // of a split page the half that comes first
		recto := len(out)%2 == 0
		if first && (recto && versos[shown.Page] || !recto && rectos[shown.Page]) || !recto && begins[shown] {
			out = append(out, survey.Shown{})
		}
		out, last = append(out, shown), shown.Page
	}
	return append(out, make([]survey.Shown, o.BlanksAfter)...)
}

func starts(v *survey.Survey, o options.Starts) map[int]bool {
	pages := o.Pages
	if o.Outline {
		pages = v.OutlinePages()
	}
	out := map[int]bool{}
	for _, p := range pages {
		out[p] = true
	}
	return out
}

// fill puts blanks around the text until it has so many places. Before it
// stands an even number of them.
func fill(text []survey.Shown, places int, pad reorder.Pad) []survey.Shown {
	blanks := max(0, places-len(text))
	before := 0
	switch pad {
	case reorder.PadBefore:
		before = blanks - blanks%2
	case reorder.PadSplit:
		before = blanks / 2
		before -= before % 2
	}
	out := append(make([]survey.Shown, before), text...)
	return append(out, make([]survey.Shown, blanks-before)...)
}

// blankGatherings is the numbers of the gatherings that should be blank, as the options have them: the plan says only how
// many there are.
func (c *checker) blankGatherings() map[int]bool {
	own := 0
	for _, g := range c.plan.Gatherings {
		if !g.Blank && g.Copy <= 1 {
			own++
		}
	}
	out, number := map[int]bool{}, 0
	for after := range own + 1 {
		if after > 0 {
			number++
		}
		if c.plan.Options.BlankGatherings.Lies(after, own) {
			number++
			out[number] = true
		}
	}
	for _, g := range c.plan.Gatherings {
		if g.Blank != out[g.Number] {
			c.addFault("gathering %d: the plan and its options disagree whether it is a blank one", g.Number)
		}
	}
	return out
}

// placesOf is how many places of a copy gatherings have.
func (c *checker) placesOf(gatherings map[int]bool) (n int) {
	for _, place := range c.Places {
		if place.Copy == 1 && gatherings[place.Gathering] {
			n++
		}
	}
	return n
}

// layBlank is what should stand at the places of a copy: a ruling in blank gatherings, and between them the text.
func (c *checker) layBlank(text []survey.Shown, blank map[int]bool, look *survey.Survey) (all []survey.Shown) {
	if len(blank) == 0 {
		return text
	}
	for _, place := range c.Places {
		page := look.Ruled(place.Recto)
		switch isBlank := blank[place.Gathering]; {
		case place.Copy > 1:
		case isBlank && page == 0:
			all = append(all, survey.Shown{})
		case isBlank:
			all = append(all, look.Shown(page))
		case len(text) > 0:
			all, text = append(all, text[0]), text[1:]
		}
	}
	return append(all, text...)
}
