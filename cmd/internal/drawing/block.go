package drawing

import (
	"fmt"
	"math"
)

// Block is the sewn block seen from its tail, its first page up and its spine at the left, to scale.
type Block struct {
	Leaf   Stretch // from the spine to the fore-edge
	Spine  Stretch // thickness at the spine
	Fore   Stretch // thickness at the fore-edge
	Curve  Stretch // the spine over its curve; zero: it is flat
	Round  float64 // how deep the curve is, mm
	Leaves int
	From   string // from which end it is seen
	Scale  Scale
}

func (b Block) all() []Stretch { return []Stretch{b.Leaf, b.Spine, b.Curve, b.Fore} }

func (b Block) Describe() (title, desc string) {
	shape := "The spine, at the left, is flat."
	if b.Round > 0 {
		shape = "The spine, at the left, is round."
	}
	return "The block, seen from the " + b.From, fmt.Sprintf("Drawn to scale. %s %s", shape, sentences(b.all()))
}

func (b Block) draw(c *canvas) float64 {
	const left, right, top = 34.0, 266.0, 26.0
	c.fine = c.ink == nil
	scale := (right - left) / (b.Leaf.MM + b.Round)
	thick := max(b.Spine.MM, b.Fore.MM) * scale
	x0, x1, middle := left+b.Round*scale, right, top+thick/2
	b.drawLeaves(c, x0, x1, middle, scale)
	c.writeText("", point{2, letterHigh}, "spine")
	c.writeText("e", point{wide - 2, letterHigh}, "fore-edge")
	c.measureDown(point{16, middle - b.Spine.MM*scale/2}, scale, b.Spine)
	c.measureDown(point{x1 + 8, middle - b.Fore.MM*scale/2}, scale, b.Fore)
	y := c.measureAcross(point{x0, top + max(thick, letterHigh) + 12}, scale, b.Leaf)
	y = c.legend(y, b.all())
	return c.rule(y, scale, b.Scale)
}

// drawLeaves draws the outline between spine and fore-edge, and some leaves in it.
func (b Block) drawLeaves(c *canvas, x0, x1, middle, scale float64) {
	spine, fore, depth := b.Spine.MM*scale, b.Fore.MM*scale, b.Round*scale
	outline := append(bow(x0, middle+spine/2, middle-spine/2, depth), bow(x1, middle-fore/2, middle+fore/2, depth)...)
	c.drawArea("o", outline...)
	n := min(b.Leaves-1, int(min(spine, fore)/3), 20)
	var lines [][]point
	for i := range n {
		share := float64(i+1)/float64(n+1) - 0.5
		in := depth * (1 - 4*share*share)
		lines = append(lines, []point{{x0 - in, middle + share*spine}, {x1 - in, middle + share*fore}})
	}
	c.drawLines("h", lines)
}

// bow is a line from one height to another at x that bulges to the left by a depth.
func bow(x, from, to, depth float64) []point {
	if depth == 0 {
		return []point{{x, from}, {x, to}}
	}
	const parts = 16
	half := math.Abs(to-from) / 2
	radius := (half*half + depth*depth) / (2 * depth)
	var out []point
	for i := range parts + 1 {
		y := from + (to-from)*float64(i)/parts
		off := y - (from+to)/2
		out = append(out, point{x - depth + radius - math.Sqrt(max(0, radius*radius-off*off)), y})
	}
	return out
}

// Band is a tape on the spine.
type Band struct{ From, To float64 } // mm from the trimmed head

// Station is a hole in the fold.
type Station struct {
	At              float64 // mm from the trimmed head
	Trimmed, Pierce string  // from the trimmed head, and from the untrimmed one if that is another edge
}

// Stations is the fold of the innermost sheet with its holes, or the spine with those beside it, the first
// end at the left, to scale.
type Stations struct {
	Length     float64 // of the fold before trimming, mm
	Head, Tail float64 // what is trimmed off its ends, mm
	Holes      []Station
	Bands      []Band
	Ends       [2]string // of the spine: head and tail
	Side       bool      // the holes go through the side
	Scale      Scale
}

func (s Stations) Describe() (title, desc string) {
	desc = fmt.Sprintf("The %s lies before you, its %s at the left. Drawn to scale.", map[bool]string{false: "fold", true: "spine edge"}[s.Side], s.Ends[0])
	for i, h := range s.Holes {
		desc += fmt.Sprintf(" Hole %d: %s", i+1, h.Trimmed)
		if h.Pierce != "" {
			desc += fmt.Sprintf(" from the trimmed %s, %s from the untrimmed one", s.Ends[0], h.Pierce)
		}
		desc += "."
	}
	return "Where the holes are", desc
}

func (s Stations) draw(c *canvas) float64 {
	const left, right, high = 10.0, 290.0, 11.0
	c.fine = c.ink == nil
	scale := (right - left) / s.Length
	x := func(at float64) float64 { return left + (at+s.Head)*scale }
	letters := 0 // of the longest label
	for _, h := range s.Holes {
		letters = max(letters, len(h.Trimmed), len(h.Pierce))
	}
	long := letterWide * float64(letters+1)
	fold := long + 48
	if s.Head == 0 {
		fold = 40
	}
	c.drawBox("o", left, fold-high, right, fold+high)
	for _, b := range s.Bands {
		c.drawBox("h", x(b.From), fold-high-4, x(b.To), fold+high+4)
	}
	for _, trim := range []float64{s.Head, s.Length - s.Tail} {
		if trim > 0 && trim < s.Length {
			c.drawLine("d", point{left + trim*scale, fold - high}, point{left + trim*scale, fold + high})
		}
	}
	c.writeText("", point{2, letterHigh}, s.Ends[0])
	c.writeText("e", point{wide - 2, letterHigh}, s.Ends[1])
	places := s.spread(x)
	for i, h := range s.Holes {
		c.drawLine("f", point{x(h.At), fold - high + 3}, point{x(h.At), fold + high - 3})
		below := h.Pierce
		if s.Head == 0 {
			below = h.Trimmed
		} else {
			c.drawLine("h", point{x(h.At), fold - high}, point{places[i], fold - high - 10})
			c.writeTurned("", point{places[i] - 4, fold - high - 14 - long}, h.Trimmed, 90)
		}
		c.drawLine("h", point{x(h.At), fold + high}, point{places[i], fold + high + 10})
		c.writeTurned("", point{places[i] - 4, fold + high + 13}, below, 90)
	}
	captions := []string{"from the " + s.Ends[0]}
	if s.Head > 0 {
		captions = []string{"above: from the trimmed " + s.Ends[0], "below: from the untrimmed " + s.Ends[0] + ",", "by which you pierce", "dashed: where it will be trimmed"}
	}
	y := writeCaptions(c, fold+high+14+long, captions...)
	return c.rule(y-6, scale, s.Scale)
}

// spread is where the labels of the holes stand: at them, but at least a line apart and within the drawing.
func (s Stations) spread(x func(float64) float64) []float64 {
	out := make([]float64, len(s.Holes))
	for i, h := range s.Holes {
		out[i] = x(h.At)
		if i > 0 {
			out[i] = max(out[i], out[i-1]+letterHigh+1)
		}
	}
	most := wide - letterHigh
	for i := len(out) - 1; i >= 0; i-- {
		out[i] = min(out[i], most)
		most = out[i] - letterHigh - 1
	}
	return out
}
