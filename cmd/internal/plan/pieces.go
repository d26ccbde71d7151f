package plan

import (
	"slices"

	"foldwright/reorder"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
)

// Gatherings that are counted in pieces share printed sheets: those of a stack, which is
// cut as one. Runs and volumes hold whole stacks.

// SizeOf is the size of a gathering: its printed sheets, or the pieces that it is counted in.
func (d *Draft) SizeOf(g reorder.Gathering) int { return d.Book.Form.SizeFor(len(g.Pages)) }

// size is the sum of the sizes of gatherings that hold the book's pages.
func (d *Draft) size() int { return sum(lists.Map(d.own(d.Book.Gatherings), d.SizeOf)) }

// PiecesOf is how many sheets or pieces are folded for a gathering.
func (d *Draft) PiecesOf(g reorder.Gathering) int { return d.Book.Form.Pieces(d.SizeOf(g)) }

// SheetsFor is the numbers of the printed sheets that a gathering is made of.
func (d *Draft) SheetsFor(g reorder.Gathering) []int {
	if d.Book.Form.ByPieces {
		return d.Book.CarriedBy(g.Number)
	}
	return lists.Map(g.Sheets, func(s reorder.Sheet) int { return s.Number })
}

// FirstSheet is the number of the first sheet that is counted with a gathering; of one
// with which none is, the first that carries it.
func (d *Draft) FirstSheet(g reorder.Gathering) int {
	if len(g.Sheets) > 0 {
		return g.Sheets[0].Number
	}
	return d.Book.CarriedBy(g.Number)[0]
}

// Counted is the option that limits the size of gatherings, and what sizes count.
func (d *Draft) Counted() (key, noun string) {
	if d.Book.Form.ByPieces {
		return "pieces", "piece"
	}
	return "sheets", "sheet"
}

// setMost sets how large gatherings are at most.
func (d *Draft) setMost(n int) phrase.Setting {
	key, _ := d.Counted()
	return phrase.Set(key, n)
}

// wholeInRuns is the printed sheets of what runs hold whole in a volume, in order.
func (d *Draft) wholeInRuns(v reorder.Volume) []int {
	gatherings := d.Book.Gatherings[v.First-1 : v.Last()]
	if !d.Book.Form.ByPieces {
		return lists.Map(gatherings, d.SizeOf)
	}
	var out []int
	next := 1 // gathering
	for _, s := range d.Book.Stacks {
		if next >= v.First && next <= v.Last() {
			sheets, _ := d.Book.Form.SheetsOf(s...)
			out = append(out, sheets)
		}
		next += len(s)
	}
	return out
}

// countSheets counts the printed sheets of volumes that were counted in pieces.
func (d *Draft) countSheets(volumes []reorder.Volume) {
	if !d.Book.Form.ByPieces {
		return
	}
	next := 1
	for i, v := range volumes {
		volumes[i].FirstSheet, volumes[i].Sheets = next, sum(d.wholeInRuns(v))
		next += volumes[i].Sheets
	}
}

// stackOf is the number of the stack that a gathering is cut from, and piece that of its
// outermost piece among the book's.
func (d *Draft) stackOf(gathering int) (stack, piece int) {
	piece = 1
	for _, g := range d.Book.Gatherings[:gathering-1] {
		piece += d.SizeOf(g)
	}
	last := 0 // gathering of the stacks so far
	return 1 + slices.IndexFunc(d.Book.Stacks, func(s []int) bool {
		last += len(s)
		return gathering <= last
	}), piece
}

// Spare is how many pieces of the printed sheets of one copy no gathering needs.
func (d *Draft) Spare() (n int) {
	for _, s := range d.Printed {
		n += len(s.Sheet.Spare)
	}
	return n
}

// smallLeaf is the width or height in mm below which leaves are hard to fold square with
// the fingers (common practice, no source).
const smallLeaf = 40

// warnPieces is about pieces that are left over, and about leaves too small for hands.
func (d *Draft) warnPieces() {
	if n := d.Spare(); n > 0 && d.Options.HowOften() == 1 {
		d.advise("%s of the cut sheets stay%s blank and belong%s to no gathering; they say \"spare\"", reorder.Count(n, "piece"), thirdPerson(n), thirdPerson(n))
	}
	leaf := d.Book.PanelSize()
	if f := d.Book.Form; f.Cut > 1 && f.Fold.Scheme().Held == reorder.Sewn && min(leaf.W, leaf.H) < smallLeaf {
		d.say("leaves of %s are small for fingers: fold along a metal rule with a bone folder, and make one gathering first", leaf)
	}
}

func thirdPerson(n int) string {
	if n == 1 {
		return "s"
	}
	return ""
}
