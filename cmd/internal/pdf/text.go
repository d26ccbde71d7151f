package pdf

import (
	"strings"
	"sync"
	"unicode"

	"github.com/pdfcpu/pdfcpu/pkg/font"
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	utf "golang.org/x/text/encoding/unicode"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/cmd/internal/visible"
)

// Font is one of the fonts that every reader of PDF has at hand, or a lettering that the file holds.
type Font int

const (
	Helvetica Font = iota + 1
	HelveticaBold
	Lettering         // for covers: upright
	LetteringBold     // bold
	LetteringItalic   // italic
	LetteringCapitals // with small capitals
	lastFont
)

// fontNames are the names of the fonts, among the resources of a side and in the standard, or their own.
var fontNames = [lastFont]struct{ key, name string }{
	Helvetica: {"H", "Helvetica"}, HelveticaBold: {"HB", "Helvetica-Bold"},
	Lettering: {"L", "GoRegular"}, LetteringBold: {"LB", "Go-Bold"}, LetteringItalic: {"LI", "Go-Italic"}, LetteringCapitals: {"LC", "GoSmallcaps"},
}

func (f Font) String() string { return fontNames[f].name }

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
// from the font's published metrics, or an embedded font's own.
func TextWidth(text string, f Font, size float64) float64 {
	if f.IsEmbedded() {
		return letterings[f].parse().width(text) * size / 1000
	}
	sum := 0
	for _, c := range winAnsi(text) {
		sum += advances[f]()[c]
	}
	return float64(sum) / 1000 * size
}

// advances are how wide the standard fonts' characters are, in thousandths of the font's size, by
// their code. They are kept, since a book has thousands of names and numbers to be measured.
var advances = [lastFont]func() *[256]int{Helvetica: advancesOf(Helvetica), HelveticaBold: advancesOf(HelveticaBold)}

func advancesOf(f Font) func() *[256]int {
	return sync.OnceValue(func() *[256]int {
		var widths [256]int
		for c := range widths {
			widths[c], _ = font.CharWidth(f.String(), rune(c)) // which fails for no standard font
		}
		return &widths
	})
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
		// WinAnsiEncoding (ISO 32000-1, annex D.2) is this code page, but for its controls.
		c, ok := charmap.Windows1252.EncodeRune(r)
		if !ok || unicode.IsControl(r) {
			c = '?'
		}
		out = append(out, c)
	}
	return out
}

// textString encodes a text string (ISO 32000-1, 7.9.2.2).
func textString(s string) cos.String {
	if strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r > '~' }) {
		s, _ = utf16.NewEncoder().String(s) // which writes all characters
	}
	return cos.String(s)
}

var utf16 = utf.UTF16(utf.BigEndian, utf.UseBOM)

// decodeText reads a text string, taking PDFDocEncoding for Latin-1.
func decodeText(s string) string {
	from := encoding.Encoding(charmap.ISO8859_1)
	switch {
	case strings.HasPrefix(s, "\xEF\xBB\xBF"):
		from = utf.UTF8BOM
	case strings.HasPrefix(s, "\xFE\xFF"):
		from = utf16
	}
	text, _ := from.NewDecoder().String(s) // what can't be read is replaced
	return text
}

// CanWrite tells whether the standard fonts have all letters of a text, or letters that come near.
func CanWrite(text string) bool {
	return strings.Count(string(winAnsi(text)), "?") == strings.Count(text, "?")
}
