package reorder_test

import (
	"fmt"
	"math"
	"runtime/debug"
	"slices"
	"testing"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
	"foldwright/reorder/refusal"
	"foldwright/reorder/reordertest"
	"foldwright/reorder/sample"
)

// The tests make many small things: collecting them at four times the usual heap saves a fifth of the time.
func init() { debug.SetGCPercent(400) }

var a4 = geom.Size{W: 210, H: 297}

func numbered(n int) []int {
	pages := make([]int, n)
	for i := range pages {
		pages[i] = i + 1
	}
	return pages
}

var pointing = map[geom.Towards]geom.Point{
	geom.Up: {Y: 1}, geom.Left: {X: -1}, geom.Down: {Y: -1}, geom.Right: {X: 1},
}

// marked makes of a planned sheet a sheet of the simulator with one mark in
// every panel that carries a page: 7 mm from where the plan says that the
// spine is and 11 mm from where it says that the head is; less on a tiny leaf.
func marked(size geom.Size, s reorder.Sheet) paper.Sheet {
	side := func(panels []reorder.Panel) []paper.Mark {
		var marks []paper.Mark
		for _, p := range panels {
			if p.Page != 0 {
				spine, head := markAt(p.Rect.Size())
				marks = append(marks, paper.Mark{Label: fmt.Sprint(p.Page), At: inPanel(p, spine, head), Head: pointing[p.Head]})
			}
		}
		return marks
	}
	return paper.Sheet{Size: size, Front: side(s.Front), Back: side(s.Back)}
}

// markAt is how far from the spine and the head of a leaf its mark stands.
func markAt(leaf geom.Size) (spine, head float64) {
	small := min(leaf.W, leaf.H)
	return min(7, small/3), min(11, small/2)
}

// inPanel is the point so far from the panel's spine and head edges.
func inPanel(p reorder.Panel, fromSpine, fromHead float64) geom.Point {
	at := p.Rect.Centre()
	for _, e := range []struct {
		edge geom.Towards
		mm   float64
	}{{p.Spine, fromSpine}, {p.Head, fromHead}} {
		switch e.edge {
		case geom.Up:
			at.Y = p.Rect.Y1 - e.mm
		case geom.Down:
			at.Y = p.Rect.Y0 + e.mm
		case geom.Left:
			at.X = p.Rect.X0 + e.mm
		case geom.Right:
			at.X = p.Rect.X1 - e.mm
		}
	}
	return at
}

// folded makes the book in the simulator, by what the plan tells the hands,
// and complains about everything that is not page 1..n upright with its spine
// and head where planned. Where the simulator knows of itself how a form is
// made, by halving the longer dimension, it does that as well.
func folded(t *testing.T, book reorder.Book, sizes []int) {
	t.Helper()
	var stack []paper.Sheet
	for _, s := range book.Sheets() {
		stack = append(stack, marked(book.Sheet, s))
	}
	work, err := book.Form.Handwork(book.Sheet, book.Stacks)
	if err != nil {
		t.Fatal(err)
	}
	books, err := paper.Follow(stack, work)
	if err != nil {
		t.Fatalf("%+v, %v, gatherings %v: %v", book.Form, book.Sheet, sizes, err)
	}
	if copies := len(books); copies == 2 != book.Form.Copies || copies > 2 {
		t.Fatalf("%+v: %d books", book.Form, copies)
	}
	for _, faces := range books {
		readsAsPlanned(t, book, sizes, faces)
	}
	if book.Form.Leaf != 0 || book.Form.CutEdge == reorder.TailEdge || len(book.Stacks) != len(sizes) || book.Form.ByPieces || special(book.Form.Fold) {
		return
	}
	how := papertest.Instructions{Cut: book.Form.Cut, Folds: len(book.Form.Fold.Scheme().Creases), Nest: reorder.Inset, Bind: reorder.BindLeft}
	if book.Form.Nest == reorder.Together {
		how.Nest = reorder.Together
	}
	switch book.Form.Bind {
	case reorder.BindRight:
		how.Bind = reorder.BindRight
	case reorder.BindTop:
		return // the simulator has another way there, just as good, but not for the same sheets
	}
	faces, err := papertest.ReadBook(stack, sizes, how)
	if err != nil {
		t.Fatal(err)
	}
	readsAsPlanned(t, book, sizes, faces)
}

func special(fold reorder.Fold) bool {
	s := fold.Scheme()
	return s.Whole || s.Strip
}

