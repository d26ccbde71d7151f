package benchsheet

import (
	"fmt"
	"math"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder/geom"
)

var unitWord = map[binding.Units]string{binding.MM: "millimetres", binding.Inches: "inches"}

// drawSums is the boxes for what is measured, and the sums that follow from them.
func (f *flow) drawSums() {
	s, leaf := f.Sheet.Structure, f.Sheet.Book.Leaf
	f.writeHeading("Measure the sewn and pressed block, and write it down, in " + unitWord[f.Units])
	flat := s.Back == binding.Flat
	back := "C  back, over its curve"
	if flat {
		back = "C  back, across"
	}
	across, along := f.Sheet.Book.Axes()
	f.drawBox("A  leaves, "+along, binding.Exactly(leaf.H))
	f.drawBox("B  leaves, "+across+", from the back", binding.Exactly(leaf.W))
	f.drawBox(back, f.Sheet.BackOver)
	f.drawBox("D  thickness of the board", f.Sheet.Board)
	f.writeHeading("Then reckon")
	part := func(v binding.Length, times float64) string {
		return f.Units.Bare(binding.Exactly(float64(v) * times))
	}
	width, spine := fmt.Sprintf("E  board, %s = B + %s square", across, part(s.Square, 1)), "C"
	if s.Joint > 0 {
		width = fmt.Sprintf("E  board, %s = B - %s joint + %s square", across, part(s.Joint, 1), part(s.Square, 1))
	}
	if flat {
		spine = "C + 2 D"
	}
	f.drawSum(width)
	f.drawSum(fmt.Sprintf("F  board, %s = A + %s, two squares", along, part(s.Square, 2)))
	if s.Cover == binding.Case {
		f.drawSum("G  spine strip, " + across + " = " + spine + "; as long as the boards")
	}
	cloth := fmt.Sprintf("H  cover, %s = 2 E + %s + %s, the turn-ins", across, spine, part(s.TurnIn, 2))
	if s.Joint > 0 {
		cloth = fmt.Sprintf("H  cover, %s = 2 E + %s + %s, two joints and the turn-ins", across, spine, f.Units.Bare(binding.Exactly(2*float64(s.Joint)+2*float64(s.TurnIn))))
	}
	f.drawSum(cloth)
	f.drawSum(fmt.Sprintf("I  cover, %s = F + %s, the turn-ins", along, part(s.TurnIn, 2)))
}

// boxAt is where boxes begin, as a share of the line.
const boxAt = 0.62

// drawBox is a box to be filled in, with what was measured or is expected beside it.
func (f *flow) drawBox(name string, expected binding.Range) {
	f.drawSum(name)
	word := "expected "
	if expected.IsExact() && f.Sheet.Firm {
		word = "reckoned with "
	}
	f.write(margin+(f.right()-margin)*boxAt+30, f.y+6, small, word+f.Units.Length(expected))
}

// drawSum is a line with a box at its end.
func (f *flow) drawSum(name string) {
	f.makeRoom(8)
	f.y -= 1.5
	x := margin + (f.right()-margin)*boxAt
	f.write(margin, f.y, usual, name)
	f.Rect(geom.Rect{X0: x, Y0: f.y - 1.8, X1: x + 27, Y1: f.y + 4.2}, pdf.Pen{Width: thin})
	f.y -= 7.5 - 1.5
}

// scaleText says how large a drawing to scale is.
func scaleText(scale float64) string {
	return fmt.Sprintf("Drawn to scale, about 1 : %.1f. Take sizes from the figures, not from the drawing. Arrows are the grain.", 1/scale)
}

