package shopping

import (
	"cmp"
	"math"
	"slices"
)

// Piece is a rectangle to be cut out of a sheet whose grain runs along H. It is never turned.
type Piece struct {
	Of   string // whose it is, and what
	W, H float64
}

// Laid is a piece on its sheet: its corner at the head and at the left, in mm from that of the sheet.
type Laid struct {
	Piece
	X, Y float64
}

// Cut is a straight cut from edge to edge of what is then in hand.
type Cut struct {
	Across   bool    // the grain; else along it
	At       float64 // where it runs: of one across, its distance from the head of the sheet, else from its left edge
	From, To float64 // where it begins and ends, in the other direction
	Off      float64 // what it cuts off, from the edge of what is in hand
	Piece    int     // that is done with it, from 0; -1: none yet
	Strip    int     // in which it is made, from 1
}

// Sheet is a sheet with what is cut out of it, and the order of cuts.
type Sheet struct {
	W, H   float64
	Pieces []Laid
	Cuts   []Cut
}

// almost is what arithmetic may lose, in mm.
const almost = 1e-6

// LayOut lays pieces out on as few sheets of W x H as it finds, in strips across the sheet: the tallest pieces first, each
// into the first strip that has room for it. Between two pieces spare is left, for the cut and a clean edge. Every
// piece can be cut free by cuts that go from edge to edge. tooLarge is a piece that no sheet holds; nil: all lie
// on a sheet. H may be infinite, as of a roll.
func LayOut(pieces []Piece, w, h, spare float64) (sheets []Sheet, tooLarge *Piece) {
	order := slices.Clone(pieces)
	slices.SortStableFunc(order, func(a, b Piece) int { return cmp.Or(cmp.Compare(b.H, a.H), cmp.Compare(b.W, a.W)) })
	var all []*filling
	for _, p := range order {
		if p.W > w+almost || p.H > h+almost {
			return nil, &p
		}
		if slices.ContainsFunc(all, func(f *filling) bool { return f.takeIntoStrip(p) }) ||
			slices.ContainsFunc(all, func(f *filling) bool { return f.takeAsStrip(p) }) {
			continue
		}
		f := &filling{w: w, h: h, spare: spare}
		f.takeAsStrip(p)
		all = append(all, f)
	}
	for _, f := range all {
		sheets = append(sheets, f.sheet())
	}
	return sheets, nil
}

// filling is a sheet that is being filled.
type filling struct {
	w, h, spare float64
	strips      []strip
}

// strip lies across a sheet; its first piece is its tallest.
type strip struct {
	y, h   float64
	pieces []Laid
}

// end is where the next piece of a strip would begin.
func (f *filling) end(s strip) float64 {
	last := s.pieces[len(s.pieces)-1]
	return last.X + last.W + f.spare
}

func (f *filling) takeIntoStrip(p Piece) bool {
	for i, s := range f.strips {
		if x := f.end(s); p.H <= s.h+almost && x+p.W <= f.w+almost {
			f.strips[i].pieces = append(s.pieces, Laid{p, x, s.y})
			return true
		}
	}
	return false
}

func (f *filling) takeAsStrip(p Piece) bool {
	y := 0.0
	if n := len(f.strips); n > 0 {
		y = f.strips[n-1].y + f.strips[n-1].h + f.spare
	}
	if y+p.H > f.h+almost {
		return false
	}
	f.strips = append(f.strips, strip{y, p.H, []Laid{{p, 0, y}}})
	return true
}

// sheet is the sheet with its cuts: a strip off the sheet, the pieces off the strip, and what is shorter than its strip
// is shortened.
func (f *filling) sheet() Sheet {
	out := Sheet{W: f.w, H: f.h}
	for n, s := range f.strips {
		if bottom := s.y + s.h; bottom < f.h-almost {
			out.Cuts = append(out.Cuts, Cut{Across: true, At: bottom, From: 0, To: f.w, Off: s.h, Piece: -1, Strip: n + 1})
		}
		for _, p := range s.pieces {
			number := len(out.Pieces)
			out.Pieces = append(out.Pieces, p)
			short := p.H < s.h-almost
			if right := p.X + p.W; right < f.w-almost {
				c := Cut{At: right, From: s.y, To: s.y + s.h, Off: p.W, Piece: number, Strip: n + 1}
				if short {
					c.Piece = -1
				}
				out.Cuts = append(out.Cuts, c)
			}
			if short {
				out.Cuts = append(out.Cuts, Cut{Across: true, At: p.Y + p.H, From: p.X, To: min(p.X+p.W, f.w), Off: p.H, Piece: number, Strip: n + 1})
			}
		}
	}
	return out
}

// Length is how far the pieces reach from the head.
func (s Sheet) Length() (long float64) {
	for _, p := range s.Pieces {
		long = max(long, p.Y+p.H)
	}
	return long
}

// cutOff cuts a roll off behind its pieces.
func (s Sheet) cutOff() Sheet {
	if math.IsInf(s.H, 1) {
		s.H = s.Length()
	}
	return s
}
