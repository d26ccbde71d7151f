package runsheet

import (
	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/reorder"
)

// LoadTest loads the paper of the test.
type LoadTest struct{ Paper reorder.Paper }

func (l LoadTest) Text() Text {
	return text("Lay three sheets of {} paper into the {}. Take all other paper out of it, and out of the {}.", l.Paper.Word(), wTray, wDelivery).
		why("Ignore the other scales on the test sheets, and their steps. Do what this page says.")
}

func (LoadTest) Drawing() drawing.Drawing {
	return drawing.Lies{Stack: drawing.Stack{Where: drawing.Tray, Sheets: testSheets, Up: drawing.Blank, Under: drawing.Blank}}
}

// testStack is the three test sheets after the first pass: which face lies up is for the
// test to find out.
var testStack = drawing.Stack{Where: drawing.Delivery, Sheets: 3, Up: drawing.Either, Under: drawing.Either}

// MeasureTest stops whoever has printed a test sheet at another size.
type MeasureTest struct{}

// What is measured on a test sheet: strokes of a centimetre each.
const testStrokes = 10

func (MeasureTest) Text() Text {
	return text("Measure the size before you go on: from the cross at the letter {}, along its scale, to the tenth stroke. It must be {}.", testLetter, "100 mm (3 15/16 in)").
		item("99 to 101 mm: good. Go on.").
		item("less (often 94 to 97 mm) or more: stop. The print was fitted to the page, and the book would not come out right. Set {} and {}, and begin the test again with three fresh sheets.", literal("actual size"), literal("100 percent")).
		orElse("Measure the other scale that begins at this cross in the same way. Take only one sheet in your hand, and lay it back just as it lay.")
}

func (MeasureTest) Drawing() drawing.Drawing {
	return drawing.Rule{Letter: testLetter, Strokes: testStrokes, Length: "100 mm"}
}

// printTestStep prints a file of the test.
func printTestStep(file string, pass printer.Pass) Text {
	switch pass {
	case printer.BackPass:
		return text("Print {} on the same three sheets.", literal(file))
	case printer.BothPass:
		return text("Look at {} and print {}: three sheets, both sides.", dialogLink, literal(file))
	}
	return text("Look at {} and print {}: three sheets, one side.", dialogLink, literal(file))
}

// testLetter is the letter beside the cross through which the pin is pushed.
var testLetter = right[:1]

// ReadPin reads off the test sheet between which edges the sheets were turned: by hand, or
// where the printer turns the paper itself.
type ReadPin struct {
	PutBack []PutBackRead
	Edges   []EdgeRead
}

func (r ReadPin) Text() Text {
	t := text("Push a pin through the cross at the letter {} of a {}, and read the number beside the hole, on whichever side it is. Letter and number together are the reading.", testLetter, wTestSheet)
	for _, row := range r.PutBack {
		if row.Reading == right {
			t.List = append(t.List, say("{}: you have put the stack back in the right way. Keep to it.", literal(row.Reading)))
			continue
		}
		t.List = append(t.List, say("{}: from now on put the stack back in another way. {}", literal(row.Reading), PutBack{Reload: row.Reload}.Text().Lead))
	}
	for _, row := range r.Edges {
		if row.Reading == right {
			t.List = append(t.List, say("{}: the setting is right. Keep it.", literal(row.Reading)))
			continue
		}
		t.List = append(t.List, say("{}: from now on choose flip on {} edge in the dialog instead of flip on {} edge.", literal(row.Reading), row.Edge, printer.OtherEdge(row.Edge)))
	}
	again := say("If you did not read {}, begin the test again with three fresh sheets and put them back in the new way. Now you must read {}. If you do not, something was done differently: begin the test once more.", literal(right), literal(right))
	if len(r.Edges) > 0 {
		again = say("If you did not read {}, print the test again on three fresh sheets with the new setting. Now you must read {}. If you do not, turn two-sided off and follow the part {}.",
			literal(right), literal(right), link{"If you put the paper back yourself", "by-hand"})
	}
	t.Else = again
	return t
}

func (ReadPin) Drawing() drawing.Drawing {
	return drawing.Cards{
		What: "Push a pin through the cross, and read the number at the hole", Pin: true,
		Labels: []string{"the front, at " + testLetter, "the back"}, Words: [][]string{{testLetter}, {"here " + right[1:], "reads " + right}},
	}
}

// ReadTop reads the order off the test sheets. Of a book on one side only one numeral is read.
type ReadTop struct{ OneSided bool }

func (r ReadTop) Text() Text {
	keep := say("Keep their order: turn them over as a whole, if at all.")
	if r.OneSided {
		return Text{
			Lead: say("Lay the three sheets as one stack before you so that the large word {} looks up, and read the numeral on the top sheet.", literal("front")),
			List: []Sentence{keep, say("The numeral is {} or {}. Write it down.", literal("I"), literal("III"))},
		}
	}
	return text("Lay the three sheets as one stack before you so that the large word {} looks up. {}", literal("back"), keep).
		item("Read the numeral on the top sheet, on the side that looks up: this is the numeral of the back.").
		item("Lift only this sheet, and read the numeral on its other side: this is the numeral of the {}.", wFront).
		item("Each is {} or {}. Write both down.", literal("I"), literal("III"))
}

func (r ReadTop) Drawing() drawing.Drawing {
	numeral := "I or III?"
	if r.OneSided {
		return drawing.Cards{What: "Read the top sheet", Labels: []string{"as it lies"}, Words: [][]string{{"front", numeral}}}
	}
	return drawing.Cards{
		What: "Read the top sheet, and then its other side", Labels: []string{"as it lies", "lifted: its other side"},
		Words: [][]string{{"back", numeral}, {"front", numeral}},
	}
}
