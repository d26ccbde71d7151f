package printertest

import (
	"testing"

	"foldwright/printer"
	"foldwright/printer/virtual"
)

// A sample of printers has all that a fact can be, at the worst with -short.
func TestSamplesHaveEveryFact(t *testing.T) {
	all := virtual.All()
	different := Different(all)
	if len(different) != 12 {
		t.Errorf("%d different sets of files", len(different))
	}
	want, got := map[any]bool{}, map[any]bool{}
	note := func(in map[any]bool, f printer.Facts) {
		for _, fact := range []any{f.TwoSided, f.Lands, f.Stacks, f.Sends, f.FlipEdge, f.FeedFace, f.FeedFrom, f.Reload} {
			in[fact] = true
		}
	}
	for _, f := range all {
		note(want, f)
	}
	for _, at := range different {
		note(got, all[at])
	}
	if len(got) != len(want) {
		t.Errorf("the sample has %v, there are %v", got, want)
	}
}
