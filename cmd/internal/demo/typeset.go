package main

import (
	"fmt"
	"math"
	"strings"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/gofont/gosmallcaps"
)

// face is one of the book's four typefaces.
type face int

const (
	roman face = iota
	italic
	bold
	smallCaps
)

const family = "Go"

// faces are all embedded under one family; fpdf knows four styles and underlining is not one we need.
var faces = [...]struct {
	family, style string
	file          []byte
}{
	roman:     {family, "", goregular.TTF},
	italic:    {family, "I", goitalic.TTF},
	bold:      {family, "B", gobold.TTF},
	smallCaps: {family + " Smallcaps", "", gosmallcaps.TTF},
}

// Sizes in points. All text of the journal stands on one grid of lines, so that the lines of a
// leaf's two pages lie back to back.
const (
	textSize  = 9.1
	smallSize = 7.6
	leading   = 13.0
	lineMM    = leading / pointsPerMM
)

const pointsPerMM = 72 / 25.4

// word is text without a space; it changes its face where an emphasis begins or ends.
type word struct {
	runs   []run
	width  float64 // mm
	joined bool    // to the word before, after whose hyphen a line may end
}

type run struct {
	face face
	text string
}

// line is a broken line: its words and the space between them.
type line struct {
	words  []word
	space  float64 // mm between words
	indent float64 // mm
}

// end is where the line's last word ends.
func (l line) end() float64 {
	x := l.indent
	for i, w := range l.words {
		if i > 0 && !w.joined {
			x += l.space
		}
		x += w.width
	}
	return x
}

// gaps counts the spaces between words.
func gaps(words []word) int {
	n := 0
	for _, w := range words[1:] {
		if !w.joined {
			n++
		}
	}
	return n
}

// press sets type with an fpdf document.
type press struct {
	doc *fpdf.Fpdf
}

func (p press) use(f face, size float64) {
	p.doc.SetFont(faces[f].family, faces[f].style, size)
}

func (p press) width(f face, size float64, text string) float64 {
	p.use(f, size)
	return p.doc.GetStringWidth(text)
}

// words cuts a text at its spaces; *asterisks* change to italic and back.
func (p press) words(text string, size float64, plain face) []word {
	current := plain
	var words []word
	for _, field := range strings.Fields(strings.ReplaceAll(text, "'", "’")) {
		for i, piece := range strings.SplitAfter(field, "-") {
			w := word{joined: i > 0}
			for k, part := range strings.Split(piece, "*") {
				if k > 0 {
					current = emphasis(current)
				}
				if part != "" {
					w.runs = append(w.runs, run{current, part})
					w.width += p.width(current, size, part)
				}
			}
			words = append(words, w)
		}
	}
	return words
}

func emphasis(f face) face {
	if f == italic {
		return roman
	}
	return italic
}

// Word spaces, in parts of the face's own space. The type is set without hyphens, so that
// spaces must give.
const (
	tightest = 0.68
	natural  = 1.0
	loose    = 1.8 // a pity
	loosest  = 3.4
)

// breakLines fills lines of the given width so that the sum of their badness is least. The first
// line is indented. It fails if no line is free of overfull or gaping spaces.
func (p press) breakLines(words []word, size, measure, indent float64) ([]line, error) {
	space := p.width(roman, size, " ")
	best := make([]float64, len(words)+1) // least badness of the words from here to the end
	next := make([]int, len(words)+1)
	for from := len(words) - 1; from >= 0; from-- {
		best[from] = math.Inf(1)
		width := measure
		if from == 0 {
			width -= indent
		}
		text := 0.0
		for to := from + 1; to <= len(words); to++ {
			text += words[to-1].width
			gaps := float64(gaps(words[from:to]))
			if text+gaps*space*tightest > width {
				break
			}
			bad := badness((width-text)/max(gaps, 1)/space, to == len(words), to-from)
			switch {
			case gaps == 0 && to < len(words):
				bad = math.Inf(1)
			case to < len(words) && words[to].joined:
				bad += 0.5 // a hyphen at the end of a line
			}
			if sum := bad + best[to]; sum < best[from] {
				best[from], next[from] = sum, to
			}
		}
	}
	if len(words) > 0 && math.IsInf(best[0], 1) {
		return nil, fmt.Errorf("no good lines for the paragraph that begins %q", words[0].runs[0].text)
	}
	var lines []line
	for from := 0; from < len(words); from = next[from] {
		l := line{words: words[from:next[from]], space: space}
		if from == 0 {
			l.indent = indent
		}
		text := 0.0
		for _, w := range l.words {
			text += w.width
		}
		room := measure - l.indent - text
		gaps := float64(gaps(l.words))
		if last := next[from] == len(words); !last || room < gaps*space {
			l.space = room / gaps
		}
		lines = append(lines, l)
	}
	return lines, nil
}

// badness of a line whose word spaces are stretched to the given part of the natural one.
func badness(stretch float64, last bool, words int) float64 {
	switch {
	case last && stretch >= natural:
		if words == 1 {
			return 0.6 // a word alone on the last line
		}
		return 0
	case stretch < natural:
		return math.Pow((natural-stretch)/(natural-tightest), 3)
	case stretch <= loosest:
		return math.Pow((stretch-natural)/(loose-natural), 3)
	}
	return math.Inf(1)
}

// set draws a line with its baseline at y mm from the head and its left end at x.
func (p press) set(l line, size, x, y float64) {
	x += l.indent
	var pending run // what has one face is set in one go
	start := x
	for i, w := range l.words {
		between := ""
		if i > 0 && !w.joined {
			between = " "
			x += l.space
		}
		for k, r := range w.runs {
			if k == 0 && r.face == pending.face && pending.text != "" {
				pending.text += between + r.text
			} else {
				p.spread(pending.face, size, start, y, pending.text, l.space)
				pending, start = r, x
			}
			x += p.width(r.face, size, r.text)
		}
	}
	p.spread(pending.face, size, start, y, pending.text, l.space)
}

// spread sets text of one face with the given space between its words.
func (p press) spread(f face, size, x, y float64, text string, space float64) {
	p.use(f, size)
	width := p.doc.GetStringWidth(text) + float64(strings.Count(text, " "))*(space-p.doc.GetStringWidth(" "))
	// A cell without height puts the baseline three tenths of the size below its top.
	p.doc.SetXY(x, y-0.3*size/pointsPerMM)
	align := "J"
	if !strings.Contains(text, " ") {
		align = "L"
	}
	p.doc.CellFormat(width, 0, text, "", 0, align, false, 0, "")
}

func (p press) left(f face, size, x, y float64, text string) {
	p.use(f, size)
	p.doc.Text(x, y, text)
}

func (p press) right(f face, size, x, y float64, text string) {
	p.left(f, size, x-p.width(f, size, text), y, text)
}

func (p press) centre(f face, size, x, y float64, text string) {
	p.left(f, size, x-p.width(f, size, text)/2, y, text)
}

// spaced sets letters with extra space between them, centred about x.
func (p press) spaced(f face, size, x, y, extra float64, text string) {
	letters := []rune(text)
	x -= (p.width(f, size, text) + extra*float64(len(letters)-1)) / 2
	for _, r := range letters {
		p.left(f, size, x, y, string(r))
		x += p.doc.GetStringWidth(string(r)) + extra
	}
}
