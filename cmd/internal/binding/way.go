package binding

import (
	"math"

	"foldwright/reorder/enum"
)

// Links is where a gathering is linked to the one sewn before it.
type Links = enum.Value[linkWords]

const (
	Kettles   Links = iota // at its ends, by kettle stitches
	AtHoles                // at every inner hole too: link stitch
	OverTapes              // where the thread crosses a tape too: French link
)

type linkWords struct{}

func (linkWords) Words() enum.Words { return enum.New("links", "holes", "tapes") }

// Stitch is the thread's way through one hole. Between two of them it lies inside the
// fold where the first goes in, else outside.
type Stitch struct {
	Gathering int // from 1, the one sewn first
	Hole      int // from 1, at the head
	In        bool
	Link      bool // on its way here the needle goes behind the thread outside the gathering below
}

// Way is the way of the needle through the folds of so many gatherings, from the one that
// is sewn first. It is nil where leaves are sewn through their side.
//
// Through folds it runs to and fro, once along each: over tapes, round cords. A link stitch needs thread
// to link into, so the first gathering is sewn in and out through its holes by turns. That ends
// outside where their number is even. COCKERELL, Bookbinding, and the Care of Books, 1901, the chapter on sewing, for cords and
// tapes (from memory); the links are common practice, no source.
func (s Sheet) Way(gatherings int) []Stitch {
	switch s.Structure.Sewn {
	case OneFold:
		return singleWay(len(s.Stations.Holes))
	case Side:
		return nil
	}
	links, n := s.Structure.Links, len(s.Stations.Holes)
	var way []Stitch
	for g := 1; g <= gatherings; g++ {
		in := true
		for i := range n {
			hole := i + 1
			if g%2 == 0 { // to and fro
				hole = n - i
			}
			kind := s.Stations.Holes[hole-1].Kind
			across := links == OverTapes && in && i > 0 && i < n-1
			way = append(way, Stitch{g, hole, in, across && g > 1})
			in = !in
			if i == 0 || i == n-1 || s.Structure.Sewn != Folds || links == AtHoles && g == 1 {
				continue
			}
			if kind == OnCord || kind == Hole { // round the cord or the thread below, and back
				way = append(way, Stitch{g, hole, in, links == AtHoles})
				in = !in
			}
		}
	}
	return way
}

// singleWay sews one gathering through an odd number of holes: from the middle to the head
// and back, past the middle to the tail and back to the middle.
func singleWay(holes int) []Stitch {
	middle := (holes + 1) / 2
	var order []int
	for h := middle; h >= 1; h-- {
		order = append(order, h)
	}
	for h := 2; h < middle; h++ {
		order = append(order, h)
	}
	for h := middle + 1; h <= holes; h++ {
		order = append(order, h)
	}
	for h := holes - 1; h > middle; h-- {
		order = append(order, h)
	}
	order = append(order, middle)
	way := make([]Stitch, len(order))
	for i, h := range order {
		way[i] = Stitch{Gathering: 1, Hole: h, In: i%2 == 0}
	}
	return way
}

// wayLength is how long a thread is that lies on the way, in mm; pitch is how far the folds of two gatherings
// lie from each other. A link goes down to the gathering below and up again. So does the kettle stitch
// that ends each gathering; the first has nothing to link into, and the second is tied.
// How far a thread goes round a cord is left to the spare.
func (s Stations) wayLength(way []Stitch, pitch float64) (sum float64) {
	for i, w := range way {
		last := i == len(way)-1
		if w.Link {
			sum += 2 * pitch
		}
		if w.Gathering > 2 && (last || way[i+1].Gathering > w.Gathering) {
			sum += 2 * pitch
		}
		if !last {
			next := way[i+1]
			sum += math.Abs(s.Holes[next.Hole-1].At-s.Holes[w.Hole-1].At) + float64(next.Gathering-w.Gathering)*pitch
		}
	}
	return sum
}
