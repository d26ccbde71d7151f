package main

import (
	"math"
	"time"
)

// ornaments head the months. Each is drawn in a frame 48 mm wide, x from -24 to 24, and 24 mm high.
var ornaments = map[time.Month]func(d *pen){
	time.January:   towerOnRock,
	time.February:  fogBell,
	time.March:     shipsBoat,
	time.April:     goat,
	time.May:       puffin,
	time.June:      thrift,
	time.July:      yacht,
	time.August:    prism,
	time.September: smallBirdsInBeam,
	time.October:   anchor,
	time.November:  breakingSea,
	time.December:  shipsLantern,
}

const ornamentHeight = 24.0

func towerOnRock(d *pen) {
	d.weight(0.15)
	d.sea(-24, 24, 19, 24, 5)
	d.rock(22, point{-13, 22}, point{-8, 18.5}, point{-1, 17.5}, point{6, 18.5}, point{12, 22})
	smallTower(d, 0, 18, 15)
	d.weight(0.2)
	d.gull(-15, 8, 2)
	d.gull(-11, 5.5, 1.4)
	d.gull(14, 7, 1.7)
}

// smallTower draws the lighthouse with its foot at (x, y) and the given height.
func smallTower(d *pen, x, y, h float64) {
	foot, neck := h*0.13, h*0.085
	top := y - h*0.76
	d.weight(0.28)
	d.shape(paper, point{x - foot, y}, point{x - neck, top}, point{x + neck, top}, point{x + foot, y})
	d.weight(0.12)
	middle := func(t float64) float64 { return foot + (neck-foot)*t }
	d.hatch([]point{{x + foot*0.25, y}, {x + neck*0.25, top}, {x + neck, top}, {x + foot, y}}, 0, h*0.028)
	lower, upper := 0.42, 0.62
	d.fill(70, point{x - middle(lower), y - h*0.76*lower}, point{x - middle(upper), y - h*0.76*upper},
		point{x + middle(upper), y - h*0.76*upper}, point{x + middle(lower), y - h*0.76*lower})
	d.weight(0.28)
	d.shape(paper, point{x - neck*1.5, top}, point{x - neck*1.5, top - h*0.02}, point{x + neck*1.5, top - h*0.02}, point{x + neck*1.5, top})
	d.shape(paper, point{x - neck*0.85, top - h*0.02}, point{x - neck*0.85, top - h*0.13}, point{x + neck*0.85, top - h*0.13}, point{x + neck*0.85, top - h*0.02})
	d.weight(0.15)
	for _, t := range []float64{-0.3, 0.3} {
		d.line(x+neck*t, top-h*0.02, x+neck*t, top-h*0.13)
	}
	d.weight(0.28)
	d.shape(60, point{x - neck, top - h*0.13}, point{x, top - h*0.215}, point{x + neck, top - h*0.13})
	d.line(x, top-h*0.21, x, top-h*0.25)
}

func fogBell(d *pen) {
	d.weight(0.3)
	d.line(-9, 1.5, 9, 1.5)
	d.line(-9, 2.6, 9, 2.6)
	d.line(-8, 2.6, -10, 23)
	d.line(-6.9, 2.6, -8.6, 23)
	d.line(8, 2.6, 10, 23)
	d.line(6.9, 2.6, 8.6, 23)
	bellShape(d, 0, 4, 14)
	d.weight(0.15)
	d.sea(-24, -11, 21, 24, 3)
	d.sea(11, 24, 21, 24, 3)
}

