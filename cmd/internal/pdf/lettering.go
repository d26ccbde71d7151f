package pdf

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/gofont/gosmallcaps"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder/geom"
)

// lettering is a TrueType font that a print file holds, so that its letters are the same on every printer.
type lettering struct {
	data   []byte
	italic bool
	parse  func() *face
}

// letterings are the embedded fonts: those of the Go project, by Bigelow & Holmes, under its licence.
var letterings = [lastFont]*lettering{
	Lettering:         newLettering(goregular.TTF, false),
	LetteringBold:     newLettering(gobold.TTF, false),
	LetteringItalic:   newLettering(goitalic.TTF, true),
	LetteringCapitals: newLettering(gosmallcaps.TTF, false),
}

func newLettering(data []byte, italic bool) *lettering {
	l := &lettering{data: data, italic: italic}
	l.parse = sync.OnceValue(func() *face { return readFace(data) })
	return l
}

// face is what a font says of its glyphs, in thousandths of its size: whole ones, for some readers of PDF
// know no others.
type face struct {
	font    *sfnt.Font
	advance []float64
	ink     []geom.Rect // of each glyph, as bounds has it
}

// readFace reads a font of ours; a test reads them all.
func readFace(data []byte) *face {
	f, err := sfnt.Parse(data)
	if err != nil {
		panic(err)
	}
	out := &face{font: f, advance: make([]float64, f.NumGlyphs()), ink: make([]geom.Rect, f.NumGlyphs())}
	for i := range out.advance {
		out.ink[i] = out.bounds(sfnt.GlyphIndex(i))
		if v, err := f.GlyphAdvance(nil, sfnt.GlyphIndex(i), out.unit(), font.HintingNone); err == nil {
			out.advance[i] = math.Round(out.thousandths(v))
		}
	}
	return out
}

// unit is the size at which a unit of the font is one of what sfnt counts in.
func (f *face) unit() fixed.Int26_6 { return fixed.I(int(f.font.UnitsPerEm())) }

func (f *face) thousandths(v fixed.Int26_6) float64 {
	return float64(v) / float64(f.unit()) * 1000
}

// glyphs is the numbers of the glyphs of a text; 0 stands for a letter that the font doesn't hold.
func (f *face) glyphs(text string) []sfnt.GlyphIndex {
	var out []sfnt.GlyphIndex
	for _, r := range norm.NFC.String(text) {
		g, _ := f.font.GlyphIndex(nil, r)
		out = append(out, g)
	}
	return out
}

func (f *face) width(text string) (thousandths float64) {
	for _, g := range f.glyphs(text) {
		thousandths += f.advance[g]
	}
	return thousandths
}

// bounds is the box of a glyph's ink about its origin, y up. What the font says of it is the box of the points that
// its curves are drawn by, which is larger.
func (f *face) bounds(g sfnt.GlyphIndex) geom.Rect {
	segments, err := f.font.LoadGlyph(&sfnt.Buffer{}, g, f.unit(), nil)
	if err != nil || len(segments) == 0 {
		return geom.Rect{}
	}
	var box geom.Rect
	var pen geom.Point
	for i, s := range segments {
		at := func(j int) geom.Point {
			return geom.Point{X: f.thousandths(s.Args[j].X), Y: -f.thousandths(s.Args[j].Y)}
		}
		end := at(0)
		if s.Op == sfnt.SegmentOpQuadTo { // TrueType has no other curves
			end = at(1)
			for _, p := range []geom.Point{{X: bulge(pen.X, at(0).X, end.X), Y: end.Y}, {X: end.X, Y: bulge(pen.Y, at(0).Y, end.Y)}} {
				box = box.Around(p.Rect())
			}
		}
		if i == 0 {
			box = end.Rect()
		}
		box = box.Around(end.Rect())
		pen = end
	}
	return box
}

// bulge is where a quadratic curve from one place to another by a third goes furthest, between its ends.
func bulge(from, by, to float64) float64 {
	t := (from - by) / (from - 2*by + to)
	if !(t > 0 && t < 1) {
		return to
	}
	return (1-t)*(1-t)*from + 2*t*(1-t)*by + t*t*to
}

// IsEmbedded tells whether print files hold the font itself.
func (f Font) IsEmbedded() bool { return f > 0 && f < lastFont && letterings[f] != nil }

// Missing is the letters of a text that an embedded font does not hold, each once.
func (f Font) Missing(text string) (out []rune) {
	if !f.IsEmbedded() {
		return nil
	}
	known := letterings[f].parse()
	for _, r := range norm.NFC.String(text) {
		if g, err := known.font.GlyphIndex(nil, r); (err != nil || g == 0) && !slices.Contains(out, r) {
			out = append(out, r)
		}
	}
	return out
}

// CapHeight is how high the capitals of an embedded font of the given size stand, in the size's unit: the
// height of its H.
func (f Font) CapHeight(size float64) float64 {
	known := letterings[f].parse()
	g, _ := known.font.GlyphIndex(nil, 'H')
	return known.ink[g].Y1 * size / 1000
}

