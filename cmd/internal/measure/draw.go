package measure

import (
	"fmt"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/drawing"
	"foldwright/reorder/geom"
)

// scaleOf is the rule of a drawing that is so many mm wide: about a fifth of it.
func scaleOf(u binding.Units, wide float64) drawing.Scale {
	rules, unit := []float64{20, 50, 100, 200}, 1.0
	if u == binding.Inches {
		rules, unit = []float64{1, 2, 4, 8}, geom.Inch
	}
	best := rules[0]
	for _, r := range rules {
		if r*unit <= wide/4 {
			best = r
		}
	}
	return drawing.Scale{MM: best * unit, Name: fmt.Sprintf("%g %s", best, u)}
}

// pen makes stretches in the units of a sheet.
type pen struct{ binding.Sheet }

// stretch draws the middle of a figure and tells all of it.
func (p pen) stretch(letter, name string, r binding.Range) drawing.Stretch {
	return drawing.Stretch{Letter: letter, Name: name, MM: r.Middle(), Value: p.Units.Length(r)}
}

func (p pen) ends() [2]string {
	first, last := p.Book.Ends()
	return [2]string{first, last}
}

// CoverOf is the cover of a sheet, drawn to scale. Its letters are those of the bench sheet; what is estimated
// is drawn at the middle of its range.
func CoverOf(sheet binding.Sheet) drawing.Cover {
	p := pen{sheet}
	if sheet.Structure.Cover == binding.Paper {
		return p.paperCover()
	}
	s := sheet.Structure
	across, along := sheet.Book.Axes()
	turn := p.stretch("K", "turn-in", s.TurnIn)
	board := p.stretch("E", "board, "+across, sheet.BoardW)
	joint := p.stretch("J", "joint", sheet.Joint)
	back, _ := sheet.Across()
	spine := drawing.Part{Piece: drawing.Spine, Stretch: p.stretch("C", "spine, across", back)}
	if s.Cover == binding.Case {
		spine = drawing.Part{Piece: drawing.SpineStrip, Stretch: p.stretch("G", "spine strip, "+across, back)}
	}
	return drawing.Cover{
		Parts: []drawing.Part{
			{Piece: drawing.TurnIn, Stretch: turn}, {Piece: drawing.Board, Stretch: board}, {Piece: drawing.Joint, Stretch: joint}, spine,
			{Piece: drawing.Joint, Stretch: joint}, {Piece: drawing.Board, Stretch: board}, {Piece: drawing.TurnIn, Stretch: turn},
		},
		Along:  []drawing.Stretch{turn, p.stretch("F", "board, "+along, sheet.BoardH), turn},
		Across: p.stretch("H", "cover, "+across, sheet.ClothW), High: p.stretch("I", "cover, "+along, sheet.ClothH),
		Corner: p.stretch("D", "board, thickness", sheet.Board), Ends: p.ends(), Scale: scaleOf(sheet.Units, sheet.ClothW.Middle()),
	}
}

func (p pen) paperCover() drawing.Cover {
	s, leaf := p.Structure, p.Book.Leaf
	across, along := p.Book.Axes()
	half, high := binding.Exactly(leaf.W).Plus(s.Square), binding.Exactly(leaf.H).Plus(s.Square.Times(2))
	side := drawing.Part{Piece: drawing.Half, Stretch: p.stretch("S", "front or back, "+across, half)}
	out := drawing.Cover{Parts: []drawing.Part{side}, Two: true, Ends: p.ends()}
	whole := half
	if s.Sewn != binding.Side {
		flap := drawing.Part{Piece: drawing.Flap, Stretch: p.stretch("L", "flap", s.TurnIn)}
		spine := drawing.Part{Piece: drawing.Spine, Stretch: p.stretch("T", "spine, thickness", p.Thick)}
		out.Parts, out.Two = []drawing.Part{flap, side, spine, side, flap}, false
		whole = half.Plus(s.TurnIn).Times(2).Plus(p.Thick)
	}
	name := "whole, " + across
	if s.TurnIn.Most > 0 && !out.Two {
		name = "whole, with flaps"
	}
	out.Across, out.High = p.stretch("H", name, whole), p.stretch("I", "whole, "+along, high)
	out.Along = []drawing.Stretch{out.High}
	out.Scale = scaleOf(p.Units, whole.Middle())
	return out
}

// BlockOf is the block of a sheet seen from its tail, drawn to scale.
func BlockOf(sheet binding.Sheet) drawing.Block {
	p := pen{sheet}
	across, _ := sheet.Book.Axes()
	_, last := sheet.Book.Ends()
	out := drawing.Block{
		Leaf:  p.stretch("B", "leaf, "+across, binding.Exactly(sheet.Book.Leaf.W)),
		Spine: p.stretch("T", "spine, thickness", sheet.Thick), Fore: p.stretch("U", "text block, thickness", sheet.Block),
		Leaves: sheet.Book.Leaves, From: last, Scale: scaleOf(sheet.Units, sheet.Book.Leaf.W),
	}
	if arc, chord := sheet.SpineOver.Middle(), sheet.Thick.Middle(); sheet.SpineOver != sheet.Thick && arc > chord {
		out.Curve = p.stretch("C", "spine, over its curve", sheet.SpineOver)
		out.Round = binding.ArcDepth(arc, chord)
	}
	return out
}

// StationsOf is the fold of a sheet with its holes, drawn to scale; through the side they
// stand beside the spine in the same places.
func StationsOf(sheet binding.Sheet) drawing.Stations {
	head := sheet.Book.Trim.Head
	out := drawing.Stations{
		Length: sheet.Book.UntrimmedLeaf().H, Head: head, Tail: sheet.Book.Trim.Tail,
		Ends: pen{sheet}.ends(), Scale: scaleOf(sheet.Units, sheet.Book.Leaf.H), Side: sheet.Structure.Sewn == binding.Side,
	}
	rows := StationRows(sheet)
	for i, h := range sheet.Stations.Holes {
		out.Holes = append(out.Holes, drawing.Station{At: h.At, Trimmed: rows[i].Trimmed, Pierce: rows[i].Pierce})
	}
	if sheet.Structure.Support == binding.Tapes {
		half := sheet.Structure.Width.Middle() / 2
		for _, m := range sheet.Stations.Supports {
			out.Bands = append(out.Bands, drawing.Band{From: m - half, To: m + half})
		}
	}
	return out
}
