package benchsheet

import (
	"cmp"
	"fmt"
	"slices"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder/geom"
)

var unitWord = map[binding.Units]string{binding.MM: "millimetres", binding.Inches: "inches"}

// drawSums is the boxes for what is measured, and the sums that follow from them.
func (f *flow) drawSums() {
	sheet, s := f.Sheet, f.Sheet.Structure
	across, along := sheet.Book.Axes()
	across, along = ", "+across, ", "+along
	over, spine := "over its curve", "C"
	if s.Spine == binding.Flat {
		over, spine = "across", "C + 2 D"
	}
	part := func(v binding.Range, times float64) string { return sheet.Units.Bare(v.Times(times)) }
	less, joints, words := "", "", "the turn-ins"
	if sheet.Joint.Most > 0 {
		less, joints, words = " - J", " + 2 J", "two joints and the turn-ins"
	}
	back, _ := sheet.Across()
	f.writeHeading("Measure the sewn and pressed block. Write it down in " + unitWord[sheet.Units])
	f.drawBox("A  leaves"+along, binding.Exactly(sheet.Book.Leaf.H))
	f.drawBox("B  leaves"+across+", from the spine", binding.Exactly(sheet.Book.Leaf.W))
	f.drawBox("C  spine, "+over, sheet.SpineOver)
	f.drawBox("D  thickness of the board", sheet.Board)
	f.writeHeading("Then work out")
	if s.JointBoards.Most > 0 {
		boards := "D"
		if times := s.JointBoards.Middle(); times != 1 {
			boards = fmt.Sprintf("%g D", times)
		}
		f.drawBox(fmt.Sprintf("J  joint = %s + %s", boards, part(s.Joint, 1)), sheet.Joint)
	} else if less != "" {
		f.drawBox("J  joint = "+part(s.Joint, 1), sheet.Joint)
	}
	f.drawBox(fmt.Sprintf("E  board%s = B%s + %s square", across, less, part(s.Square, 1)), sheet.BoardW)
	f.drawBox(fmt.Sprintf("F  board%s = A + %s, two squares", along, part(s.Square, 2)), sheet.BoardH)
	if s.Cover == binding.Case {
		f.drawBox("G  spine strip"+across+" = "+spine+"; as long as the boards", back)
	}
	f.drawBox(fmt.Sprintf("H  cover%s = 2 E + %s%s + %s, %s", across, spine, joints, part(s.TurnIn, 2), words), sheet.ClothW)
	f.drawBox(fmt.Sprintf("I  cover%s = F + %s, the turn-ins", along, part(s.TurnIn, 2)), sheet.ClothH)
}

// drawBox is a line with a box to be filled in at its end, and what is expected beside it.
func (f *flow) drawBox(name string, expected binding.Range) {
	f.makeRoom(8)
	f.y -= 1.5
	x := margin + (f.right()-margin)*0.62
	f.write(margin, f.y, usual, name)
	f.DrawRect(geom.Rect{X0: x, Y0: f.y - 1.8, X1: x + 27, Y1: f.y + 4.2}, pdf.Pen{Width: thin})
	f.write(x+30, f.y, small, "expected "+f.Sheet.Units.Length(expected))
	f.y -= 6
}

func scaleText(scale float64) string {
	return fmt.Sprintf("Drawn to scale, about 1 : %.1f. Take sizes from the figures, not from the drawing. Arrows show the grain.", 1/scale)
}

// drawCover is the inside of the cover with its boards, to scale.
func (f *flow) drawCover() {
	const room = 92.0
	if f.Sheet.Structure.Cover == binding.Paper {
		f.drawPaperCover()
		return
	}
	f.makeRoom(room + 22)
	f.writeHeading("Inside of the cover. The letters are those above")
	s := f.Sheet
	w, h := s.ClothW.Middle(), s.ClothH.Middle()
	scale := min((f.right()-margin-44)/w, (room-22)/h)
	d := sketch{f.page, (f.Paper.W - w*scale) / 2, f.y - 6, scale}
	turn, bw, bh, joint := s.Structure.TurnIn.Middle(), s.BoardW.Middle(), s.BoardH.Middle(), s.Joint.Middle()
	// A corner is cut off slantwise, a board's thickness from the corner of the board.
	cut := binding.CornerCut(turn, s.Board.Middle())
	d.drawPolygon(pt(cut, 0), pt(w-cut, 0), pt(w, cut), pt(w, h-cut), pt(w-cut, h), pt(cut, h), pt(0, h-cut), pt(0, cut))
	d.drawGrain(turn/2, h/2)
	d.drawBoard(turn, turn, bw, bh, "board")
	d.drawBoard(w-turn-bw, turn, bw, bh, "board")
	spine := turn + bw + joint
	if s.Structure.Cover == binding.Case {
		d.drawBoard(spine, turn, w-2*spine, bh, "")
	}
	length := s.Units.Length
	middle, legend := "C", ""
	if s.Structure.Cover == binding.Case {
		middle = "G"
	}
	d.measureAcross(d.y(0)+4, stretch{w, "H"})
	d.measureAcross(d.y(h)-4, stretch{turn, "K"}, stretch{bw, "E"}, stretch{joint, "J"}, stretch{w - 2*spine, middle}, stretch{joint, "J"}, stretch{bw, "E"}, stretch{turn, "K"})
	d.measureDown(d.x(0)-5, stretch{turn, "K"}, stretch{bh, "F"}, stretch{turn, "K"})
	d.measureDown(d.x(w)+5, stretch{h, "I"})
	f.y = d.y(h) - 13
	if joint > 0 {
		legend = fmt.Sprintf("J joint %s.  ", length(s.Joint))
	}
	legend += fmt.Sprintf("K turn-in %s.  Cut the corners off %s from the corner of the board.", length(s.Structure.TurnIn), length(s.Board))
	f.y = f.writeParagraph(margin, f.y, small, f.right()-margin, legend) - 0.5
	f.y = f.writeParagraph(margin, f.y, small, f.right()-margin, scaleText(scale)) - 1
}

