package runsheet

import "foldwright/printer"

var dialogLink = link{"the settings", "dialog"}

// SettingsStage is the settings of the print dialog in one line, and one by one.
func SettingsStage(j Job) Stage {
	return Stage{
		Anchor: "dialog", Heading: "Set the print dialog", Steps: []Step{settingsStep(j)},
		Drawers: []Stage{
			{Heading: "Settings one by one", Notes: settings(j), Open: j.isCautious()},
			{Heading: "What these files expect of your printer", Notes: []Note{factsNote(j.Profile)}},
		},
	}
}

func settingsStep(j Job) Text {
	sides, order := say("{} off", wTwoSided), "not reversed"
	if j.isAutomatic() {
		sides = say("{} on, {}", wTwoSided, wFlipLong)
	}
	if j.Profile.Sends == printer.LastPageFirst {
		order = "in the order that the test sheet had"
	}
	t := text("In the {}, for every file: {}, actual size (100 percent), {}, 1 copy, all pages, {}; everything else off.", wPrintDialog, j.Paper.Word(), sides, order)
	if !j.isCautious() && len(j.CheckSheet.Files) > 0 {
		t.Else = say("Another tray, paper or computer than on the {}? First {}.", wTestSheet, checkLink)
	}
	return t
}

// isAutomatic tells whether the printer prints both sides of a sheet by itself.
func (j Job) isAutomatic() bool {
	return j.Profile.TwoSided == printer.Automatic && j.Form.IsTwoSided()
}

func settings(j Job) []Note {
	both := j.isAutomatic()
	notes := []Note{
		everyFileNote, actualSize, noFitting, noCentring, twoSidedStep(both), paperStep(j), onePerSheet, oneCopy, allPages,
		pageOrderStep(j.Profile.Sends), keepBlanks, noTurning, noBooklet,
	}
	if !both {
		notes = append(notes, noHandHelp)
	}
	return notes
}

var everyFileNote = text("These settings of the {} hold for every file of this job. Many dialogs forget them, so look each time.", wPrintDialog).
	why("Your dialog may use other words. Ignore settings that it lacks.")

// Settings of the print dialog that are the same for every job.
var (
	actualSize  = text("Size: actual size, 100 percent.")
	noFitting   = text("Fit to page, shrink to the printable area: off.")
	noCentring  = text("Centre on the page: off.")
	onePerSheet = text("Pages per sheet: 1.")
	oneCopy     = text("Copies: 1.")
	allPages    = text("Pages: all.")
	keepBlanks  = text("Skip blank pages: off.")
	noTurning   = text("Turn pages automatically, choose portrait or landscape automatically: off.")
	noBooklet   = text("Booklet: off. The pages already stand where they belong.")
	sameOrder   = text("Order of the pages: leave it as it is, for the test and for the book alike.")
	noHandHelp  = text("The printer's own help for printing both sides by hand: off.").
			why("Some printers ask to turn the stack in the middle of a file and change the order themselves. These files do without.")
)

func twoSidedStep(on bool) Text {
	if on {
		return text("{}: on, {}.", wTwoSided.as("Two-sided"), wFlipLong).
			why("Choose it also where pages lie sideways in the file: the files are made for that setting.")
	}
	return text("{}: off.", wTwoSided.as("Two-sided"))
}

func paperStep(j Job) Text { return text("Paper: {}.", j.paperAndSize()) }

// pageOrderStep is the order of the pages, as the computer sends them by now.
func pageOrderStep(sends printer.Sends) Text {
	if sends == printer.LastPageFirst {
		return text("Order of the pages: as it was when the profile was made, so that the last page is sent first.").
			why("If a box such as reverse order was ticked then, tick it now. If it was not, leave it: the computer turns the order round by itself.")
	}
	return text("Reverse order of the pages: off. The first page is sent first.")
}
