package cover

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// reach is the ink of a line on the flat.
func (l line) reach(font pdf.Font) geom.Rect {
	t := pdf.Text{Text: l.text, Font: font, Size: l.size}
	ink := t.Ink()
	sin, cos := math.Sincos(l.angle * math.Pi / 180)
	turn := geom.Matrix{cos, sin, -sin, cos, 0, 0}
	middle := geom.Point{X: (ink.X0 + ink.X1) / 2, Y: font.CapHeight(l.size) / 2}
	return turn.Bounds(ink.Moved(-middle.X, -middle.Y)).Moved(l.middle.X, l.middle.Y)
}

var titles = []string{
	"Tides", "The Light at Larkhaven", "A Journal of the Keepers of the Light at Larkhaven, with their Tides, Stores and Birds",
	"Stores", "Of the Birds that Rest upon the Gallery in Autumn, and of Others that Do Not", "I", "Extraordinarily Uncomplimentary Correspondence",
}

// Whatever the title, what is set lies within the faces, and no line on another one; or it is refused or left off, and that
// is said.
func TestTextStaysOnItsFace(t *testing.T) {
	set, refused := 0, 0
	for _, kind := range []Kind{Card, Case, Jacket} {
		for _, leaf := range leaves {
			for _, bind := range binds {
				f, err := Lay(kind, bench(t, "case", leaf, bind, measured), Sizes{})
				if err != nil {
					t.Fatal(err)
				}
				for _, title := range titles {
					for letters := Upright; letters <= Capitals; letters++ {
						w := Work{Flat: f, Text: Text{Title: title, Author: "M. Orme and the Keepers", Letters: letters, Spine: Reads(1 + set%3)}}
						name := fmt.Sprintf("%s of %s, spine at the %s, %q", kind, leaf, bind, title)
						lines, notes, err := w.lines()
						if err != nil {
							refused++
							continue
						}
						set++
						checkLines(t, name, f, w.Text, lines)
						all := ""
						for _, l := range lines {
							if l.on == Front {
								all += l.text + " "
							}
						}
						if strings.Join(strings.Fields(all), " ") != title+" "+w.Text.Author {
							t.Errorf("%s: the front says %q", name, all)
						}
						onSpine := len(lines) - strings.Count(fmt.Sprint(lines), "front")
						if onSpine == 0 && len(notes) == 0 {
							t.Errorf("%s: a blank spine, and nothing is said", name)
						}
					}
				}
			}
		}
	}
	if set < 800 || refused > set/5 {
		t.Errorf("%d set, %d refused", set, refused)
	}
}

func checkLines(t *testing.T, name string, f Flat, text Text, lines []line) {
	t.Helper()
	for i, l := range lines {
		part := Spine
		if l.on == Front {
			part = Front
		}
		face, _ := f.Face(part)
		if at := l.reach(text.font()); !at.IsWithin(face, 0.01) {
			t.Errorf("%s: %q at %.1f leaves the %s at %.1f", name, l.text, at, part, face)
		}
		if l.size < leastLetters-1e-6 {
			t.Errorf("%s: %q in letters of %.2f mm", name, l.text, l.size)
		}
		for _, other := range lines[:i] {
			if !l.reach(text.font()).Common(other.reach(text.font())).IsEmpty() && overlaps(l.reach(text.font()), other.reach(text.font())) {
				t.Errorf("%s: %q lies on %q", name, l.text, other.text)
			}
		}
	}
}

func overlaps(a, b geom.Rect) bool { return a.X0 < b.X1 && b.X0 < a.X1 && a.Y0 < b.Y1 && b.Y0 < a.Y1 }

