package cover

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Work is a cover with all that stands on it.
type Work struct {
	Flat               Flat
	Name               string // of the book, at the foot of each page
	Units              binding.Units
	Text               Text
	Front, Back, Whole *Picture // nil: none
	Bleed              float64  // mm that pictures reach beyond the cut
	Copies             int      // of a label; 0: as many as a page holds
	Inside             bool     // draw, on the back of each page, where the boards lie, or these:
	Within             Within
	Draft              bool // drawn from estimates
}

// Within is what stands on the inside of a card cover; nil: nothing.
type Within struct{ Front, Back *Picture }

func (w Within) isEmpty() bool { return w.Front == nil && w.Back == nil }

// Drawn is a cover on its pages.
type Drawn struct {
	Layout Layout
	Sides  []pdf.Side // with Inside, each followed by its back
	Notes  []string   // what a person should know
}

// Check refuses what contradicts itself.
func (w Work) Check() error {
	switch {
	case w.Bleed < 0 || w.Bleed > 30:
		return refusal.Use.New("%s must be between 0 and 30 mm", phrase.Set("bleed"))
	case w.Inside && w.Flat.Kind == Card && w.Within.isEmpty():
		return refusal.Use.New("%s of a card cover needs pages for its inside", phrase.Set("inside")).
			Advise("prepare the book with %s; of a case it shows where the boards are glued on", phrase.Set("take-covers", 4))
	case w.Inside && w.Flat.Kind != Case && w.Flat.Kind != Card:
		return refusal.Use.New("%s needs %s", phrase.Set("inside"), phrase.Set("kind", Case)).Advise("it shows where the boards are glued on")
	case w.Copies != 0 && w.Flat.Kind != Label:
		return refusal.Use.New("%s needs %s", phrase.Set("copies"), phrase.Set("kind", Label))
	case w.Copies < 0 || w.Copies > 1000:
		return refusal.Use.New("%s must be between 1 and 1000", phrase.Set("copies"))
	case w.Whole != nil && (w.Front != nil || w.Back != nil):
		return refusal.Use.New("%s is the whole cover: it goes with neither %s nor %s", phrase.Set("whole"), phrase.Set("front"), phrase.Set("back"))
	case w.Flat.Kind == Label && w.Back != nil:
		return refusal.Use.New("a label has no back")
	}
	return w.Text.check()
}

// Draw puts the cover on paper. It refuses what does not fit.
func (w Work) Draw(s Sheet) (Drawn, error) {
	if err := w.Check(); err != nil {
		return Drawn{}, err
	}
	lay := share
	if w.Flat.Kind == Label {
		lay = func(f Flat, s Sheet, bleed float64) (Layout, error) { return repeat(f, s, bleed, w.Copies) }
	}
	layout, err := lay(w.Flat, s, w.Bleed)
	if err != nil {
		return Drawn{}, err
	}
	out := Drawn{Layout: layout}
	art, notes, err := w.set()
	if err != nil {
		return Drawn{}, err
	}
	out.Notes = notes
	pictures := w.hang()
	for _, h := range slices.Concat(pictures, w.hangWithin()) {
		out.Notes = append(out.Notes, h.notes()...)
	}
	for i, pieces := range layout.Pages {
		p := page{w, layout, s, i + 1}
		out.Sides = append(out.Sides, p.drawOutside(pieces, art, pictures))
		if w.Inside {
			draw := p.drawInside
			if w.Flat.Kind == Card {
				draw = p.drawInsideOfCard
			}
			out.Sides = append(out.Sides, draw(pieces[0]))
		}
	}
	return out, nil
}

// isTurned tells whether the book is read with its spine at the top.
func (w Work) isTurned() bool { return w.Flat.Bind == reorder.BindTop }

// hang places the pictures, those below first.
func (w Work) hang() []hung {
	back, front := Back, Front
	switch {
	case w.Whole != nil:
		return []hung{w.Whole.hangWhole(w.Flat, w.Bleed, w.isTurned())}
	case w.Flat.Kind == Label:
		back, front = w.Flat.Panels[0].Part, w.Flat.Panels[0].Part
	}
	return append(w.hangOn(back, w.Back, geom.Identity), w.hangOn(front, w.Front, geom.Identity)...)
}

// hangWithin places the pictures of the inside, on the flat as it is seen from there: what was at its left is at
// its right. With the spine at the top, leaf and cover are read like a wall calendar, so all are turned alike.
func (w Work) hangWithin() []hung {
	if !w.Inside {
		return nil
	}
	seen := mirror(w.Flat.Size.W)
	return append(w.hangOn(Back, w.Within.Back, seen), w.hangOn(Front, w.Within.Front, seen)...)
}

