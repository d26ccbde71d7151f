package reorder

// Blanks is the number of blank pages in the book.
func (b Book) Blanks() int {
	n := 0
	for _, g := range b.Gatherings {
		for _, p := range g.Pages {
			if p == 0 {
				n++
			}
		}
	}
	return n
}
