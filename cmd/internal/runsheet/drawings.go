package runsheet

import (
	"fmt"
	"slices"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// DrawingOf is the drawing of a step that is drawn as well as told, nil if it has
// none, or if what there is to draw is not known. It follows from the same facts
// as the text.
func DrawingOf(s Step) drawing.Drawing {
	if d, ok := s.(interface{ Drawing() drawing.Drawing }); ok {
		return d.Drawing()
	}
	return nil
}

func (p PutBack) Drawing() drawing.Drawing {
	if p.Stack.Sheets == 0 || p.Beside && p.Reload == printer.AsDelivered { // nothing moves
		return nil
	}
	return drawing.Move{From: p.Stack, Turn: p.Reload, To: map[bool]drawing.Where{true: drawing.BesideTray, false: drawing.Tray}[p.Beside]}
}

func (t TakeOut) Drawing() drawing.Drawing {
	if !t.TurnOver {
		return nil
	}
	return drawing.Move{From: t.Stack, Turn: t.turn(), To: drawing.Table}
}

func (h Hand) Drawing() drawing.Drawing {
	before, after := h.work.paper, h.work.after(h.Motion).paper
	switch m := h.Motion.(type) {
	case reorder.LayDown:
		return h.drawLayDown(m)
	case reorder.CutPile:
		return drawing.Cut{Before: before, CutPile: m}
	case reorder.CutApart:
		return drawing.Cut{Before: before, CutPile: reorder.CutPile{Line: m.Line, At: m.At}}
	case reorder.CutOffInset:
		return h.drawInset(m)
	case reorder.LayIn:
		return drawing.Nest{Names: []string{"the rest", "the offcut"}}
	case reorder.FoldOver:
		return drawing.Fold{Before: before, FoldOver: m, After: after, Sewn: h.Last && h.Form.Fold.Scheme().Held == reorder.Sewn}
	case reorder.SlitBolt:
		return drawing.Slit{Lies: before, SlitBolt: m}
	case reorder.NestPieces:
		return h.drawNest()
	case reorder.Join:
		return drawing.Join{Sheet: before, Join: m}
	case reorder.Pleat:
		return drawing.Pleat{Pleat: m, Pages: after.Layers, Units: h.Units}
	case reorder.Present:
		return drawing.Present{Before: before, After: after, Present: m}
	case reorder.OpenBolts:
		return drawing.Bolts{Lies: before, Spine: map[reorder.Bind]geom.Towards{reorder.BindLeft: geom.Left, reorder.BindRight: geom.Right, reorder.BindTop: geom.Up}[h.Form.Bind], OpenBolts: m}
	}
	return nil
}

func (h Hand) drawLayDown(m reorder.LayDown) drawing.Drawing {
	face, known := h.work.after(m).seenSide(h.Runs[0].Top, m.Face)
	if !known {
		return nil
	}
	what := "sheet"
	if h.work.piece {
		what = "piece"
	}
	out := drawing.Laid{What: fmt.Sprintf("The first %s as it lies before you, its %s up", what, m.Face), Label: fmt.Sprintf("first %s, %s up", what, m.Face), Print: face}
	if m.Face == reorder.Back && !m.Singly {
		out.What += "; the others lie on it in the same way"
	}
	return out
}

// drawInset is the cut, and the folding of what is cut off.
func (h Hand) drawInset(m reorder.CutOffInset) drawing.Drawing {
	before := h.work.paper
	out := drawing.Series{What: "Cut the offcut off and fold it", Steps: []drawing.Drawing{
		drawing.Cut{Before: before, CutPile: reorder.CutPile{Line: m.Line, At: m.At}, Inset: true},
	}}
	inset := workpiece{paper: drawing.Flat{Size: before.Size, Layers: before.Layers, Units: h.Units}}
	_, inset.paper.Size = drawing.CutParts(before.Size, m.Line, m.At)
	for _, one := range m.Inset {
		step := Hand{Motion: one, Job: h.Job, work: inset}
		out.Steps = append(out.Steps, step.Drawing())
		inset = inset.after(one)
	}
	return out
}

var ordinals = []string{"first", "second", "third", "fourth"}

func (h Hand) drawNest() drawing.Drawing {
	n := 2
	for _, g := range h.Gatherings {
		n = max(n, h.Form.Pieces(g.size(h.Form)))
	}
	d := drawing.Nest{More: n > len(ordinals)}
	for i := range min(n, len(ordinals)) {
		d.Names = append(d.Names, "the "+ordinals[i])
	}
	return d
}

// The stairs on the backs are drawn where they are printed.
func (c Collate) Drawing() drawing.Drawing {
	if !c.hasStairs() {
		return nil
	}
	return drawing.Backs{Gatherings: len(c.Gatherings)}
}

// workpiece is what lies before the person while a gathering is made: the paper,
// and how it has been turned from feed orientation.
type workpiece struct {
	paper    drawing.Flat
	quarters int // counter-clockwise, fronts up
	piece    bool
}

// after is what lies there once the hands have done a motion.
func (l workpiece) after(m reorder.Motion) workpiece {
	p := l.paper
	p.Folds = slices.Clone(p.Folds)
	switch m := m.(type) {
	case reorder.Deal:
		p.Layers = slices.Max(m.Counts)
	case reorder.LayDown:
		p.Size = m.Size
		l.quarters += m.Quarters
		if m.Singly {
			p.Layers = 1
		}
	case reorder.CutPile:
		p.Size, _ = drawing.CutParts(p.Size, m.Line, m.At)
		p.Layers *= 2
		l.piece = true
	case reorder.CutApart:
		p.Size, _ = drawing.CutParts(p.Size, m.Line, m.At)
		l.piece = true
	case reorder.CutOffInset:
		p.Size, _ = drawing.CutParts(p.Size, m.Line, m.At)
	case reorder.FoldOver:
		p = foldOver(p, m)
	case reorder.Join:
		if m.To == geom.Down {
			p.Size.H = m.At * float64(p.Layers)
		} else {
			p.Size.W = m.At * float64(p.Layers)
		}
		p.Layers = 1
	case reorder.Pleat:
		p.Layers = int((max(p.Size.W, p.Size.H) + 1) / m.Width)
		if m.To == geom.Down {
			p.Size.H = m.Width
		} else {
			p.Size.W = m.Width
		}
	case reorder.Present:
		for i, e := range p.Folds {
			if m.TurnOver && (e == geom.Left || e == geom.Right) {
				e = e.Opposite()
			}
			p.Folds[i] = e.Turn(m.Quarters)
		}
	}
	l.paper = p
	return l
}

// foldOver is the paper after a fold: the crease is an edge now, and folds of the
// moving part's outer edge lie on the other's.
func foldOver(p drawing.Flat, m reorder.FoldOver) drawing.Flat {
	made := drawing.FoldEdge(m.Over)
	if other := made.Opposite(); p.HasFold(made) && !p.HasFold(other) {
		p.Folds = append(p.Folds, other)
	}
	if !p.HasFold(made) {
		p.Folds = append(p.Folds, made)
	}
	p.Size, _ = drawing.CutParts(p.Size, drawing.LineOf(m.Over), m.At)
	p.Layers *= 2
	return p
}

// seenSide is what is seen of the first sheet or piece as it lies, if it is known.
func (l workpiece) seenSide(top Both, side reorder.Side) (drawing.Print, bool) {
	p, r, q := top.Front, top.Piece, l.quarters
	if side == reorder.Back {
		// Turned over like the page of a book, what was turned one way is turned the other.
		p, q = top.Back, -q
		r.X0, r.X1 = p.Size.W-r.X1, p.Size.W-r.X0
	}
	if l.piece {
		p = p.Part(r)
	}
	return p.Turn(q), len(top.Front.Panels) > 0
}