// hangOn places a picture on a part, by the map from the flat to what is seen of it; none if there is no picture,
// or no such part.
func (w Work) hangOn(part Part, picture *Picture, seen geom.Matrix) []hung {
	area, ok := w.Flat.PictureArea(part, w.Bleed)
	if !ok || picture == nil {
		return nil
	}
	return []hung{picture.fill(seen.Bounds(area), w.isTurned())}
}

// mirror maps what is seen of something so wide to what is seen of it from behind.
func mirror(wide float64) geom.Matrix { return geom.Matrix{-1, 0, 0, 1, wide, 0} }

// set sets title and author, in the flat's frame.
func (w Work) set() (art pdf.Drawing, notes []string, err error) {
	if w.Text.IsEmpty() {
		return art, nil, nil
	}
	lines, notes, err := w.lines()
	for _, l := range lines {
		grey := 0.0
		if w.Text.White && w.isOnPicture(l.on) {
			grey = 1
		}
		l.draw(&art, w.Text.font(), grey)
	}
	return art, notes, err
}

// isOnPicture tells whether letters on a part stand on a picture: elsewhere white ones would not be seen.
func (w Work) isOnPicture(part Part) bool {
	return w.Whole != nil || w.Front != nil && (part == Front || w.Flat.Kind == Label)
}

func (w Work) lines() (lines []line, notes []string, err error) {
	if w.Flat.Kind == Label && w.Flat.Label == OnFront {
		lines, ok := w.Text.setAcross(w.Text.Title, w.Flat.Size.Rect(), w.isTurned())
		if !ok {
			return nil, nil, refusal.Plan.New("%q does not fit on a label of %s", strings.TrimSpace(w.Text.Title+" "+w.Text.Author), w.Flat.Size).
				Advise("shorten it, or give a larger label with %s", phrase.Set("size"))
		}
		return lines, nil, nil
	}
	if face, ok := w.Flat.Face(Spine); ok {
		lines, notes = w.Text.setSpine(face, w.Flat.Bind)
	}
	if w.Flat.Kind == Label && len(lines) == 0 {
		return nil, nil, refusal.Plan.New("the label is left blank: %s", strings.TrimPrefix(strings.Join(notes, "; "), "the spine is left blank: ")).
			Advise("shorten the title with %s, or give a larger label with %s", phrase.Set("spine-title"), phrase.Set("size"))
	}
	face, ok := w.Flat.Face(Front)
	if !ok || w.Text.Title == "" && w.Text.Author == "" {
		return lines, notes, nil
	}
	more, said, err := w.Text.setFront(face, w.isTurned())
	for i := range more {
		more[i].on = Front
	}
	return append(lines, more...), append(notes, said...), err
}

// page is a page that is being drawn.
type page struct {
	Work
	layout Layout
	sheet  Sheet
	number int
}

// drawOutside draws the side of the paper that is seen.
func (p page) drawOutside(pieces []Piece, art pdf.Drawing, pictures []hung) pdf.Side {
	var side pdf.Side
	var frame pdf.Drawing
	toPaper := p.layout.toPaper(false).Then(p.sheet.Front)
	for _, piece := range pieces {
		at := geom.Translate(piece.At.X, piece.At.Y)
		window := at.Bounds(p.layout.Shown(piece))
		for _, h := range pictures {
			h.place(&side, at.Then(toPaper), toPaper.Bounds(window))
		}
		if p.Draft {
			stampDraft(&frame, at.Bounds(piece.Area))
		}
		frame.DrawWithin(window, at, art)
		marks := pen{Layout: p.layout, Piece: piece, flat: p.Flat}
		marks.drawMarks()
		frame.DrawWithin(p.layout.Frame.Rect(), at, marks.Drawing)
	}
	p.drawFoot(&frame, false, p.Flat.Kind.Name()+p.layout.partWords(p.number), p.footWords(pieces))
	side.Drawing.DrawWithin(p.sheet.Paper.Rect(), toPaper, frame)
	return side
}

// drawInside draws the other side of the paper, seen when it is turned over about its long edge.
func (p page) drawInside(piece Piece) pdf.Side {
	var side pdf.Side
	var frame, guide pdf.Drawing
	p.Flat.drawGuide(&guide)
	// Of the frame seen through the paper, what was at the left is at the right.
	at := geom.Translate(piece.At.X, piece.At.Y).Then(mirror(p.layout.Frame.W))
	shown := at.Bounds(piece.Area.Inset(-1, -1, -1, -1))
	frame.DrawWithin(shown, at, guide)
	for _, panel := range p.Flat.Panels {
		face, _ := p.Flat.Face(panel.Part)
		name := map[Part]string{Front: "front board", Back: "back board", Spine: "spine strip"}[panel.Part]
		seen := at.Bounds(face).Common(shown)
		if name == "" || seen.IsEmpty() {
			continue
		}
		t := pdf.Text{Text: name, Font: pdf.Helvetica, Size: strong, Anchor: pdf.AnchorCentre}
		if t.Width() > seen.Size().W {
			t.Angle = 90
		}
		frame.WriteText(seen.Centre(), t)
	}
	p.drawFoot(&frame, true, "inside of the "+p.Flat.Kind.Name()+p.layout.partWords(p.number), []string{
		"Print this on the back. Glue boards and spine strip onto their outlines, and cut the corners off along the broken lines.",
	})
	side.Drawing.DrawWithin(p.sheet.Paper.Rect(), p.layout.toPaper(true).Then(p.sheet.Back), frame)
	return side
}

