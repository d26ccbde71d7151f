package cover

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/enum"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Reads is how the spine is read when the book stands upright.
type Reads = enum.Value[readsWords]

const (
	Down   Reads = iota + 1 // from the head to the tail: upright when the book lies with its front up
	Up                      // from the tail to the head
	Across                  // in short lines, for thick spines and labels
)

type readsWords struct{}

func (readsWords) Words() enum.Words { return enum.New("way to read a spine", "down", "up", "across") }

// Letters is what fonts are called.
type Letters = enum.Value[lettersWords]

const (
	Upright Letters = iota + 1
	Bold
	Italic
	Capitals
)

type lettersWords struct{}

func (lettersWords) Words() enum.Words {
	return enum.New("kind of lettering", "upright", "bold", "italic", "capitals")
}

var fonts = map[Letters]pdf.Font{Upright: pdf.Lettering, Bold: pdf.LetteringBold, Italic: pdf.LetteringItalic, Capitals: pdf.LetteringCapitals}

// Text is what is set on a cover.
type Text struct {
	Title, Author string
	SpineTitle    string  // instead of the title, on the spine
	Spine         Reads   // down
	Letters       Letters // upright
	White         bool    // over a dark picture
}

// IsEmpty tells whether nothing is set.
func (t Text) IsEmpty() bool { return t.Title == "" && t.Author == "" && t.SpineTitle == "" }

func (t Text) font() pdf.Font { return fonts[max(Upright, t.Letters)] }

// check refuses letters that the font does not hold, by name.
func (t Text) check() error {
	missing := t.font().Missing(t.Title + t.Author + t.SpineTitle)
	if len(missing) == 0 {
		return nil
	}
	var names []string
	for _, r := range missing {
		names = append(names, fmt.Sprintf("%q (U+%04X)", r, r))
	}
	return refusal.Plan.New("the lettering does not hold %s", strings.Join(names, ", ")).
		Advise("it holds Latin, Greek and Cyrillic letters; otherwise draw the cover yourself and give it with %s", phrase.Set("whole"))
}

// Sizes of letters in mm (common practice, no source).
const (
	leastLetters = 2.5 // on a spine or a label, about 7 points
	leastTitle   = 4.2 // on a front, about 12 points
	mostTitle    = 13.0
	mostSpine    = 9.0
	sizeStep     = 0.1
	leading      = 1.25 // from line to line, of the size
	authorShare  = 0.6  // of the title's size
	sideClear    = 0.1  // of a front's width that lines keep clear of each side
	spineShare   = 0.55 // of a spine's width that its capitals take at most
	spineEnds    = 8.0  // that a spine's line keeps clear of head and tail, or a tenth of a short one
	mostLines    = 6
)

// line is a line of text whose ink stands around a point of the flat, at an angle.
type line struct {
	text   string
	size   float64
	middle geom.Point
	angle  float64
	on     Part
}

// draw draws the line: its ink is centred along it, its capitals across it.
func (l line) draw(d *pdf.Drawing, font pdf.Font, grey float64) {
	t := pdf.Text{Text: l.text, Font: font, Size: l.size, Grey: grey, Angle: l.angle, Anchor: pdf.AnchorLeft}
	ink := t.Ink()
	along, up := (ink.X0+ink.X1)/2, font.CapHeight(l.size)/2
	sin, cos := math.Sincos(l.angle * math.Pi / 180)
	d.WriteText(geom.Point{X: l.middle.X - along*cos + up*sin, Y: l.middle.Y - along*sin - up*cos}, t)
}

// placeLine is a line so far above a point, as the text is read.
func placeLine(text string, size float64, centre geom.Point, up float64, turned bool) line {
	if turned {
		return line{text: text, size: size, middle: geom.Point{X: centre.X - up, Y: centre.Y}, angle: 90}
	}
	return line{text: text, size: size, middle: geom.Point{X: centre.X, Y: centre.Y + up}}
}

