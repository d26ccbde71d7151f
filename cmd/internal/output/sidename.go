package output

import (
	"math"
	"slices"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/printer"
	"foldwright/reorder"
)

// drawNames names every piece of a side.
func (d Job) drawNames(out *pdf.Drawing, run plan.Run, image printer.Image) {
	s := d.Sheet(run, image.Sheet).Sheet
	m := d.Correction(image)
	for i, piece := range s.Pieces {
		panels := slices.DeleteFunc(slices.Clone(s.Side(image.Side)), func(p reorder.Panel) bool { return p.Piece != i+1 })
		if len(panels) == 0 {
			continue
		}
		head, tail := d.NameLine(panels)
		drawName(out, d.PieceName(run, image.Sheet, image.Side, piece), m.Apply(head), m.Apply(tail))
	}
}

// drawName writes a name from the head of a line towards its tail.
func drawName(d *pdf.Drawing, name string, head, tail reorder.Point) {
	dx, dy := tail.X-head.X, tail.Y-head.Y
	length := math.Hypot(dx, dy)
	dx, dy = dx/length, dy/length
	start, _, size := plan.NameSpan(name, length)
	const middle = 0.36 // of the size: half the height of the capitals
	d.Text(reorder.Point{
		X: head.X + dx*start + dy*size*middle,
		Y: head.Y + dy*start - dx*size*middle,
	}, pdf.Text{
		Text:   name,
		Font:   pdf.Helvetica,
		Size:   size,
		Grey:   plan.NameGrey,
		Angle:  math.Atan2(dy, dx) * 180 / math.Pi,
		Anchor: pdf.AnchorLeft,
	})
}
