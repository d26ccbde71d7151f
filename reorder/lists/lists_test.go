package lists_test

import (
	"slices"
	"strconv"
	"testing"

	"foldwright/reorder/lists"
)

func TestMap(t *testing.T) {
	if got := lists.Map([]int{3, 1, 2}, strconv.Itoa); !slices.Equal(got, []string{"3", "1", "2"}) {
		t.Errorf("the numbers as texts are %q", got)
	}
	if got := lists.Map([]int{}, strconv.Itoa); got != nil {
		t.Errorf("of nothing %q is made", got)
	}
}

func TestReverseIf(t *testing.T) {
	list := []int{3, 1, 2}
	for condition, want := range map[bool][]int{true: {2, 1, 3}, false: {3, 1, 2}} {
		got := lists.ReverseIf(list, condition)
		if !slices.Equal(got, want) {
			t.Errorf("%t: %v", condition, got)
		}
		if got[0] = 9; list[0] != 3 {
			t.Fatal("it is no copy")
		}
	}
}
