package output

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/cmd/internal/survey"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
)

// RunSheet is what the person is told.
func (d Job) RunSheet() runsheet.Job {
	j := runsheet.Job{
		Title:   d.Name,
		Version: d.Version,
		Pages:   d.PagesPrinted(),
		Blanks:  d.BlanksPrinted(),
		Margins: d.Margins(),
		Made:    d.IsBlankBook(),
		Between: d.BetweenText(),
		Copies:  d.Options.HowOften(), BookSheets: len(d.Placement.Sheets),
		Scale:     d.Placement.Scale,
		Paper:     d.Paper,
		Own:       d.Own,
		Units:     d.Options.Units,
		Leaf:      d.Book.PanelSize(),
		Creep:     d.Creep().In(d.Style),
		Trim:      d.Trim,
		Form:      d.Book.Form,
		Handwork:  d.Handwork,
		Profile:   d.Profile,
		Guessed:   d.Guessed,
		Marks:     d.marksPrinted(),
		SideNames: d.HasNames(), ShortNames: !d.NamesTellRun(),
		Warnings: phrase.Strings(d.BookWarnings(), d.Style), // what concerns the printer the sheet says itself
	}
	d.tellInserts(&j)
	if spans := d.PartSpans(); len(spans) > 1 {
		for _, p := range spans {
			j.Files = append(j.Files, runsheet.SourceFile{Name: p.File, First: p.First, Last: p.Last})
		}
	}
	switch d.Options.Numbers {
	case reorder.NumbersOuter:
		j.Numbers = "at the outer edge"
	case reorder.NumbersCentre:
		j.Numbers = "in the middle"
	}
	if d.Folder != "" {
		j.Program = runsheet.Program{Folder: d.Folder, Style: d.Style}
	}
	for _, g := range d.Gatherings() {
		j.Gatherings = append(j.Gatherings, runsheet.Gathering{Number: g.Number, First: d.FirstSheet(g), Sheets: len(g.Sheets), Pieces: d.PiecesOf(g)})
	}
	check := d.checkSheet()
	j.CheckSheet = runsheet.CheckSheet{Rule: check.RuleLength(), Marks: testsheet.CheckMarks[:]}
	j.CheckSheet.Files = lists.Map(d.checkFiles(), func(f plan.Pass) runsheet.File { return runsheet.File{Name: f.Name, Pass: f.Pass} })
	if len(d.Volumes) > 1 && d.Options.OnlyGathering == 0 {
		j.Volumes = d.Volumes
	}
	if d.Options.OnlyGathering == 0 {
		j.Bench = d.Measures
	}
	j.Runs = lists.Map(d.Runs, func(run plan.Run) runsheet.Run { return d.runOf(run, 1, run.Sheets) })
	j.Trial = d.trial(j.Runs)
	return j
}

// runOf is the sheets of a run from one place to another, as they are printed by themselves.
func (d Job) runOf(run plan.Run, from, to int) runsheet.Run {
	r := runsheet.Run{Number: run.Number, Sheets: to - from + 1, Top: d.faces(run, from)}
	for _, f := range run.Passes {
		out := runsheet.File{Name: f.Name, Pass: f.Pass}
		f.Images = slices.Clone(f.Images)
		isOut := func(i printer.Image) bool { return i.Sheet < from || i.Sheet > to }
		if r.Sheets < run.Sheets {
			first := slices.IndexFunc(f.Images, func(i printer.Image) bool { return !isOut(i) })
			f.Images = slices.DeleteFunc(f.Images, isOut)
			out.Pages = runsheet.Pages{From: first + 1, To: first + len(f.Images)}
		}
		first, last := d.ends(f)
		out.FirstOut, out.LastOut = d.shown(run, first), d.shown(run, last)
		r.Files = append(r.Files, out)
	}
	return r
}

