package printer_test

import (
	"slices"
	"testing"

	"foldwright/printer"
	"foldwright/printer/virtual"
)

// The delivery of sheets printed on one side, in the words of IPP's
// page-delivery (same-order-face-up, same-order-face-down,
// reverse-order-face-up, reverse-order-face-down) and of RFC 3805's
// prtOutputStackingOrder: firstToLast(3), "the front of the next page is placed
// against the back of the previous page", lastToFirst(4), "the back of the next
// page is placed against the front". A stack of the same order reads 1..n once
// its printed faces are turned up (from memory).
func TestDeliveriesInTheWordsOfTheStandards(t *testing.T) {
	for _, c := range []struct {
		lands    printer.Lands
		stacks   printer.Stacks
		delivery string // IPP
		stacking string // RFC 3805
	}{
		{printer.FaceUp, printer.OnTop, "reverse-order-face-up", "lastToFirst"},
		{printer.FaceUp, printer.Beneath, "same-order-face-up", "firstToLast"},
		{printer.FaceDown, printer.OnTop, "same-order-face-down", "firstToLast"},
		{printer.FaceDown, printer.Beneath, "reverse-order-face-down", "lastToFirst"},
	} {
		facts := printer.Usual
		facts.Lands, facts.Stacks = c.lands, c.stacks
		if c.lands == printer.FaceUp {
			facts.Reload = printer.TurnShort
		}
		p, err := virtual.New[int](facts)
		if err != nil {
			t.Fatal(err)
		}
		stack, err := p.Print(virtual.Blank[int](3), []int{1, 2, 3})
		if err != nil {
			t.Fatal(err)
		}
		face := "face-down"
		if stack[0].Upper().Printed {
			face = "face-up"
		}
		done, err := virtual.Finish(stack) // printed faces up
		if err != nil {
			t.Fatal(err)
		}
		var read []int
		for _, s := range done {
			read = append(read, s.Front.Image)
		}
		delivery, stacking := "reverse-order-"+face, "lastToFirst"
		if slices.IsSorted(read) {
			delivery, stacking = "same-order-"+face, "firstToLast"
		}
		if delivery != c.delivery || stacking != c.stacking {
			t.Errorf("%s, %s: %s and %s, want %s and %s", c.lands, c.stacks, delivery, stacking, c.delivery, c.stacking)
		}
		// What the planner makes of it: the file of a one-sided job is in order
		// exactly where the delivery keeps the order.
		file := facts.Files(3, false)[0]
		if inOrder := file.Images[0].Sheet == 1; inOrder != slices.IsSorted(read) {
			t.Errorf("%s, %s: delivered %v, the file begins with sheet %d", c.lands, c.stacks, read, file.Images[0].Sheet)
		}
	}
}
