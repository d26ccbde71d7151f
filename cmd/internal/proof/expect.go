package proof

import (
	"image"

	"foldwright/reorder"
)

// expectation is what should stand at a place.
type expectation struct {
	Place
	Shown
	// stands maps the frame of the source page to the page as it is read.
	stands reorder.Matrix
	// printed maps the page as it is read to the page of the file.
	printed reorder.Matrix
	from    Side
	like    likeness // once it is drawn
	drawn   bool
}

// see remembers how the page looks on a picture; m maps the page as it is read to it.
func (e *expectation) see(picture *image.Gray, c canvas, m reorder.Matrix) {
	e.like, e.drawn = likenessOf(picture, c, m, e.stands.Bounds(e.box)), true
}

// panel is the part of the file's page that the place takes.
func (e *expectation) panel() reorder.Rect { return e.printed.Bounds(e.Size.Rect()) }

// expect works out what should stand at every place.
func (c *checker) expect(text []Shown) {
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
	perSheet := perCopy / len(p.Sheets)
	before := (p.plan.Gatherings[0].FirstSheet - 1) * perSheet // of the book, if only a gathering is printed
	places := perCopy + max(0, p.plan.BookSheets-len(p.Sheets))*perSheet
	filled := fill(text, max(places, before+perCopy), p.plan.Options.Pad)
	if len(filled) > places {
		p.fault("the gatherings have %d places, the text needs %d", places, len(filled))
	}
	c.placing = newPlacing(p.plan.Options, p.Places[0].Size, text, p.plan.CreepMM)
	for i, place := range p.Places {
		e := &expectation{Place: place, Shown: filled[before+i%perCopy]}
		if e.Page != 0 {
			e.stands = c.placing.page(e.Shown, place)
		}
		e.printed, e.from, _ = p.inFile(place)
		c.expected = append(c.expected, e)
	}
}
