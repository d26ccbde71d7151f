package paper_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
)

// The tables of this file are derived by hand, with slips of paper.
func TestTablesDerivedByHand(t *testing.T) {
	for _, c := range []struct {
		name   string
		sheets []table
		size   geom.Size // as the tables lie
		how    papertest.Instructions
	}{
		{
			// The second sheet lies on the inner side of the first while both are folded.
			"two quartos together",
			[]table{
				{[]string{"/9 8", "16 1"}, []string{"/7 10", "2 15"}},
				{[]string{"/11 6", "14 3"}, []string{"/5 12", "4 13"}},
			},
			tall, papertest.Instructions{Folds: 2, Nest: reorder.Together},
		}, {
			// In feed orientation, from the outermost inwards: left head, left tail, right head, right tail.
			"four folios from one sheet",
			[]table{{[]string{"14 3 16 1", "10 7 12 5"}, []string{"2 15 4 13", "6 11 8 9"}}},
			broad, papertest.Instructions{Cut: 4, Folds: 1},
		}, {
			"folio, spine at the right",
			[]table{{[]string{"1 4"}, []string{"3 2"}}},
			broad, papertest.Instructions{Folds: 1, Bind: reorder.BindRight},
		}, {
			"the same, left over right",
			[]table{{[]string{"1 4"}, []string{"3 2"}}},
			broad, papertest.Instructions{Folds: 1, Bind: reorder.BindRight, Over: reorder.LeftOverRight},
		}, {
			// Cockerell's table in a mirror.
			"octavo, spine at the right, left over right",
			[]table{{[]string{"/8 9 12 5", "1 16 13 4"}, []string{"/6 11 10 7", "3 14 15 2"}}},
			broad, papertest.Instructions{Folds: 3, Bind: reorder.BindRight, Over: reorder.LeftOverRight},
		}, {
			// Cockerell's table counted from the other end.
			"octavo, spine at the right, right over left",
			[]table{{[]string{"/12 5 8 9", "13 4 1 16"}, []string{"/10 7 6 11", "15 2 3 14"}}},
			broad, papertest.Instructions{Folds: 3, Bind: reorder.BindRight},
		}, {
			"loose leaves", []table{{[]string{"1"}, []string{"2"}}, {[]string{"3"}, []string{"4"}}},
			tall, papertest.Instructions{},
		}, {
			// Heads at x = 0: what lies at the sheet's head is the right-hand half in reading position.
			"loose leaves, two from a sheet",
			[]table{{[]string{"5 1"}, []string{"2 6"}}, {[]string{"7 3"}, []string{"4 8"}}},
			broad, papertest.Instructions{Cut: 2},
		},
	} {
		var sheets []paper.Sheet
		for _, s := range c.sheets {
			sheets = append(sheets, s.sheet(c.size))
		}
		book, err := papertest.ReadBook(sheets, []int{len(sheets)}, c.how)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		} else if err := papertest.Check(book, pages(len(book))); err != nil {
			t.Errorf("%s:\n%v", c.name, err)
		}
	}
}

// A folio that opens upwards: outside the last page stands over the first,
// inside page 2 over page 3, all heads the same way in each view.
func TestBindTop(t *testing.T) {
	s := paper.Sheet{Size: tall,
		Front: []paper.Mark{{"1", geom.Point{X: 100, Y: 200}, geom.Point{Y: -1}}, {"4", geom.Point{X: 100, Y: 50}, geom.Point{Y: -1}}},
		Back:  []paper.Mark{{"2", geom.Point{X: 100, Y: 200}, geom.Point{Y: 1}}, {"3", geom.Point{X: 100, Y: 50}, geom.Point{Y: 1}}},
	}
	book, err := papertest.ReadBook([]paper.Sheet{s}, []int{1}, papertest.Instructions{Folds: 1, Bind: reorder.BindTop})
	if err != nil {
		t.Fatal(err)
	}
	if err := papertest.Check(book, pages(4)); err != nil {
		t.Error(err)
	}
	if want := (geom.Size{W: 210, H: 148.5}); book[0].Size != want {
		t.Errorf("pages of %s, want %s", book[0].Size, want)
	}
	if m := book[1].Marks[0]; !isSame(m.FromSpine, 51.5) || !isSame(m.FromHead, 97) || !isSame(m.At.X, 100) {
		t.Errorf("page 2 stands at %+v, want 51.5 mm above the fold, 97 mm from its head and 100 mm from the left", m)
	}

	// The same sheet in a mirror, folded left over right.
	for _, side := range [][]paper.Mark{s.Front, s.Back} {
		for i := range side {
			side[i].At.Y, side[i].Head.Y = 297-side[i].At.Y, -side[i].Head.Y
		}
	}
	if book, err = papertest.ReadBook([]paper.Sheet{s}, []int{1}, papertest.Instructions{Folds: 1, Bind: reorder.BindTop, Over: reorder.LeftOverRight}); err != nil {
		t.Fatal(err)
	}
	if err := papertest.Check(book, pages(4)); err != nil {
		t.Error(err)
	}
}

