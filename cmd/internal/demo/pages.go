package main

// The book's page in mm. The margins grow from the spine outwards and from head to tail.
const (
	pageWidth   = 148.0
	pageHeight  = 210.0
	innerMargin = 17.0
	headMargin  = 21.0
	outerMargin = 23.0
	tailMargin  = 28.0
	measure     = pageWidth - innerMargin - outerMargin
	linesOnPage = 35
)

// page is one face of the book before it is drawn. What stands on it is kept as functions,
// since the contents can only be drawn when all later pages are known.
type page struct {
	running  string // the running head; none if empty
	noFolio  bool
	turned   bool // shown turned by a quarter, the head at the left of the page as it is stored
	marks    []mark
	contents []func(p press, left float64)
}

// mark is an entry of the outlines.
type mark struct {
	title string
	level int
	y     float64 // mm from the head
}

// leftOf is where the text begins on a page: mirrored, since rectos carry odd numbers.
func leftOf(number int) float64 {
	if number%2 == 1 {
		return innerMargin
	}
	return outerMargin
}

// baseline of a line of the grid, counted from 0, in mm from the head.
func baseline(n int) float64 { return headMargin + float64(n+1)*lineMM - 1.1 }

// flow pours lines into pages.
type flow struct {
	press   press
	pages   []*page
	used    int // lines of the last page that are taken
	running string
	waiting []*page // plates that follow the page which is being filled
}

func (f *flow) last() *page { return f.pages[len(f.pages)-1] }

// nextPage begins a page of text, after any plates that wait.
func (f *flow) nextPage() *page {
	f.pages = append(f.pages, f.waiting...)
	f.waiting = nil
	f.pages = append(f.pages, &page{running: f.running})
	f.used = 0
	return f.last()
}

// plate puts a whole page after the one that is being filled.
func (f *flow) plate(title string, level int, draw func(p press, left float64)) *page {
	pg := &page{contents: []func(press, float64){draw}}
	if title != "" {
		pg.marks = []mark{{title, level, 0}}
	}
	f.waiting = append(f.waiting, pg)
	return pg
}

// room reports how many lines are left.
func (f *flow) room() int { return linesOnPage - f.used }

// block places a drawing that takes a number of lines and is not divided. The function gets the
// top of the block in mm.
func (f *flow) block(lines int, draw func(p press, left, top float64)) {
	if f.room() < lines {
		f.nextPage()
	}
	top := headMargin + float64(f.used)*lineMM
	f.used += lines
	f.last().contents = append(f.last().contents, func(p press, left float64) { draw(p, left, top) })
}

// skip leaves lines empty, unless the page begins.
func (f *flow) skip(lines int) {
	if f.used > 0 {
		f.used = min(f.used+lines, linesOnPage)
	}
}

// lines breaks a text to the book's measure. A tail, if any, is to stand at the right end of the last
// line; if it has no room there, an empty line is added for it.
func (f *flow) lines(text string, indent float64, tail string) ([]line, error) {
	lines, err := f.press.breakLines(f.press.words(text, textSize, roman), textSize, measure, indent)
	if err != nil || tail == "" {
		return lines, err
	}
	const apart = 4.0
	if lines[len(lines)-1].end()+apart+f.press.width(smallCaps, textSize, tail) > measure {
		lines = append(lines, line{})
	}
	return lines, nil
}

// keep is how many of a paragraph's lines must stand on the page on which line i stands, so that no
// page begins or ends with a single line. A line without words counts as part of the one before.
func keep(lines []line, i int) int {
	n := len(lines)
	if n > 1 && len(lines[n-1].words) == 0 {
		if i >= n-3 {
			return n - i
		}
		n--
	}
	switch {
	case i == n-2, i == 0 && n <= 3:
		return len(lines) - i
	case i == 0:
		return 2
	}
	return 1
}

// pour sets the lines of a paragraph, over the end of a page if need be.
func (f *flow) pour(lines []line, tail string) {
	for i, l := range lines {
		if f.room() < keep(lines, i) {
			f.nextPage()
		}
		f.block(1, func(p press, left, top float64) {
			y := top + lineMM - 1.1
			p.set(l, textSize, left, y)
			if tail != "" && i == len(lines)-1 {
				p.right(smallCaps, textSize-0.6, left+measure, y, tail)
			}
		})
	}
}

// paragraph breaks and pours a text that nobody signs.
func (f *flow) paragraph(text string, indent float64) error {
	lines, err := f.lines(text, indent, "")
	if err == nil {
		f.pour(lines, "")
	}
	return err
}

// render draws all pages.
func (f *flow) render() {
	doc := f.press.doc
	for i, pg := range f.pages {
		number := i + 1
		doc.AddPage()
		for _, m := range pg.marks {
			doc.Bookmark(m.title, m.level, m.y)
		}
		left := leftOf(number)
		for _, draw := range pg.contents {
			draw(f.press, left)
		}
		f.furniture(pg, number)
	}
}

// furniture is what stands in the margins: running head and folio, both to the outer edge.
func (f *flow) furniture(pg *page, number int) {
	p, left := f.press, leftOf(number)
	right := left + measure
	const headLine, footLine = 14.5, pageHeight - 16.5
	folio := inFigures(number)
	if number%2 == 1 {
		if !pg.noFolio {
			p.right(roman, textSize, right, footLine, folio)
		}
		if pg.running != "" {
			p.right(smallCaps, 8.4, right, headLine, pg.running)
		}
		return
	}
	if !pg.noFolio {
		p.left(roman, textSize, left, footLine, folio)
	}
	if pg.running != "" {
		p.left(smallCaps, 8.4, left, headLine, bookTitle)
	}
}
