package job

import (
	"fmt"
	"strings"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/runsheet"
	"foldwright/reorder"
)

// The printed page, in mm.
const (
	edgeSpace = 18.0
	markSpace = 8.0 // for the number of a step
	bodySize  = 3.4
	leading   = 1.35 // of the size
)

// typeset sets paragraphs on as many pages of the paper as they need.
func typeset(title string, paper reorder.Size, lines []runsheet.Line) pdf.PrintFile {
	s := setter{size: paper, file: pdf.PrintFile{Paper: paper, Title: "Start here: " + title, Duplex: pdf.Simplex}}
	s.turn()
	s.paragraph("Start here", pdf.HelveticaBold, 8, edgeSpace, 0)
	s.paragraph(title, pdf.Helvetica, 4.5, edgeSpace, 3)
	for _, l := range lines {
		switch {
		case l.Heading == 1:
			s.room(30)
			s.y -= 6
			s.paragraph(l.Text, pdf.HelveticaBold, 5.2, edgeSpace, 1.5)
			s.page.Line(reorder.Point{X: edgeSpace, Y: s.y + 1}, reorder.Point{X: paper.W - edgeSpace, Y: s.y + 1}, pdf.Pen{Width: 0.4})
			s.y -= 1.5
		case l.Heading == 2:
			s.room(20)
			s.y -= 2.5
			s.paragraph(l.Text, pdf.HelveticaBold, 4, edgeSpace, 1)
		default:
			s.body(l)
		}
	}
	s.file.Sides = append(s.file.Sides, pdf.Side{Drawing: s.page})
	return s.file
}

type setter struct {
	size reorder.Size
	file pdf.PrintFile
	page pdf.Drawing
	y    float64 // below which nothing stands yet
}

// turn begins a page.
func (s *setter) turn() {
	if !s.page.Empty() {
		s.file.Sides = append(s.file.Sides, pdf.Side{Drawing: s.page})
	}
	s.page = pdf.Drawing{}
	s.y = s.size.H - edgeSpace
}

// room begins a page where less is left on this one.
func (s *setter) room(mm float64) {
	if s.y-mm < edgeSpace {
		s.turn()
	}
}

func (s *setter) body(l runsheet.Line) {
	font, left := pdf.Helvetica, edgeSpace
	if l.Bold {
		font = pdf.HelveticaBold
	}
	if l.Mark != "" || l.Inset {
		left += markSpace
	}
	if l.Inset && l.Mark != "" {
		left += markSpace / 2
	}
	s.room(bodySize * leading * 2)
	if l.Mark != "" {
		mark, at := l.Mark, edgeSpace
		if l.Inset {
			at = left - markSpace/2
		} else {
			mark = fmt.Sprintf("%s.", mark)
		}
		s.page.Text(reorder.Point{X: at, Y: s.y - bodySize}, pdf.Text{Text: mark, Font: font, Size: bodySize, Anchor: pdf.AnchorLeft})
	}
	s.paragraph(l.Text, font, bodySize, left, 1.2)
}

// paragraph breaks a text into lines at its spaces.
func (s *setter) paragraph(text string, font pdf.Font, size, left, after float64) {
	width := s.size.W - edgeSpace - left
	line := ""
	flush := func() {
		s.room(size * leading)
		s.page.Text(reorder.Point{X: left, Y: s.y - size}, pdf.Text{Text: line, Font: font, Size: size, Anchor: pdf.AnchorLeft})
		s.y -= size * leading
		line = ""
	}
	for _, word := range strings.Fields(text) {
		if line != "" && pdf.TextWidth(line+" "+word, font, size) > width {
			flush()
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	flush()
	s.y -= after
}
