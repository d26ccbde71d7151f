package main

import (
	"math"
	"math/rand/v2"
	"slices"

	"codeberg.org/go-pdf/fpdf"
)

// point is a place on a drawing in mm, x to the right and y downwards.
type point struct{ x, y float64 }

// pen draws in a frame of its own: origin and scale map a drawing's mm to the page's.
type pen struct {
	doc   *fpdf.Fpdf
	at    point
	scale float64
	rng   *rand.Rand
}

// newPen gives a pen for a drawing whose origin lies at (x, y) of the page. The seed is for stipple,
// waves and rocks.
func newPen(p press, x, y, scale float64, seed uint64) *pen {
	p.doc.SetLineCapStyle("round")
	p.doc.SetLineJoinStyle("round")
	p.doc.SetDrawColor(0, 0, 0)
	return &pen{p.doc, point{x, y}, scale, rand.New(rand.NewPCG(seed, 0xd7a3))}
}

func (d *pen) to(p point) (x, y float64) { return d.at.x + p.x*d.scale, d.at.y + p.y*d.scale }

// weight sets the width of lines in mm of the page.
func (d *pen) weight(mm float64) { d.doc.SetLineWidth(mm) }

func (d *pen) line(x1, y1, x2, y2 float64) { d.poly(point{x1, y1}, point{x2, y2}) }

func (d *pen) poly(points ...point) {
	d.trace(points)
	d.doc.DrawPath("D")
}

func (d *pen) trace(points []point) {
	for i, p := range points {
		x, y := d.to(p)
		if i == 0 {
			d.doc.MoveTo(x, y)
		} else {
			d.doc.LineTo(x, y)
		}
	}
}

// shape draws a closed outline and fills it with a grey first, 0 black to 255 white; a grey
// below nought leaves it open.
func (d *pen) shape(grey int, points ...point) {
	d.trace(points)
	d.doc.ClosePath()
	if grey < 0 {
		d.doc.DrawPath("D")
		return
	}
	d.doc.SetFillColor(grey, grey, grey)
	d.doc.DrawPath("FD")
}

// fill fills without an outline.
func (d *pen) fill(grey int, points ...point) {
	d.trace(points)
	d.doc.ClosePath()
	d.doc.SetFillColor(grey, grey, grey)
	d.doc.DrawPath("F")
}

const paper, ink = 255, 0

// curve draws a smooth line through the points.
func (d *pen) curve(points ...point) {
	x, y := d.to(points[0])
	d.doc.MoveTo(x, y)
	for i := 0; i+1 < len(points); i++ {
		a, b, c, e := around(points, i, false)
		x1, y1 := d.to(point{b.x + (c.x-a.x)/6, b.y + (c.y-a.y)/6})
		x2, y2 := d.to(point{c.x - (e.x-b.x)/6, c.y - (e.y-b.y)/6})
		x, y := d.to(c)
		d.doc.CurveBezierCubicTo(x1, y1, x2, y2, x, y)
	}
	d.doc.DrawPath("D")
}

// blob draws a smooth closed outline through the points, filled as shape does.
func (d *pen) blob(grey int, points ...point) { d.shape(grey, smooth(points, true)...) }

// smooth puts points of a Catmull-Rom spline between the given ones.
func smooth(points []point, closed bool) []point {
	spans := len(points) - 1
	if closed {
		spans = len(points)
	}
	var out []point
	for i := range spans {
		a, b, c, e := around(points, i, closed)
		const steps = 6
		for s := range steps {
			t := float64(s) / steps
			blend := func(a, b, c, e float64) float64 {
				return 0.5 * (2*b + (c-a)*t + (2*a-5*b+4*c-e)*t*t + (3*b-a-3*c+e)*t*t*t)
			}
			out = append(out, point{blend(a.x, b.x, c.x, e.x), blend(a.y, b.y, c.y, e.y)})
		}
	}
	if !closed {
		out = append(out, points[len(points)-1])
	}
	return out
}

// around gives the points of span i, from b to c, and their neighbours a and e.
func around(points []point, i int, closed bool) (a, b, c, e point) {
	n := len(points)
	at := func(i int) point {
		if closed {
			return points[(i+n)%n]
		}
		return points[min(max(i, 0), n-1)]
	}
	return at(i - 1), at(i), at(i + 1), at(i + 2)
}

