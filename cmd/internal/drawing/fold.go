package drawing

import (
	"fmt"
	"math"

	"foldwright/reorder"
)

// halves are the moving and the other part of a pile.
var halves = map[reorder.Over][2]string{
	reorder.RightOverLeft: {"right", "left"}, reorder.LeftOverRight: {"left", "right"},
	reorder.FarOverNear: {"far", "near"}, reorder.NearOverFar: {"near", "far"},
}

// level tells whether the line between the two parts runs from left to right.
func level(o reorder.Over) bool { return o == reorder.FarOverNear || o == reorder.NearOverFar }

// Fold is a fold: what lies there, the crease, and what lies there then.
type Fold struct {
	Before Flat
	Over   reorder.Over
	At     float64 // mm, of the crease from the left or the near edge
	After  Flat
	Sewn   bool // the fold that is sewn through
}

func (f Fold) Title() string {
	return fmt.Sprintf("Fold the %s half over the %s one", halves[f.Over][0], halves[f.Over][1])
}

func (f Fold) Desc() string {
	out := fmt.Sprintf("The paper lies with %s. %s. An arrow goes over the crease: the %s edge comes to lie on the %s one. Then it lies with %s.",
		f.Before.desc(), f.crease(), halves[f.Over][0], halves[f.Over][1], f.After.desc())
	if f.Sewn {
		out += fmt.Sprintf(" The fold at the %s is the one that is sewn through.", edges[f.made()])
	}
	return out
}

func (f Fold) crease() string {
	if level(f.Over) {
		return fmt.Sprintf("A dashed crease runs from left to right, %s mm from the near edge", reorder.Millimetres(tenth(f.At)))
	}
	return fmt.Sprintf("A dashed crease runs from near to far, %s mm from the left edge", reorder.Millimetres(tenth(f.At)))
}

func tenth(mm float64) float64 { return math.Round(mm*10) / 10 }

// made is the edge at which the new fold lies.
func (f Fold) made() reorder.Towards {
	return map[reorder.Over]reorder.Towards{
		reorder.RightOverLeft: reorder.Right, reorder.LeftOverRight: reorder.Left, reorder.FarOverNear: reorder.Up, reorder.NearOverFar: reorder.Down,
	}[f.Over]
}

func (f Fold) draw(c *canvas) float64 {
	scale := f.Before.scale(flatLong)
	rise := 10.0
	if !level(f.Over) {
		rise = 24
	}
	first, then, ground := pair(f.Before, scale, rise+20)
	f.Before.draw(c, first, place{}, scale)
	t := f.Before.thick()
	c.line("d", line(first, f.Before, level(f.Over), f.At, scale)...)
	c.arrow("k", overLine(first, f.Before, f.Over, f.At, scale, t)...)
	goes(c, ground)
	f.After.draw(c, then, place{}, scale)
	labelFold(c, then, f.After, f.made(), scale, map[bool]string{true: "sewn fold", false: "fold"}[f.Sewn])
	return captions(c, ground, fmt.Sprintf("%s edge onto the %s one", halves[f.Over][0], halves[f.Over][1]))
}

// line is a line across the upper face, standing out a little at both ends.
func line(v view, f Flat, level bool, at, scale float64) []point {
	const out = 7.0
	w, d, t := f.Size.W*scale, f.Size.H*scale, f.thick()
	if level {
		return v.all(place{-out, at * scale, t}, place{w + out, at * scale, t})
	}
	return v.all(place{at * scale, -out, t}, place{at * scale, d + out, t})
}

// overLine is the way of one half over a line onto the other.
func overLine(v view, f Flat, over reorder.Over, at, scale, z float64) []point {
	const steps = 12
	w, d := f.Size.W*scale, f.Size.H*scale
	a := at * scale
	var way []point
	for i := range steps {
		angle := math.Pi * (0.08 + 0.84*float64(i)/(steps-1))
		if over == reorder.LeftOverRight || over == reorder.NearOverFar {
			angle = math.Pi - angle
		}
		if level(over) {
			r := math.Min(a, d-a) * 0.7
			way = append(way, v.at(w*0.3, a+r*math.Cos(angle), z+1.2*r*math.Sin(angle)))
		} else {
			r := math.Min(a, w-a) * 0.7
			way = append(way, v.at(a+r*math.Cos(angle), d*0.5, z+1.2*r*math.Sin(angle)))
		}
	}
	return way
}

// labelFold names the edge of a fold.
func labelFold(c *canvas, v view, f Flat, e reorder.Towards, scale float64, word string) {
	w, d, t := f.Size.W*scale, f.Size.H*scale, f.thick()
	switch e {
	case reorder.Up:
		c.text("", v.at(4, d, t+5), word)
	case reorder.Left:
		at := v.at(0, d/2, t)
		c.text("e", point{at.x - 6, at.y - 4}, word)
	case reorder.Down:
		c.text("", v.at(4, 0, -14), word)
	case reorder.Right:
		at := v.at(w, d*0.45, t)
		c.text("", point{at.x + 6, at.y + 11}, word)
	}
}
