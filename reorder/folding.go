package reorder

import "math"

// layer is a region of one piece as it lies in a folded packet.
type layer struct {
	piece   int    // which piece it belongs to, from 1, outermost first
	onTable Rect   // where it lies on the table
	place   Matrix // from the piece lying inner side up to where it lies now
	flipped bool   // the outer side is up
}

// packet is a folded piece, or several folded together: its layers from the
// top down.
type packet []layer

// creases tells for each of the folds of a piece whether it halves the
// piece's height in feed orientation (the crease is parallel to the short
// edge of an uncut sheet) or its width.
func creases(piece Size, times int) (halvesHeight []bool) {
	for range times {
		tall := piece.H >= piece.W
		if tall {
			piece.H /= 2
		} else {
			piece.W /= 2
		}
		halvesHeight = append(halvesHeight, tall)
	}
	return halvesHeight
}

// lay puts pieces inner side up on the table, the outermost at the bottom.
func lay(pieces []int, size Size) packet {
	var p packet
	for i := len(pieces) - 1; i >= 0; i-- {
		p = append(p, layer{piece: pieces[i], onTable: size.Rect(), place: Identity})
	}
	return p
}

// bounds is the part of the table that the packet covers.
func (p packet) bounds() Rect {
	out := p[0].onTable
	for _, l := range p[1:] {
		out.X0, out.X1 = math.Min(out.X0, l.onTable.X0), math.Max(out.X1, l.onTable.X1)
		out.Y0, out.Y1 = math.Min(out.Y0, l.onTable.Y0), math.Max(out.Y1, l.onTable.Y1)
	}
	return out
}

// rightOverLeft folds the packet's right half over onto its left half.
func (p packet) rightOverLeft() packet {
	b := p.bounds()
	at := (b.X0 + b.X1) / 2
	return p.fold(Matrix{-1, 0, 0, 1, 2 * at, 0}, func(r Rect) (moves, stays Rect) {
		return Rect{math.Max(r.X0, at), r.Y0, r.X1, r.Y1}, Rect{r.X0, r.Y0, math.Min(r.X1, at), r.Y1}
	})
}

// farOverNear folds the packet's far half over onto the half near the person.
func (p packet) farOverNear() packet {
	b := p.bounds()
	at := (b.Y0 + b.Y1) / 2
	return p.fold(Matrix{1, 0, 0, -1, 0, 2 * at}, func(r Rect) (moves, stays Rect) {
		return Rect{r.X0, math.Max(r.Y0, at), r.X1, r.Y1}, Rect{r.X0, r.Y0, r.X1, math.Min(r.Y1, at)}
	})
}

// fold parts every layer at the crease. What moves is mirrored there and
// comes to lie on what stays, its own order reversed.
func (p packet) fold(mirror Matrix, part func(Rect) (moves, stays Rect)) packet {
	var over, under packet
	for _, l := range p {
		moves, stays := part(l.onTable)
		if !stays.empty() {
			under = append(under, layer{l.piece, stays, l.place, l.flipped})
		}
		if !moves.empty() {
			over = append(over, layer{l.piece, mirror.Bounds(moves), l.place.Then(mirror), !l.flipped})
		}
	}
	folded := make(packet, 0, len(over)+len(under))
	for i := len(over) - 1; i >= 0; i-- {
		folded = append(folded, over[i])
	}
	return append(folded, under...)
}

func (r Rect) empty() bool { return r.X1-r.X0 < 1e-6 || r.Y1-r.Y0 < 1e-6 }

// leaf is one leaf of a gathering and where its two faces stand on the paper.
type leaf struct {
	piece        int
	recto, verso face
}

// face is one face of a leaf as it lies on its piece.
type face struct {
	outer       bool // on the outer side of the piece
	rect        Rect // in feed orientation, in the view of that side of the piece
	head, spine Towards
}

// fold folds the pieces together, the first outermost, and returns the leaves
// in the order in which a book with its spine at the left is read.
//
// The hand begins with the inner side up and the text upright and ends with a
// fold of right over left, so the packet lies with its spine at the right and
// the last page on top: the first leaf is the lowest. Each fold before the
// last brings either the right half over the left or the far half over the
// near one, as halving the longer dimension demands (check: Cockerell 1901, p. 38).
func foldTogether(pieces []int, size Size, times int) []leaf {
	plan := creases(size, times)
	sideways := plan[len(plan)-1]
	upright := size
	if sideways {
		upright = size.Turned()
	}
	p := lay(pieces, upright)
	for _, halvesHeight := range plan {
		if halvesHeight == sideways {
			p = p.rightOverLeft()
		} else {
			p = p.farOverNear()
		}
	}
	leaves := make([]leaf, 0, len(p))
	for i := len(p) - 1; i >= 0; i-- {
		l := p[i]
		up, down := l.faceOn(size, sideways, l.flipped), l.faceOn(size, sideways, !l.flipped)
		leaves = append(leaves, leaf{l.piece, down, up})
	}
	return leaves
}

// faceOn is one face of the layer, brought back from the table to the piece
// in feed orientation.
func (l layer) faceOn(piece Size, sideways, outer bool) face {
	m := l.place.inverse()
	if sideways {
		// Of a piece whose pages lie sideways the heads point to x = W on the
		// inner side: from the upright position it is turned clockwise.
		m = m.Then(Rotate(3)).Then(Translate(0, piece.H))
	}
	if outer {
		m = m.Then(Matrix{-1, 0, 0, 1, piece.W, 0})
	}
	return face{
		outer: outer,
		rect:  m.Bounds(l.onTable),
		head:  pointing(m.Direction(Point{0, 1})),
		spine: pointing(m.Direction(Point{1, 0})),
	}
}

// inverse of a map that only turns, mirrors and moves.
func (m Matrix) inverse() Matrix {
	t := Matrix{m[0], m[2], m[1], m[3], 0, 0}
	e := t.Apply(Point{m[4], m[5]})
	t[4], t[5] = -e.X, -e.Y
	return t
}

func pointing(d Point) Towards {
	switch {
	case d.Y > 0.5:
		return Up
	case d.X < -0.5:
		return Left
	case d.Y < -0.5:
		return Down
	}
	return Right
}
