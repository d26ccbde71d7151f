package drawing

import (
	"fmt"
	"math"
)

// Spans is the two lengths of a test sheet that are measured with a ruler, from corner to corner.
type Spans struct {
	Side          Content // Front: between letters; Back: between numbers
	Across, Along string  // what they should be
}

func (s Spans) Describe() (title, desc string) {
	n := cornersOf[s.Side]
	title = fmt.Sprintf("From %s to %s, and from %s to %s", n[0], n[1], n[3], n[0])
	return title, fmt.Sprintf("The test sheet with its %s towards you. One line runs along its upper edge, from %s to %s: it should be %s long. The other runs up its left edge, from %s to %s: it should be %s long.",
		s.Side, n[0], n[1], s.Across, n[3], n[0], s.Along)
}

func (s Spans) draw(c *canvas) float64 {
	h := held{corner: point{90, 24}, wide: 120, high: 156}
	h.drawOutline(c)
	n := cornersOf[s.Side]
	in := 18.0
	var marks [4]point
	for i, at := range []point{{in, in}, {h.wide - in, in}, {h.wide - in, h.high - in}, {in, h.high - in}} {
		marks[i] = point{h.corner.x + at.x, h.corner.y + at.y}
		c.drawLine("", point{marks[i].x - 6, marks[i].y}, point{marks[i].x + 6, marks[i].y})
		c.drawLine("", point{marks[i].x, marks[i].y - 6}, point{marks[i].x, marks[i].y + 6})
	}
	h.writeCorners(c, "m", n, in+13)
	c.drawLine("k", marks[0], marks[1])
	c.drawLine("k", marks[3], marks[0])
	c.writeText("c", point{h.corner.x + h.wide/2, 16}, s.Across)
	c.writeText("", point{8, h.corner.y + h.high/2}, s.Along)
	h.write(c, "c", 0.5, 0.5, s.Side.String())
	return h.corner.y + h.high + 8
}

// Margin is how far the cross N lies from the left edge and the lower one.
type Margin struct{ Left, Lower string } // what they should be

func (m Margin) Describe() (title, desc string) {
	return "How far the cross N lies from the edges",
		fmt.Sprintf("The lower left corner of the front. From the left edge of the paper to the middle of the cross N it should be %s, from the lower edge %s.", m.Left, m.Lower)
}

func (m Margin) draw(c *canvas) float64 {
	left, low := 40.0, 150.0
	cross := point{150, 66}
	c.drawLine("f", point{left, 8}, point{left, low}, point{280, low})
	c.drawLine("", point{cross.x - 12, cross.y}, point{cross.x + 12, cross.y})
	c.drawLine("", point{cross.x, cross.y - 12}, point{cross.x, cross.y + 12})
	c.writeText("n", point{cross.x + 24, cross.y - 14}, "N")
	c.drawArrow("", point{cross.x - 16, cross.y}, point{left + 6, cross.y})
	c.drawArrow("", point{cross.x, cross.y + 16}, point{cross.x, low - 6})
	c.writeText("", point{left + 8, cross.y - 8}, m.Left)
	c.writeText("", point{cross.x + 8, (cross.y+low)/2 + 8}, m.Lower)
	c.writeText("", point{left + 6, low + 16}, "edge of the paper")
	return low + 24
}

// Light is a vernier of the test sheet against the light: the row with numbers is on the front,
// the other one shines through from the back.
type Light struct {
	Front, Back float64 // how far apart the lines of each row are, mm
	Reading     float64 // what is read on it, mm: a multiple of the difference
}

// Meets is the line of the front that meets one of the back, from the zero line.
func (l Light) Meets() int { return int(math.Round(l.Reading / (l.Front - l.Back))) }

func (l Light) Describe() (title, desc string) {
	return "Which numbered line meets a line of the other row?",
		fmt.Sprintf("A row of lines with the numbers of millimetres, and below it a row of lines without. Here line number %d after the 0 meets a line of the other row exactly: the reading is %g.", l.Meets(), l.Reading)
}

