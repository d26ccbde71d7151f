package drawing

import (
	"fmt"
	"math"

	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Cut is a cut through a pile, and what is done with its two parts. Without On
// both are kept apart.
type Cut struct {
	Before Flat
	reorder.CutPile
	// Inset: the far or right-hand part is an offcut: turned half round, flat,
	// folded by itself and laid aside.
	Inset bool
}

func (k Cut) isLevel() bool { return k.Line == reorder.Level }

func (k Cut) Describe() (title, desc string) {
	desc = fmt.Sprintf("The paper lies with %s. A dashed line, the way of the knife, runs %s. ", k.Before.desc(), k.Before.LineRuns(k.Line, k.At))
	switch {
	case k.Inset:
		return "Cut the offcut off", desc + fmt.Sprintf("Then the %s part, the offcut, is turned half round, flat on the table.", k.farPart())
	case k.On == 0:
		return "Cut the stack apart", desc + "Then the two parts lie apart: copy 1 and copy 2."
	}
	half := Halves[k.On]
	desc += "Then "
	if k.Turn {
		desc += fmt.Sprintf("the %s half is turned half round, flat on the table, and then ", half[1])
	}
	return fmt.Sprintf("Cut, and lay the %s half on the %s one", half[0], half[1]),
		desc + fmt.Sprintf("an arrow takes the %s half onto the %s one.", half[0], half[1])
}

func (k Cut) farPart() string { return map[bool]string{true: "far", false: "right-hand"}[k.isLevel()] }

// CutParts is what of a size is on this side of a line, and what is beyond it.
func CutParts(s geom.Size, line reorder.Line, at float64) (near, far geom.Size) {
	if line == reorder.Level {
		return geom.Size{W: s.W, H: at}, geom.Size{W: s.W, H: s.H - at}
	}
	return geom.Size{W: at, H: s.H}, geom.Size{W: s.W - at, H: s.H}
}

func (k Cut) draw(c *canvas) float64 {
	const gap = 18.0
	scale := k.Before.scale(84)
	t := k.Before.thick()
	_, _, ground := views(k.Before, scale, 46)
	first, then := view{point{flatLeft + 4, ground}}, view{point{thenLeft - 6, ground}}
	k.Before.draw(c, first, place{}, scale)
	way := lineAcross(first, k.Before, k.Line, k.At, scale)
	c.drawLine("d", way...)
	knife := point{way[1].x + 3, way[1].y + 4}
	if !k.isLevel() {
		knife = point{way[1].x - 14, way[1].y - 5}
	}
	c.writeText("b", knife, "knife")
	near, far := k.Before, k.Before
	near.Size, far.Size = CutParts(k.Before.Size, k.Line, k.At)
	beyond := place{x: k.At*scale + gap}
	if k.isLevel() {
		beyond = place{y: k.At*scale + gap}
	}
	far.draw(c, then, beyond, scale)
	near.draw(c, then, place{}, scale)
	nearAt, farAt := then.at(near.Size.W*scale/2, near.Size.H*scale/2, t), then.at(beyond.x+far.Size.W*scale/2, beyond.y+far.Size.H*scale/2, t)
	c.drawArrow("k", point{thenLeft - 38, ground + 4}, point{thenLeft - 14, ground + 4})
	switch {
	case k.On != 0:
		joint := k.Before
		if k.isLevel() {
			joint.Size.H += gap / scale
		} else {
			joint.Size.W += gap / scale
		}
		c.drawArrow("k", wayOver(then, joint, k.On, k.At+gap/scale/2, scale, t)...)
		lines := []string{fmt.Sprintf("lay the %s half on the %s one", Halves[k.On][0], Halves[k.On][1])}
		if k.Turn {
			lower := nearAt
			if k.On == reorder.LeftOverRight || k.On == reorder.NearOverFar {
				lower = farAt
			}
			drawSpin(c, point{lower.x + 14, lower.y})
			lines = []string{fmt.Sprintf("turn the %s half half round, flat, then", Halves[k.On][1]), lines[0]}
		}
		return writeCaptions(c, ground+6, lines...)
	case k.Inset:
		drawSpin(c, farAt)
		c.writeTag(point{nearAt.x, nearAt.y}, "rest")
		return writeCaptions(c, ground+6, fmt.Sprintf("turn the %s part half round, flat:", k.farPart()), "it is the offcut")
	}
	c.writeTag(nearAt, "1")
	c.writeTag(farAt, "2")
	return writeCaptions(c, ground+6, "two books: keep them apart")
}

func drawSpin(c *canvas, at point) {
	c.drawArrow("k", arc(11, -0.4, math.Pi+0.1, func(cos, sin float64) point { return point{at.x + 17*cos, at.y - 9*sin} })...)
}