func (d *pen) ellipse(x, y, rx, ry float64, grey int) {
	cx, cy := d.to(point{x, y})
	style := "D"
	if grey >= 0 {
		d.doc.SetFillColor(grey, grey, grey)
		style = "FD"
	}
	d.doc.Ellipse(cx, cy, rx*d.scale, ry*d.scale, 0, style)
}

// dots are lines without length; the round cap makes them. The radius is in mm of the page.
func (d *pen) dots(r float64, places ...point) {
	d.weight(2 * r)
	for _, q := range places {
		d.poly(q, q)
	}
}

// arc draws part of an ellipse, degrees counted anticlockwise from the right.
func (d *pen) arc(x, y, rx, ry, from, to float64) {
	cx, cy := d.to(point{x, y})
	d.doc.Arc(cx, cy, rx*d.scale, ry*d.scale, 0, from, to, "D")
}

// hatch fills an outline with parallel lines, the way an engraver makes a grey.
func (d *pen) hatch(outline []point, degrees, gap float64) {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	turn := func(p point) point { return point{p.x*cos + p.y*sin, -p.x*sin + p.y*cos} }
	back := func(p point) point { return point{p.x*cos - p.y*sin, p.x*sin + p.y*cos} }
	turned := make([]point, len(outline))
	low, high := math.Inf(1), math.Inf(-1)
	for i, p := range outline {
		turned[i] = turn(p)
		low, high = min(low, turned[i].y), max(high, turned[i].y)
	}
	for y := low + gap/2; y < high; y += gap {
		var crossings []float64
		for i, a := range turned {
			b := turned[(i+1)%len(turned)]
			if (a.y <= y) != (b.y <= y) {
				crossings = append(crossings, a.x+(b.x-a.x)*(y-a.y)/(b.y-a.y))
			}
		}
		slices.Sort(crossings)
		for i := 0; i+1 < len(crossings); i += 2 {
			d.poly(back(point{crossings[i], y}), back(point{crossings[i+1], y}))
		}
	}
}

// sea rules rows of short strokes, closer and finer towards the horizon at the top.
func (d *pen) sea(x1, x2, top, bottom float64, rows int) {
	for r := range rows {
		t := float64(r) / float64(rows)
		y := top + (bottom-top)*math.Pow(t, 1.5)
		for x := x1 + d.rng.Float64()*4; x < x2; {
			length := (1.5 + 7*d.rng.Float64()) * (0.5 + t)
			end := min(x+length, x2)
			sag := 0.25 * (0.4 + t)
			d.curve(point{x, y}, point{x + (end-x)*0.35, y - sag}, point{x + (end-x)*0.7, y + sag/2}, point{end, y})
			x = end + (1+5*d.rng.Float64())*(0.4+t)
		}
	}
}

// ragged puts a rough outline between two points, as broken rock has.
func (d *pen) ragged(from, to point, roughness float64, depth int) []point {
	if depth == 0 {
		return []point{from}
	}
	middle := point{(from.x+to.x)/2 + (d.rng.Float64()-0.5)*roughness*0.5, (from.y+to.y)/2 + (d.rng.Float64()-0.5)*roughness}
	return append(d.ragged(from, middle, roughness/2, depth-1), d.ragged(middle, to, roughness/2, depth-1)...)
}

// rock draws a mass of stone through the given crest, down to its base, lit from the left.
func (d *pen) rock(base float64, crest ...point) {
	var outline []point
	for i := 0; i+1 < len(crest); i++ {
		outline = append(outline, d.ragged(crest[i], crest[i+1], 3, 4)...)
	}
	end := crest[len(crest)-1]
	outline = append(outline, end, point{end.x, base}, point{crest[0].x, base})
	d.fill(paper, outline...)
	d.weight(0.12)
	d.hatch(outline, 62, 1.1)
	half := []point{}
	middle := (crest[0].x + end.x) / 2
	for _, p := range outline {
		half = append(half, point{max(p.x, middle+(p.y-base)*0.15), p.y})
	}
	d.hatch(half, 108, 0.8)
	d.weight(0.3)
	d.poly(outline[:len(outline)-2]...)
}

// gull draws a distant bird as two strokes.
func (d *pen) gull(x, y, span float64) {
	d.curve(point{x - span, y - span*0.25}, point{x - span*0.5, y - span*0.4}, point{x, y})
	d.curve(point{x, y}, point{x + span*0.5, y - span*0.45}, point{x + span, y - span*0.2})
}

// words letters a drawing; size in points.
func (d *pen) words(p press, f face, size, x, y float64, text string) {
	px, py := d.to(point{x, y})
	p.centre(f, size, px, py, text)
}
