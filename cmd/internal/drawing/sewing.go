package drawing

import (
	"fmt"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder/lists"
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
	c.drawBox("o", left, fold-high, right, fold+high)
	c.drawLine("d", point{left, fold}, point{right, fold})
	c.writeText("", point{left + 3, fold - high + 14}, "head")
	c.writeText("e", point{right - 8, fold - high + 14}, "tail")
	letters := 0 // of the longest name
	for i, at := range h.At {
		letters = max(letters, len(h.Names[i]))
		x := left + (right-left)*at/h.Length
		c.drawArea("s", ring(point{x, fold}, 3)...)
		c.drawLine("h", point{x, fold + 5}, point{x, fold + high + 6})
		c.writeTurned("", point{x - 4, fold + high + 10}, h.Names[i], 90)
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
		c.drawBox("", left, y[i]-high/2, right, y[i]+high/2)
		c.drawLine("d", point{left, y[i]}, point{hole, y[i]})
		c.drawArea("s", ring(point{hole, y[i]}, 3)...)
		c.writeText("", point{left + 4, y[i] - 4}, name)
	}
	c.drawLine("f", point{hole, y[1]}, point{hole, y[2]}) // what joins the two below
	gap := (y[1] + y[2]) / 2
	// Down at the right of that thread, behind it, and up at its left through the loop.
	c.drawLine("f", point{hole, y[0]}, point{hole + 26, y[0] + 18}, point{hole + 26, gap}, point{hole + 4, gap})
	c.drawLine("d", point{hole + 4, gap}, point{hole - 4, gap})
	c.drawArrow("f", point{hole - 4, gap}, point{hole - 22, gap}, point{hole - 22, y[0] + 26}, point{hole + 34, y[0] + 26})
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
	c.drawLines("h", leaves)
	c.drawLine("f", point{edge, top - 3}, point{spine, top - 3}, point{spine, bottom + 3}, point{edge, bottom + 3})
	c.drawLine("y", point{spine + 3, top}, point{spine + 3, bottom})
	c.writeText("e", point{spine - 6, (top+bottom)/2 + 4}, "glue here")
	c.writeText("c", point{(spine + edge) / 2, top - 12}, "cover")
	c.writeText("", point{edge + 6, (top+bottom)/2 + 4}, "leaves")
	return writeCaptions(c, bottom, "seen from the head")
}

// Sewing is the way of a thread. Above it is seen from the spine, the head at the left, each
// gathering above the one sewn before it; below, from within the fold of the gathering that is being sewn.
type Sewing struct {
	What   string
	Length float64   // of the fold, mm
	At     []float64 // the holes from the head, mm
	Tapes  [][2]int  // holes at both edges of each
	Way    []binding.Stitch
	Before int // how many of the stitches were made before
}

func (s Sewing) Describe() (title, desc string) {
	steps := lists.Map(s.now(), func(w binding.Stitch) string {
		link := map[bool]string{true: "behind the thread below, "}[w.Link]
		return link + fmt.Sprintf("%s at hole %d", map[bool]string{true: "in", false: "out"}[w.In], w.Hole)
	})
	return s.What, "Seen from the spine and from within the fold, the head at the left. The needle goes " + strings.Join(steps, ", ") + "."
}

// now is the stitches of the gathering that is being sewn.
func (s Sewing) now() []binding.Stitch { return s.Way[s.Before:] }

func (s Sewing) gatherings() (n int) {
	for _, w := range s.Way {
		n = max(n, w.Gathering)
	}
	return n
}

const sewLeft, sewRight, rowHigh, rowPitch = 10.0, 290.0, 26.0, 54.0

// across is where a hole stands on the drawing.
func (s Sewing) across(hole int) float64 {
	return sewLeft + (sewRight-sewLeft)*s.At[hole-1]/s.Length
}

