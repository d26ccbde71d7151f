package binding

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/enum"
)

// StationKind is what happens at a station.
type StationKind int

const (
	Kettle StationKind = iota + 1 // the linking stitch near an end
	OnCord
	TapeEdge // one of a tape's two holes
	Hole
)

var kindWords = enum.Words{What: "station", List: []string{"kettle stitch", "cord", "edge of a tape", "hole"}}

func (k StationKind) String() string { return kindWords.Of(int(k)) }

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
	Notes    []string  // what was changed so that they fit, and what does not
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

// gaps is the narrowest and the widest free stretch between neighbours, with so many supports.
func (s Structure) gaps(height float64, n int) (narrow, wide float64) {
	ends, middles := s.places(height, n)
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

// collide tells whether stations with so many supports lie nearer to each other than is borne.
func (s Structure) collide(height float64, n int) bool {
	narrow, _ := s.gaps(height, n)
	return narrow < min(float64(s.NarrowGap), height*narrowAt)-near
}

// isWide tells whether a gap with so many supports is wider than usual, and how wide it is.
func (s Structure) isWide(height float64, n int) (float64, bool) {
	_, wide := s.gaps(height, n)
	return wide, wide > float64(s.WidestGap)+near
}

// fit is how many supports a back has by the rules, and why there are more or fewer than usual
// at its height: gaps that are too wide get a support more, stations that collide one less.
func (s Structure) fit(u Units, height float64) (n int, note string) {
	n = s.Numbers[len(s.Numbers)-1] + s.Step
	if i := slices.IndexFunc(s.Heights, func(h Length) bool { return height <= float64(h) }); i >= 0 {
		n = s.Numbers[i]
	}
	usual := reorder.Count(n, s.word())
	for s.collide(height, n) && n >= s.Step {
		n -= s.Step
		note = fmt.Sprintf("%s would collide, so there are %d", usual, n)
	}
	if note != "" {
		return n, note
	}
	for _, wide := s.isWide(height, n); wide && !s.collide(height, n+s.Step); _, wide = s.isWide(height, n) {
		n += s.Step
		note = u.say("with %s gaps would be wider than %s, so there are %d", usual, s.WidestGap.Exactly(), n)
	}
	return n, note
}

// Stations is where the holes of a back of the given height stand; asked is
// how many supports, or inner holes, somebody wants, 0 for what the rules say.
// What collides is refused.
func (s Structure) Stations(u Units, height float64, asked int) (out Stations, err error) {
	n := asked
	if asked == 0 {
		var note string
		if n, note = s.fit(u, height); note != "" {
			out.Notes = append(out.Notes, note)
		}
	} else if usual := s.Numbers[0]; (asked-usual)%s.Step != 0 {
		return out, refuse("", fmt.Sprintf("%s takes %d, %d and so on, not %d %ss", s.Title, usual, usual+s.Step, asked, s.word()))
	}
	if s.collide(height, n) {
		advice := "take another structure, or pierce by eye"
		if fits, _ := s.fit(u, height); asked > 0 && !s.collide(height, fits) {
			advice = fmt.Sprintf("%d would fit", fits)
		}
		return Stations{}, refuse(advice, u.say("on a back of %s stations with %s collide", Exactly(height), reorder.Count(n, s.word())))
	}
	if gap, wide := s.isWide(height, n); wide {
		out.Notes = append(out.Notes, u.say("a gap of %s is wide, %s are usual at most", Exactly(gap), s.WidestGap.Exactly()))
	}
	ends, middles := s.places(height, n)
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
	if s.Support == NoSupport {
		return "inner hole"
	}
	return strings.TrimSuffix(s.Support.String(), "s")
}
