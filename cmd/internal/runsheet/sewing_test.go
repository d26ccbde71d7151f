package runsheet

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/reorder"
)

// TestSewingHoldsEveryFold follows the needle through books of every built-in structure: it
// goes in and out by turns, ends outside, and leaves thread along every stretch of every fold.
func TestSewingHoldsEveryFold(t *testing.T) {
	folds := 0
	for _, name := range structure.Names() {
		b := bench(name, binding.MM, reorder.Trim{})
		if b.Structure.Sewn == binding.Side {
			continue
		}
		s := Sewn{Sheet: b, Gatherings: 4}
		holes := len(b.Stations.Holes)
		gatherings := 4
		if b.Structure.Sewn == binding.OneFold {
			gatherings = 1
		}
		way := s.Sheet.Way(gatherings)
		held := map[[2]int]bool{} // gathering, and the hole at the head of the stretch
		for i, w := range way {
			if w.In != (i%2 == 0) {
				t.Fatalf("%s: stitch %d goes the wrong way: %v", name, i+1, way)
			}
			if i == 0 {
				continue
			}
			from := way[i-1]
			switch {
			case from.Gathering != w.Gathering:
				if from.In || from.Hole != w.Hole || w.Gathering != from.Gathering+1 {
					t.Errorf("%s: from %v to %v", name, from, w)
				}
			default:
				for h := min(from.Hole, w.Hole); h < max(from.Hole, w.Hole); h++ {
					held[[2]int{w.Gathering, h}] = true
				}
			}
			outside := !from.In && from.Gathering == w.Gathering
			a, c := b.Stations.Holes[from.Hole-1], b.Stations.Holes[w.Hole-1]
			if over := a.Support > 0 && a.Support == c.Support; b.Structure.Support != binding.NoSupport && outside != over && from.Gathering == w.Gathering {
				t.Errorf("%s: between %v and %v the thread lies outside: %v", name, from, w, outside)
			}
		}
		if way[len(way)-1].In {
			t.Errorf("%s: the thread ends inside", name)
		}
		for g := 1; g <= gatherings; g++ {
			for h := 1; h < holes; h++ {
				folds++
				if !held[[2]int{g, h}] {
					t.Errorf("%s: gathering %d is loose between holes %d and %d", name, g, h, h+1)
				}
			}
		}
	}
	if folds < 20 {
		t.Errorf("only %d stretches", folds)
	}
}

var needleWords = regexp.MustCompile(`(?i)(in|out) at hole (\d+)`)

// TestSewingIsToldAsItIsDrawn compares the words of each row with its stitches.
func TestSewingIsToldAsItIsDrawn(t *testing.T) {
	for _, name := range []string{"case", "cords", "flat-back", "french-link", "link-stitch", "long-stitch", "pamphlet"} {
		for number := 1; number <= 2; number++ {
			r := SewRow{Sewn{Sheet: bench(name, binding.MM, reorder.Trim{}), Gatherings: 3}, number}
			if number == 2 && name == "pamphlet" {
				continue
			}
			way, before := r.stitches()
			var want []string
			for _, w := range way[before:] {
				word := "out"
				if w.In {
					word = "in"
				}
				want = append(want, fmt.Sprint(word, " ", w.Hole))
			}
			var got []string
			for _, m := range needleWords.FindAllStringSubmatch(r.Text().List[0].String(), -1) {
				got = append(got, strings.ToLower(m[1])+" "+m[2])
			}
			if !slices.Equal(got, want) || len(want) < 3 {
				t.Errorf("%s, row %d: told %v, drawn %v", name, number, got, want)
			}
		}
	}
}

// TestSideIsHeldAboveAndBelow follows the needle through the side of a book.
func TestSideIsHeldAboveAndBelow(t *testing.T) {
	for holes := 3; holes <= 9; holes++ {
		order := sideWay(holes)
		above, below := map[int]bool{}, map[int]bool{}
		for i := range order {
			from, to := order[i], 2 // at last to where it began
			if i+1 < len(order) {
				to = order[i+1]
			}
			lies := above // the needle went up at the first
			if i%2 == 1 {
				lies = below
			}
			for h := min(from, to); h < max(from, to); h++ {
				lies[h] = true
			}
		}
		if len(order)%2 != 0 {
			t.Errorf("%d holes: the thread ends above: %v", holes, order)
		}
		if len(above) != holes-1 || len(below) != holes-1 {
			t.Errorf("%d holes: held above at %v, below at %v: %v", holes, above, below, order)
		}
	}
}

// TestSewnBookReadsInOrder lays the gatherings on each other as the words say and reads them
// from the front of the book.
func TestSewnBookReadsInOrder(t *testing.T) {
	for bind, lastFirst := range map[reorder.Bind]bool{reorder.BindLeft: true, reorder.BindRight: false, reorder.BindTop: false} {
		r := SewRow{Sewn{Sheet: bench("case", binding.MM, reorder.Trim{}), Gatherings: 3, Bind: bind}, 1}
		first := r.Text().Lead.String()
		r.Number = 2
		second := r.Text().Lead.String()
		pile := []int{1, 2, 3} // from the table up
		if strings.Contains(first, "the last gathering") && strings.Contains(second, "the one before it") {
			slices.Reverse(pile)
		}
		up := strings.Contains(first, "first page up") && strings.Contains(second, "first page up")
		if up { // the front of the book is above
			slices.Reverse(pile)
		}
		if !slices.Equal(pile, []int{1, 2, 3}) || up != lastFirst {
			t.Errorf("bound at the %s it reads %v: %q, %q", bind, pile, first, second)
		}
	}
}