func (s Sewing) draw(c *canvas) float64 {
	n := s.gatherings()
	ground := 24 + rowPitch*float64(n)
	at := func(w binding.Stitch) point {
		return point{s.across(w.Hole), ground - rowPitch*float64(w.Gathering) + rowHigh/2 + 16}
	}
	row := func(y float64) {
		c.drawBox("", sewLeft, y-rowHigh/2, sewRight, y+rowHigh/2)
	}
	for _, tape := range s.Tapes {
		x0, x1 := s.across(tape[0])+3, s.across(tape[1])-3
		c.drawBox("h o", x0, 8, x1, ground+8)
	}
	for g := 1; g <= n; g++ {
		row(at(binding.Stitch{Gathering: g, Hole: 1}).y)
	}
	for i := 1; i < len(s.Way); i++ {
		from, to := at(s.Way[i-1]), at(s.Way[i])
		switch {
		case s.Way[i-1].In:
			c.drawLine("d", from, to)
		case s.Way[i].Link && from == to: // round the thread that lies at the hole below
			deep := from.y + rowPitch + 11
			c.drawLine("f", from, point{from.x - 5, from.y + rowPitch/2}, point{from.x - 5, deep}, point{from.x + 5, deep}, point{from.x + 5, from.y + rowPitch/2}, to)
		case s.Way[i].Link: // under the thread on the tape below
			c.drawLine("f", from, point{(from.x+to.x)/2 - 2, from.y + rowPitch + 13}, point{(from.x+to.x)/2 + 2, from.y + rowPitch + 13}, to)
		case from == to: // round a cord
			c.drawLine("f", from, point{from.x - 6, from.y + 7}, point{from.x + 6, from.y + 7}, to)
		case from.y == to.y:
			c.drawLine("f", from, point{from.x, from.y + 8}, point{to.x, to.y + 8}, to)
		default:
			c.drawLine("f", from, to)
		}
	}
	for _, w := range s.Way {
		c.drawArea("s", ring(at(w), 2.6)...)
	}
	for h := range s.At {
		p := at(binding.Stitch{Gathering: n, Hole: h + 1})
		c.writeTag(point{p.x, p.y - rowHigh/2 - 8}, fmt.Sprint(h+1))
	}
	begin := at(s.now()[0])
	c.drawArrow("", point{begin.x, begin.y + 34}, point{begin.x, begin.y + 10})
	captions := []string{"seen from the spine, head at the left", "the arrow: here the needle goes in first", "dashed: the thread is inside the fold"}
	return s.drawWithin(c, writeCaptions(c, ground+10, captions...)+8)
}

// drawWithin draws the opened fold from within, below a line: what lies inside is solid now, and the steps are
// numbered where the needle goes through.
func (s Sewing) drawWithin(c *canvas, top float64) float64 {
	const deep = 30.0
	fold := top + deep
	c.drawBox("o", sewLeft, top, sewRight, top+2*deep)
	c.drawLine("h", point{sewLeft, fold}, point{sewRight, fold})
	above, below := map[int][]string{}, map[int][]string{}
	for i, w := range s.now() {
		x := s.across(w.Hole)
		c.drawArea("s", ring(point{x, fold}, 2.6)...)
		if w.In {
			above[w.Hole] = append(above[w.Hole], fmt.Sprint(i+1))
			if i+1 < len(s.now()) {
				c.drawLine("f", point{x, fold}, point{s.across(s.now()[i+1].Hole), fold})
			}
		} else {
			below[w.Hole] = append(below[w.Hole], fmt.Sprint(i+1))
		}
	}
	for h := 1; h <= len(s.At); h++ {
		for i, word := range above[h] {
			c.writeText("c", point{s.across(h), fold - 7 - 11*float64(i)}, word)
		}
		for i, word := range below[h] {
			c.writeText("c", point{s.across(h), fold + 15 + 11*float64(i)}, word)
		}
	}
	return writeCaptions(c, top+2*deep, "seen from within the open fold: the steps", "a number above: in; below: out")
}
