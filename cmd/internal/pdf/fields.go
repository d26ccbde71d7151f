package pdf

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/pdfcpu/pdfcpu/pkg/font"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder/geom"
)

// Flags of form fields (ISO 32000-1, tables 226, 228 and 230).
const (
	fieldMultiline = 1 << 12
	fieldPassword  = 1 << 13
	fieldRadio     = 1 << 15
	fieldPush      = 1 << 16
	fieldCombo     = 1 << 17
	fieldComb      = 1 << 24
)

// letters is how the text of a field or a note is set.
type letters struct {
	colour string // operators that set it
	name   cos.Name
	font   cos.Object
	widths [256]float64 // of its letters, in thousandths of its size
	size   float64      // points; 0: as large as fits
}

// field draws a form field's value (ISO 32000-1, 12.7.3.3); not ok if there is nothing to draw
// or the file's own appearance shows it better.
func (c *copier) field(a annotation, hasOwn bool) (mark, bool) {
	kind, _ := c.inherited(a.dict, "FT").(cos.Name)
	flags := int64(c.inheritedNumber(a.dict, "Ff"))
	quarters := quarterTurns(c.src.Number(c.src.Dict(a.dict.Get("MK")).Get("R"), 0))
	s := &sketch{c: c, a: a, extent: a.rect.Size(), letters: c.letters(a.dict)}
	if quarters%2 == 1 {
		s.extent = s.extent.Turn()
	}
	ok := false
	switch {
	case kind == "Btn":
		ok = s.button(flags) && !hasOwn
	case kind == "Ch" && flags&fieldCombo == 0:
		ok = s.drawList()
	case kind == "Ch":
		ok = s.value(0, c.chosenText(a.dict))
	case kind == "Tx":
		ok = s.value(flags, c.fieldText(c.inherited(a.dict, "V")))
	}
	if !ok {
		return mark{}, false
	}
	m := geom.Rotate(quarters)
	turned := m.Bounds(s.extent.Rect())
	m = m.Then(geom.Translate(a.rect.X0-turned.X0, a.rect.Y0-turned.Y0))
	return s.mark(s.extent.Rect(), s.letters.resources(), m)
}

// value draws the text of a field; not ok if the standard fonts lack a letter, or nobody may read it.
func (s *sketch) value(flags int64, value string) bool {
	text, ok := s.encode(value)
	if !ok || flags&fieldPassword != 0 {
		return false
	}
	align := int(s.c.inheritedNumber(s.a.dict, "Q"))
	cells := s.c.inheritedNumber(s.a.dict, "MaxLen")
	return s.inside(func(border float64) bool {
		margin := 2*border + 1
		switch {
		case flags&fieldComb != 0 && cells >= 1:
			s.comb(text, int(cells))
		case flags&fieldMultiline != 0:
			s.writeParagraph(text, margin, align)
		case flags&fieldPush != 0:
			s.size = cmp.Or(s.size, min(12, s.largest(text, margin)))
			s.writeLine(text, margin, 1)
		default:
			s.writeLine(text, margin, align)
		}
		return true
	})
}

// encode makes a text of a standard font's letters. What it lacks is left out
// with a warning, unless the file's own appearance can be shown instead.
func (s *sketch) encode(text string) ([]byte, bool) {
	text = strings.ReplaceAll(text, "\t", " ")
	known := strings.Map(func(r rune) rune {
		if !strings.ContainsRune("?\r\n", r) && string(winAnsi(string(r))) == "?" {
			return -1
		}
		return r
	}, text)
	if known != text {
		if own, _ := s.c.normalAppearance(s.a.dict); own != nil {
			return nil, false
		}
		s.c.src.Warn(fmt.Sprintf("of the form field's text %q only %q can be printed: the font for it lacks the other letters", text, known))
	}
	return encodeLines(known), true
}

// textCost is what a byte of text costs that is set in lines.
const textCost = 64

