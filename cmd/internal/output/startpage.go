package output

import (
	"fmt"
	"slices"

	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/runsheet"
	"foldwright/reorder/geom"
)

// The printed page, in mm.
const (
	edgeSpace = 18.0
	markSpace = 8.0 // for the number of a step
	bodySize  = 3.4
	leading   = 1.35 // of the size
	afterBody = 1.2

	mostDrawing  = 66.0
	drawingSpace = 4.0
)

// typeset sets paragraphs on as many pages of the paper as they need. The drawing of
// a step stands beside its words.
func typeset(title string, paper geom.Size, lines []runsheet.Line) pdf.PrintFile {
	s := setter{size: paper, file: pdf.PrintFile{Paper: paper, Title: "Start here: " + title, Duplex: pdf.Simplex}}
	s.turnPage()
	s.setParagraph("Start here", pdf.HelveticaBold, 8, edgeSpace, 0)
	s.setParagraph(title, pdf.Helvetica, 4.5, edgeSpace, 3)
	for len(lines) > 0 {
		l := lines[0]
		n := 1
		switch {
		case l.Heading == 1:
			s.makeRoom(18 + s.firstHeight(lines[1:]))
			s.y -= 6
			s.setParagraph(l.Text, pdf.HelveticaBold, 5.2, edgeSpace, 1.5)
			s.page.DrawLine(geom.Point{X: edgeSpace, Y: s.y + 1}, geom.Point{X: paper.W - edgeSpace, Y: s.y + 1}, pdf.Pen{Width: 0.4})
			s.y -= 1.5
		case l.Heading == 2:
			s.makeRoom(8 + s.firstHeight(lines[1:]))
			s.y -= 2.5
			s.setParagraph(l.Text, pdf.HelveticaBold, 4, edgeSpace, 1)
		case l.Bold:
			n = stepLines(lines)
			s.setStep(lines[:n])
		default:
			s.setBody(l)
		}
		lines = lines[n:]
	}
	s.file.Sides = append(s.file.Sides, pdf.Side{Drawing: s.page})
	for i := range s.file.Sides {
		page := &s.file.Sides[i].Drawing
		foot := func(x float64, anchor pdf.Anchor, text string) {
			page.WriteText(geom.Point{X: x, Y: edgeSpace / 2}, pdf.Text{Text: text, Font: pdf.Helvetica, Size: bodySize * 0.9, Anchor: anchor})
		}
		foot(edgeSpace, pdf.AnchorLeft, "Start here: "+title)
		foot(paper.W-edgeSpace, pdf.AnchorRight, fmt.Sprintf("page %d of %d", i+1, len(s.file.Sides)))
	}
	return s.file
}

// stepLines is how many lines belong to the step with which they begin.
func stepLines(lines []runsheet.Line) int {
	n := slices.IndexFunc(lines[1:], func(l runsheet.Line) bool {
		return l.Bold || l.Heading > 0 || l.Mark == "" && !l.Inset
	})
	if n < 0 {
		return len(lines)
	}
	return n + 1
}

// setStep sets a step and its drawing, on a new page if it fits on one, but not on what
// is left of this one.
func (s *setter) setStep(lines []runsheet.Line) {
	s.makeRoom(s.stepHeight(lines))
	below := s.y
	if drawn := lines[0].Drawing; drawn != nil {
		wide := s.drawingWidth()
		at := geom.Point{X: s.size.W - edgeSpace - wide, Y: s.y}
		below -= drawing.OnPage(&s.page, drawn, at, wide) + afterBody
		s.beside = wide + drawingSpace
	}
	for _, l := range lines {
		s.setBody(l)
	}
	s.beside = 0
	s.y = min(s.y, below)
}

// drawingWidth is how wide a drawing stands on the page.
func (s *setter) drawingWidth() float64 { return min(mostDrawing, (s.size.W-2*edgeSpace)*0.42) }

// stepHeight is how high a step is with its drawing; 0 if it does not fit on a page.
func (s *setter) stepHeight(lines []runsheet.Line) (high float64) {
	drawn := lines[0].Drawing
	if drawn != nil {
		s.beside = s.drawingWidth() + drawingSpace
	}
	for _, l := range lines {
		font, left := s.face(l)
		high += float64(len(s.breakLines(l.Text, font, bodySize, left)))*bodySize*leading + afterBody
	}
	s.beside = 0
	if drawn != nil {
		high = max(high, drawing.HeightAt(drawn, s.drawingWidth())+afterBody)
	}
	if high > s.size.H-2*edgeSpace-30 { // with a heading above it
		return 0
	}
	return high
}

// firstHeight is how high what follows a heading is, as far as it must not be parted from it.
func (s *setter) firstHeight(lines []runsheet.Line) float64 {
	switch {
	case len(lines) == 0:
		return 0
	case lines[0].Heading > 0:
		return 8 + s.firstHeight(lines[1:])
	case lines[0].Bold:
		return s.stepHeight(lines[:stepLines(lines)])
	}
	return 12
}

type setter struct {
	size geom.Size
	file pdf.PrintFile
	page pdf.Drawing
	y    float64 // below which nothing stands yet
	// beside is what a drawing takes of the width, at the right.
	beside float64
}

// turnPage begins a page.
func (s *setter) turnPage() {
	if !s.page.IsEmpty() {
		s.file.Sides = append(s.file.Sides, pdf.Side{Drawing: s.page})
	}
	s.page = pdf.Drawing{}
	s.y = s.size.H - edgeSpace
}

// makeRoom begins a page where less is left on this one.
func (s *setter) makeRoom(mm float64) {
	if s.y-mm < edgeSpace {
		s.turnPage()
	}
}

// face is the font of a paragraph and where it begins.
func (s *setter) face(l runsheet.Line) (font pdf.Font, left float64) {
	font, left = pdf.Helvetica, edgeSpace
	if l.Bold {
		font = pdf.HelveticaBold
	}
	if l.Mark != "" || l.Inset {
		left += markSpace
	}
	if l.Inset && l.Mark != "" {
		left += markSpace / 2
	}
	return font, left
}

func (s *setter) setBody(l runsheet.Line) {
	font, left := s.face(l)
	s.makeRoom(bodySize * leading * 2)
	if l.Mark != "" {
		mark, at := l.Mark, edgeSpace
		if l.Inset {
			at = left - markSpace/2
		} else {
			mark = fmt.Sprintf("%s.", mark)
		}
		s.page.WriteText(geom.Point{X: at, Y: s.y - bodySize}, pdf.Text{Text: mark, Font: font, Size: bodySize, Anchor: pdf.AnchorLeft})
	}
	s.setParagraph(l.Text, font, bodySize, left, afterBody)
}

// setParagraph sets a text.
func (s *setter) setParagraph(text string, font pdf.Font, size, left, after float64) {
	for _, line := range s.breakLines(text, font, size, left) {
		s.makeRoom(size * leading)
		s.page.WriteText(geom.Point{X: left, Y: s.y - size}, pdf.Text{Text: line, Font: font, Size: size, Anchor: pdf.AnchorLeft})
		s.y -= size * leading
	}
	s.y -= after
}

// breakLines breaks a text into lines that end at its spaces; at least one.
func (s *setter) breakLines(text string, font pdf.Font, size, left float64) []string {
	return pdf.Text{Text: text, Font: font, Size: size}.Lines(s.size.W - edgeSpace - s.beside - left)
}
