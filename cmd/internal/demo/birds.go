package main

import "math"

// drawBirds is a plate of six birds, each with its name.
func drawBirds(p press, left float64) {
	d := newPen(p, left+measure/2, headMargin, 1, 64)
	drawPuffin(d, -28, 6, 1.75)
	d.words(p, italic, textSize, -28, 55, "Puffin")
	drawGuillemot(d, 26, 5.5)
	d.words(p, italic, textSize, 26, 55, "Guillemot")
	drawCollector(d, -28, 60)
	d.words(p, italic, textSize, -28, 101, "Black-backed gull, the Collector")
	drawEider(d, 26, 66)
	d.words(p, italic, textSize, 26, 101, "Eider")
	drawTern(d, -28, 112)
	d.words(p, italic, textSize, -28, 147, "Tern")
	drawWren(d, 26, 112)
	d.words(p, italic, textSize, 26, 147, "Wren of the coal store")
	caption(p, left, "Some birds of the rock. N. W. fecit")
}

func shifted(points []point, x, y float64) []point {
	out := make([]point, len(points))
	for i, q := range points {
		out[i] = point{q.x + x, q.y + y}
	}
	return out
}

// feathers strokes an outline's inside with short curved lines, top to bottom.
func feathers(d *pen, outline []point, gap float64) {
	d.weight(0.1)
	d.hatch(outline, 70, gap)
}

func drawGuillemot(d *pen, x, y float64) {
	back := shifted([]point{{-1, 2}, {-3.4, 5}, {-4, 9}, {-6, 15}, {-8.4, 24}, {-9, 33}, {-6.4, 38}, {-4.4, 36}, {-2, 26}, {0.6, 16}, {2, 9}, {2.4, 4}, {1.4, 2}}, x, y)
	belly := shifted([]point{{1.8, 10}, {-1, 16}, {-3, 26}, {-5, 35}, {-1, 37.4}, {4, 34}, {6.4, 26}, {5.6, 17}, {3.4, 11}}, x, y)
	d.weight(0.3)
	d.blob(paper, belly...)
	d.blob(50, back...)
	d.shape(50, shifted([]point{{2, 3.6}, {9.2, 4.8}, {2.2, 6}}, x, y)...)
	d.ellipse(x+0.6, y+4.4, 0.5, 0.5, paper)
	d.weight(0.14)
	for i := range 10 {
		t := float64(i)
		d.line(x+1-0.35*t, y+26+t, x+2.6-0.35*t, y+26.6+t)
	}
	d.shape(60, shifted([]point{{-2.6, 37}, {-2.8, 40.6}, {1.4, 41.4}, {-3.4, 41.6}}, x, y)...)
	d.shape(60, shifted([]point{{1, 36.8}, {1.2, 40.4}, {5.4, 41.2}, {0.6, 41.4}}, x, y)...)
	ledge(d, x, y+41.4, 15)
}

func ledge(d *pen, x, y, half float64) {
	d.weight(0.25)
	d.poly(append(d.ragged(point{x - half, y + 0.6}, point{x + half, y}, 1.6, 4), point{x + half, y})...)
	d.weight(0.12)
	for range 26 {
		px := x - half + 2*half*d.rng.Float64()
		d.line(px, y+0.8, px-1.2, y+1.6+1.6*d.rng.Float64())
	}
}

func drawCollector(d *pen, x, y float64) {
	d.weight(0.3)
	body := shifted([]point{{-15, 22.6}, {-9, 17}, {-2, 13.4}, {4, 11.6}, {6.6, 6.4}, {9.4, 4}, {12.6, 4.6}, {13.8, 7.4}, {12.2, 11}, {11.4, 16}, {8, 21.4}, {1, 24.6}, {-6, 24.6}}, x, y)
	d.blob(paper, body...)
	wing := shifted([]point{{4.6, 13.4}, {-2, 14.6}, {-9, 18}, {-19, 23.6}, {-12, 24}, {-4, 22.6}, {3.4, 20.6}, {6.6, 17}}, x, y)
	d.blob(50, wing...)
	d.weight(0.2)
	d.shape(paper, smooth(shifted([]point{{13.4, 6.2}, {17.4, 6.8}, {19.6, 8.6}, {17, 9}, {13.6, 8.6}}, x, y), false)...)
	d.line(x+13.6, y+7.6, x+18.4, y+8)
	d.ellipse(x+11.4, y+6.6, 0.55, 0.55, ink)
	d.curve(point{x + 10.2, y + 5.6}, point{x + 11.4, y + 5}, point{x + 12.6, y + 5.6})
	d.weight(0.35)
	d.line(x+1, y+24.6, x+1.6, y+31.4)
	d.shape(60, shifted([]point{{1.4, 31}, {5.8, 32.2}, {0.6, 32.4}}, x, y)...)
	d.line(x-1.4, y+24.8, x-1.2, y+27.4)
	feathers(d, shifted([]point{{2, 20.8}, {8.4, 20.4}, {2, 24}, {-6, 24.2}}, x, y), 0.7)
	ledge(d, x, y+32.6, 15)
}

