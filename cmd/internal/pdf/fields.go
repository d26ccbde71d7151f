package pdf

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf16"

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
	dict   *cos.Dict
	size   float64 // points; 0: as large as fits
}

// field draws a form field's value (ISO 32000-1, 12.7.3.3); not ok if there is nothing to draw
// or the file's own appearance shows it better.
func (c *copier) field(a annotation, hasOwn bool) (mark, bool) {
	kind, _ := c.inherited(a.dict, "FT").(cos.Name)
	v, _ := cos.Float(c.inherited(a.dict, "Ff"))
	flags := int64(v)
	s := &sketch{}
	quarters, extent := c.turned(a.dict, box{0, 0, a.rect.width(), a.rect.height()})
	var l letters
	var ok bool
	switch {
	case kind == "Btn":
		l, ok = c.button(s, a, extent, flags)
		ok = ok && !hasOwn
	case kind == "Ch" && flags&fieldCombo == 0:
		l, ok = c.list(s, a, extent)
	case kind == "Ch":
		l, ok = c.value(s, a, extent, 0, c.chosen(a.dict))
	case kind == "Tx":
		l, ok = c.value(s, a, extent, flags, c.fieldText(c.inherited(a.dict, "V")))
	}
	if !ok {
		return mark{}, false
	}
	m := geom.Rotate(quarters)
	turned := m.Bounds(geom.Rect{X1: extent.x1, Y1: extent.y1})
	m = m.Then(geom.Translate(a.rect.x0-turned.X0, a.rect.y0-turned.Y0))
	return c.sketched(s, extent, l.resources(), m)
}

// value draws the text of a field; not ok if the standard fonts lack a letter, or nobody may read it.
func (c *copier) value(s *sketch, a annotation, extent box, flags int64, value string) (letters, bool) {
	text, ok := c.encoded(a, value)
	if !ok || flags&fieldPassword != 0 {
		return letters{}, false
	}
	border := c.decorate(s, a.dict, extent)
	l := c.letters(a.dict)
	s.op("/Tx BMC q")
	s.op("re W n", border, border, max(0, extent.width()-2*border), max(0, extent.height()-2*border))
	align, _ := cos.Float(c.inherited(a.dict, "Q"))
	limit, _ := cos.Float(c.inherited(a.dict, "MaxLen"))
	switch {
	case flags&fieldComb != 0 && limit >= 1:
		c.comb(s, l, text, extent, int(limit))
	case flags&fieldMultiline != 0:
		c.paragraph(s, l, text, extent, 2*border+1, int(align))
	case flags&fieldPush != 0:
		l.size = cmp.Or(l.size, min(12, c.largest(l, text, extent, 2*border+1)))
		c.oneLine(s, l, text, extent, 2*border+1, 1)
	default:
		c.oneLine(s, l, text, extent, 2*border+1, int(align))
	}
	s.op("Q EMC")
	return l, true
}

// encoded is a text for a standard font. Letters that it lacks are left out
// with a warning, unless the file's own appearance can be shown instead.
func (c *copier) encoded(a annotation, text string) ([]byte, bool) {
	text = strings.ReplaceAll(text, "\t", " ")
	lacking := map[rune]bool{'?': false, '\r': false, '\n': false}
	known := strings.Map(func(r rune) rune {
		lacks, asked := lacking[r]
		if !asked {
			lacks = string(winAnsi(string(r))) == "?"
			lacking[r] = lacks
		}
		if lacks {
			return -1
		}
		return r
	}, text)
	if known != text {
		if s, _ := c.normalAppearance(a.dict); s != nil {
			return nil, false
		}
		c.src.Warn(fmt.Sprintf("of the form field's text %q only %q can be printed: it has no appearance of its own", text, known))
	}
	return encodeLines(known), true
}

// turned is the field's rotation and the box to write in.
func (c *copier) turned(d *cos.Dict, r box) (int, box) {
	mk, _ := c.src.Resolve(d.Get("MK")).(*cos.Dict)
	v, _ := cos.Float(c.src.Resolve(mk.Get("R")))
	quarters := (int(math.Round(v/90))%4 + 4) % 4
	if quarters%2 == 1 {
		r.x1, r.y1 = r.y1, r.x1
	}
	return quarters, r
}