// drawCover is the cover from within with its boards, to scale.
func (f *flow) drawCover() {
	const room = 92.0
	if f.Sheet.Structure.Cover == binding.Paper {
		f.drawPaperCover()
		return
	}
	f.makeRoom(room + 22)
	f.writeHeading("The cover from within; the letters are those above")
	s := f.Sheet
	w, h := s.ClothW.Middle(), s.ClothH.Middle()
	scale := min((f.right()-margin-44)/w, (room-22)/h)
	d := sketch{f.page, (f.Paper.W - w*scale) / 2, f.y - 6, scale}
	turn, bw, bh, joint := float64(s.Structure.TurnIn), s.BoardW.Middle(), s.BoardH.Middle(), float64(s.Structure.Joint)
	// A corner is cut off slantwise, a board's thickness from the corner of the board.
	cut := cornerCut(turn, s.Board.Middle())
	d.drawPolygon(pt(cut, 0), pt(w-cut, 0), pt(w, cut), pt(w, h-cut), pt(w-cut, h), pt(cut, h), pt(0, h-cut), pt(0, cut))
	d.drawGrain(turn/2, h/2)
	d.drawBoard(turn, turn, bw, bh, "board")
	d.drawBoard(w-turn-bw, turn, bw, bh, "board")
	spine := turn + bw + joint
	if s.Structure.Cover == binding.Case {
		d.drawBoard(spine, turn, w-2*spine, bh, "")
	}
	d.measureAcross(d.y(0)+4, []float64{d.x(0), d.x(w)}, "H  "+f.Units.Length(s.ClothW))
	if joint > 0 {
		d.measureAcross(d.y(h)-4, []float64{d.x(0), d.x(turn), d.x(turn + bw), d.x(spine), d.x(w - spine), d.x(w - spine + joint), d.x(w - turn), d.x(w)}, "K", "E", "J", "G", "J", "E", "K")
	} else {
		d.measureAcross(d.y(h)-4, []float64{d.x(0), d.x(turn), d.x(spine), d.x(w - spine), d.x(w - turn), d.x(w)}, "K", "E", "C", "E", "K")
	}
	d.measureDown(d.x(0)-5, []float64{d.y(0), d.y(turn), d.y(turn + bh), d.y(h)}, "K", "F", "K")
	d.measureDown(d.x(w)+5, []float64{d.y(0), d.y(h)}, "I  "+f.Units.Length(s.ClothH))
	f.y = d.y(h) - 13
	across, along := s.Book.Axes()
	legend := fmt.Sprintf("E board, %s %s.  F board, %s %s.", across, f.Units.Length(s.BoardW), along, f.Units.Length(s.BoardH))
	back, why := s.Across()
	switch {
	case s.Structure.Cover == binding.Case:
		legend += fmt.Sprintf("  G spine strip, %s %s (%s).", across, f.Units.Length(back), why.In(f.Units, f.Style))
	default:
		legend += fmt.Sprintf("  C back %s.", f.Units.Length(back))
	}
	if joint > 0 {
		legend += fmt.Sprintf("  J joint %s.", f.Units.Length(s.Structure.Joint.Exactly()))
	}
	legend += fmt.Sprintf("  K turn-in %s.  Corners are cut off %s from the corner of the board.", f.Units.Length(s.Structure.TurnIn.Exactly()), f.Units.Length(s.Board))
	f.y = f.writeParagraph(margin, f.y, small, f.right()-margin, legend) - 0.5
	f.y = f.writeParagraph(margin, f.y, small, f.right()-margin, scaleText(scale)) - 1
}

// cornerCut is where on the edges of the cloth, from its corner, the slanting cut
// begins that leaves a distance to the board's corner.
func cornerCut(turnIn, distance float64) float64 { return 2*turnIn - math.Sqrt2*distance }

// drawPaperCover is a cover without boards, flat, with its folds.
func (f *flow) drawPaperCover() {
	const room = 72.0
	f.makeRoom(room + 12)
	f.writeHeading("The cover, flat")
	s := f.Sheet
	leaf, square, flap := s.Book.Leaf, float64(s.Structure.Square), float64(s.Structure.TurnIn)
	half, h := leaf.W+square, leaf.H+2*square
	thick := s.Block.Plus(s.Swelling)
	marks, names := []float64{0}, []string{}
	add := func(width float64, name string) {
		marks, names = append(marks, marks[len(marks)-1]+width), append(names, name)
	}
	if s.Structure.Sewn == binding.Side {
		add(half, f.Units.Length(binding.Exactly(half)))
	} else {
		if flap > 0 {
			add(flap, f.Units.Length(binding.Exactly(flap)))
		}
		add(half, f.Units.Length(binding.Exactly(half)))
		add(thick.Middle(), f.Units.Length(thick))
		add(half, f.Units.Length(binding.Exactly(half)))
		if flap > 0 {
			add(flap, f.Units.Length(binding.Exactly(flap)))
		}
	}
	w := marks[len(marks)-1]
	scale := min((f.right()-margin-30)/w, (room-20)/h)
	d := sketch{f.page, (f.Paper.W - w*scale) / 2, f.y - 4, scale}
	d.drawPolygon(pt(0, 0), pt(w, 0), pt(w, h), pt(0, h))
	for _, at := range marks[1 : len(marks)-1] {
		d.drawDashed(d.x(at), d.y(0), d.x(at), d.y(h))
	}
	for i := range len(marks) - 1 {
		if marks[i+1]-marks[i] >= half {
			d.drawGrain((marks[i]+marks[i+1])/2, h/2)
		}
	}
	for i := range marks {
		marks[i] = d.x(marks[i])
	}
	d.measureAcross(d.y(h)-4, marks, names...)
	d.measureDown(d.x(w)+5, []float64{d.y(0), d.y(h)}, f.Units.Length(binding.Exactly(h)))
	f.y = d.y(h) - 12
	words := "Broken lines are folded, the narrow stretch in the middle is the back. "
	if s.Structure.Sewn == binding.Side {
		words = "Two of these, one in front and one behind. "
	}
	f.y = f.writeParagraph(margin, f.y, small, f.right()-margin, words+scaleText(scale)) - 1
}

