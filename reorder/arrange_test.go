package reorder

import (
	"fmt"
	"slices"
	"testing"
)

func TestFill(t *testing.T) {
	for _, c := range []struct {
		pad    Pad
		pages  int
		places int
		want   string
	}{
		{PadAfter, 3, 8, "[1 2 3 0 0 0 0 0]"},
		{PadBefore, 3, 8, "[0 0 0 0 1 2 3 0]"},
		{PadBefore, 4, 8, "[0 0 0 0 1 2 3 4]"},
		{PadSplit, 3, 8, "[0 0 1 2 3 0 0 0]"},
		{PadSplit, 4, 8, "[0 0 1 2 3 4 0 0]"},
		{PadSplit, 6, 8, "[1 2 3 4 5 6 0 0]"},
		{PadBefore, 8, 8, "[1 2 3 4 5 6 7 8]"},
		{PadBefore, 8, 4, "[1 2 3 4 5 6 7 8]"},
	} {
		if got := fmt.Sprint(Fill(numbered(c.pages), c.places, c.pad)); got != c.want {
			t.Errorf("%s, %d pages on %d places: %s, want %s", c.pad, c.pages, c.places, got, c.want)
		}
	}
	for pages := 1; pages < 40; pages++ {
		for pad := PadAfter; pad <= PadSplit; pad++ {
			got := Fill(numbered(pages), 40, pad)
			if len(got) != 40 || slices.Index(got, 1)%2 != 0 {
				t.Errorf("%s, %d pages: %d places, the first page at place %d", pad, pages, len(got), slices.Index(got, 1)+1)
			}
		}
	}
}

func TestOnSides(t *testing.T) {
	for _, c := range []struct {
		pages          []int
		rectos, versos []int
		want           string
	}{
		{numbered(4), nil, nil, "[1 2 3 4]"},
		{numbered(4), []int{3}, nil, "[1 2 3 4]"},
		{numbered(4), []int{2}, nil, "[1 0 2 3 4]"},
		{numbered(4), []int{2, 3, 4}, nil, "[1 0 2 0 3 0 4]"},
		{numbered(4), nil, []int{1}, "[0 1 2 3 4]"},
		{numbered(4), []int{4}, []int{1}, "[0 1 2 3 4]"},
		{[]int{0, 5, 6}, []int{5}, nil, "[0 0 5 6]"},
	} {
		got := PutOnSides(c.pages, c.rectos, c.versos)
		if fmt.Sprint(got) != c.want {
			t.Errorf("%v, rectos %v, versos %v: %v, want %s", c.pages, c.rectos, c.versos, got, c.want)
		}
		for i, p := range got {
			if p != 0 && (slices.Contains(c.rectos, p) && i%2 != 0 || slices.Contains(c.versos, p) && i%2 != 1) {
				t.Errorf("page %d stands at place %d of %v", p, i+1, got)
			}
		}
	}
}
