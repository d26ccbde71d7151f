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
	"path/filepath"
	"slices"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/joblog"
	"foldwright/cmd/internal/measure"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
	"foldwright/reorder/geom"
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

// Book is a volume of a job.
type Book struct {
	Name    string
	Copies  int
	Sheet   binding.Sheet // zero: it is not sewn
	Paper   string
	Sheets  int  // of paper to buy, with those to spare, for all copies
	Printed bool // by this program: the paper is there
	Sewn    bool // its block was measured: paper and thread are there
	Missing []string
}

// isMeasured tells whether its boards and cloth may be cut.
func (b Book) isMeasured() bool { return b.Sheet.Firm }

// Gather reads what the jobs in folders need. The errors are those of [plan.Read], of the logs and of
// [measure.Asked.Sheets].
func Gather(folders []string, o Options) (books []Book, err error) {
	seen := map[string]bool{}
	for _, folder := range folders {
		if clean := filepath.Clean(folder); seen[clean] {
			return nil, refusal.Use.New("%s is named twice", folder).Advise("for several copies prepare the book with %s", phrase.Set("copies"))
		} else {
			seen[clean] = true
		}
		of, err := gather(folder, o)
		if err != nil {
			return nil, err
		}
		books = append(books, of...)
	}
	return books, nil
}

func gather(folder string, o Options) (books []Book, err error) {
	made, err := plan.Read(folder)
	if err != nil {
		return nil, err
	}
	log, err := joblog.Read(folder)
	if err != nil {
		return nil, err
	}
	of, err := joblog.PlanOf(folder)
	if err != nil {
		return nil, err
	}
	j, err := printing.Read(folder)
	if err != nil {
		return nil, err
	}
	one := Book{Name: nameOf(folder), Copies: max(1, made.Copies), Paper: paperOf(made.Paper), Printed: j.IsDone(made)}
	if made.Options.Fold.Scheme().Strip {
		one.Sheets = made.Sheets + max(2, (made.Sheets+9)/10)
		return []Book{one}, nil
	}
	blocks, err := made.Bench(folder)
	if err != nil {
		return nil, err
	}
	for v := range blocks {
		b, asked := one, measure.Logged(log, folder, of, v+1)
		asked.Units = o.Units
		sheets, err := asked.Sheets(folder, made, o.Style)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", folder, err)
		}
		b.Sheet, b.Sewn = sheets[0], asked.Measured.Block > 0
		if len(blocks) > 1 {
			b.Name += fmt.Sprintf(", volume %d", v+1)
		}
		if f, ok := figure(b.Sheet, binding.SheetsToBuy); ok {
			b.Sheets = b.Copies * int(f.Amount.Most)
		}
		b.Missing = missing(asked.Measured, b.Sheet.Structure, o.Style)
		books = append(books, b)
	}
	return books, nil
}

// nameOf is what a job is called in a list.
func nameOf(folder string) string {
	if abs, err := filepath.Abs(folder); err == nil {
		folder = abs
	}
	return visible.Text(strings.TrimSuffix(filepath.Base(folder), "-print"))
}

func paperOf(p plan.Paper) string {
	stock := reorder.Paper{Name: p.Name, Size: geom.Size{W: p.WidthMM, H: p.HeightMM}}
	text := stock.Size.String()
	if word := stock.Word(); word != text {
		text = word + ", " + text
	}
	if p.Own != "" {
		text = p.Own + ", " + text
	}
	if p.Grain != 0 {
		text += ", grain along the " + p.Grain.String() + " edge"
	}
	return text
}

// missing is what has to be measured before boards and cloth may be cut, as options say it.
func missing(m binding.Measured, s binding.Structure, style phrase.Style) (out []string) {
	for _, need := range []struct {
		key  string
		mm   float64
		also bool
	}{{"block-thickness", m.Block, true}, {"spine", m.Spine, s.Spine != binding.Flat}, {"board", m.Board, s.Cover != binding.Paper}} {
		if need.also && need.mm == 0 {
			out = append(out, phrase.Set(need.key).In(style))
		}
	}
	return out
}