// bellShape draws a bell that hangs from (x, y) with the given height.
func bellShape(d *pen, x, y, h float64) {
	side := []point{{0.09, 0}, {0.22, 0.06}, {0.3, 0.2}, {0.33, 0.45}, {0.4, 0.7}, {0.53, 0.9}, {0.56, 0.96}}
	var outline []point
	for i := len(side) - 1; i >= 0; i-- {
		outline = append(outline, point{x - side[i].x*h, y + side[i].y*h})
	}
	for _, p := range side {
		outline = append(outline, point{x + p.x*h, y + p.y*h})
	}
	body := smooth(outline, false)
	d.weight(0.3)
	d.ellipse(x, y+h*0.97, h*0.1, h*0.08, 40)
	d.shape(paper, body...)
	var shade []point
	for _, p := range body {
		shade = append(shade, point{max(p.x, x+h*0.1), p.y})
	}
	var deep []point
	for _, q := range body {
		deep = append(deep, point{max(q.x, x+h*0.24), q.y})
	}
	d.weight(0.1)
	d.hatch(shade, 84, h*0.03)
	d.hatch(deep, 62, h*0.026)
	d.weight(0.2)
	for _, t := range []float64{0.16, 0.72, 0.88} {
		i := 0
		for body[i].x < x && body[i].y > y+t*h {
			i++
		}
		half := x - body[i].x
		d.curve(point{x - half, y + t*h}, point{x, y + t*h + h*0.03}, point{x + half, y + t*h})
	}
	d.weight(0.3)
	d.ellipse(x, y-h*0.03, h*0.06, h*0.05, -1)
}

func shipsBoat(d *pen) {
	d.weight(0.15)
	d.sea(-24, 24, 17, 24, 6)
	hull := smooth([]point{{-13, 11}, {-11.5, 15}, {-7, 17.6}, {0, 18.3}, {7, 17.6}, {11.5, 15}, {14, 10}}, false)
	rim := smooth([]point{{14, 10}, {6, 13.2}, {0, 13.8}, {-6, 13.4}, {-13, 11}}, false)
	d.weight(0.3)
	d.shape(paper, append(hull, rim...)...)
	d.weight(0.15)
	for _, t := range []float64{0.35, 0.65} {
		var strake []point
		for _, p := range hull {
			strake = append(strake, point{p.x * (1 - 0.1*t), 13.2 + (p.y-13.2)*(1-t) + 0.4*t})
		}
		d.poly(strake[4 : len(strake)-4]...)
	}
	d.hatch(hull, 90, 0.7)
	for _, x := range []float64{-7, -2, 3, 8} {
		d.weight(0.25)
		d.line(x, 13, x-5, 19.5)
		d.ellipse(x-0.3, 9.2, 0.8, 0.95, paper)
		d.blob(90, point{x - 0.5, 10.2}, point{x - 1.6, 13.4}, point{x + 1.2, 13.6}, point{x + 0.6, 10.2})
	}
	d.weight(0.25)
	d.blob(60, point{11, 6.2}, point{10, 11.6}, point{12.4, 11.2}, point{12, 6.2})
	d.ellipse(11.5, 5.1, 0.85, 1, paper)
}

func goat(d *pen) {
	d.weight(0.3)
	d.blob(paper, point{-7, 9.5}, point{-8.2, 13}, point{-6, 15.4}, point{0, 15.8}, point{5.5, 15}, point{6.8, 11}, point{5, 8.6}, point{-2, 9.4})
	d.blob(paper, point{4.6, 9.4}, point{6.8, 5.8}, point{8, 4.4}, point{10, 4.6}, point{12.6, 7}, point{12.2, 8}, point{9.4, 8.2}, point{7.6, 12.4})
	d.curve(point{8, 4.4}, point{6.4, 1.6}, point{3.4, 0.9})
	d.curve(point{8.8, 4.3}, point{7.6, 1.2}, point{4.4, 0.2})
	d.curve(point{8.2, 5.2}, point{6, 5.6}, point{5.2, 6.6}, point{7.2, 6.4}, point{8.2, 5.6})
	d.curve(point{10.8, 8.2}, point{10.4, 10.2}, point{9.6, 10.8})
	d.curve(point{11.3, 8.1}, point{11.2, 10}, point{10, 10.9})
	d.dots(0.22, point{9.7, 5.6})
	d.curve(point{-7.2, 9.8}, point{-9.4, 9}, point{-9.6, 10.8})
	for _, x := range []float64{-6, -4, 3.2, 5} {
		d.shape(paper, point{x - 0.7, 14.8}, point{x - 0.5, 21.6}, point{x + 0.6, 21.6}, point{x + 0.8, 14.8})
	}
	d.weight(0.12)
	for i := range 60 {
		x, y := -7+13*d.rng.Float64(), 10+5*d.rng.Float64()
		d.line(x, y, x-0.3, y+0.9+0.4*float64(i%2))
	}
	for i := range 46 {
		x := -22 + float64(i)
		d.line(x, 21.8+math.Sin(float64(i))*0.4, x+0.5, 20.6+d.rng.Float64()*0.8)
	}
}

