package benchsheet

import (
	"fmt"
	"slices"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
)

// SheetFile is the name of the bench sheet in its folder.
const SheetFile = "bench-sheet.pdf"

// BenchSheet is the figures of a book on paper, in two stages: before sewing,
// and boards and cloth, with boxes for what is measured between.
type BenchSheet struct {
	Title string
	Paper geom.Size // portrait, at least as large as A5
	Sheet binding.Sheet
	Style phrase.Style // in which options are named
	Ways  []Way        // of the thread
}

// flow writes from the top of a page downwards, and goes on on a next one.
type flow struct {
	BenchSheet
	*page
	pages []*page
	y     float64
	head  string
}

// Sides is the pages of the bench sheet.
func (b BenchSheet) Sides() []pdf.Side {
	f := &flow{BenchSheet: b}
	heading, order := "Bench sheet", Order(b.Sheet.Structure)
	if len(order) > 1 {
		heading = "Bench sheet 1: before sewing"
	}
	f.beginStage(heading)
	f.writeFigures(b.Sheet.Before)
	f.drawStations()
	f.writeNotes(slices.Concat(b.Sheet.Stations.Notes, b.Sheet.Advice))
	for _, q := range b.Sheet.Questions {
		f.writeNotes([]string{q.Text})
	}
	f.drawWays(b.Ways)
	if b.Sheet.Structure.Cover == binding.Paper {
		f.writeHeading("The cover, " + b.Sheet.Basis())
		f.writeFigures(b.Sheet.After)
		f.drawCover()
	}
	f.writeWork(order[0])
	if len(order) > 1 {
		f.beginStage("Bench sheet 2: boards and cover")
		f.drawSums()
		f.drawCover()
		f.drawPieces()
		f.writeWork(order[1])
		f.writeHeading("All figures, " + b.Sheet.Basis())
		f.writeFigures(b.Sheet.After)
		f.pages = append(f.pages, b.gaugePage())
	}
	return lists.Map(f.pages, func(p *page) pdf.Side { return pdf.Side{Drawing: p.Drawing} })
}

func (f *flow) beginStage(heading string) {
	f.head = heading
	f.addPage()
}

func (f *flow) addPage() {
	f.page = &page{size: f.Paper}
	f.pages = append(f.pages, f.page)
	f.y = f.Paper.H - margin - large*0.72
	f.writeStrong(margin, f.y, large, f.head)
	f.write(margin, f.y-5, small, f.Title+": "+f.Sheet.Headline())
	f.drawLine(margin, f.y-7, f.right(), f.y-7, thin)
	f.y -= 12
}

func (f *flow) right() float64 { return f.Paper.W - margin }

// makeRoom begins a new page where less than so many mm are left.
func (f *flow) makeRoom(height float64) {
	if f.y-height < margin {
		f.addPage()
	}
}

func (f *flow) writeHeading(text string) {
	f.makeRoom(12)
	f.y -= 2
	f.writeStrong(margin, f.y, usual, text)
	f.y -= 5
}

// writeFigures is a table: name, value, and what it was worked out from.
func (f *flow) writeFigures(list []binding.Figure) {
	width := f.right() - margin
	value, from := margin+width*0.30, margin+width*0.55
	for _, g := range list {
		names := breakLines(g.Name, small, value-margin-2)
		reasons := breakLines(g.Why(f.Style), small, f.right()-from)
		rows := max(len(names), len(reasons))
		f.makeRoom(float64(rows)*small*1.4 + 1)
		f.writeStrong(value, f.y, small, g.Value)
		for i := range rows {
			if i < len(names) {
				f.write(margin, f.y, small, names[i])
			}
			if i < len(reasons) {
				f.write(from, f.y, small, reasons[i])
			}
			f.y -= small * 1.4
		}
		f.drawLine(margin, f.y+small*0.95, f.right(), f.y+small*0.95, hair/2)
		f.y -= 0.6
	}
}

func (f *flow) writeNotes(list []string) {
	for _, n := range list {
		f.makeRoom(8)
		f.y = f.writeParagraph(margin, f.y, small, f.right()-margin, "Note: "+n+".") - 1
	}
}

func (f *flow) writeWork(w Work) {
	f.writeList("Order of work", w.Steps)
	f.writeList("Take care", w.Cares)
}

