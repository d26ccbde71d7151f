package sample

import (
	"maps"
	"slices"
	"strconv"
	"testing"
)

func chosen(t *testing.T, few int, always ...int) []int {
	t.Helper()
	all := make([]int, 100)
	for i := range all {
		all[i] = 1000 + i
	}
	var places []int
	for at, value := range Of(t, all, few, always...) {
		if value != 1000+at {
			t.Fatalf("case %d is %d", at, value)
		}
		places = append(places, at)
	}
	if !slices.IsSorted(places) || len(slices.Compact(slices.Clone(places))) != len(places) {
		t.Fatalf("not each case once and in order: %v", places)
	}
	return places
}

func TestSamplesHoldWhatIsAlwaysTried(t *testing.T) {
	t.Setenv(FullVariable, "")
	want := 12
	if testing.Short() {
		want = 2
	}
	got := chosen(t, 10, 99, 0)
	if len(got) != want || got[0] != 0 || got[len(got)-1] != 99 {
		t.Errorf("%v", got)
	}
	t.Setenv(FullVariable, "1")
	if got := chosen(t, 10, 5); len(got) != 100 {
		t.Errorf("%d cases of 100", len(got))
	}
}

// A sample is another one in each test, and the same one when it is drawn again.
func TestSamplesAreDrawnAgainByTheirSeed(t *testing.T) {
	if testing.Short() {
		t.Skip("a short run draws nothing")
	}
	t.Setenv(FullVariable, "")
	seen := map[string]bool{}
	for i := range 5 {
		t.Run(strconv.Itoa(i), func(t *testing.T) {
			once := chosen(t, 10, 0)
			if again := chosen(t, 10, 0); !slices.Equal(once, again) {
				t.Errorf("drawn %v, then %v", once, again)
			}
			for _, at := range once {
				seen[strconv.Itoa(at)] = true
			}
		})
	}
	if len(seen) < 15 {
		t.Errorf("five tests drew %v", slices.Sorted(maps.Keys(seen)))
	}
}
