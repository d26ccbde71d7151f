package binding

import (
	"fmt"

	"foldwright/reorder/geom"
)

// structuresRule is what a figure comes from that the structure gives.
const structuresRule = "the structure's rule"

// addBack adds the sewn block's back over its curve.
func (w *worker) addBack() {
	s := w.Structure
	thick := w.Block.Plus(w.Swelling)
	from := w.say("block of %s", w.Block)
	if w.Swelling != (Range{}) {
		from = w.say("block of %s and pressed swelling of %s", w.Block, w.Swelling)
	}
	w.addAfter(w.length("back, thickness", thick, from))
	name := "back, across"
	w.BackOver = thick
	if s.Back == Rounded {
		name = "back, over its curve"
		w.BackOver = thick.Times(ArcOfChord)
		from = w.say("back of %s, rounded to a third of a circle", thick)
	}
	if m := w.measured.Back; m > 0 {
		w.ask("the back", m, w.BackOver)
		w.BackOver, from = Exactly(m), "measured"
	}
	if s.Back == Rounded || w.measured.Back > 0 {
		w.addAfter(w.length(name, w.BackOver, from))
	}
	if s.Back == Rounded {
		w.addAfter(w.length("round, depth", thick.Times(DepthOfChord), w.say("a third of a circle over %s", thick)))
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
	board, from := w.choose("the board", w.measured.Board, s.Board, "--board")
	w.Board = board
	size := BoardSize(leaf, float64(s.Joint), float64(s.Square))
	if size.H < leaf.H || size.W < leaf.W/2 || size.W+float64(s.Joint) < leaf.W {
		return refuse("look at square and joint of the structure", w.say("boards of %s x %s with a joint of %s would be smaller than the leaves of %s x %s",
			Exactly(size.W), Exactly(size.H), s.Joint.Exactly(), Exactly(leaf.W), Exactly(leaf.H)))
	}
	w.BoardW, w.BoardH = Exactly(size.W), Exactly(size.H)
	w.addAfter(w.length("board, thickness", board, from))
	from = w.say("leaf of %s x %s; a square of %s at %s and fore-edge", Exactly(leaf.W), Exactly(leaf.H), s.Square.Exactly(), w.ends())
	if s.Joint > 0 {
		from += w.say("; a joint of %s at the back", s.Joint.Exactly())
	}
	across, along := w.Book.Axes()
	w.addAfter(w.piece("boards, "+across+" x "+along, w.BoardW, w.BoardH, from).times(2))
	w.addAfter(w.length("square", s.Square.Exactly(), structuresRule))
	if s.Joint > 0 {
		w.addAfter(w.length("joint", s.Joint.Exactly(), structuresRule))
	}
	if s.Back == Rounded {
		from = "about the board's thickness: so far the block stands out of the press"
		if w.Swelling != (Range{}) {
			from += w.say("; half of the pressed swelling, %s, goes to each side", w.Swelling.Times(0.5))
		}
		w.addAfter(w.length("backing shoulder", board, from))
	}
	return nil
}

// Across is what the cover needs across the back, and what follows from what.
func (s Sheet) Across() (Range, string) {
	if s.Structure.Back == Flat {
		return s.BackOver.Plus(s.Board.Times(2)), s.Units.say("flat back of %s and two boards of %s", s.BackOver, s.Board)
	}
	return s.BackOver, s.Units.say("back of %s", s.BackOver)
}

// ClothSize is the size of a case's cloth: the two boards, the back and two
// joints, and the turn-ins all round.
func ClothSize(board geom.Size, back, joint, turnIn float64) geom.Size {
	return geom.Size{W: 2*board.W + back + 2*joint + 2*turnIn, H: board.H + 2*turnIn}
}

func (w *worker) addCover() {
	s := w.Structure
	if s.Cover == Paper {
		w.addPaperCover()
		return
	}
	spine, why := w.Across()
	low := ClothSize(geom.Size{W: w.BoardW.Least, H: w.BoardH.Least}, spine.Least, float64(s.Joint), float64(s.TurnIn))
	high := ClothSize(geom.Size{W: w.BoardW.Most, H: w.BoardH.Most}, spine.Most, float64(s.Joint), float64(s.TurnIn))
	w.ClothW, w.ClothH = Range{low.W, high.W}, Range{low.H, high.H}
	if s.Cover == Case {
		w.addAfter(w.piece("spine strip", spine, w.BoardH, why))
	}
	turn, joints := s.TurnIn.Exactly(), ""
	if s.Joint > 0 {
		joints = w.say("two joints of %s, ", s.Joint.Exactly())
	}
	w.addAfter(w.piece("cover, whole", w.ClothW, w.ClothH, w.say("two boards, %s across the back, %s%s turned in all round", spine, joints, turn)))
	w.addAfter(w.length("cover, corners cut off", w.Board, "about the board's thickness from its corner"))
	if s.Quarter <= 0 {
		return
	}
	onto := w.BoardW.Times(float64(s.Quarter))
	w.addAfter(w.piece("quarter cover, back only", spine.Plus(s.Joint.Exactly().Times(2)).Plus(onto.Times(2)), w.ClothH,
		fmt.Sprintf("%s percent of the board's width on each side", percent(float64(s.Quarter)))).loose())
	w.addAfter(w.piece("paper sides of quarter or half cover", w.BoardW.Minus(onto).Plus(s.Lap.Exactly()).Plus(turn), w.ClothH,
		w.say("the rest of the board, %s over the cloth, %s turned in", s.Lap.Exactly(), turn)).times(2).loose())
	corner := onto.Plus(turn.Times(2))
	w.addAfter(w.piece("corner squares of half cover", corner, corner,
		"each cut across into two corners: as much of the board as the cloth at the back covers, and the turn-ins").times(2).loose())
}

// addPaperCover adds a paper cover folded around the block, or two laid onto leaves sewn through
// their side.
func (w *worker) addPaperCover() {
	s, leaf := w.Structure, w.Book.Leaf
	width, height := leaf.W+float64(s.Square), Exactly(leaf.H+2*float64(s.Square))
	if s.Sewn == Side {
		w.addAfter(w.piece("covers", Exactly(width), height, w.say("leaf of %s x %s", Exactly(leaf.W), Exactly(leaf.H))).times(2))
		return
	}
	thick := w.Block.Plus(w.Swelling)
	from := w.say("two leaves of %s x %s and the back of %s", Exactly(leaf.W), Exactly(leaf.H), thick)
	if s.Square > 0 {
		from += w.say("; a square of %s", s.Square.Exactly())
	}
	w.addAfter(w.piece("paper cover, flat", Exactly(2*width).Plus(thick), height, from))
	if s.TurnIn > 0 {
		w.addAfter(w.length("flaps of the paper cover, each", s.TurnIn.Exactly(), structuresRule+"; they come to its width"))
	}
}

// addLinings adds what lies on the back, and the end-papers.
func (w *worker) addLinings() {
	s, leaf := w.Structure, w.Book.Leaf
	if s.Sewn == Folds {
		short := Exactly(leaf.H - 2*float64(s.LiningEnd))
		if s.Wings > 0 {
			w.addAfter(w.piece("first lining, of open cloth", w.BackOver.Plus(s.Wings.Exactly().Times(2)), short,
				w.say("back of %s and %s onto each side; %s short of both ends", w.BackOver, s.Wings.Exactly(), s.LiningEnd.Exactly())).loose())
		}
		from := "the back, from end to end"
		if s.LiningEnd > 0 {
			from = w.say("the back; %s short of both ends", s.LiningEnd.Exactly())
		}
		w.addAfter(w.piece("second lining, of paper", w.BackOver, short, from).loose())
		w.addAfter(w.length("headbands", w.BackOver, "the back, one at each end").times(2))
	}
	if s.Cover != Paper {
		full := w.Book.UntrimmedLeaf()
		w.addBefore(w.piece("end-papers, before folding", Exactly(2*full.W), Exactly(full.H),
			"one folded sheet at each end, as large as two leaves before trimming").times(2).loose())
	}
}
