package testsheet

import (
	"fmt"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// CheckSheet is printed before a job. It is printed through the job's
// profile like any sheet of the book: if the profile holds, its rules are as
// long as they say and the pin marks of its faces agree.
type CheckSheet struct {
	Paper reorder.Paper
	Title string // what it belongs to, in small letters, left out where there is no room
	Backs bool   // the back is printed too
}

// CheckMarks are the names of the pin marks, the same on both faces.
var CheckMarks = [2]string{"A", "B"}

// Mark is where a pin mark stands, in the view of the side: A near the head's
// left of the front, B near the tail's right. The back's mark lies behind that
// of the front, and if the back is turned wrongly, behind the other one.
func (c CheckSheet) Mark(mark int, side reorder.Side) geom.Point {
	at := Corner(c.Paper, 2*mark)
	if side == reorder.Back {
		at.X = c.Paper.Size.W - at.X
	}
	return at
}

// Rules are the two rules of the front, along and across the sheet, which
// cross in its middle.
func (c CheckSheet) Rules() (across, along Ruler) {
	middle, length := Circle(c.Paper), c.RuleLength()
	across = Ruler{geom.Point{X: middle.X - length/2, Y: middle.Y}, geom.Point{X: 1}, length}
	along = Ruler{geom.Point{X: middle.X, Y: middle.Y - length/2}, geom.Point{Y: 1}, length}
	return across, along
}

// RuleLength is the length of the rules in mm: 100 where the paper has room.
func (c CheckSheet) RuleLength() float64 {
	for _, length := range []float64{100, 50} {
		if c.Paper.Size.W >= length+2*16 {
			return length
		}
	}
	return 20
}

// Side draws a side through the correction that every side of the job goes through.
func (c CheckSheet) Side(side reorder.Side, correction geom.Matrix) pdf.Side {
	var out pdf.Side
	e := easel{&out.Drawing, correction}
	if side == reorder.Front {
		c.drawFront(e)
	} else {
		c.drawBack(e)
	}
	return out
}

func (c CheckSheet) drawFront(e easel) {
	across, along := c.Rules()
	for _, r := range []Ruler{across, along} {
		e.drawLine(r.Zero, r.End(), thin)
		for mm := 0.0; mm <= r.Length; mm += 5 {
			reach := 0.8
			switch {
			case mm == 0 || mm == r.Length:
				reach = 3
			case int(mm)%10 == 0:
				reach = 1.6
			}
			at, across := r.At(mm), geom.Point{X: reach * r.Towards.Y, Y: reach * r.Towards.X}
			e.drawLine(at.Minus(across), at.Plus(across), thin)
		}
	}
	length := fmt.Sprintf("%.0f mm", across.Length)
	small := writing{font: pdf.Helvetica, size: 3.2, leading: 4.4, anchor: pdf.AnchorRight}
	e.write(geom.Point{X: across.End().X, Y: across.End().Y + 6.4}, small, length, 40)
	small.anchor = pdf.AnchorLeft
	e.write(geom.Point{X: along.End().X + 4.2, Y: along.End().Y}, small, length, 40)
	c.drawFace(e, "front", "This end up to read", across.Length/2)
	if c.Backs {
		for i, name := range CheckMarks {
			e.drawCross(c.Mark(i, reorder.Front), markRadius, thin)
			e.writeWord(letterMiddle(c.Mark(i, reorder.Front), Circle(c.Paper)), name, pdf.HelveticaBold, 8, black)
		}
	}
	says := []string{"Both rules must be " + length + " long."}
	if c.Backs {
		says = append(says, "Pins through the crosses must come out in the rings.")
	}
	c.writeBelow(e, across.Length/2, append(says, "If not, stop."))
}

func (c CheckSheet) drawBack(e easel) {
	for i, name := range CheckMarks {
		at := c.Mark(i, reorder.Back)
		e.drawCircle(at, markRadius, thin)
		e.drawCircle(at, checkSlack, thin)
		e.drawDot(at, 0.25, black)
		e.writeWord(letterMiddle(at, Circle(c.Paper)), name, pdf.HelveticaBold, 8, black)
	}
	c.drawFace(e, "back", "The same end as on the front", c.RuleLength()/2)
	c.writeBelow(e, c.RuleLength()/2, []string{"The pin must come out in the inner ring.", "If not, stop."})
}

// checkSlack is the radius of the inner ring in mm: a pin that comes out further
// away tells of a profile that no longer holds.
const checkSlack = 1.5

// letterMiddle is the middle of a mark's letter: further inwards than the mark.
func letterMiddle(mark, centre geom.Point) geom.Point {
	if mark.X < centre.X {
		return geom.Point{X: mark.X + letterInset, Y: mark.Y}
	}
	return geom.Point{X: mark.X - letterInset, Y: mark.Y}
}

// drawFace is the name of the face and an arrow to the head.
func (c CheckSheet) drawFace(e easel, name, says string, half float64) {
	middle := Circle(c.Paper)
	e.writeWord(geom.Point{X: middle.X - half/2, Y: middle.Y + half/2}, name, pdf.HelveticaBold, 7, black)
	top, bottom := frame(c.Paper).Y1, middle.Y+half+8
	if top-bottom < 8 {
		return
	}
	bottom = max(bottom, top-34)
	e.drawArrow(arrow{geom.Point{X: middle.X, Y: top}, top - 8, bottom, 8, 4}, tint, stroke)
	const beside, wide = 9.5, 20.0
	if frame(c.Paper).X1-middle.X < beside+wide {
		return
	}
	small := writing{font: pdf.Helvetica, size: 3.2, leading: 4.4, anchor: pdf.AnchorLeft}
	e.write(geom.Point{X: middle.X + beside, Y: top - 10}, small, says, wide)
}

// writeBelow is what to look for, under the rules. On paper that has no room the
// run sheet has to do.
func (c CheckSheet) writeBelow(e easel, half float64, says []string) {
	middle, wide := Circle(c.Paper), min(90, 2*half)
	words := writing{font: pdf.Helvetica, size: 3.2, leading: 4.6, anchor: pdf.AnchorCentre}
	at := geom.Point{X: middle.X, Y: middle.Y - half - 8}
	room := at.Y - frame(c.Paper).Y0
	for _, s := range says {
		room -= float64(len(words.breakLines(s, wide))) * words.leading
	}
	if room < 0 {
		return
	}
	for _, s := range says {
		at = e.write(at, words, s, wide)
	}
	words.size, words.shade = 2.4, grey
	if wide := frame(c.Paper).Size().W - 30; room > 6 && pdf.TextWidth(c.Title, words.font, words.size) < wide {
		e.write(geom.Point{X: at.X, Y: at.Y - 2}, words, c.Title, wide)
	}
}
