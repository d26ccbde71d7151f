package cover

import (
	"math"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder/geom"
)

// Widths of lines and sizes of letters in mm.
const (
	hair     = 0.15
	thin     = 0.25
	small    = 2.7
	strong   = 3.2
	ruleLong = 100.0
	ruleStep = 10.0
	point    = 2.0 // half of the height of a seam's point, and how far from its tip its base is, by half more
)

var (
	broken = pdf.Pen{Width: thin, Dash: []float64{0.8, 0.5}}
	solid  = pdf.Pen{Width: thin}
)

func pt(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }

// pen draws the marks of a piece, in the flat's frame.
type pen struct {
	pdf.Drawing
	Layout
	Piece
	flat Flat
}

// drawOutlined draws a mark with white around it: in tabs it stands on a picture.
func (p *pen) drawOutlined(from, to geom.Point, how pdf.Pen) {
	p.DrawLine(from, to, pdf.Pen{Width: how.Width * 4, Grey: 1})
	p.DrawLine(from, to, how)
}

// zone is where marks stand beyond an edge: from and to how far from it.
func (p *pen) zone(joined bool, seam float64) (from, to float64) {
	if joined {
		return 0.5, min(seam, 0.5+markLong) // in what is glued under, or cut off
	}
	return p.bleed + markGap, p.bleed + markGap + markLong
}

// drawMarks draws what shows where to cut, to fold and to join. All of it stands beyond the piece.
func (p *pen) drawMarks() {
	a, j := p.Area, p.Joins
	below0, below1 := p.zone(j.Below, lead)
	above0, above1 := p.zone(j.Above, tab)
	p.visitUprights(func(x float64, how pdf.Pen) {
		p.drawOutlined(pt(x, a.Y0-below0), pt(x, a.Y0-below1), how)
		p.drawOutlined(pt(x, a.Y1+above0), pt(x, a.Y1+above1), how)
	})
	left0, left1 := p.zone(j.Left, lead)
	right0, right1 := p.zone(j.Right, tab)
	p.visitLevels(func(y float64, how pdf.Pen) {
		p.drawOutlined(pt(a.X0-left0, y), pt(a.X0-left1, y), how)
		p.drawOutlined(pt(a.X1+right0, y), pt(a.X1+right1, y), how)
	})
	p.drawSeams()
}

// visitUprights visits where a piece is cut, folded or joined, from left to right; visitLevels from the lower edge up.
func (p *pen) visitUprights(visit func(x float64, how pdf.Pen)) {
	visit(p.Area.X0, solid)
	visitBetween(p.flat.Folds(), p.Area.X0, p.Area.X1, visit)
	visit(p.Area.X1, solid)
}

func (p *pen) visitLevels(visit func(y float64, how pdf.Pen)) {
	visit(p.Area.Y0, solid)
	visitBetween(p.flat.Rows(), p.Area.Y0, p.Area.Y1, visit)
	visit(p.Area.Y1, solid)
}

func visitBetween(folds []float64, from, to float64, visit func(float64, pdf.Pen)) {
	for _, at := range folds {
		if at > from && at < to {
			visit(at, broken)
		}
	}
}

// drawSeams draws the points that meet when the parts are joined, each with the letter of its seam; and in tabs the points
// that show where the edge of the next part lies.
func (p *pen) drawSeams() {
	a, j := p.Area, p.Joins
	middle := func(joined bool, seam float64) float64 {
		from, to := p.zone(joined, seam)
		return (from + to) / 2
	}
	for _, end := range []struct {
		joined bool
		y      float64
	}{{j.Below, a.Y0 - middle(j.Below, lead)}, {j.Above, a.Y1 + middle(j.Above, tab)}} {
		if end.joined {
			continue
		}
		if j.Left {
			p.drawPoint(pt(a.X0, end.y), pt(1, 0), seamName(p.Column-1))
		}
		if j.Right {
			p.drawPoint(pt(a.X1, end.y), pt(-1, 0), seamName(p.Column))
		}
	}
	for _, end := range []struct {
		joined bool
		x      float64
	}{{j.Left, a.X0 - middle(j.Left, lead)}, {j.Right, a.X1 + middle(j.Right, tab)}} {
		if end.joined {
			continue
		}
		if j.Below {
			p.drawPoint(pt(end.x, a.Y0), pt(0, 1), seamName(p.Columns+p.Row-2))
		}
		if j.Above {
			p.drawPoint(pt(end.x, a.Y1), pt(0, -1), seamName(p.Columns+p.Row-1))
		}
	}
	size := a.Size()
	for _, share := range []float64{0.2, 0.5, 0.8} {
		if j.Right {
			p.drawPoint(pt(a.X1+tipClear, a.Y0+size.H*share), pt(1, 0), "")
		}
		if j.Above {
			p.drawPoint(pt(a.X0+size.W*share, a.Y1+tipClear), pt(0, 1), "")
		}
	}
}

