package proof

import (
	"math"

	"foldwright/cmd/internal/options"
	"foldwright/reorder"
)

// placing is where pages should stand on their leaves, worked out from the
// options and the size of a leaf alone.
type placing struct {
	o      options.Options
	leaf   reorder.Size // as it is read
	room   reorder.Size // less what is trimmed off and the gutter
	trim   trim
	creep  float64 // mm for each thickness of paper
	most   reorder.Size
	turns  bool // pages wider than high are turned
	scale  float64
	fitted bool
}

// trim is what the knife takes off a leaf, in mm. With the spine at the top,
// head and tail are its left and right edge.
type trim struct{ head, tail, foreEdge float64 }

// spine is the edge of a page, as it is read, at which it is bound.
func spine(b reorder.Bind, recto bool) reorder.Towards {
	switch {
	case b == reorder.BindTop && recto:
		return reorder.Up
	case b == reorder.BindTop:
		return reorder.Down
	case (b == reorder.BindLeft) == recto:
		return reorder.Left
	}
	return reorder.Right
}

// newPlacing works for leaves of one size and all texts of the book; deepest
// is the thicknesses of paper around the innermost leaf of the thickest gathering.
func newPlacing(o options.Options, leaf reorder.Size, text []Shown, deepest int) placing {
	p := placing{o: o, leaf: leaf, trim: trimOf(o, leaf), scale: float64(o.Scale.Scale), fitted: o.Scale.Scale == reorder.ScaleFit}
	p.room = p.shrink(leaf, p.trim.foreEdge+float64(o.Gutter), p.trim.head+p.trim.tail)
	switch {
	case o.CreepMeasured > 0 && deepest > 0:
		p.creep = float64(o.CreepMeasured) / float64(deepest)
	case o.CreepMeasured > 0:
	case o.Caliper > 0:
		p.creep = float64(o.Caliper)
	case o.Weight.GSM > 0:
		p.creep = o.Weight.Caliper().Usual
	}
	p.most = commonSize(text)
	p.turns = o.Landscape == reorder.WideTurn && leaf.W < leaf.H && p.most.W <= p.most.H
	if p.fitted {
		p.scale = p.fit(p.most)
	}
	return p
}

// shrink takes a length off a leaf across its spine and one along it.
func (p placing) shrink(leaf reorder.Size, across, along float64) reorder.Size {
	if p.o.Bind == reorder.BindTop {
		across, along = along, across
	}
	return reorder.Size{W: leaf.W - across, H: leaf.H - along}
}

func trimOf(o options.Options, leaf reorder.Size) trim {
	if o.TrimTo == (options.Dimensions{}) {
		return trim{float64(o.Trim.Head), float64(o.Trim.Tail), float64(o.Trim.ForeEdge)}
	}
	across, along := leaf.W-float64(o.TrimTo.W), leaf.H-float64(o.TrimTo.H)
	if o.Bind == reorder.BindTop {
		across, along = along, across
	}
	return trim{max(0, along/2), max(0, along/2), max(0, across)}
}

// commonSize is the size of box that most pages of the text have, to a tenth
// of a millimetre; of equally common ones the first.
func commonSize(text []Shown) reorder.Size {
	count := map[reorder.Size]int{}
	key := func(s Shown) reorder.Size {
		size := s.box.Size()
		return reorder.Size{W: math.Round(size.W * 10), H: math.Round(size.H * 10)}
	}
	for _, s := range text {
		if s.Page != 0 {
			count[key(s)]++
		}
	}
	var best reorder.Size
	n := 0
	for _, s := range text {
		if s.Page != 0 && count[key(s)] > n {
			best, n = s.box.Size(), count[key(s)]
		}
	}
	return best
}

// roundOff is how far a page may stand out of its room at the book's scale
// before it counts as too large: sizes in PDF are often rounded to a point.
const roundOff = 0.36

