package testsheet

import (
	"context"
	"io"

	"foldwright/cmd/internal/pdf"
	"foldwright/printer"
	"foldwright/reorder"
)

// The print files of the test sheet.
const (
	FrontFile = "test-front.pdf"
	BackFile  = "test-back.pdf"
	BothFile  = "test-both.pdf"
)

// File is one print file of the test.
type File struct {
	Name string
	pdf.PrintFile
}

// Files are the three print files: the fronts and the backs, to be printed by
// hand, and both for a printer that turns the paper itself. The first sheet
// comes first in each.
func Files(paper reorder.Paper, three bool) []File {
	front := File{FrontFile, pdf.PrintFile{Paper: paper.Size, Title: "Test sheet, front", Duplex: pdf.Simplex}}
	back := File{BackFile, pdf.PrintFile{Paper: paper.Size, Title: "Test sheet, back", Duplex: pdf.Simplex}}
	// Whatever the printer makes of the long edge is what its profile says
	// afterwards, so every automatic file asks for the long edge.
	both := File{BothFile, pdf.PrintFile{Paper: paper.Size, Title: "Test sheet, both faces", Duplex: pdf.LongEdge}}
	for _, s := range Sheets(paper, three) {
		front.Sides = append(front.Sides, s.Front(printer.ByHand))
		back.Sides = append(back.Sides, s.Back())
		both.Sides = append(both.Sides, s.Front(printer.Automatic), s.Back())
	}
	return []File{front, back, both}
}

// Encode writes the file.
func (f File) Encode(ctx context.Context, w io.Writer) error {
	return pdf.WriteDrawings(ctx, w, f.PrintFile)
}
