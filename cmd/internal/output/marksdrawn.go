package output

import (
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"math"
)

// drawMarks draws marks; m is the correction that the whole image goes through.
func drawMarks(d *pdf.Drawing, marks []reorder.Mark, m reorder.Matrix) {
	pens := map[reorder.MarkKind]pdf.Pen{
		reorder.FoldTick:    {Width: 0.15, Grey: 0.3},
		reorder.CutTick:     {Width: 0.3, Grey: 0, Dash: []float64{1.2, 0.8}},
		reorder.StationTick: {Width: 0.25, Grey: 0.2},
		reorder.CornerMark:  {Width: 0.1, Grey: 0},
	}
	for _, mark := range marks {
		points := make([]reorder.Point, len(mark.Points))
		for i, p := range mark.Points {
			points[i] = m.Apply(p)
		}
		switch mark.Kind {
		case reorder.StepMark, reorder.HeadMark:
			d.FillPolygon(points, 0.1)
		case reorder.SignMark:
			along := m.Direction(mark.Along)
			d.Text(points[0], pdf.Text{
				Text: mark.Text, Font: pdf.HelveticaBold, Size: reorder.SignSize, Grey: 0.1,
				Angle: math.Atan2(along.Y, along.X) * 180 / math.Pi, Anchor: pdf.AnchorLeft,
			})
		default:
			d.Polyline(points, pens[mark.Kind])
		}
	}
}
