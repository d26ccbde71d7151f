package benchsheet

import (
	"fmt"
	"math"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/binding"
)

var unitWord = map[binding.Units]string{binding.MM: "millimetres", binding.Inches: "inches"}

// sums is the boxes for what is measured, and the sums that follow from them.
func (f *flow) sums() {
	s, leaf := f.Sheet.Structure, f.Sheet.Book.Leaf
	f.heading("Measure the sewn and pressed block, and write it down, in " + unitWord[f.Units])
	flat := s.Back == binding.Flat
	back := "C  back, over its curve"
	if flat {
		back = "C  back, across"
	}
	f.measured("A  height of the leaves", binding.Exactly(leaf.H))
	f.measured("B  width of the leaves, from the back", binding.Exactly(leaf.W))
	f.measured(back, f.Sheet.BackOver)
	f.measured("D  thickness of the board", f.Sheet.Board)
	f.heading("Then reckon")
	part := func(v binding.Length, times float64) string {
		return f.Units.Bare(binding.Exactly(float64(v) * times))
	}
	width, spine := "E  board, width = B + "+part(s.Square, 1), "C"
	if s.Joint > 0 {
		width = fmt.Sprintf("E  board, width = B - %s joint + %s square", part(s.Joint, 1), part(s.Square, 1))
	}
	if flat {
		spine = "C + 2 D"
	}
	f.sum(width)
	f.sum(fmt.Sprintf("F  board, height = A + %s, two squares", part(s.Square, 2)))
	if s.Cover == binding.Case {
		f.sum("G  spine strip, width = " + spine + "; as high as the boards")
	}
	cloth := fmt.Sprintf("H  cover, width = 2 E + %s + %s, the turn-ins", spine, part(s.TurnIn, 2))
	if s.Joint > 0 {
		cloth = fmt.Sprintf("H  cover, width = 2 E + %s + %s, two joints and the turn-ins", spine, f.Units.Bare(binding.Exactly(2*float64(s.Joint)+2*float64(s.TurnIn))))
	}
	f.sum(cloth)
	f.sum(fmt.Sprintf("I  cover, height = F + %s, the turn-ins", part(s.TurnIn, 2)))
}

// boxAt is where boxes begin, as a share of the line.
const boxAt = 0.62

// measured is a box to be filled in, with what was measured or is expected beside it.
func (f *flow) measured(name string, expected binding.Range) {
	f.sum(name)
	word := "expected "
	if expected.Exact() && f.Sheet.Firm {
		word = "reckoned with "
	}
	f.say(margin+(f.right()-margin)*boxAt+30, f.y+6, small, word+f.Units.Length(expected))
}

// sum is a line with a box at its end.
func (f *flow) sum(name string) {
	f.need(8)
	f.y -= 1.5
	x := margin + (f.right()-margin)*boxAt
	f.say(margin, f.y, usual, name)
	f.Rect(reorder.Rect{X0: x, Y0: f.y - 1.8, X1: x + 27, Y1: f.y + 4.2}, pdf.Pen{Width: thin})
	f.y -= 7.5 - 1.5
}

