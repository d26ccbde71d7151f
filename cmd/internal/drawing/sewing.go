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

func (Holes) Title() string { return "Where the holes are" }

func (h Holes) Desc() string {
	return fmt.Sprintf("A fold lies before you, its head at the left. From the head edge the holes are at %s.", strings.Join(h.Names, ", "))
}

func (h Holes) draw(c *canvas) float64 {
	const left, right, fold, high = 10.0, 290.0, 52.0, 36.0
	// The opened middle of the gathering, seen from above: the fold runs along it.
	c.area("o", point{left, fold - high}, point{right, fold - high}, point{right, fold + high}, point{left, fold + high})
	c.line("d", point{left, fold}, point{right, fold})
	c.text("", point{left + 3, fold - high + 14}, "head")
	c.text("e", point{right - 8, fold - high + 14}, "tail")
	for i, at := range h.At {
		x := left + (right-left)*at/h.Length
		c.area("s", ring(point{x, fold}, 3)...)
		c.line("h", point{x, fold + 5}, point{x, fold + high + 6})
		c.textTurned("", point{x - 4, fold + high + 10}, h.Names[i], 90)
	}
	return fold + high + 16 + letterWide*float64(len(longest(h.Names)))
}

func longest(words []string) (most string) {
	for _, w := range words {
		if len(w) > len(most) {
			most = w
		}
	}
	return most
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
	var out []string
	for _, w := range s.Way[s.Before:] {
		way := "out"
		if w.In {
			way = "in"
		}
		out = append(out, fmt.Sprintf("%s at hole %d", way, w.Hole))
	}
	return "Seen from the spine, the head at the left. The needle goes " + strings.Join(out, ", ") + "."
}

func (s Sewing) gatherings() (n int) {
	for _, w := range s.Way {
		n = max(n, w.Gathering)
	}
	return n
}

func (s Sewing) draw(c *canvas) float64 {
	const left, right, high, pitch = 10.0, 290.0, 26.0, 54.0
	n := s.gatherings()
	ground := 24 + pitch*float64(n)
	at := func(w Stitch) point {
		return point{left + (right-left)*s.At[w.Hole-1]/s.Length, ground - pitch*float64(w.Gathering) + high/2 + 16}
	}
	for _, tape := range s.Tapes {
		x0, x1 := at(Stitch{1, tape[0], true}).x+3, at(Stitch{1, tape[1], true}).x-3
		c.area("h o", point{x0, 8}, point{x1, 8}, point{x1, ground + 8}, point{x0, ground + 8})
	}
	for g := 1; g <= n; g++ {
		y := at(Stitch{g, 1, true}).y
		c.area("", point{left, y - high/2}, point{right, y - high/2}, point{right, y + high/2}, point{left, y + high/2})
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
	for g := 1; g <= n; g++ {
		for h := range s.At {
			p := at(Stitch{g, h + 1, true})
			c.tag(point{p.x, p.y - high/2 - 8}, fmt.Sprint(h+1))
		}
	}
	begin := at(s.Way[s.Before])
	c.arrow("", point{begin.x, begin.y + 34}, point{begin.x, begin.y + 10})
	return writeCaptions(c, ground+10, "seen from the spine, head at the left", "the arrow: here the needle goes in first", "dashed: the thread is inside the fold")
}
