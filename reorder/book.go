// Package reorder plans how the pages of a linear text stand on printed
// sheets so that the sheets, cut, folded and nested, read 1..n again.
//
// Start with [SizesBetween], which shares the sheets out among gatherings,
// and [Arrange], which puts pages on their panels; then [Placing.Place] says
// how large and where each page stands on its panel, with what is trimmed off
// and how far inner leaves creep out, and [Marking.Marks] which marks stand
// around the pages. The page orders are not
// written down anywhere: from a [Form] follows what the hands do,
// [Form.Handwork], and the orders follow from doing it with numbered sheets.
//
// It is arithmetic on paper. It knows no files, no PDF, no printer and no
// flags; package printer decides in which order and how turned the sides go
// through a printer.
//
// Frames: millimetres; a sheet is in feed orientation, its short edge the
// head, x to the right, y up, origin at the lower left corner of the side
// that is looked at. The back is seen after turning the sheet about its long
// edge, like the page of a book.
package reorder

import (
	"slices"

	"foldwright/reorder/enum"
	"foldwright/reorder/geom"
)

// Side is one of a sheet's two faces in the plan's frames: the front is the
// face printed in the front pass and carries the outer side; the back is seen
// after turning the sheet about its long edge, like the page of a book, so
// that the point (x, y) of the front lies over (W-x, y) of the back.
type Side = enum.Value[sideWords]

const (
	Front Side = iota + 1
	Back
)

type sideWords struct{}

func (sideWords) Words() enum.Words { return enum.New("side", "front", "back") }

// Panel is the rectangle of a side that one page occupies.
type Panel struct {
	Rect  geom.Rect    // mm, in the view of its own side
	Head  geom.Towards // where the page's head points
	Spine geom.Towards // at which edge of Rect the fold lies that is sewn through
	Piece int          // which of the sheet's pieces it lies on, from 1
	Place int          // place of the page in the reading order of its gathering, from 1
	Page  int          // number of the source page, from 1; 0 is an added blank
	Depth int          // how many thicknesses of paper lie outside this leaf in the gathering

	piece *Piece // until the sheet's pieces are numbered
}

// Piece is a part of a printed sheet that is folded by itself; an uncut sheet
// is one piece.
type Piece struct {
	Gathering int       // number of its gathering, from 1
	Number    int       // within the gathering, from 1, outermost first; of two copies, which one
	Of        int       // how many pieces, or copies, there are
	Front     geom.Rect // mm, in the view of the front
}

// Sheet is one printed sheet with the panels of its two sides.
type Sheet struct {
	Gathering int     // number of the gathering that it is counted with, from 1
	Pieces    []Piece // in the order of gatherings, outermost first
	Spare     []Spare // pieces that no gathering needs
	Number    int     // number within the book, from 1
	Front     []Panel // may be fewer than the back's: faces that are never seen have no panel
	Back      []Panel
}

// Side is the panels of one side.
func (s Sheet) Side(side Side) []Panel {
	if side == Front {
		return s.Front
	}
	return s.Back
}

// On is the panels of a side that lie on one of the pieces, counted from 1.
func (s Sheet) On(side Side, piece int) []Panel {
	return slices.DeleteFunc(slices.Clone(s.Side(side)), func(p Panel) bool { return p.Piece != piece })
}

// Gathering is the leaves that are sewn through one fold. Where the sheets of
// several gatherings are cut as one, Sheets is only its share of the paper, which can
// be none: its pieces come from all sheets of the stack, see [Sheet].Pieces.
type Gathering struct {
	Number int     // from 1
	Sheets []Sheet // outermost first
	Pages  []int   // the source page at each place in reading order, 0 for an added blank
}

// Book is the plan of a whole text block on paper.
type Book struct {
	Sheet      geom.Size // feed orientation
	Form       Form
	Stacks     [][]int // the sizes of the gatherings that are cut as one stack
	Gatherings []Gathering
}

// SpineEdge is the panel's edge on the fold that is sewn through, from the
// page's head to its tail; with the spine at the top, from left to right as the
// page is read.
func (p Panel) SpineEdge() (head, tail geom.Point) {
	first := p.spineHead()
	return p.Rect.Corner(p.Spine, first), p.Rect.Corner(p.Spine, first.Opposite())
}

// spineHead is where that edge begins.
func (p Panel) spineHead() geom.Towards {
	if p.Head == p.Spine || p.Head == p.Spine.Opposite() {
		return p.Head.Turn(1) // the left as the page is read
	}
	return p.Head
}
