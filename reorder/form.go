package reorder

import (
	"foldwright/reorder/enum"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// Nest is how the pieces of one gathering come together. For folios the two
// give the same book.
type Nest = enum.Value[nestWords]

const (
	Inset    Nest = iota + 1 // each folded by itself, then laid into the one before it
	Together                 // laid on each other flat and folded as one
)

type nestWords struct{}

func (nestWords) Words() enum.Words { return enum.New("nest", "inset", "together") }

// Bind is the edge of the book, its front cover up, at which the spine lies.
// At the top the book opens upwards like a wall calendar: both pages of an
// opening are read the same way round.
type Bind int

const (
	BindLeft Bind = iota + 1
	BindRight
	BindTop
)

var bindWords = enum.New("bind", "left", "right", "top")

func (b Bind) String() string                   { return bindWords.Of(int(b)) }
func (b Bind) MarshalText() ([]byte, error)     { return []byte(b.String()), nil }
func (b *Bind) UnmarshalText(text []byte) error { return enum.Parse(b, bindWords, string(text)) }

// Leaf is whether the pages are higher than wide or wider than high.
type Leaf = enum.Value[leafWords]

const (
	Portrait Leaf = iota + 1
	Landscape
)

type leafWords struct{}

func (leafWords) Words() enum.Words { return enum.New("leaf", "portrait", "landscape") }

// LeafOf is what a page of the given size is as it is read.
func LeafOf(page geom.Size) Leaf {
	if page.W > page.H+1e-6 {
		return Landscape
	}
	return Portrait
}

// isLeaf tells whether a page of the given size is such a leaf. A square one is
// both, and everything is a leaf that is not given.
func isLeaf(page geom.Size, l Leaf) bool {
	const near = 1e-6
	return l == 0 || l == Portrait && page.W <= page.H+near || l == Landscape && page.W >= page.H-near
}

// CutEdge is at which edges of the pages the cuts through a sheet come to lie.
type CutEdge = enum.Value[cutEdgeWords]

const (
	AnyEdge  CutEdge = iota + 1 // all pieces stand alike, so at the tail of one and the head of the next
	TailEdge                    // the pieces stand foot to foot, so that every cut is at a tail
)

type cutEdgeWords struct{}

func (cutEdgeWords) Words() enum.Words { return enum.New("cut-edge", "any", "tail") }

// Form is how printed sheets become gatherings: what is cut, how each piece
// is folded, how the pieces come together and where the spine is.
type Form struct {
	Fold    Fold
	Cut     int // pieces that a printed sheet is cut into before folding: 1, 2, 4, 8 or 16
	Nest    Nest
	Bind    Bind
	Leaf    Leaf    // not given: as halving the longer dimension has it
	CutEdge CutEdge // not given is AnyEdge
	Copies  bool    // of loose leaves: two books side by side, cut apart
	Overlap float64 // of a concertina: mm of each sheet that the next one is glued onto

	// ByPieces: sizes of gatherings count the pieces that are folded, not printed sheets.
	ByPieces bool
}

// FolioForm is the form of the usual hand-sewn book: uncut sheets, folded
// once, inset, the spine at the left.
var FolioForm = Form{Fold: Folio, Cut: 1, Nest: Inset, Bind: BindLeft}

// PagesPerSheet is the number of pages of the book that one printed sheet
// carries. Of two copies side by side one is counted.
func (f Form) PagesPerSheet() int {
	s := f.Fold.Scheme()
	switch {
	case s.Strip:
		return f.perStripSheet()
	case s.OneSided:
		return s.layers()
	}
	return 2 * s.layers() * f.Cut
}

// perStripSheet is how many pages of a concertina stand on a sheet: two if
// their leaf is what half a sheet is, else one.
func (f Form) perStripSheet() int {
	natural := Portrait
	if f.Bind == BindTop {
		natural = Landscape
	}
	if f.Leaf == 0 || f.Leaf == natural {
		return 2
	}
	return 1
}

// IsTwoSided tells whether the backs of the sheets carry anything.
func (f Form) IsTwoSided() bool { return !f.Fold.Scheme().OneSided }

// LeafThicknesses is how many thicknesses of paper a leaf has: two where it is
// closed at its fore-edge.
func (f Form) LeafThicknesses() int {
	if f.IsTwoSided() {
		return 1
	}
	return 2
}

// Thicknesses is how many thicknesses of paper the last fold of a gathering
// of a size bends at once.
func (f Form) Thicknesses(size int) int {
	creases := len(f.Fold.Scheme().Creases)
	if creases == 0 {
		return 0
	}
	n := 1 << (creases - 1)
	if f.Nest == Together {
		n *= f.Pieces(size)
	}
	return n
}

// More thicknesses than MostFolded cannot be folded as one; more than
// WellFolded are hard to fold (common practice, no source).
const (
	WellFolded = 16
	MostFolded = 32
)

// Check refuses a form that names no way of folding.
func (f Form) Check() error {
	s, known := schemes[f.Fold]
	switch {
	case !known:
		return refusal.Plan.New("the fold is not given")
	case f.Cut < 1 || f.Cut > MostPieces || f.Cut&(f.Cut-1) != 0:
		return refusal.Plan.New("a sheet is cut into 1, 2, 4, 8 or 16 pieces, not %d", f.Cut)
	case f.ByPieces && f.Cut == 1:
		return refusal.Plan.New("gatherings are counted in pieces where sheets are cut").Advise("cut them into 2 pieces")
	case s.Whole && f.Cut != 1:
		return refusal.Plan.New("the fold %s takes whole sheets, not pieces of a cut one", f.Fold).Advise("folio, quarto, octavo and sixteenmo can be cut first")
	case f.Nest != Inset && f.Nest != Together:
		return refusal.Plan.New("it is not said whether the pieces are nested inset or together")
	case f.Bind < BindLeft || f.Bind > BindTop:
		return refusal.Plan.New("the edge with the spine is not given")
	case f.Cut == 1 && f.CutEdge == TailEdge:
		return refusal.Plan.New("a cut edge at the tail needs a sheet that is cut").Advise("cut it into 2 pieces")
	case f.Copies && f.Fold != Loose:
		return refusal.Plan.New("two copies side by side are for loose leaves, not for the fold %s", f.Fold)
	case !s.Strip && f.Overlap != 0:
		return refusal.Plan.New("an overlap to glue is for a concertina, not for the fold %s", f.Fold)
	case s.Strip && f.Overlap < leastOverlap:
		return refusal.Plan.New("an overlap of %s mm does not hold the strip together", geom.Millimetres(f.Overlap)).Advise("give it at least %s mm", geom.Millimetres(leastOverlap))
	}
	return nil
}

// MostPieces is how many a sheet is cut into at most.
const MostPieces = 16

// leastOverlap of the sheets of a strip, in mm (common practice, no source).
const leastOverlap = 5

// counted is what sizes of gatherings count.
func (f Form) counted() string {
	if f.ByPieces {
		return "piece"
	}
	return "sheet"
}

func (f Form) checkSizes(sizes []int) error {
	s := f.Fold.Scheme()
	for _, n := range sizes {
		thick := f.Thicknesses(n)
		switch {
		case n < 1:
			return refusal.Plan.New("a gathering needs at least one %s, not %d", f.counted(), n)
		case s.Alone && n > 1:
			return refusal.Plan.New("with the fold %s a gathering is one sheet, not %d", f.Fold, n)
		case thick > MostFolded:
			return refusal.Plan.New("%s folded together as %s make %d thicknesses at the last fold, and no more than %d can be folded", Count(n, f.counted()), f.Fold, thick, MostFolded).Advise("use fewer %ss per gathering, or fold each by itself, inset", f.counted())
		}
	}
	if s.OneStack && len(sizes) > 1 {
		return refusal.Plan.New("with the fold %s all sheets are one gathering, not %d", f.Fold, len(sizes))
	}
	return nil
}