// Cockerell p. 36: folio 2 leaves, quarto 4, octavo 8; Vaughn p. 111: four folds
// make 16 leaves. Every face of the sheet is read once, and so is one mark per
// page, whatever is cut, folded and bound how.
func TestEveryFaceIsReadOnce(t *testing.T) {
	for _, cut := range []int{1, 2, 4} {
		for folds := range 5 {
			for _, bind := range []reorder.Bind{reorder.BindLeft, reorder.BindRight, reorder.BindTop} {
				for _, over := range []reorder.Over{reorder.RightOverLeft, reorder.LeftOverRight} {
					for _, nest := range []reorder.Nest{reorder.Inset, reorder.Together} {
						how := papertest.Instructions{Cut: cut, Folds: folds, Nest: nest, Bind: bind, Over: over}
						everyFaceOnce(t, how)
					}
				}
			}
		}
	}
}

func everyFaceOnce(t *testing.T, how papertest.Instructions) {
	t.Helper()
	perSide := how.Cut << how.Folds
	cols, rows := 1, 1
	for _, level := range papertest.Halvings(tall, how.Cut/2+how.Folds) {
		if level {
			rows *= 2
		} else {
			cols *= 2
		}
	}
	name := 0
	side := func() []paper.Mark {
		var marks []paper.Mark
		for c := range cols {
			for r := range rows {
				name++
				at := geom.Point{X: 210 * (float64(c) + 0.3) / float64(cols), Y: 297 * (float64(r) + 0.6) / float64(rows)}
				marks = append(marks, paper.Mark{fmt.Sprint(name), at, geom.Point{Y: 1}})
			}
		}
		return marks
	}
	sheets := []paper.Sheet{{Size: tall, Front: side(), Back: side()}, {Size: tall, Front: side(), Back: side()}, {Size: tall, Front: side(), Back: side()}}
	book, err := papertest.ReadBook(sheets, []int{2, 1}, how)
	if err != nil {
		t.Errorf("%+v: %v", how, err)
		return
	}
	seen := map[string]bool{}
	for _, f := range book {
		if len(f.Marks) != 1 {
			t.Errorf("%+v: %d marks on place %d", how, len(f.Marks), f.Place)
			continue
		}
		seen[f.Marks[0].Label] = true
	}
	if len(book) != 6*perSide || len(seen) != len(book) {
		t.Errorf("%+v: %d faces and %d marks, want %d", how, len(book), len(seen), 6*perSide)
	}
}

// Up to two folds the hand that folds makes no difference to a book bound at
// the left or right; with three it does.
func TestRightOrLeftOver(t *testing.T) {
	for folds, table := range []table{1: cowieFolio, 2: vaughnQuarto, 3: cockerellOctavo} {
		if folds == 0 {
			continue
		}
		size := []geom.Size{1: broad, 2: tall, 3: broad}[folds]
		book, err := papertest.ReadBook([]paper.Sheet{table.sheet(size)}, []int{1}, papertest.Instructions{Folds: folds, Over: reorder.LeftOverRight})
		if err != nil {
			t.Fatal(err)
		}
		if err := papertest.Check(book, pages(len(book))); (err == nil) != (folds < 3) {
			t.Errorf("%d folds, left over right: %v", folds, err)
		}
	}
}