func readsAsPlanned(t *testing.T, book reorder.Book, sizes []int, faces []paper.Face) {
	t.Helper()
	var pages []int
	for _, g := range book.Gatherings {
		pages = append(pages, g.Pages...)
	}
	if len(pages)%2 == 1 {
		pages = append(pages, 0) // the back of a strip's last panel
	}
	if err := papertest.Check(faces, papertest.Labels(pages)); err != nil {
		t.Fatalf("%+v, %v, gatherings %v: %v", book.Form, book.Sheet, sizes, err)
	}
	leaf := book.PanelSize()
	for _, f := range faces {
		if math.Abs(f.Size.W-leaf.W) > 1e-6 || math.Abs(f.Size.H-leaf.H) > 1e-6 {
			t.Fatalf("%+v: a leaf of %v, planned %v", book.Form, f.Size, leaf)
		}
		for _, m := range f.Marks {
			spine, head := markAt(leaf)
			if book.Form.Bind == reorder.BindTop { // the head of a recto lies at the spine, that of a verso opposite
				if spine = head; !f.Recto {
					spine = leaf.H - head
				}
			}
			if math.Abs(m.FromSpine-spine) > 1e-6 || math.Abs(m.FromHead-head) > 1e-6 {
				t.Fatalf("%+v: page %s lies %.1f mm from the spine and %.1f mm from the head, not %.1f and %.1f", book.Form, m.Label, m.FromSpine, m.FromHead, spine, head)
			}
		}
	}
}

func arranged(t *testing.T, sheet geom.Size, form reorder.Form, pages int, sizes []int) reorder.Book {
	t.Helper()
	book, err := reorder.Arrange(sheet, form, numbered(pages), eachAlone(sizes))
	if err != nil {
		t.Fatal(err)
	}
	return book
}

// TestFoliosReadInOrder is the law of the main job: every number of pages from
// 1 to 200 with every size of gathering from 1 to 8 sheets, or of these with three.
func TestFoliosReadInOrder(t *testing.T) {
	random := sample.Random(t)
	for pages := 1; pages <= 200; pages++ {
		sizes := random.Perm(8)
		if !sample.Full() {
			sizes = sizes[:3]
		}
		for _, less := range sizes {
			most := less + 1
			sizes := reorder.SizesBetween(reorder.SheetsFor(pages, reorder.FolioForm), 1, most)
			folded(t, arranged(t, a4, reorder.FolioForm, pages, sizes), sizes)
		}
	}
}

var papers = []geom.Size{a4, {W: 215.9, H: 279.4}, {W: 215.9, H: 355.6}, {W: 200, H: 200}, {W: 100, H: 300}, {W: 210, H: 420}}

// TestEveryFormReadsInOrder makes every form on papers of several proportions,
// on A4 with 1 to 6 sheets in a gathering; what is refused is counted.
func TestEveryFormReadsInOrder(t *testing.T) {
	random := sample.Random(t)
	made, refused := map[reorder.Fold]int{}, map[reorder.Fold]int{}
	for _, form := range reordertest.Most(t) {
		for _, sheet := range papers {
			if _, err := form.Handwork(sheet, [][]int{{1}}); err != nil {
				if refusal.Of(err) != refusal.Plan {
					t.Fatalf("%+v: %v", form, err)
				}
				refused[form.Fold]++
				continue
			}
			most := 2
			if sheet == a4 && form.Cut <= 4 {
				most = 6
			}
			fewest := 1
			if !sample.Full() { // of each form on each paper a gathering of one size
				fewest = 1 + random.IntN(most)
				most = fewest
			}
			for sheets := fewest; sheets <= most; sheets++ {
				sizes := sizesOf(form, sheets, 1)
				if form.Thicknesses(sheets) > reorder.MostFolded {
					continue
				}
				pages := max(1, (sheets+1)*form.PagesPerSheet()-3)
				folded(t, arranged(t, sheet, form, pages, sizes), sizes)
				made[form.Fold]++
			}
		}
	}
	for _, fold := range reorder.Folds() {
		t.Logf("%s: %d books, %d forms refused", fold, made[fold], refused[fold])
		if sample.Full() && made[fold] < 100 || made[fold] < 20 {
			t.Errorf("%s: only %d books", fold, made[fold])
		}
	}
}

// TestEveryNumberOfPages is the law for 1 to 100 pages, in a sample of the forms and,
// for each of them, of the numbers: the least and a few more.
func TestEveryNumberOfPages(t *testing.T) {
	random := sample.Random(t)
	for _, form := range reordertest.Some(t, a4, 2) {
		for pages := 1; pages <= 100; pages++ {
			if pages > 2 && !sample.Full() && random.IntN(4) > 0 {
				continue
			}
			sheets := reorder.SheetsFor(pages, form)
			sizes := reorder.SizesBetween(sheets, 1, 1+pages%6)
			if s := form.Fold.Scheme(); s.OneStack || s.Alone {
				sizes = sizesOf(form, sheets, 0)
			}
			folded(t, arranged(t, a4, form, pages, sizes), sizes)
		}
	}
}

