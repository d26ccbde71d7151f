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

// ReverseIf is a copy of a list, the other way round where the condition holds.
func ReverseIf[E any](list []E, condition bool) []E {
	list = slices.Clone(list)
	if condition {
		slices.Reverse(list)
	}
	return list
}