// scaleOf is the scale of one page whose box, as it will stand, is given.
func (p placing) scaleOf(box reorder.Size) float64 {
	fits := box.W*p.scale <= p.room.W+roundOff && box.H*p.scale <= p.room.H+roundOff
	switch {
	case !p.fitted || fits && !p.o.ScaleEach:
		return p.scale
	case p.o.ScaleEach:
		return p.fit(box)
	}
	return min(p.room.W/box.W, p.room.H/box.H)
}

// fit is the largest scale at which a page has its place: with classic margins
// 6/36 of the room's width are left across and 9/36 along at least, and 1.05
// times as much along as across, so that 2 : 3 : 4 : 6 can be had.
func (p placing) fit(box reorder.Size) float64 {
	if p.o.Place != reorder.Classic {
		return min(p.room.W/box.W, p.room.H/box.H)
	}
	w := p.room.W
	s := min((w-w*6/36)/box.W, (p.room.H-w*9/36)/box.H)
	if higher := box.H - 1.05*box.W; higher > 0 {
		s = min(s, max(0.1, (p.room.H-1.05*w)/higher))
	}
	return s
}

// matrixOf is the map from the source page's visible box to the page of a place as
// it is read, and what of the place is left after trimming.
func (p placing) matrixOf(s Shown, place Place) reorder.Matrix {
	return p.matrixAt(s, spine(p.o.Bind, place.Recto), place.depth)
}

func (p placing) matrixAt(s Shown, edge reorder.Towards, depth int) reorder.Matrix {
	box := s.box.Size()
	m := reorder.Translate(-s.box.X0, -s.box.Y0)
	if p.turns && box.W > box.H {
		m = m.Then(reorder.Rotate(1)).Then(reorder.Translate(box.H, 0)) // its head to the left
		box = box.Turn()
	}
	scale := p.scaleOf(box)
	shown := reorder.Size{W: box.W * scale, H: box.H * scale}
	corner := p.cornerOf(edge, shown, p.creep*float64(depth))
	return m.Then(reorder.Enlarge(scale)).Then(reorder.Translate(corner.X, corner.Y))
}

// cornerOf is where the lower left corner of a page of a given size stands.
func (p placing) cornerOf(edge reorder.Towards, shown reorder.Size, creep float64) reorder.Point {
	spareW, spareH := p.room.W-shown.W, p.room.H-shown.H
	fromSpine := float64(p.o.Gutter) - creep
	if edge == reorder.Up || edge == reorder.Down {
		if p.o.Place == reorder.Centred {
			fromSpine += spareH / 2
		}
		x := p.trim.head + spareW/2
		if edge == reorder.Down {
			return reorder.Point{X: x, Y: fromSpine}
		}
		return reorder.Point{X: x, Y: p.leaf.H - fromSpine - shown.H}
	}
	y := p.trim.tail + spareH/2
	switch p.o.Place {
	case reorder.Centred:
		fromSpine += spareW / 2
	case reorder.Classic: // back 2, fore-edge 4; head 3, tail 6, the head no more than half of what is spare across
		fromSpine += spareW / 3
		y = p.trim.tail + spareH - min(spareH/3, spareW/2)
	}
	if edge == reorder.Left {
		return reorder.Point{X: fromSpine, Y: y}
	}
	return reorder.Point{X: p.leaf.W - fromSpine - shown.W, Y: y}
}

// rectLeft is what the knife leaves of a page.
func (p placing) rectLeft(place Place) reorder.Rect {
	r := place.Size.Rect()
	foreEdge := p.trim.foreEdge
	if foreEdge > 0 {
		foreEdge += p.creep * float64(place.depth) // all leaves are cut at one place
	}
	switch spine(p.o.Bind, place.Recto) {
	case reorder.Left:
		return r.Inset(0, p.trim.tail, foreEdge, p.trim.head)
	case reorder.Right:
		return r.Inset(foreEdge, p.trim.tail, 0, p.trim.head)
	case reorder.Up:
		return r.Inset(p.trim.head, foreEdge, p.trim.tail, 0)
	}
	return r.Inset(p.trim.head, 0, p.trim.tail, foreEdge)
}
