package output

import (
	"fmt"
	"math"

	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/survey"
	"foldwright/printer"
	"foldwright/reorder"
)

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
		along := func(at float64) reorder.Point {
			return reorder.Point{X: head.X + (tail.X-head.X)*at/length, Y: head.Y + (tail.Y-head.Y)*at/length}
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
