package output

import (
	"fmt"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/printer"
	"foldwright/reorder"
)

// printFile is the content of one file of a run.
func (d Job) printFile(run plan.Run, f plan.Pass) pdf.PrintFile {
	out := pdf.PrintFile{
		Paper:  d.Paper.Size,
		Title:  fmt.Sprintf("%s, run %d, %s", d.Name, run.Number, f.Pass),
		Duplex: duplex(f.Pass),
	}
	for _, image := range f.Images {
		out.Sides = append(out.Sides, d.side(run, image))
	}
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
	var marks []reorder.Mark
	sheet := d.Sheet(run, image.Sheet).Sheet
	for _, m := range d.Marks[sheet.Number] {
		if m.Side == image.Side {
			marks = append(marks, m)
		}
	}
	drawMarks(&out.Drawing, marks, d.Correction(image))
	if !d.Options.NoSideNames {
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
	return n
}