// sketch is a drawing to scale: y goes down from its upper edge.
type sketch struct {
	*page
	left, top, scale float64
}

func (d sketch) x(v float64) float64 { return d.left + v*d.scale }
func (d sketch) y(v float64) float64 { return d.top - v*d.scale }

func (d sketch) drawPolygon(points ...geom.Point) {
	for i, p := range points {
		points[i] = pt(d.x(p.X), d.y(p.Y))
	}
	d.Polygon(points, pdf.Pen{Width: thin})
}

// drawGrain is an arrow with its middle at a point.
func (d sketch) drawGrain(x, y float64) { d.page.drawGrain(d.x(x), d.y(y)+9, d.y(y)-9) }

// drawBoard is a stiff piece with its grain, and its name if there is room.
func (d sketch) drawBoard(x, y, w, h float64, name string) {
	r := geom.Rect{X0: d.x(x), Y0: d.y(y + h), X1: d.x(x + w), Y1: d.y(y)}
	d.FillRect(r, 0.9)
	d.Rect(r, pdf.Pen{Width: bold})
	d.drawGrain(x+w/2, y+h/2)
	if name != "" {
		d.writeMiddle(d.x(x+w/2), d.y(y+h/2)+12, usual, name)
	}
}

// drawPieces is the other pieces that are cut, to one scale, each with its grain.
func (f *flow) drawPieces() {
	var list []binding.Figure
	tallest := 0.0
	for _, g := range append(append([]binding.Figure{}, f.Sheet.Before...), f.Sheet.After...) {
		if g.Loose {
			list = append(list, g)
			tallest = max(tallest, g.Height.Middle())
		}
	}
	if len(list) == 0 {
		return
	}
	// Each piece has room for its name; the scale is the largest at which all
	// stand beside each other.
	const high, least, gap = 42.0, 23.0, 4.0
	scale := high / tallest
	for {
		row := -gap
		for _, g := range list {
			row += max(g.Amount.Middle()*scale, least) + gap
		}
		if row <= f.right()-margin || scale < 0.01 {
			break
		}
		scale *= 0.97
	}
	f.makeRoom(tallest*scale + 32)
	f.writeHeading("What else is cut")
	left, lowest := margin, 0
	for _, g := range list {
		w, h := g.Amount.Middle(), g.Height.Middle()
		room := max(w*scale, least)
		d := sketch{f.page, left + (room-w*scale)/2, f.y - 1, scale}
		d.drawPolygon(pt(0, 0), pt(w, 0), pt(w, h), pt(0, h))
		half := min(9, h*scale/2-1)
		d.page.drawGrain(d.x(w/2), d.y(h/2)+half, d.y(h/2)-half)
		words := append(breakLines(g.Short(), small, room+2), breakLines(g.Value(f.Units), small, room+2)...)
		for i, line := range words {
			f.writeMiddle(left+room/2, d.y(tallest)-4-float64(i)*small*1.3, small, line)
		}
		left, lowest = left+room+gap, max(lowest, len(words))
	}
	f.y -= 1 + tallest*scale + 4 + float64(lowest)*small*1.3
	f.y = f.writeParagraph(margin, f.y, small, f.right()-margin, scaleText(scale)) - 1
}
