package main

import (
	"bytes"
	"fmt"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

const (
	bookTitle = "The Larkhaven Journal"
	seed      = 1887
)

// listed is a line of the contents: what, and on which page.
type listed struct {
	title string
	page  *page
}

// book collects the pages and what the contents say of them.
type book struct {
	flow   *flow
	front  map[string][]string
	months []listed
	plates []listed
	tables []listed
}

// makeBook gives the whole journal as a PDF file.
func makeBook() ([]byte, error) {
	written, err := writtenEntries()
	if err != nil {
		return nil, err
	}
	grammar, err := newGrammar(seed)
	if err != nil {
		return nil, err
	}
	days, err := makeYear(seed, written)
	if err != nil {
		return nil, err
	}
	doc := newDocument()
	b := &book{flow: &flow{press: press{doc}}, front: frontMatter()}
	b.frontPages()
	stores := storesOf(days)
	for from := 0; from < len(days); {
		to := from
		for to < len(days) && days[to].date.Month() == days[from].date.Month() {
			to++
		}
		if err := b.month(days[from:to], grammar, stores[days[from].date.Month()-1]); err != nil {
			return nil, err
		}
		from = to
	}
	if err := b.lastPages(days); err != nil {
		return nil, err
	}
	b.flow.render()
	var out bytes.Buffer
	if err := doc.Output(&out); err != nil {
		return nil, fmt.Errorf("write the journal: %w", err)
	}
	var turned []int
	for i, pg := range b.flow.pages {
		if pg.turned {
			turned = append(turned, i+1)
		}
	}
	return turnPages(out.Bytes(), turned)
}

func newDocument() *fpdf.Fpdf {
	doc := fpdf.NewCustom(&fpdf.InitType{
		OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: pageWidth, Ht: pageHeight},
	})
	for _, f := range faces {
		doc.AddUTF8FontFromBytes(f.family, f.style, f.file)
	}
	doc.SetAutoPageBreak(false, 0)
	doc.SetMargins(0, 0, 0)
	doc.SetCellMargin(0)
	doc.SetCatalogSort(true)
	opened := time.Date(theYear, time.January, 1, 12, 0, 0, 0, time.UTC)
	doc.SetCreationDate(opened)
	doc.SetModificationDate(opened)
	doc.SetProducer("Foldwright, cmd/internal/demo", true)
	doc.SetTitle(bookTitle, true)
	doc.SetAuthor("J. Wrennick, M. Wrennick, A. Tolleray", true)
	doc.SetSubject("A year at an invented lighthouse", true)
	doc.SetLang("en-GB")
	doc.SetDisplayMode("fullpage", "TwoPageRight")
	return doc
}

// month is a chapter: the opening, the days, the stores, and a page of tides.
func (b *book) month(days []day, g *grammar, stores []storesRow) error {
	f := b.flow
	month := days[0].date.Month()
	name := month.String()
	f.running = name
	pg := f.nextPage()
	pg.running = ""
	pg.marks = []mark{{name, 0, 0}}
	b.months = append(b.months, listed{name, pg})
	b.opening(month)
	for i := range days {
		if err := b.day(&days[i], g); err != nil {
			return err
		}
		for _, p := range platesAfter[days[i].date.Format("2 January")] {
			b.addPlate(p)
		}
	}
	if month == time.May {
		f.skip(1)
		f.block(birdLines, birdTable)
		b.tables = append(b.tables, listed{"The birds of the rock", f.last()})
	}
	if f.room() < storesLines+1 {
		b.tailpiece(month)
	}
	f.skip(1)
	f.block(storesLines, storesTable(month, stores))
	b.tailpiece(month)
	tides := f.plate("High water in "+name, 1, tideTable(days))
	b.tables = append(b.tables, listed{"Tides and stores, " + name, tides})
	return nil
}

func (b *book) keepTogether(lines int) {
	if b.flow.room() < lines {
		b.flow.nextPage()
	}
}

// opening sets a month's ornament, name and summary over the first third of its page.
func (b *book) opening(month time.Month) {
	summary := b.summaryOf(month.String())
	const lines = 13
	b.flow.block(lines, func(p press, left, top float64) {
		middle := left + measure/2
		ornaments[month](newPen(p, middle, top+1, 1, uint64(month)))
		p.spaced(smallCaps, 21, middle, top+ornamentHeight+14, 1.1, month.String())
		p.doc.SetLineWidth(0.25)
		p.doc.Line(middle-9, top+ornamentHeight+18.5, middle+9, top+ornamentHeight+18.5)
		p.centre(italic, textSize-0.5, middle, top+ornamentHeight+25, summary)
	})
	b.flow.skip(1)
}

// day sets the heading of a day and what was written.
func (b *book) day(d *day, g *grammar) error {
	f := b.flow
	paragraphs := g.write(d)
	var broken [][]line
	tails := make([]string, len(paragraphs))
	tails[len(tails)-1] = d.keeper.signature()
	for i, text := range paragraphs {
		indent := 0.0
		if i > 0 {
			indent = 4
		}
		lines, err := f.lines(text, indent, tails[i])
		if err != nil {
			return fmt.Errorf("%s: %w", d.date.Format("2 January"), err)
		}
		broken = append(broken, lines)
	}
	b.keepTogether(2 + keep(broken[0], 0))
	f.skip(1)
	if title, ok := landmarks[d.date.Format("2 January")]; ok {
		f.last().marks = append(f.last().marks, mark{title, 1, headMargin + float64(f.used)*lineMM})
	}
	f.block(1, func(p press, left, top float64) {
		y := top + lineMM - 1.1
		day := inFigures(d.date.Day())
		p.left(bold, textSize, left, y, day)
		p.left(smallCaps, textSize, left+p.width(bold, textSize, day)+1.6, y, d.date.Weekday().String())
		p.right(italic, smallSize, left+measure, y, headingFigures(d))
	})
	for i, lines := range broken {
		f.pour(lines, tails[i])
	}
	return nil
}

func headingFigures(d *day) string {
	wind := "calm"
	if d.force > 0 {
		wind = fmt.Sprintf("%s %d", windShort[d.wind], d.force)
	}
	return fmt.Sprintf("%s  ·  %.2f  ·  %d°  ·  lit %s  ·  %d gal %d pt", wind, d.glass, d.temperature, d.lit, d.oil/8, d.oil%8)
}

// tailpiece fills a page that a chapter leaves open by more than a third.
func (b *book) tailpiece(month time.Month) {
	f := b.flow
	if f.room() < 12 {
		return
	}
	top := headMargin + float64(f.used+f.room()/2-2)*lineMM
	f.last().contents = append(f.last().contents, func(p press, left float64) {
		d := newPen(p, left+measure/2, top, 1, uint64(month)*7)
		d.weight(0.18)
		d.sea(-16, 16, 4, 8, 3)
		d.gull(-5, 0, 2.4)
		d.gull(3, -2.4, 1.7)
		d.gull(8, 1, 1.3)
	})
}
