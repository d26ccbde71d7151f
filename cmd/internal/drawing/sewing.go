package drawing

import (
	"fmt"
	"strings"

	"foldwright/reorder/lists"
)

// Holes is where a fold is pierced, its head at the left.
type Holes struct {
	Length float64   // of the fold, mm
	At     []float64 // from its head, mm
	Names  []string  // of the places, such as 12 mm
}

func (Holes) Title() string { return "Where the holes are" }

func (h Holes) Desc() string {
	return fmt.Sprintf("A fold lies before you, its head at the left. From the head edge the holes are at %s.", strings.Join(h.Names, ", "))
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

// Stitch is the thread's way through one hole. Between two of them it lies inside the
// fold where the first goes in, else outside.
type Stitch struct {
	Gathering int // from 1, the one sewn first
	Hole      int // from 1, at the head
	In        bool
}

// Sewing is the way of a thread, seen from the spine: the head at the left, each
// gathering above the one sewn before it.
type Sewing struct {
	What   string
	Length float64   // of the fold, mm
	At     []float64 // the holes from the head, mm
	Tapes  [][2]int  // holes at both edges of each
	Way    []Stitch
	Before int // how many of the stitches were made before
}

func (s Sewing) Title() string { return s.What }

func (s Sewing) Desc() string {
	out := lists.Map(s.Way[s.Before:], func(w Stitch) string {
		return fmt.Sprintf("%s at hole %d", map[bool]string{true: "in", false: "out"}[w.In], w.Hole)
	})
	return "Seen from the spine, the head at the left. The needle goes " + strings.Join(out, ", ") + "."
}

func (s Sewing) draw(c *canvas) float64 {
	const left, right, high, pitch = 10.0, 290.0, 26.0, 54.0
	n := 0 // gatherings
	for _, w := range s.Way {
		n = max(n, w.Gathering)
	}
	ground := 24 + pitch*float64(n)
	at := func(w Stitch) point {
		return point{left + (right-left)*s.At[w.Hole-1]/s.Length, ground - pitch*float64(w.Gathering) + high/2 + 16}
	}
	for _, tape := range s.Tapes {
		x0, x1 := at(Stitch{1, tape[0], true}).x+3, at(Stitch{1, tape[1], true}).x-3
		c.box("h o", x0, 8, x1, ground+8)
	}
	for g := 1; g <= n; g++ {
		y := at(Stitch{g, 1, true}).y
		c.box("", left, y-high/2, right, y+high/2)
	}
	for i := 1; i < len(s.Way); i++ {
		from, to := at(s.Way[i-1]), at(s.Way[i])
		switch {
		case s.Way[i-1].In:
			c.line("d", from, to)
		case from == to: // round a cord
			c.line("f", from, point{from.x - 6, from.y + 7}, point{from.x + 6, from.y + 7}, to)
		case from.y == to.y:
			c.line("f", from, point{from.x, from.y + 8}, point{to.x, to.y + 8}, to)
		default:
			c.line("f", from, to)
		}
	}
	for _, w := range s.Way {
		c.area("s", ring(at(w), 2.6)...)
	}
	for h := range s.At {
		p := at(Stitch{n, h + 1, true})
		c.tag(point{p.x, p.y - high/2 - 8}, fmt.Sprint(h+1))
	}
	begin := at(s.Way[s.Before])
	c.arrow("", point{begin.x, begin.y + 34}, point{begin.x, begin.y + 10})
	return writeCaptions(c, ground+10, "seen from the spine, head at the left", "the arrow: here the needle goes in first", "dashed: the thread is inside the fold")
}

// Kettle is the stitch at the end of a row, seen from the spine: the thread comes out of the
// gathering just sewn, goes behind the thread that joins the two below, and up through its own loop.
type Kettle struct{}

func (Kettle) Title() string { return "The kettle stitch" }

func (Kettle) Desc() string {
	return "Three gatherings at their end, seen from the spine. The thread comes out of the hole of the upper one, goes down between the two below, behind the thread that joins them, and up again through its own loop."
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

func (Wrap) Title() string { return "The cover around the book" }

func (Wrap) Desc() string {
	return "Seen from the head: a strip of paper lies on one side of the book, round its spine, and on the other side. It is glued at the spine only."
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
