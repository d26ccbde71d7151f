package reorder

import (
	"fmt"
	"math"
	"strings"

	"foldwright/reorder/geom"
)

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
	PageNumber                      // a running number at the foot of a page
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
	Points []geom.Point
	Text   string
	Along  geom.Point // the direction in which Text is read, of length 1
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
	// Taken is how much of a fold, in mm from its head, other text stands on: that has
	// its place in [Marking.NameRoom].
	Taken float64
}

// Marks is the marks on each sheet, by its number in the book.
func (m Marking) Marks(book Book) map[int][]Mark {
	d := marker{m, book, map[int][]Mark{}}
	for _, s := range book.Sheets() {
		for _, side := range []Side{Front, Back} {
			d.markTicks(s, side)
			d.markCorners(s, side)
		}
	}
	d.markGatherings()
	return d.marks
}

type marker struct {
	Marking
	book  Book
	marks map[int][]Mark
}

func (d *marker) add(sheet int, m Mark) { d.marks[sheet] = append(d.marks[sheet], m) }

// fold is a fold that is sewn through where it shows on one side of a sheet.
type fold struct {
	sheet     int
	side      Side
	head      geom.Point // where it begins
	direction geom.Point // from there to the tail, of length 1
	page      geom.Point // from the fold towards the page whose place was asked for, of length 1
	length    float64
	from, to  float64 // mm from the head between which the printer reaches it
}

// at is the point so far from the fold's head and so far towards the page.
func (f fold) at(along, across float64) geom.Point {
	return f.head.Plus(f.direction.Times(along)).Plus(f.page.Times(across))
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
	way := tail.Minus(head)
	if head.Minus(head2).Length() > 1e-6 || tail.Minus(tail2).Length() > 1e-6 || way.Length() < 1e-6 {
		return fold{}, false
	}
	page := p.Rect.Centre().Minus(head.Plus(tail).Times(0.5))
	f = fold{sheet: p.sheet, side: p.side, head: head, direction: way.Unit(), page: page.Unit(), length: way.Length()}
	f.from, f.to = d.reachAlong(d.book.Sheet, f.head, f.direction, f.length)
	return f, true
}

