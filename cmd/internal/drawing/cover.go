package drawing

import (
	"fmt"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder/lists"
)

// Piece is what a part of a cover is.
type Piece int

const (
	TurnIn Piece = iota + 1 // of the covering material, around the edges
	Board
	Joint
	SpineStrip // the stiff piece on the spine
	Spine      // without one
	Flap       // of a paper cover
	Half       // of a paper cover: its front or its back
)

// Part is a part of a cover, from its left edge.
type Part struct {
	Piece
	Stretch
}

// Cover is a cover flat on the table, its inside up, to scale.
type Cover struct {
	Parts        []Part    // across the spine, from left to right
	Along        []Stretch // the spine, from one end to the other: turn-in, board, turn-in
	Across, High Stretch   // the whole
	Corner       Stretch   // D: how far from the corner of the board the corner is cut off; zero: it stays
	Ends         [2]string // of the spine: head and tail
	Two          bool      // two of it are cut, there is no spine
	Scale        Scale
}

func (k Cover) isPaper() bool { return k.Corner.MM == 0 }

func (k Cover) across() []Stretch {
	return lists.Map(k.Parts, func(p Part) Stretch { return p.Stretch })
}

func (k Cover) Describe() (title, desc string) {
	desc = fmt.Sprintf("Drawn to scale, the %s above and the %s below. From left to right: %s Along the spine: %s The whole: %s",
		k.Ends[0], k.Ends[1], sentences(k.across()), sentences(k.Along), sentences([]Stretch{k.Across, k.High}))
	switch {
	case k.Two:
		return "Cover, one of two", desc + " Two of it are cut."
	case k.isPaper():
		return "The cover, flat", desc + " Broken lines between them are folds."
	}
	return "The inside of the cover, with its boards",
		fmt.Sprintf("%s The corners are cut off slantwise, %s from the corner of a board.", desc, k.Corner.Value)
}

func (k Cover) captions() []string {
	switch {
	case k.Two:
		return []string{"cut two, for the front and the back"}
	case k.isPaper():
		return []string{"fold along the broken lines"}
	}
	return []string{"corners: cut off D from the board's corner"}
}

func (k Cover) draw(c *canvas) float64 {
	const left, right, top, high = 6.0, 256.0, 40.0, 200.0
	c.fine = c.ink == nil
	scale := min((right-left)/k.Across.MM, high/k.High.MM)
	w, h := k.Across.MM*scale, k.High.MM*scale
	x := left + (right-left-w)/2
	c.writeText("", point{x, letterHigh}, k.Ends[0])
	c.measureWhole(point{x, 22}, scale, k.Across)
	k.drawOutline(c, point{x, top}, scale)
	k.drawParts(c, point{x, top}, scale)
	c.measureDown(point{x + w + 10, top}, scale, k.Along...)
	if len(k.Along) > 1 {
		c.measureDown(point{x + w + 30, top}, scale, k.High)
	}
	across := k.across()
	y := c.measureAcross(point{x, top + h + 12}, scale, across...)
	c.writeText("", point{2, y + 12}, k.Ends[1])
	y = c.legend(y+16, append(append(across, k.Along...), k.Across, k.High, k.Corner))
	y = writeCaptions(c, y-4, k.captions()...)
	return c.rule(y-4, scale, k.Scale)
}

// measureWhole is a dimension line with its letter in its middle.
func (c *canvas) measureWhole(from point, scale float64, s Stretch) {
	end := from.x + s.MM*scale
	c.drawLine("h", point{from.x, from.y + 6}, point{end, from.y + 6})
	for _, x := range []float64{from.x, end} {
		c.drawLine("h", point{x, from.y + 3}, point{x, from.y + 9})
	}
	c.writeTag(point{(from.x + end) / 2, from.y + 6}, s.Letter)
}

// drawOutline draws the material, whose corners are cut off slantwise.
func (k Cover) drawOutline(c *canvas, at point, scale float64) {
	w, h := k.Across.MM*scale, k.High.MM*scale
	if k.isPaper() {
		c.drawBox("o", at.x, at.y, at.x+w, at.y+h)
		return
	}
	cut := binding.CornerCut(k.Parts[0].MM, k.Corner.MM) * scale
	r, b := at.x+w, at.y+h
	c.drawArea("o", point{at.x + cut, at.y}, point{r - cut, at.y}, point{r, at.y + cut}, point{r, b - cut},
		point{r - cut, b}, point{at.x + cut, b}, point{at.x, b - cut}, point{at.x, at.y + cut})
}

// drawParts draws boards and strip, or the folds of paper.
func (k Cover) drawParts(c *canvas, at point, scale float64) {
	x, bottom := at.x, at.y+k.High.MM*scale
	for _, p := range k.Parts {
		end := x + p.MM*scale
		switch {
		case p.Piece == Board || p.Piece == SpineStrip:
			y := at.y + k.Along[0].MM*scale
			c.drawBox("f o", x, y, end, y+k.Along[1].MM*scale)
			if p.Piece == Board {
				c.writeText("c", point{(x + end) / 2, (at.y+bottom)/2 + 4}, "board")
			}
		case k.isPaper() && x > at.x && p.MM > 0:
			c.drawLine("d", point{x, at.y}, point{x, bottom})
		}
		x = end
	}
}
