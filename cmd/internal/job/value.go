package job

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"foldwright/reorder"
)

// ValueError says why a value that a person wrote is refused.
type ValueError struct {
	Text string
	Why  string
}

func (e *ValueError) Error() string { return fmt.Sprintf("%q %s", e.Text, e.Why) }

// Length is a length in millimetres. It is written in mm, in or pt, 12.7mm or
// 1/2in; a number alone is millimetres.
type Length float64

func (l Length) String() string { return reorder.Millimetres(float64(l)) + "mm" }

// UnmarshalText reads a length.
func (l *Length) UnmarshalText(text []byte) error {
	v, ok := reorder.ParseLength(string(text))
	if !ok {
		return &ValueError{string(text), "is no length, write a number with mm, in or pt"}
	}
	*l = Length(v)
	return nil
}

func (l Length) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// Scale is the enlargement of the book as it is written: fit, none or NN%.
type Scale struct{ reorder.Scale }

// UnmarshalText reads a scale between 1 and 1000 percent.
func (s *Scale) UnmarshalText(text []byte) error {
	switch string(text) {
	case "fit":
		s.Scale = reorder.ScaleFit
		return nil
	case "none":
		s.Scale = 1
		return nil
	}
	number, percent := strings.CutSuffix(string(text), "%")
	v, err := strconv.ParseFloat(number, 64)
	if !percent || err != nil || !(v >= 1 && v <= 1000) {
		return &ValueError{string(text), "is no scale, write fit, none or a percentage between 1% and 1000%"}
	}
	s.Scale = reorder.Scale(v / 100)
	return nil
}

func (s Scale) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Run is how many sheets are printed together: the whole book, one gathering
// or whole gatherings of at most N sheets. The zero value is not given.
type Run struct {
	Gathering bool
	Most      int // sheets; 0 unless a number is written
	Book      bool
}

func (r Run) String() string {
	switch {
	case r.Book:
		return "book"
	case r.Gathering:
		return "gathering"
	case r.Most > 0:
		return strconv.Itoa(r.Most)
	}
	return ""
}

// UnmarshalText reads book, gathering or a number of sheets.
func (r *Run) UnmarshalText(text []byte) error {
	switch string(text) {
	case "book":
		*r = Run{Book: true}
		return nil
	case "gathering":
		*r = Run{Gathering: true}
		return nil
	}
	n, err := strconv.Atoi(string(text))
	if err != nil || n < 1 {
		return &ValueError{string(text), "is no run, write book, gathering or a number of sheets"}
	}
	*r = Run{Most: n}
	return nil
}

func (r Run) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// Sizes is a number of sheets for each gathering: 4,4,3.
type Sizes []int

func (s Sizes) String() string {
	words := make([]string, len(s))
	for i, n := range s {
		words[i] = strconv.Itoa(n)
	}
	return strings.Join(words, ",")
}

// UnmarshalText reads numbers with commas between them.
func (s *Sizes) UnmarshalText(text []byte) error {
	var sizes Sizes
	for word := range strings.SplitSeq(string(text), ",") {
		n, err := strconv.Atoi(strings.TrimSpace(word))
		if err != nil || n < 1 {
			return &ValueError{string(text), "is no list of gatherings, write the sheets of each, such as 4,4,3"}
		}
		sizes = append(sizes, n)
	}
	*s = sizes
	return nil
}

func (s Sizes) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Pages is a choice of source pages: 1-12,15,20-. Empty is all of them.
type Pages []PageRange

// PageRange is the pages from First to Last; Last 0 is the end of the source.
type PageRange struct{ First, Last int }

func (p Pages) String() string {
	words := make([]string, len(p))
	for i, r := range p {
		switch {
		case r.Last == 0:
			words[i] = fmt.Sprintf("%d-", r.First)
		case r.First == r.Last:
			words[i] = strconv.Itoa(r.First)
		default:
			words[i] = fmt.Sprintf("%d-%d", r.First, r.Last)
		}
	}
	return strings.Join(words, ",")
}

// UnmarshalText reads ascending ranges in which no page stands twice.
func (p *Pages) UnmarshalText(text []byte) error {
	var pages Pages
	last := 0
	for word := range strings.SplitSeq(string(text), ",") {
		r, ok := parseRange(strings.TrimSpace(word))
		if !ok {
			return &ValueError{string(text), "is no choice of pages, write such as 1-12,15,20-"}
		}
		if r.First <= last || last == math.MaxInt {
			return &ValueError{string(text), "is not in ascending order or names a page twice"}
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

func (p Pages) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// ChoiceError says that a choice names what the book does not have.
type ChoiceError struct{ What string }

func (e *ChoiceError) Error() string { return e.What }

// Of lists the chosen pages of a source that has n; pages that the source
// does not have are refused with a [*ChoiceError].
func (p Pages) Of(n int) ([]int, error) {
	if len(p) == 0 {
		p = Pages{{1, 0}}
	}
	return p.of("--pages", n)
}

// of is Of for the choice of a flag; an empty one is empty.
func (p Pages) of(flag string, n int) ([]int, error) {
	var out []int
	for _, r := range p {
		last := r.Last
		if last == 0 {
			last = n
		}
		if r.First > n || last > n {
			return nil, &ChoiceError{fmt.Sprintf("%s %s names page %d, the source has %s", flag, p, max(r.First, r.Last), reorder.Count(n, "page"))}
		}
		for i := r.First; i <= last; i++ {
			out = append(out, i)
		}
	}
	return slices.Clip(out), nil
}

// Edges is the edge that the printer cannot reach: one length for all edges,
// or head,tail,left,right.
type Edges struct {
	Given                   bool
	Head, Tail, Left, Right Length
}

func (e Edges) String() string {
	switch {
	case !e.Given:
		return ""
	case e.Head == e.Tail && e.Head == e.Left && e.Head == e.Right:
		return e.Head.String()
	}
	return fmt.Sprintf("%s,%s,%s,%s", e.Head, e.Tail, e.Left, e.Right)
}

// UnmarshalText reads one length or four.
func (e *Edges) UnmarshalText(text []byte) error {
	words := strings.Split(string(text), ",")
	if len(words) == 1 {
		words = []string{words[0], words[0], words[0], words[0]}
	}
	if len(words) != 4 {
		return &ValueError{string(text), "has to be one length, or four for head,tail,left,right"}
	}
	out := Edges{Given: true}
	for i, l := range []*Length{&out.Head, &out.Tail, &out.Left, &out.Right} {
		if err := l.UnmarshalText([]byte(words[i])); err != nil {
			return err
		}
		if *l < 0 || *l > 50 {
			return &ValueError{string(text), "lies outside 0 to 50 mm"}
		}
	}
	*e = out
	return nil
}

func (e Edges) MarshalText() ([]byte, error) { return []byte(e.String()), nil }
