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
