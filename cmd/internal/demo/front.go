package main

import "strings"

// frontPages lays out title, imprint, contents, lists, preface and the tower, pages 1 to 6.
func (b *book) frontPages() {
	f := b.flow
	title := f.nextPage()
	title.noFolio = true
	title.marks = []mark{{bookTitle, 0, 0}}
	title.contents = append(title.contents, titlePage)

	imprint := f.nextPage()
	imprint.contents = append(imprint.contents, func(p press, left float64) {
		y := baseline(linesOnPage - 12)
		for _, text := range b.front["imprint"] {
			y = setSmall(p, left, y, text) + lineMM
		}
	})

	contents := f.nextPage()
	contents.marks = []mark{{"Contents", 0, 0}}
	contents.contents = append(contents.contents, func(p press, left float64) {
		head(p, left, "Contents")
		y := baseline(7)
		for _, l := range b.months {
			b.leader(p, left, y, roman, textSize+0.6, l)
			p.left(italic, smallSize, left+4, y+3.6, b.summaryOf(l.title))
			y += 2.28 * lineMM
		}
	})

	lists := f.nextPage()
	lists.contents = append(lists.contents, func(p press, left float64) {
		head(p, left, "Plates and Tables")
		y := baseline(7)
		for _, list := range [][]listed{b.plates, b.tables} {
			for _, l := range list {
				b.leader(p, left, y, roman, textSize-0.5, l)
				y += lineMM * 0.98
			}
			y += lineMM
		}
	})

	preface := f.nextPage()
	preface.marks = []mark{{"To the Reader", 0, 0}}
	preface.contents = append(preface.contents, func(p press, left float64) {
		head(p, left, "To the Reader")
	})
	f.used = 6
	for i, text := range b.front["preface"] {
		indent := 4.0
		if i == 0 {
			indent = 0
		}
		if err := f.paragraph(text, indent); err != nil {
			f.press.doc.SetError(err)
		}
	}
	b.addPlate(towerPlate)
}

func (b *book) summaryOf(month string) string { return b.front[strings.ToLower(month)][0] }

func titlePage(p press, left float64) {
	middle := left + measure/2
	p.centre(smallCaps, 11, middle, 42, "The")
	p.spaced(smallCaps, 30, middle, 57, 1.6, "Larkhaven")
	p.spaced(smallCaps, 19, middle, 67.5, 2.2, "Journal")
	p.centre(italic, textSize+1, middle, 79, "being the book of the keepers of the light")
	p.centre(italic, textSize+1, middle, 84.5, "for the year 1887")
	d := newPen(p, middle, 96, 2.05, 5)
	towerOnRock(d)
	p.doc.SetLineWidth(0.25)
	p.doc.Line(middle-12, 163, middle+12, 163)
	p.centre(roman, textSize, middle, 172, "J. Wrennick  ·  M. Wrennick  ·  A. Tolleray")
	p.centre(smallCaps, 8.4, middle, 186, "Kept at Larkhaven Light")
}

// head sets the heading of a page that is no chapter.
func head(p press, left float64, text string) {
	p.spaced(smallCaps, 16, left+measure/2, baseline(2), 0.8, text)
	p.doc.SetLineWidth(0.25)
	p.doc.Line(left+measure/2-9, baseline(3), left+measure/2+9, baseline(3))
}

// setSmall sets a paragraph in the small size and returns the last baseline.
func setSmall(p press, left, y float64, text string) float64 {
	lines, err := p.breakLines(p.words(text, smallSize, roman), smallSize, measure, 0)
	if err != nil {
		p.doc.SetError(err)
	}
	for _, l := range lines {
		p.set(l, smallSize, left, y)
		y += lineMM * 0.85
	}
	return y
}

// leader sets a line of the contents: title, dots, number, and the whole of it a link.
func (b *book) leader(p press, left, y float64, f face, size float64, l listed) {
	number := b.numberOf(l.page)
	figures := inFigures(number)
	p.left(f, size, left, y, l.title)
	p.right(f, size, left+measure, y, figures)
	const pitch = 2.4
	end := left + measure - 7
	from := left + p.width(f, size, l.title) + 2
	for x := end; x > from; x -= pitch {
		p.left(f, size, x, y, ".")
	}
	link := p.doc.AddLink()
	p.doc.SetLink(link, 0, number)
	p.doc.Link(left, y-3.6, measure, 4.6, link)
}

func (b *book) numberOf(pg *page) int {
	for i := range b.flow.pages {
		if b.flow.pages[i] == pg {
			return i + 1
		}
	}
	return 0
}

// lastPages are the abstract of the year and the colophon.
func (b *book) lastPages(days []day) error {
	f := b.flow
	f.running = ""
	sums := f.plate("Abstract of the year", 0, abstract(days))
	b.tables = append(b.tables, listed{"Abstract of the year", sums})
	pg := f.nextPage()
	pg.marks = []mark{{"Colophon", 0, 0}}
	f.used = 16
	f.block(5, func(p press, left, top float64) {
		d := newPen(p, left+measure/2, top-20, 1, 99)
		anchor(d)
	})
	for i, text := range b.front["colophon"] {
		indent := 4.0
		if i == 0 {
			indent = 0
		}
		if err := f.paragraph(text, indent); err != nil {
			return err
		}
	}
	return nil
}
