// Package printtest lends tests a book whose pages can be told apart, and what
// happens to its print files: they are read back with PDFium, printed on a
// virtual printer, cut, folded and read. Nothing of the planner is used.
//
// Start with [Book], prepare it, and follow with [Load], [Job.Print] and
// [Job.Read].
package printtest

import (
	"fmt"
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/testkit/pdftest"
)

// Every page of the book carries its number at this place, in mm from the
// page's upper left corner: off every axis of symmetry.
const (
	MarkX = 31.0
	MarkY = 23.0
)

// PageWidth is the width of a page of the book in mm.
const PageWidth = 148.0

// Book writes a book of A5 pages with one text mark each: p1, p2 and so on.
func Book(t testing.TB, pages int) string {
	t.Helper()
	return BookFrom(t, 1, pages)
}

// BookFrom is [Book] with the first of its pages marked with a number.
func BookFrom(t testing.TB, first, pages int) string {
	t.Helper()
	doc := pdftest.New(PageWidth, 210)
	doc.SetFont("Helvetica", "", 14)
	for i := first; i < first+pages; i++ {
		doc.AddPage()
		doc.Text(MarkX, MarkY, fmt.Sprintf("p%d", i))
	}
	path := filepath.Join(t.TempDir(), "marked.pdf")
	if err := doc.OutputFileAndClose(path); err != nil {
		t.Fatal(err)
	}
	return path
}
