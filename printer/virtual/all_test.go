package virtual

import (
	"testing"

	"foldwright/printer"
)

// Design 3: 128 by hand, "2^6, and the two reloads that work for each", and 16 automatic.
func TestAll(t *testing.T) {
	hand, automatic := 0, 0
	reloads := map[printer.Facts][]printer.Reload{}
	for _, f := range All() {
		if f.TwoSided == printer.Automatic {
			automatic++
			continue
		}
		hand++
		key := f
		key.Reload = 0
		reloads[key] = append(reloads[key], f.Reload)
	}
	if hand != 128 || automatic != 16 {
		t.Errorf("%d by hand and %d automatic, want 128 and 16", hand, automatic)
	}
	if len(reloads) != 64 {
		t.Errorf("%d combinations without the reload, want 64", len(reloads))
	}
	for f, r := range reloads {
		if len(r) != 2 {
			t.Errorf("%+v: reloads %v, want two", f, r)
		}
	}
}

// Common practice, no source: a printer by hand that prints the upper face of
// the top sheet and delivers it face down needs no turning of the stack.
func TestNoTurningNeeded(t *testing.T) {
	seen := 0
	for _, f := range All() {
		if f.TwoSided == printer.ByHand && f.FeedFace == printer.FeedUp && f.Lands == printer.FaceDown {
			seen++
			if f.Reload != printer.AsDelivered && f.Reload != printer.RotateHalf {
				t.Errorf("%+v turns the stack over", f)
			}
		}
	}
	if seen != 32 {
		t.Errorf("%d such printers, want 32", seen)
	}
}

// One trip, and no other, agrees with the facts of a printer by hand: the trip
// is hidden inside, but lands, reload and flip-edge leave no choice.
func TestOneTripAgrees(t *testing.T) {
	for _, f := range All() {
		if f.TwoSided == printer.Automatic {
			continue
		}
		trips := 0
		for trip := Still; trip <= AboutShort; trip++ {
			if agrees(f, trip) {
				trips++
			}
		}
		if trips != 1 {
			t.Errorf("%+v: %d trips agree", f, trips)
		}
	}
}
