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

// drawWays puts the ways beside each other, in two columns: the words of each, and below them its drawing.
func (f *flow) drawWays(ways []Way) {
	if len(ways) == 0 {
		return
	}
	const between = 8.0
	wide := (f.right() - margin - between) / 2
	drawn := min(wide, 64)
	words, drawings := 0.0, 0.0
	for _, w := range ways {
		words = max(words, float64(len(breakLines(w.Words, small, wide)))*small*1.4)
		drawings = max(drawings, w.High(drawn))
	}
	f.makeRoom(words + drawings + 12)
	top := f.y - 2
	for i, w := range ways {
		x := margin + float64(i)*(wide+between)
		f.writeStrong(x, top, usual, w.Heading)
		f.writeParagraph(x, top-5, small, wide, w.Words)
		w.Draw(&f.page.Drawing, geom.Point{X: x, Y: top - 5 - words + small}, drawn)
	}
	f.y = top - 5 - words - drawings
}