// drawInsideOfCard draws the other side of the paper with what is read inside the cover.
func (p page) drawInsideOfCard(piece Piece) pdf.Side {
	var side pdf.Side
	var frame pdf.Drawing
	toPaper := p.layout.toPaper(true).Then(p.sheet.Back)
	// From the flat seen from inside to the frame seen from behind.
	at := geom.Translate(p.layout.Frame.W-piece.At.X-p.Flat.Size.W, piece.At.Y)
	window := mirror(p.layout.Frame.W).Bounds(p.layout.Shown(piece).Moved(piece.At.X, piece.At.Y))
	for _, h := range p.hangWithin() {
		h.place(&side, at.Then(toPaper), toPaper.Bounds(window))
	}
	if p.Draft {
		stampDraft(&frame, mirror(p.layout.Frame.W).Bounds(piece.Area.Moved(piece.At.X, piece.At.Y)))
	}
	p.drawFoot(&frame, true, "inside of the "+p.Flat.Kind.Name()+p.layout.partWords(p.number), []string{
		"Print this on the back. Cut and fold by the marks on the other side.",
	})
	side.Drawing.DrawWithin(p.sheet.Paper.Rect(), toPaper, frame)
	return side
}

// footWords say what to do with a page.
func (p page) footWords(pieces []Piece) []string {
	size := p.Units.WidthByHeight(binding.Exactly(p.Flat.Size.W), binding.Exactly(p.Flat.Size.H))
	words := "Cut to " + size + " along the solid marks"
	if len(p.Flat.Folds()) > 0 {
		words += "; fold at the broken marks"
	}
	if p.layout.Columns*p.layout.Rows == 1 {
		return []string{words + ". Cut against a metal straightedge, with light strokes, fingers behind it."}
	}
	j := pieces[0].Joins
	var do []string
	if j.Left {
		do = append(do, "cut at "+seamName(pieces[0].Column-1)+" and glue it onto the tab of the part at its left")
	}
	if j.Below {
		do = append(do, "cut at "+seamName(p.layout.Columns+pieces[0].Row-2)+" and glue it onto the tab of the part below")
	}
	first := "Join all parts before you cut the outer edges: black points meet."
	if len(do) > 0 {
		do[0] = strings.ToUpper(do[0][:1]) + do[0][1:]
		first = strings.Join(do, "; ") + ": black points meet."
	}
	return []string{first, words + ", once all parts are joined."}
}

func (l Layout) partWords(number int) string {
	if of := l.Columns * l.Rows; of > 1 {
		return fmt.Sprintf(", part %d of %d", number, of)
	}
	return ""
}

// drawFoot draws the rule, and writes what the page is and what to do with it.
func (p page) drawFoot(frame *pdf.Drawing, back bool, name string, words []string) {
	m, room := p.layout.foot(p.sheet, back)
	var d pdf.Drawing
	drawRule(&d, 0, 4)
	title := fmt.Sprintf("%s: %s", p.Name, name)
	if p.Draft {
		title = draftWords + ". " + title
	}
	t := pdf.Text{Text: title, Font: pdf.HelveticaBold, Size: strong, Anchor: pdf.AnchorLeft}
	t.Size *= min(1, room/t.Width())
	d.WriteText(pt(0, 15), t)
	line := pdf.Text{Text: strings.Join(words, " "), Font: pdf.Helvetica, Size: small, Anchor: pdf.AnchorLeft}
	lines := line.Lines(room)
	for len(lines) > 2 { // never more than the foot has room for
		line.Size *= 0.95
		lines = line.Lines(room)
	}
	for i, text := range lines {
		line.Text = text
		d.WriteText(pt(0, 11.3-float64(i)*line.Size*1.25), line)
	}
	frame.DrawWithin(p.layout.Frame.Rect(), m, d)
}

// titleBegins begins the title of every file with a cover.
const titleBegins = "Cover of "

// TitleOf is the title of the file with the cover of a book.
func TitleOf(book string) string { return titleBegins + book }

// IsCover tells whether a file was written by this program as a cover.
func IsCover(path string) bool { return pdf.IsOwn(path, titleBegins) }
