package output

import (
	"fmt"
	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/cmd/internal/survey"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"math"
)

// runSheet is what the person is told.
func (d Job) runSheet() runsheet.Job {
	j := runsheet.Job{
		Title:     d.Name,
		Version:   d.Version,
		Pages:     d.PagesPrinted(),
		Blanks:    d.BlanksPrinted(),
		Scale:     d.Placement.Scale,
		Paper:     d.Paper,
		Leaf:      d.Book.PanelSize(),
		Creep:     d.Creep().In(d.Style),
		Trim:      d.Trim,
		Form:      d.Book.Form,
		Handwork:  d.Handwork,
		Profile:   d.Profile,
		Guessed:   d.Guessed,
		Marks:     d.marksPrinted(),
		SideNames: !d.Options.NoSideNames,
		Warnings:  phrase.Strings(d.BookWarnings(), d.Style), // what concerns the printer the sheet says itself
	}
	if d.Folder != "" {
		j.Program = runsheet.Program{Folder: d.Folder, Style: d.Style}
	}
	for _, g := range d.Gatherings() {
		j.Gatherings = append(j.Gatherings, runsheet.Gathering{Number: g.Number, First: g.Sheets[0].Number, Sheets: len(g.Sheets)})
	}
	check := d.checkSheet()
	j.CheckSheet = runsheet.CheckSheet{Rule: check.RuleLength(), Marks: testsheet.CheckMarks[:]}
	for _, f := range d.checkFiles() {
		j.CheckSheet.Files = append(j.CheckSheet.Files, runsheet.File{Name: f.Name, Pass: f.Pass})
	}
	if len(d.Volumes) > 1 && d.Options.OnlyGathering == 0 {
		j.Volumes = d.Volumes
	}
	if d.Options.OnlyGathering == 0 {
		j.Bench = d.Measures
	}
	for _, run := range d.Runs {
		r := runsheet.Run{Number: run.Number, Sheets: run.Sheets, Split: run.Split}
		for _, f := range run.Passes {
			out := runsheet.File{Name: f.Name, Pass: f.Pass}
			first, last := d.ends(f)
			out.First, out.Last = d.print(run, first), d.print(run, last)
			out.FirstOut, out.LastOut = d.nameOf(run, first), d.nameOf(run, last)
			r.Files = append(r.Files, out)
		}
		r.Top = d.faces(run, 1)
		j.Runs = append(j.Runs, r)
	}
	return j
}

// marksPrinted is the marks that are on the sheets: there are no ticks on cuts
// where nothing is cut.
func (d Job) marksPrinted() runsheet.Marks {
	m := runsheet.Marks{Signing: reorder.Unsigned}
	for _, marks := range d.Marks {
		for _, mark := range marks {
			switch mark.Kind {
			case reorder.FoldTick:
				m.Fold = true
			case reorder.CutTick:
				m.Cut = true
			case reorder.StepMark:
				m.Collation = true
			case reorder.StationTick:
				m.Stations = true
			case reorder.CornerMark:
				m.Corners = true
			case reorder.SignMark:
				m.Signing = d.Options.Marks.Signing
			}
		}
	}
	return m
}

// ends is the first and the last sheet of a file to come out of the printer.
func (d Job) ends(f plan.Pass) (first, last printer.Image) {
	out := d.Profile.ImagesOut(f.File())
	return out[0], out[len(out)-1]
}

// nameOf is the side name on an image of a run; empty without side names.
func (d Job) nameOf(run plan.Run, i printer.Image) string {
	if d.Options.NoSideNames {
		return ""
	}
	return d.SideName(run, i.Sheet, i.Side)
}

// print is what is to be seen of a side, from the plan: nothing of the source is
// drawn, so it costs no time.
func (d Job) print(run plan.Run, image printer.Image) drawing.Print {
	s := d.Sheet(run, image.Sheet).Sheet
	out := drawing.Print{Size: d.Paper.Size}
	byPiece := make([][]reorder.Panel, len(s.Pieces))
	for _, p := range s.Side(image.Side) {
		out.Panels = append(out.Panels, drawing.Panel{Rect: p.Rect, Head: p.Head, Page: d.pageName(p.Page)})
		byPiece[p.Piece-1] = append(byPiece[p.Piece-1], p)
	}
	if d.Options.NoSideNames {
		return out
	}
	out.Name = d.SideName(run, image.Sheet, image.Side)
	for i, panels := range byPiece {
		if len(panels) == 0 {
			continue
		}
		head, tail := d.NameLine(panels)
		length := math.Hypot(tail.X-head.X, tail.Y-head.Y)
		from, to, _ := plan.NameSpan(d.PieceName(run, image.Sheet, image.Side, s.Pieces[i]), length)
		along := func(at float64) geom.Point {
			return geom.Point{X: head.X + (tail.X-head.X)*at/length, Y: head.Y + (tail.Y-head.Y)*at/length}
		}
		out.Names = append(out.Names, drawing.Line{From: along(from), To: along(to)})
	}
	return out
}

// faces is the two faces of a sheet of a run.
func (d Job) faces(run plan.Run, inRun int) runsheet.Both {
	return runsheet.Both{
		Front: d.print(run, printer.Image{Sheet: inRun, Side: reorder.Front}),
		Back:  d.print(run, printer.Image{Sheet: inRun, Side: reorder.Back}),
		Piece: d.Sheet(run, inRun).Sheet.Pieces[0].Front,
	}
}

// pageName is what a page of the book is called in pictures: its number in the
// source, with L or R for the halves of a spread; empty for a blank.
func (d Job) pageName(page int) string {
	if page == 0 {
		return ""
	}
	s := d.Shown(page)
	switch s.Half {
	case survey.LeftHalf:
		return fmt.Sprintf("%dL", s.Page)
	case survey.RightHalf:
		return fmt.Sprintf("%dR", s.Page)
	}
	return fmt.Sprint(s.Page)
}
