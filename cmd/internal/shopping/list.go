// Package shopping is what several jobs need: paper, thread, boards and cloth, and how boards and cloth are cut out
// of full sheets.
//
// [Gather] reads the jobs and what was measured of them (package joblog); [Of] adds up and lays out; a [List]
// writes itself as a table or as a page with drawings. The figures are those of package measure. Only what
// follows from a measured block gets into a cutting plan; the rest is told as an estimate, for buying.
package shopping

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Options is what is cut out of what.
type Options struct {
	Units binding.Units // zero: those of the first job
	Board geom.Size     // a full sheet of board, its grain along H, mm
	Cloth float64       // the width of the roll, across its grain, mm
	Spare float64       // left between two pieces, mm
	Style phrase.Style
}

// What is usual, in mm (common practice, no source): a sheet of binder's board, the width of a roll of bookcloth, and what is
// left between two pieces.
var Usual = Options{Board: geom.Size{W: 700, H: 1000}, Cloth: 1000, Spare: 2}

// List is what is bought and how it is cut.
type List struct {
	Options
	Books  []Book
	Papers []Bought
	Thread []Bought
	Boards []Stock  // by their thickness
	Cloth  Stock    // no pieces: none is needed
	Covers []Bought // of paper, by measured blocks
	Waits  []Wait
	Notes  []string // what to know, and what was measured and may be a slip
}

// Bought is something that is bought, how much, and for which books.
type Bought struct{ What, Amount, For string }

// Stock is what is cut out of full sheets, or of a roll.
type Stock struct {
	Name    string
	Sheets  []Sheet // measured pieces only
	Pieces  int     // with those that are estimated
	Buy     int     // sheets, with those that are estimated at their largest; of a roll none
	Length  float64 // of a roll to buy, the same way, mm
	Guessed bool    // some of it is estimated
}

// Wait is a book that was not measured, and its estimates for buying.
type Wait struct{ Name, Boards, Cover, Missing string }

// Of adds up what books need, and lays boards and cloth out. It refuses a piece that is larger than what it is
// cut from.
func Of(books []Book, o Options) (l List, err error) {
	l = List{Options: o, Books: books}
	l.Units = cmp.Or(l.Units, unitsOf(books))
	l.Papers, l.Thread, l.Covers = l.papers(), l.thread(), l.covers()
	l.Waits, l.Notes = l.waits(), l.notes()
	if l.Boards, err = l.layOutBoards(); err != nil {
		return List{}, err
	}
	if l.Cloth, err = l.layOutCloth(); err != nil {
		return List{}, err
	}
	return l, nil
}

// layOutBoards lays the boards and the spine strips out, those of one thickness together.
func (l List) layOutBoards() (out []Stock, err error) {
	boards := map[string]*wanted{}
	var names []string
	for _, b := range l.Books {
		s := b.Sheet
		if s.BoardW.Most <= 0 {
			continue
		}
		name := l.Units.Length(s.Board)
		if boards[name] == nil {
			boards[name] = &wanted{}
			names = append(names, name)
		}
		boards[name].add(l.piece(b, "board", s.BoardW, s.BoardH), 2*b.Copies, b.isMeasured())
		if strip, ok := figure(s, "spine strip"); ok && s.Structure.Spine == binding.Flat {
			boards[name].add(l.piece(b, "spine strip", strip.Amount, strip.Height), b.Copies, b.isMeasured())
		}
	}
	for _, name := range names {
		stock, tooLarge := boards[name].cut(l.Board.W, l.Board.H, l.Spare)
		if tooLarge != nil {
			return nil, l.refuse(tooLarge, "a sheet of board of "+l.size(l.Board.W, l.Board.H), "board-sheet")
		}
		stock.Name = "board of " + name
		out = append(out, stock)
	}
	return out, nil
}

