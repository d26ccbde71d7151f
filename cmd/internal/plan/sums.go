package plan

import (
	"fmt"
	"foldwright/reorder"
)

// PagesPrinted is the number of source pages in the gatherings to be printed.
func (d *Draft) PagesPrinted() int {
	pages, _ := d.count()
	return pages
}

// BlanksPrinted is the number of blank pages among them.
func (d *Draft) BlanksPrinted() int {
	_, blanks := d.count()
	return blanks
}

func (d *Draft) count() (pages, blanks int) {
	for _, g := range d.Gatherings() {
		for _, page := range g.Pages {
			if page == 0 {
				blanks++
			} else {
				pages++
			}
		}
	}
	return pages, blanks
}

// LeafText is the size of a leaf before trimming and, if it is trimmed, after.
func (d *Draft) LeafText() string {
	leaf := d.Book.PanelSize()
	if d.Trim == (reorder.Trim{}) {
		return leaf.String() + " before trimming"
	}
	return fmt.Sprintf("%s, trimmed to %s", leaf, d.Trim.Of(leaf, d.Book.Form.Bind))
}