// tipClear keeps the points in a tab, with the white around them, hidden under the next part.
const tipClear = 0.3

func seamName(number int) string { return string(rune('A' + number%26)) }

// drawPoint draws a triangle with its tip at a place, its body towards a direction, with white around it and a letter beyond.
func (p *pen) drawPoint(tip, towards geom.Point, letter string) {
	across := pt(-towards.Y, towards.X)
	base := tip.Plus(towards.Times(1.5 * point))
	shape := []geom.Point{tip, base.Plus(across.Times(point)), base.Minus(across.Times(point))}
	p.FillPolygon(shape, 0)
	if letter == "" {
		p.DrawPolygon(shape, pdf.Pen{Width: hair, Grey: 1})
		return
	}
	at := base.Plus(towards.Times(1.8))
	p.WriteText(pt(at.X, at.Y-small*0.36), pdf.Text{Text: letter, Font: pdf.HelveticaBold, Size: small, Anchor: pdf.AnchorCentre})
}

// drawRule is the rule by which one sees whether the page was printed at its size, its left end at a point.
func drawRule(d *pdf.Drawing, x, y float64) {
	d.DrawLine(pt(x, y), pt(x+ruleLong, y), solid)
	for at := 0.0; at <= ruleLong; at += ruleStep {
		d.DrawLine(pt(x+at, y), pt(x+at, y+2), solid)
	}
	writeLine(d, x, y-3.4, "This rule is 100 mm long: if it is not, print again at actual size (100 percent).")
}

func writeLine(d *pdf.Drawing, x, y float64, text string) {
	d.WriteText(pt(x, y), pdf.Text{Text: text, Font: pdf.Helvetica, Size: small, Anchor: pdf.AnchorLeft})
}

// draftWords stand on every page of a cover that was drawn from estimates.
const draftWords = "draft: not for cutting"

// stampDraft writes them across an area.
func stampDraft(d *pdf.Drawing, area geom.Rect) {
	size := area.Size()
	angle := math.Atan2(size.H, size.W)
	t := pdf.Text{Text: draftWords, Font: pdf.HelveticaBold, Size: 1, Grey: 0.6, Angle: angle * 180 / math.Pi, Anchor: pdf.AnchorCentre}
	t.Size = min(18, 0.7*math.Hypot(size.W, size.H)/t.Width())
	sin, cos := math.Sincos(angle)
	d.WriteText(area.Centre().Plus(pt(sin, -cos).Times(t.Size*0.35)), t)
}

// drawGuide draws where boards and spine strip lie, and where the corners are cut off: a board's thickness from the
// board's corner (VAUGHN p. 118). It is seen from inside, so all of it is mirrored afterwards.
func (f Flat) drawGuide(d *pdf.Drawing) {
	for _, p := range f.Panels {
		if p.Part == Front || p.Part == Back || p.Part == Spine {
			face, _ := f.Face(p.Part)
			d.DrawRect(face, solid)
		}
	}
	cut := binding.CornerCut(f.TurnIn, f.Board)
	w, h := f.Size.W, f.Size.H
	for _, c := range [][2]geom.Point{{pt(cut, 0), pt(0, cut)}, {pt(w-cut, 0), pt(w, cut)}, {pt(cut, h), pt(0, h-cut)}, {pt(w-cut, h), pt(w, h-cut)}} {
		d.DrawLine(c[0], c[1], broken)
	}
	d.DrawRect(f.Size.Rect(), solid)
}
