package reorder_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"foldwright/reorder"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
	"foldwright/reorder/reordertest"
	"foldwright/reorder/sample"
)

// byPieces is every form of a sewn book whose gatherings can be counted in pieces.
func byPieces(t *testing.T) (forms []reorder.Form) {
	t.Helper()
	for _, form := range reordertest.Forms() {
		form.ByPieces = true
		if _, err := form.Handwork(a4, [][]int{{form.Cut}}); err == nil && form.Fold.Scheme().Held == reorder.Sewn {
			forms = append(forms, form)
		}
	}
	return forms
}

// TestPiecesReadInOrder is the law for gatherings counted in pieces, in every form that
// is cut: with gatherings of 1 to 7 pieces that share sheets, in stacks of any limit.
func TestPiecesReadInOrder(t *testing.T) {
	forms := byPieces(t)
	if len(forms) < 150 {
		t.Fatalf("only %d forms", len(forms))
	}
	shared, spare, throughout := 0, 0, map[int]int{}
	var always []int
	for i, form := range forms {
		if i == 0 || form.Cut != forms[i-1].Cut {
			always = append(always, i)
		}
	}
	for i, form := range sample.Of(t, forms, 30, always...) {
		random := rand.New(rand.NewPCG(uint64(i), 8))
		for range 3 {
			var sizes []int
			for range 1 + random.IntN(9) {
				n := 1 + random.IntN(7)
				for form.Thicknesses(n) > reorder.MostFolded {
					n--
				}
				sizes = append(sizes, n)
			}
			stacks := reorder.StackPieces(sizes, form.Cut, random.IntN(5))
			if random.IntN(4) == 0 {
				stacks = reorder.FillPieces(sizes, form.Cut, random.IntN(5))
			}
			pages := 0
			for _, n := range sizes {
				pages += form.PagesOf(n)
			}
			book, err := reorder.Arrange(a4, form, numbered(pages-random.IntN(3)), stacks)
			if err != nil {
				t.Fatalf("%+v: %v", form, err)
			}
			folded(t, book, sizes)
			asInTheHandbooks(t, book)
			for _, s := range book.Sheets() {
				if len(s.Pieces)+len(s.Spare) != form.Cut {
					t.Fatalf("%+v: sheet %d has %d pieces and %d spare ones", form, s.Number, len(s.Pieces), len(s.Spare))
				}
				if len(s.Pieces) == 0 {
					t.Fatalf("%+v: no page stands on sheet %d", form, s.Number)
				}
				spare += len(s.Spare)
				if s.Pieces[0].Gathering != s.Pieces[len(s.Pieces)-1].Gathering {
					shared++
				}
			}
			throughout[form.Cut]++
		}
	}
	if shared < 20 || spare < 20 || len(throughout) != 4 {
		t.Errorf("only %d sheets are shared, and %d pieces spare; books by their cuts: %v", shared, spare, throughout)
	}
}

// asInTheHandbooks makes the book once more as a binder does who knows no plan: each stack
// is cut as one and its gatherings are counted off.
func asInTheHandbooks(t *testing.T, book reorder.Book) {
	t.Helper()
	f := book.Form
	if f.Leaf != 0 || f.CutEdge == reorder.TailEdge || f.Bind == reorder.BindTop {
		return
	}
	how := papertest.Instructions{Cut: f.Cut, Folds: len(f.Fold.Scheme().Creases), Nest: f.Nest, Bind: f.Bind}
	var stack []paper.Sheet
	for _, s := range book.Sheets() {
		stack = append(stack, marked(book.Sheet, s))
	}
	var sheets, sizes []int
	for _, s := range book.Stacks {
		pieces := 0
		for _, n := range s {
			pieces += n
		}
		sheets = append(sheets, (pieces+f.Cut-1)/f.Cut)
		sizes = append(sizes, s...)
	}
	faces, err := papertest.ReadPieces(stack, sheets, book.Stacks, how)
	if err != nil {
		t.Fatal(err)
	}
	readsAsPlanned(t, book, sizes, faces)
}

// TestThreeSheetsInHalf is check-value 1.16 (common practice, no source): three printed
// sheets, each cut in half, make one gathering of six folded pieces: 12 leaves, 24 pages.
// With three pieces to a gathering, they make two of 12 pages.
func TestThreeSheetsInHalf(t *testing.T) {
	form := reorder.Form{Fold: reorder.Folio, Cut: 2, Nest: reorder.Inset, Bind: reorder.BindLeft, ByPieces: true}
	for pieces, want := range map[int]string{6: "[[6]] of 24 pages", 3: "[[3 3]] of 12 pages"} {
		sizes := reorder.PieceSizes(form.SizeFor(24), 1, pieces, 2)
		book, err := reorder.Arrange(a4, form, numbered(24), reorder.StackPieces(sizes, 2, 0))
		if err != nil {
			t.Fatal(err)
		}
		folded(t, book, sizes)
		if got := fmt.Sprintf("%v of %d pages", book.Stacks, len(book.Gatherings[0].Pages)); got != want {
			t.Errorf("%s, want %s", got, want)
		}
		if book.Leaves() != 12 || len(book.Sheets()) != 3 {
			t.Errorf("%d leaves on %d sheets", book.Leaves(), len(book.Sheets()))
		}
	}
}