// fieldText is a value as text: strings in their three encodings, streams, names.
func (c *copier) fieldText(o cos.Object) string {
	var text string
	switch v := c.src.Resolve(o).(type) {
	case cos.String:
		text = string(v)
	case cos.Name:
		return string(v)
	case *cos.Stream:
		data, err := c.src.Decode(v, 1<<20)
		if err != nil {
			return ""
		}
		text = string(data)
	}
	if c.src.Spend(textCost*int64(len(text))) != nil {
		return ""
	}
	return decodeText(text)
}

// encodeLines encodes text for a standard font and keeps its lines apart.
func encodeLines(text string) []byte {
	var out [][]byte
	for line := range strings.SplitSeq(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), "\n") {
		out = append(out, winAnsi(line))
	}
	return bytes.Join(out, []byte("\n"))
}

// operands is how many numbers and names stand before an operator of a default appearance.
var operands = map[string]int{"g": 1, "rg": 3, "k": 4, "Tf": 2}

// letters reads a default appearance string: a font, its size and a colour.
func (c *copier) letters(d *cos.Dict) letters {
	da, ok := c.inherited(d, "DA").(cos.String)
	form := c.acroForm()
	if !ok {
		da = c.src.Text(form.Get("DA"))
	}
	l := letters{colour: "0 g"}
	if c.src.Spend(textCost*int64(len(da))) != nil {
		da = ""
	}
	words := strings.Fields(strings.ReplaceAll(string(da), "/", " /"))
	for i, w := range words {
		n := operands[w]
		switch {
		case n == 0 || i < n:
		case w == "Tf":
			l.name = cos.Name(strings.TrimPrefix(words[i-2], "/"))
			l.size, _ = strconv.ParseFloat(words[i-1], 64)
		default:
			l.colour = strings.Join(words[i-n:i+1], " ")
		}
	}
	l.size = math.Abs(l.size)
	for _, holder := range []*cos.Dict{d, form} {
		named := c.src.Dict(c.src.Dict(holder.Get("DR")).Get("Font")).Get(l.name)
		if f := c.src.Dict(named); f != nil && f.Get("Subtype") != cos.Name("Type0") {
			l.font, l.widths = named, c.widths(f)
			return l
		}
	}
	helvetica := standardFont("Helvetica", cos.Name("WinAnsiEncoding"))
	l.name, l.font, l.widths = "Helv", helvetica, c.widths(helvetica)
	return l
}

// standardFont is one that every reader has; a nil encoding is its own.
func standardFont(base string, encoding cos.Object) *cos.Dict {
	return cos.NewDict("Type", "Font", "Subtype", "Type1", "BaseFont", cos.Name(base), "Encoding", encoding)
}

func (l letters) resources() *cos.Dict {
	return cos.NewDict("Font", cos.NewDict(l.name, l.font))
}

// width is how long a text is at one point of size.
func (l *letters) width(text []byte) float64 { return l.after(0, text) / 1000 }

// after is the sum of the widths of what was set before and of a text.
func (l *letters) after(sum float64, text []byte) float64 {
	for _, b := range text {
		sum += l.widths[b]
	}
	return sum
}

func (c *copier) widths(of *cos.Dict) (w [256]float64) {
	stated := c.floats(of.Get("Widths"))
	first := int(c.src.Number(of.Get("FirstChar"), 0))
	base := string(c.src.Name(of.Get("BaseFont")))
	for b := range w {
		w[b] = 500
		if i := b - first; i >= 0 && i < len(stated) {
			w[b] = stated[i]
		} else if v, err := font.CharWidth(base, rune(b)); err == nil && font.IsCoreFont(base) {
			w[b] = float64(v)
		}
	}
	return w
}

func (s *sketch) show(x, y, size float64, text []byte) {
	s.operators = append(append(s.operators, s.letters.colour...), " BT "...)
	s.operators = append(cos.Append(s.operators, s.name, nil), ' ')
	s.add("Tf", size)
	s.add("Td", x, y)
	s.operators = cos.Append(s.operators, cos.String(text), nil)
	s.add(" Tj ET")
}