// coverDrawing is the cover from within with its boards, to scale.
func (f *flow) coverDrawing() {
	s := f.Sheet
	w, h := s.ClothW.Middle(), s.ClothH.Middle()
	const room = 74.0
	scale := min((f.right()-margin-34)/w, (room-16)/h)
	f.need(room + 10)
	f.heading("The cover from within; the letters are those above, the arrows are the grain")
	x0, y1 := (f.Paper.W-w*scale)/2, f.y-6
	x := func(v float64) float64 { return x0 + v*scale }
	y := func(v float64) float64 { return y1 - v*scale }
	turn, bw, bh := float64(s.Structure.TurnIn), s.BoardW.Middle(), s.BoardH.Middle()
	// A corner is cut off slantwise, a board's thickness from the corner of the board.
	cut := 2*turn - math.Sqrt2*s.Board.Middle()
	f.Polygon([]reorder.Point{
		pt(x(cut), y(0)), pt(x(w-cut), y(0)), pt(x(w), y(cut)), pt(x(w), y(h-cut)),
		pt(x(w-cut), y(h)), pt(x(cut), y(h)), pt(x(0), y(h-cut)), pt(x(0), y(cut)),
	}, pdf.Pen{Width: thin})
	f.grain(x(turn/2), y(h/2)+9, y(h/2)-9)
	piece := func(from, to float64, name, size string) {
		r := reorder.Rect{X0: x(from), Y0: y(turn + bh), X1: x(to), Y1: y(turn)}
		f.FillRect(r, 0.9)
		f.Rect(r, pdf.Pen{Width: bold})
		m := (r.X0 + r.X1) / 2
		if r.X1-r.X0 > 25 {
			f.middle(m, (r.Y0+r.Y1)/2+12, usual, name)
			f.middle(m, (r.Y0+r.Y1)/2-15, small, size)
			f.grain(m, (r.Y0+r.Y1)/2+9, (r.Y0+r.Y1)/2-9)
			return
		}
		f.grain(m, (r.Y0+r.Y1)/2+9, (r.Y0+r.Y1)/2-9)
	}
	size := f.Units.Bare(s.BoardW) + " x " + f.Units.Bare(s.BoardH)
	piece(turn, turn+bw, "board", size)
	piece(w-turn-bw, w-turn, "board", size)
	if s.Structure.Cover == binding.Case {
		from := turn + bw + float64(s.Structure.Joint)
		piece(from, w-from, "", "")
		f.middle(x(w/2), y(turn+bh)-3.6, small, "G")
	}
	f.across(x(turn), x(turn+bw), y(h)-3, "E")
	f.across(x(0), x(w), y1+3, "H  "+f.Units.Length(s.ClothW))
	f.down(x(w)+4, y(0), y(h), "I  "+f.Units.Length(s.ClothH))
	f.down(x(0)-4, y(turn), y(turn+bh), "F")
	f.y = y(h) - 9
	f.y = f.paragraph(margin, f.y, small, f.right()-margin,
		"Corners are cut off about a board's thickness from the corner of the board. The grain of every piece, boards, cover, spine strip, linings and end-papers, runs from head to tail.") - 1
}

// grain is an arrow with two heads.
func (f *flow) grain(x, top, bottom float64) {
	f.line(x, top, x, bottom, thin)
	f.FillPolygon([]reorder.Point{pt(x, top), pt(x-1, top-2.4), pt(x+1, top-2.4)}, 0)
	f.FillPolygon([]reorder.Point{pt(x, bottom), pt(x-1, bottom+2.4), pt(x+1, bottom+2.4)}, 0)
}

// across and down are dimension lines.
func (f *flow) across(x0, x1, y float64, text string) {
	f.line(x0, y, x1, y, hair)
	f.line(x0, y-1.2, x0, y+1.2, hair)
	f.line(x1, y-1.2, x1, y+1.2, hair)
	f.label((x0+x1)/2, y, text, 0)
}

func (f *flow) down(x, y0, y1 float64, text string) {
	f.line(x, y0, x, y1, hair)
	f.line(x-1.2, y0, x+1.2, y0, hair)
	f.line(x-1.2, y1, x+1.2, y1, hair)
	f.label(x, (y0+y1)/2, text, 90)
}

// label stands in the middle of a line, which is broken for it.
func (f *flow) label(x, y float64, text string, angle float64) {
	half := pdf.TextWidth(text, pdf.Helvetica, small)/2 + 1
	r := reorder.Rect{X0: x - half, Y0: y - 1.3, X1: x + half, Y1: y + 1.3}
	at := pt(x, y-small*0.35)
	if angle != 0 {
		r = reorder.Rect{X0: x - 1.3, Y0: y - half, X1: x + 1.3, Y1: y + half}
		at = pt(x+small*0.35, y)
	}
	f.FillRect(r, 1)
	f.Text(at, pdf.Text{Text: text, Font: pdf.Helvetica, Size: small, Anchor: pdf.AnchorCentre, Angle: angle})
}
