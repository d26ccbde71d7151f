package paper_test

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
)

// The tables are in paper view, rows from the top; "/" is a row that stands on
// its head. They are laid down as they stand, not worked out.
type table struct{ outer, inner []string }

var (
	// Cowie's Printer's Pocket-book and Manual, p. 31 (there in stone view).
	cowieFolio  = table{[]string{"4 1"}, []string{"2 3"}}
	cowieNested = []table{{[]string{"8 1"}, []string{"2 7"}}, {[]string{"6 3"}, []string{"4 5"}}}
	// S. J. Vaughn, Printing and Bookbinding for Schools, 1912, Fig. 25 (there in stone view).
	vaughnQuarto = table{[]string{"/5 4", "8 1"}, []string{"/3 6", "2 7"}}
	// Douglas Cockerell, Bookbinding, and the Care of Books, 1901, Fig. 3, p. 40.
	cockerellOctavo = table{[]string{"/5 12 9 8", "4 13 16 1"}, []string{"/7 10 11 6", "2 15 14 3"}}
	// The same, Fig. 4.
	cockerellDuodecimo = table{
		[]string{"/9 16 13 12", "/5 20 17 8", "4 21 24 1"},
		[]string{"/11 14 15 10", "/7 18 19 6", "2 23 22 3"},
	}
)

// inReadingPosition is the marks of one side of a sheet of the given size, one
// in the middle of each cell.
func inReadingPosition(rows []string, size geom.Size) []paper.Mark {
	var marks []paper.Mark
	for r, row := range rows {
		text, onHead := strings.CutPrefix(row, "/")
		head := geom.Point{Y: 1}
		if onHead {
			head.Y = -1
		}
		cells := strings.Fields(text)
		for c, label := range cells {
			marks = append(marks, paper.Mark{label, geom.Point{
				X: size.W * (float64(c) + 0.5) / float64(len(cells)),
				Y: size.H * (1 - (float64(r)+0.5)/float64(len(rows))),
			}, head})
		}
	}
	return marks
}

// sheet lays a table down in feed orientation. A table that lies broad is
// turned so that on the front its upright pages have their heads at x = 0 and
// on the back at x = W (design, section 4).
func (t table) sheet(size geom.Size) paper.Sheet {
	s := paper.Sheet{Size: size, Front: inReadingPosition(t.outer, size), Back: inReadingPosition(t.inner, size)}
	if size.W <= size.H {
		return s
	}
	s.Size = geom.Size{W: size.H, H: size.W}
	for i, m := range s.Front {
		s.Front[i] = paper.Mark{m.Label, geom.Point{X: size.H - m.At.Y, Y: m.At.X}, geom.Point{X: -m.Head.Y, Y: m.Head.X}}
	}
	for i, m := range s.Back {
		s.Back[i] = paper.Mark{m.Label, geom.Point{X: m.At.Y, Y: size.W - m.At.X}, geom.Point{X: m.Head.Y, Y: -m.Head.X}}
	}
	return s
}

var (
	tall  = geom.Size{W: 210, H: 297}
	broad = geom.Size{W: 297, H: 210}
)

// pages is the labels 1 to n.
func pages(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = strconv.Itoa(i + 1)
	}
	return out
}

