package proof

import (
	"fmt"
	"math"
	"strconv"

	"foldwright/cmd/internal/options"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
)

// Place is a page of the finished book: the place and not what stands there.
type Place struct {
	Copy      int // of the book, from 1
	Gathering int // number in the book
	Number    int // in the reading order of the gathering, from 1
	Recto     bool
	Sheet     int // index into [Print].Sheets
	Side      reorder.Side
	Size      geom.Size // of the page, before trimming
	// Lies maps the side as it is looked at to the page as it is read, both in mm.
	Lies   geom.Matrix
	Insert int       // which of the leaves of other paper it is on, from 1; 0: it is a page of the book's own sheets
	Leaf   geom.Rect // of such a leaf: where it lies on the page
	depth  int       // thicknesses of paper outside the leaf in its gathering
}

// grid is how many marks stand on a side, across and along. No fold meets one:
// halves, thirds and what they are halved into lie between them.
type grid struct{ columns, rows int }

// grid is fine enough for every page to have a mark, and no finer, for a book
// can have thousands of sheets.
func (p *Print) grid() grid {
	if p.plan.Options.Cut > 1 || p.plan.Options.Fold == reorder.Sixteenmo {
		return grid{16, 24}
	}
	return grid{8, 12}
}

// at is where a mark stands on a sheet.
func (g grid) at(size geom.Size, x, y int) geom.Point {
	return geom.Point{X: (float64(x) + 0.5) / float64(g.columns) * size.W, Y: (float64(y) + 0.5) / float64(g.rows) * size.H}
}

// spot is where a mark stands: the sheet's place in the stack, the side, and the mark's
// place in the grid.
type spot struct {
	insert      int // which of the leaves of other paper; 0: the book's own
	sheet       int
	side        reorder.Side
	column, row int
}

// marks is those of one side, upright, each labelled with its spot on the sheets of a print.
func (g grid) marks(size geom.Size, insert, sheet int, side reorder.Side) []paper.Mark {
	out := make([]paper.Mark, 0, g.columns*g.rows)
	label := fmt.Sprintf("%d %d %d ", insert, sheet, side)
	for y := range g.rows {
		for x := range g.columns {
			out = append(out, paper.Mark{Label: label + strconv.Itoa(x) + " " + strconv.Itoa(y), At: g.at(size, x, y), Head: geom.Point{Y: 1}})
		}
	}
	return out
}

// foldBook cuts, folds and nests the printed sheets as the binder is told to, turns
// the leaves and finds out which part of which side each page is.
func (p *Print) foldBook() error {
	stack := make([]paper.Sheet, len(p.Sheets))
	for i := range stack {
		size := p.plan.paper()
		stack[i] = paper.Sheet{Size: size, Front: p.grid().marks(size, p.insert, i, reorder.Front), Back: p.grid().marks(size, p.insert, i, reorder.Back)}
	}
	if f := p.plan.Options.Fold; f != reorder.Loose && f != reorder.Concertina {
		if err := p.makeStacks(stack, p.stacks(), 0); err != nil {
			return err
		}
	} else { // each copy is one gathering: they are made one after the other
		for i, n := range p.plan.sizes() {
			if err := p.makeStacks(stack[:n], [][]int{{n}}, i); err != nil {
				return err
			}
			stack = stack[n:]
		}
	}
	p.measureDepths()
	return nil
}

// makeStacks makes what is cut and folded together, after so many gatherings.
func (p *Print) makeStacks(stack []paper.Sheet, stacks [][]int, before int) error {
	work, err := p.plan.Options.Form().Handwork(p.plan.paper(), stacks)
	if err != nil {
		return err
	}
	table, err := paper.Make(stack, work)
	if err != nil {
		return fmt.Errorf("folding: %w", err)
	}
	books, err := table.Read()
	if err != nil {
		return fmt.Errorf("folding: %w", err)
	}
	p.piles, p.spine = append(p.piles, table.Piles()...), table.Spine()
	for c, faces := range books {
		for _, f := range faces {
			f.Gathering += before
			place, err := p.findPlace(f)
			if err != nil {
				return err
			}
			if p.isOneSided() && place.Side == reorder.Back {
				continue // the end of a strip: its back is no page
			}
			place.Copy = c + 1
			if made := p.plan.Gatherings[f.Gathering-1].Copy; made > 1 {
				place.Copy = made
			}
			p.Places = append(p.Places, place)
		}
	}
	return nil
}

