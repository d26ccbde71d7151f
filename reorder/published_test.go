package reorder

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"

	"foldwright/reorder/geom"
)

// paperView writes one side as the handbooks print it: the bottom row upright,
// rows from the top separated by " | ", a slash before a row on its head.
func paperView(sheet geom.Size, panels []Panel, sideways int) string {
	type cell struct {
		at   geom.Point
		head geom.Towards
		page int
	}
	var cells []cell
	turn := geom.Rotate(sideways)
	for _, p := range panels {
		up := turn.Direction(map[geom.Towards]geom.Point{geom.Up: {X: 0, Y: 1}, geom.Left: {X: -1, Y: 0}, geom.Down: {X: 0, Y: -1}, geom.Right: {X: 1, Y: 0}}[p.Head])
		cells = append(cells, cell{turn.Apply(p.Rect.Centre()), geom.TowardsOf(up), p.Page})
	}
	slices.SortFunc(cells, func(a, b cell) int {
		if d := b.at.Y - a.at.Y; d > 1 || d < -1 {
			return cmp.Compare(b.at.Y, a.at.Y)
		}
		return cmp.Compare(a.at.X, b.at.X)
	})
	var out strings.Builder
	for i, c := range cells {
		switch {
		case i > 0 && cells[i-1].at.Y-c.at.Y > 1:
			out.WriteString(" | ")
		case i > 0:
			out.WriteString(" ")
		}
		rowStart := i == 0 || cells[i-1].at.Y-c.at.Y > 1
		switch {
		case c.head == geom.Down && rowStart:
			out.WriteString("/")
		case c.head != geom.Up && c.head != geom.Down:
			out.WriteString("?")
		case i > 0 && !rowStart && cells[i-1].head != c.head:
			out.WriteString("!")
		}
		fmt.Fprint(&out, c.page)
	}
	return out.String()
}

func numbered(n int) []int {
	pages := make([]int, n)
	for i := range pages {
		pages[i] = i + 1
	}
	return pages
}

// views arranges a single gathering of n pages on A4 and writes its sides.
func views(t *testing.T, form Form, pages, sheets int) []string {
	t.Helper()
	a4 := geom.Size{W: 210, H: 297}
	book, err := Arrange(a4, form, numbered(pages), [][]int{{sheets}})
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, s := range book.Sheets() {
		front, back := 0, 0
		if (len(form.Fold.Scheme().Creases)+form.Cut/2)%2 == 1 && form.Fold != Duodecimo {
			front, back = 3, 1 // heads at x = 0 on the front, at x = W on the back
		}
		out = append(out, paperView(a4, s.Front, front), paperView(a4, s.Back, back))
	}
	return out
}

func TestPublishedPageOrders(t *testing.T) {
	folio := FolioForm
	quarto := Form{Fold: Quarto, Cut: 1, Nest: Inset, Bind: BindLeft}
	octavo := Form{Fold: Octavo, Cut: 1, Nest: Inset, Bind: BindLeft}
	duodecimo := Form{Fold: Duodecimo, Cut: 1, Nest: Inset, Bind: BindLeft}
	for _, c := range []struct {
		source        string
		form          Form
		pages, sheets int
		want          []string
	}{
		{"Cowie's Printer's Pocket-book and Manual, p. 31: a sheet of folio", folio, 4, 1,
			[]string{"4 1", "2 3"}},
		{"Cowie's Printer's Pocket-book and Manual, p. 31: two sheets of folio, nested", folio, 8, 2,
			[]string{"8 1", "2 7", "6 3", "4 5"}},
		{"derived from Cowie, p. 31: nested folios, n-2k+2 | 2k-1 and 2k | n-2k+1", folio, 16, 4,
			[]string{"16 1", "2 15", "14 3", "4 13", "12 5", "6 11", "10 7", "8 9"}},
		{"S. J. Vaughn, Printing and Bookbinding for Schools, 1912, Fig. 25: a quarto", quarto, 8, 1,
			[]string{"/5 4 | 8 1", "/3 6 | 2 7"}},
		{"Douglas Cockerell, Bookbinding, and the Care of Books, 1901, Fig. 3: an octavo", octavo, 16, 1,
			[]string{"/5 12 9 8 | 4 13 16 1", "/7 10 11 6 | 2 15 14 3"}},
		{"Cockerell 1901, Fig. 4: a duodecimo with its inset", duodecimo, 24, 1,
			[]string{"/9 16 13 12 | /5 20 17 8 | 4 21 24 1", "/11 14 15 10 | /7 18 19 6 | 2 23 22 3"}},
	} {
		if got := views(t, c.form, c.pages, c.sheets); !slices.Equal(got, c.want) {
			t.Errorf("%s:\n got %q\nwant %q", c.source, got, c.want)
		}
	}
}

// "The sum of the page numbers of any pair is always one greater than the
// whole number of pages": Vaughn 1912, p. 37; Savage, A Dictionary of the Art
// of Printing, 1841, p. 329, for folio to sixteens.
func TestSumRule(t *testing.T) {
	for _, fold := range []Fold{Folio, Quarto, Octavo, Sixteenmo} {
		form := Form{Fold: fold, Cut: 1, Nest: Inset, Bind: BindLeft}
		n := form.PagesPerSheet()
		book, err := Arrange(geom.Size{W: 210, H: 297}, form, numbered(n), [][]int{{1}})
		if err != nil {
			t.Fatal(err)
		}
		for _, side := range []Side{Front, Back} {
			panels := book.Sheets()[0].Side(side)
			for _, p := range panels {
				for _, q := range panels {
					beside := p.Page != q.Page && p.Head == q.Head && touching(p, q)
					if beside && p.Page+q.Page != n+1 {
						t.Errorf("%s: %d and %d meet at the spine and make %d, not %d", fold, p.Page, q.Page, p.Page+q.Page, n+1)
					}
				}
			}
		}
	}
	// Cowie, p. 31: 32 pages in 8 sheets of folio.
	got := views(t, FolioForm, 32, 8)
	for i, want := range map[int]string{0: "32 1", 13: "14 19", 11: "12 21"} {
		if got[i] != want {
			t.Errorf("side %d of 8 folios is %q, want %q", i, got[i], want)
		}
	}
}

// touching tells whether two panels share the edge at which both have their spine.
func touching(p, q Panel) bool {
	edge := func(p Panel) geom.Point {
		c := p.Rect.Centre()
		switch p.Spine {
		case geom.Up:
			return geom.Point{X: c.X, Y: p.Rect.Y1}
		case geom.Down:
			return geom.Point{X: c.X, Y: p.Rect.Y0}
		case geom.Left:
			return geom.Point{X: p.Rect.X0, Y: c.Y}
		}
		return geom.Point{X: p.Rect.X1, Y: c.Y}
	}
	a, b := edge(p), edge(q)
	return (a.X-b.X)*(a.X-b.X)+(a.Y-b.Y)*(a.Y-b.Y) < 1
}
