package main

import (
	"fmt"
	"math"
)

// island draws land on a chart: a shore with a hatched rim and, outside it, the shoal line.
func (d *pen) island(x, y, rx, ry float64, shoal bool) {
	var shore, shallow []point
	const n = 13
	for i := range n {
		sin, cos := math.Sincos(float64(i) / n * 2 * math.Pi)
		r := 0.78 + 0.44*d.rng.Float64()
		shore = append(shore, point{x + cos*rx*r, y + sin*ry*r})
		shallow = append(shallow, point{x + cos*(rx*r+2), y + sin*(ry*r+2)})
	}
	if shoal {
		d.dotted(smooth(shallow, true))
	}
	outline := smooth(shore, true)
	d.weight(0.28)
	d.shape(paper, outline...)
	d.weight(0.1)
	d.hatch(outline, 45, 0.7)
}

// dotted marks a depth line.
func (d *pen) dotted(points []point) {
	for i := 0; i < len(points); i += 2 {
		d.dots(0.13, points[i])
	}
}

// rose is a compass rose with north up.
func (d *pen) rose(p press, x, y, r float64) {
	d.weight(0.15)
	d.ellipse(x, y, r, r, -1)
	d.ellipse(x, y, r*0.94, r*0.94, -1)
	for i := range 32 {
		sin, cos := math.Sincos(float64(i) / 32 * 2 * math.Pi)
		from := 0.94
		if i%4 == 0 {
			from = 0.86
		}
		d.line(x+cos*r*from, y+sin*r*from, x+cos*r, y+sin*r)
	}
	for i := range 8 {
		a := float64(i)*math.Pi/4 - math.Pi/2
		length := r * 0.82
		if i%2 == 1 {
			length = r * 0.5
		}
		tip := point{x + math.Cos(a)*length, y + math.Sin(a)*length}
		for _, side := range []float64{-1, 1} {
			b := a + side*math.Pi/8
			waist := point{x + math.Cos(b)*r*0.2, y + math.Sin(b)*r*0.2}
			grey := paper
			if side > 0 {
				grey = 40
			}
			d.shape(grey, point{x, y}, waist, tip)
		}
	}
	d.words(p, smallCaps, textSize, x, y-r-1.2, "N")
}

// soundings scatters depths in fathoms where keep allows; depth says how deep.
func (d *pen) soundings(p press, count int, x1, y1, x2, y2 float64, keep func(x, y float64) bool, depth func(x, y float64) float64) {
	var placed []point
	for tries := 0; len(placed) < count && tries < count*40; tries++ {
		q := point{x1 + (x2-x1)*d.rng.Float64(), y1 + (y2-y1)*d.rng.Float64()}
		free := keep(q.x, q.y)
		for _, o := range placed {
			free = free && math.Hypot(o.x-q.x, o.y-q.y) > 6.2
		}
		if free {
			placed = append(placed, q)
			d.words(p, italic, 5.8, q.x, q.y+0.8, fmt.Sprint(int(depth(q.x, q.y)+1.4*d.rng.Float64())))
		}
	}
}

func (d *pen) border(x1, y1, x2, y2 float64) {
	d.weight(0.35)
	d.poly(point{x1, y1}, point{x2, y1}, point{x2, y2}, point{x1, y2}, point{x1, y1})
	d.weight(0.15)
	d.poly(point{x1 + 2, y1 + 2}, point{x2 - 2, y1 + 2}, point{x2 - 2, y2 - 2}, point{x1 + 2, y2 - 2}, point{x1 + 2, y1 + 2})
	for t := 0.0; t < 1; t += 1.0 / 24 {
		x, y := x1+2+(x2-x1-4)*t, y1+2+(y2-y1-4)*t
		d.line(x, y1, x, y1+2)
		d.line(x, y2-2, x, y2)
		d.line(x1, y, x1+2, y)
		d.line(x2-2, y, x2, y)
	}
}

// named is a place on a chart.
type named struct {
	x, y, rx, ry float64
	name         string
	below        bool
}

