package output

import (
	"foldwright/cmd/internal/pdf"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// spareWord stands on pieces that no gathering needs.
const spareWord = "spare"

// drawSpare names the pieces of a side that belong to no gathering, so that nobody looks
// for the gathering they are missing from.
func drawSpare(out *pdf.Drawing, s reorder.Sheet, paper geom.Size, image printer.Image, m geom.Matrix) {
	const high, middle = 1.0 / 16, 0.36 // of the piece's shorter edge; of the type's size
	for _, piece := range s.Spare {
		r := piece.On(image.Side, paper)
		size := min(r.Size().W, r.Size().H) * high
		up := m.Direction(geom.Point{Y: 1}).Unit()
		at := m.Apply(r.Centre()).Minus(up.Times(size * middle))
		turn := 0.0
		if up.Y < 0 {
			turn = 180
		}
		out.Text(at, pdf.Text{Text: spareWord, Font: pdf.Helvetica, Size: size, Grey: 0.55, Angle: turn, Anchor: pdf.AnchorCentre})
	}
}
