package reorder

import "fmt"

// CapacityError says that gatherings of given sizes cannot hold the pages.
type CapacityError struct {
	Pages  int // pages to be placed
	Sheets int // printed sheets in the gatherings
	Needed int // printed sheets that the pages need
}

func (e *CapacityError) Error() string {
	return fmt.Sprintf("%s need %s, the gatherings have %d", Count(e.Pages, "page"), Count(e.Needed, "sheet"), e.Sheets)
}

// Arrange puts pages, in reading order, on gatherings of the given sizes
// (printed sheets each). A page 0 is a blank; blanks are also added after the
// last page until the gatherings are full. It refuses sheets that are not in
// feed orientation, impossible forms with a [*FormError], and gatherings that
// are too small with a [*CapacityError].
func Arrange(sheet Size, form Form, pages []int, sizes []int) (Book, error) {
	if err := form.Check(); err != nil {
		return Book{}, err
	}
	if sheet.W <= 0 || sheet.W > sheet.H {
		return Book{}, &FormError{fmt.Sprintf("a sheet of %s is not in feed orientation", sheet)}
	}
	total := 0
	for _, n := range sizes {
		if n < 1 {
			return Book{}, &FormError{fmt.Sprintf("a gathering has at least one sheet, not %d", n)}
		}
		total += n
	}
	if needed := SheetsFor(len(pages), form); total < needed {
		return Book{}, &CapacityError{len(pages), total, needed}
	}
	book := Book{Sheet: sheet, Form: form}
	layouts := map[int][]Sheet{}
	number := 0
	for i, n := range sizes {
		if layouts[n] == nil {
			layouts[n] = layout(sheet, form, n)
		}
		g := Gathering{Number: i + 1, Pages: make([]int, n*form.PagesPerSheet())}
		pages = pages[copy(g.Pages, pages):]
		for _, s := range layouts[n] {
			number++
			s.Gathering, s.Number = g.Number, number
			s.Front, s.Back = g.fill(s.Front), g.fill(s.Back)
			g.Sheets = append(g.Sheets, s)
		}
		book.Gatherings = append(book.Gatherings, g)
	}
	return book, nil
}

// fill writes the gathering's pages onto a copy of the panels.
func (g Gathering) fill(panels []Panel) []Panel {
	filled := make([]Panel, len(panels))
	for i, p := range panels {
		p.Page = g.Pages[p.Place-1]
		filled[i] = p
	}
	return filled
}

// Sheets is every printed sheet of the book in the order of the finished
// stack, from the top down.
func (b Book) Sheets() []Sheet {
	var all []Sheet
	for _, g := range b.Gatherings {
		all = append(all, g.Sheets...)
	}
	return all
}

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

// Leaves is the number of leaves in the book.
func (b Book) Leaves() int {
	n := 0
	for _, g := range b.Gatherings {
		n += len(g.Pages) / 2
	}
	return n
}

// PanelSize is the size of a page's panel as the page is read: its width and
// height with the head up, in millimetres.
func (b Book) PanelSize() Size {
	for _, g := range b.Gatherings {
		for _, s := range g.Sheets {
			for _, p := range append(s.Front, s.Back...) {
				return p.reading()
			}
		}
	}
	return Size{}
}

// reading is the panel's size with the page's head up.
func (p Panel) reading() Size {
	if p.Head == Left || p.Head == Right {
		return p.Rect.Size().Turned()
	}
	return p.Rect.Size()
}

// Count writes a number with its noun: "1 sheet", "3 sheets".
func Count(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}
