package learning_test

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/printer/printertest"
	"foldwright/printer/virtual"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// The files hold the sheets I, II, III; a front is a positive number, a back a
// negative one.
var fronts, backs, both = []int{1, 2, 3}, []int{-1, -2, -3}, []int{1, -1, 2, -2, 3, -3}

// tried is three test sheets as they came out of a simulated printer, after the
// stack was put back in the given way.
func tried(t *testing.T, facts printer.Facts, reload printer.Reload) virtual.Stack[int] {
	t.Helper()
	p, err := virtual.New[int](facts)
	if err != nil {
		t.Fatal(err)
	}
	p = p.WithOverprinting()
	if facts.TwoSided == printer.Automatic {
		stack, err := p.PrintBoth(virtual.Blank[int](3), both)
		if err != nil {
			t.Fatal(err)
		}
		return stack
	}
	stack, err := p.Print(virtual.Blank[int](3), fronts)
	if err != nil {
		t.Fatal(err)
	}
	if stack, err = virtual.Reload(stack, reload); err != nil {
		t.Fatal(err)
	}
	if stack, err = p.Print(stack, backs); err != nil {
		t.Fatal(err)
	}
	return stack
}

// clockwise are the corners of a face, from the head's left.
var (
	sheetSize = geom.Size{W: 210, H: 297}
	clockwise = []geom.Point{{X: 0, Y: 297}, {X: 210, Y: 297}, {X: 210, Y: 0}, {X: 0, Y: 0}}
)

// looked is what a person sees who looks at the stack.
func looked(t *testing.T, stack virtual.Stack[int]) (learning.Reading, learning.Top, learning.Pair) {
	t.Helper()
	done, err := virtual.Finish(stack)
	if err != nil {
		t.Fatal(err)
	}
	one := done[0]
	back, pin := one.Back, one.Front.Place(clockwise[0], sheetSize)
	if one.Front.Over != nil {
		back = *one.Front.Over
	} else {
		pin.X = sheetSize.W - pin.X
	}
	reading := learning.Reading(0)
	for i, corner := range clockwise {
		if back.Place(corner, sheetSize) == pin {
			reading = learning.K1 + learning.Reading(i)
		}
	}
	pair := learning.PairReversed
	if back.Image == -one.Front.Image {
		pair = learning.PairSame
	}
	return reading, topOf(stack), pair
}

// topOf finds the print made last on the top sheet.
func topOf(stack virtual.Stack[int]) learning.Top {
	if n := slices.Min(stack[0].Images()); n == -1 {
		return learning.TopFirst
	}
	return learning.TopLast
}

// TestEveryPrinterIsLearned lets a person try three sheets on each printer,
// with each way of putting them back, and finds the printer from the answers.
func TestEveryPrinterIsLearned(t *testing.T) {
	readings := map[learning.Reading]int{}
	for _, facts := range virtual.All() {
		reloads := []printer.Reload{0}
		if facts.TwoSided == printer.ByHand {
			reloads = []printer.Reload{printer.AsDelivered, printer.RotateHalf, printer.TurnLong, printer.TurnShort}
		}
		for _, reload := range reloads {
			stack := tried(t, facts, reload)
			reading, top, pair := looked(t, stack)
			readings[reading]++
			a := learning.Answers{
				TwoSided: facts.TwoSided, Reload: reload, Reading: reading, Top: top, Pair: pair,
				Lands: facts.Lands, Stacks: facts.Stacks,
			}
			got, err := a.Learn()
			if err != nil {
				t.Fatalf("%+v, tried %s: %v", facts, reload, err)
			}
			if len(got.Assumed) > 0 {
				t.Errorf("%+v, tried %s: assumed %v", facts, reload, got.Assumed)
			}
			// What was found is a printer on which the backs come right.
			if _, err := virtual.New[int](got.Facts); err != nil {
				t.Fatalf("%+v, tried %s: learned %+v: %v", facts, reload, got.Facts, err)
			}
			if !onTwoFaces(reading) {
				continue // put back otherwise from now on
			}
			want := facts
			if reload != 0 && reload != facts.Reload {
				want.Reload, want.FlipEdge = reload, got.Facts.FlipEdge // the same trip, put back otherwise
			}
			if got.Facts != want {
				t.Errorf("%+v, tried %s: learned %+v", facts, reload, got.Facts)
			}
		}
	}
	for r := learning.K1; r <= learning.K4; r++ {
		if readings[r] < 128 {
			t.Errorf("%s was read %d times", r, readings[r])
		}
	}
}

