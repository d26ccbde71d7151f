package output

import (
	"context"
	"fmt"
	"io"
	"math"
	"slices"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

// printFile is the content of one file of a run.
func (d Job) printFile(run plan.Run, f plan.Pass) pdf.PrintFile {
	out := pdf.PrintFile{Paper: d.Paper.Size, Title: fmt.Sprintf("%s, run %d, %s", d.Name, run.Number, f.Pass), Duplex: duplex(f.Pass)}
	out.Sides = lists.Map(f.Images, func(image printer.Image) pdf.Side { return d.side(run, image) })
	return out
}

// duplex is what the file asks of the print dialog: one-sided for passes by
// hand, and for automatic printers always the long edge, the setting under
// which their profiles are learned. Asking for the short edge would make the
// driver turn the backs a second time.
func duplex(pass printer.Pass) pdf.Duplex {
	if pass == printer.BothPass {
		return pdf.LongEdge
	}
	return pdf.Simplex
}

// side is one page of a print file: the planned side, corrected for what the
// printer does to it.
func (d Job) side(run plan.Run, image printer.Image) pdf.Side {
	out := pdf.Side{Pages: d.Placed(run, image)}
	if d.Options.Dummy {
		out = d.dummySide(run, image)
	}
	drawSpare(&out.Drawing, d.Sheet(run, image.Sheet).Sheet, d.Paper.Size, image, d.Correction(image))
	marks := slices.Clone(d.Marks[d.InBook(d.Sheet(run, image.Sheet).Sheet.Number)])
	marks = slices.DeleteFunc(marks, func(m reorder.Mark) bool { return m.Side != image.Side })
	drawMarks(&out.Drawing, marks, d.Correction(image))
	if d.HasNames() {
		d.drawNames(&out.Name, run, image)
	}
	return out
}

// Sides is the number of sides that the print files hold together.
func (d Job) Sides() int {
	n := 0
	for _, f := range d.checkFiles() {
		n += len(f.Images)
	}
	for _, run := range d.Runs {
		for _, f := range run.Passes {
			n += len(f.Images)
		}
	}
	for _, in := range d.Inserts {
		if in.Job() != nil {
			n += Job{Draft: in.Job()}.Sides()
		}
	}
	return n
}

// drawNames names every piece of a side.
func (d Job) drawNames(out *pdf.Drawing, run plan.Run, image printer.Image) {
	s := d.Sheet(run, image.Sheet).Sheet
	m := d.Correction(image)
	for i, piece := range s.Pieces {
		if panels := s.On(image.Side, i+1); len(panels) > 0 {
			name := d.PieceName(run, image.Sheet, image.Side, piece)
			from, to := d.NameSpan(name, panels)
			drawName(out, name, m.Apply(from), m.Apply(to))
		}
	}
}

// drawName writes a name from one point towards another.
func drawName(d *pdf.Drawing, name string, from, to geom.Point) {
	const middle = 0.36 // of the size: half the height of the capitals
	along := to.Minus(from).Unit()
	d.WriteText(from.Plus(geom.Point{X: along.Y, Y: -along.X}.Times(plan.NameSize*middle)), pdf.Text{
		Text: name, Font: pdf.Helvetica, Size: plan.NameSize, Grey: plan.NameGrey,
		Angle: degrees(along), Anchor: pdf.AnchorLeft,
	})
}

// degrees is the angle of a direction, counter-clockwise from the right.
func degrees(way geom.Point) float64 { return math.Atan2(way.Y, way.X) * 180 / math.Pi }

// drawMarks draws marks; m is the correction that the whole image goes through.
func drawMarks(d *pdf.Drawing, marks []reorder.Mark, m geom.Matrix) {
	pens := map[reorder.MarkKind]pdf.Pen{
		reorder.FoldTick:    {Width: 0.15, Grey: 0.3},
		reorder.CutTick:     {Width: 0.3, Grey: 0, Dash: []float64{1.2, 0.8}},
		reorder.StationTick: {Width: 0.25, Grey: 0.2},
		reorder.CornerMark:  {Width: 0.1, Grey: 0},
	}
	for _, mark := range marks {
		points := lists.Map(mark.Points, m.Apply)
		switch mark.Kind {
		case reorder.StepMark, reorder.HeadMark:
			d.FillPolygon(points, 0.1)
		case reorder.PageNumber:
			along := m.Direction(mark.Along)
			d.WriteText(points[0], plan.NumberText(mark.Text, degrees(along)))
		case reorder.SignMark:
			along := m.Direction(mark.Along)
			d.WriteText(points[0], pdf.Text{
				Text: mark.Text, Font: pdf.HelveticaBold, Size: reorder.SignSize, Grey: 0.1,
				Angle: degrees(along), Anchor: pdf.AnchorLeft,
			})
		default:
			d.DrawPolyline(points, pens[mark.Kind])
		}
	}
}

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
		out.WriteText(at, pdf.Text{Text: "spare", Font: pdf.Helvetica, Size: size, Grey: 0.55, Angle: turn, Anchor: pdf.AnchorCentre})
	}
}

