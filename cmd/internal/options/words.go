package options

import (
	"math"
	"strconv"
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/enum"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

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
		return refusal.Use.New("%q is not a scale: use fit, none or a percentage between 1%% and 1000%%", text)
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
		return refusal.Use.New("%q is not a run: use book, gathering or a number of sheets", text)
	}
	*r = Run{Most: n}
	return nil
}

func (r Run) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// CutBy is what is cut as one stack.
type CutBy = enum.Value[cutByWords]

const (
	CutByGathering CutBy = iota + 1 // each gathering by itself
	CutByRun                        // all sheets of a run, its gatherings are counted off afterwards
)

type cutByWords struct{}

func (cutByWords) Words() enum.Words { return enum.New("cut-by", "gathering", "run") }

// Box is which box of a source page is placed.
type Box = enum.Value[boxWords]

const (
	BoxCrop    Box = iota + 1 // the visible box, what a viewer shows
	BoxTrim                   // the finished page, without bleed and printer's marks
	BoxMedia                  // all there is
	BoxContent                // what is printed on the pages, found by drawing them
)

type boxWords struct{}

func (boxWords) Words() enum.Words { return enum.New("box", "crop", "trim", "media", "content") }

// Split is what becomes of source pages that hold two pages side by side.
type Split = enum.Value[splitWords]

const (
	SplitNone    Split = iota + 1 // a page of the source is a page of the book
	SplitSpreads                  // a spread becomes two pages
)

type splitWords struct{}

func (splitWords) Words() enum.Words { return enum.New("split", "none", "spreads") }

// First is how the first page of a source of spreads is taken.
type First = enum.Value[firstWords]

const (
	FirstByWidth First = iota + 1 // a spread if it is as wide as the others
	FirstSingle                   // one page, a cover or the first recto
	FirstDouble                   // a spread like the others
)

type firstWords struct{}

func (firstWords) Words() enum.Words { return enum.New("split-first", "by-width", "single", "double") }

// SplitAt is where a spread is split, from its left edge: a length, or a share
// of its width. The zero value is the middle.
type SplitAt struct {
	MM    float64 `json:"mm,omitzero"`
	Share float64 `json:"share,omitzero"` // 0 to 1
}

// On is the place in mm on a spread of a given width.
func (s SplitAt) On(width float64) float64 {
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
		return geom.Percent(s.Share) + "%"
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
			return refusal.Use.New("%q is not a place to split at: use a percentage between 0%% and 100%%", text)
		}
		*s = SplitAt{Share: v / 100}
		return nil
	}
	var l Length
	if err := l.UnmarshalText(text); err != nil {
		return refusal.Use.New("%q is not a place to split at: use a length or a percentage", text)
	}
	if l <= 0 {
		return refusal.Use.New("%q is not a place to split at: it is measured from the left edge", text)
	}
	*s = SplitAt{MM: float64(l)}
	return nil
}

func (s SplitAt) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Ruling is what is printed on the pages of a blank book.
type Ruling = enum.Value[rulingWords]

const (
	RulingPlain Ruling = iota + 1 // nothing
	RulingLines
	RulingGrid // squares
	RulingDots // at the corners of squares
)

type rulingWords struct{}

func (rulingWords) Words() enum.Words { return enum.New("ruling", "plain", "lines", "grid", "dots") }
