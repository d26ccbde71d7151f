package paper

import (
	"slices"

	"foldwright/reorder"
)

// Strip lays the sheets of the pile, the first on top, into a strip that goes
// on to the right, the left or down: the edge of each further sheet lies at the
// given distance (mm) from the edge where the one before begins, over the rest
// of that one, and is glued to it. The rest of the last sheet is cut off.
func (p Pile) Strip(to reorder.Towards, at float64) Pile {
	way := map[reorder.Towards]reorder.Point{reorder.Right: {X: 1}, reorder.Left: {X: -1}, reorder.Down: {Y: -1}}[to]
	whole := new(piece)
	var strip []layer
	for i, l := range p.layers {
		if i == len(p.layers)-1 {
			r := l.onTable()
			switch to {
			case reorder.Right:
				r.X1 = r.X0 + at
			case reorder.Left:
				r.X0 = r.X1 - at
			case reorder.Down:
				r.Y0 = r.Y1 - at
			}
			l = l.only(r)
		}
		far := float64(i) * at
		step := reorder.Point{X: way.X * far, Y: way.Y * far}
		l.piece = whole
		l.joined = lay{x: l.lay.x, y: l.lay.y}.back(step)
		l.lay = l.lay.shifted(step.X, step.Y)
		strip = append(strip, l)
	}
	slices.Reverse(strip)
	return Pile{layers: strip}.moved(asIs)
}

// Pleat folds a strip to and fro at every width (mm) from its first page on,
// the first fold backwards. It begins at the strip's end, so that each fold
// takes with it what is folded already.
func (p Pile) Pleat(to reorder.Towards, width float64) Pile {
	size := p.Size()
	length, over := size.W, RightOverLeft
	switch to {
	case reorder.Left:
		over = LeftOverRight
	case reorder.Down:
		length, over = size.H, NearOverFar
	}
	for line := int(length/width+0.5) - 1; line >= 1; line-- {
		at := float64(line) * width
		if to != reorder.Right {
			at = float64(line+1)*width - at
		}
		if line%2 == 1 {
			p = p.Under(over, at)
		} else {
			p = p.Fold(over, at)
		}
	}
	return p
}
