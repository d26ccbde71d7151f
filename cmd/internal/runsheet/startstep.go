package runsheet

import (
	"foldwright/printer"
	"foldwright/reorder"
)

// AnyPrinter says what the folder is.
type AnyPrinter struct {
	OneFace bool // of every sheet is printed
}

func (a AnyPrinter) Text() Text {
	if a.OneFace {
		return Text{
			Lead: say("These files make a book on any printer. Three sheets of paper tell which of them are right for yours."),
			More: []Sentence{say("Every file for the book has a numeral in its name, {} or {}: the numeral that you will read on the top test sheet. The book is printed on one face of its paper.",
				literal("I"), literal("III"))},
		}
	}
	return Text{
		Lead: say("These files make a book on any printer. Three sheets of paper tell which of them are right for yours."),
		More: []Sentence{
			say("Every file for the book has a numeral in its name, {} or {}: the numeral that you will read on the top test sheet.",
				literal("I"), literal("III")),
			say("Look whether your {} offers to print on both faces: many call it {}. If it does, follow the part {}. If it does not, or if it only tells you to turn the paper, follow the part {}. Do not mix the two.",
				wPrintDialog, wTwoSided, link{"If the printer turns the paper itself", "two-sided"}, link{"If you put the paper back yourself", "by-hand"}),
		},
	}
}

// LoadTest loads the paper of the test.
type LoadTest struct{ Paper reorder.Paper }

func (l LoadTest) Text() Text {
	return Text{
		Lead: say("Lay three sheets of {} paper into the {}, and take all other paper out of it and out of the {}.", paperWord(l.Paper), wTray, wDelivery),
		More: []Sentence{say("The test sheets bear more than is needed here, such as rules, scales and further steps. Do what this page says, and leave the rest.")},
	}
}

// TestFile prints a file of the test.
type TestFile struct {
	File string
	Pass printer.Pass
}

func (f TestFile) Text() Text {
	switch f.Pass {
	case printer.BackPass:
		return Text{Lead: say("Print {} on the same three sheets.", literal(f.File))}
	case printer.BothPass:
		return Text{Lead: say("Look at {} and print {}: three sheets, both faces.", dialogLink, literal(f.File))}
	}
	return Text{Lead: say("Look at {} and print {}: three sheets, one face.", dialogLink, literal(f.File))}
}

// ReadPin reads the turn off the test sheet, by hand.
type ReadPin struct{ Table []PutBackRead }

func (r ReadPin) Text() Text {
	t := pin()
	for _, row := range r.Table {
		if row.Reading == right {
			t.List = append(t.List, say("{}: your way of putting the stack back is right. Keep it.", literal(row.Reading)))
			continue
		}
		t.List = append(t.List, say("{}: from now on put it back otherwise. {}", literal(row.Reading), PutBack{Reload: row.Reload}.Text().Lead))
	}
	t.More = append(t.More, say("If you did not read {}, begin the test again with three fresh sheets and put them back in the new way. Now you must read {}. If you do not, something was done otherwise than before: begin the test once more.", literal(right), literal(right)))
	return t
}

func pin() Text {
	return Text{
		Lead: say("Push a pin through the cross at the letter A of a test sheet, and read the number beside the hole, on whichever face it stands. Letter and number together are the reading."),
	}
}

// ReadPinEdge is the same where the printer turns the paper itself.
type ReadPinEdge struct{ Table []EdgeRead }

func (r ReadPinEdge) Text() Text {
	t := pin()
	for _, row := range r.Table {
		if row.Reading == right {
			t.List = append(t.List, say("{}: the setting is right. Keep it.", literal(row.Reading)))
			continue
		}
		t.List = append(t.List, say("{}: from now on choose flip on {} edge in the dialog instead of flip on {} edge.", literal(row.Reading), row.Edge, row.Edge.Other()))
	}
	t.More = append(t.More, say("If you did not read {}, print the test again on three fresh sheets with the new setting. Now you must read {}. If you do not, turn two-sided off and follow the part {}.",
		literal(right), literal(right), link{"If you put the paper back yourself", "by-hand"}))
	return t
}

// ReadTop reads the order off the test sheets.
type ReadTop struct{}

