package binding

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/lists"
)

// StationKind is what happens at a station.
type StationKind int

const (
	Kettle StationKind = iota + 1 // the linking stitch near an end
	OnCord
	TapeHead // at the edge of a tape that is nearer to the head
	TapeTail
	Hole
)

// Station is a hole in the fold.
type Station struct {
	At      float64 // mm from the trimmed head
	Kind    StationKind
	Support int // number of the support from the head, 0: none
}

// NameOf is what a station is called.
func (b Book) NameOf(h Station) string {
	first, last := b.Ends()
	switch h.Kind {
	case Kettle:
		return "kettle stitch"
	case OnCord:
		return fmt.Sprintf("cord %d", h.Support)
	case TapeHead:
		return fmt.Sprintf("tape %d, %s edge", h.Support, strings.TrimSuffix(first, " end"))
	case TapeTail:
		return fmt.Sprintf("tape %d, %s edge", h.Support, strings.TrimSuffix(last, " end"))
	}
	return "hole"
}

// Stations is the holes of a book.
type Stations struct {
	Holes    []Station
	Supports []float64 // their middles, mm from the trimmed head
	Notes    []string  // what was changed so that they fit, and what does not
}

// Places is where the holes are, in mm from the trimmed head.
func (s Stations) Places() []float64 {
	return lists.Map(s.Holes, func(h Station) float64 { return h.At })
}

// near is how far, in mm, gaps may miss what is asked for by rounding.
const near = 1e-6

// endsAt is the largest share of the spine's height at which an end station lies
// from its end, and narrowAt that which the narrowest gap has, so that small
// books have stations too (common practice, no source).
const (
	endsAt   = 0.25
	narrowAt = 0.2
)

// places is where the stations of a spine stand with this number of supports: those at its ends, and
// the middles of the supports.
func (s Structure) places(height float64, n int) (ends [2]float64, middles []float64) {
	most := height * endsAt
	ends = [2]float64{min(s.EndHead.Middle(), most), height - min(s.EndTail.Middle(), most)}
	first, step := 0.0, 0.0
	switch s.Spacing {
	case Between:
		step = (ends[1] - ends[0]) / float64(n+1)
		first = ends[0] + step
	case Portions:
		step = (height - s.TailLonger.Middle()) / float64(n+1)
		first = step
	case Ends:
		// Between their bounds the outer supports stand where all gaps are equal.
		even := (ends[1]-ends[0]-float64(n)*s.width())/float64(n+1) + s.width()/2
		first = s.FirstHead.nearest(ends[0] + even)
		last := height - s.LastTail.nearest(height-ends[1]+even)
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

// width is how much of the spine a support covers, in mm.
func (s Structure) width() float64 {
	if s.Support == Tapes {
		return s.Width.Middle()
	}
	return 0
}

// gaps is the narrowest and the widest free stretch between neighbours with this number of supports.
func (s Structure) gaps(height float64, n int) (narrow, wide float64) {
	ends, middles := s.places(height, n)
	edge := ends[0]
	var all []float64
	for _, m := range middles {
		all = append(all, m-s.width()/2-edge)
		edge = m + s.width()/2
	}
	all = append(all, ends[1]-edge)
	return slices.Min(all), slices.Max(all)
}

// isCrowded tells whether stations stand too close with this number of supports.
func (s Structure) isCrowded(height float64, n int) bool {
	narrow, _ := s.gaps(height, n)
	return narrow < min(s.NarrowGap.Middle(), height*narrowAt)-near
}

// isWide tells whether a gap is wider than usual with this number of supports, and how wide it is.
func (s Structure) isWide(height float64, n int) (float64, bool) {
	_, wide := s.gaps(height, n)
	return wide, wide > s.WidestGap.Middle()+near
}

// fit is how many supports a spine has by the rules, and why it has more or fewer than usual at this
// height: one more where gaps are too wide, one fewer where stations stand too close.
func (s Structure) fit(u Units, height float64) (n int, note string) {
	n = s.Numbers[len(s.Numbers)-1] + s.Step
	if i := slices.IndexFunc(s.Heights, func(h Range) bool { return height <= h.Most }); i >= 0 {
		n = s.Numbers[i]
	}
	usual := reorder.Count(n, s.word())
	for s.isCrowded(height, n) && n >= s.Step {
		n -= s.Step
		note = fmt.Sprintf("%s would stand too close, so there %s %d", usual, map[bool]string{true: "is", false: "are"}[n == 1], n)
	}
	if note != "" {
		return n, note
	}
	for _, wide := s.isWide(height, n); wide && !s.isCrowded(height, n+s.Step); _, wide = s.isWide(height, n) {
		n += s.Step
		note = u.say("with %s a gap would be wider than %s, so there are %d", usual, s.WidestGap, n)
	}
	return n, note
}

// Stations is where the holes of a spine of the given height stand. asked is
// the number of supports, or inner holes, that was asked for; 0 leaves it to the rules.
// Stations that stand too close are refused.
func (s Structure) Stations(u Units, height float64, asked int) (out Stations, err error) {
	n := asked
	if asked == 0 {
		var note string
		if n, note = s.fit(u, height); note != "" {
			out.Notes = append(out.Notes, note)
		}
	} else if usual := s.Numbers[0]; (asked-usual)%s.Step != 0 {
		return out, refuseMeasured("supports", "", fmt.Sprintf("%s has %d, %d and so on, not %d %ss", s.Title, usual, usual+s.Step, asked, s.word()))
	}
	if s.isCrowded(height, n) {
		option, advice := "structure", "choose another structure, or pierce by eye"
		if asked > 0 {
			option = "supports"
		}
		if fits, _ := s.fit(u, height); asked > 0 && !s.isCrowded(height, fits) {
			advice = fmt.Sprintf("%d would fit", fits)
		}
		return Stations{}, refuseMeasured(option, advice, u.say("%s do not fit on a spine of %s", reorder.Count(n, s.word()), Exactly(height)))
	}
	if gap, wide := s.isWide(height, n); wide {
		out.Notes = append(out.Notes, u.say("there is a gap of %s; at most %s is usual", Exactly(gap), s.WidestGap))
	}
	ends, middles := s.places(height, n)
	out.Supports = middles
	out.Holes = append(out.Holes, Station{ends[0], s.endKind(), 0})
	for i, m := range middles {
		switch s.Support {
		case Tapes:
			half := s.width() / 2
			out.Holes = append(out.Holes, Station{m - half, TapeHead, i + 1}, Station{m + half, TapeTail, i + 1})
		case Cords:
			out.Holes = append(out.Holes, Station{m, OnCord, i + 1})
		default:
			out.Holes = append(out.Holes, Station{m, Hole, 0})
		}
	}
	out.Holes = append(out.Holes, Station{ends[1], s.endKind(), 0})
	return out, nil
}

// checkInner refuses so many inner stations, at places that were chosen, if the thread could not go through them.
func (s Structure) checkInner(inner int) error {
	switch even := inner%2 == 0; {
	case s.Links == OverTapes && (!even || inner < 2):
		return refuseMeasured("stations", "give both edges of each tape", fmt.Sprintf("%s has two stations for each tape, and one near each end", s.Title))
	case s.Sewn == OneFold && (even || inner < 1):
		return refuseMeasured("stations", "give 3 or 5 places, for example", fmt.Sprintf("a %s has an odd number of stations", s.Title))
	case (s.Links == AtHoles || s.Sewn == ThroughCover) && (!even || inner < 2):
		return refuseMeasured("stations", "give 4 or 6 places, for example", fmt.Sprintf("%s has an even number of stations", s.Title))
	}
	return nil
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
