package benchsheet

import (
	"fmt"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/binding"
)

var unitWord = map[binding.Units]string{binding.MM: "millimetres", binding.Inches: "inches"}

// drawSums draws the boxes for what is measured, and the sums that follow from them.
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

// drawBox draws a box to be filled in, with what was measured or is expected beside it.
func (f *flow) drawBox(name string, expected binding.Range) {
	f.drawSum(name)
	word := "expected "
	if expected.IsExact() && f.Sheet.Firm {
		word = "reckoned with "
	}
	f.write(margin+(f.right()-margin)*boxAt+30, f.y+6, small, word+f.Units.Length(expected))
}

// drawSum draws a line with a box at its end.
func (f *flow) drawSum(name string) {
	f.makeRoom(8)
	f.y -= 1.5
	x := margin + (f.right()-margin)*boxAt
	f.write(margin, f.y, usual, name)
	f.Rect(reorder.Rect{X0: x, Y0: f.y - 1.8, X1: x + 27, Y1: f.y + 4.2}, pdf.Pen{Width: thin})
	f.y -= 7.5 - 1.5
}
