package reorder

import (
	"foldwright/reorder/geom"
	"math"
)

const (
	tickLength   = 4.0 // mm, of a tick on a crease or a cut
	tickShortest = 0.7 // mm; what the printer's reach leaves of a shorter one is no help
	cornerGap    = 0.5 // mm between a corner and its lines
	cornerLength = 4.0 // mm
)

// border is a line on which two panels of a side meet.
type border struct {
	from, to geom.Point
	cut      bool // between two pieces
}

// markTicks marks the ends of creases, and on the sides that lie up when sheets
// are cut, those of cuts: the fronts, but the backs where an inset is cut off.
func (d *marker) markTicks(s Sheet, side Side) {
	hidden := Back
	if d.book.Form.Fold.Scheme().CutOff != nil {
		hidden = Front
	}
	for _, b := range d.bordersOf(s, side) {
		kind := FoldTick
		if b.cut {
			kind = CutTick
		}
		if b.cut && (!d.Cuts || side == hidden) || !b.cut && !d.Folds {
			continue
		}
		length := distance(b.from, b.to)
		dir := geom.Point{X: (b.to.X - b.from.X) / length, Y: (b.to.Y - b.from.Y) / length}
		from, to := d.reachAlong(b.from, dir, length)
		if to-from < 2*tickLength {
			continue
		}
		on := func(along float64) geom.Point {
			return geom.Point{X: b.from.X + dir.X*along, Y: b.from.Y + dir.Y*along}
		}
		d.add(s.Number, Mark{Kind: kind, Side: side, Points: []geom.Point{on(from), on(from + tickLength)}})
		d.add(s.Number, Mark{Kind: kind, Side: side, Points: []geom.Point{on(to - tickLength), on(to)}})
	}
}

// bordersOf finds the creases and cuts of a side: the lines on which its panels
// meet. A crease runs over its whole piece.
func (d *marker) bordersOf(s Sheet, side Side) []border {
	pieces := d.piecesOf(s, side)
	panels := s.Side(side)
	var out []border
	add := func(b border) {
		for _, o := range out {
			if distance(o.from, b.from) < 1e-6 && distance(o.to, b.to) < 1e-6 {
				return
			}
		}
		out = append(out, b)
	}
	for _, p := range panels {
		for _, q := range panels {
			i, k := p.Piece-1, q.Piece-1
			reach := func(low, high, otherLow, otherHigh float64) (float64, float64) {
				if i == k {
					return low, high
				}
				return math.Max(low, otherLow), math.Min(high, otherHigh)
			}
			a, b := pieces[i], pieces[k]
			if isNear(p.Rect.X1, q.Rect.X0) && overlap(p.Rect.Y0, p.Rect.Y1, q.Rect.Y0, q.Rect.Y1) {
				low, high := reach(a.Y0, a.Y1, b.Y0, b.Y1)
				add(border{geom.Point{X: p.Rect.X1, Y: low}, geom.Point{X: p.Rect.X1, Y: high}, i != k})
			}
			if isNear(p.Rect.Y1, q.Rect.Y0) && overlap(p.Rect.X0, p.Rect.X1, q.Rect.X0, q.Rect.X1) {
				low, high := reach(a.X0, a.X1, b.X0, b.X1)
				add(border{geom.Point{X: low, Y: p.Rect.Y1}, geom.Point{X: high, Y: p.Rect.Y1}, i != k})
			}
		}
	}
	if d.book.Form.Fold.Scheme().Strip { // the line on which the next sheet's edge is laid
		for _, p := range panels {
			for _, y := range []float64{p.Rect.Y0, p.Rect.Y1} {
				if y > 1e-6 && y < d.book.Sheet.H-1e-6 {
					add(border{geom.Point{X: 0, Y: y}, geom.Point{X: d.book.Sheet.W, Y: y}, false})
				}
			}
		}
	}
	return out
}

// piecesOf is where the pieces of a sheet lie on one of its sides.
func (d *marker) piecesOf(s Sheet, side Side) []geom.Rect {
	var out []geom.Rect
	for _, p := range s.Pieces {
		r := p.Front
		if side == Back {
			r.X0, r.X1 = d.book.Sheet.W-r.X1, d.book.Sheet.W-r.X0
		}
		out = append(out, r)
	}
	return out
}

func isNear(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

func overlap(low, high, otherLow, otherHigh float64) bool {
	return math.Min(high, otherHigh)-math.Max(low, otherLow) > 1e-6
}

// markCorners marks the corners of every trimmed leaf at its fore-edge, by lines
// in what is cut off that end before the corner. The corners at the spine lie
// in the fold.
func (d *marker) markCorners(s Sheet, side Side) {
	if !d.Corners || d.Trim == (Trim{}) {
		return
	}
	reach := d.book.Sheet.Rect().Inset(d.CornerMargin, d.CornerMargin, d.CornerMargin, d.CornerMargin)
	for _, p := range s.Side(side) {
		t := p.TrimmedRect(d.Trim, d.Creep)
		for _, c := range []geom.Point{{X: t.X0, Y: t.Y0}, {X: t.X1, Y: t.Y0}, {X: t.X0, Y: t.Y1}, {X: t.X1, Y: t.Y1}} {
			if isOnEdge(c, p.Rect, p.Spine) {
				continue
			}
			// Outwards from the corner, as far as the panel goes.
			for _, end := range []geom.Point{{X: p.Rect.X0, Y: c.Y}, {X: p.Rect.X1, Y: c.Y}, {X: c.X, Y: p.Rect.Y0}, {X: c.X, Y: p.Rect.Y1}} {
				d.cornerLine(s.Number, side, c, end, t, reach)
			}
		}
	}
}

func (d *marker) cornerLine(sheet int, side Side, corner, end geom.Point, trimmed, reach geom.Rect) {
	away := distance(corner, end)
	if away < cornerGap+tickShortest || isInside(middle(corner, end), trimmed) {
		return
	}
	dir := geom.Point{X: (end.X - corner.X) / away, Y: (end.Y - corner.Y) / away}
	from, to := cornerGap, math.Min(away, cornerGap+cornerLength)
	within := func(along float64) geom.Point {
		p := geom.Point{X: corner.X + dir.X*along, Y: corner.Y + dir.Y*along}
		return geom.Point{X: math.Min(math.Max(p.X, reach.X0), reach.X1), Y: math.Min(math.Max(p.Y, reach.Y0), reach.Y1)}
	}
	if a, b := within(from), within(to); distance(a, b) >= tickShortest {
		d.add(sheet, Mark{Kind: CornerMark, Side: side, Points: []geom.Point{a, b}})
	}
}

func middle(a, b geom.Point) geom.Point { return geom.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2} }

// isInside tells whether a point lies in a rectangle or on its edge.
func isInside(p geom.Point, r geom.Rect) bool {
	return p.X > r.X0-1e-6 && p.X < r.X1+1e-6 && p.Y > r.Y0-1e-6 && p.Y < r.Y1+1e-6
}

func isOnEdge(p geom.Point, r geom.Rect, edge geom.Towards) bool {
	switch edge {
	case geom.Up:
		return isNear(p.Y, r.Y1)
	case geom.Down:
		return isNear(p.Y, r.Y0)
	case geom.Left:
		return isNear(p.X, r.X0)
	}
	return isNear(p.X, r.X1)
}
