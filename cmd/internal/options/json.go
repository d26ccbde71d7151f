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
func check[T any, P interface {
	*T
	fmt.Stringer
	encoding.TextUnmarshaler
}](value P, err error) error {
	if err != nil {
		return err
	}
	return P(new(T)).UnmarshalText([]byte(value.String()))
}

func (l Length) MarshalJSON() ([]byte, error) { return json.Marshal(float64(l)) }

// UnmarshalJSON reads millimetres.
func (l *Length) UnmarshalJSON(data []byte) error { return json.Unmarshal(data, (*float64)(l)) }

func (l Lengths) MarshalJSON() ([]byte, error) { return json.Marshal([]Length(l)) }

// UnmarshalJSON reads a list of lengths.
func (l *Lengths) UnmarshalJSON(data []byte) error {
	return check(l, json.Unmarshal(data, (*[]Length)(l)))
}

func (s Sizes) MarshalJSON() ([]byte, error) { return json.Marshal([]int(s)) }

// UnmarshalJSON reads a list of numbers.
func (s *Sizes) UnmarshalJSON(data []byte) error {
	return check(s, json.Unmarshal(data, (*[]int)(s)))
}

// The same values without methods: what package json makes of their fields.
type (
	plainThickness  Thickness
	plainDimensions Dimensions
	plainTrim       Trim
	plainEdges      Edges
	plainMargins    Margins
	plainSplitAt    SplitAt
	plainInsert     Insert
	plainEndLeaves  EndLeaves
)

func (t Thickness) MarshalJSON() ([]byte, error) { return json.Marshal(plainThickness(t)) }

// UnmarshalJSON reads the least and the most.
func (t *Thickness) UnmarshalJSON(data []byte) error {
	return check(t, json.Unmarshal(data, (*plainThickness)(t)))
}

func (d Dimensions) MarshalJSON() ([]byte, error) { return json.Marshal(plainDimensions(d)) }

// UnmarshalJSON reads width and height.
func (d *Dimensions) UnmarshalJSON(data []byte) error {
	return check(d, json.Unmarshal(data, (*plainDimensions)(d)))
}

func (t Trim) MarshalJSON() ([]byte, error) { return json.Marshal(plainTrim(t)) }

// UnmarshalJSON reads three lengths.
func (t *Trim) UnmarshalJSON(data []byte) error {
	t.Given = true
	return check(t, json.Unmarshal(data, (*plainTrim)(t)))
}

func (e Edges) MarshalJSON() ([]byte, error) { return json.Marshal(plainEdges(e)) }

// UnmarshalJSON reads four lengths.
func (e *Edges) UnmarshalJSON(data []byte) error {
	e.Given = true
	return check(e, json.Unmarshal(data, (*plainEdges)(e)))
}

func (m Margins) MarshalJSON() ([]byte, error) { return json.Marshal(plainMargins(m)) }

// UnmarshalJSON reads four lengths.
func (m *Margins) UnmarshalJSON(data []byte) error {
	m.Given = true
	return check(m, json.Unmarshal(data, (*plainMargins)(m)))
}

func (s SplitAt) MarshalJSON() ([]byte, error) { return json.Marshal(plainSplitAt(s)) }

// UnmarshalJSON reads a place in mm or a share.
func (s *SplitAt) UnmarshalJSON(data []byte) error {
	return check(s, json.Unmarshal(data, (*plainSplitAt)(s)))
}

// MarshalJSON writes fit, or the enlargement: 1 is 100 percent.
func (s Scale) MarshalJSON() ([]byte, error) {
	return writeNumberOr("fit", s.Scale == reorder.ScaleFit, float64(s.Scale))
}

// UnmarshalJSON reads the same.
func (s *Scale) UnmarshalJSON(data []byte) error {
	return check(s, readNumberOr(data, (*float64)(&s.Scale), s))
}

// MarshalJSON writes book or gathering, or a number of sheets.
func (r Run) MarshalJSON() ([]byte, error) { return writeNumberOr(r.String(), r.Most == 0, r.Most) }

// UnmarshalJSON reads the same.
func (r *Run) UnmarshalJSON(data []byte) error {
	return check(r, readNumberOr(data, &r.Most, r))
}

// MarshalJSON writes outline, or page numbers.
func (s Starts) MarshalJSON() ([]byte, error) { return writeNumberOr("outline", s.Outline, s.Pages) }

// UnmarshalJSON reads the same.
func (s *Starts) UnmarshalJSON(data []byte) error {
	return check(s, readNumberOr(data, &s.Pages, s))
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