func onTwoFaces(r learning.Reading) bool { return r == learning.K2 || r == learning.K4 }

// TestMendedReloads puts the stack back as it was learned from a sheet that
// was printed twice on one face, and finds the turn to be the one learned.
func TestMendedReloads(t *testing.T) {
	n := 0
	for _, facts := range virtual.All() {
		if facts.TwoSided == printer.Automatic {
			continue
		}
		for reload := printer.AsDelivered; reload <= printer.TurnShort; reload++ {
			reading, _, _ := looked(t, tried(t, facts, reload))
			if onTwoFaces(reading) {
				continue
			}
			got, err := learning.Answers{Reload: reload, Reading: reading}.Learn()
			if err != nil || !got.Turned {
				t.Fatalf("%+v, tried %s: %+v, %v", facts, reload, got, err)
			}
			again, _, _ := looked(t, tried(t, facts, got.Facts.Reload))
			want := map[printer.FlipEdge]learning.Reading{printer.LongEdge: learning.K2, printer.ShortEdge: learning.K4}[got.Facts.FlipEdge]
			if again != want {
				t.Errorf("%+v, tried %s: read %s; put back %s as learned: read %s, want %s", facts, reload, reading, got.Facts.Reload, again, want)
			}
			n++
		}
	}
	if n != 256 {
		t.Errorf("%d sheets were printed twice on one face, want half of 512", n)
	}
}

// TestEveryCrossTellsTheFeedFace: the cross is pencilled on the upper face of
// the blank sheets of every printer and looked for after the first pass.
func TestEveryCrossTellsTheFeedFace(t *testing.T) {
	for _, facts := range virtual.All() {
		if facts.TwoSided == printer.Automatic {
			continue
		}
		p, err := virtual.New[int](facts)
		if err != nil {
			t.Fatal(err)
		}
		stack, err := p.Print(virtual.Blank[int](1).MarkWithPencil(), []int{1})
		if err != nil {
			t.Fatal(err)
		}
		pencil := learning.OnUnprinted
		for _, side := range []virtual.Seen[int]{stack[0].Upper(), stack[0].Lower()} {
			if side.Printed && side.Crossed {
				pencil = learning.OnPrinted
			}
		}
		known, err := learning.Answers{Pencil: pencil}.KnownFacts()
		if err != nil || known.FeedFace != facts.FeedFace {
			t.Errorf("%+v: the cross is %s, so the feed-face %s; %v", facts, pencil, known.FeedFace, err)
		}
	}
}

// TestPencilTellsTheFeedFace: the pencilled face lies up in the tray.
func TestPencilTellsTheFeedFace(t *testing.T) {
	for pencil, face := range map[learning.Pencil]printer.FeedFace{learning.OnPrinted: printer.FeedUp, learning.OnUnprinted: printer.FeedDown} {
		got, err := learning.Answers{Reload: printer.AsDelivered, Reading: learning.K4, Pencil: pencil}.Learn()
		if err != nil || got.Facts.FeedFace != face {
			t.Errorf("%s: %+v, %v", pencil, got.Facts, err)
		}
		// A sheet that went in one way up and met the second pass without being
		// turned came out the other way up.
		want := map[printer.FeedFace]printer.Lands{printer.FeedUp: printer.FaceDown, printer.FeedDown: printer.FaceUp}[face]
		if got.Facts.Lands != want || slices.Contains(got.Assumed, "lands") {
			t.Errorf("%s: lands %s, assumed %v", pencil, got.Facts.Lands, got.Assumed)
		}
	}
}

// TestOneSheetAssumesTheOrderAndSaysSo.
func TestOneSheetAssumesTheOrderAndSaysSo(t *testing.T) {
	got, err := learning.Answers{Reload: printer.AsDelivered, Reading: learning.K4, Pencil: learning.OnPrinted}.Learn()
	if err != nil {
		t.Fatal(err)
	}
	if got.Facts != printer.Usual || strings.Join(got.Assumed, " ") != "stacks feed-from sends" || got.Harmless {
		t.Errorf("%+v", got)
	}
}

