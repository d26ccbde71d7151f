package reorder

import (
	"fmt"
	"math"
	"math/bits"
	"slices"

	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// position is how a sheet lies on the table to be cut and folded, its pages
// to be read, and along which lines.
type position struct {
	broad    bool      // turned clockwise by a quarter from feed orientation
	sheet    geom.Size // as it lies
	cuts     []Line    // Upright or Level
	creases  []Line    // the last one lies as the spine does
	cutOffAt Line      // of a scheme with a CutOff
	inset    []Line
	leaf     geom.Size // as it is read
}

// position finds the lines that give the wanted leaf. By default each halves
// the longer dimension; where that gives the other kind of leaf, the last
// crease is taken across.
func (f Form) position(sheet geom.Size) (position, error) {
	var offered position
	for _, p := range f.positions(sheet) {
		if isLeaf(p.leaf, f.Leaf) {
			return p, nil
		}
		offered = p
	}
	why := refusal.Plan.New("the fold %s, bound at the %s, does not make a %s leaf from a sheet of %s", f.Fold, f.Bind, f.Leaf, sheet)
	if f.Cut > 1 {
		why = refusal.Plan.New("the fold %s of a sheet of %s cut in %d, bound at the %s, does not make a %s leaf", f.Fold, sheet, f.Cut, f.Bind, f.Leaf)
	}
	advice := fmt.Sprintf("its leaf is %s", offered.leaf)
	if f.Leaf == Landscape && f.Bind != BindTop && f.Fold == Folio && f.Cut == 1 {
		advice = "cut the sheet into 2, or fold it as a quarto, or bind at the top"
	}
	return position{}, why.Advise("%s", advice)
}

// PanelSize is the size of a leaf before trimming, as its page is read, that
// the form gives of a sheet.
func (f Form) PanelSize(sheet geom.Size) (geom.Size, error) {
	p, err := f.position(sheet)
	return p.leaf, err
}

// SpineAlongHeight tells whether the spine of the book lies along the long
// edge of the unfolded sheet. It does where cuts and folds that halve are even
// in number, unless a leaf was asked for that lies across.
func (f Form) SpineAlongHeight(sheet geom.Size) bool {
	p, err := f.position(sheet)
	return err == nil && p.broad == (f.Bind == BindTop)
}

// positions are the ways in which a sheet can lie, the usual one first.
func (f Form) positions(sheet geom.Size) []position {
	s := f.Fold.Scheme()
	switch {
	case s.Strip:
		p := newPosition(f.Bind != BindTop, sheet)
		p.leaf = f.stripPanel(p.sheet)
		return []position{p}
	case f.Copies:
		return f.halvings(sheet, []bool{isHeightLonger(sheet, false)}, 1)
	case len(s.Creases) == 0:
		return f.halvings(sheet, nil, 0)
	case s.Creases[0] != Longer:
		return []position{f.positionAlong(s, newPosition(false, sheet)), f.positionAlong(s, newPosition(true, sheet))}
	}
	cuts := bits.Len(uint(f.Cut)) - 1
	natural := halveLonger(sheet, cuts+len(s.Creases))
	all := f.halvings(sheet, natural, cuts)
	last := natural[len(natural)-1]
	for i, height := range slices.Backward(natural) {
		if height != last {
			across := append(slices.Delete(slices.Clone(natural), i, i+1), !last)
			return append(all, f.halvings(sheet, across, cuts)...)
		}
	}
	return all
}

// halvings are the positions for halving a sheet in feed orientation again
// and again, its height or its width. Where the last is a crease, it has to
// lie as the spine does; else the sheet can lie both ways.
func (f Form) halvings(sheet geom.Size, heights []bool, cuts int) []position {
	ways := []bool{false, true}
	if n := len(heights); n > cuts {
		ways = []bool{heights[n-1] == (f.Bind != BindTop)}
	}
	var all []position
	for _, broad := range ways {
		p := newPosition(broad, sheet)
		for i, height := range heights {
			line := Upright
			if height != broad {
				line = Level
			}
			p.leaf = halfOf(p.leaf, line)
			if i < cuts {
				p.cuts = append(p.cuts, line)
			} else {
				p.creases = append(p.creases, line)
			}
		}
		all = append(all, p)
	}
	if len(all) == 2 && all[0].leaf.W > all[0].leaf.H {
		slices.Reverse(all)
	}
	return all
}

// positionAlong is the position for a scheme that says how its lines lie. With the
// spine at the top everything lies across.
func (f Form) positionAlong(s Scheme, p position) position {
	lie := func(lines []Line) []Line {
		if f.Bind != BindTop {
			return lines
		}
		return lists.Map(lines, func(line Line) Line { return Upright + Level - line })
	}
	p.creases = lie(s.Creases)
	if s.CutOff != nil {
		p.cutOffAt = lie([]Line{Level})[0]
		p.inset = lie(s.CutOff.Creases)
		p.leaf = sizeWithout(p.leaf, p.cutOffAt, s.CutOff.Share)
	}
	for _, line := range p.creases {
		p.leaf = halfOf(p.leaf, line)
	}
	return p
}

func newPosition(broad bool, sheet geom.Size) position {
	if broad {
		sheet = sheet.Turn()
	}
	return position{broad: broad, sheet: sheet, leaf: sheet}
}

// stripPanel is the size of a page of a concertina whose sheets lie as given.
func (f Form) stripPanel(sheet geom.Size) geom.Size {
	n := float64(f.perStripSheet())
	if f.Bind == BindTop {
		return geom.Size{W: sheet.W, H: (sheet.H - f.Overlap) / n}
	}
	return geom.Size{W: (sheet.W - f.Overlap) / n, H: sheet.H}
}

// halveLonger tells of n halvings of the longer dimension of a sheet in feed
// orientation which of them halve its height. Of equal dimensions the one is
// halved that was not halved last.
func halveLonger(sheet geom.Size, n int) []bool {
	var heights []bool
	for i := range n {
		height := isHeightLonger(sheet, i > 0 && heights[i-1])
		if height {
			sheet.H /= 2
		} else {
			sheet.W /= 2
		}
		heights = append(heights, height)
	}
	return heights
}

func isHeightLonger(s geom.Size, before bool) bool {
	if math.Abs(s.H-s.W) < 1e-6 {
		return !before
	}
	return s.H > s.W
}

func halfOf(s geom.Size, line Line) geom.Size { return sizeWithout(s, line, 0.5) }

// sizeWithout is what is left of a size once a share is taken off beyond a line.
func sizeWithout(s geom.Size, line Line, share float64) geom.Size {
	if line == Level {
		return geom.Size{W: s.W, H: s.H * (1 - share)}
	}
	return geom.Size{W: s.W * (1 - share), H: s.H}
}
