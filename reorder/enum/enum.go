// Package enum gives the values of a small integer type their words, so that
// each word is written down once and read and written alike in flags, profiles
// and plans.
//
// A type is a [Value] of its own words, and its constants count from 1:
//
//	type Pad = enum.Value[padWords]
//
//	const (
//		PadAfter Pad = iota + 1
//		PadBefore
//	)
//
//	type padWords struct{}
//
//	func (padWords) Words() enum.Words { return enum.New("pad", "after", "before") }
//
// Only a type that has methods of its own writes String, MarshalText and
// UnmarshalText itself, with [Words.Of] and [Parse].
package enum

import (
	"slices"

	"foldwright/reorder/refusal"
)

// Words are the words for the values of one type, in the order of its
// constants, which count from 1: zero is "not given".
type Words struct {
	what string // the values are of, as it is called in messages
	List []string
}

// New is the words for values of what they are called in messages.
func New(what string, words ...string) Words { return Words{what, words} }

// Of is the word for a value.
func (w Words) Of(value int) string {
	if value < 1 || value > len(w.List) {
		return "not given"
	}
	return w.List[value-1]
}

// Parse finds the value of a word, and refuses what is none of the words.
func Parse[T ~int](value *T, w Words, text string) error {
	i := slices.Index(w.List, text)
	if i < 0 {
		return refusal.Use.New("%s cannot be %q: choose %s", w.what, text, refusal.List(w.List, "or"))
	}
	*value = T(i + 1)
	return nil
}

// Value is one of the values of which W, an empty struct, has the words.
type Value[W interface{ Words() Words }] int

func wordsOf[W interface{ Words() Words }]() Words {
	var w W
	return w.Words()
}

func (v Value[W]) String() string                   { return wordsOf[W]().Of(int(v)) }
func (v Value[W]) MarshalText() ([]byte, error)     { return []byte(v.String()), nil }
func (v *Value[W]) UnmarshalText(text []byte) error { return Parse(v, wordsOf[W](), string(text)) }
