package drawing

import (
	"fmt"
	"math"
	"strings"

	"foldwright/reorder/lists"
)

// Stretch is a length that is drawn to scale and told in words.
type Stretch struct {
	Letter string  // by which the drawing names it; stretches of one letter are equal
	Name   string  // such as turn-in
	MM     float64 // as drawn: of an estimate the middle
	Value  string  // as figures are written, such as 19 mm or 18 to 20 mm
}

func (s Stretch) String() string { return fmt.Sprintf("%s, %s: %s", s.Letter, s.Name, s.Value) }

// list names each letter once, in the order in which they come first; stretches of no length are left out.
func list(stretches ...Stretch) (out []Stretch) {
	seen := map[string]bool{}
	for _, s := range stretches {
		if s.MM > 0 && !seen[s.Letter] {
			seen[s.Letter] = true
			out = append(out, s)
		}
	}
	return out
}

func sentences(stretches []Stretch) string {
	return strings.Join(lists.Map(list(stretches...), Stretch.String), "; ") + "."
}

const (
	dimensionLetter = 10.0 // what a letter takes of a dimension line
	dimensionRow    = 13.0
)

// measureAcross draws a dimension line that begins at a point, with the letters below it; letters that have
// no room beside each other stand in further rows, each on a line from its stretch. It returns where
// they end below.
func (c *canvas) measureAcross(from point, scale float64, stretches ...Stretch) (bottom float64) {
	c.drawLine("h", point{from.x, from.y - 3}, point{from.x, from.y + 3})
	var taken []float64 // how far each row of letters reaches
	x := from.x
	for _, s := range stretches {
		if s.MM == 0 {
			continue
		}
		end := x + s.MM*scale
		c.drawLine("h", point{x, from.y}, point{end, from.y})
		c.drawLine("h", point{end, from.y - 3}, point{end, from.y + 3})
		middle := (x + end) / 2
		row := 0
		for row < len(taken) && taken[row] > middle-dimensionLetter/2 {
			row++
		}
		if row == len(taken) {
			taken = append(taken, 0)
		}
		taken[row] = middle + dimensionLetter/2
		y := from.y + dimensionRow*float64(row)
		c.drawLine("h", point{middle, from.y}, point{middle, y + 4})
		c.writeText("m", point{middle, y + 14}, s.Letter)
		x = end
	}
	return from.y + dimensionRow*float64(len(taken)) + 4
}

// measureDown draws a dimension line downwards from a point, with the letters at its right, apart from each other.
func (c *canvas) measureDown(from point, scale float64, stretches ...Stretch) {
	c.drawLine("h", point{from.x - 3, from.y}, point{from.x + 3, from.y})
	y, last := from.y, math.Inf(-1)
	for _, s := range stretches {
		if s.MM == 0 {
			continue
		}
		end := y + s.MM*scale
		c.drawLine("h", point{from.x, y}, point{from.x, end})
		c.drawLine("h", point{from.x - 3, end}, point{from.x + 3, end})
		at := max((y+end)/2, last+letterHigh)
		c.writeText("m", point{from.x + 9, at + 4}, s.Letter)
		y, last = end, at
	}
}

// textWide is where a line of a legend breaks, in letters.
const (
	legendLeft = 18.0
	legendWide = (wide - legendLeft) / letterWide
)

// legend writes what the letters stand for, below a level, and returns where it ends.
func (c *canvas) legend(y float64, stretches []Stretch) float64 {
	for _, s := range list(stretches...) {
		y += lineHigh
		c.writeText("b", point{2, y}, s.Letter)
		lines := []string{s.Name + ": " + s.Value}
		if float64(len(lines[0])) > legendWide {
			lines = []string{s.Name + ":", s.Value}
		}
		for i, l := range lines {
			y += lineHigh * float64(min(i, 1))
			c.writeText("", point{legendLeft, y}, l)
		}
	}
	return y
}

// Scale is a rule drawn to scale, such as 50 mm.
type Scale struct {
	MM   float64
	Name string
}

// rule draws the scale below a level and returns where it ends.
func (c *canvas) rule(y, scale float64, s Scale) float64 {
	y += 16
	c.drawLine("", point{4, y}, point{4 + s.MM*scale, y})
	for _, x := range []float64{4, 4 + s.MM*scale} {
		c.drawLine("h", point{x, y - 4}, point{x, y + 4})
	}
	c.writeText("", point{4 + s.MM*scale + 8, y + 4}, s.Name)
	return y + 9
}
