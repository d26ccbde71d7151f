package main

import (
	"bytes"
	"math"

	"codeberg.org/go-pdf/fpdf"
)

// plate is a page that is one picture.
type plate struct {
	title  string
	turned bool
	draw   func(p press, left float64)
}

var (
	towerPlate  = plate{title: "The tower", draw: drawTower}
	mistPlate   = plate{title: "Mist, the seventeenth of January", draw: photograph("mist", mistPicture, "Mist, the seventeenth of January, four in the afternoon")}
	bellPlate   = plate{title: "The fog bell", draw: drawBell}
	rocksPlate  = plate{title: "Chart of the skerries", draw: drawSkerries}
	birdsPlate  = plate{title: "Some birds of the rock", draw: drawBirds}
	coastPlate  = plate{title: "The coast from Orrin Head to Saltby Ness", turned: true, draw: drawCoast}
	lensPlate   = plate{title: "A section through the lantern", draw: drawLantern}
	knotsPlate  = plate{title: "Knots in use at Larkhaven", draw: drawKnots}
	nightPlate  = plate{title: "The light on the fourteenth of November", draw: photograph("night", beamPicture, "The light on the fourteenth of November, drizzle, wind south-west")}
	platesAfter = map[string][]plate{
		"17 January":   {mistPlate},
		"7 February":   {bellPlate},
		"15 April":     {rocksPlate},
		"16 May":       {birdsPlate},
		"22 June":      {coastPlate},
		"16 August":    {lensPlate},
		"12 September": {knotsPlate},
		"14 November":  {nightPlate},
	}
	// landmarks are the days that the outlines name below their month.
	landmarks = map[string]string{
		"6 January":    "The assistant lands",
		"5 February":   "The spring breaks",
		"16 March":     "The Antonia Vey",
		"1 May":        "The count begins",
		"28 May":       "The count is closed",
		"11 June":      "The Meridian surveys",
		"3 August":     "Fourteen cases",
		"27 August":    "The new light",
		"21 September": "The night of the birds",
		"20 November":  "The great storm",
		"15 December":  "Two questions",
	}
)

func (b *book) addPlate(pl plate) {
	pg := b.flow.plate(pl.title, 1, pl.draw)
	if len(b.months) == 0 {
		pg.marks[0].level = 0
	}
	pg.turned = pl.turned
	b.plates = append(b.plates, listed{pl.title, pg})
}

// caption stands under a plate.
func caption(p press, left float64, text string) {
	p.centre(italic, textSize, left+measure/2, baseline(linesOnPage-1), text)
}

func photograph(name string, expose func() ([]byte, error), legend string) func(p press, left float64) {
	return func(p press, left float64) {
		options := fpdf.ImageOptions{ImageType: "JPG"}
		plate, err := expose()
		if err != nil {
			p.doc.SetError(err)
			return
		}
		p.doc.RegisterImageOptionsReader(name, options, bytes.NewReader(plate))
		const width = measure
		const height = width * pictureHigh / pictureWide
		top := headMargin + 3.0
		p.doc.ImageOptions(name, left, top, width, height, false, options, 0, "")
		p.doc.SetLineWidth(0.15)
		p.doc.Rect(left, top, width, height, "D")
		caption(p, left, legend)
	}
}

