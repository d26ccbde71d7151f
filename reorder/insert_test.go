package reorder_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
	"foldwright/reorder/refusal"
	"foldwright/reorder/reordertest"
	"foldwright/reorder/sample"
)

// lying is a mark as it lies on a table, seen from above; one on the lower face as if through glass.
type lying struct {
	label string
	at    geom.Point
	head  geom.Point
}

// laidDown is one sheet of a size as it lies on a table, in whichever way it went through the printer.
func laidDown(t *testing.T, size geom.Size, upper, lower []lying) paper.Pile {
	t.Helper()
	lengthwise := size.W > size.H
	sheet := paper.Sheet{Size: size.Portrait()}
	onSheet := func(m lying) paper.Mark {
		if lengthwise { // it is turned counter-clockwise by a quarter before it lies so
			m.at, m.head = geom.Point{X: m.at.Y, Y: size.W - m.at.X}, geom.Point{X: m.head.Y, Y: -m.head.X}
		}
		return paper.Mark{Label: m.label, At: m.at, Head: m.head}
	}
	for _, m := range upper {
		sheet.Front = append(sheet.Front, onSheet(m))
	}
	for _, m := range lower {
		behind := onSheet(m)
		behind.At.X, behind.Head.X = sheet.Size.W-behind.At.X, -behind.Head.X
		sheet.Back = append(sheet.Back, behind)
	}
	p, err := paper.NewPile([]paper.Sheet{sheet})
	if err != nil {
		t.Fatal(err)
	}
	if lengthwise {
		p = p.Rotate(1)
	}
	return p
}

// through is how the head of a page on the lower face points, seen from above, so that it is upright once its leaf is
// turned about the spine.
func through(spine geom.Towards) geom.Point {
	if spine == geom.Up {
		return geom.Point{Y: -1} // turned end for end
	}
	return geom.Point{Y: 1}
}

// plate is a leaf as it is read, with a label on each side.
func plate(t *testing.T, size geom.Size, spine geom.Towards, recto, verso string) paper.Pile {
	at := size.Rect().Centre()
	return laidDown(t, size, []lying{{recto, at, geom.Point{Y: 1}}}, []lying{{verso, at, through(spine)}})
}

// pair is a sheet of two leaves, folded at the spine and lying as it is read; no labels: it is bare.
func pair(t *testing.T, leaf geom.Size, spine geom.Towards, labels ...string) paper.Pile {
	open, first, second := geom.Size{W: 2 * leaf.W, H: leaf.H}, leaf.Rect().Centre(), leaf.Rect().Centre()
	over, at := reorder.LeftOverRight, leaf.W
	switch spine {
	case geom.Left:
		second.X += leaf.W
	case geom.Right:
		over = reorder.RightOverLeft
		first.X += leaf.W
	case geom.Up:
		over, at, open = reorder.FarOverNear, leaf.H, geom.Size{W: leaf.W, H: 2 * leaf.H}
		first.Y += leaf.H
	}
	var inner, outer []lying
	if len(labels) == 4 {
		up, under := geom.Point{Y: 1}, through(spine)
		inner = []lying{{labels[1], first, up}, {labels[2], second, up}}
		outer = []lying{{labels[0], first, under}, {labels[3], second, under}}
	}
	return laidDown(t, open, inner, outer).Fold(over, at)
}

// gatheringsOf makes a book in the simulator and gives its gatherings as they are read.
func gatheringsOf(t *testing.T, book reorder.Book) (piles []paper.Pile, spine geom.Towards) {
	t.Helper()
	var stack []paper.Sheet
	for _, s := range book.Sheets() {
		stack = append(stack, marked(book.Sheet, s))
	}
	work, err := book.Form.Handwork(book.Sheet, book.Stacks)
	if err != nil {
		t.Fatal(err)
	}
	table, err := paper.NewTable(stack)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range work {
		if p, ok := m.(reorder.Present); ok {
			spine = p.Spine
		}
		if err := table.Do(m); err != nil {
			t.Fatal(err)
		}
	}
	return table.Piles(), spine
}

