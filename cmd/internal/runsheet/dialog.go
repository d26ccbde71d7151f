package runsheet

import (
	"slices"

	"foldwright/printer"
	"foldwright/reorder"
)

var dialogLink = link{"the settings", "dialog"}

func dialogPart(j Job) Part {
	both := slices.ContainsFunc(j.Runs, func(r Run) bool { return r.Files != nil && r.Files[0].Pass == printer.BothPass })
	s := Stage{
		Notes: []Note{everyFileNote},
		Steps: []Step{
			actualSize, noFitting, noCentring,
			twoSidedStep(both), paperStep(j.Paper),
			onePerSheet, oneCopy, allPages,
			pageOrderStep(j.Profile.Sends),
			keepBlanks, noTurning, noBooklet,
		},
	}
	if !both {
		s.Steps = append(s.Steps, noHandHelp)
	}
	return Part{Anchor: "dialog", Heading: "Set up the print dialog", Stages: []Stage{s}}
}

// everyFileNote says when the settings of the print dialog matter.
var everyFileNote = Text{
	Lead: say("These settings of the {} hold for every file of this job. Many dialogs forget them, so look each time.", wPrintDialog),
	More: []Sentence{say("Your dialog may use other words, or have only some of the settings. What it does not have needs no care.")},
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
		Lead: say("The printer's own help for printing both faces by hand: off."),
		More: []Sentence{say("Some printers ask to turn the stack in the middle of a file and change the order themselves. These files do without.")},
	}
)

// twoSidedStep is whether the printer is asked to print both sides by itself.
func twoSidedStep(on bool) Text {
	if on {
		return Text{
			Lead: say("{}: on, {}.", wTwoSided.as("Two-sided"), wFlipLong),
			More: []Sentence{say("Choose it also where pages lie sideways in the file: the files are made for that setting.")},
		}
	}
	return Text{Lead: say("{}: off.", wTwoSided.as("Two-sided"))}
}

// paperStep is the paper that the dialog must name.
func paperStep(paper reorder.Paper) Text { return Text{Lead: say("Paper: {}.", paperAndSize(paper))} }

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