// dummySide is a side of the job with the number of each source page in its
// place, and above it an arrow to the page's head.
func (d Job) dummySide(run plan.Run, image printer.Image) pdf.Side {
	var out pdf.Side
	m := d.Correction(image)
	for _, p := range d.Sheet(run, image.Sheet).Sheet.Side(image.Side) {
		up := m.Direction(p.Head.Unit()).Unit()
		middle := m.Apply(p.Rect.Centre())
		at := func(right, head float64) geom.Point {
			return geom.Point{X: middle.X + up.Y*right + up.X*head, Y: middle.Y - up.X*right + up.Y*head}
		}
		size := math.Min(p.Rect.Size().W, p.Rect.Size().H) / 3
		write := func(text string, font pdf.Font, size, grey, head float64) {
			out.Drawing.WriteText(at(0, head-size*0.36), pdf.Text{
				Text: text, Font: font, Size: size, Grey: grey,
				Angle: degrees(geom.Point{X: up.Y, Y: -up.X}), Anchor: pdf.AnchorCentre,
			})
		}
		if p.Page == 0 {
			write("blank", pdf.Helvetica, size/4, 0.5, 0)
			continue
		}
		shown := d.Shown(p.Page)
		switch {
		case d.IsHalfTitle(shown.Page):
			write("half-title", pdf.Helvetica, size/4, 0, 0)
		case d.IsRuled(shown.Page):
			write("ruled", pdf.Helvetica, size/4, 0, 0)
		default:
			write(fmt.Sprint(shown.Page), pdf.HelveticaBold, size, 0, 0)
		}
		if shown.Half != 0 {
			write(shown.Half.String(), pdf.Helvetica, size/4, 0, -size*0.6)
		}
		out.Drawing.DrawLine(at(0, size*0.55), at(0, size), pdf.Pen{Width: size / 30})
		out.Drawing.FillPolygon([]geom.Point{at(0, size*1.1), at(-size*0.1, size*0.9), at(size*0.1, size*0.9)}, 0)
	}
	return out
}

// checkFiles are the files of the check sheet, in printing order: it goes the
// way of every sheet of the job.
func (d Job) checkFiles() []plan.Pass {
	return lists.Map(d.Profile.Files(1, d.printsBacks()), func(f printer.File) plan.Pass { return plan.PassOf(fmt.Sprintf("check-%s.pdf", f.Pass), f) })
}

// printsBacks tells whether any run prints the backs of its sheets.
func (d Job) printsBacks() bool { return slices.ContainsFunc(d.Runs, plan.Run.PrintsBacks) }

func (d Job) checkSheet() testsheet.CheckSheet {
	return testsheet.CheckSheet{
		Paper: d.Paper,
		Title: fmt.Sprintf("Check sheet of %s, for the profile %s", d.Name, d.Profile.Name),
		Backs: d.printsBacks(),
	}
}

// writeCheck writes one file of the check sheet.
func (d Job) writeCheck(ctx context.Context, w io.Writer, f plan.Pass) error {
	out := pdf.PrintFile{Paper: d.Paper.Size, Title: fmt.Sprintf("%s, check sheet, %s", d.Name, f.Pass), Duplex: duplex(f.Pass)}
	out.Sides = lists.Map(f.Images, func(image printer.Image) pdf.Side { return d.checkSheet().Side(image.Side, d.Correction(image)) })
	return pdf.Write(ctx, w, out)
}