// Single-sheet gatherings, derived: the outer side holds the pages with p mod 4
// in {0, 1}; with an even number of folds the heads point along the long edge,
// with an odd number along the short one (design, section 4).
func TestSingleSheetLaws(t *testing.T) {
	for folds := 1; folds <= 4; folds++ {
		size := tall
		lines := papertest.Halvings(tall, folds)
		cols, rows := 1, 1
		for _, level := range lines {
			if level {
				rows *= 2
			} else {
				cols *= 2
			}
		}
		var s paper.Sheet
		s.Size = size
		for c := range cols {
			for r := range rows {
				at := geom.Point{X: size.W * (float64(c) + 0.5) / float64(cols), Y: size.H * (float64(r) + 0.5) / float64(rows)}
				// Heads where the design wants them; half of the rows stand on their heads.
				front, back := geom.Point{Y: 1}, geom.Point{Y: 1}
				if folds%2 == 1 {
					front, back = geom.Point{X: -1}, geom.Point{X: 1}
				}
				s.Front = append(s.Front, paper.Mark{fmt.Sprintf("outer %d %d", c, r), at, front})
				s.Back = append(s.Back, paper.Mark{fmt.Sprintf("inner %d %d", c, r), at, back})
			}
		}
		book, err := papertest.ReadBook([]paper.Sheet{s}, []int{1}, papertest.Instructions{Folds: folds})
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range book {
			m := f.Marks[0]
			outer := strings.HasPrefix(m.Label, "outer")
			if outer != ((i+1)%4 <= 1) {
				t.Errorf("%d folds: page %d is on the wrong side: %s", folds, i+1, m.Label)
			}
			if !isSame(m.Head.X, 0) {
				t.Errorf("%d folds: page %d lies sideways", folds, i+1)
			}
			if f.Size.W > f.Size.H {
				t.Errorf("%d folds: pages of %s", folds, f.Size)
			}
		}
		if !book[0].Marks[0].Upright || !book[1].Marks[0].Upright || !book[len(book)-1].Marks[0].Upright {
			t.Errorf("%d folds: the pages next to the last fold should stand upright", folds)
		}
	}
}

func TestHalvings(t *testing.T) {
	for _, c := range []struct {
		size geom.Size
		want string
	}{
		{tall, "[true false true false]"},
		{geom.Size{W: 215.9, H: 355.6}, "[true false true false]"}, // na_legal_8.5x14in
		{geom.Size{W: 100, H: 300}, "[true true false true]"},
		{geom.Size{W: 210, H: 420}, "[true false true false]"}, // square after the first
		{geom.Size{W: 200, H: 200}, "[true false true false]"},
	} {
		if got := fmt.Sprint(papertest.Halvings(c.size, 4)); got != c.want {
			t.Errorf("%s: level %s, want %s", c.size, got, c.want)
		}
	}
}

// A slip of 100 x 300 mm is halved across its length twice: the spine still
// comes from the last fold, and the pages are 75 mm wide.
func TestLongPaperFollowsItsLength(t *testing.T) {
	s := paper.Sheet{Size: geom.Size{W: 100, H: 300}}
	book, err := papertest.ReadBook([]paper.Sheet{s}, []int{1}, papertest.Instructions{Folds: 2})
	if err != nil {
		t.Fatal(err)
	}
	if want := (geom.Size{W: 75, H: 100}); len(book) != 8 || book[0].Size != want {
		t.Errorf("%d pages of %s, want 8 of %s", len(book), book[0].Size, want)
	}
}

