package inspect

import (
	"fmt"
	"math"
	"slices"

	"foldwright/reorder/phrase"
)

// Spreads says that pages hold two pages side by side.
type Spreads struct {
	AtPercent float64 `json:"at_percent"` // where they would be split, from the left edge
	Pages     int     `json:"pages"`      // so many look like spreads
	Single    bool    `json:"first_single"`
}

// cure is what to ask for to have them split.
func (s Spreads) cure() phrase.Sentence {
	split := phrase.Set("split", "spreads")
	if math.Abs(s.AtPercent-50) > 1.5 {
		return phrase.New("%s with %s", split, phrase.Set("split-at", fmt.Sprintf("%.0f%%", s.AtPercent)))
	}
	return phrase.New("%s", split)
}

// columns tells of each percent of a page's width whether there is ink.
type columns [100]bool

// inkIn tells whether there is ink between two percentages of the width.
func (c columns) inkIn(from, to int) bool {
	return slices.Contains(c[from:to], true)
}

// spreads decides whether the wide pages are spreads. Slides are wide as
// well, but their headings stand across the middle; spreads have ink at both
// sides of a gutter that is white on nearly all pages.
func (s *seenPages) spreads(pages int) *Spreads {
	if s.wide < 2 || 2*s.wide < pages {
		return nil
	}
	// The gutter is looked for in the middle fifth of the width.
	const from, to = 40, 60
	best, at := 0.0, 50.0
	for x := from; x < to; x++ {
		white, both := 0, 0
		for _, c := range s.columns {
			if !c.inkIn(x-1, x+1) {
				white++
				if c.inkIn(5, x-1) && c.inkIn(x+1, 95) {
					both++
				}
			}
		}
		score := float64(white) / float64(len(s.columns))
		if 2*both < len(s.columns) || score < 0.85 {
			continue
		}
		// Of gutters that are equally white the one nearest to the middle.
		if score > best+0.001 || score > best-0.001 && math.Abs(float64(x)-50) < math.Abs(at-50) {
			best, at = score, float64(x)
		}
	}
	if best == 0 {
		return nil
	}
	return &Spreads{AtPercent: at, Pages: s.wide, Single: s.wide < pages}
}
