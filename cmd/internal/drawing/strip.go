package drawing

import (
	"fmt"
	"math"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Join is two sheets of a strip, the second over the bare end of the first.
type Join struct {
	Sheet Flat // as it lies
	reorder.Join
}

func (j Join) Describe() (title, desc string) {
	where := map[geom.Towards]string{geom.Right: "to the right of", geom.Left: "to the left of", geom.Down: "on the near side of"}[j.To]
	return "Join the sheets",
		fmt.Sprintf("The second sheet lies %s the first, over its bare end, which is hatched: there is the glue. From the beginning of the first to that of the second are %s.",
			where, j.Sheet.length(j.At))
}

func (j Join) draw(c *canvas) float64 {
	sheet := j.Sheet.Size
	whole := geom.Size{W: sheet.W + j.At, H: sheet.H}
	if j.To == geom.Down {
		whole = geom.Size{W: sheet.W, H: sheet.H + j.At}
	}
	scale := math.Min(210/whole.W, 190/whole.H)
	w, d := sheet.W*scale, sheet.H*scale
	ground := upward*whole.H*scale + 44
	v := view{point{10, ground}}
	first, second := place{}, place{x: j.At * scale, z: 20}
	glue := geom.Rect{X0: j.At * scale, X1: w, Y1: d}
	switch j.To {
	case geom.Left:
		first, second = place{x: j.At * scale}, place{z: 20}
		glue.X0, glue.X1 = 0, w-j.At*scale
	case geom.Down:
		first, second = place{y: j.At * scale}, place{z: 20}
		glue = geom.Rect{X1: w, Y1: d - j.At*scale}
	}
	paper := Flat{Size: sheet, Layers: 1}
	paper.draw(c, v, first, scale)
	var hatch [][]point
	if j.To == geom.Down {
		for x := 4.0; x < w; x += 6 {
			hatch = append(hatch, v.all(place{first.x + x, first.y + glue.Y0, 1}, place{first.x + x, first.y + glue.Y1, 1}))
		}
	} else {
		for y := 4.0; y < d; y += 6 {
			hatch = append(hatch, v.all(place{first.x + glue.X0, y, 1}, place{first.x + glue.X1, y, 1}))
		}
	}
	c.drawLines("h", hatch)
	c.writeTag(v.at(first.x+w*0.5, first.y+d*0.5, 0), "first")
	paper.draw(c, v, second, scale)
	c.writeTag(v.at(second.x+w*0.5, second.y+d*0.5, second.z), "second")
	at := v.at(second.x+w/2, second.y, second.z)
	c.drawArrow("k", point{at.x, at.y + 3}, point{at.x, at.y + 17})
	return writeCaptions(c, ground, fmt.Sprintf("glue on the hatched end, %s from", j.Sheet.length(j.At)), "where the first sheet begins")
}

// Pleat is a strip folded to and fro, seen from its side.
type Pleat struct {
	reorder.Pleat
	Pages int
	Units binding.Units // that lengths are told in
}

func (p Pleat) Describe() (title, desc string) {
	side := map[geom.Towards]string{geom.Right: "right", geom.Left: "left", geom.Down: "near side"}[p.To]
	return "Fold the strip to and fro",
		fmt.Sprintf("Seen from the side: %s of %s, folded to and fro. Page 1 lies on top, the first fold is at the %s, and the second page goes back beneath it.",
			reorder.Count(p.Pages, "page"), lengthIn(p.Units, p.Width), side)
}

func (p Pleat) draw(c *canvas) float64 {
	const left, right, step, top = 70.0, 190.0, 15.0, 22.0
	n := min(p.Pages, 6)
	var zigzag []point
	for i := range n + 1 {
		x := left
		if i%2 == 1 {
			x = right
		}
		if p.To == geom.Left {
			x = left + right - x
		}
		zigzag = append(zigzag, point{x, top + step*float64(i)})
	}
	c.drawLine("f", zigzag...)
	if p.Pages > n {
		last := zigzag[n]
		c.writeText("", point{last.x - 6, last.y + 12}, "...")
	}
	c.writeText("b", point{left + 30, top - 4}, "page 1")
	fold := "first fold"
	if p.To == geom.Left {
		c.writeText("e", point{left, zigzag[1].y + 4}, fold)
	} else {
		c.writeText("", point{right + 6, zigzag[1].y + 4}, fold)
	}
	where := "seen from the side"
	if p.To == geom.Down {
		where = "seen from the side, you stand at the right"
	}
	return writeCaptions(c, top+step*float64(n)+8, where)
}
