package runsheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// planFaces is the two faces of a sheet of a plan.
func planFaces(size geom.Size, s reorder.Sheet) Both {
	out := Both{Piece: s.Pieces[0].Front}
	for side, p := range map[reorder.Side]*drawing.Print{reorder.Front: &out.Front, reorder.Back: &out.Back} {
		p.Size = size
		for _, panel := range s.Side(side) {
			p.Panels = append(p.Panels, drawing.Panel{Rect: panel.Rect, Head: panel.Head, Page: fmt.Sprint(panel.Page)})
		}
		for _, spare := range s.Spare {
			p.Panels = append(p.Panels, drawing.Panel{Rect: spare.On(side, size), Head: geom.Up, Spare: true})
		}
	}
	return out
}

func sameSize(a, b geom.Size) bool { return math.Abs(a.W-b.W) < 1e-6 && math.Abs(a.H-b.H) < 1e-6 }

// Every motion of every form is drawn, and as it is: paper of the sizes that lie
// on a table on which the motions are really made, creases and cuts where the
// motions have them, folds at the edges that are slit, sewn and opened, and the first sheet
// with its pages upright where the hand is told to look.
func TestMotionsAreDrawnAsTheyAre(t *testing.T) {
	kinds := map[string]int{}
	for _, j := range everyForm(t) {
		table, slit := j.table(t), map[geom.Towards]bool{}
		for _, s := range Steps(Parts(j.Job)) {
			m, is := motion(s)
			if !is {
				continue
			}
			before := table.Piles()[0].Size()
			if err := table.Do(m); err != nil {
				t.Fatal(err)
			}
			if hand, ok := s.(Hand); ok {
				d := DrawingOf(hand)
				if d == nil {
					t.Fatalf("%+v: %T is not drawn", j.Form, m)
				}
				kinds[fmt.Sprintf("%T", m)]++
				if err := checkDrawn(m, d, before, table.Piles()[0].Size(), j.Form, slit); err != nil {
					t.Fatalf("%+v: %T: %v", j.Form, m, err)
				}
			}
		}
	}
	for _, m := range []reorder.Motion{
		reorder.LayDown{}, reorder.CutPile{}, reorder.CutApart{}, reorder.CutOffInset{}, reorder.LayIn{}, reorder.FoldOver{},
		reorder.SlitBolt{}, reorder.NestPieces{}, reorder.Join{}, reorder.Pleat{}, reorder.Present{}, reorder.OpenBolts{},
	} {
		if kinds[fmt.Sprintf("%T", m)] == 0 {
			t.Errorf("%T was never drawn", m)
		}
	}
}

// checkDrawn compares a drawing with a motion and the sizes of what lay on the table
// before and after it. slit is the edges slit since the last fold.
func checkDrawn(m reorder.Motion, d drawing.Drawing, before, after geom.Size, form reorder.Form, slit map[geom.Towards]bool) error {
	switch m := m.(type) {
	case reorder.LayDown:
		return checkLaid(m, d.(drawing.Laid).Print)
	case reorder.CutPile:
		d := d.(drawing.Cut)
		if !sameSize(d.Before.Size, before) || d.CutPile != m || d.Inset {
			return fmt.Errorf("%+v is drawn as %+v", m, d)
		}
	case reorder.CutApart:
		d := d.(drawing.Cut)
		if !sameSize(d.Before.Size, before) || d.CutPile != (reorder.CutPile{Line: m.Line, At: m.At}) || d.Inset {
			return fmt.Errorf("%+v is drawn as %+v", m, d)
		}
	case reorder.CutOffInset:
		steps := d.(drawing.Series).Steps
		cut := steps[0].(drawing.Cut)
		if !sameSize(cut.Before.Size, before) || cut.At != m.At || cut.Line != m.Line || !cut.Inset || len(steps) != 1+len(m.Inset) {
			return fmt.Errorf("%+v is drawn as %+v", m, d)
		}
		off := geom.Size{W: before.W, H: before.H - m.At}
		if cut.Line == reorder.Upright {
			off = geom.Size{W: before.W - m.At, H: before.H}
		}
		open := map[geom.Towards]bool{geom.Up: true, geom.Left: true, geom.Down: true, geom.Right: true}
		for i, one := range m.Inset {
			fold := steps[i+1].(drawing.Fold)
			if err := checkDrawn(one, fold, off, fold.After.Size, form, open); err != nil {
				return err
			}
			off = fold.After.Size
		}
	case reorder.FoldOver:
		return checkFolded(m, d.(drawing.Fold), before, after, slit)
	case reorder.SlitBolt:
		d := d.(drawing.Slit)
		if !sameSize(d.Lies.Size, before) || d.SlitBolt != m || !d.Lies.HasFold(m.Edge) {
			return fmt.Errorf("%+v is drawn as %+v", m, d)
		}
		slit[m.Edge] = true
	case reorder.Join:
		if d := d.(drawing.Join); !sameSize(d.Sheet.Size, before) || d.Join != m {
			return fmt.Errorf("%+v is drawn as %+v", m, d)
		}
	case reorder.Pleat:
		if d := d.(drawing.Pleat); d.Pleat != m || math.Abs(float64(d.Pages)*m.Width-max(before.W, before.H)) > 1e-6 {
			return fmt.Errorf("%+v of %s is drawn as %+v", m, before, d)
		}
	case reorder.Present:
		d := d.(drawing.Present)
		if !sameSize(d.Before.Size, before) || !sameSize(d.After.Size, after) || d.Present != m || m.Held == reorder.Sewn && !d.After.HasFold(m.Spine) {
			return fmt.Errorf("%+v of %s is drawn as %+v", m, before, d)
		}
	case reorder.OpenBolts:
		d := d.(drawing.Bolts)
		folds := slices.DeleteFunc(slices.Clone(d.Lies.Folds), func(e geom.Towards) bool { return e == d.Spine })
		slices.Sort(folds)
		if edges := slices.Sorted(slices.Values(m.Edges)); !sameSize(d.Lies.Size, before) || !slices.Equal(d.Edges, m.Edges) || !slices.Equal(folds, edges) {
			return fmt.Errorf("%+v is drawn as %+v", m, d)
		}
	}
	return nil
}

