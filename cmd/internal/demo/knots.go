package main

import (
	"cmp"
	"math"
	"slices"
)

// bend is a place that a rope passes, and how high it lies there: where two parts cross, the higher
// one is seen.
type bend struct{ x, y, height float64 }

// stretch is a short part of a rope with its edges and the strands that show on it.
type stretch struct {
	left, right []point
	lay         [][]point
	height      float64
}

// rope draws laid ropes of the given half thickness along their bends, in and out of each other.
func (d *pen) rope(half float64, paths ...[]bend) {
	var all []stretch
	for _, path := range paths {
		all = append(all, stretches(half, path)...)
	}
	slices.SortStableFunc(all, func(a, b stretch) int { return cmp.Compare(a.height, b.height) })
	for _, s := range all {
		back := slices.Clone(s.right)
		slices.Reverse(back)
		d.fill(paper, append(slices.Clone(s.left), back...)...)
		d.weight(0.13)
		for _, strand := range s.lay {
			d.curve(strand...)
		}
		d.weight(0.25)
		d.poly(s.left...)
		d.poly(s.right...)
	}
}

// stretches cuts a rope into parts about as long as it is thick.
func stretches(half float64, path []bend) []stretch {
	var flat, rises []point
	for _, b := range path {
		flat = append(flat, point{b.x, b.y})
		rises = append(rises, point{b.height, 0})
	}
	middle, heights := evenly(smooth(flat, false), smooth(rises, false), half*0.3)
	var left, right []point
	for i, p := range middle {
		a, b := middle[max(i-1, 0)], middle[min(i+1, len(middle)-1)]
		length := math.Hypot(b.x-a.x, b.y-a.y)
		nx, ny := -(b.y-a.y)/length*half, (b.x-a.x)/length*half
		left = append(left, point{p.x + nx, p.y + ny})
		right = append(right, point{p.x - nx, p.y - ny})
	}
	const long, lay = 8, 4 // samples to a stretch, and from one strand to the next
	var out []stretch
	for from := 0; from < len(middle)-1; from += long {
		to := min(from+long, len(middle)-1)
		s := stretch{left: left[from : to+1], right: right[from : to+1], height: heights[(from+to)/2]}
		for i := from; i < to; i++ {
			if i%lay == 0 && i >= lay && i+lay < len(middle) {
				s.lay = append(s.lay, []point{left[i-lay/2], middle[i], right[i+lay/2]})
			}
		}
		out = append(out, s)
	}
	return out
}

// evenly walks along a line and samples it at equal steps, and the heights with it.
func evenly(line, rises []point, pace float64) (samples []point, heights []float64) {
	next, walked := 0.0, 0.0
	for i := 0; i+1 < len(line); i++ {
		a, b := line[i], line[i+1]
		length := math.Hypot(b.x-a.x, b.y-a.y)
		for next <= walked+length && length > 0 {
			t := (next - walked) / length
			samples = append(samples, point{mix(a.x, b.x, t), mix(a.y, b.y, t)})
			heights = append(heights, mix(rises[i].x, rises[i+1].x, t))
			next += pace
		}
		walked += length
	}
	return samples, heights
}

func bends(x, y float64, path ...bend) []bend {
	for i := range path {
		path[i].x += x
		path[i].y += y
	}
	return path
}

