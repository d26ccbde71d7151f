package printer

import (
	"fmt"
	"strings"
)

// Turns tells whether the reload turns the stack over, which also reverses
// its order.
func (v Reload) Turns() bool { return v == TurnLong || v == TurnShort }

// Usual is the case assumed where nothing is known of a printer.
var Usual = Facts{
	TwoSided: ByHand,
	FeedFace: FeedUp,
	FeedFrom: FromTop,
	Lands:    FaceDown,
	Stacks:   OnTop,
	Sends:    FirstPageFirst,
	Reload:   AsDelivered,
	FlipEdge: ShortEdge,
}

// FactError says that a fact is missing or has no place.
type FactError struct{ What string }

func (e *FactError) Error() string { return e.What }

// ContradictionError says that the back pass would print the same face again.
// It carries the reloads with which it would reach the blank one.
type ContradictionError struct {
	Facts Facts
	Works []Reload
}

func (e *ContradictionError) Error() string {
	return fmt.Sprintf("a printer that prints the face lying %s in the tray and lets it land %s would print the same face twice when the stack goes back %s",
		e.Facts.FeedFace, e.Facts.Lands, e.Facts.Reload)
}

// Hint names the reloads that would work.
func (e *ContradictionError) Hint() string {
	words := make([]string, len(e.Works))
	for i, r := range e.Works {
		words[i] = r.String()
	}
	return "reload would have to be " + strings.Join(words, " or ") + "; print the test again if you are not sure"
}

// reachesBlankFace is the first rule of the printer model: the back pass
// meets the blank face exactly if a sheet comes out the other way up than it
// went in, or the reload turns it, but not both.
func (f Facts) reachesBlankFace() bool {
	samePosition := (f.Lands == FaceUp) == (f.FeedFace == FeedUp)
	return samePosition == f.Reload.Turns()
}

// Check refuses facts that are missing, out of place or contradictory: with a
// [*FactError], or a [*ContradictionError] that names the reloads that work.
func (f Facts) Check() error {
	if f.TwoSided != ByHand && f.TwoSided != Automatic {
		return &FactError{"two-sided is not given"}
	}
	byHand := f.TwoSided == ByHand
	for _, fact := range []struct {
		name  string
		given bool
		hand  bool // a fact of printers that are turned by hand
	}{
		{"feed-face", f.FeedFace != 0, true},
		{"feed-from", f.FeedFrom != 0, true},
		{"reload", f.Reload != 0, true},
		{"lands", f.Lands != 0, false},
		{"stacks", f.Stacks != 0, false},
		{"sends", f.Sends != 0, false},
		{"flip-edge", f.FlipEdge != 0, false},
	} {
		switch {
		case byHand && !fact.given:
			return &FactError{fact.name + " is not given"}
		case !byHand && fact.hand && fact.given:
			return &FactError{fact.name + " has no place in an automatic printer's profile: the printer turns the paper itself"}
		case !byHand && !fact.hand && !fact.given:
			return &FactError{fact.name + " is not given"}
		}
	}
	if byHand && !f.reachesBlankFace() {
		err := &ContradictionError{Facts: f}
		for r := AsDelivered; r <= TurnShort; r++ {
			f.Reload = r
			if f.reachesBlankFace() {
				err.Works = append(err.Works, r)
			}
		}
		return err
	}
	return nil
}

// Legal is every combination of facts that fulfils Check, in a fixed order:
// 128 by hand and 16 automatic.
func Legal() []Facts {
	var all []Facts
	for lands := FaceUp; lands <= FaceDown; lands++ {
		for stacks := OnTop; stacks <= Beneath; stacks++ {
			for sends := FirstPageFirst; sends <= LastPageFirst; sends++ {
				for flip := LongEdge; flip <= ShortEdge; flip++ {
					common := Facts{TwoSided: Automatic, Lands: lands, Stacks: stacks, Sends: sends, FlipEdge: flip}
					all = append(all, common)
					common.TwoSided = ByHand
					all = append(all, common.byHand()...)
				}
			}
		}
	}
	return all
}

// byHand completes the facts in every way that is legal.
func (f Facts) byHand() []Facts {
	var all []Facts
	for face := FeedUp; face <= FeedDown; face++ {
		for from := FromTop; from <= FromBottom; from++ {
			for reload := AsDelivered; reload <= TurnShort; reload++ {
				f.FeedFace, f.FeedFrom, f.Reload = face, from, reload
				if f.Check() == nil {
					all = append(all, f)
				}
			}
		}
	}
	return all
}