// TestCutByTheRun cuts several gatherings as one stack.
func TestCutByTheRun(t *testing.T) {
	for _, form := range reordertest.Most(t) {
		if _, err := form.Handwork(a4, [][]int{{1}}); err != nil || form.Cut == 1 {
			continue
		}
		stacks := [][]int{{2, 1, 3}, {1}, {2, 2}}
		sizes := slices.Concat(stacks...)
		book, err := reorder.Arrange(a4, form, numbered(11*form.PagesPerSheet()-3), stacks)
		if err != nil {
			if form.Thicknesses(3) > reorder.MostFolded {
				continue
			}
			t.Fatalf("%+v: %v", form, err)
		}
		folded(t, book, sizes)
	}
}

// TestBackToBack is check-value 1.10, derived: of a gathering of one sheet the
// outer side holds the pages p with p mod 4 in {0, 1}, and the panel behind a
// page carries the other page of its leaf {2m-1, 2m}.
func TestBackToBack(t *testing.T) {
	for _, fold := range []reorder.Fold{reorder.Folio, reorder.Quarto, reorder.Octavo, reorder.Sixteenmo} {
		form := reorder.Form{Fold: fold, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft}
		s := arranged(t, a4, form, form.PagesPerSheet(), []int{1}).Sheets()[0]
		behind := map[geom.Point]int{}
		for _, p := range s.Back {
			if m := p.Page % 4; m != 2 && m != 3 {
				t.Errorf("%s: page %d is on the inner side", fold, p.Page)
			}
			c := p.Rect.Centre()
			behind[rounded(geom.Point{X: a4.W - c.X, Y: c.Y})] = p.Page
		}
		for _, p := range s.Front {
			if m := p.Page % 4; m != 0 && m != 1 {
				t.Errorf("%s: page %d is on the outer side", fold, p.Page)
			}
			if back := behind[rounded(p.Rect.Centre())]; (p.Page+1)/2 != (back+1)/2 {
				t.Errorf("%s: page %d lies behind page %d", fold, back, p.Page)
			}
		}
	}
}

func rounded(p geom.Point) geom.Point {
	return geom.Point{X: math.Round(p.X * 100), Y: math.Round(p.Y * 100)}
}

// TestLeavesAndPages is check-value 1.12: folio 2/4, quarto 4/8, octavo 8/16
// (Cockerell 1901, p. 36), four folds 16 leaves (Vaughn 1912, p. 111).
func TestLeavesAndPages(t *testing.T) {
	for fold, want := range map[reorder.Fold][2]int{
		reorder.Folio: {2, 4}, reorder.Quarto: {4, 8}, reorder.Octavo: {8, 16}, reorder.Sixteenmo: {16, 32},
	} {
		form := reorder.Form{Fold: fold, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft}
		book := arranged(t, a4, form, 1, []int{1})
		if book.Leaves() != want[0] || form.PagesPerSheet() != want[1] || len(book.Gatherings[0].Pages) != want[1] {
			t.Errorf("%s has %d leaves and %d pages, want %v", fold, book.Leaves(), form.PagesPerSheet(), want)
		}
	}
}

// TestHeadsInFeedOrientation is the rule for feed orientation: with an even
// number of halvings the heads lie at the sheet's head and rows on their heads
// at its tail; with an odd number they point to x = 0 on the front and to
// x = W on the back for the pages that the published tables show upright.
func TestHeadsInFeedOrientation(t *testing.T) {
	for _, c := range []struct {
		form  reorder.Form
		page1 geom.Towards
		page2 geom.Towards
	}{
		{reorder.Form{Fold: reorder.Folio, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft}, geom.Left, geom.Right},
		{reorder.Form{Fold: reorder.Folio, Cut: 2, Nest: reorder.Inset, Bind: reorder.BindLeft}, geom.Up, geom.Up},
		{reorder.Form{Fold: reorder.Quarto, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft}, geom.Up, geom.Up},
		{reorder.Form{Fold: reorder.Octavo, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft}, geom.Left, geom.Right},
	} {
		s := arranged(t, a4, c.form, 2, []int{1}).Sheets()[0]
		for _, p := range append(append([]reorder.Panel{}, s.Front...), s.Back...) {
			if p.Page == 1 && p.Head != c.page1 || p.Page == 2 && p.Head != c.page2 {
				t.Errorf("%v: the head of page %d points %s", c.form, p.Page, p.Head)
			}
		}
	}
}

