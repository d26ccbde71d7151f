package reorder

import "math"

// MarkKind is what a mark is for.
type MarkKind int

const (
	FoldTick    MarkKind = iota + 1 // a line on a crease, at its ends
	CutTick                         // a line on a cut, at its ends
	StepMark                        // a block on the back of a gathering, a step below the one before it
	SignMark                        // the gathering's letter or number at the foot of its first page
	StationTick                     // a line across the innermost fold, on both sides of a station
	HeadMark                        // a point in the innermost fold that shows to the head
	CornerMark                      // a line outside a corner of the trimmed leaf
)

// FoldStrip is how far, in millimetres, marks reach to either side of a fold
// that is sewn through: what stands there is hidden in the fold.
const FoldStrip = 2.5

// Mark is a mark on one side of a sheet, in the view of that side, in mm.
type Mark struct {
	Kind MarkKind
	Side Side
	// Points are the ends of a line, the outline of a filled shape, or the
	// place at which the base line of Text begins.
	Points []Point
	Text   string
	Along  Point // the direction in which Text is read, of length 1
}

// Signing is how gatherings are named on their first pages.
type Signing int

const (
	Unsigned Signing = iota
	Letters
	Numbers
)

// Marking says which marks stand on the sheets of a book. Marks lie on a fold
// or a cut, within [FoldStrip] of the fold that is sewn through, or in what is
// trimmed off: never on a page.
type Marking struct {
	Folds, Cuts, Steps, Corners bool
	Signing                     Signing
	// Stations are the places of the holes in mm from the trimmed head; nil
	// leaves out station ticks and head marks.
	Stations []float64
	Trim     Trim
	Creep    Creep
	Volumes  []Volume // steps begin anew in each; empty: one
	// Margin is how far, in mm, marks begin from the sheet's edges, which the
	// printer cannot reach; CornerMargin the same for corner marks, which have
	// no other place and had better be cut short than left out.
	Margin, CornerMargin float64
	// Taken is how much of a fold, in mm from its head, other text stands on.
	Taken float64
}

// Marks is the marks on each sheet, by its number in the book.
func (m Marking) Marks(book Book) map[int][]Mark {
	d := marker{m, book, map[int][]Mark{}}
	for _, s := range book.Sheets() {
		for _, side := range []Side{Front, Back} {
			d.ticks(s, side)
			d.corners(s, side)
		}
	}
	d.gatherings()
	return d.marks
}

// marker collects the marks of a book.
type marker struct {
	Marking
	book  Book
	marks map[int][]Mark
}

func (d *marker) add(sheet int, m Mark) { d.marks[sheet] = append(d.marks[sheet], m) }

// fold is a fold that is sewn through where it shows on one side of a sheet.
type fold struct {
	sheet      int
	side       Side
	head, tail Point
	page       Point // from the fold towards the page whose place was asked for, of length 1
	length     float64
	from, to   float64 // mm from the head between which the printer reaches it
}

// at is the point so far from the fold's head and so far towards the page.
func (f fold) at(along, across float64) Point {
	dir := f.direction()
	return Point{f.head.X + dir.X*along + f.page.X*across, f.head.Y + dir.Y*along + f.page.Y*across}
}

// direction is from head to tail, of length 1.
func (f fold) direction() Point {
	return Point{(f.tail.X - f.head.X) / f.length, (f.tail.Y - f.head.Y) / f.length}
}

// foldAt finds the fold between two places of a gathering that face each
// other across it on one side of a sheet; ok is false where there is none.
func (d *marker) foldAt(panels map[int]located, place, other int) (f fold, ok bool) {
	p, q := panels[place], panels[other]
	if p.sheet == 0 || p.sheet != q.sheet || p.side != q.side {
		return fold{}, false
	}
	head, tail := p.SpineEdge()
	head2, tail2 := q.SpineEdge()
	if distance(head, head2) > 1e-6 || distance(tail, tail2) > 1e-6 || distance(head, tail) < 1e-6 {
		return fold{}, false
	}
	c := p.Rect.Centre()
	middle := Point{(head.X + tail.X) / 2, (head.Y + tail.Y) / 2}
	off := distance(c, middle)
	f = fold{
		sheet: p.sheet, side: p.side, head: head, tail: tail, length: distance(head, tail),
		page: Point{(c.X - middle.X) / off, (c.Y - middle.Y) / off},
	}
	f.from, f.to = d.reachable(f.head, f.direction(), f.length)
	return f, true
}

// reachable is the part of a line, from start on, within the printer's reach.
func (d *marker) reachable(start, dir Point, length float64) (from, to float64) {
	r := d.book.Sheet.Rect().Inset(d.Margin, d.Margin, d.Margin, d.Margin)
	from, to = 0, length
	for _, axis := range []struct{ at, dir, low, high float64 }{{start.X, dir.X, r.X0, r.X1}, {start.Y, dir.Y, r.Y0, r.Y1}} {
		switch {
		case axis.dir > 0.5:
			from, to = math.Max(from, axis.low-axis.at), math.Min(to, axis.high-axis.at)
		case axis.dir < -0.5:
			from, to = math.Max(from, axis.at-axis.high), math.Min(to, axis.at-axis.low)
		}
	}
	return from, to
}

func distance(a, b Point) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// located is a panel and where it is.
type located struct {
	Panel
	sheet int // number in the book
	side  Side
}