// TestThreeSheetsTellTheFiles: top and pair leave three facts open, which
// only together are of any consequence, so the files are certain.
func TestThreeSheetsTellTheFiles(t *testing.T) {
	for _, facts := range virtual.All() {
		_, top, pair := looked(t, tried(t, facts, facts.Reload))
		a := learning.Answers{TwoSided: facts.TwoSided, Reload: facts.Reload, Top: top, Pair: pair, Lands: facts.Lands}
		a.Reading = map[printer.FlipEdge]learning.Reading{printer.LongEdge: learning.K2, printer.ShortEdge: learning.K4}[facts.FlipEdge]
		got, err := a.Learn()
		if err != nil {
			t.Fatal(err)
		}
		if !got.Harmless {
			t.Errorf("%+v: the files are said to be in doubt: %v", facts, got.Assumed)
		}
		for _, backs := range []bool{true, false} {
			if !reflect.DeepEqual(got.Facts.Files(7, backs), facts.Files(7, backs)) {
				t.Errorf("%+v: learned %+v, which has other files", facts, got.Facts)
			}
		}
	}
}

// TestLastPageFirstIsNoContradiction: the top sheet is the first one.
func TestLastPageFirstIsNoContradiction(t *testing.T) {
	got, err := learning.Answers{Reload: printer.AsDelivered, Reading: learning.K4, Top: learning.TopFirst, Stacks: printer.OnTop}.Learn()
	if err != nil || got.Facts.Sends != printer.LastPageFirst || slices.Contains(got.Assumed, "sends") {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestContradictions(t *testing.T) {
	usual := learning.Answers{Reload: printer.AsDelivered, Reading: learning.K4}
	with := func(change func(*learning.Answers)) learning.Answers {
		a := usual
		change(&a)
		return a
	}
	for name, c := range map[string]struct {
		answers learning.Answers
		because string
		again   string
	}{
		"faces": {
			with(func(a *learning.Answers) {
				a.Pencil, a.Lands, a.Stacks = learning.OnPrinted, printer.FaceUp, printer.OnTop
			}),
			"the side lying up in the tray gets printed; a sheet that came out with its print up and went back as it came would then be printed a second time on the same side, but a pin that finds number 4 says on the other one",
			"reload reading pencil lands",
		},
		"automatic on one face": {
			learning.Answers{TwoSided: printer.Automatic, Reading: learning.K3},
			"the reading K3 means that both prints are on one side, and a printer that turns the paper itself cannot do that",
			"two-sided reading",
		},
		"automatic reload": {
			with(func(a *learning.Answers) { a.TwoSided = printer.Automatic }),
			"you put nothing back, so there is no answer to give to 'reload'",
			"two-sided reload",
		},
		"automatic pair": {
			learning.Answers{TwoSided: printer.Automatic, Reading: learning.K2, Pair: learning.PairReversed},
			"the pair cannot be reversed",
			"two-sided pair",
		},
		"top": {
			with(func(a *learning.Answers) {
				a.Top, a.Stacks, a.Sends = learning.TopFirst, printer.OnTop, printer.FirstPageFirst
			}),
			"with stacks on-top, sends first-page-first the last sheet would lie on top, not the first",
			"stacks sends top",
		},
		"pair": {
			with(func(a *learning.Answers) {
				a.Pair, a.Stacks, a.FeedFrom = learning.PairSame, printer.OnTop, printer.FromTop
			}),
			"with reload as-delivered, stacks on-top, feed-from top the pairs would be reversed, not same",
			"reload stacks feed-from pair",
		},
		"top and pair": {
			with(func(a *learning.Answers) {
				a.Top, a.Pair, a.Sends, a.FeedFrom = learning.TopLast, learning.PairSame, printer.FirstPageFirst, printer.FromTop
			}),
			"the last sheet on top and the pairs same, together with reload as-delivered, feed-from top, sends first-page-first, cannot come from one printer",
			"reload feed-from sends top pair",
		},
	} {
		_, err := c.answers.Learn()
		var e *learning.Contradiction
		if !errors.As(err, &e) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !strings.Contains(err.Error(), c.because) {
			t.Errorf("%s: %s", name, err)
		}
		if again := strings.Trim(fmt.Sprint(e.Again), "[]"); again != c.again {
			t.Errorf("%s: asks again for %s, want %s", name, again, c.again)
		}
	}
}

func TestMissingAnswers(t *testing.T) {
	for want, a := range map[string]learning.Answers{
		"without 'reading' and 'reload' nothing can be learned of the printer": {},
		"without 'reload' nothing can be learned of the printer":               {Reading: learning.K2},
		"without 'reading' nothing can be learned of the printer":              {TwoSided: printer.Automatic},
	} {
		_, err := a.Learn()
		if refusal.Of(err) != refusal.Use || err.Error() != want {
			t.Errorf("%+v: %v", a, err)
		}
	}
}

// TestKnownGrows answer by answer, as a person sees it on the screen.
func TestKnownGrows(t *testing.T) {
	a := learning.Answers{TwoSided: printer.ByHand, Reload: printer.AsDelivered}
	known, err := a.KnownFacts()
	if err != nil || known != (printer.Facts{TwoSided: printer.ByHand}) {
		t.Errorf("before the reading: %+v, %v", known, err)
	}
	a.Reading = learning.K1
	known, err = a.KnownFacts()
	if err != nil || known.Reload != printer.TurnLong || known.FlipEdge != printer.LongEdge || known.Lands != 0 {
		t.Errorf("after the reading: %+v, %v", known, err)
	}
	a.Pencil = learning.OnPrinted
	known, err = a.KnownFacts()
	if err != nil || known.FeedFace != printer.FeedUp || known.Lands != printer.FaceUp {
		t.Errorf("after the pencil cross: %+v, %v", known, err)
	}
}

func TestWords(t *testing.T) {
	for _, text := range []string{"K3", "k3", "3"} {
		var r learning.Reading
		if err := r.UnmarshalText([]byte(text)); err != nil || r != learning.K3 {
			t.Errorf("%s: %v, %v", text, r, err)
		}
	}
	for r := learning.K1; r <= learning.K4; r++ {
		var again learning.Reading
		if err := again.UnmarshalText([]byte(r.String())); err != nil || again != r {
			t.Errorf("%s: %v, %v", r, again, err)
		}
	}
	if learning.AskEdges.String() != "edges" {
		t.Errorf("the questions' words end with %s", learning.AskEdges)
	}
}

// only is the answers to some of the questions.
func only(a learning.Answers, questions []learning.Question) learning.Answers {
	var out learning.Answers
	for _, q := range questions {
		switch q {
		case learning.AskTwoSided:
			out.TwoSided = a.TwoSided
		case learning.AskReload:
			out.Reload = a.Reload
		case learning.AskReading:
			out.Reading = a.Reading
		case learning.AskPencil:
			out.Pencil = a.Pencil
		case learning.AskLands:
			out.Lands = a.Lands
		case learning.AskStacks:
			out.Stacks = a.Stacks
		case learning.AskTop:
			out.Top = a.Top
		case learning.AskPair:
			out.Pair = a.Pair
		}
	}
	return out
}

// TestReasonsAreEnoughAndNoMore: a fact follows from its reasons alone, and from no
// fewer of them.
func TestReasonsAreEnoughAndNoMore(t *testing.T) {
	values := map[string]func(printer.Facts) fmt.Stringer{
		"two-sided": func(f printer.Facts) fmt.Stringer { return f.TwoSided }, "flip-edge": func(f printer.Facts) fmt.Stringer { return f.FlipEdge },
		"reload": func(f printer.Facts) fmt.Stringer { return f.Reload }, "feed-face": func(f printer.Facts) fmt.Stringer { return f.FeedFace },
		"lands": func(f printer.Facts) fmt.Stringer { return f.Lands }, "stacks": func(f printer.Facts) fmt.Stringer { return f.Stacks },
		"feed-from": func(f printer.Facts) fmt.Stringer { return f.FeedFrom }, "sends": func(f printer.Facts) fmt.Stringer { return f.Sends },
	}
	told := 0
	for _, facts := range printertest.Some(t, 12) {
		reading, top, pair := looked(t, tried(t, facts, facts.Reload))
		a := learning.Answers{TwoSided: facts.TwoSided, Reload: facts.Reload, Reading: reading, Top: top, Pair: pair, Stacks: facts.Stacks}
		if facts.TwoSided == printer.ByHand {
			a.Pencil = map[printer.FeedFace]learning.Pencil{printer.FeedUp: learning.OnPrinted, printer.FeedDown: learning.OnUnprinted}[facts.FeedFace]
		} else {
			a.Lands = facts.Lands
		}
		for name, value := range values {
			if value(facts).String() == "not given" {
				continue
			}
			reasons := a.Reasons(name)
			told++
			if known, err := only(a, reasons).KnownFacts(); err != nil || value(known) != value(facts) {
				t.Fatalf("%+v: %s does not follow from %v: %v", facts, name, reasons, err)
			}
			for i := range reasons {
				fewer := slices.Delete(slices.Clone(reasons), i, i+1)
				if known, err := only(a, fewer).KnownFacts(); reasons[i] != learning.AskReload && err == nil && value(known) == value(facts) {
					t.Fatalf("%+v: %s follows from %v already, not only from %v", facts, name, fewer, reasons)
				}
			}
		}
	}
	if told < 12*5 {
		t.Errorf("%d facts have reasons", told)
	}
}