// drawTower is the elevation, course by course.
func drawTower(p press, left float64) {
	d := newPen(p, left+measure/2, headMargin, 1, 61)
	d.weight(0.12)
	for i := range 7 {
		y := 14 + float64(i)*7 + 4*d.rng.Float64()
		x := -50 + 20*d.rng.Float64()
		d.curve(point{x, y}, point{x + 12, y - 1.6}, point{x + 20, y + 0.6}, point{x + 34, y - 0.4})
		x = 22 + 18*d.rng.Float64()
		d.curve(point{x, y - 3}, point{x + 8, y - 4.6}, point{x + 15, y - 2.4})
	}
	d.sea(-54, 54, 128, 150, 16)
	d.rock(146, point{-44, 146}, point{-34, 136}, point{-22, 132}, point{-8, 129}, point{10, 129}, point{24, 133}, point{34, 138}, point{42, 146})
	d.weight(0.15)
	d.sea(-50, 48, 144, 152, 5)

	profile := func(t float64) float64 { return 7.6 + 6.4*math.Pow(1-t, 1.9) } // half width, t from foot to gallery
	const foot, gallery = 129.0, 38.0
	y := func(t float64) float64 { return foot + (gallery-foot)*t }
	var body []point
	for i := range 31 {
		t := float64(i) / 30
		body = append(body, point{-profile(t), y(t)})
	}
	for i := 30; i >= 0; i-- {
		t := float64(i) / 30
		body = append(body, point{profile(t), y(t)})
	}
	d.weight(0.35)
	d.shape(paper, body...)
	const courses = 40
	d.weight(0.09)
	for c := 1; c < courses; c++ {
		t := float64(c) / courses
		w := profile(t)
		d.curve(point{-w, y(t)}, point{0, y(t) + 0.5}, point{w, y(t)})
		for k := range 7 {
			turn := (float64(k) + 0.5*float64(c%2) - 3) / 3.5
			if math.Abs(turn) < 1 {
				x := math.Sin(turn*math.Pi/2) * w
				d.line(x, y(t)+0.4*(1-turn*turn), x, y(t+1.0/courses)+0.4*(1-turn*turn))
			}
		}
	}
	var shade, deep, band []point
	for _, q := range body {
		t := (foot - q.y) / (foot - gallery)
		w := profile(t)
		shade = append(shade, point{max(q.x, w*0.15), q.y})
		deep = append(deep, point{max(q.x, w*0.6), q.y})
		if t >= 0.47 && t <= 0.64 {
			band = append(band, q)
		}
	}
	d.weight(0.11)
	d.hatch(shade, 38, 0.75)
	d.hatch(deep, -38, 0.75)
	d.weight(0.16)
	d.hatch(band, 90, 0.42)
	d.weight(0.25)
	for i, t := range []float64{0.12, 0.3, 0.42, 0.7, 0.85} {
		x := -2.5 + 1.2*float64(i%3)
		d.shape(20, point{x - 0.8, y(t)}, point{x - 0.8, y(t) - 2.4}, point{x, y(t) - 3.1}, point{x + 0.8, y(t) - 2.4}, point{x + 0.8, y(t)})
	}
	d.shape(20, point{-2, foot - 0.2}, point{-2, foot - 4.6}, point{0, foot - 6}, point{2, foot - 4.6}, point{2, foot - 0.2})
	d.weight(0.3)
	for i, w := range []float64{8.2, 9.2, 10.4} {
		at := gallery - float64(i)*1.1
		d.shape(paper, point{-w, at}, point{-w, at - 1.1}, point{w, at - 1.1}, point{w, at})
	}
	lanternOutside(d, 0, gallery-3.3, 1)
	smallScene(d)
	caption(p, left, "The tower, from the landing side")
}