// Printed 10 mm from the fold and 7 mm from the head, page 1 and page 2 of a
// folio must be found there.
func TestDistancesFromTheEdges(t *testing.T) {
	s := paper.Sheet{Size: tall,
		Front: []paper.Mark{{"1", geom.Point{X: 7, Y: 148.5 + 10}, geom.Point{X: -1}}},
		Back:  []paper.Mark{{"2", geom.Point{X: 210 - 7, Y: 148.5 + 10}, geom.Point{X: 1}}},
	}
	book, err := papertest.ReadBook([]paper.Sheet{s}, []int{1}, papertest.Instructions{Folds: 1})
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range []float64{10, 148.5 - 10} {
		m := book[i].Marks[0]
		if !m.Upright || !isSame(m.FromSpine, 10) || !isSame(m.FromHead, 7) || !isSame(m.At.X, x) || !isSame(m.At.Y, 203) {
			t.Errorf("page %d is found at %+v", i+1, m)
		}
		on, side, at := book[i].OnSheet(m.At)
		printed := [][]paper.Mark{s.Front, s.Back}[i][0].At
		if on != 0 || side != []reorder.Side{reorder.Front, reorder.Back}[i] || !isSame(at.X, printed.X) || !isSame(at.Y, printed.Y) {
			t.Errorf("page %d lies on sheet %d, %s, at %v, want %v", i+1, on, side, at, printed)
		}
	}
}

func TestReadBookRefuses(t *testing.T) {
	good := paper.Sheet{Size: tall}
	beside := paper.Sheet{Size: tall, Back: []paper.Mark{{"1", geom.Point{X: 211, Y: 1}, geom.Point{Y: 1}}}}
	headless := paper.Sheet{Size: tall, Front: []paper.Mark{{"1", geom.Point{X: 1, Y: 1}, geom.Point{}}}}
	for _, c := range []struct {
		name  string
		stack []paper.Sheet
		sizes []int
		how   papertest.Instructions
		want  error
	}{
		{"too many sheets", []paper.Sheet{good, good}, []int{1}, papertest.Instructions{Folds: 1}, papertest.ErrSizes},
		{"too few sheets", []paper.Sheet{good}, []int{1, 1}, papertest.Instructions{Folds: 1}, papertest.ErrSizes},
		{"empty gathering", []paper.Sheet{good}, []int{1, 0}, papertest.Instructions{Folds: 1}, papertest.ErrSizes},
		{"lying broad", []paper.Sheet{{Size: broad}}, []int{1}, papertest.Instructions{Folds: 1}, paper.ErrSheet},
		{"two sizes", []paper.Sheet{good, {Size: geom.Size{W: 10, H: 20}}}, []int{2}, papertest.Instructions{Folds: 1}, paper.ErrSheet},
		{"beside the paper", []paper.Sheet{beside}, []int{1}, papertest.Instructions{Folds: 1}, paper.ErrSheet},
		{"no head", []paper.Sheet{headless}, []int{1}, papertest.Instructions{Folds: 1}, paper.ErrSheet},
		{"three pieces", []paper.Sheet{good}, []int{1}, papertest.Instructions{Cut: 3, Folds: 1}, papertest.ErrInstructions},
		{"five folds", []paper.Sheet{good}, []int{1}, papertest.Instructions{Folds: 5}, papertest.ErrInstructions},
		{"level spine", []paper.Sheet{good}, []int{1}, papertest.Instructions{Folds: 1, Over: reorder.FarOverNear}, papertest.ErrInstructions},
	} {
		if _, err := papertest.ReadBook(c.stack, c.sizes, c.how); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
}

func TestFromPlan(t *testing.T) {
	half := func(y float64, head geom.Towards, page int) reorder.Panel {
		return reorder.Panel{Rect: geom.Rect{X1: 210, Y0: y, Y1: y + 148.5}, Head: head, Page: page}
	}
	s := papertest.FromPlan(tall, reorder.Sheet{
		Front: []reorder.Panel{half(0, geom.Left, 0), half(148.5, geom.Left, 1)},
		Back:  []reorder.Panel{half(0, geom.Right, 3), half(148.5, geom.Right, 2)},
	})
	book, err := papertest.ReadBook([]paper.Sheet{s}, []int{1}, papertest.Instructions{Folds: 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := papertest.Check(book, papertest.Labels([]int{1, 2, 3, 0})); err != nil {
		t.Error(err)
	}
}
