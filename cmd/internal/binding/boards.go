package binding

import (
	"fmt"
	"math"
)

// byDefault is where a figure comes from that the structure gives.
const byDefault = "default of the structure"

// addSpine adds the sewn block's spine over its curve.
func (w *worker) addSpine() {
	s := w.Structure
	from := w.say("block of %s", w.Block)
	if w.Swelling != (Range{}) {
		from = w.say("block of %s and pressed swelling of %s", w.Block, w.Swelling)
	}
	w.addAfter(w.length("spine, thickness", w.Thick, from))
	name := "spine, across"
	w.SpineOver = w.Thick
	if s.Spine == Rounded {
		name = "spine, over its curve"
		w.SpineOver = w.Thick.Times(ArcOfChord)
		from = w.say("spine of %s, rounded to a third of a circle", w.Thick)
	}
	depth, deep := w.Thick.Times(ArcDepth(ArcOfChord, 1)), w.say("a third of a circle over %s", w.Thick)
	if m := w.measured.Spine; m > 0 {
		w.SpineOver, from = Exactly(m), "measured"
		depth, deep = Range{ArcDepth(m, w.Thick.Most), ArcDepth(m, w.Thick.Least)}, w.say("a curve of %s over %s", Exactly(m), w.Thick)
	}
	if s.Spine == Rounded || w.measured.Spine > 0 {
		w.addAfter(w.length(name, w.SpineOver, from))
	}
	if s.Spine == Rounded {
		w.addAfter(w.length("round, depth", depth, deep))
	}
}

// ArcDepth is how deep an arc is over its chord, from the lengths of both: of half its angle the sine is
// to the angle as the chord to the arc. It is half a circle at most.
func ArcDepth(arc, chord float64) float64 {
	least, most := 0.0, math.Pi/2
	for range 50 {
		if half := (least + most) / 2; math.Sin(half)*arc > half*chord {
			least = half
		} else {
			most = half
		}
	}
	return chord / 2 * math.Tan(least/2)
}

// addBoards adds the boards: their height is two squares more than the leaf's, their width a square more and the joint
// less. A board without a joint, or laced on, has none to take off.
func (w *worker) addBoards() error {
	s, leaf := w.Structure, w.Book.Leaf
	if s.Cover == Paper {
		return nil
	}
	chosen := w.choose("board, thickness", w.measured.Board, s.Board, "board")
	board := chosen.Amount
	w.Board = board
	w.Joint = s.Joint.Plus(board.By(s.JointBoards))
	w.BoardW, w.BoardH = Exactly(leaf.W).Minus(w.Joint).Plus(s.Square), Exactly(leaf.H).Plus(s.Square.Times(2))
	if w.BoardW.Least < leaf.W/2 {
		return refuseMeasured("structure", "look at square and joint of the structure", w.say("boards of %s with a joint of %s would be smaller than the leaves of %s",
			w.Units.WidthByHeight(w.BoardW, w.BoardH), w.Joint, w.leaf(leaf)))
	}
	w.addAfter(chosen)
	from := w.say("leaf of %s; a square of %s at %s and fore-edge", w.leaf(leaf), s.Square, w.ends())
	if w.Joint.Most > 0 {
		from += w.say("; a joint of %s at the spine", w.Joint)
	}
	across, along := w.Book.Axes()
	w.addAfter(w.piece("boards, "+across+" x "+along, w.BoardW, w.BoardH, from).times(2))
	square := byDefault
	if w.Small {
		square = w.say("a fortieth of the leaf's height, at least %s", Exactly(leastSmallSquare))
	}
	w.addAfter(w.length("square", s.Square, square))
	if w.Joint.Most > 0 {
		from = byDefault
		if s.JointBoards.Most > 0 {
			from = w.say("%s and the thickness of the board", s.Joint)
		}
		w.addAfter(w.length("joint", w.Joint, from))
	}
	if s.Spine == Rounded {
		w.addShoulder()
	}
	return nil
}

// addShoulder adds how far the block projects above the press when it is backed: by the thickness of
// the board, but no further than half of the swelling, which is all that a side has to give.
func (w *worker) addShoulder() {
	shoulder, from := w.Board, "about the thickness of the board"
	if half := w.Swelling.Times(0.5); half.Most >= w.Board.Least {
		from += w.say("; half of the pressed swelling is %s", half)
	} else if half.Most > 0 {
		shoulder, from = half, w.say("half of the pressed swelling, which is less than the thickness of the board, %s", w.Board)
	}
	w.addAfter(w.length("backing shoulder", shoulder, from+". Let the block project this far above the press"))
}

