package reorder

import "math"

// Creep is how far, in millimetres, each thickness of paper moves the next
// leaf of a gathering out at the fore-edge.
type Creep float64

// Bend is how a fold goes round the folds inside it: models, not bounds.
type Bend int

const (
	PinchedFold Bend = iota + 1 // sharp: each leaf lies as much further out as the one around it is thick
	RoundFold                   // half a circle
	SquareFold                  // a flat back, or air in the fold
)

// Creep is what a bend makes of paper of a given caliper in mm.
func (b Bend) Creep(caliper float64) Creep {
	return Creep(caliper * map[Bend]float64{PinchedFold: 1, RoundFold: math.Pi / 2, SquareFold: 2}[b])
}

// MeasuredCreep is the creep of a gathering whose innermost leaf, of the given
// depth, was seen to stand out by total millimetres. Nothing creeps in a
// gathering of depth 0.
func MeasuredCreep(total float64, depth int) Creep {
	if depth < 1 {
		return 0
	}
	return Creep(total / float64(depth))
}

// At is how far a leaf of the given depth stands out, in millimetres, and so
// how far its pages are moved towards the spine. The outermost never moves.
func (c Creep) At(depth int) float64 { return float64(c) * float64(depth) }

// WorthMoving is the creep in all, in millimetres, below which moving pages
// is not worth it: a hand folds and cuts no better.
const WorthMoving = 0.5

// Depth is how many thicknesses of paper lie outside the innermost leaf of
// the thickest gathering.
func (b Book) Depth() int {
	deepest := 0
	for _, s := range b.Sheets() {
		for _, side := range []Side{Front, Back} {
			for _, p := range s.Side(side) {
				deepest = max(deepest, p.Depth)
			}
		}
	}
	return deepest
}
