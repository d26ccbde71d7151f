package paper_test

import (
	"errors"
	"strings"
	"testing"

	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
)

// Each spoils Cockerell's octavo in one way and must be told from the others.
func TestCheckNamesTheFault(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(*paper.Sheet)
		kinds []error
		says  string
	}{
		{"nothing", func(*paper.Sheet) {}, nil, ""},
		{"page 6 printed in the place of 7", func(s *paper.Sheet) { change(s, "7", func(m *paper.Mark) { m.Label = "6" }) },
			[]error{papertest.ErrTwice, papertest.ErrMissing}, `gathering 1, place 7: page there more than once: "6", and in gathering 1, place 6`},
		{"page 5 left out", func(s *paper.Sheet) { change(s, "5", func(m *paper.Mark) { m.Label = "" }) },
			[]error{papertest.ErrMissing, papertest.ErrStray}, `gathering 1, place 5: page missing: "5"`},
		{"page 12 on its head", func(s *paper.Sheet) { change(s, "12", func(m *paper.Mark) { m.Head = opposite(m.Head) }) },
			[]error{papertest.ErrTurned}, `gathering 1, place 12: page not upright: "12", upside down`},
		{"page 3 sideways", func(s *paper.Sheet) { change(s, "3", func(m *paper.Mark) { m.Head.X, m.Head.Y = m.Head.Y, m.Head.X }) },
			[]error{papertest.ErrTurned}, `"3", sideways`},
		{"page 3 a little aslant", func(s *paper.Sheet) { change(s, "3", func(m *paper.Mark) { m.Head.Y = 0.2 }) },
			[]error{papertest.ErrTurned}, `"3", aslant`},
		{"3 and 15 exchanged", func(s *paper.Sheet) {
			change(s, "3", func(m *paper.Mark) { m.Label = "x" })
			change(s, "15", func(m *paper.Mark) { m.Label = "3" })
			change(s, "x", func(m *paper.Mark) { m.Label = "15" })
		}, []error{papertest.ErrMisplaced}, `"3", face 15 of the book instead of 3`},
		{"two marks on one face", func(s *paper.Sheet) { s.Front = append(s.Front, s.Front[0]) },
			[]error{papertest.ErrCrowded, papertest.ErrTwice}, "2 marks"},
		// Two rows, head to head: turned as a whole, the back still stands upright everywhere.
		{"back turned by half", func(s *paper.Sheet) {
			for i, m := range s.Back {
				s.Back[i].At = geom.Point{X: s.Size.W - m.At.X, Y: s.Size.H - m.At.Y}
				s.Back[i].Head = opposite(m.Head)
			}
		}, []error{papertest.ErrMisplaced}, `"6", face 2 of the book instead of 6`},
	} {
		s := cockerellOctavo.sheet(broad)
		c.spoil(&s)
		book, err := papertest.ReadBook([]paper.Sheet{s}, []int{1}, papertest.Instructions{Folds: 3})
		if err != nil {
			t.Fatal(err)
		}
		err = papertest.Check(book, pages(16))
		for _, kind := range []error{papertest.ErrMissing, papertest.ErrTwice, papertest.ErrMisplaced, papertest.ErrStray, papertest.ErrTurned, papertest.ErrCrowded, papertest.ErrLength} {
			want := false
			for _, k := range c.kinds {
				want = want || k == kind
			}
			if errors.Is(err, kind) != want {
				t.Errorf("%s: %v: %t, want %t, in\n%v", c.name, kind, !want, want, err)
			}
		}
		if err != nil && !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %q does not say %q", c.name, err, c.says)
		}
	}
}

func TestCheckLength(t *testing.T) {
	book, err := papertest.ReadBook([]paper.Sheet{cowieFolio.sheet(broad)}, []int{1}, papertest.Instructions{Folds: 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := papertest.Check(book, pages(5)); !errors.Is(err, papertest.ErrLength) || !errors.Is(err, papertest.ErrMissing) {
		t.Errorf("five pages wanted of four: %v", err)
	}
	if err := papertest.Check(nil, pages(1)); !errors.Is(err, papertest.ErrMissing) {
		t.Errorf("no book: %v", err)
	}
	var fault *papertest.Fault
	if !errors.As(papertest.Check(book, papertest.Labels([]int{1, 2, 3, 0})), &fault) || fault.Kind != papertest.ErrStray || fault.Label != "4" {
		t.Errorf("a page where a blank should be: %v", fault)
	}
}

func change(s *paper.Sheet, label string, how func(*paper.Mark)) {
	for _, side := range [][]paper.Mark{s.Front, s.Back} {
		for i := range side {
			if side[i].Label == label {
				how(&side[i])
				return
			}
		}
	}
}

func opposite(d geom.Point) geom.Point { return geom.Point{X: -d.X, Y: -d.Y} }
