package reorder_test

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
	"foldwright/reorder/reordertest"
)

// onTable is a gathering of one full sheet before anything is done with it,
// and what is to be done.
func onTable(t *testing.T, form reorder.Form, sheet geom.Size, sheets int) (*paper.Table, []reorder.Motion) {
	t.Helper()
	book := arranged(t, sheet, form, sheets*form.PagesPerSheet(), sizesOf(form, sheets, 0)[:1])
	var stack []paper.Sheet
	for _, s := range book.Sheets() {
		stack = append(stack, marked(sheet, s))
	}
	table, err := paper.NewTable(stack)
	if err != nil {
		t.Fatal(err)
	}
	work, err := form.Handwork(sheet, book.Stacks)
	if err != nil {
		t.Fatal(err)
	}
	return table, work
}

// uppermost is the pages that one sees from above, in rising order.
func uppermost(p paper.Pile) string {
	var pages []int
	for _, m := range p.UppermostMarks() {
		n, _ := strconv.Atoi(m.Label)
		pages = append(pages, n)
	}
	slices.Sort(pages)
	return strings.Trim(fmt.Sprint(pages), "[]")
}

// seen does the work and tells after each motion what lies uppermost on the
// first pile.
func seen(t *testing.T, form reorder.Form, sheets int) []string {
	t.Helper()
	table, work := onTable(t, form, a4, sheets)
	var out []string
	for _, m := range work {
		if err := table.Do(m); err != nil {
			t.Fatal(err)
		}
		out = append(out, fmt.Sprintf("%T: %s", m, uppermost(table.Piles()[0])))
	}
	return out
}

// The planned steps show what Cockerell sees, 1901, p. 38: inner side up;
// "Pages 4, 13, 5, 12 will now be uppermost"; "Pages 8 and 9 will now be
// uppermost". And Adam, Practical Bookbinding, 1903, p. 13: "The folding of a
// 4to sheet is exactly the same, excepting that the last fold is omitted": a
// quarto is made by the motions of an octavo less a fold.
func TestFoldingAsInTheHandbooks(t *testing.T) {
	for _, c := range []struct {
		fold reorder.Fold
		want []string
	}{
		{reorder.Octavo, []string{
			"reorder.Deal: 1 4 5 8 9 12 13 16",
			"reorder.LayDown: 2 3 6 7 10 11 14 15",
			"reorder.FoldOver: 4 5 12 13",
			"reorder.SlitBolt: 4 5 12 13",
			"reorder.FoldOver: 8 9",
			"reorder.SlitBolt: 8 9",
			"reorder.FoldOver: 16",
			"reorder.Present: 1",
			"reorder.OpenBolts: 1",
		}},
		{reorder.Quarto, []string{
			"reorder.Deal: 1 4 5 8",
			"reorder.LayDown: 2 3 6 7",
			"reorder.FoldOver: 4 5",
			"reorder.SlitBolt: 4 5",
			"reorder.FoldOver: 8",
			"reorder.Present: 1",
			"reorder.OpenBolts: 1",
		}},
		// Fig. 4: the inset, pages 9 to 16, is cut off, folded by itself and laid into the middle.
		{reorder.Duodecimo, []string{
			"reorder.Deal: 1 4 5 8 9 12 13 16 17 20 21 24",
			"reorder.LayDown: 2 3 6 7 10 11 14 15 18 19 22 23",
			"reorder.CutOffInset: 2 3 6 7 18 19 22 23",
			"reorder.FoldOver: 4 5 20 21",
			"reorder.SlitBolt: 4 5 20 21",
			"reorder.FoldOver: 8 17",
			"reorder.SlitBolt: 8 17",
			"reorder.FoldOver: 24",
			"reorder.LayIn: 24",
			"reorder.Present: 1",
			"reorder.OpenBolts: 1",
		}},
	} {
		if got := seen(t, reorder.Form{Fold: c.fold, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft}, 1); !slices.Equal(got, c.want) {
			t.Errorf("%s:\n got %q\nwant %q", c.fold, got, c.want)
		}
	}
}

