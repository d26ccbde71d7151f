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
	deepest := 0
	for _, place := range p.Places {
		if place.Copy == 1 {
			perCopy++
		}
		deepest = max(deepest, place.depth)
	}
	offset, places := 0, perCopy
	if p.plan.Options.OnlyGathering > 0 {
		perSheet := perCopy / len(p.Sheets)
		sheets, thickest := p.plan.bookSheets(len(text), perSheet)
		offset, places = (p.plan.Gatherings[0].FirstSheet-1)*perSheet, sheets*perSheet
		if deepest > 0 {
			deepest = (thickest*perSheet/2 - 1) / 2
		}
	}
	filled := fill(text, max(places, offset+perCopy), p.plan.Options.Pad)
	if len(filled) > places {
		p.addFault("the gatherings have %d places, the text needs %d", places, len(filled))
	}
	c.placing = newPlacing(p.plan.Options, p.Places[0].Size, text, deepest)
	for i, place := range p.Places {
		e := &expectation{Place: place, Shown: filled[offset+i%perCopy]}
		if e.Page != 0 {
			e.stands = c.placing.matrixOf(e.Shown, place)
		}
		e.printed, e.from, _ = p.inFile(place)
		c.expected = append(c.expected, e)
	}
}

// bookSheets is the printed sheets of the whole book, of which only one
// gathering is printed, and of its thickest gathering.
func (p record) bookSheets(text, perSheet int) (sheets, thickest int) {
	o := p.Options
	if len(o.Gatherings) > 0 {
		for _, n := range o.Gatherings {
			sheets += n
			thickest = max(thickest, n)
		}
		return sheets, thickest
	}
	sheets = max(1, (text+perSheet-1)/perSheet)
	fewest, most := max(1, o.Fewest), max(1, o.Sheets)
	for ; ; sheets++ {
		gatherings := (sheets + most - 1) / most
		if gatherings*fewest <= sheets || fewest > most {
			return sheets, (sheets + gatherings - 1) / gatherings
		}
	}
}