func figure(s binding.Sheet, name string) (binding.Figure, bool) {
	for _, f := range slices.Concat(s.Before, s.After) {
		if f.Name == name {
			return f, true
		}
	}
	return binding.Figure{}, false
}

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
func Of(books []Book, o Options) (List, error) {
	l := List{Options: o, Books: books}
	l.Units = cmp.Or(l.Units, unitsOf(books))
	l.Papers = l.addPapers()
	l.Thread = l.addThread()
	for _, of := range []struct {
		is   func(Book) bool
		says string
	}{
		{func(b Book) bool { return b.Sewn }, "sewn already, so no paper and no thread is bought for"},
		{func(b Book) bool { return b.Printed && !b.Sewn }, "printed already, so no paper is bought for"},
	} {
		if names := namesOf(books, of.is); len(names) > 0 {
			l.Notes = append(l.Notes, fmt.Sprintf("note: %s %s", of.says, strings.Join(names, ", ")))
		}
	}
	boards, cloth := map[string]*wanted{}, &wanted{}
	var names []string
	for _, b := range books {
		s := b.Sheet
		if s.BoardW.Most > 0 {
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
		if s.ClothW.Most > 0 {
			cloth.add(l.piece(b, "cover", s.ClothW, s.ClothH), b.Copies, b.isMeasured())
		}
		if cover, ok := paperCover(s); ok && b.isMeasured() {
			l.Covers = append(l.Covers, Bought{"paper or card", times(b.Copies) + cover.Value, b.Name})
		}
		for _, q := range s.Questions {
			l.Notes = append(l.Notes, "question: "+b.Name+": "+q.Text)
		}
		if b.isMeasured() && b.Copies > 1 {
			l.Notes = append(l.Notes, fmt.Sprintf("note: %s: the block of one copy was measured, and %d are cut for; measure each before you cut for it", b.Name, b.Copies))
		}
		if s.Structure.Name == "" {
			l.Notes = append(l.Notes, "note: "+b.Name+" is not sewn: its two boards, each a little larger than the leaf, are not reckoned here")
		}
		if !b.isMeasured() && s.Structure.Name != "" {
			l.Waits = append(l.Waits, l.wait(b))
		}
	}
	for _, name := range names {
		stock, err := boards[name].cut(o.Board.W, o.Board.H, o.Spare)
		if err != nil {
			return List{}, refuse(l.Units, "a sheet of board of "+l.size(o.Board.W, o.Board.H), err, "board-sheet")
		}
		stock.Name = "board of " + name
		l.Boards = append(l.Boards, stock)
	}
	stock, err := cloth.cut(o.Cloth, math.Inf(1), o.Spare)
	if err != nil {
		return List{}, refuse(l.Units, "cloth of a width of "+l.Units.Length(binding.Exactly(o.Cloth)), err, "cloth-width")
	}
	stock.Name = "cloth"
	l.Cloth = stock
	return l, nil
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

// tooLarge is a piece that is larger than what it is cut from.
type tooLarge struct{ Piece }

func (tooLarge) Error() string { return "too large" }

func refuse(u binding.Units, from string, err error, option string) error {
	t, _ := err.(tooLarge)
	return refusal.Plan.New("%s of %s does not fit on %s: its grain must run along the spine, so it is not turned",
		t.Of, u.WidthByHeight(binding.Exactly(t.W), binding.Exactly(t.H)), from).Advise("take a larger one with %s", phrase.Set(option))
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

// cut lays them out.
func (w *wanted) cut(width, height, spare float64) (Stock, error) {
	s := Stock{Pieces: len(w.all), Guessed: len(w.all) > len(w.measured)}
	all, large := LayOut(w.all, width, height, spare)
	if large != nil {
		return s, tooLarge{*large}
	}
	s.Sheets, _ = LayOut(w.measured, width, height, spare) // they are among those
	for i, sheet := range s.Sheets {
		s.Sheets[i] = sheet.ends()
	}
	if s.Buy = max(len(all), len(s.Sheets)); math.IsInf(height, 1) {
		s.Buy = 0
		for _, sheet := range slices.Concat(all, s.Sheets) {
			s.Length = max(s.Length, sheet.Length())
		}
	}
	return s, nil
}

// piece is a piece as it is cut: where the structure leaves a range its middle, as the bench sheet has it, and to the half of
// a millimetre, or to 1/32 in. Of an estimate it is the largest.
func (l List) piece(b Book, what string, w, h binding.Range) Piece {
	step := 0.5
	if l.Units == binding.Inches {
		step = 25.4 / 32
	}
	of := func(r binding.Range) float64 {
		if !b.isMeasured() {
			return math.Ceil(r.Most/step-1e-6) * step
		}
		return math.Round(r.Middle()/step) * step
	}
	return Piece{Of: b.Name + ", " + what, W: of(w), H: of(h)}
}

// addPapers adds up paper of one kind for the books that are not printed yet.
func (l List) addPapers() (out []Bought) {
	sum := map[string]int{}
	need := map[string][]string{}
	var order []string
	for _, b := range l.Books {
		if b.Printed || b.Sewn {
			continue
		}
		if sum[b.Paper] == 0 {
			order = append(order, b.Paper)
		}
		sum[b.Paper] += b.Sheets
		need[b.Paper] = append(need[b.Paper], fmt.Sprintf("%s %d", b.Name, b.Sheets))
	}
	for _, paper := range order {
		out = append(out, Bought{paper, reorder.Count(sum[paper], "sheet"), strings.Join(need[paper], ", ")})
	}
	return out
}

// addThread adds up thread of one thickness for the books that are not sewn yet.
func (l List) addThread() (out []Bought) {
	sum := map[string]binding.Range{}
	need := map[string][]string{}
	var order []string
	for _, b := range l.Books {
		f, ok := figure(b.Sheet, binding.ThreadToCut)
		if !ok || b.Sewn {
			continue
		}
		kind := l.Units.Length(b.Sheet.Structure.Thread)
		if t, ok := figure(b.Sheet, "thread, diameter"); ok {
			kind = l.Units.Length(t.Amount)
		}
		if need[kind] == nil {
			order = append(order, kind)
		}
		sum[kind] = sum[kind].Plus(f.Amount.Times(float64(b.Copies)))
		need[kind] = append(need[kind], b.Name)
	}
	for _, kind := range order {
		out = append(out, Bought{"thread of " + kind, l.Units.ThreadLength(sum[kind]), strings.Join(need[kind], ", ")})
	}
	return out
}

// wait is a book that waits to be measured.
func (l List) wait(b Book) Wait {
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