// stacks is the sizes of the gatherings that are cut as one: each by itself,
// or all of a run, or those that share sheets.
func (p *Print) stacks() [][]int {
	if p.plan.Options.Pieces > 0 {
		return p.plan.stacksOfPieces()
	}
	sizes := p.plan.sizes()
	var out [][]int
	if p.plan.Options.CutBy != options.CutByRun {
		for i := range sizes {
			out = append(out, sizes[i:i+1])
		}
		return out
	}
	for _, sheets := range p.runs {
		n := 0
		for ; sheets > 0 && n < len(sizes); n++ {
			sheets -= sizes[n]
		}
		if n > 0 {
			out = append(out, sizes[:n])
		}
		sizes = sizes[n:]
	}
	if len(sizes) > 0 {
		out = append(out, sizes)
	}
	return out
}

// isOneSided tells whether the backs are never seen.
func (p *Print) isOneSided() bool {
	return p.plan.Options.Fold == reorder.Pouch || p.plan.Options.Fold == reorder.Concertina
}

// isSewn tells whether thread through folds holds the leaves.
func (p *Print) isSewn() bool { return !p.isOneSided() && p.plan.Options.Fold != reorder.Loose }

// findPlace finds out from one mark of the grid on a face how the side lies there:
// paper is turned and moved, never stretched.
func (p *Print) findPlace(f paper.Face) (Place, error) {
	if len(f.Marks) == 0 {
		return Place{}, fmt.Errorf("folding: gathering %d, place %d: no paper lies there", f.Gathering, f.Place)
	}
	seen := f.Marks[0]
	var from spot
	if _, err := fmt.Sscan(seen.Label, &from.insert, &from.sheet, (*int)(&from.side), &from.column, &from.row); err != nil {
		return Place{}, err
	}
	up := geom.Point{X: math.Round(seen.Head.X), Y: math.Round(seen.Head.Y)}
	turn := geom.Matrix{up.Y, -up.X, up.X, up.Y}
	turned := turn.Apply(p.grid().at(p.plan.paper(), from.column, from.row))
	return Place{
		Gathering: p.plan.Gatherings[f.Gathering-1].Number,
		Number:    f.Place,
		Recto:     f.Recto,
		Sheet:     from.sheet,
		Side:      from.side,
		Size:      f.Size,
		Lies:      turn.Then(geom.Translate(seen.At.X-turned.X, seen.At.Y-turned.Y)),
	}, nil
}

// measureDepths counts the leaves around each leaf of a sewn gathering. Leaves
// that are held at their open edges lie on each other, not in each other.
func (p *Print) measureDepths() {
	if !p.isSewn() {
		return
	}
	leaves := map[[2]int]int{}
	for _, l := range p.Places {
		key := [2]int{l.Copy, l.Gathering}
		leaves[key] = max(leaves[key], (l.Number+1)/2)
	}
	for i, l := range p.Places {
		leaf := (l.Number - 1) / 2
		p.Places[i].depth = min(leaf, leaves[[2]int{l.Copy, l.Gathering}]-1-leaf)
	}
}

// sideAt is the side that a place is a part of.
func (p *Print) sideAt(place Place) Side { return p.Sheets[place.Sheet].Side(place.Side) }

// inverse undoes a map, which may stretch: a printer can.
func inverse(m geom.Matrix) geom.Matrix {
	det := m[0]*m[3] - m[1]*m[2]
	a, b, c, d := m[3]/det, -m[1]/det, -m[2]/det, m[0]/det
	return geom.Matrix{a, b, c, d, -(a*m[4] + c*m[5]), -(b*m[4] + d*m[5])}
}
