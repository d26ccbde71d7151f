package benchsheet

import (
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder/geom"
)

// Way is how the thread goes through a gathering, in words and drawn. What is drawn is told by whoever knows
// drawings: High is its height at a width, both in mm, and Draw draws it from its upper left corner on.
type Way struct {
	Heading, Words string
	High           func(width float64) float64
	Draw           func(on *pdf.Drawing, at geom.Point, width float64)
}

// wayWide is the width of a drawing on the sheet, in mm.
const wayWide = 64.0

// drawWays puts each way beside its words.
func (f *flow) drawWays(ways []Way) {
	for _, w := range ways {
		words := f.right() - wayWide - 6 - margin
		high := max(w.High(wayWide), float64(len(breakLines(w.Words, small, words)))*small*1.4)
		f.makeRoom(high + 12)
		f.writeHeading(w.Heading)
		f.writeParagraph(margin, f.y, small, words, w.Words)
		w.Draw(&f.page.Drawing, geom.Point{X: f.right() - wayWide, Y: f.y + small}, wayWide)
		f.y -= high + 2
	}
}
