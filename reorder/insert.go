package reorder

import (
	"fmt"

	"foldwright/reorder/enum"
	"foldwright/reorder/refusal"
)

// Attach is how a leaf of other paper is held between the leaves of a book.
type Attach = enum.Value[attachWords]

const (
	Tipped  Attach = iota + 1 // its spine edge is pasted onto the page beside it
	Wrapped                   // a folded pair of leaves laid round the inner leaves of a gathering, or round all of it
	Guard                     // pasted to a strip that is folded and sewn with a gathering
)

type attachWords struct{}

func (attachWords) Words() enum.Words { return enum.New("how", "tipped", "wrapped", "guard") }

// Slot is a place between two leaves of a book, before the first or after the last.
type Slot struct {
	Gathering int  `json:"gathering"`      // from 1
	Before    int  `json:"leaves-before"`  // leaves of the gathering that come before the slot
	Leaves    int  `json:"leaves"`         // of the whole gathering
	End       bool `json:"end,omitempty"`  // nothing follows in the book
	Edges     bool `json:"edge,omitempty"` // the gathering has no fold at the spine
}

// SlotAfter is the slot after so many pages of the book. It refuses one between the two pages of a leaf, and a
// book in which there are none.
func (b Book) SlotAfter(pages int) (Slot, error) {
	scheme := b.Form.Fold.Scheme()
	if scheme.Strip || b.Form.Copies {
		return Slot{}, refusal.Plan.New("nothing can be laid between the leaves of this book").Advise("it can be laid into any that is folded or of loose leaves, but a concertina or two books side by side")
	}
	before := 0
	for i, g := range b.Gatherings {
		n := len(g.Pages)
		last := i == len(b.Gatherings)-1
		if in := pages - before; in < n || last && in == n {
			if in%2 != 0 {
				return Slot{}, refusal.Plan.New("nothing can lie between the two pages of a leaf")
			}
			return Slot{Gathering: g.Number, Before: in / 2, Leaves: (n + 1) / 2, End: last && in == n, Edges: scheme.Held == Edges}, nil
		}
		before += n
	}
	return Slot{}, refusal.Plan.New("the book ends before that")
}

// Partner is where the other half of what is folded round the spine at a slot comes to lie.
func (s Slot) Partner() Slot {
	s.Before, s.End = s.Leaves-s.Before, false
	return s
}

// Check refuses a way of holding a leaf for which there is no fold at the slot.
func (s Slot) Check(how Attach) error {
	switch {
	case how != Tipped && s.Edges:
		return refusal.Plan.New("%s needs a fold at the spine, and these leaves have none", how)
	case how == Wrapped && 2*s.Before > s.Leaves:
		return refusal.Plan.New("a folded pair is named after the place of its first half, and %s lies in the second half of gathering %d", s, s.Gathering).
			Advise("it would have its first half %s: name that place, or hold the plate by tipped or guard", s.Partner())
	}
	return nil
}

// String says where the slot is.
func (s Slot) String() string {
	switch {
	case s.Before == 0 && s.Gathering == 1:
		return "before gathering 1"
	case s.Before == 0:
		return fmt.Sprintf("between gatherings %d and %d", s.Gathering-1, s.Gathering)
	case s.Before == s.Leaves:
		return fmt.Sprintf("after the last leaf of gathering %d", s.Gathering)
	}
	return fmt.Sprintf("between gathering %d's %s and %s leaf", s.Gathering, ordinal(s.Before), ordinal(s.Before+1))
}

// Round says what a folded pair, or a guard, is laid round.
func (s Slot) Round() string {
	inside := s.Leaves - 2*min(s.Before, s.Leaves-s.Before)
	switch inside {
	case 0:
		return fmt.Sprintf("into the middle of gathering %d", s.Gathering)
	case s.Leaves:
		return fmt.Sprintf("round the outside of gathering %d", s.Gathering)
	}
	return fmt.Sprintf("round the inner %d leaves of gathering %d", inside, s.Gathering)
}

var ordinals = []string{"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"}

// ordinal is a place in a row, from 1.
func ordinal(n int) string {
	if n <= len(ordinals) {
		return ordinals[n-1]
	}
	suffix := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			suffix = "st"
		case 2:
			suffix = "nd"
		case 3:
			suffix = "rd"
		}
	}
	return fmt.Sprintf("%d%s", n, suffix)
}
