package reorder

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"foldwright/reorder/enum"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// Trim is what is cut off the folded leaves, in millimetres. With the spine at
// the top, Head and Tail are at its ends, at the left and the right.
type Trim struct{ Head, Tail, ForeEdge float64 }

// Of is the size of a leaf, as its page is read, after trimming.
func (t Trim) Of(leaf geom.Size, bind Bind) geom.Size {
	leaf = bind.TurnToSide(leaf)
	return bind.TurnToSide(geom.Size{W: leaf.W - t.ForeEdge, H: leaf.H - t.Head - t.Tail})
}

// TurnToSide gives the size of a leaf as if its spine stood at the side, and back.
func (b Bind) TurnToSide(leaf geom.Size) geom.Size {
	if b == BindTop {
		return leaf.Turn()
	}
	return leaf
}

// TrimTo is the trim that makes a leaf of one size one of another, both as
// their pages are read: head and tail lose alike. What cannot be is refused.
func TrimTo(leaf, to geom.Size, bind Bind) (Trim, error) {
	const rounding = 0.05 // mm, as far as sizes are written
	read := [2]geom.Size{leaf, to}
	leaf, to = bind.TurnToSide(leaf), bind.TurnToSide(to)
	t := Trim{(leaf.H - to.H) / 2, (leaf.H - to.H) / 2, leaf.W - to.W}
	if to.W <= 0 || to.H <= 0 || t.ForeEdge < -rounding || t.Head < -rounding {
		return Trim{}, refusal.Plan.New("a leaf of %s cannot be trimmed to %s", read[0], read[1])
	}
	return Trim{max(0, t.Head), max(0, t.Tail), max(0, t.ForeEdge)}, nil
}

func (t Trim) check(leaf geom.Size, bind Bind, gutter float64) error {
	left := bind.TurnToSide(t.Of(leaf, bind))
	if t.Head < 0 || t.Tail < 0 || t.ForeEdge < 0 || left.W-gutter <= 0 || left.H <= 0 {
		return refusal.Plan.New("nothing is left of a leaf of %s when %s, %s and %s mm are trimmed off head, tail and fore-edge", leaf, geom.Millimetres(t.Head), geom.Millimetres(t.Tail), geom.Millimetres(t.ForeEdge))
	}
	return nil
}

// TrimmedRect is what is left of a panel after trimming, in the view of its side.
// All leaves are cut together at one place, so a leaf that creeps out loses
// as much more at its fore-edge.
func (p Panel) TrimmedRect(t Trim, creep Creep) geom.Rect {
	head := p.spineHead()
	off := map[geom.Towards]float64{head: t.Head, head.Opposite(): t.Tail, p.Spine.Opposite(): t.ForeEdge + creep.At(p.Depth)}
	return p.Rect.Inset(off[geom.Left], off[geom.Down], off[geom.Right], off[geom.Up])
}

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
		for _, p := range slices.Concat(s.Front, s.Back) {
			deepest = max(deepest, p.Depth)
		}
	}
	return deepest
}

// Basis is the sheet of which 500 weigh the pounds by which a kind of paper
// is sold; without it a number of pounds says nothing.
type Basis int

const (
	Bond      Basis = iota + 1 // 17 x 22 in
	BookText                   // 25 x 38 in
	Cover                      // 20 x 26 in
	IndexCard                  // 25.5 x 30.5 in
)

var basisWords = enum.New("kind of paper", "bond", "text", "cover", "index")

func (b Basis) String() string { return basisWords.Of(int(b)) }

// GSM is the weight in g/m2 of paper of so many pounds.
func (b Basis) GSM(pounds float64) float64 {
	size := map[Basis]geom.Size{Bond: {W: 17, H: 22}, BookText: {W: 25, H: 38}, Cover: {W: 20, H: 26}, IndexCard: {W: 25.5, H: 30.5}}[b]
	const gramsPerPound, sheets = 453.59237, 500
	return pounds * gramsPerPound / sheets / (size.W * size.H * geom.Inch * geom.Inch / 1e6)
}

