package render

import (
	"context"
	"math"
	"strings"
	"unicode"

	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/structs"

	"foldwright/reorder/geom"
)

// Glyph is one character on a page, in the page's frame.
type Glyph struct {
	Rune   rune
	Origin geom.Point // where its base line begins
	Box    geom.Rect  // around what is drawn; empty for a space
	// Angle is the direction in which its line runs, in degrees
	// counter-clockwise, from 0 (to the right, upright) to below 360; 180 is upside down.
	Angle float64
}

// Word is a run of glyphs without white space that stand in one line.
type Word struct {
	Text   string
	Origin geom.Point // of its first glyph
	Box    geom.Rect  // around all of its glyphs
	Angle  float64    // as of its glyphs
}

// Text is every character of a page, in the order in which the engine would
// read it. Characters that the engine only infers, such as the space between
// two columns, are left out; invisible text is in.
func (d *Document) Text(ctx context.Context, page int) ([]Glyph, error) {
	return ask[[]Glyph](ctx, d, request{Want: readText, Page: page})
}

// Words is the text of a page as words.
func (d *Document) Words(ctx context.Context, page int) ([]Word, error) {
	glyphs, err := d.Text(ctx, page)
	return joinWords(glyphs), err
}

func (l leaf) glyphs() (out []Glyph) {
	text := call(l.engine.FPDFText_LoadPage, requests.FPDFText_LoadPage{Page: l.page}).TextPage
	for i := range call(l.engine.FPDFText_CountChars, requests.FPDFText_CountChars{TextPage: text}).Count {
		if call(l.engine.FPDFText_IsGenerated, requests.FPDFText_IsGenerated{TextPage: text, Index: i}).IsGenerated {
			continue
		}
		char := call(l.engine.FPDFText_GetUnicode, requests.FPDFText_GetUnicode{TextPage: text, Index: i})
		origin := call(l.engine.FPDFText_GetCharOrigin, requests.FPDFText_GetCharOrigin{TextPage: text, Index: i})
		box := call(l.engine.FPDFText_GetCharBox, requests.FPDFText_GetCharBox{TextPage: text, Index: i})
		own := call(l.engine.FPDFText_GetMatrix, requests.FPDFText_GetMatrix{TextPage: text, Index: i})
		out = append(out, Glyph{
			Rune:   rune(char.Unicode),
			Origin: l.toFrame.Apply(geom.Point{X: origin.X, Y: origin.Y}),
			Box:    l.toFrame.Bounds(geom.Rect{X0: box.Left, Y0: box.Bottom, X1: box.Right, Y1: box.Top}),
			Angle:  angle(matrix(own.Matrix).Then(l.toFrame)),
		})
	}
	call(l.engine.FPDFText_ClosePage, requests.FPDFText_ClosePage{TextPage: text})
	return out
}

// angle is the direction in which text with this matrix runs.
func angle(m geom.Matrix) float64 {
	a := math.Atan2(m[1], m[0]) * 180 / math.Pi
	return math.Mod(math.Round(a*1000)/1000+360, 360)
}

// joinWords joins glyphs that follow each other along their own line.
func joinWords(glyphs []Glyph) []Word {
	var out []Word
	var text strings.Builder
	var last Glyph
	end := func() {
		if text.Len() > 0 {
			out[len(out)-1].Text = text.String()
			text.Reset()
		}
	}
	for _, g := range glyphs {
		if unicode.IsSpace(g.Rune) || unicode.IsControl(g.Rune) {
			end()
			continue
		}
		if text.Len() > 0 && !last.isBefore(g) {
			end()
		}
		if text.Len() == 0 {
			out = append(out, Word{Origin: g.Origin, Box: g.Box, Angle: g.Angle})
		}
		w := &out[len(out)-1]
		w.Box = w.Box.Around(g.Box)
		text.WriteRune(g.Rune)
		last = g
	}
	end()
	return out
}

// isBefore tells whether next can be the following glyph of the same word: it
// runs in the same direction and begins near the end of g, on the same line.
func (g Glyph) isBefore(next Glyph) bool {
	if g.Angle != next.Angle {
		return false
	}
	sin, cos := math.Sincos(g.Angle * math.Pi / 180)
	dx, dy := next.Origin.X-g.Origin.X, next.Origin.Y-g.Origin.Y
	along, across := dx*cos+dy*sin, dy*cos-dx*sin
	size := g.Box.Size()
	large := max(size.W, size.H)
	return along > 0 && along < 2*large+0.1 && math.Abs(across) < large
}

func matrix(m structs.FPDF_FS_MATRIX) geom.Matrix {
	return geom.Matrix{float64(m.A), float64(m.B), float64(m.C), float64(m.D), float64(m.E), float64(m.F)}
}
