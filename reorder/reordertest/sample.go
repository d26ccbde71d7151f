package reordertest

import (
	"iter"
	"testing"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/sample"
)

// Some is forms with their places among all: of every fold the first and the last
// that paper of the given size can have, and a few more that are drawn.
func Some(tb testing.TB, paper geom.Size, few int) iter.Seq2[int, reorder.Form] {
	tb.Helper()
	var all []reorder.Form
	var always []int
	for _, fold := range reorder.Folds() {
		first := len(all)
		for _, form := range Forms() {
			if _, err := form.Handwork(paper, [][]int{{1}}); err == nil && form.Fold == fold {
				all = append(all, form)
			}
		}
		if len(all) == first {
			tb.Fatalf("no form of the fold %s on paper of %v", fold, paper)
		}
		always = append(always, first, len(all)-1)
	}
	return sample.Of(tb, all, few, always...)
}

// Most is every form, but of those that cut a sheet into 8 or 16 pieces only some.
func Most(tb testing.TB) (forms []reorder.Form) {
	tb.Helper()
	var small []reorder.Form
	for _, form := range Forms() {
		if form.Cut <= 4 {
			forms = append(forms, form)
		} else {
			small = append(small, form)
		}
	}
	for _, form := range sample.Of(tb, small, 24, 0, len(small)-1) {
		forms = append(forms, form)
	}
	return forms
}
