package drawing

import "foldwright/reorder/lists"

// place is a place in the space before the person, in units of the drawing: x to the
// right, y away from the person, z up.
type place struct{ x, y, z float64 }

// view projects space onto the drawing; origin is where the place 0, 0, 0 is drawn.
type view struct{ origin point }

const (
	aslant = 0.34 // how far to the right a unit away from the person is drawn
	upward = 0.55 // and how far up
)

func (v view) at(x, y, z float64) point {
	return point{v.origin.x + x + aslant*y, v.origin.y - upward*y - z}
}

func (v view) all(places ...place) []point {
	return lists.Map(places, func(p place) point { return v.at(p.x, p.y, p.z) })
}

// block is a pile of paper in space, its lower near left corner at 0, 0, 0.
type block struct {
	wide, deep, thick float64
	sheets            int
	up, under         Content
	mark              Corner
}

// Measures of a sheet that stands for any sheet.
const (
	sheetWide = 70.0
	sheetDeep = 99.0
	cornerX   = 22.0 // what is lifted of the top sheet's near right corner
	cornerY   = 40.0
)

// draw draws the pile with the near right corner of its top sheet lifted.
func (b block) draw(c *canvas, v view) {
	w, d, t := b.wide, b.deep, b.thick
	c.drawArea("o", v.all(place{0, 0, 0}, place{w, 0, 0}, place{w, d, 0}, place{w, d, t}, place{0, d, t}, place{0, 0, t})...)
	var edges [][]point
	n := min(b.sheets-1, int(t/4.5))
	for i := range n {
		z := t * float64(i+1) / float64(n+1)
		edges = append(edges, v.all(place{0, 0, z}, place{w, 0, z}, place{w, d, z}))
	}
	c.drawLines("h", edges)
	// The sheet below the lifted corner shows the same face.
	c.drawArea("o", v.all(place{0, 0, t}, place{w, 0, t}, place{w, d, t}, place{0, d, t})...)
	c.drawLines("h", v.print(b.up, w, d, t))
	// What is lifted of the top sheet is mirrored at the line of its crease.
	tip := mirror(place{w, 0, t}, place{w - cornerX, 0, t}, place{w, cornerY, t})
	tip.z += 7
	c.drawArea("o", v.all(place{w - cornerX, 0, t}, tip, place{w, cornerY, t})...)
	if b.under == Front || b.under == Back {
		var lines [][]point
		for _, s := range []float64{0.25, 0.5, 0.75} {
			foot := placeBetween(place{w - cornerX, 0, t}, place{w, cornerY, t}, s)
			head := placeBetween(place{w - cornerX, 0, t}, tip, s)
			if b.under == Back {
				head = placeBetween(place{w, cornerY, t}, tip, 1-s)
			}
			lines = append(lines, v.all(foot, head))
		}
		c.drawLines("h", lines)
	}
	c.writeTag(v.at(w*0.47, d*0.56, t), b.up.String())
	b.mark.draw(c, v, b)
}

// print is the lines on a side that fills the given rectangle.
func (v view) print(f Content, w, d, z float64) [][]point {
	var lines [][]point
	switch f {
	case Front:
		for y := d - 8; y > 4; y -= 9 {
			lines = append(lines, v.all(place{6, y, z}, place{w - 6, y, z}))
		}
	case Back:
		for x := 7.0; x < w-4; x += 8 {
			lines = append(lines, v.all(place{x, 6, z}, place{x, d - 6, z}))
		}
	}
	return lines
}

// mirror is a place mirrored at a level line.
func mirror(p, from, to place) place {
	dx, dy := to.x-from.x, to.y-from.y
	s := ((p.x-from.x)*dx + (p.y-from.y)*dy) / (dx*dx + dy*dy)
	return place{2*(from.x+s*dx) - p.x, 2*(from.y+s*dy) - p.y, p.z}
}

func placeBetween(a, b place, share float64) place {
	return place{a.x + share*(b.x-a.x), a.y + share*(b.y-a.y), a.z + share*(b.z-a.z)}
}