// length is how long the ink of a line is.
func length(text string, font pdf.Font, size float64) float64 {
	return pdf.Text{Text: text, Font: font, Size: size}.Ink().Size().W
}

// breakTitle breaks a text into as few lines as fit; ok is false where a word is too long.
func breakTitle(text string, font pdf.Font, size, room float64) (lines []string, ok bool) {
	lines = pdf.Text{Text: text, Font: font, Size: size}.Lines(room)
	return lines, fits(lines, font, size, room)
}

func fits(lines []string, font pdf.Font, size, room float64) bool {
	return !slices.ContainsFunc(lines, func(l string) bool { return length(l, font, size) > room })
}

// balance breaks a text into as many lines as it has, all about as long.
func balance(lines []string, font pdf.Font, size, room float64) []string {
	text := strings.Join(lines, " ")
	for width := room - size/2; width > 0 && len(lines) > 1; width -= size / 2 {
		narrower := pdf.Text{Text: text, Font: font, Size: size}.Lines(width)
		if len(narrower) > len(lines) || !fits(narrower, font, size, room) {
			break
		}
		lines = narrower
	}
	return lines
}

// block is title and author in lines below each other.
type block struct {
	title, author     []string
	size, authorSize  float64
	height, authorGap float64
}

// setBlock finds the largest letters between two sizes that fit into a room.
func setBlock(title, author string, font pdf.Font, room geom.Size, least, most float64) (block, bool) {
	for size := most; size > least-sizeStep/2; size -= sizeStep {
		b := block{size: size, authorSize: max(size*authorShare, min(size, leastLetters))}
		fits := true
		if title != "" {
			b.title, fits = breakTitle(title, font, size, room.W)
		}
		if author != "" {
			lines, ok := breakTitle(author, font, b.authorSize, room.W)
			b.author, fits = lines, fits && ok
		}
		if title != "" && author != "" {
			b.authorGap = size * 0.6
		}
		b.height = float64(len(b.title))*size*leading + b.authorGap + float64(len(b.author))*b.authorSize*leading
		// At smaller sizes more lines are worth having.
		lines := mostLines
		if size > (least+most)/2 {
			lines = 3
		}
		if fits && len(b.title) <= lines && b.height <= room.H {
			b.title = balance(b.title, font, b.size, room.W)
			b.author = balance(b.author, font, b.authorSize, room.W)
			return b, true
		}
	}
	return block{}, false
}

// setFront is the lines of a front: the title above the middle, the author below it.
func (t Text) setFront(face geom.Rect, turned bool) (lines []line, notes []string, err error) {
	room := face.Size()
	if turned {
		room = room.Turn()
	}
	inner := geom.Size{W: room.W * (1 - 2*sideClear), H: room.H * 0.7}
	least, most := min(leastTitle, room.H/8), min(mostTitle, room.W/10, room.H/6)
	least = max(min(least, most), leastLetters)
	b, ok := setBlock(t.Title, t.Author, t.font(), inner, least, max(least, most))
	if !ok {
		return nil, nil, refusal.Plan.New("%q does not fit on a front of %s", strings.TrimSpace(t.Title+" "+t.Author), room).
			Advise("shorten it, or draw the front yourself and give it with %s", phrase.Set("front"))
	}
	if len(b.title) > 1 || b.size < most-sizeStep {
		notes = append(notes, fmt.Sprintf("the title is set in %s of %s", reorder.Count(len(b.title), "line"), points(b.size)))
	}
	// The middle of the title stands at three fifths of the height, the author's at a fifth.
	lines = b.stack(face.Centre(), room, turned)
	return lines, notes, nil
}

// stack places the lines of a front about its middle.
func (b block) stack(centre geom.Point, room geom.Size, turned bool) (out []line) {
	put := func(text string, size, up float64) { out = append(out, placeLine(text, size, centre, up, turned)) }
	up := room.H*0.14 + float64(len(b.title)-1)*b.size*leading/2
	for _, text := range b.title {
		put(text, b.size, up)
		up -= b.size * leading
	}
	low := -room.H*0.3 + float64(len(b.author)-1)*b.authorSize*leading/2
	if len(b.title) > 0 {
		low = min(low, up-b.authorGap)
	}
	for _, text := range b.author {
		put(text, b.authorSize, low)
		low -= b.authorSize * leading
	}
	return out
}

