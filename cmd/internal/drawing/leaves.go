package drawing

import (
	"fmt"
	"math"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Leaves is the leaves of a gathering, seen from above its head, or with the spine at the
// top from one end of it: the spine at one side, the open edges at the other. Lengths are in mm.
type Leaves struct {
	Name    string // of the gathering
	Form    reorder.Form
	Leaves  int
	Wide    float64       // of a leaf, from the spine to the fore-edge
	Caliper float64       // the thickness of the paper, as far as it is known
	Creep   reorder.Creep // by which pages are moved for each thickness around them; 0: they are not
	Trimmed float64       // off the fore-edge of the outermost leaf
	Small   bool          // without words
}

// mostLeaves is how many leaves can be told apart; of more, the outermost are drawn.
const mostLeaves = 24

func (l Leaves) scheme() reorder.Scheme { return l.Form.Fold.Scheme() }

// isNested tells whether the leaves lie in one another.
func (l Leaves) isNested() bool { return l.scheme().Held == reorder.Sewn }

// Shift is by how many mm the innermost pages are moved towards the spine.
func (l Leaves) Shift() float64 {
	if !l.isNested() || l.Leaves < 2 {
		return 0
	}
	return l.Creep.At((l.Leaves+1)/2 - 1)
}

func (l Leaves) Describe() (title, desc string) {
	title = l.Name
	count := binding.LeavesText(l.Leaves)
	from := "Seen from above, the spine at the left: "
	if l.Form.Bind == reorder.BindRight {
		from = "Seen from above, the spine at the right: "
	}
	switch s := l.scheme(); {
	case s.Strip:
		return title, from + "one strip, folded to and fro, with " + count + "."
	case s.OneSided:
		return title, from + count + ", each a sheet folded at the fore-edge, held at the open edges."
	case !l.isNested():
		return title, from + count + " on each other, held at the spine."
	}
	desc = from + count + ", nested."
	switch shift := l.Shift(); {
	case shift > 0:
		desc += fmt.Sprintf(" The innermost pages are moved by %s mm towards the spine.", hundredths(shift))
	case l.Leaves > 3:
		desc += " Pages are not moved for creep."
	}
	if l.Trimmed > 0 {
		desc += " The fore-edge is trimmed."
	}
	return title, desc
}

// hundredths is a length in mm as exactly as anybody measures it.
func hundredths(mm float64) string { return geom.Millimetres(math.Round(mm*100) / 100) }

// Where a leaf lies in the drawing.
const (
	leafLeft, leafLong   = 24.0, 190.0
	printFrom, printLong = 22.0, 140.0 // what is printed, from the fold of the outermost leaf
	mostCreep            = 48.0
)

func (l Leaves) step() float64 { return min(9, max(3.2, 84/float64(l.countDrawn()))) }

// countDrawn is how many of the leaves are drawn.
func (l Leaves) countDrawn() int {
	if l.isNested() {
		return min(l.Leaves, mostLeaves)
	}
	return min(l.Leaves, mostLeaves/2)
}

// exaggeration is how much thicker paper is drawn than it is; 0: its thickness is not known.
func (l Leaves) exaggeration() float64 {
	if l.Caliper <= 0 || l.Wide <= 0 {
		return 0
	}
	return l.step() / (l.Caliper * leafLong / l.Wide)
}

func (l Leaves) draw(c *canvas) float64 {
	n, step := l.countDrawn(), l.step()
	thick := step * float64(l.Form.LeafThicknesses())
	const top = 10.0
	bottom := top + thick*float64(n-1)
	right := leafLeft + leafLong
	flip := func(x float64) float64 { return x }
	if l.Form.Bind == reorder.BindRight {
		flip = func(x float64) float64 { return wide - x }
	}
	at := func(x, y float64) point { return point{flip(x), y} }
	switch s := l.scheme(); {
	case s.Strip:
		points := []point{at(right, top)}
		for i := range n {
			y := top + thick*float64(i)
			points = append(points, at(leafLeft, y+thick/2), at(right, y+thick))
		}
		c.drawLine("", points...)
		bottom += thick
	case s.OneSided:
		for i := range n {
			y := top + thick*float64(i)
			c.drawLine("", at(leafLeft, y), at(right-2, y), at(right, y+step/2), at(right-2, y+step*0.8), at(leafLeft, y+step*0.8))
		}
		bottom += step
		c.drawLine("k", at(leafLeft, top-2), at(leafLeft, bottom))
	case !l.isNested():
		for i := range n {
			y := top + thick*float64(i)
			c.drawLine("", at(leafLeft, y), at(right, y))
		}
		c.drawLine("k", at(leafLeft, top-2), at(leafLeft, bottom+2))
	default:
		l.drawNested(c, at, top, step)
	}
	if l.Small {
		return bottom + top
	}
	return l.write(c, bottom)
}

// drawNested draws leaf in leaf. Each begins a thickness further out than the one around it and ends as much
// further; print stands in line where pages are moved, and else goes out with its leaf.
func (l Leaves) drawNested(c *canvas, at func(x, y float64) point, top, step float64) {
	n := l.countDrawn()
	deepest := (n+1)/2 - 1
	out := step
	if l.Creep > 0 && l.Caliper > 0 {
		out = step * float64(l.Creep) / l.Caliper
	}
	if deepest > 0 {
		out = min(out, mostCreep/float64(deepest))
	}
	var print [][]point
	for depth := range deepest + 1 {
		x := leafLeft + out*float64(depth)
		y, other := top+step*float64(depth), top+step*float64(n-1-depth)
		end := x + leafLong
		if y == other {
			c.drawLine("", at(x, y), at(end, y))
		} else {
			c.drawLine("", at(end, y), at(x+1.5, y), at(x, y+1.5), at(x, other-1.5), at(x+1.5, other), at(end, other))
		}
		from := leafLeft + printFrom + out*float64(deepest)
		if l.Creep == 0 {
			from = x + printFrom
		}
		for _, level := range []float64{y, other} {
			print = append(print, []point{at(from, level), at(from+printLong-mostCreep, level)})
		}
	}
	c.drawLines("k", print)
	if l.Trimmed > 0 && l.Wide > 0 {
		x := leafLeft + leafLong*(1-min(0.2, l.Trimmed/l.Wide))
		c.drawLine("d", at(x, top-8), at(x, top+step*float64(n-1)+8))
	}
}

// write writes what the drawing shows below it.
func (l Leaves) write(c *canvas, bottom float64) float64 {
	const spine, edge = "spine", "fore-edge"
	ends := [2]string{spine, edge} // from the left
	if l.Form.Bind == reorder.BindRight {
		ends = [2]string{edge, spine}
	}
	y := bottom + lineHigh + 4
	c.writeText("", point{8, y}, ends[0])
	c.writeText("", point{wide - 8 - letterWide*float64(len(ends[1])), y}, ends[1])
	lines := []string{}
	if l.isNested() {
		lines = append(lines, "thick lines: where print stands")
	}
	switch shift := l.Shift(); {
	case shift > 0:
		lines = append(lines, "the innermost pages are", fmt.Sprintf("moved by %s mm towards the spine", hundredths(shift)))
	case l.isNested() && l.Leaves > 3:
		lines = append(lines, "inner leaves stand out at the fore-edge;", "pages are not moved for that")
	}
	if l.Trimmed > 0 && l.isNested() {
		lines = append(lines, "dashed: the fore-edge is cut off here")
	}
	if drawn := l.countDrawn(); drawn < l.Leaves {
		lines = append(lines, fmt.Sprintf("%d of its %d leaves are drawn", drawn, l.Leaves))
	}
	if by := l.exaggeration(); by >= 1.5 {
		lines = append(lines, fmt.Sprintf("paper is drawn %d times too thick", int(math.Round(by))))
	}
	return writeCaptions(c, bottom+lineHigh, lines...)
}
