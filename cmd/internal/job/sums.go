package job

// Sides is the number of sides that the print files hold together.
func (d *Draft) Sides() int {
	n := 0
	for _, f := range d.checkFiles() {
		n += len(f.Images)
	}
	for _, run := range d.Runs {
		for _, f := range run.Files {
			n += len(f.Images)
		}
	}
	return n
}

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
