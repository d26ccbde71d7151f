package options

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Pages is a choice of source pages: 1-12,15,20-. Empty is all of them.
type Pages []PageRange

func (p Pages) String() string { return strings.Join(lists.Map(p, PageRange.text), ",") }

// UnmarshalText reads ascending ranges in which no page stands twice.
func (p *Pages) UnmarshalText(text []byte) error {
	var pages Pages
	last := 0
	for word := range strings.SplitSeq(string(text), ",") {
		r, ok := parseRange(strings.TrimSpace(word))
		if !ok {
			return refusal.Use.New("%q is not a choice of pages: use for instance 1-12,15,20-", text)
		}
		if r.First <= last || last == math.MaxInt {
			return refusal.Use.New("%q is not in ascending order or names a page twice", text)
		}
		last = r.Last
		if last == 0 {
			last = math.MaxInt
		}
		pages = append(pages, r)
	}
	*p = pages
	return nil
}

func (p Pages) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// Of lists the chosen pages of a source that has n; pages that the source
// does not have are refused.
func (p Pages) Of(n int) ([]int, error) {
	if len(p) == 0 {
		p = Pages{{1, 0}}
	}
	return p.Choose("pages", n)
}

// Choose is Of for the choice of an option with the given key; an empty one is empty.
func (p Pages) Choose(key string, n int) ([]int, error) {
	var out []int
	for _, r := range p {
		last := r.Last
		if last == 0 {
			last = n
		}
		if r.First > n || last > n {
			return nil, refusal.Plan.New("%s names page %d, but the source has %s", phrase.Set(key, p), max(r.First, r.Last), reorder.Count(n, "page"))
		}
		for i := r.First; i <= last; i++ {
			out = append(out, i)
		}
	}
	return slices.Clip(out), nil
}

// PageRange is the pages from First to Last; Last 0 is the end of the source.
type PageRange struct{ First, Last int }

func (r PageRange) text() string {
	switch r.Last {
	case 0:
		return fmt.Sprintf("%d-", r.First)
	case r.First:
		return strconv.Itoa(r.First)
	}
	return fmt.Sprintf("%d-%d", r.First, r.Last)
}

func parseRange(word string) (PageRange, bool) {
	first, last, dash := strings.Cut(word, "-")
	a, err := strconv.Atoi(first)
	if err != nil || a < 1 {
		return PageRange{}, false
	}
	if !dash {
		return PageRange{a, a}, true
	}
	if last == "" {
		return PageRange{a, 0}, true
	}
	b, err := strconv.Atoi(last)
	return PageRange{a, b}, err == nil && b >= a
}

// Sizes is a number of sheets for each gathering: 4,4,3.
type Sizes []int

func (s Sizes) String() string { return strings.Join(lists.Map(s, strconv.Itoa), ",") }

// UnmarshalText reads numbers with commas between them.
func (s *Sizes) UnmarshalText(text []byte) error {
	sizes, ok := readNumbers(text)
	if !ok {
		return refusal.Use.New("%q is not a list of gatherings: give the sheets of each, such as 4,4,3", text)
	}
	*s = sizes
	return nil
}

// readNumbers reads numbers from 1 with commas between them.
func readNumbers(text []byte) (numbers []int, ok bool) {
	for word := range strings.SplitSeq(string(text), ",") {
		n, err := strconv.Atoi(strings.TrimSpace(word))
		if err != nil || n < 1 {
			return nil, false
		}
		numbers = append(numbers, n)
	}
	return numbers, true
}

func (s Sizes) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

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
	pages, ok := readNumbers(text)
	if !ok {
		return refusal.Use.New("%q is not a list of pages: use page numbers such as 5,23, or outline", text)
	}
	slices.Sort(pages)
	*s = Starts{Pages: slices.Compact(pages)}
	return nil
}
