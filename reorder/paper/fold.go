package paper

import (
	"slices"

	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Fold folds the whole pile at a distance (mm) from its left or near edge.
func (p Pile) Fold(over reorder.Over, at float64) Pile {
	still, moving := p.bend(over, at)
	return Pile{layers: append(moving, still...)}.move(asIs)
}

// FoldUnder folds the part that over would bring over the rest beneath it instead.
func (p Pile) FoldUnder(over reorder.Over, at float64) Pile {
	still, moving := p.bend(over, at)
	return Pile{layers: append(still, moving...)}.move(asIs)
}

// bend gives the part that lies still and the other one, folded about the line.
func (p Pile) bend(over reorder.Over, at float64) (still, moving []layer) {
	line := reorder.Upright
	if over == reorder.FarOverNear || over == reorder.NearOverFar {
		line = reorder.Level
	}
	still, moving = p.splitAlong(line, at)
	if over == reorder.LeftOverRight || over == reorder.NearOverFar {
		still, moving = moving, still
	}
	mirror := overSideways.shift(2*at, 0)
	if line == reorder.Level {
		mirror = overEndForEnd.shift(0, 2*at)
	}
	for i := range moving {
		moving[i].lay = moving[i].lay.move(mirror)
	}
	slices.Reverse(moving)
	return still, moving
}

// Cut cuts through the whole pile at a distance (mm) from its left or near edge, and
// returns the two piles: below is the left or near one, beyond the right or far one.
func (p Pile) Cut(line reorder.Line, at float64) (below, beyond Pile) {
	low, high := p.splitAlong(line, at)
	return Pile{layers: separate(low)}.move(asIs), Pile{layers: separate(high)}.move(asIs)
}

// separate gives each sheet's layers on one side of a cut a piece of their own.
func separate(layers []layer) []layer {
	pieces := map[*piece]*piece{}
	for i, l := range layers {
		if pieces[l.piece] == nil {
			pieces[l.piece] = new(piece)
		}
		layers[i].piece = pieces[l.piece]
	}
	return layers
}

func (p Pile) splitAlong(line reorder.Line, at float64) (low, high []layer) {
	for _, l := range p.layers {
		below, beyond := l.rectOnTable(), l.rectOnTable()
		if line == reorder.Level {
			below.Y1, beyond.Y0 = min(below.Y1, at), max(beyond.Y0, at)
		} else {
			below.X1, beyond.X0 = min(below.X1, at), max(beyond.X0, at)
		}
		if below.X1-below.X0 > slack && below.Y1-below.Y0 > slack {
			low = append(low, l.clip(below))
		}
		if beyond.X1-beyond.X0 > slack && beyond.Y1-beyond.Y0 > slack {
			high = append(high, l.clip(beyond))
		}
	}
	return low, high
}

// clip gives the part of the layer within a rectangle of the table.
func (l layer) clip(r geom.Rect) layer {
	l.region = rectBetween(l.lay.pointOn(geom.Point{X: r.X0, Y: r.Y0}), l.lay.pointOn(geom.Point{X: r.X1, Y: r.Y1}))
	return l
}

// LayOutStrip lays the sheets of the pile, the first on top, into a strip that goes
// on to the right, the left or down: the edge of each further sheet lies at the
// given distance (mm) from the edge where the one before begins, over the rest
// of that one, and is glued to it. The rest of the last sheet is cut off.
func (p Pile) LayOutStrip(to geom.Towards, at float64) Pile {
	way := map[geom.Towards]geom.Point{geom.Right: {X: 1}, geom.Left: {X: -1}, geom.Down: {Y: -1}}[to]
	whole := new(piece)
	var strip []layer
	for i, l := range p.layers {
		if i == len(p.layers)-1 {
			r := l.rectOnTable()
			switch to {
			case geom.Right:
				r.X1 = r.X0 + at
			case geom.Left:
				r.X0 = r.X1 - at
			case geom.Down:
				r.Y0 = r.Y1 - at
			}
			l = l.clip(r)
		}
		far := float64(i) * at
		step := geom.Point{X: way.X * far, Y: way.Y * far}
		l.piece = whole
		l.joined = lay{x: l.lay.x, y: l.lay.y}.pointOn(step)
		l.lay = l.lay.shift(step.X, step.Y)
		strip = append(strip, l)
	}
	slices.Reverse(strip)
	return Pile{layers: strip}.move(asIs)
}

// Pleat folds a strip to and fro at every width (mm) from its first page on,
// the first fold backwards. It begins at the strip's end, so that each fold
// takes with it what is folded already.
func (p Pile) Pleat(to geom.Towards, width float64) Pile {
	size := p.Size()
	length, over := size.W, reorder.RightOverLeft
	switch to {
	case geom.Left:
		over = reorder.LeftOverRight
	case geom.Down:
		length, over = size.H, reorder.NearOverFar
	}
	for line := int(length/width+0.5) - 1; line >= 1; line-- {
		at := float64(line) * width
		if to != geom.Right {
			at = float64(line+1)*width - at
		}
		if line%2 == 1 {
			p = p.FoldUnder(over, at)
		} else {
			p = p.Fold(over, at)
		}
	}
	return p
}