// Ink is the box of what is printed of a line in an embedded font, in mm from where the line begins on its
// baseline, unturned. It is empty for a line of blanks.
func (t Text) Ink() geom.Rect {
	known := letterings[t.Font].parse()
	var ink geom.Rect
	at, first := 0.0, true
	for _, g := range known.glyphs(t.Text) {
		if b := known.ink[g]; !b.IsEmpty() {
			b = b.Moved(at, 0)
			if first {
				ink, first = b, false
			}
			ink = ink.Around(b)
		}
		at += known.advance[g]
	}
	k := t.Size / 1000
	return geom.Rect{X0: ink.X0 * k, Y0: ink.Y0 * k, X1: ink.X1 * k, Y1: ink.Y1 * k}
}

// appendGlyphs writes the glyphs of a text as a string of two-byte codes.
func appendGlyphs(b []byte, f Font, text string) []byte {
	b = append(b, '<')
	for _, g := range letterings[f].parse().glyphs(text) {
		b = fmt.Appendf(b, "%04X", int(g))
	}
	return append(b, '>')
}

// embed writes an embedded font (ISO 32000-1, 9.7 and 9.9): the whole font, for a cover sets few files.
func (a *assembly) embed(f Font) int {
	l, name := letterings[f], cos.Name(f.String())
	known := l.parse()
	packed := cos.Packed(l.data)
	packed.Dict.Set("Length1", cos.Int(len(l.data)))
	descriptor := a.put(known.descriptor(name, l.italic, a.stream(packed)))
	glyphs := a.put(cos.NewDict("Type", "Font", "Subtype", "CIDFontType2", "BaseFont", name,
		"CIDSystemInfo", cos.NewDict("Registry", cos.String("Adobe"), "Ordering", cos.String("Identity"), "Supplement", cos.Int(0)),
		"FontDescriptor", cos.Ref{Num: descriptor}, "CIDToGIDMap", "Identity",
		"W", cos.Array{cos.Int(0), numbers(known.advance...)}))
	unicode := a.stream(cos.Packed(known.toUnicode()))
	return a.put(cos.NewDict("Type", "Font", "Subtype", "Type0", "BaseFont", name,
		"Encoding", "Identity-H", "DescendantFonts", cos.Array{cos.Ref{Num: glyphs}}, "ToUnicode", cos.Ref{Num: unicode}))
}

// descriptor describes the font (ISO 32000-1, 9.8). What it says of the strokes is for a reader that has
// lost the font, from memory of its look.
func (f *face) descriptor(name cos.Name, italic bool, file int) *cos.Dict {
	const symbolic, slanted = 1 << 2, 1 << 6
	flags, angle := symbolic, 0
	if italic {
		flags, angle = symbolic|slanted, -12
	}
	m, _ := f.font.Metrics(nil, f.unit(), font.HintingNone)
	b, _ := f.font.Bounds(nil, f.unit(), font.HintingNone)
	box := geom.Rect{X0: f.thousandths(b.Min.X), Y0: -f.thousandths(b.Max.Y), X1: f.thousandths(b.Max.X), Y1: -f.thousandths(b.Min.Y)}
	whole := func(v float64) cos.Int { return cos.Int(math.Round(v)) }
	return cos.NewDict("Type", "FontDescriptor", "FontName", name, "Flags", cos.Int(flags),
		"FontBBox", corners(box), "ItalicAngle", cos.Int(angle), "Ascent", whole(f.thousandths(m.Ascent)),
		"Descent", whole(-f.thousandths(m.Descent)), "CapHeight", whole(f.thousandths(m.CapHeight)),
		"StemV", cos.Int(80), "FontFile2", cos.Ref{Num: file})
}

// toUnicode says which letters the glyphs are, so that a cover's title can be searched for and copied
// (ISO 32000-1, 9.10.3).
func (f *face) toUnicode() []byte {
	type pair struct {
		glyph  sfnt.GlyphIndex
		letter rune
	}
	var pairs []pair
	seen := map[sfnt.GlyphIndex]bool{0: true}
	for r := ' '; r <= 0xFFFF; r++ {
		if g, err := f.font.GlyphIndex(nil, r); err == nil && !seen[g] {
			seen[g] = true
			pairs = append(pairs, pair{g, r})
		}
	}
	out := []byte("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CMapType 2 def\n/CMapName /Letters def\n" +
		"1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	const most = 100 // in a list, by the standard
	for part := range slices.Chunk(pairs, most) {
		out = fmt.Appendf(out, "%d beginbfchar\n", len(part))
		for _, p := range part {
			out = fmt.Appendf(out, "<%04X> <%04X>\n", int(p.glyph), int(p.letter))
		}
		out = append(out, "endbfchar\n"...)
	}
	return append(out, "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"...)
}
