// Package enum gives the values of a small integer type their words, so that
// each word is written down once and read and written alike in flags, profiles
// and plans.
package enum

import (
	"fmt"
	"slices"
	"strings"
)

// Words are the words for the values of one type, in the order of its
// constants, which count from 1: zero is "not given".
type Words struct {
	What string // what the values are of, as it is called in messages
	List []string
}

// Error says that a text is none of the words.
type Error struct {
	Words
	Text string
}

func (e *Error) Error() string {
	return fmt.Sprintf("%s cannot be %q, it is one of %s", e.What, e.Text, strings.Join(e.List, ", "))
}

// Of is the word for a value.
func (w Words) Of(value int) string {
	if value < 1 || value > len(w.List) {
		return "not given"
	}
	return w.List[value-1]
}

// Parse finds the value of a word; what it refuses it refuses with an [*Error].
func Parse[T ~int](value *T, w Words, text string) error {
	i := slices.Index(w.List, text)
	if i < 0 {
		return &Error{w, text}
	}
	*value = T(i + 1)
	return nil
}
