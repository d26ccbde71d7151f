package runsheet

import (
	"fmt"
	"html/template"
	"reflect"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
)

// Drawn is a step that is drawn as well as told. The drawing follows from the
// same facts as the text.
type Drawn interface {
	Step
	// Drawing is nil if what there is to draw is not known.
	Drawing() drawing.Drawing
}

// DrawingOf is the drawing of a step, nil if it has none.
func DrawingOf(s Step) drawing.Drawing {
	if d, ok := s.(Drawn); ok {
		return d.Drawing()
	}
	return nil
}

// drawn is the drawing of a step for the page, empty if there is none. number
// counts the drawings of the page.
func drawn(s Step, number *int) template.HTML {
	d := DrawingOf(s)
	if d == nil {
		return ""
	}
	*number++
	return template.HTML(drawing.Append(nil, d, fmt.Sprintf("d%d", *number)))
}

// drawn is the pile as it is seen where it lies.
func (p Pile) drawn(where drawing.Where) drawing.Stack {
	s := drawing.Stack{Where: where, Sheets: p.Sheets, Up: drawing.Front, Under: drawing.Blank, Top: p.Top, Bottom: p.Bottom}
	if p.Backs {
		s.Under = drawing.Back
	}
	if p.Fronts == LooksDown {
		s.Up, s.Under = s.Under, s.Up
	}
	return s
}

// drawn is the side of what lies there that a face is.
func (f Face) drawn() drawing.Side {
	if f == LooksUp {
		return drawing.Upper
	}
	return drawing.Lower
}

func (l LoadFresh) Drawing() drawing.Drawing {
	s := drawing.Stack{Where: drawing.Tray, Sheets: l.Sheets, Up: drawing.Blank, Under: drawing.Blank}
	switch l.FeedFace {
	case printer.FeedUp:
		s.Next = drawing.Upper
	case printer.FeedDown:
		s.Next = drawing.Lower
	}
	return s
}

// drawnPlaces is where a pile is drawn that is looked at.
var drawnPlaces = map[Place]drawing.Where{InDelivery: drawing.Delivery, InTray: drawing.Tray, OnTable: drawing.Table, Aside: drawing.Table, BesideTray: drawing.Table}

func (l LookAt) Drawing() drawing.Drawing {
	s := l.Pile.drawn(drawnPlaces[l.Place])
	if l.Place == InTray || l.Place == BesideTray {
		s.Next = l.Pile.Fronts.other().drawn()
	}
	return s
}

func (l LayLike) Drawing() drawing.Drawing { return l.Pile.drawn(drawing.Delivery) }

func (l LayAside) Drawing() drawing.Drawing {
	s := l.Pile.drawn(drawing.Table)
	s.Top, s.Bottom = "", "" // seen a moment ago
	s.Slip = fmt.Sprintf("run %d", l.Run)
	return s
}

// drawnTurns is what is done with the stack before it is loaded again.
var drawnTurns = map[printer.Reload]drawing.Turn{
	printer.AsDelivered: drawing.NoTurn, printer.RotateHalf: drawing.HalfFlat,
	printer.TurnLong: drawing.OverLong, printer.TurnShort: drawing.OverShort,
}

func (p PutBack) Drawing() drawing.Drawing {
	if p.Pile.Sheets == 0 {
		return nil
	}
	from, to := drawing.Delivery, drawing.Tray
	if p.Beside && p.Reload == printer.AsDelivered {
		return nil // nothing moves
	}
	if p.Beside {
		from, to = drawing.Table, drawing.Table
	}
	return drawing.Move{
		From: p.Pile.drawn(from), Turn: drawnTurns[p.Reload],
		To: p.Pile.reloaded(p.Reload).drawn(to), Mark: drawing.Corner{Face: drawing.Upper},
	}
}

func (t TakeOut) Drawing() drawing.Drawing {
	m := drawing.Move{From: t.Pile.drawn(drawing.Delivery), Turn: drawing.NoTurn, Mark: drawing.Corner{Face: drawing.Upper}}
	out := t.Pile
	if t.TurnOver {
		m.Turn, out = drawing.OverLong, out.turnedOver()
	}
	m.To = out.drawn(drawing.Table)
	return m
}

// What comes out first and last is shown as a person holds it to read.
func (p PrintFile) Drawing() drawing.Drawing {
	if len(p.First.Panels) == 0 {
		return nil
	}
	face := map[printer.Pass]string{printer.FrontPass: "front", printer.BackPass: "back", printer.BothPass: "front"}[p.Pass]
	q := p.First.Upright()
	d := drawing.Prints{What: "What comes out", Labels: []string{"first sheet, " + face}, Faces: []drawing.Print{p.First.Turned(q)}}
	if !reflect.DeepEqual(p.First, p.Last) {
		d.Labels, d.Faces = append(d.Labels, "last sheet, "+face), append(d.Faces, p.Last.Turned(q))
	}
	return d
}

func (l LookThrough) Drawing() drawing.Drawing {
	if len(l.Top.Front.Panels) == 0 {
		return nil
	}
	q := l.Top.Front.Upright()
	return drawing.Prints{
		What: "The two faces of the top sheet, turned over like the page of a book", Labels: []string{"its front", "its back"},
		Faces: []drawing.Print{l.Top.Front.Turned(q), l.Top.Back.Turned(-q)},
	}
}
