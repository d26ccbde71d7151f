// Package lists does with slices what package slices does not.
package lists

import "slices"

// Map is what a function makes of each element; nil if there are none.
func Map[E, R any](list []E, of func(E) R) []R {
	var out []R
	for _, e := range list {
		out = append(out, of(e))
	}
	return out
}

// ReverseIf is a copy of a list, the other way round if so it is to be.
func ReverseIf[E any](list []E, so bool) []E {
	list = slices.Clone(list)
	if so {
		slices.Reverse(list)
	}
	return list
}
