package cover

import (
	"math"
	"slices"

	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// How marks and parts are laid out, in mm (common practice, no source).
const (
	markGap   = 1.0  // from the bleed to a mark
	markLong  = 4.0  // a mark
	tab       = 10.0 // by which a part reaches under the next one, to be glued
	lead      = 4.0  // that a part shows beyond a seam along which it is cut
	foldClear = 7.0  // that a seam with its points, and the end of a tab, keep clear of folds
	footRoom  = 19.0 // below the cover, or beside it, for the rule and words
	gridOf    = 0.5  // places of seams and parts
)

// Sheet is the paper that a cover is printed on.
type Sheet struct {
	Paper  geom.Size // portrait
	Margin float64   // that the printer does not reach, or hardly
	// Front and Back are what the printer's profile asks for: maps by which a side is drawn.
	Front, Back geom.Matrix
}

// Piece is what of a flat stands on one page.
type Piece struct {
	Column, Row int       // from 0, from the left and from the bottom
	Area        geom.Rect // of the flat, from cut or seam to cut or seam
	Joins       Joins
	At          geom.Point // of the flat's origin in the frame
}

// Joins is at which of its edges a piece meets another one. At its left and lower edges it is cut and lies on the tabs of
// the pieces there; at its right and upper edges it has the tabs.
type Joins struct{ Left, Below, Right, Above bool }

// Layout is a flat shared out among pages, or labels laid out on them.
type Layout struct {
	Frame         geom.Size // of the page as it is read
	Turned        bool      // it stands on the paper turned by a quarter
	FootAside     bool      // rule and words stand at the left of the cover, not below it
	Columns, Rows int       // of parts
	Pages         [][]Piece // of a cover one piece on each, row by row from the top, each from the left
	bleed         float64
}

// visitLayouts visits the ways in which a page can be read, the plainest first, and the room on each.
func visitLayouts(s Sheet, bleed float64, visit func(l Layout, room geom.Rect)) {
	for _, aside := range []bool{false, true} {
		for _, turned := range []bool{false, true} {
			l := Layout{Frame: s.Paper, Turned: turned, FootAside: aside, bleed: bleed}
			if turned {
				l.Frame = s.Paper.Turn()
			}
			room := l.Frame.Rect().Inset(s.Margin, s.Margin, s.Margin, s.Margin)
			if aside {
				room.X0 += footRoom
			} else {
				room.Y0 += footRoom
			}
			visit(l, room)
		}
	}
}

// foot maps the foot, as wide as the frame's edge without its margins, to the frame, or to what is seen of it from behind.
func (l Layout) foot(s Sheet, back bool) (m geom.Matrix, wide float64) {
	switch {
	case !l.FootAside:
		return geom.Translate(s.Margin, s.Margin), l.Frame.W - 2*s.Margin
	case back:
		return geom.Rotate(1).Then(geom.Translate(l.Frame.W-s.Margin, s.Margin)), l.Frame.H - 2*s.Margin
	}
	return geom.Rotate(1).Then(geom.Translate(s.Margin+footRoom, s.Margin)), l.Frame.H - 2*s.Margin
}

// share lays a flat out on paper, in as few parts as can be; upright where that makes no difference.
func share(f Flat, s Sheet, bleed float64) (Layout, error) {
	var best Layout
	visitLayouts(s, bleed, func(l Layout, room geom.Rect) {
		front, _ := f.Panel(Front)
		across, ok := seams(f.Size.W, room.Size().W, bleed, f.Folds(), front)
		along, ok2 := seams(f.Size.H, room.Size().H, bleed, f.Rows(), Panel{})
		l.Columns, l.Rows = len(across)-1, len(along)-1
		if !ok || !ok2 || len(best.Pages) > 0 && l.Columns*l.Rows >= best.Columns*best.Rows {
			return
		}
		l.place(across, along, room)
		best = l
	})
	if len(best.Pages) == 0 || len(best.Pages) > mostParts || !hasRoomForRule(s) {
		return best, refusal.Plan.New("paper of %s is too small for a cover of %s", s.Paper, f.Size).Advise("choose larger paper with %s", phrase.Set("paper"))
	}
	return best, nil
}

func hasRoomForRule(s Sheet) bool { return s.Paper.W-2*s.Margin >= ruleLong }

// mostParts is how many parts a person can be asked to glue together.
const mostParts = 30

// repeat lays labels out beside each other: so many, or as many as one page holds.
func repeat(f Flat, s Sheet, bleed float64, copies int) (Layout, error) {
	var best Layout
	around := bleed + markGap + markLong
	cell := geom.Size{W: f.Size.W + 2*around, H: f.Size.H + 2*around}
	most := 0
	visitLayouts(s, bleed, func(l Layout, room geom.Rect) {
		columns, rows := int(room.Size().W/cell.W), int(room.Size().H/cell.H)
		if columns*rows <= most {
			return
		}
		most, best = columns*rows, l
		wanted := copies
		if wanted == 0 {
			wanted = most
		}
		for i := range wanted {
			if i%most == 0 {
				best.Pages = append(best.Pages, nil)
			}
			column, row := i%most%columns, i%most/columns
			at := geom.Point{X: onGrid(room.X0 + float64(column)*cell.W + around), Y: onGrid(room.Y1 - float64(row+1)*cell.H + around)}
			page := &best.Pages[len(best.Pages)-1]
			*page = append(*page, Piece{Area: f.Size.Rect(), At: at})
		}
	})
	if most == 0 || !hasRoomForRule(s) {
		return best, refusal.Plan.New("paper of %s is too small for a label of %s", s.Paper, f.Size).Advise("choose larger paper with %s", phrase.Set("paper"))
	}
	best.Columns, best.Rows = 1, 1
	return best, nil
}

// seams is where a length is divided so that each part fits its room, with both ends; ok is false if none can be. The
// parts are about equally long; seams keep clear of folds, and of a panel where something else is as good.
func seams(length, room, bleed float64, folds []float64, spare Panel) (at []float64, ok bool) {
	end := bleed + markGap + markLong
	if length+2*end <= room {
		return []float64{0, length}, true
	}
	inner := room - end - max(end, tab)
	if inner < 4*tab {
		return nil, false
	}
	for n := int(math.Ceil(length / inner)); n <= mostParts; n++ {
		at = []float64{0}
		for i := 1; i < n && at != nil; i++ {
			last := at[i-1]
			ideal := last + (length-last)/float64(n-i+1)
			cost := func(at float64) float64 {
				if at > spare.X0-tab && at < spare.X1 {
					return math.Abs(at-ideal) + seamCost
				}
				return math.Abs(at - ideal)
			}
			if next, ok := findClear(folds, cost, max(last+2*tab, length-inner*float64(n-i)), min(last+inner, length-2*tab)); ok {
				at = append(at, next)
			} else {
				at = nil
			}
		}
		if at != nil {
			return append(at, length), true
		}
	}
	return nil, false
}

// seamCost is how much further, in mm, a seam moves away from its place if it keeps clear of the front so.
const seamCost = 60

// findClear finds the place on the grid that costs least, between two, at which a seam and its tab keep clear of folds.
func findClear(folds []float64, cost func(float64) float64, least, most float64) (float64, bool) {
	isClear := func(at float64) bool {
		return !slices.ContainsFunc(folds, func(fold float64) bool { return fold > at-foldClear && fold < at+tab+foldClear })
	}
	best, found := 0.0, false
	for step := math.Ceil(least / gridOf); step*gridOf <= most; step++ {
		if at := step * gridOf; isClear(at) && (!found || cost(at) < cost(best)) {
			best, found = at, true
		}
	}
	return best, found
}

// place makes the pieces and puts each in the middle of its page, on the grid.
func (l *Layout) place(across, along []float64, room geom.Rect) {
	for row := len(along) - 2; row >= 0; row-- {
		for column := range len(across) - 1 {
			p := Piece{Column: column, Row: row, Area: geom.Rect{X0: across[column], X1: across[column+1], Y0: along[row], Y1: along[row+1]}}
			p.Joins = Joins{Left: column > 0, Right: column < len(across)-2, Below: row > 0, Above: row < len(along)-2}
			from, to := l.around(p, l.bleed+markGap+markLong).Centre(), room.Centre()
			p.At = geom.Point{X: onGrid(to.X - from.X), Y: onGrid(to.Y - from.Y)}
			l.Pages = append(l.Pages, []Piece{p})
		}
	}
}

func onGrid(v float64) float64 { return math.Round(v/gridOf) * gridOf }

// around is a piece with what belongs to it beyond its seams, and so much beyond its other edges.
func (l Layout) around(p Piece, free float64) geom.Rect {
	at := func(joined bool, seam float64) float64 {
		if joined {
			return seam
		}
		return free
	}
	return p.Area.Inset(-at(p.Joins.Left, lead), -at(p.Joins.Below, lead), -at(p.Joins.Right, tab), -at(p.Joins.Above, tab))
}

// Shown is what of the flat and its bleed is printed on the page of a piece.
func (l Layout) Shown(p Piece) geom.Rect { return l.around(p, l.bleed) }

// toPaper maps the frame of a page to the paper, the front's or the back's. Turned over about its long edge the paper
// shows the same edges of the frame above and below.
func (l Layout) toPaper(back bool) geom.Matrix {
	switch {
	case !l.Turned:
		return geom.Identity
	case back:
		return geom.Rotate(3).Then(geom.Translate(0, l.Frame.W))
	}
	return geom.Rotate(1).Then(geom.Translate(l.Frame.H, 0))
}
