package binding

import (
	"fmt"
	"slices"

	"foldwright/reorder"
)

// StationKind is what happens at a station.
type StationKind int

const (
	Kettle StationKind = iota + 1 // the linking stitch near an end
	OnCord
	TapeEdge // one of a tape's two holes
	Hole
)

func (k StationKind) String() string {
	switch k {
	case Kettle:
		return "kettle stitch"
	case OnCord:
		return "cord"
	case TapeEdge:
		return "edge of a tape"
	case Hole:
		return "hole"
	}
	return "no station"
}

// Station is a hole in the fold.
type Station struct {
	At      float64 // mm from the trimmed head
	Kind    StationKind
	Support int // number of the support from the head, 0: none
}

// String is the station's kind and, at a support, its number.
func (h Station) String() string {
	if h.Support > 0 {
		return fmt.Sprintf("%s %d", h.Kind, h.Support)
	}
	return h.Kind.String()
}

// Stations is the holes of a book.
type Stations struct {
	Holes    []Station
	Supports []float64 // their middles, mm from the trimmed head
	Notes    []Reason  // what was changed so that they fit, and what does not
}

// Places is where the holes are, in mm from the trimmed head.
func (s Stations) Places() []float64 {
	var out []float64
	for _, h := range s.Holes {
		out = append(out, h.At)
	}
	return out
}

// near is how far, in mm, gaps may miss what is asked for by rounding.
const near = 1e-6

// endsAt is the largest share of the back's height at which an end station lies
// from its end, and narrowAt that which the narrowest gap has, so that small
// books have stations too (common practice, no source).
const (
	endsAt   = 0.25
	narrowAt = 0.2
)

// narrowest is the narrowest gap that is borne, in mm.
func (s Structure) narrowest(height float64) float64 {
	return min(float64(s.NarrowGap), height*narrowAt)
}

// places is the stations of a back with so many supports, from its ends and
// the middles of the supports.
func (s Structure) places(height float64, n int) (ends [2]float64, middles []float64) {
	most := height * endsAt
	ends = [2]float64{min(float64(s.EndHead), most), height - min(float64(s.EndTail), most)}
	first, step := 0.0, 0.0
	switch s.Spacing {
	case Between:
		step = (ends[1] - ends[0]) / float64(n+1)
		first = ends[0] + step
	case Portions:
		step = (height - float64(s.TailLonger)) / float64(n+1)
		first = step
	case Ends:
		first = float64(s.FirstHead)
		last := height - float64(s.LastTail)
		if n == 1 {
			first = (first + last) / 2
		} else {
			step = (last - first) / float64(n-1)
		}
	}
	for i := range n {
		middles = append(middles, first+float64(i)*step)
	}
	return ends, middles
}

// gaps is the narrowest and the widest free stretch between neighbours.
func (s Structure) gaps(ends [2]float64, middles []float64) (narrow, wide float64) {
	half := 0.0
	if s.Support == Tapes {
		half = float64(s.Width) / 2
	}
	edge := ends[0]
	var all []float64
	for _, m := range middles {
		all = append(all, m-half-edge)
		edge = m + half
	}
	all = append(all, ends[1]-edge)
	return slices.Min(all), slices.Max(all)
}

// number is how many supports the rules give a back of this height.
func (s Structure) number(height float64) int {
	for i, h := range s.Heights {
		if height <= float64(h) {
			return s.Numbers[i]
		}
	}
	return s.Numbers[len(s.Numbers)-1] + s.Step
}

// Stations is where the holes of a back of the given height stand; asked is
// how many supports, or inner holes, somebody wants, 0 for what the rules say.
// Gaps that are too wide get a support more, stations that collide one less;
// what still collides is refused with an [*Error].
func (s Structure) Stations(height float64, asked int) (Stations, error) {
	var out Stations
	what := s.word()
	n := asked
	if usual := s.Numbers[0]; asked > 0 && (asked-usual)%s.Step != 0 {
		return out, refuse("", newReason(fmt.Sprintf("%s takes %d, %d and so on, not %d", s.Title, usual, usual+s.Step, asked)+" "+what+"s"))
	}
	if asked == 0 {
		n = s.number(height)
		for was := n; ; {
			narrow, wide := s.gaps(s.places(height, n))
			switch {
			case narrow < s.narrowest(height)-near && n >= s.Step && n > 0:
				n -= s.Step
				if n < was {
					out.Notes = []Reason{newReason(fmt.Sprintf("%s would collide, so there are %d", reorder.Count(was, what), n))}
				}
				continue
			case wide > float64(s.WidestGap)+near && n >= was:
				if more, _ := s.gaps(s.places(height, n+s.Step)); more >= s.narrowest(height)-near {
					n += s.Step
					out.Notes = []Reason{newReason(fmt.Sprintf("with %s gaps would be wider than {}, so there are %d", reorder.Count(was, what), n), s.WidestGap.Exactly())}
					continue
				}
			}
			break
		}
	}
	ends, middles := s.places(height, n)
	narrow, wide := s.gaps(ends, middles)
	if narrow < s.narrowest(height)-near {
		advice := "take another structure, or pierce by eye"
		if asked > 0 {
			if fits, err := s.Stations(height, 0); err == nil {
				advice = fmt.Sprintf("%d would fit", len(fits.Supports))
			}
		}
		return Stations{}, refuse(advice, newReason("on a back of {} stations with "+reorder.Count(n, what)+" collide", Exactly(height)))
	}
	if wide > float64(s.WidestGap)+near {
		out.Notes = append(out.Notes, newReason("a gap of {} is wide, {} are usual at most", Exactly(wide), s.WidestGap.Exactly()))
	}
	out.Supports = middles
	out.Holes = append(out.Holes, Station{ends[0], s.endKind(), 0})
	for i, m := range middles {
		switch s.Support {
		case Tapes:
			half := float64(s.Width) / 2
			out.Holes = append(out.Holes, Station{m - half, TapeEdge, i + 1}, Station{m + half, TapeEdge, i + 1})
		case Cords:
			out.Holes = append(out.Holes, Station{m, OnCord, i + 1})
		default:
			out.Holes = append(out.Holes, Station{m, Hole, 0})
		}
	}
	out.Holes = append(out.Holes, Station{ends[1], s.endKind(), 0})
	return out, nil
}

// endKind is what the stations near the ends are.
func (s Structure) endKind() StationKind {
	if s.Sewn == Folds {
		return Kettle
	}
	return Hole
}

// word is what stands between the ends.
func (s Structure) word() string {
	switch s.Support {
	case Cords:
		return "cord"
	case Tapes:
		return "tape"
	}
	return "inner hole"
}