// drawSkerries is the keepers' own chart of the rocks about the light.
func drawSkerries(p press, left float64) {
	d := newPen(p, left, headMargin, 1, 66)
	const w, h = measure, 148.0
	d.border(0, 0, w, h)
	rocks := []named{
		{56, 74, 13, 9, "Larkhaven Light", false},
		{80, 62, 7, 5, "The Calf", false},
		{28, 104, 6, 3.4, "Sill Skerry", true},
		{17, 119, 2.6, 1.8, "", true},
		{24, 122.4, 2, 1.5, "The Anvils", true},
		{31, 119.8, 1.7, 1.3, "", true},
		{72, 96, 3, 2, "Hen Rock", true},
		{90, 88, 2.4, 4, "The Needle", true},
		{40, 46, 4, 2.6, "Mickle Sker", false},
		{32, 51, 1.7, 1.3, "", true},
	}
	label := func(r named) (x, y float64) {
		if r.below {
			return r.x, r.y + r.ry + 5
		}
		return r.x, r.y - r.ry - 3.4
	}
	keep := func(x, y float64) bool {
		if x > 62 && y < 48 || x < 50 && y < 27 || y > 129 && x > 12 {
			return false
		}
		for _, r := range rocks {
			lx, ly := label(r)
			if math.Hypot((x-r.x)/(r.rx+6), (y-r.y)/(r.ry+6)) < 1 || r.name != "" && math.Abs(x-lx) < 3+0.7*float64(len(r.name)) && math.Abs(y-ly) < 3.6 {
				return false
			}
		}
		return true
	}
	d.soundings(p, 130, 6, 6, w-6, h-6, keep, func(x, y float64) float64 {
		return 3 + 0.16*math.Hypot(x-56, y-74) + 4*math.Max(0, (y-100)/40)
	})
	for _, r := range rocks {
		d.island(r.x, r.y, r.rx, r.ry, true)
	}
	for _, r := range rocks {
		x, y := label(r)
		d.words(p, italic, 7, x, y, r.name)
	}
	d.weight(0.3)
	d.ellipse(56, 74, 1.5, 1.5, paper)
	d.dots(0.6, point{56, 74})
	d.weight(0.1)
	for i := range 24 {
		sin, cos := math.Sincos(float64(i) / 24 * 2 * math.Pi)
		d.line(56+cos*2.2, 74+sin*2.2, 56+cos*4, 74+sin*4)
	}
	// where the barque struck
	d.weight(0.25)
	for _, a := range []float64{0, math.Pi / 3, 2 * math.Pi / 3} {
		d.line(36-1.6*math.Cos(a), 133-1.6*math.Sin(a), 36+1.6*math.Cos(a), 133+1.6*math.Sin(a))
	}
	d.words(p, italic, 7, 36, 139, "2 fathoms: here struck")
	d.words(p, italic, 7, 36, 142.4, "the Antonia Vey")
	d.rose(p, 85, 26, 13)
	p.left(smallCaps, 11, left+8, headMargin+13, "The Skerries")
	p.left(italic, 7, left+8, headMargin+18, "from the gallery, by A. Tolleray;")
	p.left(italic, 7, left+8, headMargin+22, "N. Wrennick held the string")
	scaleBar(p, d, 68, 139, 30, "half a mile")
	caption(p, left, "Chart of the skerries; soundings in fathoms at low water")
}

func scaleBar(p press, d *pen, x, y, length float64, text string) {
	d.weight(0.2)
	for i := range 4 {
		grey := paper
		if i%2 == 0 {
			grey = ink
		}
		step := length / 4
		d.shape(grey, point{x + step*float64(i), y}, point{x + step*float64(i+1), y}, point{x + step*float64(i+1), y + 1}, point{x + step*float64(i), y + 1})
	}
	d.words(p, italic, 6.4, x+length/2, y-1.4, text)
}

