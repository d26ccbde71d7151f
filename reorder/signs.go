package reorder

import (
	"fmt"
	"math"
	"strings"
)

const (
	stepHighest = 8.0 // mm, of a block on the back
	stepLowest  = 2.0 // mm; more gatherings begin again at the top
	stepAcross  = 2.0 // mm to either side of the fold
	stepSlant   = 1.0 // mm by which a block falls from its first page's side to the other
	stepGap     = 4.0 // mm from what else stands on the fold

	signSize  = 2.2  // mm, the font's size
	signAbove = 0.5  // mm between the fold and the base line or the tops of the letters
	signRoom  = 14.0 // mm that a name takes at the foot of the fold
	signFoot  = 1.0  // mm between a name and the tick at the fold's end

	stationFrom = 1.1 // mm from the fold: the needle's place stays clear
	stationTo   = FoldStrip
	headHigh    = 3.0 // mm, of a head mark
	headWide    = 1.3 // mm to either side
)

// SignSize is the size in mm in which names of gatherings are set.
const SignSize = signSize

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

// gatherings marks the outermost and the innermost fold of each.
func (d *marker) gatherings() {
	panels := d.panels()
	for _, v := range d.volumes() {
		for g := v.First; g <= v.Last; g++ {
			n := len(d.book.Gatherings[g-1].Pages)
			if f, ok := d.foldAt(panels[g], 1, n); ok {
				d.step(f, g-v.First, v.Last-v.First+1)
				d.sign(f, g)
			}
			if f, ok := d.foldAt(panels[g], n/2+1, n/2); ok && n%2 == 0 {
				d.stations(f)
			}
		}
	}
}

func (d *marker) volumes() []Volume {
	if len(d.Volumes) > 0 {
		return d.Volumes
	}
	return []Volume{{1, len(d.book.Gatherings)}}
}

// panels finds the panels of each gathering by their places.
func (d *marker) panels() map[int]map[int]located {
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

// step draws a block on the back of a gathering, so that the blocks of a sewn
// book go down its back like stairs and a gathering that is missing, doubled or
// misplaced breaks them. i counts from 0.
func (d *marker) step(f fold, i, gatherings int) {
	if !d.Steps {
		return
	}
	top, height, flight := d.stairs(f, gatherings)
	a := top + float64(i%flight)*height
	d.add(f.sheet, Mark{Kind: StepMark, Side: f.side, Points: []Point{
		f.at(a, stepAcross), f.at(a+height, stepAcross),
		f.at(a+height+stepSlant, -stepAcross), f.at(a+stepSlant, -stepAcross),
	}})
}

// stairs is where on a fold the steps begin, in mm from its head, how high each
// is, and how many there are before they begin again.
func (d *marker) stairs(f fold, gatherings int) (top, height float64, flight int) {
	bottom := math.Min(f.to-signRoom, f.length-d.Trim.Tail-signRoom) - stepSlant
	top = math.Max(f.from+tickLength, d.Trim.Head) + signFoot
	if below := math.Max(top, d.Taken+stepGap); bottom-below >= stepLowest {
		top = below // beside what else stands there, if there is any room
	}
	flight = max(1, min(gatherings, int((bottom-top)/stepLowest)))
	return top, math.Min(stepHighest, math.Max(stepLowest, (bottom-top)/float64(flight))), flight
}

// sign writes the gathering's name along the fold at the foot of its first
// page, where it is outside when the sheet is rightly folded (Zaehnsdorf, The
// Art of Bookbinding, 1890, p. 4).
func (d *marker) sign(f fold, gathering int) {
	name := d.Signing.Name(gathering)
	if name == "" {
		return
	}
	along := math.Min(f.to-tickLength, f.length-d.Trim.Tail) - signFoot - signRoom/2
	// Read from head to tail; the page may lie to either side of that line.
	dir := f.direction()
	const capitals = 0.72 // of the size
	across := signAbove
	if left := (Point{-dir.Y, dir.X}); left.X*f.page.X+left.Y*f.page.Y < 0 {
		across += signSize * capitals
	}
	d.add(f.sheet, Mark{Kind: SignMark, Side: f.side, Points: []Point{f.at(along, across)}, Text: name, Along: dir})
}

// stations marks the holes and the head in the innermost fold of a gathering.
func (d *marker) stations(f fold) {
	if d.Stations == nil {
		return
	}
	for _, s := range d.Stations {
		along := d.Trim.Head + s
		if along < f.from || along > f.to {
			continue
		}
		for _, side := range []float64{-1, 1} {
			d.add(f.sheet, Mark{Kind: StationTick, Side: f.side, Points: []Point{f.at(along, side*stationFrom), f.at(along, side*stationTo)}})
		}
	}
	tip := math.Max(f.from, d.Trim.Head)
	d.add(f.sheet, Mark{Kind: HeadMark, Side: f.side, Points: []Point{
		f.at(tip, 0), f.at(tip+headHigh, headWide), f.at(tip+headHigh, -headWide),
	}})
}