func TestWhatDoesNotFitIsSaid(t *testing.T) {
	work := func(leaf geom.Size, text Text) Work {
		f, err := Lay(Card, bench(t, "case", leaf, reorder.BindLeft, measured), Sizes{})
		if err != nil {
			t.Fatal(err)
		}
		return Work{Flat: f, Text: text}
	}
	small := geom.Size{W: 74, H: 105}
	long := strings.Repeat("The Light at Larkhaven ", 3)
	if _, notes, err := work(small, Text{Title: long, Author: "M. Orme of the Northern Light"}).lines(); err != nil || !strings.Contains(strings.Join(notes, "; "), "the author is left off the spine") {
		t.Errorf("%v, %v", notes, err)
	}
	if _, notes, err := work(small, Text{Title: long + long, SpineTitle: "Light"}).lines(); err != nil || strings.Contains(strings.Join(notes, "; "), "left blank") {
		t.Errorf("a shorter title for the spine: %v, %v", notes, err)
	}
	if _, notes, err := work(small, Text{Title: long + long}).lines(); err != nil || !strings.Contains(strings.Join(notes, "; "), "the spine is left blank") {
		t.Errorf("%v, %v", notes, err)
	}
	if _, _, err := work(small, Text{Title: strings.Repeat("Larkhaven", 6)}).lines(); err == nil || !strings.Contains(err.Error(), "does not fit on a front") {
		t.Errorf("a word that is too long: %v", err)
	}
	if err := (Text{Title: "Ночь", Author: "灯"}).check(); err == nil || !strings.Contains(err.Error(), "'灯' (U+706F)") || strings.Contains(err.Error(), "Н") {
		t.Errorf("letters that are missing: %v", err)
	}
}

// White letters stand on pictures only: elsewhere they would not be seen.
func TestWhiteLettersAreOnPictures(t *testing.T) {
	for _, c := range []struct {
		w     Work
		part  Part
		white bool
	}{
		{Work{}, Front, false}, {Work{Front: &Picture{}}, Front, true}, {Work{Front: &Picture{}}, Spine, false}, {Work{Whole: &Picture{}}, Spine, true},
		{Work{Back: &Picture{}}, Front, false},
	} {
		if got := c.w.isOnPicture(c.part); got != c.white {
			t.Errorf("%+v, %s: %t", c.w, c.part, got)
		}
	}
}

// A page that was drawn for the cover is shown as it is, any other fills its area, middle on middle; and it is said.
func TestPicturesFillTheirArea(t *testing.T) {
	f, err := Lay(Case, bench(t, "case", leaves[1], reorder.BindLeft, measured), Sizes{})
	if err != nil {
		t.Fatal(err)
	}
	const bleed = 3.0
	for _, size := range []geom.Size{f.Size, {W: f.Size.W + 2*bleed, H: f.Size.H + 2*bleed}} {
		h := opened(t, drawnPage(t, size)).hangWhole(f, bleed, false)
		if middle := h.matrix.Bounds(size.Rect()).Centre().Minus(f.Size.Rect().Centre()); math.Abs(h.matrix[0]-1) > 1e-9 || middle.Length() > 0.01 || len(h.notes()) > 0 {
			t.Errorf("a page of %s: %v, %q", size, h.matrix, h.notes())
		}
	}
	for _, p := range []*Picture{opened(t, drawnPage(t, geom.Size{W: 100, H: 30})), opened(t, drawnPage(t, geom.Size{W: 30, H: 100})), opened(t, painted(t, 90, 40))} {
		for _, turned := range []bool{false, true} {
			area, _ := f.PictureArea(Front, bleed)
			h := p.fill(area, turned)
			got := h.matrix.Bounds(p.size().Rect())
			within := got.Size().W - area.Size().W
			if high := got.Size().H - area.Size().H; !area.IsWithin(got, 1e-6) || math.Min(within, high) > 1e-6 || got.Centre().Minus(area.Centre()).Length() > 1e-6 {
				t.Errorf("turned %t: %.1f covers %.1f", turned, got, area)
			}
			if len(h.notes()) != 1 {
				t.Errorf("%s: %q", p.Path, h.notes())
			}
			if up := h.matrix.Direction(geom.Point{Y: 1}).Unit(); turned && up.X > -0.99 || !turned && up.Y < 0.99 {
				t.Errorf("turned %t: up is %v", turned, up)
			}
		}
	}
}