// reachAlong gives the part of a line, from start on, within the printer's reach.
func (m Marking) reachAlong(sheet geom.Size, start, dir geom.Point, length float64) (from, to float64) {
	r := sheet.Rect().Inset(m.Margin, m.Margin, m.Margin, m.Margin)
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

// NameRoom is the part of a line along a spine, in mm from its head, that the printer
// reaches and that is clear of all marks but the steps, which keep clear of what is
// written there.
func (m Marking) NameRoom(sheet geom.Size, head, tail geom.Point) (from, to float64) {
	way := tail.Minus(head)
	start, end := m.reachAlong(sheet, head, way.Unit(), way.Length())
	from, to = start, end
	if m.Signing != Unsigned {
		to = min(to, m.signAt(to, way.Length()))
	}
	if m.Stations != nil {
		from = max(from, m.Trim.Head) + headHigh
	}
	if m.Folds {
		from, to = max(from, start+tickLength), min(to, end-tickLength)
	}
	return from + nameGap, to - nameGap
}

// signAt is where a gathering's name begins on a fold of a length that the printer
// reaches so far.
func (m Marking) signAt(reach, length float64) float64 {
	return math.Min(reach-tickLength, length-m.Trim.Tail) - signFoot - signRoom/2
}

type located struct {
	Panel
	sheet int // number in the book
	side  Side
}

const (
	stepHighest = 8.0 // mm, of a block on the back
	stepLowest  = 2.0 // mm; more gatherings begin again at the top
	stepAcross  = 2.0 // mm to either side of the fold
	stepSlant   = 1.0 // mm by which a block falls from its first page's side to the other
	stepGap     = 4.0 // mm from what else stands on the fold

	signAbove = 0.5  // mm between the fold and the base line or the tops of the letters
	signRoom  = 14.0 // mm that a name takes at the foot of the fold
	signFoot  = 1.0  // mm between a name and the tick at the fold's end
	nameGap   = 1.0  // mm between other text and a mark

	stationFrom = 1.5 // mm from the fold: the needle's place and what is written there stay clear
	stationTo   = FoldStrip
	headHigh    = 3.0 // mm, of a head mark
	headWide    = 1.3 // mm to either side
)

// SignSize is the size in mm in which names of gatherings are set.
const SignSize = 2.2

// signAlphabet leaves out J, V and W (Zaehnsdorf, The Art of Bookbinding,
// 1890, p. 13).
const signAlphabet = "ABCDEFGHIKLMNOPQRSTUXYZ"

// Sign is the letter of a gathering: A to Z in the 23 letters of the trade,
// then AA, BB and so on.
func Sign(gathering int) string {
	i := gathering - 1
	return strings.Repeat(signAlphabet[i%len(signAlphabet):i%len(signAlphabet)+1], i/len(signAlphabet)+1)
}

// Name is what is written at the foot of a gathering's first page; empty: nothing.
func (s Signing) Name(gathering int) string {
	switch s {
	case Letters:
		return Sign(gathering)
	case Numbers:
		return fmt.Sprint(gathering)
	}
	return ""
}

// markGatherings marks the outermost and the innermost fold of each.
func (d *marker) markGatherings() {
	panels := d.panelsByPlace()
	volumes := d.Volumes
	if len(volumes) == 0 {
		volumes = []Volume{{Number: 1, First: 1, Gatherings: len(d.book.Gatherings)}}
	}
	for _, v := range volumes {
		for g := v.First; g <= v.Last(); g++ {
			n := len(d.book.Gatherings[g-1].Pages)
			if f, ok := d.foldAt(panels[g], 1, n); ok {
				d.drawStep(f, g-v.First, v.Last()-v.First+1)
				d.writeSign(f, g)
			}
			if f, ok := d.foldAt(panels[g], n/2+1, n/2); ok && n%2 == 0 {
				d.markStations(f)
			}
		}
	}
}

// panelsByPlace finds the panels of each gathering by their places.
func (d *marker) panelsByPlace() map[int]map[int]located {
	all := map[int]map[int]located{}
	for _, s := range d.book.Sheets() {
		for _, side := range []Side{Front, Back} {
			for _, p := range s.Side(side) {
				g := s.Pieces[p.Piece-1].Gathering
				if all[g] == nil {
					all[g] = map[int]located{}
				}
				all[g][p.Place] = located{p, s.Number, side}
			}
		}
	}
	return all
}

// drawStep draws a block on the back of a gathering, so that the blocks of a sewn
// book go down its back like stairs and a gathering that is missing, doubled or
// misplaced breaks them. i counts from 0.
func (d *marker) drawStep(f fold, i, gatherings int) {
	top, height, flight := d.stairsOn(f, gatherings)
	if !d.Steps || flight == 0 {
		return
	}
	a := top + float64(i%flight)*height
	d.add(f.sheet, Mark{Kind: StepMark, Side: f.side, Points: []geom.Point{
		f.at(a, stepAcross), f.at(a+height, stepAcross),
		f.at(a+height+stepSlant, -stepAcross), f.at(a+stepSlant, -stepAcross),
	}})
}

// stairsOn is where on a fold the steps begin, in mm from its head, how high each
// is, and how many there are before they begin again.
func (d *marker) stairsOn(f fold, gatherings int) (top, height float64, flight int) {
	bottom := math.Min(f.to-signRoom, f.length-d.Trim.Tail-signRoom) - stepSlant
	top = math.Max(f.from+tickLength, d.Trim.Head) + signFoot
	if d.Taken > 0 {
		top = math.Max(top, d.Taken+stepGap)
		if bottom-top < stepLowest {
			return 0, 0, 0 // there is no room beside what is written there
		}
	}
	flight = max(1, min(gatherings, int((bottom-top)/stepLowest)))
	return top, math.Min(stepHighest, math.Max(stepLowest, (bottom-top)/float64(flight))), flight
}

// writeSign writes the gathering's name along the fold at the foot of its first
// page, where it is outside when the sheet is rightly folded (Zaehnsdorf, The
// Art of Bookbinding, 1890, p. 4).
func (d *marker) writeSign(f fold, gathering int) {
	name := d.Signing.Name(gathering)
	if name == "" {
		return
	}
	along := d.signAt(f.to, f.length)
	// Read from head to tail; the page may lie to either side of that line.
	dir := f.direction
	const capitals = 0.72 // of the size
	across := signAbove
	if left := (geom.Point{X: -dir.Y, Y: dir.X}); left.X*f.page.X+left.Y*f.page.Y < 0 {
		across += SignSize * capitals
	}
	d.add(f.sheet, Mark{Kind: SignMark, Side: f.side, Points: []geom.Point{f.at(along, across)}, Text: name, Along: dir})
}

// markStations marks the holes and the head in the innermost fold of a gathering.
func (d *marker) markStations(f fold) {
	if d.Stations == nil {
		return
	}
	for _, s := range d.Stations {
		along := d.Trim.Head + s
		if along < f.from || along > f.to {
			continue
		}
		for _, side := range []float64{-1, 1} {
			d.add(f.sheet, Mark{Kind: StationTick, Side: f.side, Points: []geom.Point{f.at(along, side*stationFrom), f.at(along, side*stationTo)}})
		}
	}
	tip := math.Max(f.from, d.Trim.Head)
	d.add(f.sheet, Mark{Kind: HeadMark, Side: f.side, Points: []geom.Point{
		f.at(tip, 0), f.at(tip+headHigh, headWide), f.at(tip+headHigh, -headWide),
	}})
}