func (f *flow) writeList(heading string, steps []string) {
	f.makeRoom(12 + 5*float64(len(steps))) // in one piece
	f.writeHeading(heading)
	for i, s := range steps {
		f.makeRoom(8)
		f.write(margin, f.y, small, fmt.Sprintf("%d", i+1))
		f.y = f.writeParagraph(margin+5, f.y, small, f.right()-margin-5, s) - 0.4
	}
}

// drawStations is the spine lying on its side with its stations, to scale.
func (f *flow) drawStations() {
	f.makeRoom(52)
	head, length := f.Sheet.Book.Trim.Head, f.Sheet.Book.UntrimmedLeaf().H
	end, _ := f.Sheet.Book.Ends()
	first, last := endMarks(f.Sheet.Book)
	heading := "Stations, from the " + end
	if head > 0 {
		heading = fmt.Sprintf("Stations. Above: from the trimmed %s. Below: from the untrimmed %s; pierce by these", end, end)
	}
	f.writeHeading(heading)
	scale := (f.right() - margin - 24) / length
	x := func(at float64) float64 { return margin + 12 + (at+head)*scale }
	middle := f.y - 17
	f.DrawRect(geom.Rect{X0: x(-head), Y0: middle - 2.5, X1: x(length - head), Y1: middle + 2.5}, pdf.Pen{Width: thin})
	f.writeStrong(margin, middle-1, small, first)
	f.writeStrong(f.right()-10, middle-1, small, last)
	if head > 0 {
		f.drawDashed(x(0), middle-2.5, x(0), middle+2.5)
		f.drawDashed(x(f.Sheet.Book.Leaf.H), middle-2.5, x(f.Sheet.Book.Leaf.H), middle+2.5)
	}
	for _, h := range f.Sheet.Stations.Holes {
		at := x(h.At)
		width := thin
		if h.Kind == binding.Kettle {
			width = bold
		}
		f.drawLine(at, middle-4, at, middle+4, width)
		f.writeTurned(at+small*0.35, middle+5, pdf.AnchorLeft, f.Sheet.Units.Length(binding.Exactly(h.At)))
		if head > 0 {
			f.writeTurned(at+small*0.35, middle-5, pdf.AnchorRight, f.Sheet.Units.Length(binding.Exactly(h.At+head)))
		}
	}
	f.y = middle - 8
	if head > 0 {
		f.y -= 13
	}
	f.y = f.writeParagraph(margin, f.y, small, f.right()-margin, f.key()+fmt.Sprintf(". Drawn to scale, about 1 : %.1f. Pierce by the piercing guide, which is at exact size.", 1/scale)) - 1
}

// key says what the ticks are.
func (f *flow) key() string {
	switch f.Sheet.Structure.Support {
	case binding.Cords:
		return "Thick: kettle stitches. Thin: cords"
	case binding.Tapes:
		return "Thick: kettle stitches. Thin: the two edges of each tape"
	}
	if f.Sheet.Structure.Sewn == binding.Side {
		return "Holes through the side"
	}
	return "Holes through the fold"
}

// Way is how the thread goes through a gathering, in words and drawn. What is drawn is told by whoever knows
// drawings: High is its height at a width, both in mm, and Draw draws it from its upper left corner on.
type Way struct {
	Heading, Words string
	High           func(width float64) float64
	Draw           func(on *pdf.Drawing, at geom.Point, width float64)
}

// drawWays puts the ways beside each other, in two columns: the words of each, and below them its drawing.
func (f *flow) drawWays(ways []Way) {
	if len(ways) == 0 {
		return
	}
	const between = 8.0
	wide := (f.right() - margin - between) / 2
	drawn := min(wide, 64)
	words, drawings := 0.0, 0.0
	for _, w := range ways {
		words = max(words, float64(len(breakLines(w.Words, small, wide)))*small*1.4)
		drawings = max(drawings, w.High(drawn))
	}
	f.makeRoom(words + drawings + 12)
	top := f.y - 2
	for i, w := range ways {
		x := margin + float64(i)*(wide+between)
		f.writeStrong(x, top, usual, w.Heading)
		f.writeParagraph(x, top-5, small, wide, w.Words)
		w.Draw(&f.page.Drawing, geom.Point{X: x, Y: top - 5 - words + small}, drawn)
	}
	f.y = top - 5 - words - drawings
}
