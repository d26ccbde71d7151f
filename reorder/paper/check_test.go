package paper

import (
	"errors"
	"strings"
	"testing"

	"foldwright/reorder/geom"
)

// Each spoils Cockerell's octavo in one way and must be told from the others.
func TestCheckNamesTheFault(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(*Sheet)
		kinds []error
		says  string
	}{
		{"nothing", func(*Sheet) {}, nil, ""},
		{"page 6 printed in the place of 7", func(s *Sheet) { change(s, "7", func(m *Mark) { m.Label = "6" }) },
			[]error{ErrTwice, ErrMissing}, `gathering 1, place 7: page there more than once: "6", and in gathering 1, place 6`},
		{"page 5 left out", func(s *Sheet) { change(s, "5", func(m *Mark) { m.Label = "" }) },
			[]error{ErrMissing, ErrStray}, `gathering 1, place 5: page missing: "5"`},
		{"page 12 on its head", func(s *Sheet) { change(s, "12", func(m *Mark) { m.Head = opposite(m.Head) }) },
			[]error{ErrTurned}, `gathering 1, place 12: page not upright: "12", upside down`},
		{"page 3 sideways", func(s *Sheet) { change(s, "3", func(m *Mark) { m.Head.X, m.Head.Y = m.Head.Y, m.Head.X }) },
			[]error{ErrTurned}, `"3", sideways`},
		{"page 3 a little aslant", func(s *Sheet) { change(s, "3", func(m *Mark) { m.Head.Y = 0.2 }) },
			[]error{ErrTurned}, `"3", aslant`},
		{"3 and 15 exchanged", func(s *Sheet) {
			change(s, "3", func(m *Mark) { m.Label = "x" })
			change(s, "15", func(m *Mark) { m.Label = "3" })
			change(s, "x", func(m *Mark) { m.Label = "15" })
		}, []error{ErrMisplaced}, `"3", face 15 of the book instead of 3`},
		{"two marks on one face", func(s *Sheet) { s.Front = append(s.Front, s.Front[0]) },
			[]error{ErrCrowded, ErrTwice}, "2 marks"},
		// Two rows, head to head: turned as a whole, the back still stands upright everywhere.
		{"back turned by half", func(s *Sheet) {
			for i, m := range s.Back {
				s.Back[i].At = geom.Point{X: s.Size.W - m.At.X, Y: s.Size.H - m.At.Y}
				s.Back[i].Head = opposite(m.Head)
			}
		}, []error{ErrMisplaced}, `"6", face 2 of the book instead of 6`},
	} {
		s := cockerellOctavo.sheet(broad)
		c.spoil(&s)
		book, err := ReadBook([]Sheet{s}, []int{1}, Instructions{Folds: 3})
		if err != nil {
			t.Fatal(err)
		}
		err = Check(book, pages(16))
		for _, kind := range []error{ErrMissing, ErrTwice, ErrMisplaced, ErrStray, ErrTurned, ErrCrowded, ErrLength} {
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
	book, err := ReadBook([]Sheet{cowieFolio.sheet(broad)}, []int{1}, Instructions{Folds: 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := Check(book, pages(5)); !errors.Is(err, ErrLength) || !errors.Is(err, ErrMissing) {
		t.Errorf("five pages wanted of four: %v", err)
	}
	if err := Check(nil, pages(1)); !errors.Is(err, ErrMissing) {
		t.Errorf("no book: %v", err)
	}
	var fault *Fault
	if !errors.As(Check(book, Labels([]int{1, 2, 3, 0})), &fault) || fault.Kind != ErrStray || fault.Label != "4" {
		t.Errorf("a page where a blank should be: %v", fault)
	}
}

func change(s *Sheet, label string, how func(*Mark)) {
	for _, side := range [][]Mark{s.Front, s.Back} {
		for i := range side {
			if side[i].Label == label {
				how(&side[i])
				return
			}
		}
	}
}

func opposite(d geom.Point) geom.Point { return geom.Point{X: -d.X, Y: -d.Y} }
