package drawing

import (
	"fmt"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder/lists"
)

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
		c.box("", sewLeft, y-rowHigh/2, sewRight, y+rowHigh/2)
	}
	for _, tape := range s.Tapes {
		x0, x1 := s.across(tape[0])+3, s.across(tape[1])-3
		c.box("h o", x0, 8, x1, ground+8)
	}
	for g := 1; g <= n; g++ {
		row(at(binding.Stitch{Gathering: g, Hole: 1}).y)
	}
	for i := 1; i < len(s.Way); i++ {
		from, to := at(s.Way[i-1]), at(s.Way[i])
		switch {
		case s.Way[i-1].In:
			c.line("d", from, to)
		case s.Way[i].Link && from == to: // round the thread that lies at the hole below
			deep := from.y + rowPitch + 11
			c.line("f", from, point{from.x - 5, from.y + rowPitch/2}, point{from.x - 5, deep}, point{from.x + 5, deep}, point{from.x + 5, from.y + rowPitch/2}, to)
		case s.Way[i].Link: // under the thread on the tape below
			c.line("f", from, point{(from.x+to.x)/2 - 2, from.y + rowPitch + 13}, point{(from.x+to.x)/2 + 2, from.y + rowPitch + 13}, to)
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
		p := at(binding.Stitch{Gathering: n, Hole: h + 1})
		c.tag(point{p.x, p.y - rowHigh/2 - 8}, fmt.Sprint(h+1))
	}
	begin := at(s.now()[0])
	c.arrow("", point{begin.x, begin.y + 34}, point{begin.x, begin.y + 10})
	captions := []string{"seen from the spine, head at the left", "the arrow: here the needle goes in first", "dashed: the thread is inside the fold"}
	return s.drawWithin(c, writeCaptions(c, ground+10, captions...)+8)
}

// drawWithin draws the opened fold from within, below a line: what lies inside is solid now, and the steps are
// numbered where the needle goes through.
func (s Sewing) drawWithin(c *canvas, top float64) float64 {
	const deep = 30.0
	fold := top + deep
	c.box("o", sewLeft, top, sewRight, top+2*deep)
	c.line("h", point{sewLeft, fold}, point{sewRight, fold})
	above, below := map[int][]string{}, map[int][]string{}
	for i, w := range s.now() {
		x := s.across(w.Hole)
		c.area("s", ring(point{x, fold}, 2.6)...)
		if w.In {
			above[w.Hole] = append(above[w.Hole], fmt.Sprint(i+1))
			if i+1 < len(s.now()) {
				c.line("f", point{x, fold}, point{s.across(s.now()[i+1].Hole), fold})
			}
		} else {
			below[w.Hole] = append(below[w.Hole], fmt.Sprint(i+1))
		}
	}
	for h := 1; h <= len(s.At); h++ {
		for i, word := range above[h] {
			c.text("c", point{s.across(h), fold - 7 - 11*float64(i)}, word)
		}
		for i, word := range below[h] {
			c.text("c", point{s.across(h), fold + 15 + 11*float64(i)}, word)
		}
	}
	return writeCaptions(c, top+2*deep, "seen from within the open fold: the steps", "a number above: in; below: out")
}
