package drawing

import (
	"fmt"
	"strings"

	"foldwright/reorder"
)

// Lies is a stack as it lies before the person.
type Lies struct{ Stack }

func (l Lies) Describe() (title, desc string) {
	title = "The stack " + l.Where.String()
	if l.Sheets == 1 {
		title = "The sheet " + l.Where.String()
	}
	up, under := l.Up.thing(), l.Under.thing()
	if l.Up == Either {
		up, under = "blank or printed side", "blank or printed side"
	}
	return title, fmt.Sprintf("%s, %s: the %s up, the %s down.", reorder.Count(l.Sheets, "sheet"), l.Where, up, under)
}

func (l Lies) draw(c *canvas) float64 {
	v, thick := l.drawAt(c, 18, true)
	edge := v.at(sheetWide, sheetDeep*0.7, thick)
	c.drawLine("h", edge, point{148, letterHigh})
	c.writeText("b", point{152, letterHigh + 2}, reorder.Count(l.Sheets, "sheet"))
	c.writeText("", point{152, letterHigh + 2 + lineHigh}, l.Where.String())
	return writeCaptions(c, v.origin.y-2, "underside: "+l.Under.String())
}

// Rule is a ruler that is laid along a line of a test sheet: its centimetre strokes
// are counted from a cross.
type Rule struct {
	Letter  string // beside the cross
	Strokes int
	Length  string // from the cross to the last of them
}

func (r Rule) Describe() (title, desc string) {
	return "Measure the size",
		fmt.Sprintf("A ruler lies along the line that begins at the cross %s. From the middle of the cross to stroke number %d it measures %s.", r.Letter, r.Strokes, r.Length)
}

func (r Rule) draw(c *canvas) float64 {
	const left, right, line = 26.0, 266.0, 66.0
	step := (right - left) / float64(r.Strokes)
	c.drawBox("o", left-14, 8, right+30, 44)
	c.writeText("", point{left - 4, 24}, "0")
	c.writeText("c", point{right - 4, 24}, r.Length)
	c.drawLine("", point{left, line - 12}, point{left, line + 12})
	c.drawLine("", point{left - 14, line}, point{wide - 4, line})
	for i := range r.Strokes + 1 {
		x := left + step*float64(i)
		c.drawLine("h", point{x, 44}, point{x, 36})
		if i > 0 {
			c.drawLine("", point{x, line}, point{x, line + 7})
			c.writeText("c", point{x, line + 20}, fmt.Sprint(i))
		}
	}
	for _, x := range []float64{left, right} {
		c.drawLine("d", point{x, 44}, point{x, line - 2})
	}
	c.writeText("n", point{left + 12, line + 36}, r.Letter)
	return line + 42
}

// Cards is sheets that lie beside each other, with large words on them.
type Cards struct {
	What   string
	Labels []string   // below each
	Words  [][]string // on each, from its middle down
	Pin    bool       // through the upper left corner of the first, and out of the others at the right
}

func (k Cards) Describe() (title, desc string) {
	var out []string
	for i, label := range k.Labels {
		out = append(out, fmt.Sprintf("%s: %s.", strings.ToUpper(label[:1])+label[1:], strings.Join(k.Words[i], ", ")))
	}
	if k.Pin {
		out = append(out, "A pin goes through the upper left corner of the first, and comes out at the upper right of the other.")
	}
	return k.What, strings.Join(out, " ")
}

func (k Cards) draw(c *canvas) float64 {
	const across, high = 92.0, 112.0
	gap := (wide - across*float64(len(k.Labels))) / float64(len(k.Labels)+1)
	for i, label := range k.Labels {
		x := gap + float64(i)*(across+gap)
		c.drawBox("o", x, 14, x+across, 14+high)
		y := 14 + high/2 - 10*float64(len(k.Words[i])-1)
		for _, w := range k.Words[i] {
			c.writeText("n", point{x + across/2, y + 6}, w)
			y += 22
		}
		if k.Pin {
			at := point{x + 14, 28}
			if i > 0 {
				at.x = x + across - 14
			}
			c.drawArea("s", ring(at, 3)...)
			if i == 0 {
				c.drawLine("f", at, point{at.x - 8, 6})
				c.drawArea("s", ring(point{at.x - 8, 6}, 4)...)
			}
		}
		c.writeText("c", point{x + across/2, 14 + high + 16}, label)
	}
	return 14 + high + 24
}
