package look

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"foldwright/cmd/internal/plan"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// sideView is a side of a printed sheet, turned so that its pages are upright.
type sideView struct {
	Sheet int // number in the book
	Side  reorder.Side
	picture
	turn   int // quarters, anticlockwise, from the plan's frame
	Labels []label
	Lines  []line
}

// label is a text on a side, in mm from the upper left corner of what is seen.
type label struct {
	Text string
	X, Y float64
	Kind string // blank, or sign with the angle
	Turn float64
}

// line is a line or an area on a side, as an SVG path in mm from the upper left.
type line struct{ Kind, Path string }

// sideOf is what is seen of a side.
func sideOf(d *plan.Draft, s reorder.PlacedSheet, side reorder.Side) sideView {
	panels := s.Sheet.Side(side)
	var count [4]int
	for _, p := range panels {
		if p.Page != 0 {
			count[(4-p.Head.Quarters())%4]++
		}
	}
	if count == [4]int{} {
		for _, p := range panels {
			count[(4-p.Head.Quarters())%4]++
		}
	}
	out := sideView{Sheet: s.Sheet.Number, Side: side, turn: slices.Index(count[:], slices.Max(count[:]))}
	turn := geom.Rotate(out.turn)
	b := turn.Bounds(d.Paper.Size.Rect())
	turn = turn.Then(geom.Translate(-b.X0, -b.Y0))
	out.picture = flatSide(d, s, side).mapBy(turn, b.Size())
	down := turn.Then(geom.Matrix{1, 0, 0, -1, 0, b.Size().H}) // y down, as SVG has it

	for _, p := range slices.SortedFunc(slices.Values(panels), func(p, q reorder.Panel) int {
		a, b := down.Apply(p.Rect.Centre()), down.Apply(q.Rect.Centre())
		return cmp.Or(cmp.Compare(math.Round(a.Y), math.Round(b.Y)), cmp.Compare(a.X, b.X))
	}) {
		at := down.Apply(p.Rect.Centre())
		l := label{Text: "blank", X: at.X, Y: at.Y, Kind: "blank"}
		if p.Page != 0 {
			shown := d.Shown(p.Page)
			l.Text, l.Kind = pageView{Page: shown.Page, Half: shown.Half, Made: madeName(d, shown.Page)}.Name(), "page"
		}
		out.Labels = append(out.Labels, l)
	}
	draw := func(kind string, closed bool, points ...geom.Point) {
		var path strings.Builder
		for i, p := range points {
			p = down.Apply(p)
			fmt.Fprintf(&path, "%c%.2f %.2f", "ML"[min(i, 1)], p.X, p.Y)
		}
		if closed {
			path.WriteByte('Z')
		}
		out.Lines = append(out.Lines, line{kind, path.String()})
	}
	if d.Trim != (reorder.Trim{}) {
		for _, p := range panels {
			t := p.TrimmedRect(d.Trim, d.Options.CreepIn(d.Book))
			draw("trim", true, geom.Point{X: t.X0, Y: t.Y0}, geom.Point{X: t.X1, Y: t.Y0}, geom.Point{X: t.X1, Y: t.Y1}, geom.Point{X: t.X0, Y: t.Y1})
		}
	}
	for _, b := range d.Book.Borders(s.Sheet, side) {
		draw(map[bool]string{true: "cut", false: "fold"}[b.Cut], false, b.From, b.To)
	}
	for _, m := range d.Marks[s.Sheet.Number] {
		switch {
		case m.Side != side:
		case m.Kind == reorder.SignMark:
			at, along := down.Apply(m.Points[0]), down.Direction(m.Along)
			out.Labels = append(out.Labels, label{m.Text, at.X, at.Y, "sign", math.Atan2(along.Y, along.X) * 180 / math.Pi})
		case m.Kind == reorder.StepMark || m.Kind == reorder.HeadMark:
			draw("block", true, m.Points...)
		default:
			draw("mark", false, m.Points...)
		}
	}
	return out
}