// lanternOutside draws railing, panes, dome and vane above the gallery floor at (x, y).
func lanternOutside(d *pen, x, y, s float64) {
	at := func(px, py float64) point { return point{x + px*s, y + py*s} }
	d.weight(0.28)
	d.shape(paper, at(-6.4, 0), at(-6.4, -3), at(6.4, -3), at(6.4, 0))
	d.shape(paper, at(-5.8, -3), at(-5.8, -14), at(5.8, -14), at(5.8, -3))
	d.weight(0.12)
	d.hatch([]point{at(-5.8, -3), at(-5.8, -14), at(-3.4, -14), at(-3.4, -3)}, 90, 0.4*s)
	d.hatch([]point{at(3.2, -3), at(3.2, -14), at(5.8, -14), at(5.8, -3)}, 90, 0.35*s)
	lensRings(d, x, y-8.5*s, 2.7*s)
	d.weight(0.22)
	for _, px := range []float64{-5.8, -4.6, -2.2, 0, 2.2, 4.6, 5.8} {
		d.poly(at(px, -3), at(px, -14))
	}
	for _, py := range []float64{-6.6, -10.3} {
		d.poly(at(-5.8, py), at(5.8, py))
	}
	d.weight(0.28)
	dome := smooth([]point{at(-7, -14), at(-6.2, -16.6), at(-3.6, -19), at(0, -20), at(3.6, -19), at(6.2, -16.6), at(7, -14)}, false)
	d.shape(paper, dome...)
	d.weight(0.11)
	d.hatch(dome[len(dome)/2:], 65, 0.45*s)
	for _, k := range []float64{-0.66, -0.33, 0, 0.33, 0.66} {
		d.curve(at(7*k, -14), at(6.2*k, -17), at(0, -20))
	}
	d.weight(0.28)
	d.ellipse(x, y-21*s, 1.1*s, 1.1*s, paper)
	d.poly(at(0, -22), at(0, -29))
	d.poly(at(-3.4, -26.4), at(3, -26.4))
	d.shape(ink, at(-3.6, -26.4), at(-2.2, -27.2), at(-2.2, -25.6))
	d.shape(ink, at(3, -26.4), at(1.8, -27.6), at(1.8, -25.2))
	d.weight(0.2)
	for k := range 15 {
		px := -9.8 + 1.4*float64(k)
		d.poly(at(px, 0), at(px, -3.6))
	}
	d.poly(at(-9.8, -3.6), at(9.8, -3.6))
	d.poly(at(-9.8, -1.9), at(9.8, -1.9))
}

// smallScene puts the dwelling, the derrick and some birds about the tower's foot.
func smallScene(d *pen) {
	d.weight(0.25)
	d.shape(paper, point{15, 132.5}, point{15, 125}, point{31, 125}, point{31, 134.6})
	d.shape(paper, point{14, 125}, point{18, 119.5}, point{28, 119.5}, point{32, 125})
	d.weight(0.11)
	d.hatch([]point{{14, 125}, {18, 119.5}, {28, 119.5}, {32, 125}}, 0, 0.7)
	d.weight(0.25)
	d.shape(paper, point{25, 120.4}, point{25, 116}, point{27.4, 116}, point{27.4, 120.4})
	for _, x := range []float64{17.5, 22, 26.5} {
		d.shape(30, point{x, 130.4}, point{x, 127.4}, point{x + 1.8, 127.4}, point{x + 1.8, 130.4})
	}
	d.weight(0.12)
	d.curve(point{26.2, 115.4}, point{27.4, 112}, point{26, 109}, point{28, 105}, point{27.4, 101})
	d.weight(0.3)
	d.line(-30, 135, -30, 117)
	d.line(-30, 128, -43, 119)
	d.weight(0.14)
	d.line(-30, 117, -43, 119)
	d.line(-43, 119, -43, 133)
	d.weight(0.22)
	for i := range 14 {
		side := float64(i%2*2 - 1)
		d.gull(side*(16+30*d.rng.Float64()), 50+58*d.rng.Float64(), 0.9+1.3*d.rng.Float64())
	}
}

