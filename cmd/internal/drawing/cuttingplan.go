package drawing

import (
	"fmt"
	"strings"
)

// Cutting is a sheet of board or cloth with what is cut out of it, to scale; its grain runs downwards.
type Cutting struct {
	Name   string
	W, H   Stretch
	Pieces []CutPiece
	Cuts   []CutLine
}

// CutPiece is a piece by its corner at the head and the left, in mm.
type CutPiece struct {
	Letter     string
	X, Y, W, H float64
	Size       string
}

// CutLine is a cut: where it runs, and between what, in mm.
type CutLine struct {
	Number       int
	Across       bool // else downwards
	At, From, To float64
}

func (k Cutting) Describe() (title, desc string) {
	var pieces []string
	for _, p := range k.Pieces {
		pieces = append(pieces, fmt.Sprintf("%s, %s", p.Letter, p.Size))
	}
	return k.Name,
		fmt.Sprintf("Drawn to scale, the head above, the grain downwards. The whole: %s Pieces from the upper left: %s. Numbered broken lines are the cuts in their order.",
			sentences([]Stretch{k.W, k.H}), strings.Join(pieces, "; "))
}

func (k Cutting) draw(c *canvas) float64 {
	const left, right, top, high = 26.0, 262.0, 38.0, 340.0
	c.fine = c.ink == nil
	scale := min((right-left)/k.W.MM, high/k.H.MM)
	w, h := k.W.MM*scale, k.H.MM*scale
	c.writeText("", point{left, letterHigh}, "head")
	c.measureWhole(point{left, 20}, scale, k.W)
	c.drawBox("o", left, top, left+w, top+h)
	for _, p := range k.Pieces {
		x, y := left+p.X*scale, top+p.Y*scale
		c.drawBox("f o", x, y, x+p.W*scale, y+p.H*scale)
	}
	for _, l := range k.Cuts {
		from, to := point{left + l.At*scale, top + l.From*scale}, point{left + l.At*scale, top + l.To*scale}
		if l.Across {
			from, to = point{left + l.From*scale, top + l.At*scale}, point{left + l.To*scale, top + l.At*scale}
		}
		c.drawLine("d", from, to)
	}
	for _, p := range k.Pieces {
		at := point{left + (p.X+p.W/2)*scale, top + (p.Y+p.H*0.72)*scale}
		if p.W*scale < 2*letterHigh {
			c.writeTag(at, p.Letter)
		} else {
			c.writeText("b c", point{at.x, at.y + 4}, p.Letter)
		}
	}
	for _, l := range k.Cuts {
		c.number(k.place(l, point{left, top}, scale), l.Number)
	}
	c.measureDown(point{left + w + 14, top}, scale, k.H)
	c.drawLine("h", point{10, top + h/2 - 22}, point{10, top + h/2 + 22})
	for _, end := range []float64{-1, 1} {
		c.drawArrow("h", point{10, top + h/2}, point{10, top + h/2 + 22*end})
	}
	c.writeTurned("c", point{22, top + h/2}, "grain", -90)
	return c.legend(top+h+4, []Stretch{k.W, k.H}) + 6
}

// place is where the number of a cut stands: near the beginning of its line. Numbers of cuts that follow each other stand
// at different depths, so that those of narrow pieces keep apart.
func (k Cutting) place(l CutLine, at point, scale float64) point {
	in := 9 + 13*float64(l.Number%3)
	if l.Across {
		in = 22
	}
	along := (l.From + min((l.To-l.From)/2, in/scale)) * scale
	if l.Across {
		return point{at.x + along, at.y + l.At*scale}
	}
	return point{at.x + l.At*scale, at.y + along}
}

// number writes the number of a cut onto its line.
func (c *canvas) number(at point, n int) {
	text := fmt.Sprint(n)
	half := float64(len(text))*letterWide/2 + 1
	c.drawBox("w", at.x-half, at.y-6, at.x+half, at.y+6)
	c.writeText("c", point{at.x, at.y + 4}, text)
}