// Name says what stands on it, from the left and from the head down.
func (s sideView) Name() string {
	var words []string
	blank := true
	for _, l := range s.Labels {
		if l.Kind != "sign" {
			words = append(words, l.Text)
			blank = blank && l.Kind == "blank"
		}
	}
	switch {
	case blank:
		return "blank"
	case len(words) == 1:
		return "page " + words[0]
	}
	return "pages " + strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// Title is what stands below it.
func (s sideView) Title() string {
	if s.Side == reorder.Back {
		return "Back: " + s.Name()
	}
	return "Front: " + s.Name()
}

// sheetView is a printed sheet.
type sheetView struct {
	Number      int
	Book        string
	Title       string // with its place in its gathering
	Front, Back sideView
	OneSided    bool
}

// sheetsOf is some of the printed sheets, by their places in the stack from 0.
func sheetsOf(d *plan.Draft, book string, from, to int) []sheetView {
	var out []sheetView
	for _, s := range d.Printed[from:min(to, len(d.Printed))] {
		v := sheetView{
			Number: s.Sheet.Number, Book: book, OneSided: !d.Book.Form.IsTwoSided(),
			Front: sideOf(d, s, reorder.Front), Back: sideOf(d, s, reorder.Back),
		}
		v.Title = fmt.Sprintf("Sheet %d, %s", s.Sheet.Number, gatheringsText(d, s.Sheet))
		out = append(out, v)
	}
	return out
}

// gatheringsText says to which gatherings a sheet belongs.
func gatheringsText(d *plan.Draft, s reorder.Sheet) string {
	var numbers []int
	for _, p := range s.Pieces {
		if !slices.Contains(numbers, p.Gathering) {
			numbers = append(numbers, p.Gathering)
		}
	}
	if len(numbers) > 1 {
		words := fmt.Sprint(numbers[0])
		for i, n := range numbers[1:] {
			words += map[bool]string{true: " and ", false: ", "}[i == len(numbers)-2] + fmt.Sprint(n)
		}
		return "cut apart for gatherings " + words
	}
	if d.Book.Form.ByPieces {
		return fmt.Sprintf("gathering %d", numbers[0])
	}
	g := d.Book.Gatherings[numbers[0]-1]
	of := len(g.Sheets)
	if of == 1 {
		return fmt.Sprintf("gathering %d", g.Number)
	}
	return fmt.Sprintf("number %d of %d in gathering %d", s.Number-g.Sheets[0].Number+1, of, g.Number)
}

// TurnedOver says how the sheet, with its front upright, comes to lie with its back upright.
func (s sheetView) TurnedOver() string {
	switch {
	case s.OneSided:
		return "Nothing is printed on the back."
	case (s.Front.turn+s.Back.turn)%4 == 0:
		return "The back is shown after turning the sheet over like the page of a book."
	case (s.Front.turn+s.Back.turn)%4 == 2:
		return "The back is shown after turning the sheet over like the page of a wall calendar."
	}
	return ""
}

// firstSheet is the place in the stack of the first printed sheet that belongs to a gathering.
func firstSheet(d *plan.Draft, gathering int) int {
	return max(0, slices.IndexFunc(d.Printed, func(s reorder.PlacedSheet) bool {
		return slices.ContainsFunc(s.Sheet.Pieces, func(p reorder.Piece) bool { return p.Gathering == gathering })
	}))
}

// Sides are the sides that are printed.
func (s sheetView) Sides() []sideView {
	if s.OneSided {
		return []sideView{s.Front}
	}
	return []sideView{s.Front, s.Back}
}

// Shown is the picture of one of its sides.
func (s sheetView) Shown(side sideView) shown {
	return side.show(s.Book, fmt.Sprintf("side/%d/%s", side.Sheet, side.Side), 480)
}

// IsBlank tells whether nothing of the source stands on it.
func (s sideView) IsBlank() bool { return len(s.Parts) == 0 }

// ViewBox is its size as SVG has it.
func (s sideView) ViewBox() string { return fmt.Sprintf("0 0 %.2f %.2f", s.Size.W, s.Size.H) }