// trial is the first gathering by itself, where nobody has seen yet what the printer
// does and it can be folded before the others are printed.
func (d Job) trial(runs []runsheet.Run) *runsheet.Trial {
	stacks, scheme, run := d.Book.Stacks, d.Book.Form.Fold.Scheme(), d.Runs[0]
	known := !d.Guessed && len(d.Profile.Assumed) == 0
	if known || d.IsBetween(1) || d.Options.Plates.IsGiven() || d.Options.OnlyGathering > 0 || scheme.Held != reorder.Sewn || len(stacks) < 2 || len(stacks) != len(d.Gatherings()) {
		return nil
	}
	n, _ := d.Book.Form.SheetsOf(stacks[0]...)
	if n > run.Sheets {
		return nil
	}
	t := &runsheet.Trial{Run: d.runOf(run, 1, n), Rest: runs[1:]}
	if n < run.Sheets {
		t.Rest = append([]runsheet.Run{d.runOf(run, n+1, run.Sheets)}, runs[1:]...)
	}
	var err, other error
	t.Handwork, err = d.Book.Form.Handwork(d.Paper.Size, stacks[:1])
	t.Then, other = d.Book.Form.Handwork(d.Paper.Size, stacks[1:])
	if err != nil || other != nil {
		return nil
	}
	return t
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
	for _, spare := range s.Spare {
		out.Panels = append(out.Panels, drawing.Panel{Rect: spare.On(image.Side, d.Paper.Size), Head: geom.Up, Spare: true})
	}
	if !d.HasNames() {
		return out
	}
	for i, panels := range byPiece {
		if len(panels) == 0 {
			continue
		}
		from, to := d.NameSpan(d.PieceName(run, image.Sheet, image.Side, s.Pieces[i]), panels)
		out.Names = append(out.Names, drawing.Line{From: from, To: to})
	}
	return out
}

// shown is what is to be read on a side: its side name, or else the pages on it.
func (d Job) shown(run plan.Run, image printer.Image) string {
	if d.HasNames() {
		return d.SideName(run, image.Sheet, image.Side)
	}
	var pages []string
	for _, p := range d.Sheet(run, image.Sheet).Sheet.Side(image.Side) {
		if p.Page > 0 {
			pages = append(pages, d.pageName(p.Page))
		}
	}
	switch len(pages) {
	case 0:
		return "no page of the book"
	case 1:
		return "page " + pages[0]
	}
	return "pages " + strings.Join(pages[:len(pages)-1], ", ") + " and " + pages[len(pages)-1]
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
	if d.IsHalfTitle(s.Page) {
		return "title"
	}
	if d.IsRuled(s.Page) {
		return "ruled"
	}
	switch s.Half {
	case survey.LeftHalf:
		return fmt.Sprintf("%dL", s.Page)
	case survey.RightHalf:
		return fmt.Sprintf("%dR", s.Page)
	}
	return fmt.Sprint(s.Page)
}

// tellInserts tells of leaves of other paper: those of the book, or that the job prints them for one.
func (d Job) tellInserts(j *runsheet.Job) {
	for _, in := range d.Inserts {
		leaf := d.Options.Bind.TurnToSide(d.Trim.Of(d.Book.PanelSize(), d.Options.Bind))
		if in.FoldOut.Width > 0 {
			leaf.W = in.FoldOut.Width
		}
		paper := ""
		if in.Paper != "" {
			paper = in.PaperText()
		}
		j.Inserts = append(j.Inserts, runsheet.Insert{
			Name: in.Name, Printed: in.Printed, How: in.How, Ends: in.Ends, Sewn: in.Sewn, Stubs: in.Stubs,
			Leaf: d.Options.Bind.TurnToSide(leaf), Paper: paper, Laid: placesOf(in), FoldOut: in.FoldOut,
		})
	}
	if p := d.Options.Plates; p.IsGiven() {
		leaf := geom.Size{W: float64(p.Leaf.W), H: float64(p.Leaf.H)}
		in := plan.Insert{How: p.How, Laid: p.Laid}
		j.Plates = &runsheet.Plates{Book: p.Book, Insert: runsheet.Insert{
			Name: p.Name, Printed: true, How: p.How, Ends: p.Ends, Sewn: p.Sewn, Stubs: p.HasStub(), Leaf: leaf, Paper: d.Paper.Word(), Laid: placesOf(in), FoldOut: p.FoldOut,
		}}
	}
}

// placesOf is the places of an insert in words.
func placesOf(in plan.Insert) []runsheet.Laid {
	return lists.Map(in.Laid, func(l options.Laid) runsheet.Laid { return runsheet.Laid{Text: l.Text(in.How), Slot: l.Slot} })
}
