package simulate

import (
	"fmt"
	"html"
	"strings"

	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/printer/virtual"
	"foldwright/reorder"
)

// Lengths in the picture, in its own units.
const (
	faceWide  = 78.0
	faceGap   = 14.0
	stageGap  = 44.0
	margin    = 28.0
	titleHigh = 52.0
	rowHead   = 34.0
	labelHigh = 18.0
	rowGap    = 26.0
	leastWide = 720.0
	mostRuns  = 4 // later runs repeat what the first ones show
)

// canvas is a picture being drawn.
type canvas struct{ strings.Builder }

func (c *canvas) add(format string, args ...any) { fmt.Fprintf(c, format+"\n", args...) }

func (c *canvas) writeText(x, y float64, class, text string) {
	c.add(`<text x="%.1f" y="%.1f" class="%s">%s</text>`, x, y, class, html.EscapeString(text))
}

// Picture draws the outcome as SVG: a row for each run, and in it, for each
// stage, both faces of the top and the bottom sheet.
func (o Outcome) Picture() string {
	high := faceWide * o.Task.Paper.Size.H / o.Task.Paper.Size.W
	stageWide := 2*faceWide + faceGap
	runs := o.Runs[:min(len(o.Runs), mostRuns)]
	stages, y := 0, titleHigh
	var c canvas
	for _, m := range runs {
		stages = max(stages, len(m.Stages))
		rows := 1
		if m.Run.Sheets > 1 {
			rows = 2
		}
		for i, s := range m.Stages {
			x := margin + float64(i)*(stageWide+stageGap)
			s.draw(&c, o.Task, x, y, high, rows)
			if i+1 < len(m.Stages) {
				ax := x + stageWide + stageGap/2
				c.add(`<path class="way" d="M%.1f %.1f h16 m-6 -5 l6 5 l-6 5"/>`, ax-8, y+rowHead+high/2+labelHigh)
			}
		}
		y += rowHead + float64(rows)*(high+labelHigh+rowGap)
		y = m.drawVerdict(&c, o, y) + 22
	}
	if len(o.Runs) > len(runs) {
		c.writeText(margin, y, "small", fmt.Sprintf("%d more runs are not drawn", len(o.Runs)-len(runs)))
		y += 22
	}
	wide := max(leastWide, 2*margin+float64(stages)*stageWide+float64(stages-1)*stageGap)
	var out canvas
	out.add(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" width="%.0f" height="%.0f" role="img">`, wide, y, wide, y)
	title := fmt.Sprintf("%s, printed on %s", o.Task.Name, o.Printer)
	out.add(`<title>%s</title>`, html.EscapeString(title))
	out.add(`<style>text{font-family:Helvetica,Arial,sans-serif;fill:#000}.title{font-size:16px;font-weight:bold}.head{font-size:11px;font-weight:bold}.small{font-size:9.5px}.face{font-size:10px;text-anchor:middle}.big{font-size:13px;font-weight:bold;text-anchor:middle}.mark{font-size:9px;font-weight:bold;text-anchor:middle}.over{fill:#777}.sheet{fill:#fff;stroke:#000;stroke-width:1}.blank{fill:#f4f4f4}.under{fill:none;stroke:#000;stroke-width:.6}.way,.cross{fill:none;stroke:#000;stroke-width:1.2}.cross{stroke:#777;stroke-width:1.6}</style>`)
	out.add(`<rect width="100%%" height="100%%" fill="#fff"/>`)
	out.writeText(margin, 28, "title", title)
	out.WriteString(c.String())
	out.add(`</svg>`)
	return out.String()
}

func (m Made) drawVerdict(c *canvas, o Outcome, y float64) float64 {
	lines := strings.Split(strings.TrimSpace(m.verdict()), "\n")
	if o.Task.Test {
		a := o.Answers()
		lines = []string{fmt.Sprintf("pin reading %s: %s", a.Reading, meanings[a.Reading])}
	}
	for i, line := range lines {
		class := "small"
		if i == 0 {
			class = "head"
		}
		c.writeText(margin, y, class, strings.TrimSpace(line))
		y += 15
	}
	return y
}

// draw draws the top and the bottom sheet of the stack.
func (s Stage) draw(c *canvas, t Task, x, y, high float64, rows int) {
	place, then, _ := strings.Cut(s.Heading(), ", ")
	c.writeText(x, y, "head", place)
	c.writeText(x, y+13, "small", then)
	y += rowHead
	names := [2]string{"looking up", "looking down"}
	if s.Place == OnTable {
		names = [2]string{"front", "back"}
	}
	for row := range rows {
		l, which := s.Stack[0], "top, "
		if row == 1 {
			l, which = s.Stack[len(s.Stack)-1], "bottom, "
		}
		if rows == 1 {
			which = ""
		}
		for i, f := range []virtual.Seen[Page]{l.Upper, l.Lower} {
			left := x + float64(i)*(faceWide+faceGap)
			label := names[i]
			if i == 0 {
				label = which + label
			}
			c.writeText(left, y+10, "small", label)
			drawFace(c, t, f, left, y+labelHigh, high)
		}
		y += high + labelHigh
		if between := len(s.Stack) - 2; row == 0 && rows == 2 && between > 0 {
			c.writeText(x, y+14, "small", fmt.Sprintf("%s between", reorder.Count(between, "sheet")))
		}
		y += rowGap
	}
}

// drawFace draws one face as it is looked at.
func drawFace(c *canvas, t Task, f virtual.Seen[Page], x, y, high float64) {
	class := "sheet"
	if !f.Printed {
		class = "sheet blank"
	}
	c.add(`<rect class="%s" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>`, class, x, y, faceWide, high)
	for p, shade := &f, ""; p != nil && p.Printed; p, shade = p.Over, " over" {
		turn := 0
		if isOnHead(*p) {
			turn = 180
		}
		c.add(`<g transform="rotate(%d %.1f %.1f)">`, turn, x+faceWide/2, y+high/2)
		drawImage(c, t, p.Image, x, y, high, shade)
		c.add(`</g>`)
	}
	if f.Crossed {
		c.add(`<path class="cross" d="M%.1f %.1f l12 12 m0 -12 l-12 12"/>`, x+faceWide/2-6, y+high/2-6)
	}
}

// drawImage draws what a page shows, its head above.
func drawImage(c *canvas, t Task, p Page, x, y, high float64, shade string) {
	middle := x + faceWide/2
	c.add(`<path class="way" d="M%.1f %.1f v-16 m-5 6 l5 -6 l5 6"/>`, middle, y+28)
	if !t.Test {
		c.writeText(middle, y+high*0.34, "face"+shade, p.Side.String())
		c.writeText(middle, y+high*0.34+15, "big"+shade, "sheet "+p.Label)
		return
	}
	c.writeText(middle, y+high*0.34, "face"+shade, strings.TrimSpace(p.Side.String()+" "+p.Label))
	scale := faceWide / t.Paper.Size.W
	for i := range 4 {
		mark, at := testsheet.Letters[i], testsheet.LetterAt(t.Paper, i)
		if p.Side == reorder.Back {
			mark, at = testsheet.Numbers[i], testsheet.NumberAt(t.Paper, i)
		}
		c.writeText(x+at.X*scale, y+high-at.Y*scale+3, "mark"+shade, mark)
	}
}
