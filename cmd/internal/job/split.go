package job

import (
	"math"
	"strconv"
	"strings"

	"foldwright/reorder/enum"
)

// Split is what becomes of source pages that hold two pages side by side.
type Split int

const (
	SplitNone    Split = iota + 1 // a page of the source is a page of the book
	SplitSpreads                  // a spread becomes two pages
)

var splitWords = enum.Words{What: "split", List: []string{"none", "spreads"}}

func (s Split) String() string { return splitWords.Of(int(s)) }

func (s Split) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

func (s *Split) UnmarshalText(text []byte) error { return enum.Parse(s, splitWords, string(text)) }

// First is how the first page of a source of spreads is taken.
type First int

const (
	FirstByWidth First = iota + 1 // a spread if it is as wide as the others
	FirstSingle                   // one page, a cover or the first recto
	FirstDouble                   // a spread like the others
)

var firstWords = enum.Words{What: "split-first", List: []string{"by-width", "single", "double"}}

func (f First) String() string { return firstWords.Of(int(f)) }

func (f First) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

func (f *First) UnmarshalText(text []byte) error { return enum.Parse(f, firstWords, string(text)) }

// SplitAt is where a spread is split, from its left edge: a length, or a share
// of its width. The zero value is the middle.
type SplitAt struct {
	MM    float64
	Share float64 // 0 to 1
}

// of is the place in mm on a spread of a given width.
func (s SplitAt) of(width float64) float64 {
	switch {
	case s.Share > 0:
		return s.Share * width
	case s.MM > 0:
		return math.Min(s.MM, width)
	}
	return width / 2
}

func (s SplitAt) String() string {
	switch {
	case s.Share > 0:
		return Percent(s.Share) + "%"
	case s.MM > 0:
		return Length(s.MM).String()
	}
	return ""
}

// UnmarshalText reads a percentage or a length.
func (s *SplitAt) UnmarshalText(text []byte) error {
	if number, ok := strings.CutSuffix(string(text), "%"); ok {
		v, err := strconv.ParseFloat(number, 64)
		if err != nil || !(v > 0 && v < 100) {
			return &ValueError{string(text), "is no place to split at, write a percentage between 0% and 100%"}
		}
		*s = SplitAt{Share: v / 100}
		return nil
	}
	var l Length
	if err := l.UnmarshalText(text); err != nil {
		return &ValueError{string(text), "is no place to split at, write a length or a percentage"}
	}
	if l <= 0 {
		return &ValueError{string(text), "is no place to split at, it is measured from the left edge"}
	}
	*s = SplitAt{MM: float64(l)}
	return nil
}

func (s SplitAt) MarshalText() ([]byte, error) { return []byte(s.String()), nil }