// Weight is the weight of a paper. The zero value is not given.
type Weight struct {
	GSM    float64 // g/m2
	Pounds float64 // 0 unless it was given in pounds
	Basis  Basis   // with Pounds
}

// Papers that are folded and sewn into books, in g/m2.
const (
	lightest = 20.0
	heaviest = 500.0
)

func (w Weight) String() string {
	if w == (Weight{}) {
		return ""
	}
	if w.Pounds > 0 {
		return fmt.Sprintf("%slb-%s", geom.Millimetres(w.Pounds), w.Basis)
	}
	return fmt.Sprintf("%sg", geom.Millimetres(w.GSM))
}

func (w Weight) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// UnmarshalText reads 80 or 80g, which are g/m2, or pounds with their kind of
// paper: 20lb-bond, 60lb-text, 65lb-cover, 110lb-index.
func (w *Weight) UnmarshalText(text []byte) error {
	s := strings.ToLower(strings.TrimSpace(string(text)))
	number, kind, pounds := strings.Cut(s, "lb")
	if !pounds {
		number = strings.TrimSuffix(s, "g")
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if err != nil || !(v > 0) {
		return refusal.Use.New("weight %q is not a weight of paper", text).Advise("give g/m2, such as 80, or pounds with their kind, such as 20lb-bond")
	}
	out := Weight{GSM: v}
	if pounds {
		i := slices.Index(basisWords.List, strings.TrimPrefix(kind, "-"))
		if i < 0 || !strings.HasPrefix(kind, "-") {
			return refusal.Use.New("weight %q does not name the kind of paper that the pounds belong to", text).Advise("%s", poundChoices(v))
		}
		out.Basis = Basis(i + 1)
		out.Pounds, out.GSM = v, out.Basis.GSM(v)
	}
	if out.GSM < lightest || out.GSM > heaviest {
		return refusal.Use.New("weight %q would be %.0f g/m2", text, out.GSM).Advise("paper for books is between %g and %g g/m2", lightest, heaviest)
	}
	*w = out
	return nil
}

// poundChoices is what so many pounds are on each kind of paper.
func poundChoices(pounds float64) string {
	var words []string
	for b := Bond; b <= IndexCard; b++ {
		words = append(words, fmt.Sprintf("%slb-%s (%.0f g/m2)", geom.Millimetres(pounds), b, b.GSM(pounds)))
	}
	return "write " + refusal.List(words, "or")
}

// Caliper is the thickness of a leaf in millimetres: what is reckoned with,
// and between which bounds it lies.
type Caliper struct{ Least, Usual, Most float64 }

// OfficeCaliper is that of the paper that lies in most printers: 80 g/m2
// writing paper has about 0.10 mm (paper merchants' figure, "guide only").
var OfficeCaliper = Caliper{0.09, 0.10, 0.11}

// MeasuredCaliper is that of a paper that was measured.
func MeasuredCaliper(mm float64) Caliper { return Caliper{mm, mm, mm} }

// IsExact tells whether the caliper was measured.
func (c Caliper) IsExact() bool { return c.Least == c.Most }

// Times is the thickness of so many leaves.
func (c Caliper) Times(leaves int) Caliper {
	n := float64(leaves)
	return Caliper{n * c.Least, n * c.Usual, n * c.Most}
}

// Plus is two thicknesses together.
func (c Caliper) Plus(o Caliper) Caliper {
	return Caliper{c.Least + o.Least, c.Usual + o.Usual, c.Most + o.Most}
}

// Caliper estimates the thickness from the weight, as of uncoated paper: 1.25 to 1.33 micrometres
// for each g/m2 by the figures of paper merchants (20 lb bond 0.097 mm, 24 lb 0.12 mm, 80 g/m2 about 0.10 mm,
// "guide only"), and a little more either way (common practice, no source). Coated paper is thinner,
// about 0.8, and bulky paper thicker, about 1.8 (common practice, no source): it has to be measured.
func (w Weight) Caliper() Caliper {
	const least, usual, most = 1.22e-3, 1.3e-3, 1.36e-3
	return Caliper{w.GSM * least, w.GSM * usual, w.GSM * most}
}
