package main

import "math"

// drawLantern is a cut through lantern, lens, clockwork and the head of the tower.
func drawLantern(p press, left float64) {
	d := newPen(p, left+measure/2, headMargin, 1, 63)
	wall := func(side float64) {
		stone := []point{{side * 22, 150}, {side * 21, 112}, {side * 29, 106}, {side * 29, 101}, {side * 15, 101}, {side * 15, 150}}
		d.weight(0.3)
		d.shape(paper, stone...)
		d.weight(0.1)
		d.hatch(stone, 45*side, 0.9)
		d.weight(0.3)
		parapet := []point{{side * 21, 101}, {side * 21, 90}, {side * 18.5, 90}, {side * 18.5, 101}}
		d.shape(paper, parapet...)
		d.weight(0.1)
		d.hatch(parapet, 45*side, 0.9)
		d.weight(0.3)
		d.shape(60, point{side * 20.6, 90}, point{side * 20.6, 36}, point{side * 19.8, 36}, point{side * 19.8, 90})
		for _, y := range []float64{54, 72} {
			d.shape(60, point{side * 21.4, y}, point{side * 21.4, y + 1}, point{side * 19, y + 1}, point{side * 19, y})
		}
		d.weight(0.2)
		for _, x := range []float64{28.4, 25.4} {
			d.line(side*x, 101, side*x, 92)
		}
		d.line(side*28.8, 92, side*24, 92)
	}
	wall(-1)
	wall(1)
	d.weight(0.3)
	d.curve(point{-23, 36}, point{-20.4, 27}, point{-11, 18.6}, point{0, 15.4}, point{11, 18.6}, point{20.4, 27}, point{23, 36})
	d.curve(point{-21.4, 36}, point{-19, 28}, point{-10.4, 20.2}, point{0, 17.2}, point{10.4, 20.2}, point{19, 28}, point{21.4, 36})
	d.shape(60, point{-24, 37.6}, point{-24, 36}, point{24, 36}, point{24, 37.6})
	d.ellipse(0, 10.8, 4.4, 4.4, paper)
	d.weight(0.12)
	d.hatch(circle(0, 10.8, 4.4), 50, 0.7)
	d.weight(0.3)
	d.line(0, 6.4, 0, -2)
	d.shape(ink, point{-5, 1.2}, point{-2.6, 0}, point{-2.6, 2.4})
	d.line(-4, 1.2, 4, 1.2)
	// the lens: bull's eye in the middle, prisms above and below
	for side := -1.0; side <= 1; side += 2 {
		d.weight(0.22)
		d.blob(paper, point{side * 11, 56}, point{side * 13.6, 60}, point{side * 14.2, 64}, point{side * 13.6, 68}, point{side * 11, 72}, point{side * 11, 64})
		for i := range 5 {
			t := float64(i)
			for up := -1.0; up <= 1; up += 2 {
				y := 64 + up*(10.6+t*2.1)
				x := side * (12.6 - 0.075*t*t)
				d.shape(paper, point{x, y - 0.9}, point{x + side*1.9, y + up*0.6}, point{x - side*0.5, y + 1})
			}
		}
		d.weight(0.1)
		for i := -4; i <= 4; i++ {
			y := 64 + float64(i)*4.6
			d.line(side*1.6, 64+float64(i)*0.3, side*11.5, y)
			d.line(side*15, y, side*54, y+float64(i)*0.35)
		}
	}
	d.weight(0.25)
	d.shape(110, point{-11.4, 44.2}, point{-11.4, 43}, point{11.4, 43}, point{11.4, 44.2})
	d.poly(point{-12, 85}, point{12, 85})
	d.blob(paper, point{0, 58.6}, point{-1.7, 63}, point{-1.2, 66.4}, point{1.2, 66.4}, point{1.7, 63})
	d.shape(110, point{-2.4, 71}, point{-2, 67}, point{2, 67}, point{2.4, 71})
	d.shape(paper, point{-1.2, 85}, point{-1.2, 71}, point{1.2, 71}, point{1.2, 85})
	d.shape(110, point{-12.4, 89}, point{-12.4, 85.6}, point{12.4, 85.6}, point{12.4, 89})
	d.shape(paper, point{-10, 101}, point{-8, 89}, point{8, 89}, point{10, 101})
	gear(d, 0, 95.4, 4.4, 18)
	d.weight(0.3)
	d.shape(paper, point{-15, 103.4}, point{-15, 101}, point{15, 101}, point{15, 103.4})
	d.shape(paper, point{-15, 137}, point{-15, 134.6}, point{15, 134.6}, point{15, 137})
	d.weight(0.2)
	d.line(5, 101, 5, 122)
	d.shape(110, point{2.4, 122}, point{2.4, 131}, point{7.6, 131}, point{7.6, 122})
	// the watch room: chair, table, book
	d.weight(0.3)
	d.poly(point{-13, 134.6}, point{-13, 126}, point{-12.6, 120})
	d.poly(point{-13, 127.6}, point{-8.6, 127.6}, point{-8.6, 134.6})
	d.poly(point{-6.6, 134.6}, point{-6.6, 124.4}, point{0.6, 124.4}, point{0.6, 134.6})
	d.shape(paper, point{-5, 124.4}, point{-4.4, 123.4}, point{-2.2, 124}, point{0, 123.4}, point{0.4, 124.4})
	for i := range 9 {
		t := float64(i)
		d.poly(point{14.6 - t*0.9, 134.6 - t*3.7}, point{14.6 - t*0.9, 130.9 - t*3.7}, point{13.7 - t*0.9, 130.9 - t*3.7})
	}
	figure(p, d, "a", -42, 50, -13, 58)
	figure(p, d, "b", 42, 82, 1.4, 68)
	figure(p, d, "c", -42, 84, -12, 87.4)
	figure(p, d, "d", 42, 112, 4.4, 96)
	figure(p, d, "e", -42, 120, -12.4, 124)
	figure(p, d, "f", 42, 128, 7.6, 127)
	p.centre(italic, smallSize, left+measure/2, baseline(linesOnPage-2), "a prisms · b burner · c mercury float · d revolving train · e watch room · f weight")
	caption(p, left, "A section through the lantern")
}

func circle(x, y, r float64) []point {
	var points []point
	for i := range 40 {
		sin, cos := math.Sincos(float64(i) / 40 * 2 * math.Pi)
		points = append(points, point{x + cos*r, y + sin*r})
	}
	return points
}
