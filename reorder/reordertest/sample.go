package reordertest

import (
	"iter"
	"slices"
	"sync"
	"testing"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/sample"
)

// possible is the forms that paper of a size can have.
var possible sync.Map

// Some is forms with their places among all: of every fold the first and the last
// that paper of the given size can have, and a few more that are drawn.
func Some(tb testing.TB, paper geom.Size, few int) iter.Seq2[int, reorder.Form] {
	tb.Helper()
	had, _ := possible.LoadOrStore(paper, sync.OnceValue(func() []reorder.Form {
		return slices.DeleteFunc(Forms(), func(form reorder.Form) bool {
			_, err := form.Handwork(paper, [][]int{{1}})
			return err != nil
		})
	}))
	all := had.(func() []reorder.Form)()
	var always []int
	for _, fold := range reorder.Folds() { // in whose order the forms are
		first := slices.IndexFunc(all, func(form reorder.Form) bool { return form.Fold == fold })
		if first < 0 {
			tb.Fatalf("no form of the fold %s on paper of %v", fold, paper)
		}
		last := first
		for last+1 < len(all) && all[last+1].Fold == fold {
			last++
		}
		always = append(always, first, last)
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
