// Package pdftest begins PDFs that tests draw themselves.
package pdftest

import (
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// New begins a PDF whose pages have a width and height in mm. What is drawn
// into it alone decides its bytes: it says that it was made in 1970, and sorts
// its catalogue, so that a book written twice is the same file in any second.
func New(width, height float64) *fpdf.Fpdf {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: width, Ht: height}})
	doc.SetCreationDate(time.Unix(0, 0).UTC())
	doc.SetModificationDate(time.Unix(0, 0).UTC())
	doc.SetCatalogSort(true)
	return doc
}