// drawBell is the bell in its frame, with clockwork, weight and the lever for striking by hand.
func drawBell(p press, left float64) {
	d := newPen(p, left+measure/2, headMargin, 1, 62)
	d.weight(0.35)
	for _, x := range []float64{-36, 30} {
		d.shape(paper, point{x, 140}, point{x, 18}, point{x + 6, 18}, point{x + 6, 140})
		d.weight(0.1)
		for i := range 5 {
			gx := x + 0.9 + float64(i)*1.05
			d.curve(point{gx, 139}, point{gx + 0.3, 110}, point{gx - 0.3, 80}, point{gx + 0.2, 50}, point{gx, 19})
		}
		d.weight(0.35)
	}
	d.shape(paper, point{-42, 18}, point{-42, 10}, point{42, 10}, point{42, 18})
	d.weight(0.1)
	for i := range 6 {
		y := 11.2 + float64(i)*1.15
		d.curve(point{-41, y}, point{-14, y + 0.4}, point{12, y - 0.4}, point{41, y})
	}
	d.weight(0.3)
	d.shape(paper, point{-30, 18}, point{-30, 30}, point{-27, 30}, point{-18, 18})
	d.shape(paper, point{30, 18}, point{30, 30}, point{27, 30}, point{18, 18})
	d.shape(60, point{-4, 18}, point{-4, 26}, point{4, 26}, point{4, 18})
	bellShape(d, -2, 28, 46)
	// hammer and lever
	d.weight(0.35)
	d.shape(paper, point{24, 66}, point{36, 62.6}, point{36.6, 64.6}, point{24.6, 68})
	d.shape(50, point{25.4, 62.4}, point{23.2, 71.6}, point{26.6, 72.4}, point{28.8, 63.2})
	d.ellipse(33, 65, 1.2, 1.2, paper)
	d.weight(0.18)
	d.line(36.4, 63.6, 44, 61.4)
	d.line(44, 61.4, 44, 128)
	// clockwork in its box
	d.weight(0.35)
	d.shape(paper, point{-30, 88}, point{-30, 122}, point{30, 122}, point{30, 88})
	gear(d, -14, 106, 11, 36)
	gear(d, 4.5, 100, 6, 20)
	gear(d, 15.5, 108, 7.2, 24)
	d.weight(0.35)
	d.shape(paper, point{-22, 119}, point{-22, 116}, point{22, 116}, point{22, 119})
	d.weight(0.2)
	d.line(-14, 117, -14, 128)
	d.shape(110, point{-18, 128}, point{-18, 139}, point{-10, 139}, point{-10, 128})
	d.weight(0.16)
	d.sea(-54, 54, 141, 151, 6)
	figure(p, d, "a", -47, 46, -20, 56)
	figure(p, d, "b", 47, 74, 27, 70)
	figure(p, d, "c", -47, 98, -25, 104)
	figure(p, d, "d", -47, 134, -18, 134)
	figure(p, d, "e", 51, 112, 44.4, 108)
	p.centre(italic, smallSize, left+measure/2, baseline(linesOnPage-2), "a bell, 9 cwt · b hammer and spring · c striking train · d weight · e fall for striking by hand")
	caption(p, left, "The fog bell, with the lever of the seventh of February")
}

// figure puts a letter at a place and a fine line from it to what it names.
func figure(p press, d *pen, letter string, x, y, toX, toY float64) {
	d.words(p, italic, textSize, x, y+1, letter)
	d.weight(0.12)
	length := math.Hypot(toX-x, toY-y)
	d.line(x+(toX-x)*2.2/length, y+(toY-y)*2.2/length, toX, toY)
}

func gear(d *pen, x, y, r float64, teeth int) {
	var outline []point
	for i := range teeth * 4 {
		radius := r
		if i%4 < 2 {
			radius = r - 1
		}
		sin, cos := math.Sincos(float64(i) / float64(teeth*4) * 2 * math.Pi)
		outline = append(outline, point{x + cos*radius, y + sin*radius})
	}
	d.weight(0.22)
	d.shape(paper, outline...)
	d.ellipse(x, y, r-2.4, r-2.4, -1)
	for k := range 5 {
		sin, cos := math.Sincos(float64(k)/5*2*math.Pi + 0.4)
		d.line(x, y, x+cos*(r-2.4), y+sin*(r-2.4))
	}
	d.ellipse(x, y, r*0.18, r*0.18, 60)
}