// TestInsertsReadInOrder is the law of plates: in every form, at every slot of books of several gatherings (or half of the slots, drawn), a plate held
// in each way that the slot takes is read right after the pages before it, upright; its other half lies where
// the slot's partner is; every page of the book is there once, in order; and thread and paste hold them all.
func TestInsertsReadInOrder(t *testing.T) {
	random := sample.Random(t)
	laid, refused := map[reorder.Attach]int{}, 0
	for _, form := range reordertest.Some(t, a4, 4) {
		sizes := []int{2, 1, 3}
		switch s := form.Fold.Scheme(); {
		case s.OneStack:
			sizes = []int{5}
		case s.Alone || form.PagesPerSheet() > 16 || form.Thicknesses(3) > reorder.MostFolded:
			sizes = []int{1, 1}
		}
		sheets := 0
		for _, n := range sizes {
			sheets += n
		}
		book := arranged(t, a4, form, sheets*form.PagesPerSheet(), sizes)
		piles, spine := gatheringsOf(t, book)
		leaf := book.PanelSize()
		all := sheets * form.PagesPerSheet()
		step := 1 + all/96*4 // of large books slots here and there, the first and the last among them
		for before := 0; before <= all; before = max(before+1, min(before+step, all)) {
			if !sample.Full() && before > 0 && before < all && random.IntN(2) > 0 {
				continue
			}
			slot, err := book.SlotAfter(before)
			if form.Fold.Scheme().Strip || form.Copies || before%2 == 1 {
				if refusal.Of(err) != refusal.Plan {
					t.Fatalf("%+v after page %d: %v", form, before, err)
				}
				refused++
				continue
			}
			if err != nil {
				t.Fatalf("%+v after page %d: %v", form, before, err)
			}
			for how := reorder.Tipped; how <= reorder.Guard; how++ {
				bound := slices.Clone(piles)
				at := slot.Gathering - 1
				want := papertest.Labels(numbered(all))
				plates := []string{"P", "Q"}
				later, behind := before, []string(nil)
				switch how {
				case reorder.Tipped:
					bound[at], err = piles[at].TipIn(plate(t, leaf, spine, "P", "Q"), slot.Before, spine)
				case reorder.Wrapped:
					bound[at], err = piles[at].LayRound(pair(t, leaf, spine, "P", "Q", "R", "S"), slot.Before, spine)
					later, behind = before+2*(slot.Partner().Before-slot.Before), []string{"R", "S"}
				case reorder.Guard:
					strip := geom.Size{W: leaf.W / 6, H: leaf.H}
					if spine == geom.Up {
						strip = geom.Size{W: leaf.W, H: leaf.H / 6}
					}
					bound[at], err = piles[at].HangOnGuard(plate(t, leaf, spine, "P", "Q"), pair(t, strip, spine), slot.Before, spine)
				}
				if err == nil && form.Fold.Scheme().Held == reorder.Sewn {
					err = bound[at].CheckBound(spine)
				}
				if taken := slot.Check(how); taken != nil {
					if how == reorder.Tipped || err == nil && !slot.Edges {
						t.Fatalf("%+v, %s: paper takes a %s plate, the plan refuses it: %v", form, slot, how, taken)
					}
					refused++
					continue
				}
				if err != nil {
					t.Fatalf("%+v, %s, %s: %v", form, slot, how, err)
				}
				want = slices.Concat(want[:before], plates, want[before:later], behind, want[later:])
				var faces []paper.Face
				for g, p := range bound {
					for _, f := range p.Pages(spine) {
						f.Gathering = g + 1
						faces = append(faces, f)
					}
				}
				if err := papertest.Check(faces, want); err != nil {
					t.Fatalf("%+v, %s, %s: %v", form, slot, how, err)
				}
				laid[how]++
			}
		}
	}
	t.Logf("laid in %v, refused %d", laid, refused)
	for how := reorder.Tipped; how <= reorder.Guard; how++ {
		if laid[how] < 50 {
			t.Errorf("%s: only %d", how, laid[how])
		}
	}
}

// TestInsertLawCanFail: paper tells a plate in a wrong place, on its head, unheld, beside the thread and too large.
func TestInsertLawCanFail(t *testing.T) {
	book := arranged(t, a4, reorder.FolioForm, 8, []int{2})
	piles, spine := gatheringsOf(t, book)
	leaf := book.PanelSize()
	check := func(p paper.Pile) error {
		return papertest.Check(p.Pages(spine), []string{"1", "2", "P", "Q", "3", "4", "5", "6", "7", "8"})
	}
	good, err := piles[0].TipIn(plate(t, leaf, spine, "P", "Q"), 1, spine)
	if err != nil || check(good) != nil || good.CheckBound(spine) != nil {
		t.Fatal(err, check(good), good.CheckBound(spine))
	}
	wrong, _ := piles[0].TipIn(plate(t, leaf, spine, "P", "Q"), 2, spine)
	turned, _ := piles[0].TipIn(plate(t, leaf, spine, "P", "Q").Rotate(2), 1, spine)
	other, _ := piles[0].TipIn(plate(t, leaf, spine, "Q", "P"), 1, spine)
	for name, p := range map[string]paper.Pile{"wrong place": wrong, "on its head": turned, "wrong side up": other} {
		if check(p) == nil {
			t.Errorf("%s: nobody noticed", name)
		}
	}
	if _, err := piles[0].TipIn(plate(t, geom.Size{W: leaf.W + 1, H: leaf.H}, spine, "P", "Q"), 1, spine); err == nil {
		t.Error("a plate stands out and nobody noticed")
	}
	if _, err := piles[0].LayRound(pair(t, leaf, spine, "P", "Q", "R", "S"), 3, spine); err == nil {
		t.Error("a pair lies inside out")
	}
	if err := plate(t, leaf, spine, "P", "Q").LayOn(piles[0]).CheckBound(spine); err == nil {
		t.Error("a loose leaf is held")
	}
	if err := piles[0].LayOn(piles[0]).CheckBound(spine); err == nil {
		t.Error("thread goes through the folds of two gatherings that lie on each other")
	}
}