// setAcross is title and author in short lines about the middle of a face.
func (t Text) setAcross(title string, face geom.Rect, turned bool) ([]line, bool) {
	room, centre := face.Size(), face.Centre()
	if turned {
		room = room.Turn()
	}
	inner := geom.Size{W: room.W - 2*max(1, room.W*0.06), H: room.H * 0.86}
	b, ok := setBlock(title, t.Author, t.font(), inner, leastLetters, max(leastLetters, min(mostSpine, room.H/4)))
	var out []line
	up := b.height / 2
	put := func(text string, size float64) {
		up -= size * leading / 2
		out = append(out, placeLine(text, size, centre, up, turned))
		up -= size * leading / 2
	}
	for _, text := range b.title {
		put(text, b.size)
	}
	up -= b.authorGap
	for _, text := range b.author {
		put(text, b.authorSize)
	}
	return out, ok
}

// setSpine is the line along a spine, centred on it. What does not fit is left off, and said.
func (t Text) setSpine(face geom.Rect, bind reorder.Bind) (lines []line, notes []string) {
	title := cmp.Or(t.SpineTitle, t.Title)
	if title == "" && t.Author == "" {
		return nil, nil
	}
	turned := bind == reorder.BindTop
	reads := max(Down, t.Spine)
	if reads == Across && !turned {
		if lines, ok := t.setAcross(title, face, false); ok {
			return lines, nil
		}
		return nil, []string{"the spine is left blank: " + fmt.Sprintf("%q does not fit across %s mm", title, geom.Millimetres(face.Size().W))}
	}
	angle := 270.0
	if reads == Up || turned {
		angle = 90
	}
	for _, author := range []string{t.Author, ""} {
		if lines, ok := t.setAlongSpine(title, author, face, angle); ok {
			if author == "" && t.Author != "" {
				notes = append(notes, "the author is left off the spine, for there is no room beside the title")
			}
			return lines, notes
		}
		if t.Author == "" || title == "" {
			break
		}
	}
	return nil, []string{fmt.Sprintf("the spine is left blank: %q does not fit on %s x %s mm in letters of %s",
		strings.TrimSpace(title+" "+t.Author), geom.Millimetres(face.Size().W), geom.Millimetres(face.Size().H), points(leastLetters))}
}

// setAlongSpine sets title and author in one line, which is centred as a whole.
func (t Text) setAlongSpine(title, author string, face geom.Rect, angle float64) ([]line, bool) {
	font, room := t.font(), face.Size()
	long := room.H - 2*min(spineEnds, room.H/10)
	most := min(mostSpine, room.W*spineShare/font.CapHeight(1))
	for size := most; size > leastLetters-sizeStep/2; size -= sizeStep {
		less := max(leastLetters, size*0.8) // the author's
		first, second := length(title, font, size), length(author, font, less)
		gap := 0.0
		if first > 0 && second > 0 {
			gap = 1.5 * size
		}
		whole := first + gap + second
		if whole > long {
			continue
		}
		sin, cos := math.Sincos(angle * math.Pi / 180)
		at := func(along float64) geom.Point {
			return face.Centre().Plus(geom.Point{X: cos, Y: sin}.Times(along - whole/2))
		}
		var out []line
		if first > 0 {
			out = append(out, line{text: title, size: size, middle: at(first / 2), angle: angle})
		}
		if second > 0 {
			out = append(out, line{text: author, size: less, middle: at(whole - second/2), angle: angle})
		}
		return out, true
	}
	return nil, false
}

// points is a size of letters in points.
func points(mm float64) string { return fmt.Sprintf("%.0f points", mm*72/geom.Inch) }
