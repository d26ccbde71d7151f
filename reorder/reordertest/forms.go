// Package reordertest is for tests: the ways of making a book, all of them.
package reordertest

import "foldwright/reorder"

// Forms is every form that a binder can ask for, possible on a given paper or not.
func Forms() []reorder.Form {
	var all []reorder.Form
	for _, fold := range reorder.Folds() {
		for _, cut := range []int{1, 2, 4, 8, 16} {
			for _, nest := range []reorder.Nest{reorder.Inset, reorder.Together} {
				for _, bind := range []reorder.Bind{reorder.BindLeft, reorder.BindRight, reorder.BindTop} {
					for _, leaf := range []reorder.Leaf{0, reorder.Portrait, reorder.Landscape} {
						for _, edge := range []reorder.CutEdge{reorder.AnyEdge, reorder.TailEdge} {
							form := reorder.Form{Fold: fold, Cut: cut, Nest: nest, Bind: bind, Leaf: leaf, CutEdge: edge}
							if fold == reorder.Concertina {
								form.Overlap = 10
							}
							all = append(all, form)
							if form.Copies = true; fold == reorder.Loose {
								all = append(all, form)
							}
						}
					}
				}
			}
		}
	}
	return all
}