func isSame(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

// labels is the page numbers of marks in rising order.
func labels(marks []paper.Mark) string {
	var out []int
	for _, m := range marks {
		n, err := strconv.Atoi(m.Label)
		if err != nil {
			return "not a number: " + m.Label
		}
		out = append(out, n)
	}
	slices.Sort(out)
	return strings.Trim(fmt.Sprint(out), "[]")
}

func TestHandbookTablesRead(t *testing.T) {
	// Nested folios of four sheets, pages 1 to 16: (16,1)(2,15) (14,3)(4,13)
	// (12,5)(6,11) (10,7)(8,9); derived from Cowie's two sheets.
	var four []paper.Sheet
	for _, f := range []table{
		{[]string{"16 1"}, []string{"2 15"}}, {[]string{"14 3"}, []string{"4 13"}},
		{[]string{"12 5"}, []string{"6 11"}}, {[]string{"10 7"}, []string{"8 9"}},
	} {
		four = append(four, f.sheet(broad))
	}
	for _, c := range []struct {
		name   string
		sheets []paper.Sheet
		how    papertest.Instructions
	}{
		{"Cowie, folio", []paper.Sheet{cowieFolio.sheet(broad)}, papertest.Instructions{Folds: 1}},
		{"Cowie, two sheets", []paper.Sheet{cowieNested[0].sheet(broad), cowieNested[1].sheet(broad)}, papertest.Instructions{Folds: 1}},
		{"Cowie, two sheets together", []paper.Sheet{cowieNested[0].sheet(broad), cowieNested[1].sheet(broad)}, papertest.Instructions{Folds: 1, Nest: reorder.Together}},
		{"nested folios", four, papertest.Instructions{Folds: 1}},
		{"Vaughn, quarto", []paper.Sheet{vaughnQuarto.sheet(tall)}, papertest.Instructions{Folds: 2}},
		{"Cockerell, octavo", []paper.Sheet{cockerellOctavo.sheet(broad)}, papertest.Instructions{Folds: 3}},
	} {
		book, err := papertest.ReadBook(c.sheets, []int{len(c.sheets)}, c.how)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		n := 0
		for _, s := range c.sheets {
			n += len(s.Front) + len(s.Back)
		}
		if err := papertest.Check(book, pages(n)); err != nil {
			t.Errorf("%s:\n%v", c.name, err)
		}
		for _, f := range book {
			if f.Recto != (f.Place%2 == 1) {
				t.Errorf("%s: place %d, recto %t", c.name, f.Place, f.Recto)
			}
		}
	}
}

// Cockerell p. 38: inner side up; right end over "until pages 3 and 6 come
// exactly over pages 2 and 7"; "Pages 4, 13, 5, 12 will now be uppermost";
// "pages 12 and 5 are now folded over to exactly match pages 13 and 4"; "Pages
// 8 and 9 will now be uppermost".
func TestCockerellFoldsAnOctavo(t *testing.T) {
	pile, err := paper.NewPile([]paper.Sheet{cockerellOctavo.sheet(broad)})
	if err != nil {
		t.Fatal(err)
	}
	pile = pile.TurnOver().Rotate(1)
	if got := labels(pile.UppermostMarks()); got != "2 3 6 7 10 11 14 15" {
		t.Errorf("before the first fold %s are uppermost", got)
	}
	pile = pile.Fold(reorder.RightOverLeft, pile.Size().W/2)
	if got := labels(pile.UppermostMarks()); got != "4 5 12 13" {
		t.Errorf("after the first fold %s are uppermost", got)
	}
	meet(t, pile, map[string]string{"3": "2", "6": "7"})

	pile = pile.Fold(reorder.FarOverNear, pile.Size().H/2)
	if got := labels(pile.UppermostMarks()); got != "8 9" {
		t.Errorf("after the second fold %s are uppermost", got)
	}
	meet(t, pile, map[string]string{"12": "13", "5": "4"})

	pile = pile.Fold(reorder.RightOverLeft, pile.Size().W/2)
	if got := pile.UppermostMarks(); labels(got) != "16" || got[0].Head.Y <= 0 {
		t.Errorf("after the third fold %v is uppermost, want 16 upright", got)
	}
	if err := pile.CheckHeld(geom.Right); err != nil {
		t.Error(err)
	}
	if got := labels(pile.TurnOver().UppermostMarks()); got != "1" {
		t.Errorf("turned over, %s is uppermost", got)
	}
}

// meet looks for faces that lie on each other: the lower face of a layer and
// the upper face of the next one, marks point on point.
func meet(t *testing.T, p paper.Pile, want map[string]string) {
	t.Helper()
	got := map[string]string{}
	each := p.Singly()
	for i, l := range each[1:] {
		for _, upper := range each[i].TurnOver().UppermostMarks() {
			upper.At.X = p.Size().W - upper.At.X // as it lies, its face down
			for _, lower := range l.UppermostMarks() {
				if isSame(upper.At.X, lower.At.X) && isSame(upper.At.Y, lower.At.Y) {
					got[upper.Label] = lower.Label
				}
			}
		}
	}
	for upper, lower := range want {
		if got[upper] != lower {
			t.Errorf("page %s comes over page %q, want %s", upper, got[upper], lower)
		}
	}
}

// Adam, Practical Bookbinding, 1903, p. 13: "The folding of a 4to sheet is
// exactly the same, excepting that the last fold is omitted". So an octavo
// sheet before its last fold looks like a quarto sheet before its own.
func TestQuartoIsAnOctavoLessAFold(t *testing.T) {
	quarto, err := paper.NewPile([]paper.Sheet{vaughnQuarto.sheet(tall)})
	if err != nil {
		t.Fatal(err)
	}
	quarto = quarto.TurnOver().Fold(reorder.FarOverNear, 297.0/2)
	if got := labels(quarto.UppermostMarks()); got != "4 5" {
		t.Errorf("before the last fold %s are uppermost, want the middle pages 4 and 5", got)
	}
	quarto = quarto.Fold(reorder.RightOverLeft, 105)
	if got := quarto.UppermostMarks(); labels(got) != "8" || got[0].Head.Y <= 0 {
		t.Errorf("after the last fold %v is uppermost, want 8 upright", got)
	}
}

// Cockerell, Fig. 4: the inset, pages 9 to 16, is cut off, folded by itself and
// put into the middle.
func TestCockerellDuodecimo(t *testing.T) {
	// Cut from the sheet's reading position; the rest is folded like an octavo.
	s := paper.Sheet{Size: tall, Front: inReadingPosition(cockerellDuodecimo.outer, tall), Back: inReadingPosition(cockerellDuodecimo.inner, tall)}
	pile, err := paper.NewPile([]paper.Sheet{s})
	if err != nil {
		t.Fatal(err)
	}
	rest, inset := pile.TurnOver().Cut(reorder.Level, 198)

	inset = inset.Rotate(2)
	if got := labels(inset.UppermostMarks()); got != "10 11 14 15" {
		t.Errorf("the inset shows %s", got)
	}
	inset = inset.Fold(reorder.RightOverLeft, 105).Fold(reorder.RightOverLeft, 52.5)
	if err := inset.CheckHeld(geom.Right); err != nil {
		t.Error(err)
	}
	rest = rest.Fold(reorder.RightOverLeft, 105).Fold(reorder.FarOverNear, 99).Fold(reorder.RightOverLeft, 52.5)
	book, err := inset.InsertInto(rest)
	if err != nil {
		t.Fatal(err)
	}
	if err := book.CheckHeld(geom.Right); err != nil {
		t.Error(err)
	}
	if err := papertest.Check(book.TurnOver().Open(geom.Up, geom.Left, geom.Down, geom.Right).Faces(geom.Left), pages(24)); err != nil {
		t.Error(err)
	}
}

// Common practice, no source: three printed sheets, each cut in half, make one
// gathering of six folded pieces, 12 leaves and 24 pages. The head-end halves
// are the outer three (design, section 4); the pairs are those of nested folios.
func TestThreeSheetsCutInHalf(t *testing.T) {
	var sheets []paper.Sheet
	for _, f := range []table{
		{[]string{"24 1", "18 7"}, []string{"2 23", "8 17"}},
		{[]string{"22 3", "16 9"}, []string{"4 21", "10 15"}},
		{[]string{"20 5", "14 11"}, []string{"6 19", "12 13"}},
	} {
		sheets = append(sheets, f.sheet(tall))
	}
	how := papertest.Instructions{Cut: 2, Folds: 1}
	book, err := papertest.ReadBook(sheets, []int{3}, how)
	if err != nil {
		t.Fatal(err)
	}
	if err := papertest.Check(book, pages(24)); err != nil {
		t.Error(err)
	}
	if want := (geom.Size{W: 105, H: 148.5}); book[0].Size != want {
		t.Errorf("pages of %s, want %s", book[0].Size, want)
	}
	sheets[0], sheets[1] = sheets[1], sheets[0]
	if book, err = papertest.ReadBook(sheets, []int{3}, how); err != nil || papertest.Check(book, pages(24)) == nil {
		t.Errorf("two sheets exchanged pass as a good book (%v)", err)
	}
}