func puffin(d *pen) { drawPuffin(d, 0, 0, 1) }

// drawPuffin draws the bird standing in a frame 24 mm high whose top middle is (x, y).
func drawPuffin(d *pen, x, y, scale float64) {
	at := func(px, py float64) point { return point{x + px*scale, y + py*scale} }
	d.weight(0.3)
	d.blob(45, at(-1.5, 1.6), at(-4, 4), at(-4.4, 9), at(-6.4, 14), at(-7.6, 19), at(-5.4, 18.6), at(-2.5, 19), at(0, 12), at(2, 6), at(1.6, 2.6))
	d.blob(paper, at(0.4, 7.6), at(-2, 10.4), at(-3.2, 15), at(-2, 19.2), at(1.2, 19.6), at(3.8, 16), at(4, 11), at(2.8, 8))
	d.blob(paper, at(0.6, 2.4), at(-1.6, 4.4), at(-0.6, 6.4), at(2, 6.4), at(3, 4.4), at(2.2, 2.6))
	d.blob(150, at(2.4, 2.6), at(5, 3), at(7, 5), at(4.6, 6.2), at(2.6, 6.2))
	d.curve(at(2.6, 4.6), at(5, 4.8), at(6.9, 5))
	d.curve(at(4.1, 2.8), at(4.5, 4.4), at(4.1, 6.2))
	d.ellipse(x+1.1*scale, y+4.1*scale, 0.35*scale, 0.35*scale, ink)
	d.line(x-0.6*scale, y+19.4*scale, x-0.8*scale, y+22*scale)
	d.line(x+1.4*scale, y+19.4*scale, x+1.5*scale, y+22*scale)
	for _, foot := range []float64{-0.8, 1.5} {
		d.shape(150, at(foot-0.4, 22), at(foot+2.2, 22.7), at(foot-0.6, 22.8))
	}
	d.weight(0.14)
	for i := range 12 {
		t := float64(i) / 12
		d.line(x+(-2.8+2*t)*scale, y+(11+7*t)*scale, x+(-2.2+2*t)*scale, y+(12+7*t)*scale)
	}
	d.curve(at(-10, 23), at(-4, 22.7), at(3, 22.9), at(11, 22.6))
}

func thrift(d *pen) {
	for i, s := range []struct{ x, bend, h float64 }{{-6, -3, 13}, {-3, -1, 17}, {0, 0.4, 20}, {3, 1.6, 15.5}, {6, 3.6, 12}, {-9, -5, 9}, {9, 5, 9.5}} {
		top := point{s.x + s.bend, 23 - s.h}
		d.weight(0.28)
		d.curve(point{s.x * 0.35, 23}, point{s.x * 0.75, 23 - s.h*0.5}, top)
		r := 1.5 + 0.25*float64(i%3)
		d.weight(0.22)
		for k := range 11 {
			a := math.Pi * (float64(k) - 0.5) / 10 * 1.2
			sin, cos := math.Sincos(-a + 0.25)
			d.ellipse(top.x+cos*r, top.y+sin*r, 0.62, 0.62, paper)
		}
		for k := range 6 {
			sin, cos := math.Sincos(-math.Pi * float64(k) / 5)
			d.ellipse(top.x+cos*r*0.5, top.y+sin*r*0.5, 0.5, 0.5, 200)
		}
	}
	d.weight(0.2)
	for i := range 40 {
		t := float64(i)/39*2 - 1
		d.curve(point{t * 6, 23.4}, point{t * 9, 21.5 - 1.5*d.rng.Float64()}, point{t * 13, 20 + 2.4*math.Abs(t) - 2*d.rng.Float64()})
	}
}

