package drawing

import (
	"fmt"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder"
)

// FoldOut is a leaf wider than the others, open, and folded as one sees it from an end of the spine.
type FoldOut struct {
	reorder.FoldOut
	Units binding.Units
}

func (f FoldOut) Describe() (title, desc string) {
	title = "How the leaf is folded"
	desc = "The open leaf, its guard at the left, with a dashed crease at "
	for i, at := range f.Folds {
		if i > 0 {
			desc += " and at "
		}
		desc += lengthIn(f.Units, at)
	}
	desc += " from the edge at the guard. Below, seen from an end of the spine, its panels lie on each other: "
	if len(f.Folds) == 2 {
		return title, desc + "the second over the first, and the third over the second, its free edge at the right, where an arrow pulls it out."
	}
	return title, desc + "the second over the first, its free edge near the guard, from where an arrow turns it to the right."
}

func (f FoldOut) draw(c *canvas) float64 {
	const left, right, top, high = 16.0, 284.0, 16.0, 58.0
	scale := (right - left) / f.Width
	c.drawBox("o", left, top, right, top+high)
	c.drawLine("k", point{left, top}, point{left, top + high})
	c.writeText("", point{left + 4, top - 4}, "guard")
	for i, at := range f.Folds {
		x := left + at*scale
		c.drawLine("d", point{x, top}, point{x, top + high})
		c.writeText("c", point{x, top + high + lineHigh*float64(i+1)}, lengthIn(f.Units, at))
		c.drawLine("h", point{x, top + high}, point{x, top + high + 3 + lineHigh*float64(i)})
	}
	for i, n := 0, len(f.Folds)+1; i < n; i++ {
		c.writeText("n", point{left + (right-left)*(float64(i)+0.5)/float64(n), top + high/2 + 6}, fmt.Sprint(i+1))
	}
	// Folded, the lowest panel first.
	const apart = 14.0
	ground := top + high + lineHigh*float64(len(f.Folds)) + 22 + apart*float64(len(f.Folds))
	x, y := left, ground
	way := []point{{x, y}}
	for i, w := range f.Panels() {
		to := x + w*scale
		if i%2 == 1 {
			to = x - w*scale
		}
		way = append(way, point{to, y})
		if x = to; i < len(f.Folds) {
			y -= apart
			way = append(way, point{x, y})
		}
	}
	c.drawLine("", way...)
	c.drawLine("k", point{left - 6, ground + 4}, point{left + 8, ground + 1})
	if len(f.Folds) == 2 {
		c.drawArrow("k", point{x + 4, y}, point{x + 44, y})
	} else {
		c.drawArrow("k", point{x + 2, y - 6}, point{x + 30, y - 18}, point{x + 80, y - 12})
	}
	return ground + 14
}

// LaidIn is a gathering seen from an end of its spine, and where a leaf of other paper lies in it.
type LaidIn struct {
	How    reorder.Attach
	Leaves int // of the gathering
	Before int // leaves before the plate
	Stub   bool
}

func (l LaidIn) Describe() (title, desc string) {
	title = "Where the leaf lies"
	desc = fmt.Sprintf("A gathering of %d leaves, seen from an end of its spine, which is at the left. A thick line, the leaf of other paper, lies after %d of them", l.Leaves, l.Before)
	switch l.How {
	case reorder.Wrapped:
		return title, desc + "; it is folded at the spine and comes back on the other side of the leaves it lies round."
	case reorder.Guard:
		return title, desc + "; it touches a short strip that is folded at the spine round the same leaves."
	}
	return title, desc + "; at the spine a drop of paste holds it to the leaf below it."
}

func (l LaidIn) draw(c *canvas) float64 {
	const left, right = 40.0, 270.0
	step := min(9.0, 130/float64(l.Leaves+3))
	other := l.Leaves - l.Before
	low, high := min(l.Before, other), max(l.Before, other)
	at := func(leaf int) float64 { // its height on the page, from 0
		y := 16 + step*float64(leaf)
		if leaf >= low {
			y += 2 * step
		}
		if leaf >= high && l.How != reorder.Tipped {
			y += 2 * step
		}
		return y
	}
	gap := func(before int, first bool) float64 {
		y := 16 + step*(float64(before)+0.5)
		if !first {
			y += 2 * step
		}
		return y
	}
	if l.How == reorder.Tipped {
		low, high = l.Before, l.Before
	}
	fold := func(y0, y1, x float64) []point {
		deep := min(14, 3+(y1-y0)/8)
		return []point{{x, y0}, {left - deep, y0 + (y1-y0)*0.2}, {left - deep - 2, (y0 + y1) / 2}, {left - deep, y1 - (y1-y0)*0.2}, {x, y1}}
	}
	for i := range l.Leaves / 2 {
		c.drawLine("", fold(at(i), at(l.Leaves-1-i), right)...)
	}
	if l.Leaves%2 == 1 {
		c.drawLine("", point{left, at(l.Leaves / 2)}, point{right, at(l.Leaves / 2)})
	}
	here := gap(l.Before, l.Before == low)
	switch l.How {
	case reorder.Tipped:
		c.drawLine("k", point{left, here}, point{right, here})
		c.drawArea("s", point{left, here}, point{left + 9, here}, point{left + 9, here + step}, point{left, here + step})
	case reorder.Wrapped:
		back := right
		if l.Stub {
			back = left + 24
		}
		line := fold(gap(low, true), gap(high, false), right)
		line[len(line)-1].x = back
		c.drawLine("k", line...)
	case reorder.Guard:
		c.drawLine("k", fold(gap(low, true), gap(high, false), left+24)...)
		off := 3.0
		if l.Before != low {
			off = -3
		}
		c.drawLine("k", point{left + 4, here + off}, point{right, here + off})
	}
	ground := at(l.Leaves-1) + step + 8
	c.writeText("", point{left, ground + 10}, "spine at the left, seen from its end")
	return ground + 16
}
