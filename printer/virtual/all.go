package virtual

import "foldwright/printer"

// All is every set of facts that a printer can have, found by trying: a
// combination counts if some trip through the printer agrees with it.
func All() []printer.Facts {
	common := []printer.Facts{{}}
	common = each(common, func(f *printer.Facts) *printer.Lands { return &f.Lands }, printer.FaceUp, printer.FaceDown)
	common = each(common, func(f *printer.Facts) *printer.Stacks { return &f.Stacks }, printer.OnTop, printer.Beneath)
	common = each(common, func(f *printer.Facts) *printer.Sends { return &f.Sends }, printer.FirstPageFirst, printer.LastPageFirst)
	common = each(common, func(f *printer.Facts) *printer.FlipEdge { return &f.FlipEdge }, printer.LongEdge, printer.ShortEdge)

	kind := func(f *printer.Facts) *printer.TwoSided { return &f.TwoSided }
	automatic := each(common, kind, printer.Automatic)
	hand := each(common, kind, printer.ByHand)
	hand = each(hand, func(f *printer.Facts) *printer.FeedFace { return &f.FeedFace }, printer.FeedUp, printer.FeedDown)
	hand = each(hand, func(f *printer.Facts) *printer.FeedFrom { return &f.FeedFrom }, printer.FromTop, printer.FromBottom)
	hand = each(hand, func(f *printer.Facts) *printer.Reload { return &f.Reload },
		printer.AsDelivered, printer.RotateHalf, printer.TurnLong, printer.TurnShort)

	var all []printer.Facts
	for _, f := range append(hand, automatic...) {
		if _, err := New[int](f); err == nil {
			all = append(all, f)
		}
	}
	return all
}

// each is the given facts, once with every value of one more fact.
func each[V any](facts []printer.Facts, fact func(*printer.Facts) *V, values ...V) []printer.Facts {
	var out []printer.Facts
	for _, f := range facts {
		for _, v := range values {
			*fact(&f) = v
			out = append(out, f)
		}
	}
	return out
}
