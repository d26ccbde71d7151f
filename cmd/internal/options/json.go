package options

import (
	"encoding"
	"encoding/json"
	"fmt"

	"foldwright/reorder"
)

// In plan.json a number is a number, and a length one of millimetres; in worklists and on the command
// line they are texts. What those texts cannot say is refused here too.

// check refuses a value that its own text would be refused for.
func check(value fmt.Stringer, err error, scratch encoding.TextUnmarshaler) error {
	if err != nil {
		return err
	}
	return scratch.UnmarshalText([]byte(value.String()))
}

func (l Length) MarshalJSON() ([]byte, error) { return json.Marshal(float64(l)) }

// UnmarshalJSON reads millimetres.
func (l *Length) UnmarshalJSON(data []byte) error { return json.Unmarshal(data, (*float64)(l)) }

func (l Lengths) MarshalJSON() ([]byte, error) { return json.Marshal([]Length(l)) }

// UnmarshalJSON reads a list of lengths.
func (l *Lengths) UnmarshalJSON(data []byte) error {
	return check(l, json.Unmarshal(data, (*[]Length)(l)), new(Lengths))
}

func (s Sizes) MarshalJSON() ([]byte, error) { return json.Marshal([]int(s)) }

// UnmarshalJSON reads a list of numbers.
func (s *Sizes) UnmarshalJSON(data []byte) error {
	return check(s, json.Unmarshal(data, (*[]int)(s)), new(Sizes))
}

func (t Thickness) MarshalJSON() ([]byte, error) {
	type plain Thickness
	return json.Marshal(plain(t))
}

// UnmarshalJSON reads the least and the most.
func (t *Thickness) UnmarshalJSON(data []byte) error {
	type plain Thickness
	return check(t, json.Unmarshal(data, (*plain)(t)), new(Thickness))
}

func (d Dimensions) MarshalJSON() ([]byte, error) {
	type plain Dimensions
	return json.Marshal(plain(d))
}

// UnmarshalJSON reads width and height.
func (d *Dimensions) UnmarshalJSON(data []byte) error {
	type plain Dimensions
	return check(d, json.Unmarshal(data, (*plain)(d)), new(Dimensions))
}

func (t Trim) MarshalJSON() ([]byte, error) {
	type plain Trim
	return json.Marshal(plain(t))
}

// UnmarshalJSON reads three lengths.
func (t *Trim) UnmarshalJSON(data []byte) error {
	type plain Trim
	t.Given = true
	return check(t, json.Unmarshal(data, (*plain)(t)), new(Trim))
}

func (e Edges) MarshalJSON() ([]byte, error) {
	type plain Edges
	return json.Marshal(plain(e))
}

// UnmarshalJSON reads four lengths.
func (e *Edges) UnmarshalJSON(data []byte) error {
	type plain Edges
	e.Given = true
	return check(e, json.Unmarshal(data, (*plain)(e)), new(Edges))
}

func (m Margins) MarshalJSON() ([]byte, error) {
	type plain Margins
	return json.Marshal(plain(m))
}

// UnmarshalJSON reads four lengths.
func (m *Margins) UnmarshalJSON(data []byte) error {
	type plain Margins
	m.Given = true
	return check(m, json.Unmarshal(data, (*plain)(m)), new(Margins))
}

func (s SplitAt) MarshalJSON() ([]byte, error) {
	type plain SplitAt
	return json.Marshal(plain(s))
}

// UnmarshalJSON reads a place in mm or a share.
func (s *SplitAt) UnmarshalJSON(data []byte) error {
	type plain SplitAt
	return check(s, json.Unmarshal(data, (*plain)(s)), new(SplitAt))
}

// MarshalJSON writes fit, or the enlargement: 1 is 100 percent.
func (s Scale) MarshalJSON() ([]byte, error) {
	return writeNumberOr("fit", s.Scale == reorder.ScaleFit, float64(s.Scale))
}

// UnmarshalJSON reads the same.
func (s *Scale) UnmarshalJSON(data []byte) error {
	return check(s, readNumberOr(data, (*float64)(&s.Scale), s), new(Scale))
}

// MarshalJSON writes book or gathering, or a number of sheets.
func (r Run) MarshalJSON() ([]byte, error) { return writeNumberOr(r.String(), r.Most == 0, r.Most) }

// UnmarshalJSON reads the same.
func (r *Run) UnmarshalJSON(data []byte) error {
	return check(r, readNumberOr(data, &r.Most, r), new(Run))
}

// MarshalJSON writes outline, or page numbers.
func (s Starts) MarshalJSON() ([]byte, error) { return writeNumberOr("outline", s.Outline, s.Pages) }

// UnmarshalJSON reads the same.
func (s *Starts) UnmarshalJSON(data []byte) error {
	return check(s, readNumberOr(data, &s.Pages, s), new(Starts))
}

// writeNumberOr writes a number, or the word that stands for none.
func writeNumberOr(word string, none bool, number any) ([]byte, error) {
	if none {
		return json.Marshal(word)
	}
	return json.Marshal(number)
}

// readNumberOr reads a number, or a word as the text of the value.
func readNumberOr[T any](data []byte, number *T, value encoding.TextUnmarshaler) error {
	var word string
	if json.Unmarshal(data, &word) == nil {
		return value.UnmarshalText([]byte(word))
	}
	return json.Unmarshal(data, number)
}
