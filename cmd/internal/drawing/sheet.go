package drawing

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

// Print is what is printed on one side of a sheet, or of a piece of it, as it
// is looked at. Lengths are in mm, the origin at the lower left.
type Print struct {
	Size   geom.Size
	Panels []Panel
	Names  []Line // where side names stand
}

// Panel is where a page stands.
type Panel struct {
	Rect geom.Rect
	Head geom.Towards
	Page string // empty: a blank

	Spare bool // no page stands there: it is a piece that is left over
}

// Line is where a side name stands, from its beginning to its end.
type Line struct{ From, To geom.Point }

// Turn is the print after counter-clockwise quarter turns.
func (p Print) Turn(quarters int) Print {
	m := geom.Rotate(quarters)
	b := m.Bounds(p.Size.Rect())
	return p.move(m.Then(geom.Translate(-b.X0, -b.Y0)), quarters, b.Size())
}

// Part is a part of the print by itself.
func (p Print) Part(r geom.Rect) Print {
	p.Panels = slices.DeleteFunc(slices.Clone(p.Panels), func(panel Panel) bool { return !panel.Rect.IsWithin(r, 0.01) })
	p.Names = slices.DeleteFunc(slices.Clone(p.Names), func(l Line) bool {
		return !geom.Rect{X0: l.From.X, Y0: l.From.Y, X1: l.From.X, Y1: l.From.Y}.IsWithin(r, 0.01)
	})
	return p.move(geom.Translate(-r.X0, -r.Y0), 0, r.Size())
}

func (p Print) move(m geom.Matrix, quarters int, size geom.Size) Print {
	out := Print{Size: size}
	out.Panels = lists.Map(p.Panels, func(panel Panel) Panel {
		return Panel{m.Bounds(panel.Rect), panel.Head.Turn(quarters % 4), panel.Page, panel.Spare}
	})
	out.Names = lists.Map(p.Names, func(l Line) Line { return Line{m.Apply(l.From), m.Apply(l.To)} })
	return out
}

// nearestEdge is which edge of a side is nearest the person.
func nearestEdge(s geom.Size) string {
	switch {
	case s.W > s.H:
		return ", a long edge nearest you"
	case s.W < s.H:
		return ", a short edge nearest you"
	}
	return ""
}

// desc says which page stands where: row by row from the far edge, from the left.
func (p Print) desc() string {
	rows := p.rows()
	out := strings.Join(lists.Map(rows, func(row []Panel) string { return strings.Join(lists.Map(row, Panel.String), ", ") }), "; then ")
	if len(rows) > 1 {
		out = "in rows from the far edge, " + out
	}
	if len(p.Panels) == 0 {
		out = "nothing is printed"
	}
	return out
}

func (p Panel) String() string {
	if p.Page == "" {
		return map[bool]string{false: "a blank page", true: "a spare piece"}[p.Spare]
	}
	name := "page " + p.Page
	switch p.Head {
	case geom.Left:
		return name + " with its head to the left"
	case geom.Right:
		return name + " with its head to the right"
	case geom.Down:
		return name + " upside down"
	}
	return name
}

// rows is the panels, row by row from the top, each from the left.
func (p Print) rows() [][]Panel {
	panels := slices.Clone(p.Panels)
	slices.SortStableFunc(panels, func(a, b Panel) int {
		if math.Abs(b.Rect.Y0-a.Rect.Y0) > 0.01 {
			return cmp.Compare(b.Rect.Y0, a.Rect.Y0)
		}
		return cmp.Compare(a.Rect.X0, b.Rect.X0)
	})
	var rows [][]Panel
	for i, panel := range panels {
		if i == 0 || panels[i-1].Rect.Y0-panel.Rect.Y0 > 0.01 {
			rows = append(rows, nil)
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], panel)
	}
	return rows
}

// draw draws the print into a box with the given upper left corner and returns
// its height.
func (p Print) draw(c *canvas, at point, most geom.Size) float64 {
	scale := math.Min(most.W/p.Size.W, most.H/p.Size.H)
	to := func(q geom.Point) point { return point{at.x + q.X*scale, at.y + (p.Size.H-q.Y)*scale} }
	corners := func(r geom.Rect) []point {
		return []point{to(geom.Point{X: r.X0, Y: r.Y0}), to(geom.Point{X: r.X1, Y: r.Y0}), to(geom.Point{X: r.X1, Y: r.Y1}), to(geom.Point{X: r.X0, Y: r.Y1})}
	}
	c.drawArea("o", corners(p.Size.Rect())...)
	for _, panel := range p.Panels {
		c.drawArea("h", corners(panel.Rect)...)
	}
	for _, panel := range p.Panels {
		panel.draw(c, to, scale)
	}
	if len(p.Panels) == 0 {
		c.writeTag(to(p.Size.Rect().Centre()), "blank")
	}
	c.drawLines("y", lists.Map(p.Names, func(l Line) []point { return []point{to(l.From), to(l.To)} }))
	return p.Size.H * scale
}

// draw writes the page's number as the page stands, below a bar at its head.
func (p Panel) draw(c *canvas, to func(geom.Point) point, scale float64) {
	centre := p.Rect.Centre()
	w, h := p.Rect.Size().W, p.Rect.Size().H
	if p.Head == geom.Left || p.Head == geom.Right {
		w, h = h, w
	}
	up := p.Head.Unit()
	right := geom.Point{X: up.Y, Y: -up.X}
	// at is a place in the panel, in units of the drawing, as the page is read.
	at := func(x, y float64) point {
		x, y = x/scale, y/scale
		return to(geom.Point{X: centre.X + right.X*x + up.X*y, Y: centre.Y + right.Y*x + up.Y*y})
	}
	degrees := -90 * p.Head.Quarters()
	if p.Page == "" {
		if w*scale > 40 {
			c.writeTurned("c", at(0, -4), map[bool]string{false: "blank", true: "spare"}[p.Spare], degrees)
		}
		return
	}
	half := w * scale / 2
	top := h*scale/2 - math.Min(8, h*scale*0.12)
	c.drawLine("k", at(-half*0.55, top), at(half*0.55, top))
	class, drop := "n", 6.0
	if w*scale < 55 || h*scale < 45 {
		class, drop = "m", 4+math.Min(3, h*scale*0.08)
	}
	c.writeTurned(class, at(0, -drop), p.Page, degrees)
}

// Laid is a side of a sheet that lies on the table, under its label.
type Laid struct {
	What  string // it is, as a title
	Label string
	Print
}

func (l Laid) Describe() (title, desc string) {
	return l.What, strings.ToUpper(l.Label[:1]) + l.Label[1:] + nearestEdge(l.Size) + ": " + l.Print.desc() + "."
}

func (l Laid) draw(c *canvas) float64 {
	c.writeText("b", point{1, letterHigh}, l.Label)
	y := letterHigh + 8 + l.Print.draw(c, point{1, letterHigh + 8}, geom.Size{W: 190, H: 170}) + lineHigh + 2
	c.writeText("", point{1, y}, "your side is below")
	return y + 6
}
