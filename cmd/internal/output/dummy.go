package output

import (
	"fmt"
	"math"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/printer"
	"foldwright/reorder"
)

// dummySide is a side of the job with the number of each source page in its
// place, and above it an arrow to the page's head.
func (d Job) dummySide(run plan.Run, image printer.Image) pdf.Side {
	var out pdf.Side
	m := d.Correction(image)
	for _, p := range d.Sheet(run, image.Sheet).Sheet.Side(image.Side) {
		up := m.Direction(headwards(p.Head))
		length := math.Hypot(up.X, up.Y)
		up = reorder.Point{X: up.X / length, Y: up.Y / length}
		middle := m.Apply(p.Rect.Centre())
		at := func(right, head float64) reorder.Point {
			return reorder.Point{X: middle.X + up.Y*right + up.X*head, Y: middle.Y - up.X*right + up.Y*head}
		}
		size := math.Min(p.Rect.Size().W, p.Rect.Size().H) / 3
		write := func(text string, font pdf.Font, size, grey, head float64) {
			out.Drawing.Text(at(0, head-size*0.36), pdf.Text{
				Text: text, Font: font, Size: size, Grey: grey,
				Angle: math.Atan2(-up.X, up.Y) * 180 / math.Pi, Anchor: pdf.AnchorCentre,
			})
		}
		if p.Page == 0 {
			write("blank", pdf.Helvetica, size/4, 0.5, 0)
			continue
		}
		shown := d.Shown(p.Page)
		write(fmt.Sprint(shown.Page), pdf.HelveticaBold, size, 0, 0)
		if shown.Half != 0 {
			write(shown.Half.String(), pdf.Helvetica, size/4, 0, -size*0.6)
		}
		out.Drawing.Line(at(0, size*0.55), at(0, size), pdf.Pen{Width: size / 30})
		out.Drawing.FillPolygon([]reorder.Point{at(0, size*1.1), at(-size*0.1, size*0.9), at(size*0.1, size*0.9)}, 0)
	}
	return out
}

// headwards is the direction in which a panel's head lies.
func headwards(t reorder.Towards) reorder.Point {
	switch t {
	case reorder.Left:
		return reorder.Point{X: -1}
	case reorder.Down:
		return reorder.Point{Y: -1}
	case reorder.Right:
		return reorder.Point{X: 1}
	}
	return reorder.Point{Y: 1}
}