func (l Light) draw(c *canvas) float64 {
	const middle, unit, lines = 150.0, 3.6, 8
	perMM := int(math.Round(1 / (l.Front - l.Back)))
	var front, back [][]point
	for i := -lines; i <= lines; i++ {
		x := middle + float64(i)*l.Front*unit
		if math.Abs(x-middle) > 128 {
			continue
		}
		front = append(front, []point{{x, 28}, {x, 66}})
		if i%perMM == 0 {
			text := fmt.Sprintf("%+d", i/perMM)
			if i == 0 {
				text = "0"
			}
			c.writeText("m", point{x, 22}, text)
		}
	}
	for i := -lines - 1; i <= lines+1; i++ {
		x := middle + (float64(i)*l.Back+l.Reading)*unit
		if math.Abs(x-middle) <= 128 {
			back = append(back, []point{{x, 66}, {x, 104}})
		}
	}
	c.drawLines("h", front)
	c.drawLines("h", back)
	at := middle + float64(l.Meets())*l.Front*unit
	c.drawLine("k", point{at, 28}, point{at, 104})
	c.drawArrow("", point{at, 128}, point{at, 110})
	c.writeText("c", point{at, 142}, fmt.Sprintf("these meet: %g", l.Reading))
	return 150
}

// Four is where four things are read on a test sheet: at the middle of each edge.
type Four struct{ Side Content }

func (f Four) Describe() (title, desc string) {
	return "Top, right, bottom and left of the " + f.Side.String(),
		fmt.Sprintf("The test sheet with its %s towards you, its arrow pointing up. At the middle of each edge is a row of lines.", f.Side)
}

func (f Four) draw(c *canvas) float64 {
	h := held{corner: point{96, 22}, wide: 108, high: 140}
	h.drawOutline(c)
	h.writeCorners(c, "m", cornersOf[f.Side], 14)
	var rows [][]point
	for i := -3.0; i <= 3; i++ {
		by := 6 * i
		rows = append(rows, []point{h.at(0.5+by/h.wide, 0.03), h.at(0.5+by/h.wide, 0.1)}, []point{h.at(0.5+by/h.wide, 0.9), h.at(0.5+by/h.wide, 0.97)},
			[]point{h.at(0.03, 0.5+by/h.high), h.at(0.12, 0.5+by/h.high)}, []point{h.at(0.88, 0.5+by/h.high), h.at(0.97, 0.5+by/h.high)})
	}
	c.drawLines("", rows)
	c.drawArrow("k", h.at(0.5, 0.72), h.at(0.5, 0.3))
	c.writeText("c", point{150, 15}, "top")
	c.writeText("", point{h.corner.x + h.wide + 6, h.corner.y + h.high/2}, "right")
	c.writeText("c", point{150, h.corner.y + h.high + 15}, "bottom")
	c.writeText("e", point{h.corner.x - 18, h.corner.y + h.high/2}, "left")
	return h.corner.y + h.high + 24
}

// Ladder is the steps at an edge of the test sheet of a printer that stops short of it.
type Ladder struct {
	Steps   int // of the ladder: step 1 ends 1 mm from the edge
	Reaches int // the outermost step that has its black end
}

func (l Ladder) Describe() (title, desc string) {
	return "Which is the outermost step with its black end?",
		fmt.Sprintf("A ladder of %d steps at the edge of the paper. The ends of the first %d are cut off. Step %d has its black end, so the answer is %d.", l.Steps, l.Reaches-1, l.Reaches, l.Reaches)
}

func (l Ladder) draw(c *canvas) float64 {
	const edge, left, foot, mm = 20.0, 22.0, 128.0, 5.6
	pitch := 252 / float64(l.Steps)
	c.drawLine("f", point{8, edge}, point{292, edge})
	c.writeText("", point{10, edge - 6}, "edge of the paper")
	var steps, ends [][]point
	for step := 1; step <= l.Steps; step++ {
		x := left + pitch*float64(step-1)
		top := edge + mm*float64(max(step, l.Reaches))
		steps = append(steps, []point{{x, foot}, {x, top}, {x + pitch*0.7, top}, {x + pitch*0.7, foot}})
		if step >= l.Reaches {
			ends = append(ends, []point{{x, top}, {x + pitch*0.7, top}})
		}
		if step%5 == 0 {
			c.writeText("c", point{x + pitch*0.35, foot + 14}, fmt.Sprint(step))
		}
	}
	c.drawLines("h", steps)
	c.drawLines("k", ends)
	x := left + pitch*(float64(l.Reaches)-0.65)
	c.drawArrow("", point{x, foot + 34}, point{x, foot + 8})
	c.writeText("", point{x + 6, foot + 34}, fmt.Sprintf("here: %d", l.Reaches))
	return foot + 42
}
