package pdf

import (
	"context"
	"io"
	"math"

	"foldwright/reorder/geom"
)

// Duplex is what a print file says to the print dialog about the two sides of
// the paper (ISO 32000-1, table 150).
type Duplex int

const (
	Simplex   Duplex = iota + 1 // one side only
	LongEdge                    // both sides, turned about the long edge
	ShortEdge                   // both sides, turned about the short edge
)

// duplexes are its words, and its names in the standard.
var duplexes = [...]struct{ word, name string }{
	{"no duplex", ""}, {"simplex", "Simplex"}, {"long edge", "DuplexFlipLongEdge"}, {"short edge", "DuplexFlipShortEdge"},
}

func (d Duplex) String() string { return duplexes[d].word }

// PrintFile is one file to be printed: one PDF page of exactly the paper's size for each side.
type PrintFile struct {
	Paper  geom.Size // mm, in feed orientation
	Title  string    // shown by the viewer; empty: none
	Duplex Duplex    // the zero value leaves it to the dialog
	Sides  []Side
}

// Side is the front or the back of a sheet. One without anything on it is still a page.
type Side struct {
	Pages   []Placed
	Rasters []PlacedRaster // drawn over the pages
	Drawing Drawing        // drawn over both
	Name    Drawing        // drawn last: what no other side bears
}

// Placed is a source page on a side.
type Placed struct {
	Page int // number of the source page, from 1
	// Matrix maps the page's upright visible box (mm, origin at its lower
	// left corner, y up) to the side (mm, origin at its lower left corner).
	Matrix geom.Matrix
	// Clip is the rectangle of the side, in mm, that nothing of the page leaves.
	Clip geom.Rect
	// Box is what is shown of the page, in the frame that Matrix maps from: a
	// half of a spread, the trim box. The zero value is the visible box.
	Box geom.Rect
	// From is the document of the page. Nil: the one whose Write is called.
	From *Document
}

// Write writes a print file. It may be called again, and at the same time, for
// other files of the job; the same source and the same PrintFile give the
// same bytes. Errors name the source page.
func (d *Document) Write(ctx context.Context, w io.Writer, f PrintFile) (err error) {
	defer nameFile(&err, d.path)
	return write(ctx, w, d, f)
}

// Write writes a file of drawings, and of pages that come from several documents, each
// named by [Placed.From]. In errors its title stands for a file that is not known.
func Write(ctx context.Context, w io.Writer, f PrintFile) (err error) {
	defer nameFile(&err, f.Title)
	return write(ctx, w, nil, f)
}

// isFlat tells whether a matrix can't be drawn with.
func isFlat(m geom.Matrix) bool {
	det := m[0]*m[3] - m[1]*m[2]
	for _, v := range m {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return true
		}
	}
	return math.Abs(det) < 1e-12
}