// indent is how far from its left edge a text of some width begins (ISO 32000-1, table 222, Q).
func indent(align int, room, width float64) float64 {
	switch align {
	case 1:
		return (room - width) / 2
	case 2:
		return room - width
	}
	return 0
}

func (s *sketch) writeLine(text []byte, margin float64, align int) {
	text = bytes.ReplaceAll(text, []byte("\n"), []byte(" "))
	size := cmp.Or(s.size, s.largest(text, margin))
	// Capitals and figures are 0.7 em high: they stand in the middle.
	s.show(margin+indent(align, s.extent.W-2*margin, s.width(text)*size), s.extent.H/2-size*0.35, size, text)
}

// largest is the size at which one line of text fills its field, as readers choose it where the
// field names none.
func (s *sketch) largest(text []byte, margin float64) float64 {
	size := max(4, (s.extent.H-margin)*0.8)
	if w := s.width(text); w > 0 {
		size = min(size, max(4, (s.extent.W-2*margin)/w))
	}
	return size
}

func (s *sketch) comb(text []byte, cells int) {
	cell := s.extent.W / float64(cells)
	size := cmp.Or(s.size, max(4, min(s.extent.H*0.7, cell)))
	for i := range min(cells, len(text)) {
		w := s.width(text[i:i+1]) * size
		s.show(float64(i)*cell+(cell-w)/2, s.extent.H/2-size*0.3, size, text[i:i+1])
	}
}

// writeParagraph breaks text into lines that fit.
func (s *sketch) writeParagraph(text []byte, margin float64, align int) {
	size := cmp.Or(s.size, 12)
	room := s.extent.W - 2*margin
	lines := s.breakLines(text, room/size)
	for s.size == 0 && size > 4 && float64(len(lines))*size*1.15 > s.extent.H-2*margin {
		size--
		lines = s.breakLines(text, room/size)
	}
	y := s.extent.H - margin - size*0.95
	for _, line := range lines {
		s.show(margin+indent(align, room, s.width(line)*size), y, size, line)
		y -= size * 1.15
	}
}

// breakLines breaks text at blanks, given the room at one point of size.
func (l *letters) breakLines(text []byte, room float64) [][]byte {
	var lines [][]byte
	for _, part := range bytes.Split(text, []byte("\n")) {
		var line []byte
		sum := 0.0 // of the widths in the line
		for _, word := range bytes.Fields(part) {
			longer := l.after(sum, word)
			if len(line) > 0 {
				longer = l.after(sum+l.widths[' '], word)
			}
			if len(line) > 0 && longer/1000 > room {
				lines = append(lines, line)
				line, longer = nil, l.after(0, word)
			}
			if len(line) > 0 {
				line = append(line, ' ')
			}
			line, sum = append(line, word...), longer
		}
		lines = append(lines, line)
	}
	return lines
}

// freeText draws a note that stands on the page itself.
func (c *copier) freeText(a annotation) (mark, bool) {
	text := c.fieldText(a.dict.Get("Contents"))
	if text == "" {
		return mark{}, false
	}
	s := &sketch{c: c, a: a, extent: a.rect.Size(), letters: c.letters(a.dict)}
	if s.colour(a.dict.Get("C"), filling) {
		s.drawRectangle(0, "f")
	}
	s.size = cmp.Or(s.size, 12)
	if w := s.border(); w > 0 {
		s.add(strings.NewReplacer("rg", "RG", "g", "G", "k", "K").Replace(s.letters.colour))
		s.drawRectangle(w/2, "S")
	}
	s.writeParagraph(encodeLines(text), 3, int(c.src.Number(a.dict.Get("Q"), 0)))
	return s.mark(s.extent.Rect(), s.letters.resources(), geom.Translate(a.rect.X0, a.rect.Y0))
}
