package reorder

import (
	"slices"

	"foldwright/reorder/refusal"
)

// past is how far beyond the line of the next fold a bolt is slit, in mm
// (common practice, no source).
const past = 8.0

// Handwork is what the hands do with the printed sheets until the gatherings
// lie there to be read. stacks are what is cut as one: the sheets of each
// gathering in it. It starts from the whole finished stack, fronts up, and
// refuses what cannot be.
func (f Form) Handwork(sheet Size, stacks [][]int) ([]Motion, error) {
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
	for _, turn := range []bool{false, true} {
		if layOut(sheet, f, f.handwork(p, [][]int{{1}}, turn)).cutAtTails() {
			return f.handwork(p, stacks, turn), nil
		}
	}
	return nil, refusal.Plan.New("with this fold and cut a cut edge falls elsewhere than at the tail").Advise("a folio or an octavo cut in 2 can have all cuts at the tail")
}

// handwork is the motions for a position. turn turns the lower pile of every cut.
func (f Form) handwork(p position, stacks [][]int, turn bool) []Motion {
	s := f.Fold.Scheme()
	quarters := 0
	if p.broad {
		quarters = -1
	}
	upright := Down
	if f.Bind == BindTop && !s.Strip {
		upright = Left
	}
	var work []Motion
	var sheets, pieces []int
	for _, sizes := range stacks {
		n := 0
		for _, size := range sizes {
			n += size
			pieces = append(pieces, f.Pieces(size))
		}
		sheets = append(sheets, n)
	}
	work = append(work, Deal{sheets})
	if len(p.cuts) > 0 {
		lie := upright
		onHeads := f.Bind == BindTop && len(p.creases) > 0 && !slices.Contains(p.creases, Upright)
		switch {
		case turn:
			lie = Up
		case onHeads: // on the front: lay it the other way round
			lie, quarters = Down, quarters+2
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
	if len(pieces) > len(sheets) {
		work = append(work, Deal{pieces})
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
		rest := without(piece, p.cutOffAt, s.CutOff.Share)
		off := Size{piece.W, piece.H - rest.H}
		at := rest.H
		if p.cutOffAt == Upright {
			off, at = Size{piece.W - rest.W, piece.H}, rest.W
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
var spines = map[Bind]Towards{BindLeft: Left, BindRight: Right, BindTop: Up}

// piece is the size of what is folded.
func (p position) piece() Size {
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
		upper := Up.turned(quarters)
		if (line == Level) != (upper == Up || upper == Down) {
			upper = Left.turned(quarters)
		}
		on := map[Towards]Over{Up: FarOverNear, Left: LeftOverRight, Down: NearOverFar, Right: RightOverLeft}[upper]
		work = append(work, CutPile{line, middleOf(size, line), on, turn})
		size = halfOf(size, line)
	}
	return work
}

// foldUp folds a pile in the middle along each line in turn, right over left
// or far over near, and slits the bolts that the next fold would crumple. It
// tells which edges of the folded pile are folds.
func foldUp(size Size, lines []Line) (work []Motion, folds map[Towards]bool) {
	folds = map[Towards]bool{}
	for _, line := range lines {
		at := middleOf(size, line)
		fold, lift, under, crossed := RightOverLeft, Right, Left, []Towards{Up, Down}
		if line == Level {
			fold, lift, under, crossed = FarOverNear, Up, Down, []Towards{Left, Right}
		}
		for _, edge := range crossed {
			if folds[edge] {
				work = append(work, SlitBolt{edge, lift, at - min(past, at/4)})
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
func (f Form) present(folds map[Towards]bool) []Motion {
	p := Present{Spine: spines[f.Bind], Held: f.Fold.Scheme().Held}
	last := Right
	if f.Bind == BindTop {
		last = Up
	}
	spine := last
	if p.Held == Edges {
		spine = last.opposite()
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
	var bolts []Towards
	for _, edge := range []Towards{Up, Left, Down, Right} {
		at := edge
		if p.TurnOver && (edge == Left || edge == Right) {
			at = edge.opposite()
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
	to := map[Bind]Towards{BindLeft: Right, BindRight: Left, BindTop: Down}[f.Bind]
	width := p.leaf.W
	if f.Bind == BindTop {
		width = p.leaf.H
	}
	work := []Motion{LayDown{Face: Front, Quarters: quarters, Upright: Down, Size: p.sheet}}
	work = append(work, Join{to, width * float64(f.perStripSheet())})
	return append(work, Pleat{to, width}, Present{Spine: spines[f.Bind], Held: Edges})
}

func middleOf(s Size, line Line) float64 {
	if line == Level {
		return s.H / 2
	}
	return s.W / 2
}
