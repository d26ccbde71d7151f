package printer

import (
	"cmp"
	"math"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// Shift is how far an image lies from where it should, in millimetres.
type Shift struct {
	Right float64 `yaml:"right" json:"right"`
	Up    float64 `yaml:"up" json:"up"`
}

// Registration is how far the printer's images lie from where they should.
type Registration struct {
	// Both is the shift of every image against the paper, as one looks at the
	// printed face with the edge that went in first away from one.
	Both Shift `yaml:"both,omitempty" json:"both,omitzero"`
	// Back is how far the back lies from the front besides, seen through the
	// sheet from the front.
	Back Shift `yaml:"back,omitempty" json:"back,omitzero"`
}

// Scaling is the size at which an image is printed against the size it should
// have: 1 is true to size, 1.003 is 0.3 percent too large. Zero means 1.
type Scaling struct {
	Across float64 `yaml:"across" json:"across"` // along the short edge
	Along  float64 `yaml:"along" json:"along"`   // along the long edge
}

// Scalings is the scaling of the two faces.
type Scalings struct {
	Front Scaling `yaml:"front,omitempty" json:"front,omitzero"`
	Back  Scaling `yaml:"back,omitempty" json:"back,omitzero"`
}

// Correction is the map by which a side of the plan has to be changed so that
// the printer's errors undo it, followed by the half turn if the image is
// turned. The shift of both faces belongs to the printer and is undone in the
// file's own frame, so on the sheet it changes its sign with the turn; the
// shift of the back belongs to the sheet, and its rightward part, seen
// through from the front, is leftward in the back's own view. Shifts are
// lengths on paper, so they are undone before the size is.
func Correction(sheet geom.Size, side reorder.Side, halfTurn bool, r Registration, s Scalings) geom.Matrix {
	m := geom.Identity
	scaling := s.Front
	if side == reorder.Back {
		scaling = s.Back
		m = geom.Translate(r.Back.Right, -r.Back.Up)
	}
	if halfTurn {
		m = m.Then(geom.HalfTurn(sheet))
	}
	m = m.Then(geom.Translate(-r.Both.Right, -r.Both.Up))
	return m.Then(scaling.inverse(sheet))
}

// inverse scales about the sheet's centre.
func (s Scaling) inverse(sheet geom.Size) geom.Matrix {
	x, y := cmp.Or(s.Across, 1), cmp.Or(s.Along, 1)
	return geom.Matrix{1 / x, 0, 0, 1 / y, sheet.W / 2 * (1 - 1/x), sheet.H / 2 * (1 - 1/y)}
}

// Limits of what a printer does to an image; more is a misreading or a
// setting of the print dialog.
const (
	maxShift = 10.0 // mm
	// MostScaling is how far off size a printer prints at most, as a part of the
	// size: 1.5 percent (common practice, no source).
	MostScaling = 0.015
)

// Check refuses shifts above 10 mm.
func (r Registration) Check() error {
	for _, v := range []float64{r.Both.Right, r.Both.Up, r.Back.Right, r.Back.Up} {
		if !(math.Abs(v) <= maxShift) {
			return refusal.Plan.New("registration has a shift of more than 10 mm, so something was misread")
		}
	}
	return nil
}

// Check refuses scalings that are further off than [MostScaling].
func (s Scalings) Check() error {
	for _, v := range []float64{s.Front.Across, s.Front.Along, s.Back.Across, s.Back.Along} {
		if !IsPrintersScaling(v) {
			return refusal.Plan.New("scale is more than 1.5 percent away from 1: a print dialog does that, not a printer").Advise("print the test sheet again at actual size and learn the printer anew")
		}
	}
	return nil
}

// IsPrintersScaling tells whether a printer can print at such a size by itself; zero
// means 1.
func IsPrintersScaling(v float64) bool {
	const rounding = 1e-9
	return math.Abs(cmp.Or(v, 1)-1) <= MostScaling+rounding
}

// KeepClear is the edge of the sheet, in millimetres, that the printer cannot
// reach, in feed orientation.
type KeepClear struct {
	Head  float64 `yaml:"head" json:"head"`
	Tail  float64 `yaml:"tail" json:"tail"`
	Left  float64 `yaml:"left" json:"left"`
	Right float64 `yaml:"right" json:"right"`
}

// AllEdges is the same width at every edge.
func AllEdges(mm float64) KeepClear { return KeepClear{mm, mm, mm, mm} }

// UnmarshalYAML takes one number for all edges, or a number for each.
func (k *KeepClear) UnmarshalYAML(read func(any) error) error {
	var mm float64
	if read(&mm) == nil {
		*k = AllEdges(mm)
		return nil
	}
	type edges KeepClear
	return read((*edges)(k))
}

// MarshalYAML writes one number where all edges are alike.
func (k KeepClear) MarshalYAML() (any, error) {
	if k == AllEdges(k.Head) {
		return k.Head, nil
	}
	type edges KeepClear
	return edges(k), nil
}

// Printable is the part of a side that the printer reaches, as the side lies
// in its file.
func (k KeepClear) Printable(sheet geom.Size) geom.Rect {
	return sheet.Rect().Inset(k.Left, k.Tail, k.Right, k.Head)
}

// Check refuses edges below nought or above 50 mm.
func (k KeepClear) Check() error {
	for _, v := range []float64{k.Head, k.Tail, k.Left, k.Right} {
		if !(v >= 0 && v <= 50) {
			return refusal.Plan.New("keep-clear must be between 0 and 50 mm at each edge")
		}
	}
	return nil
}
