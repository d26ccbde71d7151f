package runsheet

import "foldwright/printer"

var dialogLink = link{"the settings", "dialog"}

// settingsStage is the settings of the print dialog in one line, and one by one.
func settingsStage(j Job) Stage {
	return Stage{
		Anchor: "dialog", Heading: "Set the print dialog", Steps: []Step{settingsStep(j)},
		Drawers: []Stage{
			{Heading: "Settings one by one", Notes: settings(j), Open: j.cautious()},
			{Heading: "What these files expect of your printer", Notes: []Note{factsNote(j.Profile)}},
		},
	}
}

func settingsStep(j Job) Text {
	sides, order := say("{} off", wTwoSided), "not reversed"
	if j.turnsItself() {
		sides = say("{} on, {}", wTwoSided, wFlipLong)
	}
	if j.Profile.Sends == printer.LastPageFirst {
		order = "in the order that the test sheet had"
	}
	t := Text{Lead: say("In the {}, for every file: {}, actual size (100 percent), {}, 1 copy, all pages, {}; everything else off.", wPrintDialog, j.Paper.Word(), sides, order)}
	if !j.cautious() && len(j.CheckSheet.Files) > 0 {
		t.Else = say("Another tray, paper or computer than on the {}? First {}.", wTestSheet, checkLink)
	}
	return t
}

// turnsItself tells whether the printer prints both sides of a sheet by itself.
func (j Job) turnsItself() bool {
	return j.Profile.TwoSided == printer.Automatic && j.Form.IsTwoSided()
}

func settings(j Job) []Note {
	both := j.turnsItself()
	notes := []Note{
		everyFileNote, actualSize, noFitting, noCentring, twoSidedStep(both), paperStep(j), onePerSheet, oneCopy, allPages,
		pageOrderStep(j.Profile.Sends), keepBlanks, noTurning, noBooklet,
	}
	if !both {
		notes = append(notes, noHandHelp)
	}
	return notes
}

var everyFileNote = Text{
	Lead: say("These settings of the {} hold for every file of this job. Many dialogs forget them, so look each time.", wPrintDialog),
	More: []Sentence{say("Your dialog may use other words. Ignore settings that it lacks.")},
}

// Settings of the print dialog that are the same for every job.
var (
	actualSize  = Text{Lead: say("Size: actual size, 100 percent.")}
	noFitting   = Text{Lead: say("Fit to page, shrink to the printable area: off.")}
	noCentring  = Text{Lead: say("Centre on the page: off.")}
	onePerSheet = Text{Lead: say("Pages per sheet: 1.")}
	oneCopy     = Text{Lead: say("Copies: 1.")}
	allPages    = Text{Lead: say("Pages: all.")}
	keepBlanks  = Text{Lead: say("Skip blank pages: off.")}
	noTurning   = Text{Lead: say("Turn pages automatically, choose portrait or landscape automatically: off.")}
	noBooklet   = Text{Lead: say("Booklet: off. The pages already stand where they belong.")}
	sameOrder   = Text{Lead: say("Order of the pages: leave it as it is, for the test and for the book alike.")}
	noHandHelp  = Text{
		Lead: say("The printer's own help for printing both sides by hand: off."),
		More: []Sentence{say("Some printers ask to turn the stack in the middle of a file and change the order themselves. These files do without.")},
	}
)

func twoSidedStep(on bool) Text {
	if on {
		return Text{
			Lead: say("{}: on, {}.", wTwoSided.as("Two-sided"), wFlipLong),
			More: []Sentence{say("Choose it also where pages lie sideways in the file: the files are made for that setting.")},
		}
	}
	return Text{Lead: say("{}: off.", wTwoSided.as("Two-sided"))}
}

func paperStep(j Job) Text { return Text{Lead: say("Paper: {}.", j.paperAndSize())} }

// pageOrderStep is the order of the pages, as the computer sends them by now.
func pageOrderStep(sends printer.Sends) Text {
	if sends == printer.LastPageFirst {
		return Text{
			Lead: say("Order of the pages: as it was when the profile was made, so that the last page is sent first."),
			More: []Sentence{say("If a box such as reverse order was ticked then, tick it now. If it was not, leave it: the computer turns the order round by itself.")},
		}
	}
	return Text{Lead: say("Reverse order of the pages: off. The first page is sent first.")}
}
