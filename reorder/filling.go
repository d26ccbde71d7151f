package reorder

import (
	"slices"

	"foldwright/reorder/enum"
)

// Pad is where the blanks stand that fill the last gathering.
type Pad int

const (
	PadAfter  Pad = iota + 1 // after the last page
	PadBefore                // before the first
	PadSplit                 // half before, half after
)

var padWords = enum.Words{What: "pad", List: []string{"after", "before", "split"}}

func (p Pad) String() string { return padWords.Of(int(p)) }

func (p Pad) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

func (p *Pad) UnmarshalText(text []byte) error { return enum.Parse(p, padWords, string(text)) }

// Fill adds blanks until the pages fill so many places. Before the pages
// stands an even number of them, so that no recto becomes a verso: an odd one
// stands after.
func (p Pad) Fill(pages []int, places int) []int {
	blanks := max(0, places-len(pages))
	before := 0
	switch p {
	case PadBefore:
		before = blanks / 2 * 2
	case PadSplit:
		before = blanks / 4 * 2
	}
	out := make([]int, before, len(pages)+blanks)
	out = append(out, pages...)
	return append(out, make([]int, blanks-before)...)
}

// OnSides puts a blank before each page that shall be a recto, or a verso, and
// would be the other: the first place of a book is a recto. Pages are named by
// their numbers, blanks are 0.
func OnSides(pages []int, rectos, versos []int) []int {
	var out []int
	for _, page := range pages {
		recto := len(out)%2 == 0
		if page != 0 && (recto && slices.Contains(versos, page) || !recto && slices.Contains(rectos, page)) {
			out = append(out, 0)
		}
		out = append(out, page)
	}
	return out
}