// A book and a half sheet: the piece that is left over is spare, and it is the last one.
func TestHalfASheetIsLeft(t *testing.T) {
	form := reorder.Form{Fold: reorder.Folio, Cut: 2, Nest: reorder.Inset, Bind: reorder.BindLeft, ByPieces: true}
	sizes := reorder.PieceSizes(form.SizeFor(36), 1, 3, 2)
	book, err := reorder.Arrange(a4, form, numbered(36), reorder.StackPieces(sizes, 2, 0))
	if err != nil {
		t.Fatal(err)
	}
	all := book.Sheets()
	last := all[len(all)-1]
	if len(all) != 5 || len(last.Spare) != 1 || last.Spare[0].Front.Y1 != a4.H/2 || len(last.Pieces) != 1 {
		t.Errorf("of %d sheets the last has %+v, spare %+v", len(all), last.Pieces, last.Spare)
	}
	if got := fmt.Sprint(book.CarriedBy(1), book.CarriedBy(2), book.CarriedBy(3)); got != "[1 2 3] [1 2 3] [4 5]" {
		t.Errorf("the gatherings stand on the sheets %s", got)
	}
	if got := fmt.Sprint(form.Shares([]int{3, 3})); got != "[2 1]" {
		t.Errorf("of three sheets the gatherings have %s", got)
	}
}

// TestStacksOfPieces holds for all gatherings of up to 6 pieces: a stack is whole
// gatherings, within its limit, and no grouping that keeps to them takes fewer sheets.
func TestStacksOfPieces(t *testing.T) {
	random := rand.New(rand.NewPCG(16, 8))
	for range 2000 {
		cut := []int{2, 4, 8, 16}[random.IntN(4)]
		most := random.IntN(6)
		var pieces []int
		for range 1 + random.IntN(8) {
			pieces = append(pieces, 1+random.IntN(6))
		}
		stacks := reorder.StackPieces(pieces, cut, most)
		if !slices.Equal(slices.Concat(stacks...), pieces) {
			t.Fatalf("%v became %v", pieces, stacks)
		}
		sheets := 0
		for _, s := range stacks {
			n := sheetsOf(s, cut)
			if len(s) > 1 && (most > 0 && n > most || len(s) > cut) {
				t.Fatalf("%v cut in %d: a stack of %v, at most %d sheets", pieces, cut, s, most)
			}
			sheets += n
		}
		if fewest := fewestSheets(pieces, cut, most); sheets != fewest {
			t.Fatalf("%v cut in %d, at most %d: %v are %d sheets, and %d would do", pieces, cut, most, stacks, sheets, fewest)
		}
	}
	for want, c := range map[string]struct {
		pieces    []int
		cut, most int
	}{
		"[[3 3] [3 3]]":         {[]int{3, 3, 3, 3}, 2, 0},
		"[[3 3] [3]]":           {[]int{3, 3, 3}, 2, 0},
		"[[3] [3] [3] [3]]":     {[]int{3, 3, 3, 3}, 2, 2},
		"[[4] [4]]":             {[]int{4, 4}, 2, 0},
		"[[5 5 5 5] [5 5 5 5]]": {[]int{5, 5, 5, 5, 5, 5, 5, 5}, 4, 0},
		"[[9] [1]]":             {[]int{9, 1}, 2, 4},
	} {
		if got := fmt.Sprint(reorder.StackPieces(c.pieces, c.cut, c.most)); got != want {
			t.Errorf("%+v: %s, want %s", c, got, want)
		}
	}
	if got := fmt.Sprint(reorder.FillPieces([]int{3, 3, 3, 3, 3}, 2, 5), reorder.FillPieces([]int{3, 3}, 2, 0)); got != "[[3 3 3] [3 3]] [[3 3]]" {
		t.Errorf("by runs of 5 sheets: %s", got)
	}
}

func sheetsOf(pieces []int, cut int) int {
	sum := 0
	for _, n := range pieces {
		sum += n
	}
	return (sum + cut - 1) / cut
}

// fewestSheets tries every grouping.
func fewestSheets(pieces []int, cut, most int) int {
	if len(pieces) == 0 {
		return 0
	}
	best := 0
	for n := 1; n <= min(cut, len(pieces)); n++ {
		sheets := sheetsOf(pieces[:n], cut)
		if n > 1 && most > 0 && sheets > most {
			break
		}
		if all := sheets + fewestSheets(pieces[n:], cut, most); best == 0 || all < best {
			best = all
		}
	}
	return best
}

// TestPieceSizes: sizes differ by at most one, and of those that do not fill whole sheets
// alone, so many stand together at the front that they do, if there are enough.
func TestPieceSizes(t *testing.T) {
	for pieces := 1; pieces <= 120; pieces++ {
		for most := 1; most <= 9; most++ {
			sizes := reorder.PieceSizes(pieces, 1, most, 2)
			plain := reorder.SizesBetween(pieces, 1, most)
			other := slices.Sorted(slices.Values(sizes))
			if !slices.Equal(other, slices.Sorted(slices.Values(plain))) {
				t.Fatalf("%d pieces, at most %d: %v has not the sizes of %v", pieces, most, sizes, plain)
			}
			wasted := 0
			for _, s := range reorder.StackPieces(sizes, 2, 0) {
				wasted += 2*sheetsOf(s, 2) - sheetsOf(s, 1)
			}
			if wasted != pieces%2 {
				t.Fatalf("%d pieces, at most %d: %v leaves %d spare", pieces, most, sizes, wasted)
			}
		}
	}
}