// drawCoast is drawn 210 mm wide and 148 high and laid a quarter turn anticlockwise on the upright page; the
// page's own turn sets it upright again on the screen.
func drawCoast(p press, _ float64) {
	p.doc.TransformBegin()
	p.doc.TransformRotate(90, 0, pageHeight)
	p.doc.TransformTranslate(0, pageHeight)
	defer p.doc.TransformEnd()

	const x0, y0 = 26.0, 22.0 // the drawing's corner on the wide page
	d := newPen(p, x0, y0, 1, 67)
	const w, h = 160.0, 98.0
	d.border(0, 0, w, h)
	shore := []point{
		{2, 40}, {10, 38}, {17, 43}, {24, 49}, {31, 46}, {36, 38}, {44, 34}, {53, 36}, {60, 31}, {66, 24}, {72, 27},
		{77, 33}, {84, 34}, {92, 29}, {101, 27}, {109, 31}, {116, 29}, {124, 34}, {131, 42}, {138, 44}, {144, 39}, {150, 41}, {158, 36},
	}
	line := smooth(shore, false)
	rough := []point{}
	for i := 0; i+1 < len(line); i++ {
		rough = append(rough, d.ragged(line[i], line[i+1], 1.1, 2)...)
	}
	rough = append(rough, line[len(line)-1])
	land := append(append([]point{}, rough...), point{158, 2}, point{2, 2})
	d.weight(0.1)
	d.hatchRim(rough, 2.6)
	for _, off := range []float64{5, 11} {
		var depth []point
		for i := 0; i < len(line); i += 1 {
			depth = append(depth, point{line[i].x, line[i].y + off + 1.2*math.Sin(float64(i)*0.35)})
		}
		d.dotted(depth)
	}
	d.weight(0.3)
	d.poly(rough...)
	d.hills(land)
	depthAt := func(x float64) float64 {
		for i := 0; i+1 < len(shore); i++ {
			if x >= shore[i].x && x <= shore[i+1].x {
				return mix(shore[i].y, shore[i+1].y, (x-shore[i].x)/(shore[i+1].x-shore[i].x))
			}
		}
		return shore[0].y
	}
	keep := func(x, y float64) bool {
		switch {
		case y < depthAt(x)+6, math.Hypot(x-88, y-66) < 12, math.Abs(x-88) < 13 && math.Abs(y-57.6) < 3, math.Hypot(x-22, y-76) < 19,
			x > 104 && y > 77, math.Hypot(x-27, y-55) < 9, math.Hypot(x-138, y-51) < 9:
			return false
		}
		return true
	}
	d.soundings(p, 150, 7, 30, w-7, h-6, keep, func(x, y float64) float64 { return 1 + 0.42*(y-depthAt(x)) })
	for _, r := range []named{{88, 64, 3, 2, "", false}, {92, 61.6, 1.5, 1.1, "", false}, {82, 70, 1.4, 0.8, "", false}, {80, 73, 0.8, 0.6, "", false}} {
		d.island(r.x, r.y, r.rx, r.ry, true)
	}
	d.words(p, italic, 7.4, 88, 58.4, "Larkhaven Light")
	// sectors of light
	d.weight(0.12)
	for i := range 36 {
		sin, cos := math.Sincos(float64(i) / 36 * 2 * math.Pi)
		d.line(88+cos*8.4, 64+sin*8.4, 88+cos*9.6, 64+sin*9.6)
	}
	for _, place := range []named{
		{28, 53.6, 0, 0, "Orrin Head", false}, {138, 49, 0, 0, "Saltby Ness", false}, {73, 20.4, 0, 0, "Larkhaven", false},
		{104, 22, 0, 0, "Penny Sands", false}, {48, 28.6, 0, 0, "Dunnage Bay", false},
	} {
		d.words(p, italic, 7.4, place.x, place.y, place.name)
	}
	d.town(71, 23.4)
	d.rose(p, 22, 76, 14)
	p.centre(smallCaps, 13, x0+132, y0+84, "The Coast")
	p.centre(italic, 7, x0+132, y0+88.2, "from Orrin Head to Saltby Ness")
	scaleBar(p, d, 117, 93, 30, "two miles")
	p.centre(italic, textSize, x0+w/2, y0+h+7, "The coast about Larkhaven, from the survey of the cutter Meridian; soundings in fathoms")
}

// hatchRim strokes the land's side of a shore.
func (d *pen) hatchRim(shore []point, length float64) {
	for i := 0; i+1 < len(shore); i++ {
		q := shore[i]
		d.line(q.x, q.y, q.x, q.y-length*(0.5+0.5*d.rng.Float64()))
	}
}

// hills puts hachured summits on the land.
func (d *pen) hills(land []point) {
	for _, top := range []point{{16, 22}, {34, 19}, {56, 14}, {92, 14}, {118, 16}, {142, 22}} {
		d.weight(0.12)
		for ring := range 2 {
			n := 22 + 8*ring
			for i := range n {
				sin, cos := math.Sincos(float64(i)/float64(n)*2*math.Pi + 0.1*d.rng.Float64())
				r := 2 + 3.2*float64(ring)
				d.line(top.x+cos*r*1.5, top.y+sin*r*0.8, top.x+cos*(r+2)*1.5, top.y+sin*(r+2)*0.8)
			}
		}
	}
}

// town is a handful of houses and a church.
func (d *pen) town(x, y float64) {
	d.weight(0.15)
	for i := range 9 {
		hx := x - 6 + 1.6*float64(i)
		hy := y + 1 + 1.6*math.Abs(float64(i)-4)*0.35
		d.shape(ink, point{hx, hy}, point{hx, hy - 0.8}, point{hx + 0.9, hy - 0.8}, point{hx + 0.9, hy})
	}
	d.line(x-8, y-0.4, x-8, y-3)
	d.line(x-8.8, y-2.2, x-7.2, y-2.2)
}