func yacht(d *pen) {
	d.weight(0.15)
	d.sea(-24, 24, 19, 24, 5)
	d.weight(0.28)
	d.shape(50, smooth([]point{{-11, 17.4}, {-8, 20.4}, {0, 21.2}, {8, 20.4}, {13, 16.4}, {0, 18.2}, {-11, 17.4}}, false)...)
	d.line(1, 18, 1.6, 0.8)
	d.shape(paper, smooth([]point{{1.2, 16.6}, {1.5, 3}, {-6, 9}, {-10.4, 16}, {-4, 17}, {1.2, 16.6}}, false)...)
	d.shape(paper, smooth([]point{{1.6, 2}, {7, 9}, {12.4, 16.2}, {6, 15.8}, {2.2, 15.4}, {1.6, 2}}, false)...)
	d.weight(0.12)
	d.hatch([]point{{1.2, 16.6}, {1.5, 3}, {-2, 6.4}, {-2.6, 16.8}}, 75, 0.8)
	d.hatch([]point{{2, 6}, {7, 12}, {6, 15.8}, {2.2, 15.4}}, 60, 0.8)
	d.weight(0.25)
	d.curve(point{1.6, 0.8}, point{0, 0.4}, point{-1.2, 1.2}, point{-2.6, 0.8})
}

func prism(d *pen) {
	lensRings(d, 0, 12, 10.5)
	d.weight(0.12)
	for i := range 9 {
		t := float64(i)/4 - 1
		d.line(12.5, 12+t*3.5, 23.5, 12+t*7)
		d.line(-12.5, 12+t*3.5, -23.5, 12+t*7)
	}
}

// lensRings draws the lens face on: a bull's eye and the prisms about it.
func lensRings(d *pen, x, y, r float64) {
	d.weight(0.28)
	for _, t := range []float64{1, 0.86, 0.73, 0.61, 0.5, 0.4, 0.3} {
		d.ellipse(x, y, r*t, r*t, paper)
	}
	d.weight(0.12)
	for ring := range 6 {
		outer := []float64{1, 0.86, 0.73, 0.61, 0.5, 0.4}[ring] * r
		inner := []float64{0.86, 0.73, 0.61, 0.5, 0.4, 0.3}[ring] * r
		for k := range 14 {
			sin, cos := math.Sincos(0.2 + float64(k)*0.08 + float64(ring)*0.13)
			d.line(x+cos*inner, y+sin*inner, x+cos*outer, y+sin*outer)
			d.line(x-cos*inner, y-sin*inner, x-cos*(inner+outer)/2, y-sin*(inner+outer)/2)
		}
	}
	d.ellipse(x, y, r*0.12, r*0.12, ink)
}

func smallBirdsInBeam(d *pen) {
	d.weight(0.1)
	d.hatch([]point{{-24, 12}, {24, 2}, {24, 22}}, 90, 0.55)
	d.weight(0.25)
	for range 26 {
		x := -10 + 33*d.rng.Float64()
		y := 12 + (d.rng.Float64()-0.5)*(x+24)*0.36
		s := 0.7 + 0.8*d.rng.Float64()
		d.blob(paper, point{x - s*1.2, y}, point{x, y - s*0.5}, point{x + s, y - s*0.2}, point{x + s, y + s*0.2}, point{x, y + s*0.4})
		d.curve(point{x, y - s*0.3}, point{x - s*0.3, y - s*1.4}, point{x + s*0.5, y - s*1.8})
		d.curve(point{x, y + s*0.3}, point{x - s*0.4, y + s*1.2}, point{x - s*0.1, y + s*1.7})
	}
}

