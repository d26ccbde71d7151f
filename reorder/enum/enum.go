// Package enum gives the values of a small integer type their words, so that
// each word is written down once and read and written alike in flags, profiles
// and plans.
package enum

import (
	"slices"

	"foldwright/reorder/refusal"
)

// Words are the words for the values of one type, in the order of its
// constants, which count from 1: zero is "not given".
type Words struct {
	What string // what the values are of, as it is called in messages
	List []string
}

// Of is the word for a value.
func (w Words) Of(value int) string {
	if value < 1 || value > len(w.List) {
		return "not given"
	}
	return w.List[value-1]
}

// Parse finds the value of a word, and refuses what is none of the words.
func Parse[T ~int, S string | []byte](value *T, w Words, text S) error {
	i := slices.Index(w.List, string(text))
	if i < 0 {
		return refusal.Use.New("%s cannot be %q: choose %s", w.What, text, refusal.List(w.List, "or"))
	}
	*value = T(i + 1)
	return nil
}