// checkLaid looks whether the first sheet is drawn as it has to lie.
func checkLaid(m reorder.LayDown, p drawing.Print) error {
	if !sameSize(p.Size, m.Size) {
		return fmt.Errorf("%s lies there, %s is drawn", m.Size, p.Size)
	}
	away := func(panel drawing.Panel) float64 {
		return map[geom.Towards]float64{
			geom.Up: p.Size.H - panel.Rect.Y1, geom.Left: panel.Rect.X0, geom.Down: panel.Rect.Y0, geom.Right: p.Size.W - panel.Rect.X1,
		}[m.Upright]
	}
	nearest := math.Inf(1) // on a strip there may be a bare end beyond
	for _, panel := range p.Panels {
		nearest = min(nearest, away(panel))
	}
	for _, panel := range p.Panels {
		if away(panel) < nearest+1e-6 && panel.Head != geom.Up && !panel.Spare {
			return fmt.Errorf("%+v: %s is drawn at that edge", m, panel)
		}
	}
	return nil
}

func checkFolded(m reorder.FoldOver, d drawing.Fold, before, after geom.Size, slit map[geom.Towards]bool) error {
	if !sameSize(d.Before.Size, before) || !sameSize(d.After.Size, after) || d.FoldOver != m {
		return fmt.Errorf("%+v of %s to %s is drawn as %+v", m, before, after, d)
	}
	crossed, made := []geom.Towards{geom.Up, geom.Down}, geom.Right
	if m.Over == reorder.FarOverNear {
		crossed, made = []geom.Towards{geom.Left, geom.Right}, geom.Up
	}
	if !d.After.HasFold(made) {
		return fmt.Errorf("%+v is drawn as %+v", m, d)
	}
	for _, e := range crossed {
		if d.Before.HasFold(e) && !slit[e] {
			return fmt.Errorf("a fold is drawn at the edge %s, which would crumple", e)
		}
	}
	clear(slit)
	return nil
}

// Forms that are made differently are drawn differently.
func TestEachFormHasItsDrawings(t *testing.T) {
	eachFormHasItsOwn(t, "drawings", func(s Step) string {
		d := DrawingOf(s)
		if d == nil {
			return ""
		}
		return string(drawing.Append(nil, d, "d"))
	})
}

// A real plan comes from the planner only for the first sheet: without it the
// other drawings stay.
func TestDrawnWithoutTheFirstSheet(t *testing.T) {
	j, _ := sample(printer.Usual, true, 4)
	j.Runs[0].Top = Both{}
	down, fold := 0, 0
	for _, s := range Steps(Parts(j)) {
		if hand, ok := s.(Hand); ok {
			switch hand.Motion.(type) {
			case reorder.LayDown:
				if DrawingOf(s) == nil {
					down++
				}
			case reorder.FoldOver:
				if DrawingOf(s) != nil {
					fold++
				}
			}
		}
	}
	if down != 1 || fold != 1 {
		t.Errorf("%d and %d", down, fold)
	}
}

// The ways of putting a stack back are told in words that the drawing has too.
func TestTurnsAreDrawnAsTheyAreTold(t *testing.T) {
	words := map[printer.Reload]string{
		printer.AsDelivered: "without a", printer.RotateHalf: "half round, flat", printer.TurnLong: "like the page of a book", printer.TurnShort: "like the leaf of a wall calendar",
	}
	for reload, want := range words {
		back := PutBack{Reload: reload, Stack: drawing.Stack{Sheets: 3, Up: drawing.Blank, Under: drawing.Front}}
		told := back.Text().Lead.String()
		_, drawn := back.Drawing().Describe()
		for other, word := range words {
			if strings.Contains(told, word) != (other == reload) || strings.Contains(drawn, word) != (other == reload) {
				t.Errorf("%s, %q: %q is drawn as %q", reload, want, told, drawn)
			}
		}
	}
}
