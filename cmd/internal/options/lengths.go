package options

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// Length is a length in millimetres. It is written in mm, in or pt, 12.7mm or
// 1/2in; a number alone is millimetres.
type Length float64

func (l Length) String() string { return geom.Millimetres(float64(l)) + "mm" }

// UnmarshalText reads a length.
func (l *Length) UnmarshalText(text []byte) error {
	v, ok := geom.ParseLength(string(text))
	if !ok {
		return refusal.Use.New("%q is not a length: use a number with mm, in or pt", text)
	}
	if fraction := string(text); strings.Contains(fraction, "/") && !strings.ContainsAny(fraction, "imp") {
		return refusal.Use.New("%q: a fraction of an inch?", text).Advise("write %sin", fraction) // of millimetres nobody speaks so
	}
	*l = Length(v)
	return nil
}

func (l Length) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// Lengths is lengths with commas between them.
type Lengths []Length

// Mm is the lengths in millimetres.
func (l Lengths) Mm() []float64 {
	return lists.Map(l, func(v Length) float64 { return float64(v) })
}

func (l Lengths) String() string { return strings.Join(lists.Map(l, Length.String), ",") }

func (l Lengths) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText reads rising lengths.
func (l *Lengths) UnmarshalText(text []byte) error {
	var out Lengths
	for word := range strings.SplitSeq(string(text), ",") {
		var v Length
		if err := v.UnmarshalText([]byte(word)); err != nil {
			return err
		}
		if v <= 0 || len(out) > 0 && v <= out[len(out)-1] {
			return refusal.Use.New("%q must be rising lengths from the head, such as 12,60,105mm", text)
		}
		out = append(out, v)
	}
	*l = out
	return nil
}

// Thickness is about how thick something shall be, or between what: 1.5mm or
// 1-1.5mm. A unit after the second length holds for both.
type Thickness struct {
	Thin  Length `json:"least"`
	Thick Length `json:"most"`
}

func (t Thickness) String() string {
	switch {
	case t == (Thickness{}):
		return ""
	case t.Thin == t.Thick:
		return t.Thick.String()
	}
	return t.Thin.String() + "-" + t.Thick.String()
}

func (t Thickness) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText reads one length or two.
func (t *Thickness) UnmarshalText(text []byte) error {
	first, second, two := strings.Cut(string(text), "-")
	if !two {
		second = first
	}
	var out Thickness
	if err := out.Thick.UnmarshalText([]byte(second)); err != nil {
		return err
	}
	if err := out.Thin.UnmarshalText([]byte(sameUnit(first, second))); err != nil {
		return err
	}
	if !(out.Thin > 0 && out.Thick >= out.Thin) {
		return refusal.Use.New("%q is not a thickness: use 1.5mm or 1-1.5mm", text)
	}
	*t = out
	return nil
}

// Dimensions is a width and a height: 152x229mm, 6x9in.
type Dimensions struct {
	W Length `json:"width"`
	H Length `json:"height"`
}

func (d Dimensions) String() string {
	if d == (Dimensions{}) {
		return ""
	}
	return fmt.Sprintf("%sx%s", geom.Millimetres(float64(d.W)), d.H)
}

func (d Dimensions) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads two lengths with an x between them; a unit after the
// second holds for both.
func (d *Dimensions) UnmarshalText(text []byte) error {
	first, second, two := strings.Cut(string(text), "x")
	var out Dimensions
	if !two || out.H.UnmarshalText([]byte(second)) != nil || out.W.UnmarshalText([]byte(sameUnit(first, second))) != nil ||
		!(out.W > 0 && out.H > 0) {
		return refusal.Use.New("%q is not a size: use width and height such as 152x229mm or 6x9in", text)
	}
	*d = out
	return nil
}

// sameUnit gives a bare number the unit of another length.
func sameUnit(number, other string) string {
	const digits = "0123456789./ "
	if strings.Trim(number, digits) != "" {
		return number
	}
	return number + strings.TrimLeft(other, digits)
}

// Edges is the edge that the printer cannot reach: one length for all edges,
// or head,tail,left,right.
type Edges struct {
	Given bool   `json:"-"`
	Head  Length `json:"head"`
	Tail  Length `json:"tail"`
	Left  Length `json:"left"`
	Right Length `json:"right"`
}

func (e Edges) String() string {
	if !e.Given {
		return ""
	}
	return joinEdges(e.Head, e.Tail, e.Left, e.Right)
}

func (e Edges) MarshalText() ([]byte, error) { return []byte(e.String()), nil }

// Widest is the widest of the edges, in mm.
func (e Edges) Widest() float64 { return float64(max(e.Head, e.Tail, e.Left, e.Right)) }

// UnmarshalText reads one length or four.
func (e *Edges) UnmarshalText(text []byte) error {
	out := Edges{Given: true}
	err := readEdges(text, "four for head,tail,left,right", 50, &out.Head, &out.Tail, &out.Left, &out.Right)
	if err == nil {
		*e = out
	}
	return err
}

// Trim is what is cut off the folded leaves: one length for head, tail and
// fore-edge, or three.
type Trim struct {
	Given    bool   `json:"-"`
	Head     Length `json:"head"`
	Tail     Length `json:"tail"`
	ForeEdge Length `json:"fore-edge"`
}

func (t Trim) String() string {
	if !t.Given {
		return ""
	}
	return joinEdges(t.Head, t.Tail, t.ForeEdge)
}

func (t Trim) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText reads one length or three.
func (t *Trim) UnmarshalText(text []byte) error {
	out := Trim{Given: true}
	err := readEdges(text, "three for head,tail,fore-edge", 100, &out.Head, &out.Tail, &out.ForeEdge)
	if err == nil {
		*t = out
	}
	return err
}

// Margins are those of a page, mirrored on rectos and versos: one length for all, or inner,outer,head,tail.
type Margins struct {
	Given bool   `json:"-"`
	Inner Length `json:"inner"` // at the spine
	Outer Length `json:"outer"` // at the fore-edge
	Head  Length `json:"head"`
	Tail  Length `json:"tail"`
}

func (m Margins) String() string {
	if !m.Given {
		return ""
	}
	return joinEdges(m.Inner, m.Outer, m.Head, m.Tail)
}

func (m Margins) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads one length or four.
func (m *Margins) UnmarshalText(text []byte) error {
	out := Margins{Given: true}
	err := readEdges(text, "four for inner,outer,head,tail", 200, &out.Inner, &out.Outer, &out.Head, &out.Tail)
	if err == nil {
		*m = out
	}
	return err
}

// joinEdges writes one length if all are the same.
func joinEdges(edges ...Length) string {
	if len(slices.Compact(slices.Clone(edges))) == 1 {
		edges = edges[:1]
	}
	return Lengths(edges).String()
}

// readEdges reads one length for all edges, or as many as there are, up to most mm.
func readEdges(text []byte, all string, most Length, edges ...*Length) error {
	words := strings.Split(string(text), ",")
	if len(words) == 1 {
		words = slices.Repeat(words, len(edges))
	}
	if len(words) != len(edges) {
		return refusal.Use.New("%q must be one length, or %s", text, all)
	}
	for i, l := range edges {
		if err := l.UnmarshalText([]byte(words[i])); err != nil {
			return err
		}
		if !(*l >= 0 && *l <= most) {
			return refusal.Use.New("%q must be between 0 and %g mm", text, most)
		}
	}
	return nil
}
