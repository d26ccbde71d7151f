package binding

import (
	"fmt"

	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
)

// addBack adds the sewn block's back over its curve.
func (w *worker) addBack() {
	s := w.Structure
	thick := w.Block.Plus(w.Swelling)
	from := newReason("block of {}", w.Block)
	if w.Swelling != (Range{}) {
		from = newReason("block of {} and pressed swelling of {}", w.Block, w.Swelling)
	}
	w.addAfter(newLength("back, thickness", thick, from))
	w.BackOver = thick
	name := "back, over its curve"
	if s.Back == Rounded {
		w.BackOver = thick.Times(ArcOfChord)
		from = newReason("back of {}, rounded to a third of a circle", thick)
	} else {
		name = "back, across"
		from = newReason("flat: its thickness")
	}
	if m := w.Measured.Back; m > 0 {
		w.ask("the back", m, w.BackOver)
		w.BackOver = Exactly(m)
		from = newReason("measured")
	}
	if s.Back == Rounded || w.Measured.Back > 0 {
		w.addAfter(newLength(name, w.BackOver, from))
	}
	if s.Back == Rounded {
		w.addAfter(newLength("round, depth", thick.Times(DepthOfChord), newReason("a third of a circle over {}", thick)))
	}
}

// BoardSize is the size of a board for a leaf: its height two squares more
// than the leaf's, its width a square more and the joint less. A board
// without a joint, or laced on, has none to take off.
func BoardSize(leaf geom.Size, joint, square float64) geom.Size {
	return geom.Size{W: leaf.W - joint + square, H: leaf.H + 2*square}
}

func (w *worker) addBoards() error {
	s, leaf := w.Structure, w.Book.Leaf
	if s.Cover == Paper {
		return nil
	}
	w.Board = s.Board
	from := newReason("default; give yours with {}", phrase.Set("board"))
	if m := w.Measured.Board; m > 0 {
		w.ask("the board", m, s.Board)
		w.Board, from = Exactly(m), newReason("measured")
	}
	size := BoardSize(leaf, float64(s.Joint), float64(s.Square))
	if size.H < leaf.H || size.W < leaf.W/2 || size.W+float64(s.Joint) < leaf.W {
		return refuse("look at square and joint of the structure", newReason("boards of {} x {} with a joint of {} would be smaller than the leaves of {} x {}",
			Exactly(size.W), Exactly(size.H), s.Joint.Exactly(), Exactly(leaf.W), Exactly(leaf.H)))
	}
	w.BoardW, w.BoardH = Exactly(size.W), Exactly(size.H)
	w.addAfter(newLength("board, thickness", w.Board, from))
	words, lengths := "leaf of {} x {}; a square of {} at "+w.ends()+" and fore-edge", []any{Exactly(leaf.W), Exactly(leaf.H), s.Square.Exactly()}
	if s.Joint > 0 {
		words, lengths = words+"; a joint of {} at the back", append(lengths, s.Joint.Exactly())
	}
	w.addAfter(newPiece("boards, "+w.Book.size(), 2, w.BoardW, w.BoardH, Reason{words, lengths}))
	w.addAfter(newLength("square", s.Square.Exactly(), newReason("the structure's rule")))
	if s.Joint > 0 {
		w.addAfter(newLength("joint", s.Joint.Exactly(), newReason("the structure's rule")))
	}
	if s.Back == Rounded {
		shoulder := newReason("about the board's thickness: so far the block stands out of the press")
		if w.Swelling != (Range{}) {
			shoulder = newReason("about the board's thickness: so far the block stands out of the press; half of the pressed swelling, {}, goes to each side", w.Swelling.Times(0.5))
		}
		w.addAfter(newLength("backing shoulder", w.Board, shoulder))
	}
	return nil
}

// Across is what the cover needs across the back, and what follows from what.
func (s Sheet) Across() (Range, Reason) {
	if s.Structure.Back == Flat {
		return s.BackOver.Plus(s.Board.Times(2)), newReason("flat back of {} and two boards of {}", s.BackOver, s.Board)
	}
	return s.BackOver, newReason("back of {}", s.BackOver)
}

// ClothSize is the size of a case's cloth: the two boards, the back and two
// joints, and the turn-ins all round.
func ClothSize(board geom.Size, back, joint, turnIn float64) geom.Size {
	return geom.Size{W: 2*board.W + back + 2*joint + 2*turnIn, H: board.H + 2*turnIn}
}

