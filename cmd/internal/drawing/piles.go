package drawing

import (
	"fmt"
	"math"
	"strings"

	"foldwright/reorder"
)

// Piles is piles of sheets or pieces, in their order: side by side as they are taken
// apart, or on each other as they are put together.
type Piles struct {
	Names    []string
	Counts   []int
	Unit     string // sheet or piece
	Together bool   // on each other, the first on top
}

// mostPiles is how many piles are drawn.
const mostPiles = 4

func (p Piles) Title() string {
	if p.Together {
		return "Put together"
	}
	return "Take apart"
}

func (p Piles) Desc() string {
	var told []string
	for i, name := range p.Names {
		if i == mostPiles {
			told = append(told, fmt.Sprintf("and so on to %s", p.Names[len(p.Names)-1]))
			break
		}
		told = append(told, fmt.Sprintf("%s, %s", name, reorder.Count(p.Counts[i], p.Unit)))
	}
	if p.Together {
		return "The stacks lie on each other, from the top down: " + strings.Join(told, "; ") + "."
	}
	return "Piles lie side by side, in the order in which they come off the top of the stack: " + strings.Join(told, "; ") + "."
}

func (p Piles) draw(c *canvas) float64 {
	n := min(mostPiles, len(p.Names))
	if p.Together {
		return p.drawTogether(c, n)
	}
	const scale, apart = 0.42, 72.0
	ground := 10 + 26 + upward*sheetDeep*scale
	for i := range n {
		b := block{wide: sheetWide * scale, deep: sheetDeep * scale, thick: math.Min(26, thickness(p.Counts[i])), sheets: p.Counts[i]}
		v := view{point{4 + float64(i)*apart, ground}}
		b.drawPlain(c, v)
		c.text("", point{2 + float64(i)*apart, ground + lineHigh}, p.Names[i])
		c.text("", point{2 + float64(i)*apart, ground + 2*lineHigh}, reorder.Count(p.Counts[i], p.Unit))
	}
	if len(p.Names) > n {
		c.text("b", point{float64(n)*apart - 18, ground - 8}, "...")
	}
	return ground + 2*lineHigh + 6
}

func (p Piles) drawTogether(c *canvas, n int) float64 {
	const scale = 0.9
	v := view{point{10, 0}}
	high := 0.0
	for i := range n {
		high += math.Max(4, math.Min(20, thickness(p.Counts[i]))) + 4
	}
	v.origin.y = 8 + high + upward*sheetDeep*scale
	z := 0.0
	for i := n - 1; i >= 0; i-- {
		b := block{wide: sheetWide * scale, deep: sheetDeep * scale, thick: math.Max(4, math.Min(20, thickness(p.Counts[i]))), sheets: p.Counts[i]}
		at := v
		at.origin.y -= z
		b.drawPlain(c, at)
		edge := at.at(b.wide, b.deep*0.5, b.thick/2)
		y := 20 + float64(i)*(lineHigh+4)
		c.line("h", edge, point{148, y - 4})
		c.text("", point{152, y}, p.Names[i]+", "+reorder.Count(p.Counts[i], p.Unit))
		z += b.thick + 4
	}
	y := 20 + float64(n)*(lineHigh+4)
	if len(p.Names) > n {
		c.text("", point{152, y}, "and so on")
	}
	return math.Max(v.origin.y+8, y)
}

// drawPlain draws the block without saying what is on its sides.
func (b block) drawPlain(c *canvas, v view) {
	w, d, t := b.wide, b.deep, b.thick
	b.drawBody(c, v)
	c.line("h", v.all(place{0, 0, t}, place{w, 0, t}, place{w, d, t})...)
	c.line("h", v.all(place{w, 0, 0}, place{w, 0, t})...)
}
