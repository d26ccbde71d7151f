package reorder

import (
	"slices"

	"foldwright/reorder/geom"
)

const (
	tickLength   = 4.0 // mm, of a tick on a crease or a cut
	tickShortest = 0.7 // mm; what the printer's reach leaves of a shorter one is no help
	cornerGap    = 0.5 // mm between a corner and its lines
	cornerLength = 4.0 // mm
)

// Border is a line on which two panels of a side meet, in the view of that side.
type Border struct {
	From, To geom.Point // mm
	Cut      bool       // between two pieces; else it is a crease
}

// markTicks marks the ends of creases, and on the sides that lie up when sheets
// are cut, those of cuts: the fronts, but the backs where an inset is cut off.
func (d *marker) markTicks(s Sheet, side Side) {
	hidden := Back
	if d.book.Form.Fold.Scheme().CutOff != nil {
		hidden = Front
	}
	for _, b := range d.book.Borders(s, side) {
		kind := FoldTick
		if b.Cut {
			kind = CutTick
		}
		if b.Cut && (!d.Cuts || side == hidden) || !b.Cut && !d.Folds {
			continue
		}
		way := b.To.Minus(b.From)
		from, to := d.reachAlong(d.book.Sheet, b.From, way.Unit(), way.Length())
		if to-from < 2*tickLength {
			continue
		}
		for _, tick := range [][2]float64{{from, from + tickLength}, {to - tickLength, to}} {
			ends := []geom.Point{b.From.Plus(way.Unit().Times(tick[0])), b.From.Plus(way.Unit().Times(tick[1]))}
			d.add(s.Number, Mark{Kind: kind, Side: side, Points: ends})
		}
	}
}

// Borders are the creases and cuts of a side: the lines on which its panels
// meet. A crease runs over its whole piece.
func (b Book) Borders(s Sheet, side Side) []Border {
	panels := s.Side(side)
	var out []Border
	add := func(from, to geom.Point, isCut bool) {
		same := func(o Border) bool { return o.From.Minus(from).Length() < 1e-6 && o.To.Minus(to).Length() < 1e-6 }
		if !slices.ContainsFunc(out, same) {
			out = append(out, Border{from, to, isCut})
		}
	}
	for _, p := range panels {
		for _, q := range panels {
			span := b.pieceOn(s, p, side).Common(b.pieceOn(s, q, side))
			switch p.Rect.EdgeAgainst(q.Rect) {
			case geom.Right:
				add(geom.Point{X: p.Rect.X1, Y: span.Y0}, geom.Point{X: p.Rect.X1, Y: span.Y1}, p.Piece != q.Piece)
			case geom.Up:
				add(geom.Point{X: span.X0, Y: p.Rect.Y1}, geom.Point{X: span.X1, Y: p.Rect.Y1}, p.Piece != q.Piece)
			}
		}
	}
	for _, spare := range s.Spare {
		r := spare.On(side, b.Sheet)
		for _, p := range panels {
			piece := b.pieceOn(s, p, side)
			span := piece.Common(r)
			switch piece.EdgeAgainst(r) {
			case geom.Left, geom.Right:
				add(geom.Point{X: span.X0, Y: span.Y0}, geom.Point{X: span.X0, Y: span.Y1}, true)
			case geom.Up, geom.Down:
				add(geom.Point{X: span.X0, Y: span.Y0}, geom.Point{X: span.X1, Y: span.Y0}, true)
			}
		}
	}
	if b.Form.Fold.Scheme().Strip { // the line on which the next sheet's edge is laid
		for _, p := range panels {
			for _, y := range []float64{p.Rect.Y0, p.Rect.Y1} {
				if y > 1e-6 && y < b.Sheet.H-1e-6 {
					add(geom.Point{X: 0, Y: y}, geom.Point{X: b.Sheet.W, Y: y}, false)
				}
			}
		}
	}
	return out
}

// pieceOn is where the piece with a panel lies on one side of its sheet.
func (b Book) pieceOn(s Sheet, p Panel, side Side) geom.Rect {
	front := s.Pieces[p.Piece-1].Front
	if side == Front {
		return front
	}
	return geom.Mirror(b.Sheet).Bounds(front)
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
			if c.Rect().Reaches(p.Rect, p.Spine) {
				continue
			}
			// Outwards from the corner, as far as the panel goes.
			for _, end := range []geom.Point{{X: p.Rect.X0, Y: c.Y}, {X: p.Rect.X1, Y: c.Y}, {X: c.X, Y: p.Rect.Y0}, {X: c.X, Y: p.Rect.Y1}} {
				d.addCornerLine(s.Number, side, c, end, t, reach)
			}
		}
	}
}

func (d *marker) addCornerLine(sheet int, side Side, corner, end geom.Point, trimmed, reach geom.Rect) {
	way := end.Minus(corner)
	middle := corner.Plus(end).Times(0.5)
	if way.Length() < cornerGap+tickShortest || middle.Rect().IsWithin(trimmed, 1e-6) {
		return
	}
	within := func(along float64) geom.Point {
		p := corner.Plus(way.Unit().Times(along))
		return geom.Point{X: min(max(p.X, reach.X0), reach.X1), Y: min(max(p.Y, reach.Y0), reach.Y1)}
	}
	a, b := within(cornerGap), within(min(way.Length(), cornerGap+cornerLength))
	if b.Minus(a).Length() >= tickShortest {
		d.add(sheet, Mark{Kind: CornerMark, Side: side, Points: []geom.Point{a, b}})
	}
}
