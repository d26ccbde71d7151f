package output

import (
	"context"
	"fmt"
	"io"
	"slices"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/sheets/testsheet"
)

// checkFiles are the files of the trial sheet, in printing order: it goes the
// way of every sheet of the job.
func (d Job) checkFiles() []plan.Pass {
	var out []plan.Pass
	for _, f := range d.Profile.Files(1, d.printsBacks()) {
		out = append(out, plan.PassOf(fmt.Sprintf("check-%s.pdf", f.Pass), f))
	}
	return out
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

// writeCheck writes one file of the trial sheet.
func (d Job) writeCheck(ctx context.Context, w io.Writer, f plan.Pass) error {
	out := pdf.PrintFile{
		Paper:  d.Paper.Size,
		Title:  fmt.Sprintf("%s, check sheet, %s", d.Name, f.Pass),
		Duplex: duplex(f.Pass),
	}
	for _, image := range f.Images {
		out.Sides = append(out.Sides, d.checkSheet().Side(image.Side, d.Correction(image)))
	}
	return pdf.WriteDrawings(ctx, w, out)
}
