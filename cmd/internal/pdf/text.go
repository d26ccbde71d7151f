package pdf

import (
	"encoding/binary"
	"foldwright/cmd/internal/pdf/cos"
	"foldwright/cmd/internal/visible"
	"strings"
	"unicode/utf16"

	"github.com/pdfcpu/pdfcpu/pkg/font"
)

// Font is one of the fonts that every reader of PDF has at hand.
type Font int

const (
	Helvetica Font = iota + 1
	HelveticaBold
	lastFont
)

// standard are the names of the fonts, among the resources of a side and in the standard.
var standard = [lastFont]struct{ key, name string }{Helvetica: {"H", "Helvetica"}, HelveticaBold: {"HB", "Helvetica-Bold"}}

func (f Font) String() string { return standard[f].name }

// Anchor is which point of a text stands at its place, along the baseline.
type Anchor int

const (
	AnchorLeft Anchor = iota + 1
	AnchorCentre
	AnchorRight
)

// Text is one line of text.
type Text struct {
	Text   string
	Font   Font
	Size   float64 // mm
	Grey   float64 // 0 is black, 1 is white
	Angle  float64 // degrees, counter-clockwise about the anchor
	Anchor Anchor
}

// Width is the length in mm of the line.
func (t Text) Width() float64 { return TextWidth(t.Text, t.Font, t.Size) }

// Lines breaks the text so that no line is longer than a width in mm.
func (t Text) Lines(width float64) []string {
	return visible.Lines(t.Text, func(line string, _ int) bool { return TextWidth(line, t.Font, t.Size) <= width })
}

// TextWidth is the width in mm of a text set in a font of the given size in mm,
// from the font's published metrics.
func TextWidth(text string, f Font, size float64) float64 {
	w, err := font.TextWidthFloat(string(winAnsi(text)), f.String(), size)
	if err != nil {
		return 0
	}
	return w
}

// above are the characters of WinAnsiEncoding (ISO 32000-1, annex D.2) that don't stand where Latin-1 has them.
var above = map[rune]byte{
	'€': 0x80, '‚': 0x82, 'ƒ': 0x83, '„': 0x84, '…': 0x85, '†': 0x86, '‡': 0x87, 'ˆ': 0x88,
	'‰': 0x89, 'Š': 0x8A, '‹': 0x8B, 'Œ': 0x8C, 'Ž': 0x8E, '‘': 0x91, '’': 0x92, '“': 0x93,
	'”': 0x94, '•': 0x95, '–': 0x96, '—': 0x97, '˜': 0x98, '™': 0x99, 'š': 0x9A, '›': 0x9B,
	'œ': 0x9C, 'ž': 0x9E, 'Ÿ': 0x9F,
}

// instead are characters that are written otherwise, base letters first.
var instead = strings.NewReplacer(
	"\t", " ", "\n", " ", "\r", " ",
	"\u2212", "-", "\u2010", "-", "\u2011", "-", "\u2012", "–", "\u2015", "—",
	"\u2002", " ", "\u2003", " ", "\u2009", " ", "\u202F", " ", "\u00AD", "", "\u200B", "", "\uFEFF", "",
	"→", "->", "←", "<-", "≤", "<=", "≥", ">=", "≈", "~", "ﬁ", "fi", "ﬂ", "fl", "ﬀ", "ff", "ﬃ", "ffi", "ﬄ", "ffl",
	"½", "½", "⅓", "1/3", "⅔", "2/3", "⅛", "1/8", "⅜", "3/8", "⅝", "5/8", "⅞", "7/8", "′", "'", "″", `"`,
	"Ā", "A", "Ă", "A", "Ą", "A", "ā", "a", "ă", "a", "ą", "a", "Ć", "C", "Č", "C", "ć", "c", "č", "c",
	"Ď", "D", "Đ", "D", "ď", "d", "đ", "d", "Ē", "E", "Ę", "E", "Ě", "E", "ē", "e", "ę", "e", "ě", "e",
	"Ğ", "G", "ğ", "g", "Ī", "I", "İ", "I", "ī", "i", "ı", "i", "Ł", "L", "ł", "l", "Ľ", "L", "ľ", "l",
	"Ń", "N", "Ň", "N", "ń", "n", "ň", "n", "Ō", "O", "Ő", "Ö", "ō", "o", "ő", "ö", "Ř", "R", "ř", "r",
	"Ś", "S", "Ş", "S", "Ș", "S", "ś", "s", "ş", "s", "ș", "s", "Ť", "T", "Ț", "T", "ť", "t", "ț", "t",
	"Ū", "U", "Ů", "U", "Ű", "Ü", "ū", "u", "ů", "u", "ű", "ü", "Ź", "Z", "Ż", "Z", "ź", "z", "ż", "z",
)

// winAnsi encodes a text for the standard fonts; what they don't have becomes
// the nearest they have, or a question mark.
func winAnsi(text string) []byte {
	out := make([]byte, 0, len(text))
	for _, r := range instead.Replace(text) {
		c, ok := above[r]
		switch {
		case ok:
			out = append(out, c)
		case r >= ' ' && r < 0x7F || r >= 0xA0 && r <= 0xFF:
			out = append(out, byte(r))
		default:
			out = append(out, '?')
		}
	}
	return out
}

// textString encodes a text string (ISO 32000-1, 7.9.2.2).
func textString(s string) cos.String {
	for _, r := range s {
		if r < ' ' || r > '~' {
			b := []byte("\xFE\xFF")
			for _, u := range utf16.Encode([]rune(s)) {
				b = binary.BigEndian.AppendUint16(b, u)
			}
			return cos.String(b)
		}
	}
	return cos.String(s)
}

// decodeText reads a text string, taking PDFDocEncoding for Latin-1.
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
	r := make([]rune, len(s))
	for i := range len(s) {
		r[i] = rune(s[i])
	}
	return string(r)
}