// Cockerell 1901, p. 38: the first fold brings the right end over "until pages
// 3 and 6 come exactly over pages 2 and 7", the second "pages 12 and 5 ... to
// exactly match pages 13 and 4": so much paper lies on so much.
func TestPagesMeetAsInTheHandbook(t *testing.T) {
	table, work := onTable(t, reorder.Form{Fold: reorder.Octavo, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft}, a4, 1)
	centres := map[string]geom.Point{}
	var meet [][2]string
	for _, m := range work {
		fold, folding := m.(reorder.FoldOver)
		if folding {
			for _, mark := range table.Piles()[0].UppermostMarks() {
				centres[mark.Label] = mark.At
			}
			for a, p := range centres {
				for b, q := range centres {
					mirrored := geom.Point{X: 2*fold.At - p.X, Y: p.Y}
					if fold.Over == reorder.FarOverNear {
						mirrored = geom.Point{X: p.X, Y: 2*fold.At - p.Y}
					}
					if math.Abs(mirrored.X-q.X) < 1e-6 && math.Abs(mirrored.Y-q.Y) < 1e-6 {
						meet = append(meet, [2]string{a, b})
					}
				}
			}
			clear(centres)
		}
		if err := table.Do(m); err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range [][2]string{{"3", "2"}, {"6", "7"}, {"12", "13"}, {"5", "4"}, {"9", "8"}} {
		if !slices.Contains(meet, want) {
			t.Errorf("page %s does not come over page %s: %v", want[0], want[1], meet)
		}
	}
}

// CIP4's folding catalogue, the pages of the front face in the reader's
// perspective, rows from the bottom (their order derived): F4-1 "2 3", F8-7
// "3 2 / 6 7", F16-6 "6 11 10 7 / 3 14 15 2". The face is our inner side, of
// the quarto turned by a quarter, of the octavo by half.
func TestFoldingCatalogue(t *testing.T) {
	for fold, rows := range map[reorder.Fold][][]string{
		reorder.Folio:  {{"2", "3"}},
		reorder.Quarto: {{"3", "2"}, {"6", "7"}},
		reorder.Octavo: {{"6", "11", "10", "7"}, {"3", "14", "15", "2"}},
	} {
		table, work := onTable(t, reorder.Form{Fold: fold, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft}, a4, 1)
		for _, m := range work[:2] {
			if err := table.Do(m); err != nil {
				t.Fatal(err)
			}
		}
		pile := table.Piles()[0].Rotate(map[reorder.Fold]int{reorder.Quarto: 1, reorder.Octavo: 2}[fold])
		marks := pile.UppermostMarks()
		cell := func(m paper.Mark) (row, column int) {
			column = int(m.At.X / pile.Size().W * float64(len(rows[0])))
			return int(m.At.Y / pile.Size().H * float64(len(rows))), column
		}
		for _, m := range marks {
			r, c := cell(m)
			if rows[r][c] != m.Label {
				t.Errorf("%s: page %s lies where %s should, row %d from the bottom, column %d", fold, m.Label, rows[r][c], r+1, c+1)
			}
		}
		if len(marks) != len(rows)*len(rows[0]) {
			t.Errorf("%s: %d pages are seen", fold, len(marks))
		}
	}
}

// Common practice, no source (check-values 1.16): three printed sheets, each
// cut in half, make one gathering of six folded pieces: 12 leaves, 24 pages.
func TestThreeSheetsCutInHalf(t *testing.T) {
	form := reorder.FolioForm
	form.Cut = 2
	book := arranged(t, a4, form, 24, []int{3})
	if book.Leaves() != 12 || form.Pieces(3) != 6 || book.PanelSize() != (geom.Size{W: 105, H: 148.5}) {
		t.Errorf("%d leaves of %v in %d pieces", book.Leaves(), book.PanelSize(), form.Pieces(3))
	}
	// The pairs are those of nested folios; the head-end halves are the outer three.
	got := seen(t, form, 3)
	want := []string{
		"reorder.Deal: 1 7 18 24",
		"reorder.LayDown: 1 7 18 24",
		"reorder.CutPile: 1 24",
		"reorder.LayDown: 2 23",
		"reorder.FoldOver: 24",
		"reorder.NestPieces: 24",
		"reorder.Present: 1",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// What a person is told to look for when laying paper down is true: the pages
// at the named edge stand upright.
func TestPagesStandUprightWhereTheHandLooks(t *testing.T) {
	looked := 0
	for _, form := range reordertest.Most(t) {
		for _, sheet := range papers[:4] {
			if _, err := form.Handwork(sheet, [][]int{{1}}); err != nil {
				continue
			}
			table, work := onTable(t, form, sheet, 1)
			for _, m := range work {
				if err := table.Do(m); err != nil {
					t.Fatal(err)
				}
				lay, ok := m.(reorder.LayDown)
				if !ok {
					continue
				}
				for _, p := range table.Piles() {
					looked++
					for _, mark := range nearest(p, lay.Upright) {
						if mark.Head.Y <= 0 {
							t.Fatalf("%+v on %v: after %+v page %s at that edge does not stand upright: %v", form, sheet, lay, mark.Label, mark.Head)
						}
					}
				}
			}
		}
	}
	if looked < 1000 {
		t.Errorf("looked at %d piles only", looked)
	}
}

// nearest is the marks of the pages next to an edge.
func nearest(p paper.Pile, edge geom.Towards) []paper.Mark {
	size := p.Size()
	from := func(m paper.Mark) float64 {
		switch edge {
		case geom.Up:
			return size.H - m.At.Y
		case geom.Down:
			return m.At.Y
		}
		return m.At.X
	}
	marks := p.UppermostMarks()
	least := math.Inf(1)
	for _, m := range marks {
		least = min(least, from(m))
	}
	return slices.DeleteFunc(marks, func(m paper.Mark) bool { return from(m) > least+1 })
}

// With the cut edge at the tail, every page that touches a cut touches it with its tail.
func TestCutsAtTheTail(t *testing.T) {
	var possible []string
	for _, form := range reordertest.Most(t) {
		if form.CutEdge != reorder.TailEdge || form.Leaf != 0 || form.Nest != reorder.Inset || form.Bind != reorder.BindLeft {
			continue
		}
		if _, err := form.Handwork(a4, [][]int{{1}}); err != nil {
			continue
		}
		possible = append(possible, fmt.Sprintf("%s in %d", form.Fold, form.Cut))
		book := arranged(t, a4, form, 1, []int{2})
		for _, s := range book.Sheets() {
			for _, p := range s.Front {
				touches := map[geom.Towards]bool{geom.Down: math.Abs(p.Rect.Y0-148.5) < 1e-6, geom.Up: math.Abs(p.Rect.Y1-148.5) < 1e-6}
				for edge, does := range touches {
					if does && (p.Head.Quarters()+2)%4 != edge.Quarters() {
						t.Errorf("%s: a page with its head %s touches the cut", form.Fold, p.Head)
					}
				}
			}
		}
	}
	if want := []string{"folio in 2", "octavo in 2"}; !slices.Equal(possible, want) {
		t.Errorf("possible: %v, want %v", possible, want)
	}
}

// The simulator is no pushover: each spoilt motion is found out.
func TestSpoiltHandworkIsFoundOut(t *testing.T) {
	form := reorder.Form{Fold: reorder.Octavo, Cut: 2, Nest: reorder.Inset, Bind: reorder.BindLeft}
	for name, spoil := range map[string]func([]reorder.Motion) []reorder.Motion{
		"no slit":            func(w []reorder.Motion) []reorder.Motion { return without[reorder.SlitBolt](w) },
		"bolts closed":       func(w []reorder.Motion) []reorder.Motion { return without[reorder.OpenBolts](w) },
		"not nested":         func(w []reorder.Motion) []reorder.Motion { return without[reorder.NestPieces](w) },
		"not turned over":    func(w []reorder.Motion) []reorder.Motion { return without[reorder.LayDown](w) },
		"pieces not stacked": func(w []reorder.Motion) []reorder.Motion { return without[reorder.CutPile](w) },
		"other half on top": func(w []reorder.Motion) []reorder.Motion {
			return each(w, func(c reorder.CutPile) reorder.Motion { c.Turn = !c.Turn; return c })
		},
		"folded beside the middle": func(w []reorder.Motion) []reorder.Motion {
			return each(w, func(f reorder.FoldOver) reorder.Motion { f.At += 10; return f })
		},
		"not turned for reading": func(w []reorder.Motion) []reorder.Motion {
			return each(w, func(p reorder.Present) reorder.Motion { p.TurnOver = false; return p })
		},
	} {
		book := arranged(t, a4, form, 60, []int{2})
		var stack []paper.Sheet
		for _, s := range book.Sheets() {
			stack = append(stack, marked(a4, s))
		}
		work, err := form.Handwork(a4, book.Stacks)
		if err != nil {
			t.Fatal(err)
		}
		books, err := paper.Follow(stack, spoil(work))
		if err == nil {
			err = papertest.Check(books[0], papertest.Labels(book.Gatherings[0].Pages))
		}
		if err == nil {
			t.Errorf("%s: passes as a good book", name)
		}
	}
}

func without[M reorder.Motion](work []reorder.Motion) []reorder.Motion {
	return slices.DeleteFunc(slices.Clone(work), func(m reorder.Motion) bool { _, is := m.(M); return is })
}

func each[M reorder.Motion](work []reorder.Motion, how func(M) reorder.Motion) []reorder.Motion {
	out := slices.Clone(work)
	for i, m := range out {
		if one, is := m.(M); is {
			out[i] = how(one)
		}
	}
	return out
}