// decorate draws a field's background and border and returns the border's width.
func (c *copier) decorate(s *sketch, d *cos.Dict, r box) float64 {
	mk, _ := c.src.Resolve(d.Get("MK")).(*cos.Dict)
	s.op("q")
	if c.colour(s, mk.Get("BG"), filling) {
		s.op("re f", r.x0, r.y0, r.width(), r.height())
	}
	width := c.border(s, d)
	if c.colour(s, mk.Get("BC"), stroking) && width > 0 {
		s.op("re S", width/2, width/2, r.width()-width, r.height()-width)
	}
	s.op("Q")
	return max(0, width)
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
	lines := strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), "\n")
	var out [][]byte
	for _, l := range lines {
		out = append(out, winAnsi(l))
	}
	return bytes.Join(out, []byte("\n"))
}

func decodeText(s string) string {
	if text, ok := strings.CutPrefix(s, "\xEF\xBB\xBF"); ok {
		return text
	}
	if rest, ok := strings.CutPrefix(s, "\xFE\xFF"); ok {
		var u []uint16
		for ; len(rest) > 1; rest = rest[2:] {
			u = append(u, binary.BigEndian.Uint16([]byte(rest)))
		}
		return string(utf16.Decode(u))
	}
	r := make([]rune, 0, len(s))
	for i := range len(s) {
		r = append(r, rune(s[i]))
	}
	return string(r)
}

// letters reads a default appearance string: a font, its size and a colour.
func (c *copier) letters(d *cos.Dict) letters {
	da, ok := c.inherited(d, "DA").(cos.String)
	form := c.acroForm()
	if !ok {
		da, _ = c.src.Resolve(form.Get("DA")).(cos.String)
	}
	l := letters{colour: "0 g"}
	if c.src.Spend(textCost*int64(len(da))) != nil {
		da = ""
	}
	words := strings.Fields(strings.ReplaceAll(string(da), "/", " /"))
	for i, w := range words {
		switch {
		case w == "Tf" && i >= 2:
			l.name = cos.Name(strings.TrimPrefix(words[i-2], "/"))
			l.size, _ = strconv.ParseFloat(words[i-1], 64)
		case w == "g" && i >= 1:
			l.colour = strings.Join(words[i-1:i+1], " ")
		case w == "rg" && i >= 3:
			l.colour = strings.Join(words[i-3:i+1], " ")
		case w == "k" && i >= 4:
			l.colour = strings.Join(words[i-4:i+1], " ")
		}
	}
	l.size = math.Abs(l.size)
	for _, holder := range []*cos.Dict{d, form} {
		dr, _ := c.src.Resolve(holder.Get("DR")).(*cos.Dict)
		fonts, _ := c.src.Resolve(dr.Get("Font")).(*cos.Dict)
		if f, ok := c.src.Resolve(fonts.Get(l.name)).(*cos.Dict); ok && f.Get("Subtype") != cos.Name("Type0") {
			l.font, l.dict = fonts.Get(l.name), f
			return l
		}
	}
	l.name = "Helv"
	l.dict = cos.NewDict(cos.Name("Type"), cos.Name("Font"), cos.Name("Subtype"), cos.Name("Type1"),
		cos.Name("BaseFont"), cos.Name("Helvetica"), cos.Name("Encoding"), cos.Name("WinAnsiEncoding"))
	l.font = l.dict
	return l
}

func (l letters) resources() *cos.Dict {
	return cos.NewDict(cos.Name("Font"), cos.NewDict(l.name, l.font))
}

// width is how long a text is at one point of size.
func (c *copier) width(l letters, text []byte) float64 {
	return c.widths(l).of(text)
}

// widths are those of a font's letters, in thousandths of its size.
type widths [256]float64

// of is how long a text is at one point of size.
func (w *widths) of(text []byte) float64 { return w.after(0, text) / 1000 }

// after is the sum of the widths of what was set before and of a text.
func (w *widths) after(sum float64, text []byte) float64 {
	for _, b := range text {
		sum += w[b]
	}
	return sum
}