func drawEider(d *pen, x, y float64) {
	d.weight(0.3)
	d.blob(paper, shifted([]point{{-15, 14}, {-9, 9.6}, {0, 8.6}, {7, 10}, {9.4, 13}, {10, 18}, {4, 22.6}, {-6, 22.6}, {-13, 19}}, x, y)...)
	d.blob(45, shifted([]point{{-16, 13.6}, {-12, 15.4}, {-3, 17}, {6, 18.6}, {8.4, 20.4}, {3, 22.8}, {-6, 22.8}, {-13, 19.4}}, x, y)...)
	d.blob(paper, shifted([]point{{4.6, 11.4}, {5, 5.6}, {7, 1.8}, {10.4, 1}, {13, 3.4}, {15, 6}, {18.6, 9}, {18, 10.6}, {14, 10.2}, {11, 10.6}, {9.6, 14}}, x, y)...)
	d.blob(45, shifted([]point{{6.2, 3.6}, {9.6, 1.1}, {12.8, 3.6}, {14.6, 6.2}, {11, 5.4}, {8.4, 4.8}}, x, y)...)
	d.ellipse(x+11.6, y+5, 0.5, 0.5, paper)
	d.weight(0.2)
	d.curve(point{x + 14.6, y + 8}, point{x + 16.4, y + 9.6}, point{x + 18.2, y + 9.9})
	d.curve(point{x - 9, y + 12}, point{x - 3, y + 14}, point{x + 2, y + 17})
	d.curve(point{x - 12, y + 13.6}, point{x - 6, y + 15}, point{x - 1, y + 16.6})
	d.weight(0.15)
	d.sea(x-19, x+19, y+22, y+28, 4)
}

func drawTern(d *pen, x, y float64) {
	d.weight(0.3)
	d.blob(paper, shifted([]point{{-4, 14}, {2, 11.6}, {8, 10.8}, {11, 11.6}, {11.6, 13.4}, {8, 15.4}, {1, 17}, {-5, 16.4}}, x, y)...)
	d.shape(paper, smooth(shifted([]point{{-3, 14.6}, {-12, 16.2}, {-21, 21.6}, {-12, 18}, {-20, 24.2}, {-9, 18.6}, {-3, 16.6}}, x, y), false)...)
	near := smooth(shifted([]point{{5, 12.4}, {1, 6}, {-8, -1}, {-19, -5.4}, {-12, 1.4}, {-7, 7}, {-2, 14}}, x, y), false)
	d.shape(paper, near...)
	far := smooth(shifted([]point{{6, 11.4}, {8, 4}, {13, -3}, {20, -8}, {17, 0}, {13, 7}, {9.6, 11.2}}, x, y), false)
	d.shape(paper, far...)
	feathers(d, far, 0.8)
	d.weight(0.14)
	for i := range 7 {
		t := float64(i)
		d.line(x-17.4+2.4*t, y-3.4+1.8*t, x-13+2.6*t, y-2+2.1*t)
	}
	d.weight(0.3)
	d.blob(30, shifted([]point{{6, 10.9}, {9, 9.8}, {11.6, 11}, {12, 12.2}, {9, 12.2}}, x, y)...)
	d.shape(90, shifted([]point{{11.8, 11.8}, {17.4, 14.2}, {11.6, 13.6}}, x, y)...)
	d.weight(0.15)
	d.sea(x-19, x+19, y+26, y+29.6, 3)
}

func drawWren(d *pen, x, y float64) {
	d.weight(0.3)
	d.shape(120, shifted([]point{{-7, 13}, {-11, 4}, {-8.4, 3.2}, {-4.4, 11}}, x, y)...)
	body := shifted([]point{{-7.6, 15}, {-5, 10.6}, {0, 9.6}, {3, 7}, {6.4, 5.2}, {9.6, 6.6}, {10, 9.6}, {8.4, 13}, {7.4, 17}, {3.6, 20.8}, {-2, 21}, {-6.6, 18.6}}, x, y)
	d.blob(paper, body...)
	wing := shifted([]point{{2.6, 12}, {-3, 12.4}, {-9.4, 16.4}, {-4, 18.2}, {2, 17.4}, {4, 14.6}}, x, y)
	d.blob(130, wing...)
	d.weight(0.12)
	for i := range 7 {
		t := float64(i)
		d.line(x-8+1.6*t, y+16.6-0.4*t, x-6.8+1.6*t, y+14.6-0.3*t)
	}
	feathers(d, smooth(body, true), 0.75)
	d.weight(0.25)
	d.shape(60, shifted([]point{{9.8, 7.6}, {14.4, 7.4}, {10, 8.9}}, x, y)...)
	d.ellipse(x+7.6, y+7.6, 0.5, 0.5, ink)
	d.curve(point{x + 5, y + 6.6}, point{x + 7.6, y + 6}, point{x + 9.6, y + 6.8})
	d.line(x-0.4, y+21, x-0.2, y+26)
	d.line(x+3, y+20.8, x+3.2, y+26)
	// the coal it stands on
	for i := range 9 {
		cx := x - 15 + 3.6*float64(i)
		r := 1.9 + 0.9*d.rng.Float64()
		var lump []point
		for k := range 7 {
			sin, cos := math.Sincos(float64(k)/7*2*math.Pi + d.rng.Float64()*0.5)
			lump = append(lump, point{cx + cos*r, y + 28 + sin*r*0.85})
		}
		d.shape(40+int(60*d.rng.Float64()), lump...)
	}
}
