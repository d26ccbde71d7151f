// Package lists does with slices what package slices does not.
package lists

// Map is what a function makes of each element; nil if there are none.
func Map[E, R any](list []E, of func(E) R) []R {
	var out []R
	for _, e := range list {
		out = append(out, of(e))
	}
	return out
}
