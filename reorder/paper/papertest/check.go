package papertest

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"foldwright/reorder/paper"
)

// What can be wrong with a book; [Fault] tells where.
var (
	ErrMissing   = errors.New("page missing")
	ErrTwice     = errors.New("page there more than once")
	ErrMisplaced = errors.New("page in the wrong place")
	ErrStray     = errors.New("not a page of the book")
	ErrTurned    = errors.New("page not upright")
	ErrCrowded   = errors.New("several pages on one face")
	ErrLength    = errors.New("wrong number of faces")
)

// Fault is one thing that is wrong with a book.
type Fault struct {
	Kind   error      // one of the errors above
	Label  string     // of the page
	Face   paper.Face // where it was found; for a missing page the face that should carry it
	Detail string
}

func (f *Fault) Error() string {
	text := fmt.Sprintf("gathering %d, place %d: %s", f.Face.Gathering, f.Face.Place, f.Kind)
	if f.Label != "" {
		text += ": " + strconv.Quote(f.Label)
	}
	if f.Detail != "" {
		text += ", " + f.Detail
	}
	return text
}

func (f *Fault) Unwrap() error { return f.Kind }

// Labels is the labels of pages given by number; 0 is a face without a mark.
func Labels(pages []int) []string {
	out := make([]string, len(pages))
	for i, p := range pages {
		if p != 0 {
			out[i] = strconv.Itoa(p)
		}
	}
	return out
}

// Check compares a book with the labels that its faces should carry, one each,
// in reading order; "" is a face without a mark. The error joins a [*Fault] for
// every difference.
func Check(book []paper.Face, want []string) error {
	var faults []error
	add := func(kind error, label string, face paper.Face, detail string, a ...any) {
		faults = append(faults, &Fault{kind, label, face, fmt.Sprintf(detail, a...)})
	}
	if len(book) != len(want) {
		var last paper.Face
		if len(book) > 0 {
			last = book[len(book)-1]
		}
		add(ErrLength, "", last, "%d instead of %d", len(book), len(want))
	}
	belongs := map[string]int{}
	for i, label := range want {
		if label != "" {
			belongs[label] = i
		}
	}
	found := map[string]paper.Face{}
	for i, face := range book {
		if len(face.Marks) > 1 {
			add(ErrCrowded, "", face, "%d marks", len(face.Marks))
		}
		for _, m := range face.Marks {
			before, again := found[m.Label]
			to, known := belongs[m.Label]
			switch {
			case !known:
				add(ErrStray, m.Label, face, "")
			case again:
				add(ErrTwice, m.Label, face, "and in gathering %d, place %d", before.Gathering, before.Place)
			case to != i:
				add(ErrMisplaced, m.Label, face, "face %d of the book instead of %d", i+1, to+1)
			}
			if !m.Upright {
				add(ErrTurned, m.Label, face, "%s", posture(m))
			}
			if !again {
				found[m.Label] = face
			}
		}
	}
	for i, label := range want {
		if _, there := found[label]; label == "" || there {
			continue
		}
		var should paper.Face
		if i < len(book) {
			should = book[i]
		}
		add(ErrMissing, label, should, "")
	}
	return errors.Join(faults...)
}

func posture(s paper.Seen) string {
	switch angle := math.Atan2(s.Head.Y, s.Head.X); {
	case s.Upright:
		return "upright"
	case math.Abs(angle+math.Pi/2) < math.Pi/4:
		return "upside down"
	case math.Abs(angle-math.Pi/2) < math.Pi/4:
		return "aslant"
	}
	return "sideways"
}