// TestSizesAreBalanced holds for every number of sheets and every limit.
func TestSizesAreBalanced(t *testing.T) {
	for sheets := 1; sheets <= 300; sheets++ {
		for most := 1; most <= 12; most++ {
			sizes := reorder.SizesBetween(sheets, 1, most)
			sum, smallest, largest := 0, sizes[0], sizes[0]
			for _, n := range sizes {
				sum += n
				smallest, largest = min(smallest, n), max(largest, n)
			}
			fewest := int(math.Ceil(float64(sheets) / float64(most)))
			if sum != sheets || largest > most || len(sizes) != fewest || largest-smallest > 1 {
				t.Fatalf("%d sheets, at most %d: %v", sheets, most, sizes)
			}
			if sizes[0] < largest || len(sizes) > 2 && smallest < largest && sizes[len(sizes)-1] < largest && count(sizes, largest) > 1 {
				t.Fatalf("%d sheets, at most %d: the smaller gatherings are not in the middle: %v", sheets, most, sizes)
			}
			avoidable := sheets > 1 && most > 2
			if smallest == 1 && avoidable {
				t.Fatalf("%d sheets, at most %d: a lone sheet in %v", sheets, most, sizes)
			}
		}
	}
}

func count(sizes []int, n int) int {
	c := 0
	for _, s := range sizes {
		if s == n {
			c++
		}
	}
	return c
}

// TestNestedFolios is check-value 1.14: sections are made up "by inserting two
// or more sheets, one within the other" (Cockerell 1901, p. 36), and blank
// leaves that complete a section "must be retained" (p. 44).
func TestNestedFolios(t *testing.T) {
	book := arranged(t, a4, reorder.FolioForm, 13, []int{4})
	g := book.Gatherings[0]
	if len(g.Sheets) != 4 || len(g.Pages) != 16 || book.Blanks() != 3 {
		t.Fatalf("13 pages on 4 sheets: %d sheets, %d places, %d blanks", len(g.Sheets), len(g.Pages), book.Blanks())
	}
	for i, s := range g.Sheets {
		for _, p := range append(append([]reorder.Panel{}, s.Front...), s.Back...) {
			if p.Depth != i {
				t.Errorf("sheet %d from outside has a leaf with %d thicknesses outside it", i+1, p.Depth)
			}
		}
	}
}

func TestRuns(t *testing.T) {
	for _, c := range []struct {
		sizes []int
		most  int
		want  string
	}{
		{[]int{4, 4, 3}, 0, "[{1 11 false}]"},
		{[]int{4, 4, 3}, 8, "[{1 8 false} {9 11 false}]"},
		{[]int{4, 4, 3}, 7, "[{1 4 false} {5 11 false}]"},
		{[]int{4, 4, 3}, 4, "[{1 4 false} {5 8 false} {9 11 false}]"},
		{[]int{2, 5, 2}, 4, "[{1 2 false} {3 6 true} {7 7 true} {8 9 false}]"},
		{[]int{3}, 1, "[{1 1 true} {2 2 true} {3 3 true}]"},
	} {
		if got := fmt.Sprint(reorder.Runs(c.sizes, c.most)); got != c.want {
			t.Errorf("gatherings %v in runs of %d: %s, want %s", c.sizes, c.most, got, c.want)
		}
	}
	if got := fmt.Sprint(reorder.RunPerGathering([]int{2, 1})); got != "[{1 2 false} {3 3 false}]" {
		t.Errorf("a run per gathering: %s", got)
	}
}

func TestArrangeRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		sheet geom.Size
		form  reorder.Form
		sizes []int
		want  string
	}{
		"too small":       {a4, reorder.FolioForm, []int{2}, "9 pages need 3 sheets, the gatherings have 2"},
		"empty gathering": {a4, reorder.FolioForm, []int{3, 0}, "a gathering needs at least one sheet, not 0"},
		"not fed upright": {a4.Turn(), reorder.FolioForm, []int{3}, "a sheet of 297 x 210 mm is not in feed orientation"},
		"no form":         {a4, reorder.Form{}, []int{3}, "the fold is not given"},
		"cut in three":    {a4, reorder.Form{Fold: reorder.Folio, Cut: 3}, []int{3}, "a sheet is cut into 1, 2, 4, 8 or 16 pieces, not 3"},
		"nest not given":  {a4, reorder.Form{Fold: reorder.Folio, Cut: 1}, []int{3}, "it is not said whether the pieces are nested inset or together"},
		"spine not given": {a4, reorder.Form{Fold: reorder.Folio, Cut: 1, Nest: reorder.Inset}, []int{3}, "the edge with the spine is not given"},
	} {
		if _, err := reorder.Arrange(c.sheet, c.form, numbered(9), eachAlone(c.sizes)); err == nil || err.Error() != c.want {
			t.Errorf("%s: got %v, want %q", name, err, c.want)
		}
	}
}

// eachAlone is gatherings that are cut one by one.
func eachAlone(sizes []int) (stacks [][]int) {
	for _, n := range sizes {
		stacks = append(stacks, []int{n})
	}
	return stacks
}
