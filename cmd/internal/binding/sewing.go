package binding

import (
	"fmt"
	"math"

	"foldwright/reorder"
)

// addSewing adds the thread, and by how much it makes the spine thicker.
func (w *worker) addSewing() {
	s, gatherings := w.Structure, reorder.Count(w.Book.Gatherings, "gathering")
	chosen := w.choose("thread, diameter", w.measured.Thread, s.Thread, "thread")
	thread := chosen.Amount
	rows, how := float64(w.Book.Gatherings), "sewn all along"
	between := rows // in how many places a thickness of thread lies
	if s.TwoOn {
		rows, between, how = math.Ceil(rows/2), rows/2, "sewn two on"
	}
	loose := thread.Times(between)
	if s.Sewn == Folds {
		w.Swelling = loose.By(s.Pressed)
	}
	w.narrowSpine()
	if s.Sewn == Folds {
		words := w.say("%s, each with one thickness of thread, %s", gatherings, thread)
		if s.TwoOn {
			words += ", two gatherings sewn on with one"
		}
		w.addBefore(w.length("swelling before pressing, at most", loose, words))
		w.addSwelling()
	}
	w.addBefore(chosen)
	height := w.Book.Leaf.H
	switch holes := w.Stations.Holes; s.Sewn {
	case Folds:
		run := holes[len(holes)-1].At - holes[0].At
		spare := s.Over.Times(run).Plus(s.Start)
		way, pitch := w.Way(int(rows)), w.Thick.Times(1/rows)
		long := Range{w.Stations.wayLength(way, pitch.Least), w.Stations.wayLength(way, pitch.Most)}
		w.addThread(long.Plus(spare), w.say("%s between the end stations, %.0f times (%s), with all links %s; and %s spare", Exactly(run), rows, how, long, spare))
	case ThroughCover:
		w.addThread(s.Times.Times(height*rows), w.say("%s times the spine of %s for each of %s; some of it is spare", s.Times.String(), Exactly(height), gatherings))
	default:
		w.addThread(s.Times.Times(height), w.say("%s times the spine of %s; some of it is spare", s.Times.String(), Exactly(height)))
	}
}

// ThreadToCut is the name of the figure that says how much thread to cut.
const ThreadToCut = "thread to cut"

func (w *worker) addThread(r Range, from string) {
	w.addBefore(Figure{Name: ThreadToCut, Value: w.Units.ThreadLength(r), Amount: r, From: from})
}

// narrowSpine works out the thickness of the spine. What was measured over its curve narrows that and the
// swelling.
func (w *worker) narrowSpine() {
	w.Thick = w.Block.Plus(w.Swelling)
	m := w.measured.Spine
	if m == 0 {
		return
	}
	span, expected := Exactly(m), w.Thick
	if w.Structure.Spine == Rounded {
		span, expected = Range{max(m/ArcOfChord, w.Block.Least), max(m/flatArcOfChord, w.Block.Least)}, expected.Times(ArcOfChord)
	}
	if m < w.Block.Least {
		w.addQuestion("spine", w.say("the spine was measured as %s, which is less than the block of %s: is that right?", Exactly(m), w.Block))
		return
	}
	w.ask("spine", "the spine", m, expected)
	if grown := span.Minus(w.Block); w.Swelling != (Range{}) {
		w.Swelling = w.Swelling.Within(Range{max(0, grown.Least), grown.Most})
	}
	w.Thick = w.Block.Plus(w.Swelling).Within(span)
}

// addSwelling adds how much swelling is left when the block is pressed, and what that is of the block.
func (w *worker) addSwelling() {
	s := w.Structure
	from := s.Pressed.String() + " of it"
	if m := w.measured.Spine; m > 0 {
		from += w.say(", and by the measured spine of %s", Exactly(m))
	}
	w.addBefore(w.length("swelling after pressing", w.Swelling, from))
	share := w.Swelling.Over(w.Block)
	w.addBefore(Figure{Name: "swelling, share", Value: PercentText(share), Amount: share,
		From: fmt.Sprintf("of the block; a %s spine needs %s to %s percent", s.Spine, percent(s.SwellWanted.Least), percent(s.SwellWanted.Most))})
	if a := SwellingAdvice(share, s); a != "" {
		w.Advice = append(w.Advice, a)
	}
}

// SwellingAdvice says what to do where a swelling, as a share of the block, is
// surely more, or surely less, than the spine of the structure needs; empty
// where it may be right.
func SwellingAdvice(share Range, s Structure) string {
	least, most := fmt.Sprintf("%.0f", math.Floor(share.Least*100)), fmt.Sprintf("%.0f", math.Ceil(share.Most*100))
	switch {
	case share.Least > s.SwellWanted.Most && least != percent(s.SwellWanted.Most):
		remedy := "use thinner thread or more sheets per gathering, or sew two gatherings on at a time"
		if s.TwoOn {
			remedy = "use thinner thread or more sheets per gathering"
		}
		return fmt.Sprintf("the thread will swell the spine by at least %s percent of the block, more than the %s that a %s spine can take: %s",
			least, percent(s.SwellWanted.Most), s.Spine, remedy)
	case share.Most < s.SwellWanted.Least && most != percent(s.SwellWanted.Least):
		return fmt.Sprintf("the thread will swell the spine by at most %s percent of the block, less than the %s that a %s spine needs: use thicker thread or fewer sheets per gathering",
			most, percent(s.SwellWanted.Least), s.Spine)
	}
	return ""
}

func percent(share float64) string { return fmt.Sprintf("%.0f", share*100) }

// addSupports adds the cords or tapes with their slips.
func (w *worker) addSupports() {
	s, n := w.Structure, len(w.Stations.Supports)
	if s.Support == NoSupport || n == 0 {
		return
	}
	slip := s.Slip
	slips := w.Thick.Plus(slip.Times(2))
	from := w.say("spine of %s and a slip of %s on each side", w.Thick, slip)
	if times := w.Thick.By(s.CordTimes); times.Most > slips.Most {
		slips = Range{max(times.Least, slips.Least), times.Most}
		from = w.say("%s times the spine of %s, which is more than two slips of %s", s.CordTimes.String(), w.Thick, slip)
	}
	w.addBefore(w.length(s.Support.String(), slips, from+"; add what your frame needs").times(n))
	if s.LacingHoles.Most > 0 {
		w.addAfter(w.length("lacing holes, from the spine edge of the board", s.LacingHoles, byDefault))
	}
}
