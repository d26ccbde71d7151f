// Package testsheet draws the sheets with which a printer is learned and
// tried, and says where everything on them stands.
//
// The test sheet tells what a printer does with paper. [Sheet.Front] and
// [Sheet.Back] are its two faces, [Files] its print files and [Write] a folder
// of them. Everything a person reads off the sheet is a value here, so that a
// program can read it as well:
//
//   - [Corner] is the pin mark of a corner, with [Letters] on the front and
//     [Numbers] on the back beside it, as words of one character that occur
//     nowhere else on their face;
//   - [Circle] is where the pencil cross is looked for;
//   - [Rulers] run from pin mark to pin mark, along both axes, and tell the scale;
//   - [Ladders] stand at the four edges and tell how far the printer reaches;
//   - [Verniers] tell, held to the light, how far the back lies from the front.
//
// [CheckSheet] is the check sheet that goes with every job. It is printed
// through the job's profile and shows whether the profile still holds.
//
// Both faces are drawn as the plan's frames have it (package reorder): in feed
// orientation, the back as it is seen after turning the sheet about its long
// edge. The back of the test sheet is never turned in its file, because the
// turn is what the sheet is to find out.
//
// Not here: what follows from an answer, and what is done with it.
package testsheet

import (
	"fmt"

	"foldwright/cmd/internal/pdf"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Sheet is one test sheet. The numeral, "I", "II" or "III", stands on both its
// faces as a word of its own; a sheet that is alone has none.
type Sheet struct {
	Paper   reorder.Paper
	Numeral string
}

// Sheets are the sheets of a test: one, or three with numerals.
func Sheets(paper reorder.Paper, three bool) []Sheet {
	if !three {
		return []Sheet{{Paper: paper}}
	}
	return []Sheet{{paper, "I"}, {paper, "II"}, {paper, "III"}}
}

// Front is the face that is printed first. It says what to do, which differs
// where the printer turns the paper itself.
func (s Sheet) Front(way printer.TwoSided) pdf.Side {
	var side pdf.Side
	e := easel{&side.Drawing, geom.Identity}
	s.drawScaffold(e)
	for _, v := range Verniers(s.Paper) {
		s.drawFrontScale(e, v)
	}
	for i, letter := range Letters {
		e.drawCross(Corner(s.Paper, i), markRadius, thin)
		e.writeWord(LetterAt(s.Paper, i), letter, pdf.HelveticaBold, 9.5, black)
	}
	s.drawArrow(e, tint, "front")
	s.drawCircle(e)
	s.drawPanel(e, s.hintsForPrinting(way))
	return side
}

// Back is the face that is printed second, never turned. It says how the
// sheet is read.
func (s Sheet) Back() pdf.Side {
	var side pdf.Side
	e := easel{&side.Drawing, geom.Identity}
	s.drawScaffold(e)
	for _, v := range Verniers(s.Paper) {
		s.drawBackScale(e, v)
	}
	for i, number := range Numbers {
		at := Corner(s.Paper, i)
		e.drawCircle(at, markRadius, thin)
		e.drawCircle(at, markRadius/2, hair)
		e.drawDot(at, 0.3, black)
		e.writeWord(NumberAt(s.Paper, i), number, pdf.HelveticaBold, 9.5, black)
	}
	s.drawArrow(e, white, "back")
	s.drawCircle(e)
	s.drawPanel(e, s.hintsForReading())
	return side
}

// drawScaffold is what both faces have in common: ladders and rulers.
func (s Sheet) drawScaffold(e easel) {
	for _, l := range Ladders(s.Paper) {
		for step := 1; step <= LadderSteps; step++ {
			end, x := l.Step(step), l.stepX(step)
			e.fill(tint, end.From, end.To, l.place.at(x+stepWidth/2, -stepFoot), l.place.at(x-stepWidth/2, -stepFoot))
			e.drawSegment(end, thin)
			if step%5 == 0 {
				e.writeWord(l.place.at(x, -float64(step)-1.7), fmt.Sprint(step), pdf.Helvetica, 2.1, black)
			}
		}
	}
	r := frame(s.Paper)
	e.drawPolygon(thin, Corner(s.Paper, 0), Corner(s.Paper, 1), Corner(s.Paper, 2), Corner(s.Paper, 3))
	for _, edge := range Edges {
		p, half := placeAt(edge, r), r.Size().W/2
		if edge == geom.Left || edge == geom.Right {
			half = r.Size().H / 2
		}
		for x := 10.0; x < 2*half; x += 10 {
			e.drawLine(p.at(x-half, 0), p.at(x-half, -tickLength), thin)
		}
	}
}

const (
	tickLength  = 2.0 // mm, inwards, every centimetre of a ruler
	roughLength = 1.8 // mm, outwards, every millimetre near the middle
)

func (s Sheet) drawFrontScale(e easel, v Vernier) {
	for mm := -RoughTicks; mm <= RoughTicks; mm++ {
		length := roughLength
		if mm%5 != 0 {
			length *= 0.6
		}
		e.drawLine(v.place.at(float64(mm), 0), v.place.at(float64(mm), length), hair)
	}
	perMM := int(1 / Resolution)
	for line := -v.Lines; line <= v.Lines; line++ {
		at, width := v.Front(line), hair
		if line%perMM == 0 {
			width = thin
			e.writeWord(v.place.at(float64(line)*FrontPitch, -vernierLabel), shiftText(line/perMM), pdf.HelveticaBold, 2.6, black)
		}
		e.drawSegment(at, width)
	}
}

// shiftText is a whole shift with its sign, so that it is no word like the numbers of the corners.
func shiftText(mm int) string {
	if mm == 0 {
		return "0"
	}
	return fmt.Sprintf("%+d", mm)
}

func (s Sheet) drawBackScale(e easel, v Vernier) {
	for line := -v.Lines; line <= v.Lines; line++ {
		width := hair
		if line%int(1/Resolution) == 0 {
			width = thin
		}
		e.drawSegment(v.Back(line), width)
	}
	e.fill(black, v.Pointer(), v.place.at(-1.3, -3.6), v.place.at(1.3, -3.6))
}

func (s Sheet) inner() geom.Rect {
	const reach = backTo + 4
	return frame(s.Paper).Inset(reach, reach, reach, reach)
}

// drawArrow says how the sheet is held to be read. It must not say which edge goes in
// first: whoever reloads by it finds out nothing.
func (s Sheet) drawArrow(e easel, shade float64, face string) {
	r, middle := s.inner(), Circle(s.Paper)
	top, bottom := r.Y1, middle.Y+CircleRadius+9
	const head, shaft = 22, 11.5
	neck := top - 24
	e.drawArrow(arrow{geom.Point{X: middle.X, Y: top}, neck, bottom, head, shaft}, shade, bold)
	w := writing{font: pdf.HelveticaBold, size: 4.2, leading: 5.4, shade: black, anchor: pdf.AnchorCentre}
	at := geom.Point{X: middle.X, Y: neck + 8}
	for _, line := range []string{"This", "end up", "when", "you read"} {
		at = e.write(at, w, line, 100)
	}
	// The names of front and back stand on different sides of the arrow, so
	// that both can be read if both are printed on one face.
	at = geom.Point{X: (r.X0 + middle.X - head) / 2, Y: neck}
	if face == "back" {
		at.X = 2*middle.X - at.X
	}
	w = writing{font: pdf.HelveticaBold, size: 8, leading: 14, shade: black, anchor: pdf.AnchorCentre}
	at = e.write(at, w, face, 60)
	if s.Numeral != "" {
		s.drawNumeral(e, at)
	}
}

// drawNumeral is the sheet's number, with bars above and below that make a
// numeral of what could be mere strokes.
func (s Sheet) drawNumeral(e easel, at geom.Point) {
	w := writing{font: pdf.HelveticaBold, size: 4.2, leading: 7, shade: black, anchor: pdf.AnchorCentre}
	at = e.write(at, w, "sheet", 60)
	w.size = 18
	e.write(geom.Point{X: at.X, Y: at.Y - 1}, w, s.Numeral, 60)
	half := pdf.TextWidth(s.Numeral, w.font, w.size)/2 + 1.5
	for _, y := range []float64{at.Y - 0.4, at.Y - 1.6 - w.size*capHeight} {
		e.drawLine(geom.Point{X: at.X - half, Y: y}, geom.Point{X: at.X + half, Y: y}, 1.4)
	}
}

// drawCircle is where the pencil cross is looked for.
func (s Sheet) drawCircle(e easel) {
	c := Circle(s.Paper)
	e.drawCircle(c, CircleRadius, bold)
	w := writing{font: pdf.Helvetica, size: 3.4, leading: 4.6, shade: black, anchor: pdf.AnchorCentre}
	at := geom.Point{X: c.X, Y: c.Y - CircleRadius - 3.5}
	for _, q := range []string{"Is your pencil cross in this circle?", "Or is it on the other side?"} {
		at = e.write(at, w, q, 120)
	}
}
