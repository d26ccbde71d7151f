package benchsheet

import (
	"fmt"
	"math"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder/geom"
)

// GuideFile is the name of the piercing guide in its folder.
const GuideFile = "piercing-guide.pdf"

// Where things stand on a page of the guide, in mm from its left edge.
const (
	foldX     = margin + 24           // the fold of the strip
	stripHalf = 24.0                  // the strip's width on each side of its fold
	tickReach = 8.0                   // of a station's tick from the fold or the edge
	cradleX   = foldX + stripHalf + 8 // so that names beside it fit on A5
	cradleW   = 28.0
)

// tab is how far a part reaches under the next one, to be glued.
const tab = 10.0

// Above and below the strips stand a heading and the rule.
const (
	headRoom = 25.0
	footRoom = 12.0
)

// Guide is the piercing guide of a book: a strip to fold into a gathering and a
// template to lie in a cradle, both as long as the spine before trimming.
type Guide struct {
	Title string
	Paper geom.Size // of the guide, portrait
	Sheet binding.Sheet
}

// spine is the length of the spine before trimming, and what is trimmed off its head.
func (g Guide) spine() (length, head float64) {
	return g.Sheet.Book.UntrimmedLeaf().H, g.Sheet.Book.Trim.Head
}

// Part is the stretch of the spine that stands on one page, in mm from the
// untrimmed head. At Top, in mm from the page's lower edge, stands its beginning.
type Part struct {
	Number, Of    int
	From, To, Top float64
}

// Y is where a place of the spine stands on the part's page.
func (p Part) Y(at float64) float64 { return p.Top - (at - p.From) }

// Parts is the spine shared out among pages; joints keep clear of stations.
func (g Guide) Parts() []Part {
	length, head := g.spine()
	room := g.Paper.H - 2*margin - headRoom - footRoom
	top := g.Paper.H - margin - headRoom
	var out []Part
	from := 0.0
	for length-from > room {
		// What is left is shared out evenly, with a tab on all but the last.
		to := from + min(room-tab, (length-from)/math.Ceil((length-from-tab)/(room-tab)))
		for i := len(g.Sheet.Stations.Holes) - 1; i >= 0; i-- {
			if at := g.Sheet.Stations.Holes[i].At + head; at > to-jointClear && at < to+jointClear && at-jointClear > from {
				to = at - jointClear
			}
		}
		out = append(out, Part{From: from, To: to, Top: top})
		from = to
	}
	out = append(out, Part{From: from, To: length, Top: top})
	for i := range out {
		out[i].Number, out[i].Of = i+1, len(out)
	}
	return out
}

// jointClear is how far joints keep from stations, in mm.
const jointClear = 5.0

// Sides is the pages of the guide.
func (g Guide) Sides() []pdf.Side {
	var out []pdf.Side
	for _, part := range g.Parts() {
		p := &page{size: g.Paper}
		g.writeHeading(p, part)
		g.drawStrip(p, part)
		if !g.isAtSide() {
			g.drawCradle(p, part)
		}
		p.drawRule(margin, margin+8, g.Sheet.Units)
		out = append(out, pdf.Side{Drawing: p.Drawing})
	}
	return out
}

func (g Guide) writeHeading(p *page, part Part) {
	y := g.Paper.H - margin - large
	name := "Piercing guide"
	if part.Of > 1 {
		name = fmt.Sprintf("Piercing guide, part %d of %d", part.Number, part.Of)
	}
	p.writeStrong(margin, y, large, name)
	p.write(margin, y-5, small, fmt.Sprintf("%s, %s", g.Title, g.Sheet.Structure.Title))
	first, _ := g.Sheet.Book.Ends()
	mark, _ := endMarks(g.Sheet.Book)
	words := "Pierce before trimming. Lay the end " + mark + " at the " + first + " of the fold in the open gathering, with the notch at the fold. " +
		"Keep needles and awls stuck in a cork, count them before and after, and never put a finger behind the fold."
	if g.isAtSide() {
		words = "Lay the end " + mark + " at the " + first + " of the leaves and fold the dashed line over their spine edge. " +
			"Keep awls stuck in a cork, count them before and after, and never put a hand under the leaves."
	}
	p.writeParagraph(margin, y-10, small, g.Paper.W-2*margin, words)
}

// endMarks is what stands at the two ends of the spine: of a book with its spine
// at the top they lie at the left and the right.
func endMarks(b binding.Book) (first, last string) {
	first, last = b.Ends()
	return strings.ToUpper(strings.TrimSuffix(first, " end")), strings.ToUpper(strings.TrimSuffix(last, " end"))
}

