package options

import (
	"slices"
	"strconv"
	"strings"

	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// Between is the gatherings of a book after which a blank one is laid: 3,6,end. 0 is before the first. They are in rising
// order, [atEnd] the last.
type Between []int

// atEnd stands for the last gathering of the book, whichever that is; it is beyond any number.
const atEnd = 1 << 30

const endWord = "end"

func (b Between) String() string {
	return strings.Join(lists.Map(b, func(n int) string {
		if n == atEnd {
			return endWord
		}
		return strconv.Itoa(n)
	}), ",")
}

func (b Between) MarshalText() ([]byte, error) { return []byte(b.String()), nil }

// UnmarshalText reads numbers from 0, and end, with commas between them.
func (b *Between) UnmarshalText(text []byte) error {
	var out Between
	for word := range strings.SplitSeq(string(text), ",") {
		n, err := strconv.Atoi(strings.TrimSpace(word))
		if strings.TrimSpace(word) == endWord {
			n, err = atEnd, nil
		} else if n < 0 || n >= atEnd {
			err = strconv.ErrRange
		}
		if err != nil {
			return refusal.Use.New("%q is not a list of gatherings: give the numbers of those after which a blank one is laid, such as 3,6,end", text)
		}
		out = append(out, n)
	}
	slices.Sort(out)
	*b = slices.Compact(out)
	return nil
}

// Lies tells whether a blank gathering is laid after a gathering of a book that has so many, from 1; 0 is before the first.
func (b Between) Lies(after, gatherings int) bool {
	return slices.Contains(b, after) || after == gatherings && slices.Contains(b, atEnd)
}

// Last is the largest number that was named; 0: none was.
func (b Between) Last() (n int) {
	for _, after := range b {
		if after != atEnd {
			n = max(n, after)
		}
	}
	return n
}