// layOutCloth lays the covers out on the roll.
func (l List) layOutCloth() (Stock, error) {
	var cloth wanted
	for _, b := range l.Books {
		if s := b.Sheet; s.ClothW.Most > 0 {
			cloth.add(l.piece(b, "cover", s.ClothW, s.ClothH), b.Copies, b.isMeasured())
		}
	}
	stock, tooLarge := cloth.cut(l.Options.Cloth, math.Inf(1), l.Spare)
	if tooLarge != nil {
		return Stock{}, l.refuse(tooLarge, "cloth of a width of "+l.Units.Length(binding.Exactly(l.Options.Cloth)), "cloth-width")
	}
	stock.Name = "cloth"
	return stock, nil
}

// covers are those of paper or card, of books that were measured.
func (l List) covers() (out []Bought) {
	for _, b := range l.Books {
		if cover, ok := paperCover(b.Sheet); ok && b.isMeasured() {
			out = append(out, Bought{"paper or card", times(b.Copies) + cover.Value, b.Name})
		}
	}
	return out
}

// waits are the books whose boards wait until they are measured.
func (l List) waits() (out []Wait) {
	for _, b := range l.Books {
		if !b.isMeasured() && b.hasStructure() {
			out = append(out, l.waitOf(b))
		}
	}
	return out
}

func (l List) notes() (out []string) {
	if sewn := namesOf(l.Books, func(b Book) bool { return b.Sewn }); len(sewn) > 0 {
		out = append(out, "note: sewn already, so no paper and no thread is bought for "+strings.Join(sewn, ", "))
	}
	if printed := namesOf(l.Books, func(b Book) bool { return b.Printed && !b.Sewn }); len(printed) > 0 {
		out = append(out, "note: printed already, so no paper is bought for "+strings.Join(printed, ", "))
	}
	for _, b := range l.Books {
		for _, q := range b.Sheet.Questions {
			out = append(out, "question: "+b.Name+": "+q.Text)
		}
		if b.isMeasured() && b.Copies > 1 {
			out = append(out, fmt.Sprintf("note: %s: the block of one copy was measured, and %d are cut for; measure each before you cut for it", b.Name, b.Copies))
		}
		if !b.hasStructure() {
			out = append(out, "note: "+b.Name+" is not sewn: its two boards, each a little larger than the leaf, are not reckoned here")
		}
	}
	return out
}

func namesOf(books []Book, is func(Book) bool) (names []string) {
	for _, b := range books {
		if is(b) {
			names = append(names, b.Name)
		}
	}
	return names
}

func unitsOf(books []Book) binding.Units {
	for _, b := range books {
		if b.Sheet.Units != 0 {
			return b.Sheet.Units
		}
	}
	return binding.MM
}

// refuse refuses a piece that is larger than what it is cut from, of which an option gives the size.
func (l List) refuse(p *Piece, from, option string) error {
	return refusal.Plan.New("%s of %s does not fit on %s: its grain must run along the spine, so it is not turned", p.Of, l.size(p.W, p.H), from).
		Advise("take a larger one with %s", phrase.Set(option))
}

// wanted is pieces that are cut, and those that may be bought for.
type wanted struct{ measured, all []Piece }

func (w *wanted) add(p Piece, number int, measured bool) {
	for range number {
		w.all = append(w.all, p)
		if measured {
			w.measured = append(w.measured, p)
		}
	}
}

// cut lays them out, as [LayOut] does.
func (w *wanted) cut(width, height, spare float64) (s Stock, tooLarge *Piece) {
	s = Stock{Pieces: len(w.all), Guessed: len(w.all) > len(w.measured)}
	all, tooLarge := LayOut(w.all, width, height, spare)
	if tooLarge != nil {
		return s, tooLarge
	}
	s.Sheets, _ = LayOut(w.measured, width, height, spare) // they are among those
	for i, sheet := range s.Sheets {
		s.Sheets[i] = sheet.cutOff()
	}
	if s.Buy = max(len(all), len(s.Sheets)); math.IsInf(height, 1) {
		s.Buy = 0
		for _, sheet := range slices.Concat(all, s.Sheets) {
			s.Length = max(s.Length, sheet.Length())
		}
	}
	return s, nil
}