func (ReadTop) Text() Text {
	return Text{
		Lead: say("Lay the three sheets as one stack before you so that the large word {} looks up. Keep their order: turn them over as a whole, if at all.", literal("back")),
		List: []Sentence{
			say("Read the numeral on the top sheet, on the face that looks up: this is the numeral of the back."),
			say("Lift only this sheet, and read the numeral on its other face: this is the numeral of the {}.", wFront),
		},
		More: []Sentence{say("Each is {} or {}. Write both down.", literal("I"), literal("III"))},
	}
}

// ReadTopFront reads the order off test sheets that are printed on one face.
type ReadTopFront struct{}

func (ReadTopFront) Text() Text {
	return Text{
		Lead: say("Lay the three sheets as one stack before you so that the large word {} looks up, and read the numeral on the top sheet.", literal("front")),
		More: []Sentence{
			say("Keep their order: turn them over as a whole, if at all."),
			say("The numeral is {} or {}. Write it down.", literal("I"), literal("III")),
		},
	}
}

// LoadBook loads the paper for the book.
type LoadBook struct {
	Sheets int
	Paper  reorder.Paper
}

func (l LoadBook) Text() Text {
	return Text{
		Lead: say("Count exactly {} of {} paper, and lay what you counted into the {}.", reorder.Count(l.Sheets, "sheet"), paperWord(l.Paper), wTray),
		More: []Sentence{say("If the tray or the delivery does not hold so many, ask for these files in smaller runs: {} makes them with {} and a number.", literal("foldwright kit"), literal("--run"))},
	}
}

// PrintChosen prints the file that the numeral names.
type PrintChosen struct {
	Files   ByTop
	Numeral string // where it was read: the front, the back
	// Second: the sheets come out with both faces printed, and with side names on
	// both.
	Second bool
}

func (p PrintChosen) Text() Text {
	t := Text{Lead: say("Look at {} and print {}.", dialogLink, literal(p.Files.One))}
	if p.Files.One != p.Files.Three {
		t.Lead = say("Look at {} and print one of two files, by the numeral of {}:", dialogLink, p.Numeral)
		t.List = []Sentence{
			say("{}: {}", literal("I"), literal(p.Files.One)),
			say("{}: {}", literal("III"), literal(p.Files.Three)),
		}
	}
	if p.Second {
		t.More = []Sentence{say("When a few sheets are out, look at one of them, without reaching into the printer: the {} on both faces must begin with the same sheet number. If it does not, cancel the rest and read {}.", wSideName, troubleLink)}
	}
	return t
}

// PileCount counts what came out of the first pass.
type PileCount struct{ Sheets int }

func (c PileCount) Text() Text {
	return Text{Lead: say("Let the sheets rest until they are cool and dry, and count them: {}, in the order in which they lie.", c.Sheets)}
}

// PutBackAsFound puts the stack back in the way that the test has shown.
type PutBackAsFound struct{}

func (PutBackAsFound) Text() Text {
	return Text{Lead: say("Put the whole stack back into the {} in the very way with which you read {} in the test.", wTray, literal(right))}
}

// FrontsUp looks at the finished stack.
type FrontsUp struct {
	First, Last string
	OneFace     bool
}

func (f FrontsUp) Text() Text {
	t := Text{Lead: say("Take the stack out and turn it, as a whole and only if it has to be, so that the fronts lie up and the first sheet on top.")}
	if f.OneFace {
		t.Lead = say("Take the stack out and lay it before you with the printed faces up, which are the {}: the first sheet must lie on top.", wFront.as("fronts"))
	}
	if f.First != "" && f.First == f.Last {
		t.List = []Sentence{say("the sheet's {}: {}", wSideName, literal(f.First))}
	} else if f.First != "" {
		t.List = []Sentence{
			say("the top sheet's {}: {}", wSideName, literal(f.First)),
			say("the bottom sheet's {}: {}", wSideName, literal(f.Last)),
		}
	}
	switch {
	case f.OneFace:
		t.More = []Sentence{say("If it lies at the bottom, a file was taken for the wrong numeral. Nothing is lost: lay the sheets over one by one, and their order is turned round.")}
	case f.First != "":
		t.More = []Sentence{say("On every sheet both names must begin with the same sheet number. If they do not, read {}.", troubleLink)}
	}
	return t
}

