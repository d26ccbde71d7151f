package reorder

import (
	"fmt"

	"foldwright/reorder/enum"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// NumberPlace is where running numbers of pages stand at the foot of their leaves.
type NumberPlace = enum.Value[numbersWords]

const (
	NumbersOuter  NumberPlace = iota + 1 // at the fore-edge
	NumbersCentre                        // in the middle of the leaf
)

type numbersWords struct{}

func (numbersWords) Words() enum.Words { return enum.New("numbers", "outer", "centre") }

// Where running numbers stand on the trimmed leaf, in mm (common practice, no source).
const (
	NumberSize     = 3.2  // of their type: 9 pt
	NumberFoot     = 9.0  // from the tail to their base line
	NumberForeEdge = 12.0 // from the fore-edge to their end
	numberClear    = 1.0  // from the edge that the printer cannot reach
	numberHigh     = 0.74 // of the type's size: the height of its figures
)

// Numbering is the running numbers of a book. Every place counts, blanks too; only pages bear theirs.
type Numbering struct {
	At    NumberPlace
	From  int                  // the number of the first place
	Skip  func(page int) bool  // pages of the book that bear none
	Width func(string) float64 // of a text in mm, set at [NumberSize]
	Trim  Trim
	Creep Creep
	Clear float64 // mm at the sheet's edges that the printer cannot reach
}

// Number is a running number on its page.
type Number struct {
	Mark
	Sheet int       // in the book
	Page  int       // of the book
	Box   geom.Rect // around the figures, in the view of the side
}

// Numbers is the running numbers of a book, sheet by sheet. Outer ones need a spine at the side.
func (n Numbering) Numbers(book Book) ([]Number, error) {
	if n.At == NumbersOuter && book.Form.Bind == BindTop {
		return nil, refusal.Plan.New("outer numbers are for a spine at the left or the right").Advise("with the spine at the top they stand in the centre")
	}
	before := book.PlacesBefore()
	var out []Number
	for _, s := range book.Sheets() {
		for _, side := range []Side{Front, Back} {
			for _, p := range s.Side(side) {
				if p.Page == 0 || n.Skip(p.Page) {
					continue
				}
				place := before[s.Pieces[p.Piece-1].Gathering] + p.Place
				number := n.on(p, fmt.Sprint(n.From+place-1))
				number.Sheet, number.Side = s.Number, side
				out = append(out, number)
			}
		}
	}
	return out, nil
}

func (n Numbering) on(p Panel, text string) Number {
	m := p.fromReading()
	whole := p.readingSize().Rect()
	kept := m.Inverse().Bounds(p.TrimmedRect(n.Trim, n.Creep))
	width := n.Width(text)
	y := max(kept.Y0+NumberFoot, whole.Y0+n.Clear+numberClear)
	x := (kept.X0 + kept.X1 - width) / 2
	if n.At == NumbersOuter {
		if p.spineSide() == geom.Left {
			x = min(kept.X1-NumberForeEdge, whole.X1-n.Clear-numberClear) - width
		} else {
			x = max(kept.X0+NumberForeEdge, whole.X0+n.Clear+numberClear)
		}
	}
	return Number{
		Mark: Mark{Kind: PageNumber, Points: []geom.Point{m.Apply(geom.Point{X: x, Y: y})}, Text: text, Along: m.Direction(geom.Point{X: 1})},
		Page: p.Page,
		Box:  m.Bounds(geom.Rect{X0: x, Y0: y, X1: x + width, Y1: y + numberHigh*NumberSize}),
	}
}

// spineSide is where the spine lies as the page is read.
func (p Panel) spineSide() geom.Towards {
	return geom.Towards((p.Spine.Quarters()-p.Head.Quarters()+4)%4 + 1)
}