// piece is a piece as it is cut, rounded to half a millimetre or to 1/32 in. Where the structure leaves a range it is
// the middle, as on the bench sheet; of an estimate it is the largest.
func (l List) piece(b Book, what string, w, h binding.Range) Piece {
	step := 0.5
	if l.Units == binding.Inches {
		step = geom.Inch / 32
	}
	of := func(r binding.Range) float64 {
		if !b.isMeasured() {
			return math.Ceil(r.Most/step-1e-6) * step
		}
		return math.Round(r.Middle()/step) * step
	}
	return Piece{Of: b.Name + ", " + what, W: of(w), H: of(h)}
}

// tally adds up what books need by its kind, in the order in which the kinds come.
type tally struct {
	kinds []string
	sum   map[string]binding.Range
	books map[string][]string
}

func (t *tally) add(kind string, amount binding.Range, book string) {
	if t.books == nil {
		t.sum, t.books = map[string]binding.Range{}, map[string][]string{}
	}
	if t.books[kind] == nil {
		t.kinds = append(t.kinds, kind)
	}
	t.sum[kind], t.books[kind] = t.sum[kind].Plus(amount), append(t.books[kind], book)
}

// list is what is bought; before stands before each kind.
func (t *tally) list(before string, write func(binding.Range) string) []Bought {
	return lists.Map(t.kinds, func(kind string) Bought {
		return Bought{before + kind, write(t.sum[kind]), strings.Join(t.books[kind], ", ")}
	})
}

// papers adds up paper of one kind for the books that are not printed yet.
func (l List) papers() []Bought {
	var t tally
	for _, b := range l.Books {
		if !b.Printed && !b.Sewn {
			t.add(b.Paper, binding.Exactly(float64(b.Sheets)), fmt.Sprintf("%s %d", b.Name, b.Sheets))
		}
	}
	return t.list("", func(sheets binding.Range) string { return reorder.Count(int(sheets.Most), "sheet") })
}

// thread adds up thread of one thickness for the books that are not sewn yet.
func (l List) thread() []Bought {
	var t tally
	for _, b := range l.Books {
		f, ok := figure(b.Sheet, binding.ThreadToCut)
		if !ok || b.Sewn {
			continue
		}
		thick := b.Sheet.Structure.Thread
		if chosen, ok := figure(b.Sheet, "thread, diameter"); ok {
			thick = chosen.Amount
		}
		t.add(l.Units.Length(thick), f.Amount.Times(float64(b.Copies)), b.Name)
	}
	return t.list("thread of ", l.Units.ThreadLength)
}

// waitOf is a book that waits to be measured.
func (l List) waitOf(b Book) Wait {
	s := b.Sheet
	w := Wait{Name: b.Name, Missing: strings.Join(b.Missing, ", ")}
	if s.BoardW.Most > 0 {
		w.Boards = fmt.Sprintf("%d of about %s, %s thick", 2*b.Copies, l.Units.WidthByHeight(s.BoardW, s.BoardH), l.Units.Length(s.Board))
	}
	if cover, ok := paperCover(s); ok {
		w.Cover = times(b.Copies) + "about " + cover.Value
	}
	if s.ClothW.Most > 0 {
		w.Cover = fmt.Sprintf("%d of about %s", b.Copies, l.Units.WidthByHeight(s.ClothW, s.ClothH))
	}
	return w
}

// paperCover is the figure of a cover without boards.
func paperCover(s binding.Sheet) (binding.Figure, bool) {
	if s.Structure.Cover != binding.Paper {
		return binding.Figure{}, false
	}
	f, ok := figure(s, "paper cover, flat")
	if !ok {
		f, ok = figure(s, "covers")
	}
	return f, ok
}

func times(copies int) string {
	if copies > 1 {
		return fmt.Sprintf("%d times ", copies)
	}
	return ""
}

func (l List) size(w, h float64) string {
	return l.Units.WidthByHeight(binding.Exactly(w), binding.Exactly(h))
}