// drawPaperCover is a cover without boards, flat, with its folds.
func (f *flow) drawPaperCover() {
	const room = 72.0
	f.makeRoom(room + 12)
	f.writeHeading("The cover, flat")
	s := f.Sheet
	leaf, square, flap := s.Book.Leaf, s.Structure.Square.Middle(), s.Structure.TurnIn.Middle()
	half, h := leaf.W+square, leaf.H+2*square
	named := func(r binding.Range) stretch { return stretch{r.Middle(), s.Units.Length(r)} }
	side := named(binding.Exactly(half))
	stretches := []stretch{side} // between folds
	if s.Structure.Sewn != binding.Side {
		f := named(binding.Exactly(flap))
		stretches = []stretch{f, side, named(s.Thick), side, f}
	}
	w := 0.0
	for _, st := range stretches {
		w += st.width
	}
	scale := min((f.right()-margin-30)/w, (room-20)/h)
	d := sketch{f.page, (f.Paper.W - w*scale) / 2, f.y - 4, scale}
	d.drawPolygon(pt(0, 0), pt(w, 0), pt(w, h), pt(0, h))
	at := 0.0
	for _, st := range stretches {
		if at > 0 {
			d.drawDashed(d.x(at), d.y(0), d.x(at), d.y(h))
		}
		if st.width >= half {
			d.drawGrain(at+st.width/2, h/2)
		}
		at += st.width
	}
	d.measureAcross(d.y(h)-4, stretches...)
	d.measureDown(d.x(w)+5, named(binding.Exactly(h)))
	f.y = d.y(h) - 12
	words := "Fold along the broken lines. The narrow stretch in the middle is the spine. "
	if s.Structure.Sewn == binding.Side {
		words = "Cut two of these, one for the front and one for the back. "
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

// stretch is a part of a dimension line, of so many mm of the book, with its name.
type stretch struct {
	width float64
	name  string
}

// measureAcross and measureDown draw a dimension line over stretches that begin at the left, or
// upper, edge. Those of no width are left out.
func (d sketch) measureAcross(y float64, stretches ...stretch) {
	d.drawDimension(y, 0, stretches, d.x)
}

func (d sketch) measureDown(x float64, stretches ...stretch) {
	d.drawDimension(x, 90, stretches, d.y)
}

func (d sketch) drawPolygon(points ...geom.Point) {
	for i, p := range points {
		points[i] = pt(d.x(p.X), d.y(p.Y))
	}
	d.DrawPolygon(points, pdf.Pen{Width: thin})
}

// drawGrain is an arrow with its middle at a point.
func (d sketch) drawGrain(x, y float64) { d.page.drawGrain(d.x(x), d.y(y)+9, d.y(y)-9) }

// drawBoard is a stiff piece with its grain, and its name if there is room.
func (d sketch) drawBoard(x, y, w, h float64, name string) {
	r := geom.Rect{X0: d.x(x), Y0: d.y(y + h), X1: d.x(x + w), Y1: d.y(y)}
	d.FillRect(r, 0.9)
	d.DrawRect(r, pdf.Pen{Width: bold})
	d.drawGrain(x+w/2, y+h/2)
	if name != "" {
		d.writeMiddle(d.x(x+w/2), d.y(y+h/2)+12, usual, name)
	}
}

// drawPieces is the other pieces that are cut, to one scale, each with its grain.
func (f *flow) drawPieces() {
	list := slices.DeleteFunc(slices.Concat(f.Sheet.Before, f.Sheet.After), func(g binding.Figure) bool { return !g.Loose })
	if len(list) == 0 {
		return
	}
	tallest := slices.MaxFunc(list, func(a, b binding.Figure) int { return cmp.Compare(a.Height.Middle(), b.Height.Middle()) }).Height.Middle()
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
	f.writeHeading("What else to cut")
	left, lowest := margin, 0
	for _, g := range list {
		w, h := g.Amount.Middle(), g.Height.Middle()
		room := max(w*scale, least)
		d := sketch{f.page, left + (room-w*scale)/2, f.y - 1, scale}
		d.drawPolygon(pt(0, 0), pt(w, 0), pt(w, h), pt(0, h))
		half := min(9, h*scale/2-1)
		d.page.drawGrain(d.x(w/2), d.y(h/2)+half, d.y(h/2)-half)
		words := append(breakLines(g.Short(), small, room+2), breakLines(g.Value, small, room+2)...)
		for i, line := range words {
			f.writeMiddle(left+room/2, d.y(tallest)-4-float64(i)*small*1.3, small, line)
		}
		left, lowest = left+room+gap, max(lowest, len(words))
	}
	f.y -= 1 + tallest*scale + 5 + float64(lowest)*small*1.3
	f.y = f.writeParagraph(margin, f.y, small, f.right()-margin, scaleText(scale)) - 1
}
