package reorder

import (
	"slices"

	"foldwright/reorder/enum"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// slitBeyond is how far beyond the line of the next fold a bolt is slit, in mm
// (common practice, no source).
const slitBeyond = 8.0

// Handwork is what the hands do with the printed sheets until the gatherings
// lie there to be read. stacks are what is cut as one: the sheets of each
// gathering in it. It starts from the whole finished stack, fronts up, and
// refuses what cannot be.
func (f Form) Handwork(sheet geom.Size, stacks [][]int) ([]Motion, error) {
	if err := f.Check(); err != nil {
		return nil, err
	}
	if err := f.checkSizes(slices.Concat(stacks...)); err != nil {
		return nil, err
	}
	p, err := f.position(sheet)
	if err != nil {
		return nil, err
	}
	if f.CutEdge != TailEdge {
		return f.handwork(p, stacks, false), nil
	}
	// Whether the pieces stand foot to foot only if one is turned depends on
	// how they are folded; a small gathering tells.
	one := 1 // the size of one that a sheet makes
	if f.ByPieces {
		one = f.Cut
	}
	for _, turn := range []bool{false, true} {
		if layOut(sheet, f, f.handwork(p, [][]int{{one}}, turn)).isCutAtTails() {
			return f.handwork(p, stacks, turn), nil
		}
	}
	return nil, refusal.Plan.New("with this fold and cut not every cut edge is at the tail").Advise("a folio or an octavo cut in 2 can have all cuts at the tail")
}

// handwork is the motions for a position. turn turns the lower pile of every cut.
func (f Form) handwork(p position, stacks [][]int, turn bool) []Motion {
	s := f.Fold.Scheme()
	quarters := 0
	if p.broad {
		quarters = -1
	}
	upright := geom.Down
	if f.Bind == BindTop && !s.Strip {
		upright = geom.Left
	}
	var work []Motion
	var sheets, pieces, spare []int
	for _, sizes := range stacks {
		n, left := f.SheetsOf(sizes...)
		sheets, spare = append(sheets, n), append(spare, left)
		for _, size := range sizes {
			pieces = append(pieces, f.Pieces(size))
		}
	}
	work = append(work, Deal{Counts: sheets})
	if len(p.cuts) > 0 {
		lie := upright
		onHeads := f.Bind == BindTop && len(p.creases) > 0 && !slices.Contains(p.creases, Upright)
		switch {
		case turn:
			lie = geom.Up
		case onHeads: // on the front: lay it the other way round
			lie, quarters = geom.Down, quarters+2
		}
		work = append(work, LayDown{Face: Front, Quarters: quarters, Upright: lie, Size: p.sheet})
		if f.Copies {
			work = append(work, CutApart{p.cuts[0], middleOf(p.sheet, p.cuts[0])})
		} else {
			work = append(work, p.cutAndStack(quarters, turn)...)
		}
		if quarters = 0; onHeads {
			quarters = 2
		}
	}
	switch {
	case slices.Max(spare) > 0:
		work = append(work, Deal{pieces, spare})
	case len(pieces) > len(sheets):
		work = append(work, Deal{Counts: pieces})
	}
	switch {
	case s.Strip:
		return append(work, f.stripWork(p, quarters)...)
	case len(s.Creases) == 0:
		return append(work, LayDown{Face: Front, Quarters: quarters, Upright: upright, Size: p.piece()}, Present{Spine: spines[f.Bind], Held: Edges})
	}
	work = append(work, LayDown{Singly: f.Nest == Inset, Face: Back, Quarters: quarters, Upright: upright, Size: p.piece()})
	piece := p.piece()
	if s.CutOff != nil {
		rest := sizeWithout(piece, p.cutOffAt, s.CutOff.Share)
		off := geom.Size{W: piece.W, H: piece.H - rest.H}
		at := rest.H
		if p.cutOffAt == Upright {
			off, at = geom.Size{W: piece.W - rest.W, H: piece.H}, rest.W
		}
		inset, _ := foldUp(off, p.inset)
		work = append(work, CutOffInset{p.cutOffAt, at, inset})
		piece = rest
	}
	folding, folded := foldUp(piece, p.creases)
	work = append(work, folding...)
	if s.CutOff != nil {
		work = append(work, LayIn{})
	}
	if f.Nest == Inset && slices.Max(pieces) > 1 {
		work = append(work, NestPieces{})
	}
	return append(work, f.present(folded)...)
}

// spines is where the spine lies when a gathering is read, as the person sees it.
var spines = map[Bind]geom.Towards{BindLeft: geom.Left, BindRight: geom.Right, BindTop: geom.Up}

// piece is the size of what is folded.
func (p position) piece() geom.Size {
	size := p.sheet
	for _, line := range p.cuts {
		size = halfOf(size, line)
	}
	return size
}

// cutAndStack cuts through the pile, turned by quarters from feed orientation,
// again and again. The head-end part is laid on the other, or the left-hand
// part, as seen in feed orientation.
func (p position) cutAndStack(quarters int, turn bool) []Motion {
	var work []Motion
	size := p.sheet
	for _, line := range p.cuts {
		upper := geom.Up.Turn(quarters)
		if (line == Level) != (upper == geom.Up || upper == geom.Down) {
			upper = geom.Left.Turn(quarters)
		}
		on := map[geom.Towards]Over{geom.Up: FarOverNear, geom.Left: LeftOverRight, geom.Down: NearOverFar, geom.Right: RightOverLeft}[upper]
		work = append(work, CutPile{line, middleOf(size, line), on, turn})
		size = halfOf(size, line)
	}
	return work
}

// foldUp folds a pile in the middle along each line in turn, right over left
// or far over near, and slits the bolts that the next fold would crumple. It
// tells which edges of the folded pile are folds.
func foldUp(size geom.Size, lines []Line) (work []Motion, folds map[geom.Towards]bool) {
	folds = map[geom.Towards]bool{}
	for _, line := range lines {
		at := middleOf(size, line)
		fold, lift, under, crossed := RightOverLeft, geom.Right, geom.Left, []geom.Towards{geom.Up, geom.Down}
		if line == Level {
			fold, lift, under, crossed = FarOverNear, geom.Up, geom.Down, []geom.Towards{geom.Left, geom.Right}
		}
		for _, edge := range crossed {
			if folds[edge] {
				work = append(work, SlitBolt{edge, lift, at - min(slitBeyond, at/4)})
			}
		}
		work = append(work, FoldOver{fold, at})
		folds[under] = folds[under] || folds[lift]
		folds[lift] = true
		size = halfOf(size, line)
	}
	return work, folds
}

// present brings the folded gathering into the position in which it is read.
// Its last fold lies at the right, with the spine at the top at the far edge,
// and for a book whose spine is sewn there the last page is up.
func (f Form) present(folds map[geom.Towards]bool) []Motion {
	p := Present{Spine: spines[f.Bind], Held: f.Fold.Scheme().Held}
	last := geom.Right
	if f.Bind == BindTop {
		last = geom.Up
	}
	spine := last
	if p.Held == Edges {
		spine = last.Opposite()
	}
	switch {
	case spine == p.Spine:
	case f.Bind == BindTop:
		p.Quarters = 2
	default:
		p.TurnOver = true
	}
	if p.Held == Edges {
		return []Motion{p}
	}
	var bolts []geom.Towards
	for _, edge := range []geom.Towards{geom.Up, geom.Left, geom.Down, geom.Right} {
		at := edge
		if p.TurnOver && (edge == geom.Left || edge == geom.Right) {
			at = edge.Opposite()
		}
		if folds[at] && edge != p.Spine {
			bolts = append(bolts, edge)
		}
	}
	if len(bolts) == 0 {
		return []Motion{p}
	}
	return []Motion{p, OpenBolts{bolts}}
}

// stripWork joins the sheets to a strip and folds it to and fro.
func (f Form) stripWork(p position, quarters int) []Motion {
	to := map[Bind]geom.Towards{BindLeft: geom.Right, BindRight: geom.Left, BindTop: geom.Down}[f.Bind]
	width := p.leaf.W
	if f.Bind == BindTop {
		width = p.leaf.H
	}
	work := []Motion{LayDown{Face: Front, Quarters: quarters, Upright: geom.Down, Size: p.sheet}}
	work = append(work, Join{to, width * float64(f.perStripSheet())})
	return append(work, Pleat{to, width}, Present{Spine: spines[f.Bind], Held: Edges})
}

func middleOf(s geom.Size, line Line) float64 {
	if line == Level {
		return s.H / 2
	}
	return s.W / 2
}

// Motion is one thing that hands do with the paper on the table, to every
// pile that lies there alike. [Form.Handwork] says which; the planner does
// them with numbered sheets to find out where pages stand, the run sheet tells
// them, and package paper follows them.
//
// The table is looked at from above by the person before it: Right and Left
// are theirs, Up is the far edge of a pile, Down the edge near them. Lengths
// are in mm from the left or the near edge of a pile.
type Motion interface{ motion() }

type (
	// Deal takes, from the top of what lies on the table, piles of so many
	// sheets or pieces, in this order. Spare is how many are left of each pile that
	// lies there, at its bottom, and laid aside; none if it is not given.
	Deal struct{ Counts, Spare []int }

	// LayDown lays the piles before the person.
	LayDown struct {
		Singly   bool // every sheet or piece of a pile by itself, in their order
		Face     Side // which looks up
		Quarters int  // counter-clockwise, fronts still up, from how it lay before (from the stack: from feed orientation)
		// Upright is the edge at which all pages then stand upright, and Size
		// how large the pile is as it then lies: so the person finds the quarters.
		Upright geom.Towards
		Size    geom.Size
	}

	// CutPile cuts through a pile and lays one part on the other.
	CutPile struct {
		Line Line
		At   float64
		On   Over // which part is laid on which
		Turn bool // the part beneath is first turned half round, flat
	}

	// CutApart cuts through a pile and keeps both parts as books of their own.
	CutApart struct {
		Line Line
		At   float64
	}

	// CutOffInset cuts off the far or right-hand part of a sheet, turns it half
	// round, flat, and does to it what Inset says. It is laid aside until LayIn.
	CutOffInset struct {
		Line  Line
		At    float64
		Inset []Motion
	}

	// LayIn lays the folded inset into the middle of the folded rest.
	LayIn struct{}

	// FoldOver folds a pile.
	FoldOver struct {
		Over Over
		At   float64
	}

	// SlitBolt cuts a folded edge open so that the next fold does not crumple.
	SlitBolt struct {
		Edge geom.Towards // which folded edge
		From geom.Towards // from which end of it
		To   float64      // how far, beyond the line of the next fold
	}

	// NestPieces lays the folded pieces of a gathering into each other's
	// middles: the first stays outermost.
	NestPieces struct{}

	// Join lays the sheets of a pile, the first on top, into one strip: each
	// further one beyond the one before, its edge on the line At, over the rest
	// of that one, and glues it there. The rest of the last is cut off.
	Join struct {
		To geom.Towards // where the strip goes on
		At float64      // from the edge of a sheet where the strip begins
	}

	// Pleat folds a strip to and fro at every Width, first backwards, so that
	// the printed faces come outside.
	Pleat struct {
		To    geom.Towards // where the strip goes on from its first page
		Width float64
	}

	// Present brings a gathering into the position in which it is read: the
	// first page on top.
	Present struct {
		TurnOver bool // like the page of a book
		Quarters int  // then, counter-clockwise
		Spine    geom.Towards
		Held     Hold
	}

	// OpenBolts cuts folded edges open, as the gathering then lies.
	OpenBolts struct{ Edges []geom.Towards }
)

func (Deal) motion()        {}
func (LayDown) motion()     {}
func (CutPile) motion()     {}
func (CutApart) motion()    {}
func (CutOffInset) motion() {}
func (LayIn) motion()       {}
func (FoldOver) motion()    {}
func (SlitBolt) motion()    {}
func (NestPieces) motion()  {}
func (Join) motion()        {}
func (Pleat) motion()       {}
func (Present) motion()     {}
func (OpenBolts) motion()   {}

// Over is which part of a pile goes over the rest.
type Over = enum.Value[overWords]

const (
	RightOverLeft Over = iota + 1
	LeftOverRight
	FarOverNear
	NearOverFar
)

type overWords struct{}

func (overWords) Words() enum.Words {
	return enum.New("fold", "right over left", "left over right", "far over near", "near over far")
}