// drawKnots is a plate of four knots, each tied as it is tied in rope.
func drawKnots(p press, left float64) {
	d := newPen(p, left+measure/2, headMargin, 1, 65)
	const half = 1.7
	d.rope(half,
		bends(-27, 30, bend{-24, -2.6, -1}, bend{-16, -2.6, -1}, bend{-9, -2.7, -1}, bend{-4, -3.2, 0}, bend{0, -4.6, 1}, bend{4.4, -6.6, 0},
			bend{8.6, -5, -1}, bend{10, 0, -1}, bend{8.6, 5, -1}, bend{4.4, 6.6, 0}, bend{0, 4.6, 1}, bend{-4, 3.2, 0}, bend{-9, 2.7, -1}, bend{-16, 2.6, -1}, bend{-20, 3, -1}),
		bends(-27, 30, bend{24, -2.6, 0}, bend{16, -2.6, 0}, bend{9, -2.7, 0}, bend{4, -3.2, 0}, bend{0, -4.6, 0}, bend{-4.4, -6.6, 0},
			bend{-8.6, -5, 0}, bend{-10, 0, 0}, bend{-8.6, 5, 0}, bend{-4.4, 6.6, 0}, bend{0, 4.6, 0}, bend{4, 3.2, 0}, bend{9, 2.7, 0}, bend{16, 2.6, 0}, bend{20, 3, 0}))
	d.words(p, italic, textSize, -27, 59, "Reef knot")

	d.rope(half, bends(28, 30, bend{0, 27, -1}, bend{0, 18, -1}, bend{1.6, 9, 0}, bend{4, 3, 1}, bend{8, -6, 0}, bend{6, -14, 0}, bend{0, -17, -1}, bend{-6, -14, 0},
		bend{-8, -7, 0}, bend{-3.6, -0.6, 1}, bend{3, 4, -1}, bend{8, 9.4, 0}, bend{6, 15, 0}, bend{0, 17.4, 1}, bend{-6, 15, 0}, bend{-8, 8.6, 0},
		bend{-5, 0, -1}, bend{-2, -8, 0}, bend{-0.4, -16, 1}, bend{0, -26, 1}))
	d.words(p, italic, textSize, 28, 63, "Figure of eight")

	d.rope(half, bends(-27, 98, bend{0, -29, 0}, bend{0.4, -20, 0}, bend{1.6, -12, 0}, bend{4.6, -6, -0.6}, bend{7, 1, 0}, bend{4.4, 7, 0}, bend{-1, 8.8, 0}, bend{-6.4, 6, 0},
		bend{-7.4, -1, 0}, bend{-3, -6, 0}, bend{4, -6.6, 0.6}, bend{10.4, -1, 0.3}, bend{13, 10, 0}, bend{12, 23, 0}, bend{6.6, 31, 0}, bend{0, 33, 0}, bend{-8, 30.4, 0},
		bend{-11.4, 21, 0}, bend{-8, 13.6, -0.6}, bend{-3.6, 8, -1}, bend{-2.6, 1, 0.2}, bend{-3, -5.6, 1}, bend{-4.8, -12, 0.4}, bend{-3.8, -17.4, -0.4}, bend{0.6, -19.6, -1},
		bend{5, -17, -0.4}, bend{5, -13, 0.6}, bend{2.2, -9.4, 1}, bend{1.2, -4, 1}, bend{1.4, 3, 0}, bend{1.8, 9, -1}, bend{2, 19, -1}))
	d.words(p, italic, textSize, -27, 140, "Bowline")

	d.weight(0.3)
	d.shape(paper, point{8, 95}, point{8, 105}, point{48, 105}, point{48, 95})
	d.weight(0.1)
	for i := range 7 {
		y := 96.3 + 1.25*float64(i)
		d.curve(point{8.4, y}, point{21, y + 0.4}, point{35, y - 0.3}, point{47.6, y})
	}
	d.rope(half,
		bends(28, 100, bend{-6.5, 27, 0}, bend{-6.6, 14, 0}, bend{-6.8, 2, 0}, bend{-6.2, -4.6, 0}, bend{-4.8, -6.6, 0}),
		bends(28, 100, bend{6.5, -27, 0}, bend{6.6, -14, 0}, bend{6.8, -2, 0}, bend{6.2, 4.6, 0}, bend{4.8, 6.6, 0}),
		bends(28, 100, bend{-8.6, 6.6, 1}, bend{-6, 3.8, 1}, bend{0, 0, 1}, bend{6, -3.8, 1}, bend{8.6, -6.6, 1}))
	d.words(p, italic, textSize, 28, 140, "Clove hitch")
	caption(p, left, "Knots in use at Larkhaven")
}