// TestSlotsInWords is how a place is named.
func TestSlotsInWords(t *testing.T) {
	book := arranged(t, a4, reorder.FolioForm, 48, []int{4, 4, 4})
	for pages, want := range map[int]string{
		0: "before gathering 1", 4: "between gathering 1's second and third leaf", 16: "between gatherings 1 and 2",
		46: "between gathering 3's seventh and eighth leaf", 48: "after the last leaf of gathering 3",
	} {
		if s, err := book.SlotAfter(pages); err != nil || s.String() != want {
			t.Errorf("after page %d: %s, %v, want %s", pages, s, err, want)
		}
	}
	s, _ := book.SlotAfter(26)
	if err := s.Check(reorder.Wrapped); err == nil || !strings.Contains(refusal.Hint(err).In(nil), "between gathering 2's third and fourth leaf") {
		t.Errorf("%v (%v)", err, refusal.Hint(err))
	}
	if got := s.Round(); got != "round the inner 2 leaves of gathering 2" {
		t.Error(got)
	}
}

// TestFoldOuts is the law of fold-outs: whatever its width, a fold-out folded to and fro lies within the leaf, its folds
// clear of the trim and of the spine; drawn open it is read from the spine on, upright; and from the widest on
// nothing is folded.
func TestFoldOuts(t *testing.T) {
	for _, leaf := range []float64{74, 105, 148, 152.4, 210, 297} {
		for width := 10.0; width < 4*leaf; width += 3.7 {
			f, err := reorder.NewFoldOut(leaf, width)
			if fits := width <= reorder.WidestFoldOut(leaf)+0.05; fits != (err == nil) {
				t.Fatalf("%g mm in %g: %v", width, leaf, err)
			}
			if err != nil {
				continue
			}
			opened(t, leaf, f)
		}
	}
	if w := reorder.WidestFoldOut(148); w < 420 {
		t.Errorf("A3 across an A5 leaf does not fold: %g", w)
	}
}

// opened folds a fold-out in the simulator as it is drawn.
func opened(t *testing.T, leaf float64, f reorder.FoldOut) {
	t.Helper()
	const high = 100.0
	var labels []lying
	from := 0.0
	for i, w := range f.Panels() {
		labels = append(labels, lying{fmt.Sprint(i + 1), geom.Point{X: from + w/2, Y: high / 2}, geom.Point{Y: 1}})
		from += w
	}
	open := laidDown(t, geom.Size{W: f.Width, H: high}, labels, nil)
	var read []string
	seen := open.UppermostMarks()
	slices.SortFunc(seen, func(a, b paper.Mark) int { return int(math.Copysign(1, a.At.X-b.At.X)) })
	for i, m := range seen {
		if read = append(read, m.Label); m.Head.Y < 0.99 || m.Label != fmt.Sprint(i+1) {
			t.Fatalf("%+v: open it reads %v", f, read)
		}
	}
	folded := open
	if len(f.Folds) == 2 {
		folded = folded.FoldUnder(reorder.RightOverLeft, f.Folds[1])
	}
	fore := f.Width
	if len(f.Folds) > 0 {
		folded, fore = folded.Fold(reorder.RightOverLeft, f.Folds[0]), f.Folds[0]
	}
	limit := leaf - reorder.ClearOfTrim
	if len(f.Folds) == 0 {
		limit = leaf
	}
	if got := folded.Size().W; got > limit+0.1 || math.Abs(got-fore) > 1e-6 {
		t.Fatalf("%+v: folded it is %g mm wide in a leaf of %g", f, got, leaf)
	}
	if top := folded.UppermostMarks(); len(f.Folds) == 2 && (len(top) == 0 || top[0].Label != "3" || top[0].Head.Y < 0.99) {
		t.Fatalf("%+v: the third panel is not on top", f)
	}
	for i, w := range f.Panels()[min(1, len(f.Folds)):] {
		if len(f.Folds) > 0 && f.Folds[0]-w < reorder.ClearOfSpine-1e-6 {
			t.Fatalf("%+v: panel %d reaches the spine", f, i+2)
		}
	}
	// It hangs in a gathering of leaves that are trimmed already.
	size := geom.Size{W: leaf, H: high}
	bound, err := pair(t, size, geom.Left, "1", "2", "3", "4").HangOnGuard(folded, pair(t, geom.Size{W: leaf / 10, H: high}, geom.Left), 1, geom.Left)
	if err != nil || bound.CheckBound(geom.Left) != nil {
		t.Fatalf("%+v: %v, %v", f, err, bound.CheckBound(geom.Left))
	}
}
