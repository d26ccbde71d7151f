package drawing

import (
	"fmt"
	"strings"
)

// Holes is where a fold is pierced, its head at the left.
type Holes struct {
	Length float64   // of the fold, mm
	At     []float64 // from its head, mm
	Names  []string  // of the places, such as 12 mm
}

func (h Holes) Describe() (title, desc string) {
	return "Where the holes are",
		fmt.Sprintf("A fold lies before you, its head at the left. From the head edge the holes are at %s.", strings.Join(h.Names, ", "))
}

func (h Holes) draw(c *canvas) float64 {
	const left, right, fold, high = 10.0, 290.0, 52.0, 36.0
	// The opened middle of the gathering, seen from above: the fold runs along it.
	c.box("o", left, fold-high, right, fold+high)
	c.line("d", point{left, fold}, point{right, fold})
	c.text("", point{left + 3, fold - high + 14}, "head")
	c.text("e", point{right - 8, fold - high + 14}, "tail")
	letters := 0 // of the longest name
	for i, at := range h.At {
		letters = max(letters, len(h.Names[i]))
		x := left + (right-left)*at/h.Length
		c.area("s", ring(point{x, fold}, 3)...)
		c.line("h", point{x, fold + 5}, point{x, fold + high + 6})
		c.textTurned("", point{x - 4, fold + high + 10}, h.Names[i], 90)
	}
	return fold + high + 16 + letterWide*float64(letters+1) // the letters of mm are wider than others
}

// Kettle is the stitch at the end of a row, seen from the spine: the thread comes out of the
// gathering just sewn, goes behind the thread that joins the two below, and up through its own loop.
type Kettle struct{}

func (Kettle) Describe() (title, desc string) {
	return "The kettle stitch",
		"Three gatherings at their end, seen from the spine. The thread comes out of the hole of the upper one, goes down between the two below, behind the thread that joins them, and up again through its own loop."
}

func (Kettle) draw(c *canvas) float64 {
	const left, right, high, pitch, hole = 60.0, 240.0, 30.0, 46.0, 190.0
	y := [3]float64{40, 40 + pitch, 40 + 2*pitch} // from the one sewn last
	for i, name := range []string{"just sewn", "sewn before", "sewn first"} {
		c.box("", left, y[i]-high/2, right, y[i]+high/2)
		c.line("d", point{left, y[i]}, point{hole, y[i]})
		c.area("s", ring(point{hole, y[i]}, 3)...)
		c.text("", point{left + 4, y[i] - 4}, name)
	}
	c.line("f", point{hole, y[1]}, point{hole, y[2]}) // what joins the two below
	gap := (y[1] + y[2]) / 2
	// Down at the right of that thread, behind it, and up at its left through the loop.
	c.line("f", point{hole, y[0]}, point{hole + 26, y[0] + 18}, point{hole + 26, gap}, point{hole + 4, gap})
	c.line("d", point{hole + 4, gap}, point{hole - 4, gap})
	c.arrow("f", point{hole - 4, gap}, point{hole - 22, gap}, point{hole - 22, y[0] + 26}, point{hole + 34, y[0] + 26})
	return writeCaptions(c, y[2]+high/2, "seen from the spine, at one end", "dashed: behind the other thread, or inside")
}

// Wrap is a cover that lies around a sewn book, seen from its head.
type Wrap struct{}

func (Wrap) Describe() (title, desc string) {
	return "The cover around the book",
		"Seen from the head: a strip of paper lies on one side of the book, round its spine, and on the other side. It is glued at the spine only."
}

func (Wrap) draw(c *canvas) float64 {
	const spine, edge, top, bottom = 70.0, 250.0, 30.0, 74.0
	var leaves [][]point
	for y := top + 4; y < bottom; y += 5 {
		leaves = append(leaves, []point{{spine + 4, y}, {edge, y}})
	}
	c.lines("h", leaves)
	c.line("f", point{edge, top - 3}, point{spine, top - 3}, point{spine, bottom + 3}, point{edge, bottom + 3})
	c.line("y", point{spine + 3, top}, point{spine + 3, bottom})
	c.text("e", point{spine - 6, (top+bottom)/2 + 4}, "glue here")
	c.text("c", point{(spine + edge) / 2, top - 12}, "cover")
	c.text("", point{edge + 6, (top+bottom)/2 + 4}, "leaves")
	return writeCaptions(c, bottom, "seen from the head")
}
