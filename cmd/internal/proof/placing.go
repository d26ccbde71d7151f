package proof

import (
	"math"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// placing is where pages should stand on their leaves, worked out from the
// options and the size of a leaf alone.
type placing struct {
	o      options.Options
	leaf   geom.Size // as it is read
	room   geom.Size // less what is trimmed off and the gutter
	trim   trim
	creep  float64 // mm for each thickness of paper
	most   geom.Size
	turns  bool // pages wider than high are turned
	scale  float64
	fitted bool
}

// trim is what the knife takes off a leaf, in mm. With the spine at the top,
// head and tail are its left and right edge.
type trim struct{ head, tail, foreEdge float64 }

// spine is the edge of a page, as it is read, at which it is bound.
func spine(b reorder.Bind, recto bool) geom.Towards {
	switch {
	case b == reorder.BindTop && recto:
		return geom.Up
	case b == reorder.BindTop:
		return geom.Down
	case (b == reorder.BindLeft) == recto:
		return geom.Left
	}
	return geom.Right
}

// newPlacing works for leaves of one size and all texts of the book.
func newPlacing(o options.Options, leaf geom.Size, text []survey.Shown, creep float64) placing {
	p := placing{o: o, leaf: leaf, creep: creep, scale: float64(o.Scale.Scale), fitted: o.Scale.Scale == reorder.ScaleFit}
	across := p.bySpine(leaf)
	p.trim = trim{float64(o.Trim.Head), float64(o.Trim.Tail), float64(o.Trim.ForeEdge)}
	if to := p.bySpine(geom.Size{W: float64(o.TrimTo.W), H: float64(o.TrimTo.H)}); to != (geom.Size{}) {
		p.trim = trim{max(0, (across.H-to.H)/2), max(0, (across.H-to.H)/2), max(0, across.W-to.W)}
	}
	p.room = p.bySpine(geom.Size{W: across.W - p.trim.foreEdge - float64(o.Gutter), H: across.H - p.trim.head - p.trim.tail})
	if m := o.Margins; p.isFramed() {
		left := p.bySpine(p.room)
		p.room = p.bySpine(geom.Size{W: left.W - float64(m.Inner) - float64(m.Outer), H: left.H - float64(m.Head) - float64(m.Tail)})
	}
	p.most = commonSize(text)
	p.turns = o.Wide == reorder.WideTurn && leaf.W < leaf.H && p.most.W <= p.most.H
	if p.fitted {
		p.scale = p.fit(p.most)
	}
	return p
}

// isFramed tells whether margins say where pages stand.
func (p placing) isFramed() bool { return p.o.Margins.Given && p.o.Blank == 0 }

// bySpine is a size with its width across the spine, or such a one as it is read.
func (p placing) bySpine(s geom.Size) geom.Size {
	if p.o.Bind == reorder.BindTop {
		return s.Turn()
	}
	return s
}

// commonSize is the size of box that most pages of the text have, to a tenth
// of a millimetre; of equally common ones the first.
func commonSize(text []survey.Shown) (common geom.Size) {
	count, most := map[[2]float64]int{}, 0
	key := func(s geom.Size) [2]float64 { return [2]float64{math.Round(s.W * 10), math.Round(s.H * 10)} }
	for _, s := range text {
		if s.Page != 0 {
			count[key(s.Box.Size())]++
		}
	}
	for _, s := range text {
		if n := count[key(s.Box.Size())]; s.Page != 0 && n > most {
			common, most = s.Box.Size(), n
		}
	}
	return common
}

// roundOff is how far a page may stand out of its room at the book's scale
// before it counts as too large: sizes in PDF are often rounded to a point.
const roundOff = 0.36

// scaleOf is the scale of one page whose box, as it will stand, is given.
func (p placing) scaleOf(box geom.Size) float64 {
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
func (p placing) fit(box geom.Size) float64 {
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

// matrixAt is the map from the source page's visible box to a page as it is read, with
// its spine at an edge and so many leaves around its own.
func (p placing) matrixAt(s survey.Shown, edge geom.Towards, depth int) geom.Matrix {
	box := s.Box.Size()
	m := geom.Translate(-s.Box.X0, -s.Box.Y0)
	if p.turns && box.W > box.H {
		m = m.Then(geom.Rotate(1)).Then(geom.Translate(box.H, 0)) // its head to the left
		box = box.Turn()
	}
	scale := p.scaleOf(box)
	shown := geom.Size{W: box.W * scale, H: box.H * scale}
	creep := p.creep * float64(depth)
	spare := p.bySpine(geom.Size{W: p.room.W - shown.W, H: p.room.H - shown.H})
	fromSpine, head := float64(p.o.Gutter), spare.H/2
	switch {
	case p.o.Place == reorder.InMiddle:
		fromSpine += spare.W / 2
	case p.o.Place == reorder.Classic && p.o.Bind != reorder.BindTop:
		// Back 2, fore-edge 4; head 3, tail 6, the head no more than half of what is spare across.
		fromSpine += spare.W / 3
		head = min(spare.H/3, spare.W/2)
	}
	foreEdge := spare.W + float64(p.o.Gutter) - fromSpine + p.trim.foreEdge
	r := inset(p.leaf.Rect(), edge, fromSpine-creep, foreEdge+creep, trim{head: p.trim.head + head, tail: p.trim.tail + spare.H - head})
	if f := p.o.Margins; p.isFramed() {
		r = inset(p.leaf.Rect(), edge, float64(f.Inner)-creep, spare.W+float64(f.Outer)+p.trim.foreEdge+creep,
			trim{head: p.trim.head + float64(f.Head), tail: p.trim.tail + float64(f.Tail) + spare.H})
	}
	return m.Then(geom.Enlarge(scale)).Then(geom.Translate(r.X0, r.Y0))
}

// rectLeft is what the knife leaves of a page.
func (p placing) rectLeft(place Place) geom.Rect {
	foreEdge := p.trim.foreEdge
	if foreEdge > 0 {
		foreEdge += p.creep * float64(place.depth) // all leaves are cut at one place
	}
	return inset(place.Size.Rect(), spine(p.o.Bind, place.Recto), 0, foreEdge, p.trim)
}

// inset takes lengths off a page, as it is read, whose spine is at an edge; of the trim
// only what goes at head and tail. A page with its spine above or below has its head, for the knife, at the left.
func inset(r geom.Rect, edge geom.Towards, fromSpine, foreEdge float64, t trim) geom.Rect {
	switch edge {
	case geom.Left:
		return r.Inset(fromSpine, t.tail, foreEdge, t.head)
	case geom.Right:
		return r.Inset(foreEdge, t.tail, fromSpine, t.head)
	case geom.Up:
		return r.Inset(t.head, foreEdge, t.tail, fromSpine)
	}
	return r.Inset(t.head, fromSpine, t.tail, foreEdge)
}

// ruledAt is the map from a ruled page, which is as large as the trimmed leaf, to a page as it is read.
func (p placing) ruledAt(edge geom.Towards, depth int) geom.Matrix {
	creep := p.creep * float64(depth)
	r := inset(p.leaf.Rect(), edge, -creep, p.trim.foreEdge+creep, p.trim)
	return geom.Translate(r.X0, r.Y0)
}
