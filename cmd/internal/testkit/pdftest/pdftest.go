// Package pdftest begins PDFs that tests draw themselves.
package pdftest

import (
	"runtime/debug"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// Tests collect garbage as seldom as the program does (cli.Main): at the usual 100 the tests
// that prepare many small books spend a third of their time on it.
func init() { debug.SetGCPercent(400) }

// New begins a PDF whose pages have a width and height in mm. What is drawn
// into it alone decides its bytes: it says that it was made in 1970, and sorts
// its catalogue, so that a book written twice is the same file in any second. Its
// pages are not packed: a new packer for each takes longer than all else of it.
func New(width, height float64) *fpdf.Fpdf {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: width, Ht: height}})
	doc.SetCreationDate(time.Unix(0, 0).UTC())
	doc.SetModificationDate(time.Unix(0, 0).UTC())
	doc.SetCatalogSort(true)
	doc.SetCompression(false)
	return doc
}