// Across is what the cover needs across the spine, and what follows from what.
func (s Sheet) Across() (Range, string) {
	if s.Structure.Spine == Flat {
		return s.SpineOver.Plus(s.Board.Times(2)), s.Units.say("flat spine of %s and two boards of %s", s.SpineOver, s.Board)
	}
	return s.SpineOver, s.Units.say("spine of %s", s.SpineOver)
}

// CornerCut is where on the edges of the cloth, from its corner, the slanting cut begins that leaves a distance
// to the corner of the board, in mm.
func CornerCut(turnIn, distance float64) float64 { return 2*turnIn - math.Sqrt2*distance }

// addCover adds the cloth: for the two boards, the spine and two joints, with turn-ins all round.
func (w *worker) addCover() {
	s := w.Structure
	if s.Cover == Paper {
		w.addPaperCover()
		return
	}
	spine, why := w.Across()
	turn, joints := s.TurnIn, ""
	// What a joint takes from the board the cloth has there instead, so joints do not change its width.
	w.ClothW = Exactly(w.Book.Leaf.W).Plus(s.Square).Plus(turn).Times(2).Plus(spine)
	w.ClothH = w.BoardH.Plus(turn.Times(2))
	if s.Cover == Case {
		w.addAfter(w.piece("spine strip", spine, w.BoardH, why))
	}
	if w.Joint.Most > 0 {
		joints = w.say("two joints of %s, ", w.Joint)
	}
	w.addAfter(w.piece("cover, whole", w.ClothW, w.ClothH, w.say("two boards, %s across the spine, %s%s turned in all round", spine, joints, turn)))
	w.addAfter(w.length("cover, corners cut off", w.Board, "about the thickness of the board from its corner"))
	if s.Quarter.Most <= 0 {
		return
	}
	onto := w.BoardW.By(s.Quarter)
	w.addAfter(w.piece("quarter cover, spine only", spine.Plus(w.Joint.Times(2)).Plus(onto.Times(2)), w.ClothH,
		fmt.Sprintf("%s percent of the board's width on each side", percent(s.Quarter.Middle()))).asLoose())
	w.addAfter(w.piece("paper sides of quarter or half cover", w.BoardW.Minus(onto).Plus(s.Lap).Plus(turn), w.ClothH,
		w.say("the rest of the board, %s over the cloth, %s turned in", s.Lap, turn)).times(2).asLoose())
	corner := onto.Plus(turn.Times(2))
	w.addAfter(w.piece("corner squares of half cover", corner, corner,
		"cut each across into two corners; they cover as much of the board as the cloth at the spine, and the turn-ins").times(2).asLoose())
}

// addPaperCover adds a paper cover folded around the block, or two laid onto leaves sewn through
// their side.
func (w *worker) addPaperCover() {
	s, leaf := w.Structure, w.Book.Leaf
	width, height := Exactly(leaf.W).Plus(s.Square), Exactly(leaf.H).Plus(s.Square.Times(2))
	if s.Sewn == Side {
		w.addAfter(w.piece("covers", width, height, "leaf of "+w.leaf(leaf)).times(2))
		return
	}
	from := w.say("two leaves of %s and the spine of %s", w.leaf(leaf), w.Thick)
	if s.Square.Most > 0 {
		from += w.say("; a square of %s", s.Square)
	}
	w.addAfter(w.piece("paper cover, flat", width.Times(2).Plus(w.Thick), height, from))
	if s.TurnIn.Most > 0 {
		w.addAfter(w.length("flaps of the paper cover, each", s.TurnIn, byDefault+"; add both to the width"))
	}
}

// addLinings adds what lies on the spine, and the endpapers.
func (w *worker) addLinings() {
	s, leaf := w.Structure, w.Book.Leaf
	if s.Sewn == Folds {
		short := Exactly(leaf.H).Minus(s.LiningEnd.Times(2))
		from := "the spine, from end to end"
		if s.LiningEnd.Most > 0 {
			from = w.say("the spine; %s short of both ends", s.LiningEnd)
		}
		if s.Overhang.Most > 0 {
			w.addAfter(w.piece("first lining, of mull (super)", w.SpineOver.Plus(s.Overhang.Times(2)), short,
				w.say("%s; %s over onto each side", from, s.Overhang)).asLoose())
		}
		w.addAfter(w.piece("second lining, of paper", w.SpineOver, short, from).asLoose())
		w.addAfter(w.length("headbands", w.SpineOver, "the spine, one at each end").times(2))
	}
	if s.Cover != Paper {
		full := w.Book.UntrimmedLeaf()
		w.addBefore(w.piece("endpapers, before folding", Exactly(2*full.W), Exactly(full.H),
			"one folded sheet at each end, as large as two leaves before trimming").times(2).asLoose())
	}
}
