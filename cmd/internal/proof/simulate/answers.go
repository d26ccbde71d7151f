package simulate

import (
	"math"
	"strings"

	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder"
)

// Answers are what a person sees on the printed test sheet, in the words in
// which 'foldwright learn' takes them. Those that do not arise are empty.
type Answers struct {
	Reading string // where the pin comes out: A1 to A4
	Pencil  string // by hand, the face with the cross: printed or unprinted
	Lands   string
	Stacks  string // three sheets
	Top     string // three sheets, the one on top in the end: first or last
	Pair    string // three sheets, the back of the sheet with the front I: same or reversed
	PutBack string // by hand
	Way     string
}

// Answers reads the test sheet. It is meant for the outcome of [OfTest].
func (o Outcome) Answers() Answers {
	made := o.Runs[0]
	a := Answers{
		Reading: reading(o.Task.Paper, made.Sheets[0]),
		Way:     o.Facts.TwoSided.String(),
	}
	first := made.Stages[0].Stack
	a.Lands = printer.FaceDown.String()
	if up := first[0].Upper; up.Printed && up.Image.Side == reorder.Front {
		a.Lands = printer.FaceUp.String()
	}
	if o.Facts.TwoSided == printer.ByHand {
		a.PutBack = o.PutBack.String()
		a.Pencil = "unprinted"
		for _, face := range []virtual.Seen[Page]{first[0].Upper, first[0].Lower} {
			if face.Printed && face.Crossed {
				a.Pencil = "printed"
			}
		}
	}
	if len(made.Sheets) > 1 {
		a.Stacks = o.Facts.Stacks.String() // one sees it happen
		last := made.Stages[len(made.Stages)-2].Stack
		a.Top = map[bool]string{true: "first", false: "last"}[pageOfBack(last[0]).Sheet == 1]
		for _, s := range made.Sheets {
			if s.Front.Image.Sheet == 1 {
				a.Pair = map[bool]string{true: "same", false: "reversed"}[printBehind(s).Image.Sheet == 1]
			}
		}
	}
	return a
}

// Flags are the answers as flags of 'foldwright learn'.
func (a Answers) Flags() string {
	var out []string
	for _, f := range []struct{ name, value string }{
		{"--two-sided", a.Way}, {"--reload", a.PutBack}, {"--reading", a.Reading}, {"--pencil", a.Pencil},
		{"--lands", a.Lands}, {"--stacks", a.Stacks}, {"--top", a.Top}, {"--pair", a.Pair},
	} {
		if f.value != "" {
			out = append(out, f.name+" "+f.value)
		}
	}
	return strings.Join(out, " ")
}

// printBehind is the print that was made second: on the back, or over the front.
func printBehind(s virtual.Finished[Page]) virtual.Seen[Page] {
	if s.Front.Over != nil {
		return *s.Front.Over
	}
	return s.Back
}

// pageOfBack is the page of the back file on a sheet.
func pageOfBack(l Lying) Page {
	for _, face := range []virtual.Seen[Page]{l.Upper, l.Lower} {
		for f := &face; f != nil; f = f.Over {
			if f.Printed && f.Image.Side == reorder.Back {
				return f.Image
			}
		}
	}
	return Page{}
}

// reading pushes a pin through the mark A.
func reading(paper reorder.Paper, s virtual.Finished[Page]) string {
	pin := s.Front.Place(testsheet.Corner(paper, 0), paper.Size)
	second := printBehind(s)
	if s.Front.Over == nil {
		pin.X = paper.Size.W - pin.X // on the other face
	}
	best, near := "", math.Inf(1)
	for i, number := range testsheet.Numbers {
		at := second.Place(testsheet.NumberAt(paper, i), paper.Size)
		if d := math.Hypot(at.X-pin.X, at.Y-pin.Y); d < near {
			best, near = number, d
		}
	}
	return testsheet.Letters[0] + best
}

// meaningOf is what a pin reading says (design 3, the test sheet).
func meaningOf(reading string) string {
	switch reading {
	case "A1":
		return "both prints lie on one face, the same way up: put the stack back as you did, and then turn it over like the page of a book"
	case "A2":
		return "between its two printings the sheet was turned like the page of a book (flip-edge long)"
	case "A3":
		return "both prints lie on one face, one of them on its head: put the stack back as you did, and then turn it over like the page of a book"
	}
	return "between its two printings the sheet was turned like the leaf of a wall calendar (flip-edge short)"
}