func (w *worker) addCloth() {
	s := w.Structure
	if s.Cover == Paper {
		w.addWrapper()
		return
	}
	spine, why := w.Across()
	low := ClothSize(geom.Size{W: w.BoardW.Least, H: w.BoardH.Least}, spine.Least, float64(s.Joint), float64(s.TurnIn))
	high := ClothSize(geom.Size{W: w.BoardW.Most, H: w.BoardH.Most}, spine.Most, float64(s.Joint), float64(s.TurnIn))
	w.ClothW, w.ClothH = Range{low.W, high.W}, Range{low.H, high.H}
	if s.Cover == Case {
		w.addAfter(newPiece("spine strip", 1, spine, w.BoardH, why))
	}
	turn := s.TurnIn.Exactly()
	whole := newReason("two boards, {} across the back, {} turned in all round", spine, turn)
	if s.Joint > 0 {
		whole = newReason("two boards, {} across the back, two joints of {}, {} turned in all round", spine, s.Joint.Exactly(), turn)
	}
	w.addAfter(newPiece("cover, whole", 1, w.ClothW, w.ClothH, whole))
	w.addAfter(newLength("cover, corners cut off", w.Board, newReason("about the board's thickness from its corner")))
	if s.Quarter <= 0 {
		return
	}
	onto := w.BoardW.Times(float64(s.Quarter))
	w.addAfter(newLoosePiece("quarter cover, back only", 1, spine.Plus(s.Joint.Exactly().Times(2)).Plus(onto.Times(2)), w.ClothH,
		newReason(fmt.Sprintf("%s percent of the board's width on each side", percent(float64(s.Quarter))))))
	w.addAfter(newLoosePiece("paper sides of quarter or half cover", 2, w.BoardW.Minus(onto).Plus(s.Lap.Exactly()).Plus(turn), w.ClothH,
		newReason("the rest of the board, {} over the cloth, {} turned in", s.Lap.Exactly(), turn)))
	corner := onto.Plus(turn.Times(2))
	w.addAfter(newLoosePiece("corner squares of half cover", 2, corner, corner,
		newReason("each cut across into two corners: as much of the board as the cloth at the back covers, and the turn-ins")))
}

// addWrapper adds a paper cover folded around the block.
func (w *worker) addWrapper() {
	s, leaf := w.Structure, w.Book.Leaf
	thick := w.Block.Plus(w.Swelling)
	width := Exactly(2 * (leaf.W + float64(s.Square))).Plus(thick)
	if s.Sewn == Side {
		width = Exactly(leaf.W + float64(s.Square))
		w.addAfter(newPiece("covers", 2, width, Exactly(leaf.H+2*float64(s.Square)), newReason("leaf of {} x {}", Exactly(leaf.W), Exactly(leaf.H))))
		return
	}
	from := newReason("two leaves of {} x {} and the back of {}", Exactly(leaf.W), Exactly(leaf.H), thick)
	if s.Square > 0 {
		from = newReason("two leaves of {} x {} and the back of {}; a square of {}", Exactly(leaf.W), Exactly(leaf.H), thick, s.Square.Exactly())
	}
	w.addAfter(newPiece("paper cover, flat", 1, width, Exactly(leaf.H+2*float64(s.Square)), from))
	if s.TurnIn > 0 {
		w.addAfter(newLength("flaps of the paper cover, each", s.TurnIn.Exactly(), newReason("the structure's rule; they come to its width")))
	}
}

// addLinings adds what lies on the back, and the end-papers.
func (w *worker) addLinings() {
	s, leaf := w.Structure, w.Book.Leaf
	if s.Sewn == Folds {
		short := leaf.H - 2*float64(s.LiningEnd)
		if s.Wings > 0 {
			w.addAfter(newLoosePiece("first lining, of open cloth", 1, w.BackOver.Plus(s.Wings.Exactly().Times(2)), Exactly(short),
				newReason("back of {} and {} onto each side; {} short of both ends", w.BackOver, s.Wings.Exactly(), s.LiningEnd.Exactly())))
		}
		paper := newReason("the back, from end to end")
		if s.LiningEnd > 0 {
			paper = newReason("the back; {} short of both ends", s.LiningEnd.Exactly())
		}
		w.addAfter(newLoosePiece("second lining, of paper", 1, w.BackOver, Exactly(short), paper))
		headbands := newLength("headbands", w.BackOver, newReason("the back, one at each end"))
		headbands.Number = 2
		w.addAfter(headbands)
	}
	if s.Cover != Paper {
		full := w.Book.UntrimmedLeaf()
		w.addBefore(newLoosePiece("end-papers, before folding", 2, Exactly(2*full.W), Exactly(full.H), newReason("one folded sheet at each end, as large as two leaves before trimming")))
	}
}