func anchor(d *pen) {
	d.weight(0.35)
	d.ellipse(0, 2, 1.5, 1.5, -1)
	d.shape(paper, point{-0.6, 3.4}, point{-0.75, 20}, point{0.75, 20}, point{0.6, 3.4})
	d.shape(paper, point{-7, 5.2}, point{-7, 6.6}, point{7, 6.6}, point{7, 5.2})
	outer := smooth([]point{{-9.6, 14.6}, {-7.4, 18.8}, {-3.4, 21.6}, {0, 22.8}, {3.4, 21.6}, {7.4, 18.8}, {9.6, 14.6}}, false)
	inner := smooth([]point{{9, 15}, {6.4, 18}, {3, 20}, {0, 20.6}, {-3, 20}, {-6.4, 18}, {-9, 15}}, false)
	d.shape(paper, append(outer, inner...)...)
	d.shape(paper, point{-10.8, 17.4}, point{-9.8, 12.6}, point{-6.6, 16.2})
	d.shape(paper, point{10.8, 17.4}, point{9.8, 12.6}, point{6.6, 16.2})
	d.weight(0.12)
	d.hatch(append(outer[len(outer)/2:], inner[:len(inner)/2]...), 40, 0.6)
	d.hatch([]point{{0, 3.4}, {0, 20}, {0.75, 20}, {0.6, 3.4}}, 0, 0.6)
	var cable []bend
	for i := range 60 {
		t := float64(i) / 59
		cable = append(cable, bend{1.2 + 11*t + 2.5*math.Sin(t*7), 1.2 + 17*t*t + 4.2*math.Sin(t*9)*(1-t), t})
	}
	d.rope(0.55, cable)
}

func breakingSea(d *pen) {
	wave := smooth([]point{{-24, 21}, {-16, 19}, {-9, 13}, {-3, 5.5}, {4, 2.6}, {9.6, 4.4}, {12, 8.4}, {10.6, 11.2}, {9, 9.6}, {6.6, 8.6}, {3.4, 11}, {3.2, 15.4}, {7, 19.4}, {14, 21}, {24, 21.6}}, false)
	d.weight(0.32)
	d.poly(wave...)
	d.weight(0.14)
	for k := range 8 {
		t := 1 - float64(k+1)/9
		d.curve(point{-22 + 4*float64(k), 21.6}, point{-14 + 9*(1-t)*1.2, 21 - 4*t}, point{-6 + 8*(1-t), 21 - 13*t}, point{-0.5 + 5*(1-t)*0.8, 21 - 16.6*t})
	}
	for range 90 {
		a := d.rng.Float64() * math.Pi * 0.9
		r := 1 + 7*d.rng.Float64()
		d.dots(0.1+0.16*d.rng.Float64(), point{8 + math.Cos(a)*r*1.2, 5 - math.Sin(a)*r*0.6})
	}
	d.sea(-24, 24, 21.6, 24.4, 3)
}

func shipsLantern(d *pen) {
	d.weight(0.3)
	d.arc(0, 2.6, 2.4, 2.4, 0, 180)
	d.shape(60, point{-3.4, 5.4}, point{-1.6, 2.6}, point{1.6, 2.6}, point{3.4, 5.4})
	d.shape(60, point{-4.4, 6.6}, point{-4.4, 5.4}, point{4.4, 5.4}, point{4.4, 6.6})
	d.blob(paper, point{-3.4, 6.8}, point{-4.6, 11.6}, point{-3.8, 17}, point{3.8, 17}, point{4.6, 11.6}, point{3.4, 6.8})
	d.blob(paper, point{0, 8.6}, point{-1.1, 11.6}, point{-0.7, 13.6}, point{0.7, 13.6}, point{1.1, 11.6})
	d.shape(60, point{-4.6, 18.4}, point{-4.2, 17}, point{4.2, 17}, point{4.6, 18.4})
	d.shape(60, point{-5.2, 20.4}, point{-4.8, 18.4}, point{4.8, 18.4}, point{5.2, 20.4})
	d.weight(0.22)
	for _, y := range []float64{9, 12, 15} {
		d.curve(point{-4.7, y}, point{0, y + 0.7}, point{4.7, y})
	}
	d.weight(0.14)
	for k := range 28 {
		sin, cos := math.Sincos(float64(k) / 28 * 2 * math.Pi)
		if sin > 0.75 || sin < -0.85 {
			continue
		}
		d.line(cos*7.5, 12+sin*7.5, cos*(12+4*float64(k%2)), 12+sin*(9+3*float64(k%2)))
	}
}
