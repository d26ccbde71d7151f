package job

import (
	"slices"
	"strconv"
	"strings"
)

// Starts is pages of the source that shall fall on one kind of side: 5,23, or
// outline for those to which the top level of the outline leads.
type Starts struct {
	Outline bool
	Pages   []int // in rising order
}

// IsZero tells whether none are given.
func (s Starts) IsZero() bool { return !s.Outline && len(s.Pages) == 0 }

func (s Starts) String() string {
	if s.Outline {
		return "outline"
	}
	return Sizes(s.Pages).String()
}

func (s Starts) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads page numbers with commas between them, or outline.
func (s *Starts) UnmarshalText(text []byte) error {
	if string(text) == "outline" {
		*s = Starts{Outline: true}
		return nil
	}
	var pages []int
	for word := range strings.SplitSeq(string(text), ",") {
		n, err := strconv.Atoi(strings.TrimSpace(word))
		if err != nil || n < 1 {
			return &ValueError{string(text), "is no list of pages, write such as 5,23, or outline"}
		}
		pages = append(pages, n)
	}
	slices.Sort(pages)
	*s = Starts{Pages: slices.Compact(pages)}
	return nil
}

// Thickness is about how thick something shall be, or between what: 1.5mm or
// 1-1.5mm. A unit after the second length holds for both.
type Thickness struct{ Thin, Thick Length }

func (t Thickness) String() string {
	switch {
	case t == (Thickness{}):
		return ""
	case t.Thin == t.Thick:
		return t.Thick.String()
	}
	return t.Thin.String() + "-" + t.Thick.String()
}

func (t Thickness) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText reads one length or two.
func (t *Thickness) UnmarshalText(text []byte) error {
	first, second, two := strings.Cut(string(text), "-")
	if !two {
		second = first
	}
	var out Thickness
	if err := out.Thick.UnmarshalText([]byte(second)); err != nil {
		return err
	}
	if err := out.Thin.UnmarshalText([]byte(sameUnit(first, second))); err != nil {
		return err
	}
	if !(out.Thin > 0 && out.Thick >= out.Thin) {
		return &ValueError{string(text), "is no thickness, write such as 1.5mm or 1-1.5mm"}
	}
	*t = out
	return nil
}
