package job

import "fmt"

// Sides is the number of sides that the print files hold together.
func (d *Draft) Sides() int {
	n := 0
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

// Between these lies the thickness in mm of a leaf of office paper: 80 g/m2
// writing paper has about 0.10 mm (paper merchants' figure, "guide only").
const (
	thinLeaf  = 0.09
	thickLeaf = 0.11
)

// Thickness says how thick the printed leaves are together, which is an
// estimate before the paper is measured.
func (d *Draft) Thickness() string {
	leaves := 0
	for _, g := range d.Gatherings() {
		leaves += len(g.Pages) / 2
	}
	return fmt.Sprintf("%d leaves, about %.1f to %.1f mm of office paper, without the thread",
		leaves, float64(leaves)*thinLeaf, float64(leaves)*thickLeaf)
}
