package cover

import (
	"cmp"
	"slices"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder"
	"foldwright/reorder/enum"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Kind is what is laid around the book, or onto it.
type Kind int

const (
	Card   Kind = iota + 1 // one piece of card, folded at the spine
	Case                   // cloth or paper over boards, with turn-ins
	Jacket                 // a loose wrapper as high as the boards, with flaps
	Label                  // a label for the spine or the front
)

var kindWords = enum.New("kind of cover", "card", "case", "jacket", "label")

func (k Kind) String() string                   { return kindWords.Of(int(k)) }
func (k Kind) MarshalText() ([]byte, error)     { return []byte(k.String()), nil }
func (k *Kind) UnmarshalText(text []byte) error { return enum.Parse(k, kindWords, string(text)) }

// Name is what a cover of the kind is called.
func (k Kind) Name() string {
	return map[Kind]string{Card: "card cover", Case: "cover of the case", Jacket: "jacket", Label: "labels"}[k]
}

// Place is where a label goes.
type Place = enum.Value[placeWords]

const (
	OnSpine Place = iota + 1
	OnFront
)

type placeWords struct{}

func (placeWords) Words() enum.Words { return enum.New("place for a label", "spine", "front") }

// Part is what a panel of a cover covers.
type Part int

const (
	Front  Part = iota + 1
	Back        // the board or leaf behind
	Spine       // of the book
	Hinge       // the joint between spine and board
	Edge        // the thickness of a board, at its fore-edge
	TurnIn      // turned in over the edge of a board
	Flap        // folded in, not glued
)

var partNames = map[Part]string{Front: "front", Back: "back", Spine: "spine", Hinge: "joint", Edge: "edge of the board", TurnIn: "turn-in", Flap: "flap"}

func (p Part) String() string { return partNames[p] }

// Panel is an upright stripe of a flat, from head to tail.
type Panel struct {
	Part   Part
	X0, X1 float64 // mm
}

// Width of the panel in mm.
func (p Panel) Width() float64 { return p.X1 - p.X0 }

// Flat is a cover as it is cut, seen from outside.
type Flat struct {
	Kind   Kind
	Size   geom.Size    // cut, mm
	Panels []Panel      // from left to right, edge to edge
	TurnIn float64      // mm at head and tail; 0: none
	Bind   reorder.Bind // of the book
	Board  float64      // the thickness of the boards, mm; 0: none
	Label  Place        // of a label
}

// Sizes is what a person can choose of a cover; zero is the default.
type Sizes struct {
	Flap  float64   // width of a flap, mm
	Card  float64   // measured thickness of the card or paper, mm
	Label Place     // spine
	Size  geom.Size // of a label, mm, its second length along the spine
}

// What no structure says. None of it has a source: common practice.
const (
	jacketFlap  = 0.4  // of the board's width
	leastFlap   = 40.0 // mm, or the board's width
	labelClear  = 1.5  // mm that a label on the spine keeps clear of its edges, on each side
	spineLabel  = 0.45 // of the height of the spine: how long a label on it is, read along
	frontLabelW = 0.55 // of the width of the front
	frontLabelH = 0.25 // of its height
)

// Lay works out the flat of a cover from the figures of the bench. Figures that are still ranges count by their
// middle; [Lacks] says what has to be measured before anything is cut by it.
func Lay(kind Kind, s binding.Sheet, o Sizes) (Flat, error) {
	f := Flat{Kind: kind, Bind: s.Book.Bind}
	boards := s.Structure.Cover != binding.Paper
	switch {
	case kind == Case && !boards:
		return f, refusal.Plan.New("%s needs boards, and a book of the structure %s has none", phrase.Set("kind", Case), s.Structure.Name).
			Advise("use %s, or name a structure with boards with %s", phrase.Set("kind", Card), phrase.Set("structure", "case"))
	case s.SpineOver.Middle() <= 0:
		return f, refusal.Plan.New("the book has no thickness")
	}
	if boards && kind != Card {
		f.Board = s.Board.Middle()
	}
	switch kind {
	case Card:
		f.layCard(s, o)
	case Case:
		f.layCase(s)
	case Jacket:
		f.layJacket(s, o)
	default:
		f.layLabel(s, o)
	}
	return f, f.check()
}

// stretch is a panel by its width.
type stretch struct {
	part  Part
	width float64
}

// lay puts panels beside each other: the outer ones as they are given from the left to the spine, the spine,
// and the same mirrored. On the left is the back where the spine of the book is at its left.
func (f *Flat) lay(height, spine float64, outer ...stretch) {
	f.Size = geom.Size{H: height}
	add := func(part Part, width float64) {
		if width <= 0 {
			return
		}
		f.Panels = append(f.Panels, Panel{part, f.Size.W, f.Size.W + width})
		f.Size.W += width
	}
	left, right := Back, Front
	if f.Bind == reorder.BindRight {
		left, right = right, left
	}
	side := func(s stretch, is Part) {
		if s.part == Front {
			s.part = is
		}
		add(s.part, s.width)
	}
	for _, s := range outer {
		side(s, left)
	}
	add(Spine, spine)
	for i := len(outer) - 1; i >= 0; i-- {
		side(outer[i], right)
	}
}

// layCard: two leaves and the spine, flush or with the square of a paper cover. Card bends about the middle of its
// thickness (derived), so by its thickness the folds are further apart, and by half of it the sides are longer.
func (f *Flat) layCard(s binding.Sheet, o Sizes) {
	square, flap := 0.0, o.Flap
	if s.Structure.Cover == binding.Paper {
		square, flap = s.Structure.Square.Middle(), cmp.Or(o.Flap, s.Structure.TurnIn.Middle())
	}
	leaf := s.Book.Leaf
	f.lay(leaf.H+2*square, s.SpineOver.Middle()+o.Card, stretch{Flap, flap}, stretch{Front, leaf.W + square + o.Card/2})
}

// layCase: two boards, the spine, two joints and the turn-ins all round (VAUGHN p. 118; the figures are the structure's).
func (f *Flat) layCase(s binding.Sheet) {
	spine, _ := s.Across()
	f.TurnIn = s.Structure.TurnIn.Middle()
	f.lay(s.BoardH.Middle()+2*f.TurnIn, spine.Middle(), stretch{TurnIn, f.TurnIn}, stretch{Front, s.BoardW.Middle()}, stretch{Hinge, s.Joint.Middle()})
}

// layJacket: as high as the boards; over joint and board, around the edge of the board by its thickness (derived),
// and in with a flap (common practice, no source).
func (f *Flat) layJacket(s binding.Sheet, o Sizes) {
	spine, height, width := s.SpineOver, s.Book.Leaf.H+2*s.Structure.Square.Middle(), s.Book.Leaf.W+s.Structure.Square.Middle()
	if f.Board > 0 {
		spine, _ = s.Across()
	}
	flap := cmp.Or(o.Flap, max(width*jacketFlap, min(leastFlap, width)))
	f.lay(height, spine.Middle()+o.Card, stretch{Flap, flap}, stretch{Edge, f.Board}, stretch{Front, width + o.Card/2})
}

// layLabel: one panel.
func (f *Flat) layLabel(s binding.Sheet, o Sizes) {
	f.Label, f.Size = cmp.Or(o.Label, OnSpine), o.Size
	square := s.Structure.Square.Middle()
	height, width := s.Book.Leaf.H+2*square, s.Book.Leaf.W+square
	if f.Size == (geom.Size{}) {
		f.Size = geom.Size{W: s.SpineOver.Middle() - 2*labelClear, H: height * spineLabel}
		if f.Label == OnFront {
			f.Size = geom.Size{W: width * frontLabelW, H: height * frontLabelH}
		}
	}
	part := map[Place]Part{OnSpine: Spine, OnFront: Front}[f.Label]
	f.Panels = []Panel{{part, 0, f.Size.W}}
}

// Limits of what is drawn, in mm.
const (
	leastSide = 4.0
	mostSide  = 3000.0
)

func (f Flat) check() error {
	switch {
	case f.Kind == Label && min(f.Size.W, f.Size.H) < leastSide:
		return refusal.Plan.New("a label of %s is too small to be read", f.Size).Advise("give its size with %s", phrase.Set("size", "20x60mm"))
	case max(f.Size.W, f.Size.H) > mostSide:
		return refusal.Plan.New("a cover of %s is too large", f.Size)
	}
	front, _ := f.Panel(Front)
	if flap := f.Panels[0]; flap.Part == Flap && flap.Width() > front.Width() {
		return refusal.Plan.New("a flap of %s mm is wider than the front, %s mm", geom.Millimetres(flap.Width()), geom.Millimetres(front.Width())).
			Advise("give a smaller one with %s", phrase.Set("flap"))
	}
	return nil
}

// Panel is the place of the panel of a part of which there is one.
func (f Flat) Panel(part Part) (Panel, bool) {
	for _, p := range f.Panels {
		if p.Part == part {
			return p, true
		}
	}
	return Panel{}, false
}

// Face is what is seen of a part on the finished book, where its text stands.
func (f Flat) Face(part Part) (geom.Rect, bool) {
	p, ok := f.Panel(part)
	return geom.Rect{X0: p.X0, Y0: f.TurnIn, X1: p.X1, Y1: f.Size.H - f.TurnIn}, ok
}

// PictureArea is what a picture on a part covers: from the spine to the fore-edge, and what is turned in or lies
// beyond the cut by so many mm of bleed. A flap keeps clear of it.
func (f Flat) PictureArea(part Part, bleed float64) (geom.Rect, bool) {
	p, ok := f.Panel(part)
	if !ok {
		return geom.Rect{}, false
	}
	area := geom.Rect{X0: p.X0, Y0: -bleed, X1: p.X1, Y1: f.Size.H + bleed}
	goesOn := func(q Panel) bool { return q.Part == Hinge || q.Part == Edge || q.Part == TurnIn }
	if part != Spine {
		for i := slices.Index(f.Panels, p) - 1; i >= 0 && goesOn(f.Panels[i]); i-- {
			area.X0 = f.Panels[i].X0
		}
		for i := slices.Index(f.Panels, p) + 1; i < len(f.Panels) && goesOn(f.Panels[i]); i++ {
			area.X1 = f.Panels[i].X1
		}
	}
	if area.X0 == 0 {
		area.X0 = -bleed
	}
	if area.X1 == f.Size.W {
		area.X1 += bleed
	}
	return area, true
}

// Folds is the places, in mm from the left edge, where the cover is folded: between its panels.
func (f Flat) Folds() (out []float64) {
	for i, p := range f.Panels {
		if i > 0 {
			out = append(out, p.X0)
		}
	}
	return out
}

// Rows is the places, in mm from the lower edge, where head and tail are turned in.
func (f Flat) Rows() []float64 {
	if f.TurnIn == 0 {
		return nil
	}
	return []float64{f.TurnIn, f.Size.H - f.TurnIn}
}

// Lacks is the options with which to give what has not been measured yet and the cover is cut by; none: it is
// all measured.
func Lacks(kind Kind, s binding.Sheet, m binding.Measured, o Sizes) (out []phrase.Setting) {
	if kind == Label && (o.Label == OnFront || o.Size != geom.Size{}) {
		return nil // it can be cut to any size
	}
	swells := s.Swelling.Most > 0 || s.Structure.Spine == binding.Rounded
	if m.Block == 0 && m.Spine == 0 || m.Spine == 0 && swells {
		option := "block-thickness"
		if swells {
			option = "spine"
		}
		out = append(out, phrase.Set(option))
	}
	if kind != Card && kind != Label && s.Structure.Cover != binding.Paper && m.Board == 0 {
		out = append(out, phrase.Set("board"))
	}
	return out
}
