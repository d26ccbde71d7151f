package printtest

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Trial is three test sheets that came out of a printer, and what a person can
// see of them. The sheets are those of the program's own files, read back.
type Trial struct {
	paper  reorder.Paper
	Stack  virtual.Stack[Page] // as it came out in the end
	once   virtual.Stack[Page] // as it came out after the first of two passes
	sheets []virtual.Finished[Page]
	reload printer.Reload
}

// Try prints the test sheets in a folder on a printer. A person pencils the
// crosses, and by hand puts the stack back in the given way.
func Try(t testing.TB, r *Reader, folder string, paper reorder.Paper, p *virtual.Printer[Page], reload printer.Reload) Trial {
	t.Helper()
	file := func(name string) []Page { return r.Pages(t, filepath.Join(folder, name)) }
	p = p.WithOverprinting()
	blank := virtual.Blank[Page](3).MarkWithPencil()
	out := Trial{paper: paper, reload: reload}
	var err error
	if reload == 0 {
		out.Stack, err = p.PrintBoth(blank, file(testsheet.BothFile))
	} else if out.once, err = p.Print(blank, file(testsheet.FrontFile)); err == nil {
		var back virtual.Stack[Page]
		if back, err = virtual.Reload(out.once, reload); err == nil {
			out.Stack, err = p.Print(back, file(testsheet.BackFile))
		}
	}
	if err == nil {
		out.sheets, err = virtual.Finish(out.Stack)
	}
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// word finds a word of a page by its text; of several, the one in the largest letters.
func word(p Page, texts ...string) (render.Word, bool) {
	var best render.Word
	for _, w := range p.Words {
		if slices.Contains(texts, w.Text) && w.Box.Size().H > best.Box.Size().H {
			best = w
		}
	}
	return best, best.Text != ""
}

// Numeral is the numeral on a page, I, II or III.
func Numeral(p Page) string {
	w, _ := word(p, "I", "II", "III")
	return w.Text
}

// Face is the large word on a page, front or back.
func Face(p Page) string {
	w, _ := word(p, "front", "back")
	return w.Text
}

// place is the middle of a word where it has come to lie.
func place(s virtual.Seen[Page], w render.Word) geom.Point {
	return s.Place(w.Box.Centre(), s.Image.Size)
}

// faces are the front of a sheet, its back, and how the back's view is carried
// into the front's: if both are printed on one face, it is the same.
func (tr Trial) faces(i int) (front, back virtual.Seen[Page], through func(geom.Point) geom.Point) {
	front, back = tr.sheets[i].Front, tr.sheets[i].Back
	through = func(p geom.Point) geom.Point { return geom.Point{X: tr.paper.Size.W - p.X, Y: p.Y} }
	if front.Over != nil {
		return front, *front.Over, func(p geom.Point) geom.Point { return p }
	}
	return front, back, through
}

// Reading pushes a pin through the cross at the letter K of the top sheet and
// reads the number beside the hole.
func (tr Trial) Reading(t testing.TB) string {
	t.Helper()
	front, back, through := tr.faces(0)
	k, ok := word(front.Image, "K")
	if !ok {
		t.Fatal("the front has no letter K")
	}
	pin, near := geom.Point{}, math.Inf(1)
	for corner := range 4 {
		cross := front.Place(testsheet.Corner(tr.paper, corner), tr.paper.Size)
		if d := cross.Minus(place(front, k)).Length(); d < near {
			pin, near = cross, d
		}
	}
	number, near := "", math.Inf(1)
	for _, text := range []string{"1", "2", "3", "4"} {
		w, ok := word(back.Image, text)
		if !ok {
			t.Fatalf("the back has no number %s", text)
		}
		if d := through(place(back, w)).Minus(pin).Length(); d < near {
			number, near = text, d
		}
	}
	return "K" + number
}

// Pencil looks for the cross after the first pass: printed or unprinted.
func (tr Trial) Pencil() string {
	for _, side := range []virtual.Seen[Page]{tr.once[0].Upper(), tr.once[0].Lower()} {
		if side.Printed && side.Crossed {
			return "printed"
		}
	}
	return "unprinted"
}

// Lands looks at the stack before it is lifted: after the first pass by hand,
// or at the letters of an automatic printer's front.
func (tr Trial) Lands() string {
	up := tr.Stack[0].Upper()
	if tr.once != nil {
		up = tr.once[0].Upper()
	}
	if up.Printed && Face(up.Image) == "front" {
		return "face-up"
	}
	return "face-down"
}

// Top reads the number of the sheet on top of the delivered stack, on the face
// that was printed last.
func (tr Trial) Top(t testing.TB) string {
	t.Helper()
	for _, side := range []virtual.Seen[Page]{tr.Stack[0].Upper(), tr.Stack[0].Lower()} {
		if side.Over != nil {
			side = *side.Over
		}
		if side.Printed && Face(side.Image) == "back" {
			return map[string]string{"I": "first", "III": "last"}[Numeral(side.Image)]
		}
	}
	t.Fatal("the top sheet has no back")
	return ""
}

// Pair looks for the sheet with the front I and reads the number of its back.
func (tr Trial) Pair(t testing.TB) string {
	t.Helper()
	for i := range tr.sheets {
		front, back, _ := tr.faces(i)
		if Numeral(front.Image) == "I" {
			return map[string]string{"I": "same", "III": "reversed"}[Numeral(back.Image)]
		}
	}
	t.Fatal("no sheet has the front I")
	return ""
}

// Verniers holds each sheet to the light and reads the four verniers: head,
// right, tail and left, as learn's flag --shift takes them.
func (tr Trial) Verniers(t testing.TB) []string {
	t.Helper()
	var out []string
	for i := range tr.sheets {
		front, back, through := tr.faces(i)
		var read []string
		for _, v := range testsheet.Verniers(tr.paper) {
			mm, ok := ReadVernier(v, tr.paper,
				func(p geom.Point) geom.Point { return front.Place(p, tr.paper.Size) },
				func(p geom.Point) geom.Point { return through(back.Place(p, tr.paper.Size)) })
			if !ok {
				t.Fatalf("sheet %d: no triangle shows at the %s", i+1, v.Edge)
			}
			read = append(read, fmt.Sprint(mm))
		}
		out = append(out, strings.Join(read, ","))
	}
	return out
}

// quarter is how closely a person reads a ruler, in mm.
func quarter(mm float64) string { return fmt.Sprint(math.Round(mm*4) / 4) }

// Rulers measures both rulers of a face of the top sheet.
func (tr Trial) Rulers(back bool) string {
	side, other, _ := tr.faces(0)
	if back {
		side = other
	}
	var read []string
	across, along := testsheet.Rulers(tr.paper)
	for _, r := range []testsheet.Ruler{across, along} {
		read = append(read, quarter(side.Place(r.Zero, tr.paper.Size).Minus(side.Place(r.End(), tr.paper.Size)).Length()))
	}
	return strings.Join(read, ",")
}

// Mark measures where the mark N of the front lies.
func (tr Trial) Mark() string {
	front, _, _ := tr.faces(0)
	at := front.Place(testsheet.Corner(tr.paper, 3), tr.paper.Size)
	return quarter(at.X) + "," + quarter(at.Y)
}
