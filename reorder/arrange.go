package reorder

import (
	"fmt"
	"slices"

	"foldwright/reorder/enum"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// Arrange puts pages, in reading order, on gatherings. stacks is what is cut as
// one: the sizes of the gatherings in it, whose pieces are
// counted off only after cutting. A page 0 is a blank; blanks are also added after
// the last page until the gatherings are full. It refuses sheets that are not in
// feed orientation, impossible forms, and gatherings that are too small.
func Arrange(sheet geom.Size, form Form, pages []int, stacks [][]int) (Book, error) {
	if sheet.W <= 0 || sheet.W > sheet.H {
		return Book{}, refusal.Plan.New("a sheet of %s is not in feed orientation", sheet)
	}
	work, err := form.Handwork(sheet, stacks)
	if err != nil {
		return Book{}, err
	}
	laid := layOut(sheet, form, work)
	sizes, shares := slices.Concat(stacks...), slices.Concat(lists.Map(stacks, form.Shares)...)
	has := 0
	for _, n := range sizes {
		has += n
	}
	if needed := form.SizeFor(len(pages)); has < needed {
		return Book{}, refusal.Plan.New("%s need %s, the gatherings have %d", Count(len(pages), "page"), Count(needed, form.counted()), has)
	}
	book := Book{Sheet: sheet, Form: form, Stacks: stacks}
	number := 0
	for i, n := range shares {
		g := Gathering{Number: i + 1, Pages: make([]int, form.PagesOf(sizes[i])), Sheets: laid[number : number+n : number+n]}
		pages = pages[copy(g.Pages, pages):]
		for k := range g.Sheets {
			number++
			g.Sheets[k].Gathering, g.Sheets[k].Number = g.Number, number
		}
		book.Gatherings = append(book.Gatherings, g)
	}
	for _, s := range laid {
		for _, side := range [][]Panel{s.Front, s.Back} {
			for i, p := range side {
				side[i].Page = book.Gatherings[s.Pieces[p.Piece-1].Gathering-1].Pages[p.Place-1]
			}
		}
	}
	return book, nil
}

// Sheets is every printed sheet of the book in the order of the finished
// stack, from the top down.
func (b Book) Sheets() []Sheet {
	return slices.Concat(lists.Map(b.Gatherings, func(g Gathering) []Sheet { return g.Sheets })...)
}

// Leaves is the number of leaves in the book.
func (b Book) Leaves() int {
	n := 0
	for _, g := range b.Gatherings {
		n += (len(g.Pages) + 1) / 2
	}
	return n
}

// PlacesBefore is how many places of the book come before each gathering, by its number.
func (b Book) PlacesBefore() map[int]int {
	before, next := map[int]int{}, 0
	for _, g := range b.Gatherings {
		before[g.Number] = next
		next += len(g.Pages)
	}
	return before
}

// PanelSize is the size of a page's panel as the page is read: its width and
// height with the head up, in millimetres.
func (b Book) PanelSize() geom.Size {
	for _, s := range b.Sheets() {
		for _, p := range slices.Concat(s.Front, s.Back) {
			return p.readingSize()
		}
	}
	return geom.Size{}
}

// readingSize is the panel's size with the page's head up.
func (p Panel) readingSize() geom.Size {
	if p.Head == geom.Left || p.Head == geom.Right {
		return p.Rect.Size().Turn()
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

// Pad is where the blanks stand that fill the last gathering.
type Pad = enum.Value[padWords]

const (
	PadAfter  Pad = iota + 1 // after the last page
	PadBefore                // before the first
	PadSplit                 // half before, half after
)

type padWords struct{}

func (padWords) Words() enum.Words { return enum.New("pad", "after", "before", "split") }

// Fill adds blanks until the pages fill so many places; pad says where. Before the pages
// stands an even number of them, so that no recto becomes a verso: an odd one
// stands after.
func Fill(pages []int, places int, pad Pad) []int {
	blanks := max(0, places-len(pages))
	before := 0
	switch pad {
	case PadBefore:
		before = blanks / 2 * 2
	case PadSplit:
		before = blanks / 4 * 2
	}
	out := make([]int, before, len(pages)+blanks)
	out = append(out, pages...)
	return append(out, make([]int, blanks-before)...)
}

// PutOnSides puts a blank before each page that shall be a recto, or a verso, and
// would be the other: the first place of a book is a recto. Pages are named by
// their numbers, blanks are 0.
func PutOnSides(pages []int, rectos, versos []int) []int {
	var out []int
	for _, page := range pages {
		recto := len(out)%2 == 0
		if page != 0 && (recto && slices.Contains(versos, page) || !recto && slices.Contains(rectos, page)) {
			out = append(out, 0)
		}
		out = append(out, page)
	}
	return out
}