// kitTrouble saves what is good where nobody has the program, nor knows how the
// printer orders its sheets: every missing sheet is printed by its page.
func kitTrouble(k Kit) Part {
	part := Part{Anchor: troubleAnchor, Heading: troubleLink.text}
	s := Stage{Notes: []Note{AskedEarly, LeftOver, Jam}, Steps: []Step{Stop{!k.Start.oneFace()}}}
	if k.SideNames {
		s.Steps = append(s.Steps, WriteMissing{!k.Start.oneFace()}, PrintMissing{k.Start, rescueOf(k.Job)}, FillGaps{})
	} else {
		s.Steps = append(s.Steps, StartAgain{})
	}
	part.Stages = []Stage{s}
	if !k.Start.oneFace() {
		part.Stages = append(part.Stages, Stage{Heading: "The two faces of the sheets do not belong together", Notes: []Note{WrongChoice{}}})
	}
	return part
}

// WrongChoice says why faces do not fit.
type WrongChoice struct{}

func (WrongChoice) Text() Text {
	return Text{
		Lead: say("The sheet numbers on both faces differ, or one face stands on its head: a file was taken for the wrong numeral, the stack was put back otherwise than in the test, or a setting of the {} has changed. Print no more.", wPrintDialog),
		More: []Sentence{say("Look at {} first. Then begin again with the test, with three fresh sheets: it tells what fits.", dialogLink)},
	}
}

// WriteMissing finds out which sheets are missing.
type WriteMissing struct{ TwoFaces bool }

func (w WriteMissing) Text() Text {
	t := Text{
		Lead: say("Keep the sheets that are printed as they should be, in their order. Read the {} on each, and write down which are missing.", wSideName),
		More: []Sentence{say("The last two numbers in it are the sheet's place in its {}, and the number of sheets there.", wRun)},
	}
	if w.TwoFaces {
		t.More = append(t.More, say("If the backs were being printed: sheets whose fronts are good and whose backs are blank are not missing. Leave them in the {} as they lie, or lay them back as they lay.", wTray))
	}
	return t
}

// PrintMissing prints single pages of the files of a kit.
type PrintMissing struct {
	Start  Start
	rescue rescue
}

// Ways are the kinds of files with the order of each.
func (p PrintMissing) Ways() []KitWay {
	if p.Start.oneFace() {
		return []KitWay{
			{"I", FileOrder{Pass: printer.FrontPass}}, {"III", FileOrder{Pass: printer.FrontPass, Descending: true}},
		}
	}
	return []KitWay{
		{"III", FileOrder{Pass: printer.FrontPass}}, {"I", FileOrder{Pass: printer.FrontPass, Descending: true}},
		{"III", FileOrder{Pass: printer.BothPass}}, {"I", FileOrder{Pass: printer.BothPass, Descending: true}},
	}
}

// KitWay is the order of the files that have a numeral in their names: the front
// files and the back files, or those of both faces.
type KitWay struct {
	Numeral string
	Order   FileOrder
}

func (p PrintMissing) Text() Text {
	r := p.rescue
	t := Text{
		Lead: say("Print only what is missing, with the same files: lay a fresh sheet for each into the {}, and in the {} write their pages instead of all. With {}, k is {} and n is {}:",
			wTray, wPrintDialog, r.example(), r.Place, r.Of),
	}
	for _, w := range p.Ways() {
		kind := "file"
		switch {
		case w.Order.Pass == printer.BothPass:
			kind = "two-sided file"
		case !p.Start.oneFace():
			kind = "by-hand file"
		}
		t.List = append(t.List, say("{} with {} in its name: {}; here {}", kind, literal(w.Numeral), w.Order.ofRule(), literal(pageRange(w.Order.Of(r.Place, r.Of)))))
	}
	if !p.Start.oneFace() {
		t.More = []Sentence{say("By hand print the fronts first. Put the sheets back in the way that you have found in the test, and print the backs of the same sheets. Where only backs are missing, print only their pages of the back file.")}
	}
	return t
}

// FillGaps lays new sheets into their places.
type FillGaps struct{}

func (FillGaps) Text() Text {
	return Text{
		Lead: say("Lay the new sheets into their places, the same face up and the same way round as their neighbours, so that the numbers count on from sheet to sheet."),
	}
}