func (g Guide) isAtSide() bool { return g.Sheet.Structure.Sewn == binding.Side }

// drawStrip is the piece to be folded along its middle and laid into the gathering;
// through the side, the piece whose dashed line lies on the spine edge.
func (g Guide) drawStrip(p *page, part Part) {
	left, right := foldX-stripHalf, foldX+stripHalf
	g.drawOutline(p, part, left, right)
	p.drawDashed(foldX, part.Top, foldX, part.Y(part.To))
	what := "strip: cut out, fold along the dashed line"
	if g.isAtSide() {
		what = "strip: cut out, fold the dashed line over the spine edge"
	}
	p.writeAlong(left+4, part, what)
	g.visitStations(part, func(y float64, h binding.Station) {
		if g.isAtSide() {
			x := foldX + g.Sheet.Structure.FromSpine.Middle()
			p.drawLine(x-tickReach, y, x+tickReach, y, thin)
			p.drawLine(x, y-3, x, y+3, thin)
			p.write(right+1.5, y-small*0.35, small, g.place(h))
			return
		}
		p.drawLine(foldX-tickReach, y, foldX+tickReach, y, thin)
		p.write(foldX+tickReach+1.5, y-small*0.35, small, g.short(h))
	})
}

// drawCradle is the template whose right edge lies along the fold in the cradle.
func (g Guide) drawCradle(p *page, part Part) {
	left, right := cradleX, cradleX+cradleW
	g.drawOutline(p, part, left, right)
	if part.Number == 1 {
		// The notch is cut out of the edge that lies along the fold, at its head.
		p.FillPolygon([]geom.Point{pt(right, part.Top), pt(right-5, part.Top), pt(right, part.Top-5)}, 0.25)
	}
	p.writeAlong(left+4, part, "template for a cradle: this side up, right edge to the fold")
	g.visitStations(part, func(y float64, h binding.Station) {
		p.drawLine(right-tickReach, y, right, y, thin)
		p.write(right+1.5, y-small*0.35, small, g.place(h))
	})
}

// writeAlong writes a line upwards in the middle of a part that is long enough.
func (p *page) writeAlong(x float64, part Part, text string) {
	if pdf.TextWidth(text, pdf.Helvetica, small) < part.To-part.From-20 {
		p.writeTurned(x, (part.Top+part.Y(part.To))/2, pdf.AnchorCentre, text)
	}
}

// place is a station's place before trimming, and its name.
func (g Guide) place(h binding.Station) string {
	_, head := g.spine()
	return fmt.Sprintf("%s: %s", g.Sheet.Units.Length(binding.Exactly(h.At+head)), g.Sheet.Book.NameOf(h))
}

func (g Guide) visitStations(part Part, visit func(y float64, h binding.Station)) {
	_, head := g.spine()
	for _, h := range g.Sheet.Stations.Holes {
		if at := h.At + head; at >= part.From && at <= part.To {
			visit(part.Y(at), h)
		}
	}
}

// short is a station's name as far as it fits on the strip.
func (g Guide) short(h binding.Station) string {
	name, _, _ := strings.Cut(g.Sheet.Book.NameOf(h), ",")
	return strings.TrimSuffix(name, " stitch")
}

// drawOutline is the edges of a piece: the ends of the spine, or a joint with its
// mark and the tab that is glued under the next part.
func (g Guide) drawOutline(p *page, part Part, left, right float64) {
	top, bottom := part.Top, part.Y(part.To)
	p.DrawRect(geom.Rect{X0: left, Y0: bottom, X1: right, Y1: top}, pdf.Pen{Width: thin})
	middle := left + (right-left)*0.3
	first, last := endMarks(g.Sheet.Book)
	if part.Number == 1 {
		p.writeStrong(left+7, top-6, 4, first)
	} else {
		drawJoint(p, middle, top, -1, part.Number-1)
	}
	if part.Number == part.Of {
		p.writeStrong(left+7, bottom+3, 4, last)
		return
	}
	drawJoint(p, middle, bottom, 1, part.Number)
	p.DrawPolyline([]geom.Point{pt(left, bottom), pt(left+2, bottom-tab), pt(right-2, bottom-tab), pt(right, bottom)}, pdf.Pen{Width: hair})
	p.writeMiddle((left+right)/2, bottom-tab/2-1, small, "glue under the next part")
}

// drawJoint marks a joint: two points that meet, and a letter.
func drawJoint(p *page, x, y, up float64, number int) {
	p.FillPolygon([]geom.Point{pt(x, y), pt(x-2, y+up*4), pt(x+2, y+up*4)}, 0)
	p.writeStrong(x+3, y+up*3-1.2, small, string(rune('A'+(number-1)%26)))
}
