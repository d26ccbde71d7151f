package proof

import (
	"foldwright/cmd/internal/survey"
	"foldwright/reorder/geom"
)

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

// coverAt is the map from a ruled page, which is as large as the trimmed leaf, to a page as it is read.
func (p placing) coverAt(edge geom.Towards, depth int) geom.Matrix {
	creep := p.creep * float64(depth)
	r := inset(p.leaf.Rect(), edge, -creep, p.trim.foreEdge+creep, p.trim)
	return geom.Translate(r.X0, r.Y0)
}
