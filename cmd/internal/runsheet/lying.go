package runsheet

import (
	"slices"

	"foldwright/cmd/internal/drawing"
	"foldwright/reorder"
)

// lying is what lies before the person while a gathering is made: the paper,
// and how it has been turned from feed orientation.
type lying struct {
	paper    drawing.Flat
	quarters int // counter-clockwise, fronts up
	piece    bool
}

// begun is the finished stack of the job.
func (j Job) begun() lying {
	return lying{paper: drawing.Flat{Size: j.Paper.Size, Layers: 1}}
}

// after is what lies there once the hands have done a motion.
func (l lying) after(m reorder.Motion) lying {
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
		p.Size = upTo(p.Size, m.Line, m.At)
		p.Layers *= 2
		l.piece = true
	case reorder.CutApart:
		p.Size = upTo(p.Size, m.Line, m.At)
		l.piece = true
	case reorder.CutOffInset:
		p.Size = upTo(p.Size, m.Line, m.At)
	case reorder.FoldOver:
		p = foldedOver(p, m)
	case reorder.Join:
		if m.To == reorder.Down {
			p.Size.H = m.At * float64(p.Layers)
		} else {
			p.Size.W = m.At * float64(p.Layers)
		}
		p.Layers = 1
	case reorder.Pleat:
		p.Layers = int((max(p.Size.W, p.Size.H) + 1) / m.Width)
		if m.To == reorder.Down {
			p.Size.H = m.Width
		} else {
			p.Size.W = m.Width
		}
	case reorder.Present:
		for i, e := range p.Folds {
			if m.TurnOver && (e == reorder.Left || e == reorder.Right) {
				e = reorder.Left + reorder.Right - e
			}
			p.Folds[i] = turnedEdge(e, m.Quarters)
		}
	}
	l.paper = p
	return l
}

// upTo is the part of a size on this side of a line.
func upTo(s reorder.Size, line reorder.Line, at float64) reorder.Size {
	if line == reorder.Level {
		return reorder.Size{W: s.W, H: at}
	}
	return reorder.Size{W: at, H: s.H}
}

// foldedOver is the paper after a fold: the crease is an edge now, and folds of the
// moving part's outer edge lie on the other's.
func foldedOver(p drawing.Flat, m reorder.FoldOver) drawing.Flat {
	line, made := reorder.Upright, reorder.Right
	switch m.Over {
	case reorder.LeftOverRight:
		made = reorder.Left
	case reorder.FarOverNear:
		line, made = reorder.Level, reorder.Up
	case reorder.NearOverFar:
		line, made = reorder.Level, reorder.Down
	}
	if other := turnedEdge(made, 2); p.Folded(made) && !p.Folded(other) {
		p.Folds = append(p.Folds, other)
	}
	if !p.Folded(made) {
		p.Folds = append(p.Folds, made)
	}
	p.Size = upTo(p.Size, line, m.At)
	p.Layers *= 2
	return p
}

// turnedEdge is where an edge lies after counter-clockwise quarter turns.
func turnedEdge(e reorder.Towards, quarters int) reorder.Towards {
	return reorder.Towards((int(e)-1+quarters%4+4)%4 + 1)
}

// face is what is seen of the first sheet or piece as it lies, if it is known.
func (l lying) face(top Both, side reorder.Side) (drawing.Print, bool) {
	p, r, q := top.Front, top.Piece, l.quarters
	if side == reorder.Back {
		// Turned over like the page of a book, what was turned one way is turned the other.
		p, q = top.Back, -q
		r.X0, r.X1 = p.Size.W-r.X1, p.Size.W-r.X0
	}
	if l.piece {
		p = p.Within(r)
	}
	p.Name = ""
	return p.Turned(q), len(top.Front.Panels) > 0
}
