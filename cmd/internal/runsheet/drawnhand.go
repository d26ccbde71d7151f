package runsheet

import (
	"fmt"

	"foldwright/cmd/internal/drawing"
	"foldwright/reorder"
)

func (h Hand) Drawing() drawing.Drawing {
	before, after := h.lies.paper, h.lies.after(h.Motion).paper
	switch m := h.Motion.(type) {
	case reorder.LayDown:
		return h.drawnDown(m)
	case reorder.CutPile:
		return drawing.Cut{Before: before, Level: m.Line == reorder.Level, At: m.At, On: m.On, Turn: m.Turn}
	case reorder.CutApart:
		return drawing.Cut{Before: before, Level: m.Line == reorder.Level, At: m.At}
	case reorder.CutOffInset:
		return h.drawnInset(m)
	case reorder.LayIn:
		return drawing.Nest{Names: []string{"the rest", "the inset"}}
	case reorder.FoldOver:
		return drawing.Fold{Before: before, Over: m.Over, At: m.At, After: after, Sewn: h.Last && h.Form.Fold.Scheme().Held == reorder.Sewn}
	case reorder.SlitBolt:
		return drawing.Slit{Lies: before, Edge: m.Edge, From: m.From, To: m.To}
	case reorder.NestPieces:
		return h.drawnNest()
	case reorder.Join:
		return drawing.Join{Sheet: before.Size, To: m.To, At: m.At}
	case reorder.Pleat:
		return drawing.Pleat{To: m.To, Width: m.Width, Pages: after.Layers}
	case reorder.Present:
		return drawing.Present{Before: before, TurnOver: m.TurnOver, Half: m.Quarters == 2, After: after, Spine: m.Spine}
	case reorder.OpenBolts:
		return drawing.Bolts{Lies: before, Spine: spineOf(h.Form.Bind), Edges: m.Edges}
	}
	return nil
}

// spineOf is where the spine lies as a gathering is read.
func spineOf(b reorder.Bind) reorder.Towards {
	return map[reorder.Bind]reorder.Towards{reorder.BindLeft: reorder.Left, reorder.BindRight: reorder.Right, reorder.BindTop: reorder.Up}[b]
}

func (h Hand) drawnDown(m reorder.LayDown) drawing.Drawing {
	face, known := h.lies.after(m).face(h.top, m.Face)
	if !known {
		return nil
	}
	what := "sheet"
	if h.lies.piece {
		what = "piece"
	}
	if m.Face == reorder.Back && !m.Singly { // the last one lies on top
		for i := range face.Panels {
			face.Panels[i].Page = drawing.AnyPage
		}
		return drawing.Prints{
			What:   fmt.Sprintf("The %ss that are folded together, as they lie before you, their backs up", what),
			Labels: []string{"all together, backs up"}, Faces: []drawing.Print{face}, Lying: true,
		}
	}
	return drawing.Prints{
		What: fmt.Sprintf("The first %s as it lies before you, its %s up", what, m.Face), Labels: []string{fmt.Sprintf("first %s, %s up", what, m.Face)},
		Faces: []drawing.Print{face}, Lying: true,
	}
}

// drawnInset is the cut, and the folding of what is cut off.
func (h Hand) drawnInset(m reorder.CutOffInset) drawing.Drawing {
	before := h.lies.paper
	out := drawing.Series{What: "Cut the inset off and fold it", Steps: []drawing.Drawing{
		drawing.Cut{Before: before, Level: m.Line == reorder.Level, At: m.At, Inset: true},
	}}
	inset := lying{paper: drawing.Flat{Size: before.Size, Layers: before.Layers}}
	if m.Line == reorder.Level {
		inset.paper.Size.H -= m.At
	} else {
		inset.paper.Size.W -= m.At
	}
	for _, one := range m.Inset {
		step := Hand{Motion: one, Form: h.Form, lies: inset}
		out.Steps = append(out.Steps, step.Drawing())
		inset = inset.after(one)
	}
	return out
}

var ordinals = []string{"first", "second", "third", "fourth"}

func (h Hand) drawnNest() drawing.Drawing {
	n := max(2, h.pieces)
	d := drawing.Nest{More: n > len(ordinals)}
	for i := range min(n, len(ordinals)) {
		d.Names = append(d.Names, "the "+ordinals[i])
	}
	return d
}

func (k KeepStacks) Drawing() drawing.Drawing {
	d := drawing.Piles{Unit: "sheet"}
	for i, n := range k.Sheets {
		d.Names, d.Counts = append(d.Names, fmt.Sprintf("run %d", i+1)), append(d.Counts, n)
	}
	return several(d)
}

func (c CountOff) Drawing() drawing.Drawing {
	d := drawing.Piles{Unit: "piece"}
	for i, n := range c.Pieces {
		d.Names, d.Counts = append(d.Names, fmt.Sprintf("number %d", c.Gatherings[i].Number)), append(d.Counts, n)
	}
	return several(d)
}

func (r JoinRuns) Drawing() drawing.Drawing {
	d := drawing.Piles{Unit: "sheet", Together: true}
	for i, n := range r.Sheets {
		d.Names, d.Counts = append(d.Names, fmt.Sprintf("run %d", i+1)), append(d.Counts, n)
	}
	return several(d)
}

func (t TakeApart) Drawing() drawing.Drawing {
	d := drawing.Piles{Unit: "sheet"}
	alone := true
	for _, g := range t.Gatherings {
		d.Names, d.Counts = append(d.Names, fmt.Sprintf("number %d", g.Number)), append(d.Counts, g.Sheets)
		alone = alone && g.Sheets == 1
	}
	if alone {
		return nil // nothing is taken apart
	}
	return several(d)
}

// several draws piles only if there are more than one.
func several(d drawing.Piles) drawing.Drawing {
	if len(d.Names) < 2 {
		return nil
	}
	return d
}

func (p Press) Drawing() drawing.Drawing { return drawing.Press{What: madeOf(p.Fold)} }

// The stairs on the backs are drawn where they are printed.
func (c Collate) Drawing() drawing.Drawing {
	if !c.Steps || c.Gatherings < 2 {
		return nil
	}
	return drawing.Backs{Gatherings: c.Gatherings}
}