func (c *copier) widths(l letters) *widths {
	var w widths
	stated := c.floats(l.dict.Get("Widths"))
	first, _ := cos.Float(c.src.Resolve(l.dict.Get("FirstChar")))
	base, _ := c.src.Resolve(l.dict.Get("BaseFont")).(cos.Name)
	for b := range w {
		w[b] = 500
		if i := b - int(first); i >= 0 && i < len(stated) {
			w[b] = stated[i]
		} else if v, err := font.CharWidth(string(base), rune(b)); err == nil && font.IsCoreFont(string(base)) {
			w[b] = float64(v)
		}
	}
	return &w
}

func (l letters) show(s *sketch, x, y, size float64, text []byte) {
	s.ops = append(append(s.ops, l.colour...), " BT "...)
	s.ops = append(cos.Append(s.ops, l.name, nil), ' ')
	s.op("Tf", size)
	s.op("Td", x, y)
	s.ops = cos.Append(s.ops, cos.String(text), nil)
	s.op(" Tj ET")
}

func aligned(align int, room, width float64) float64 {
	switch align {
	case 1:
		return (room - width) / 2
	case 2:
		return room - width
	}
	return 0
}

func (c *copier) oneLine(s *sketch, l letters, text []byte, r box, margin float64, align int) {
	text = bytes.ReplaceAll(text, []byte("\n"), []byte(" "))
	size := cmp.Or(l.size, c.largest(l, text, r, margin))
	// Capitals and figures are 0.7 em high: they stand in the middle.
	l.show(s, margin+aligned(align, r.width()-2*margin, c.width(l, text)*size), r.height()/2-size*0.35, size, text)
}

// largest is the size at which one line of text fills its field, as readers choose it where the
// field names none.
func (c *copier) largest(l letters, text []byte, r box, margin float64) float64 {
	size := max(4, (r.height()-margin)*0.8)
	if w := c.width(l, text); w > 0 {
		size = min(size, max(4, (r.width()-2*margin)/w))
	}
	return size
}

func (c *copier) comb(s *sketch, l letters, text []byte, r box, cells int) {
	cell := r.width() / float64(cells)
	size := cmp.Or(l.size, max(4, min(r.height()*0.7, cell)))
	for i := range min(cells, len(text)) {
		w := c.width(l, text[i:i+1]) * size
		l.show(s, float64(i)*cell+(cell-w)/2, r.height()/2-size*0.3, size, text[i:i+1])
	}
}

// paragraph breaks text into lines that fit.
func (c *copier) paragraph(s *sketch, l letters, text []byte, r box, margin float64, align int) {
	size := l.size
	if size == 0 {
		size = 12
	}
	room := r.width() - 2*margin
	w := c.widths(l)
	lines := w.broken(text, room/size)
	for l.size == 0 && size > 4 && float64(len(lines))*size*1.15 > r.height()-2*margin {
		size--
		lines = w.broken(text, room/size)
	}
	y := r.y1 - margin - size*0.95
	for _, line := range lines {
		l.show(s, r.x0+margin+aligned(align, room, w.of(line)*size), y, size, line)
		y -= size * 1.15
	}
}

// broken breaks text at blanks, given the room at one point of size.
func (w *widths) broken(text []byte, room float64) [][]byte {
	var lines [][]byte
	for _, part := range bytes.Split(text, []byte("\n")) {
		var line []byte
		sum := 0.0 // of the widths in the line
		for _, word := range bytes.Fields(part) {
			longer := w.after(sum, word)
			if len(line) > 0 {
				longer = w.after(sum+w[' '], word)
			}
			if len(line) > 0 && longer/1000 > room {
				lines = append(lines, line)
				line, longer = nil, w.after(0, word)
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
	s := &sketch{}
	r := box{0, 0, a.rect.width(), a.rect.height()}
	if c.colour(s, a.dict.Get("C"), filling) {
		s.op("re f", 0, 0, r.x1, r.y1)
	}
	l := c.letters(a.dict)
	if l.size == 0 {
		l.size = 12
	}
	if w := c.border(s, a.dict); w > 0 {
		s.ops = append(s.ops, strings.NewReplacer("rg", "RG", "g", "G", "k", "K").Replace(l.colour)+"\n"...)
		s.op("re S", w/2, w/2, r.x1-w, r.y1-w)
	}
	align, _ := cos.Float(c.src.Resolve(a.dict.Get("Q")))
	c.paragraph(s, l, encodeLines(text), r, 3, int(align))
	return c.sketched(s, r, l.resources(), geom.Translate(a.rect.x0, a.rect.y0))
}
