package printer

import (
	"slices"
	"strings"
	"sync"

	"foldwright/reorder/refusal"
)

// TurnsOver tells whether a reload turns the stack over, which also reverses
// its order.
func TurnsOver(v Reload) bool { return v == TurnLong || v == TurnShort }

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

// reachesBlankFace is the first rule of the printer model: the back pass
// meets the blank face exactly if a sheet comes out the other way up than it
// went in, or the reload turns it, but not both.
func (f Facts) reachesBlankFace() bool {
	samePosition := (f.Lands == FaceUp) == (f.FeedFace == FeedUp)
	return samePosition == TurnsOver(f.Reload)
}

// Check refuses facts that are missing, out of place or contradictory.
func (f Facts) Check() error {
	if f.TwoSided != ByHand && f.TwoSided != Automatic {
		return refusal.Plan.New("two-sided is missing")
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
		wanted := byHand || !fact.hand
		switch {
		case wanted && !fact.given:
			return refusal.Plan.New("%s is not given", fact.name)
		case fact.given && !wanted:
			return refusal.Plan.New("%s does not belong in the profile of an automatic printer: it turns the paper itself", fact.name)
		}
	}
	if byHand && !f.reachesBlankFace() {
		return f.refuseOneFaceTwice()
	}
	return nil
}

// refuseOneFaceTwice refuses facts with which the back pass would print the same
// face again, and names the reloads with which it would reach the blank one.
func (f Facts) refuseOneFaceTwice() error {
	var works []string
	for r := AsDelivered; r <= TurnShort; r++ {
		g := f
		g.Reload = r
		if g.reachesBlankFace() {
			works = append(works, r.String())
		}
	}
	return refusal.Plan.New("a printer that prints the side lying %s in the tray and lets it land %s would print the same side twice when the stack goes back %s",
		f.FeedFace, f.Lands, f.Reload).Advise("reload must be %s; if you are not sure, print the test sheet again", strings.Join(works, " or "))
}

// Legal is every combination of facts that fulfils Check, in a fixed order:
// 128 by hand and 16 automatic.
func Legal() []Facts { return slices.Clone(legal()) }

// legal is all of them, found once: learning goes through them after every answer.
var legal = sync.OnceValue(func() []Facts {
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
})

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
