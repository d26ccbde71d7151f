package runsheet

import (
	"foldwright/printer"
	"foldwright/reorder"
)

var dialogLink = link{"the settings", "dialog"}

func dialogPart(j Job) Part {
	both := false
	for _, r := range j.Runs {
		for _, f := range r.Files {
			both = both || f.Pass == printer.BothPass
		}
	}
	s := Stage{
		Notes: []Note{EveryFile{}},
		Steps: []Step{
			ActualSize, NoFitting, NoCentring,
			TwoSided{both}, PaperChoice{j.Paper},
			OnePerSheet, OneCopy, AllPages,
			PageOrder{j.Profile.Sends},
			KeepBlanks, NoTurning, NoBooklet,
		},
	}
	if !both {
		s.Steps = append(s.Steps, NoHandHelp)
	}
	return Part{Anchor: "dialog", Heading: "Set up the print dialog", Stages: []Stage{s}}
}

// EveryFile says when the settings of the print dialog matter.
type EveryFile struct{}

func (EveryFile) Text() Text {
	return Text{
		Lead: say("These settings of the {} hold for every file of this job. Many dialogs forget them, so look each time.", wPrintDialog),
		More: []Sentence{say("Your dialog may use other words, or have only some of the settings. What it does not have needs no care.")},
	}
}

// Setting is a setting of the print dialog that is the same for every job.
type Setting int

const (
	ActualSize Setting = iota + 1
	NoFitting
	NoCentring
	OnePerSheet
	OneCopy
	AllPages
	KeepBlanks
	NoTurning
	NoBooklet
	SameOrder
	NoHandHelp
)

var settingSays = map[Setting]Text{
	ActualSize:  {Lead: say("Size: actual size, 100 percent.")},
	NoFitting:   {Lead: say("Fit to page, shrink to the printable area: off.")},
	NoCentring:  {Lead: say("Centre on the page: off.")},
	OnePerSheet: {Lead: say("Pages per sheet: 1.")},
	OneCopy:     {Lead: say("Copies: 1.")},
	AllPages:    {Lead: say("Pages: all.")},
	KeepBlanks:  {Lead: say("Skip blank pages: off.")},
	NoTurning:   {Lead: say("Turn pages automatically, choose portrait or landscape automatically: off.")},
	NoBooklet:   {Lead: say("Booklet: off. The pages already stand where they belong.")},
	SameOrder:   {Lead: say("Order of the pages: leave it as it is, for the test and for the book alike.")},
	NoHandHelp: {
		Lead: say("The printer's own help for printing both faces by hand: off."),
		More: []Sentence{say("Some printers ask to turn the stack in the middle of a file and change the order themselves. These files do without.")},
	},
}

func (s Setting) Text() Text { return settingSays[s] }

// TwoSided is whether the printer is asked to print both faces by itself.
type TwoSided struct{ On bool }

func (s TwoSided) Text() Text {
	if s.On {
		return Text{
			Lead: say("{}: on, {}.", wTwoSided.as("Two-sided"), wFlipLong),
			More: []Sentence{say("Choose it also where pages lie sideways in the file: the files are made for that setting.")},
		}
	}
	return Text{Lead: say("{}: off.", wTwoSided.as("Two-sided"))}
}

// PaperChoice is the paper that the dialog must name.
type PaperChoice struct{ Paper reorder.Paper }

func (s PaperChoice) Text() Text { return Text{Lead: say("Paper: {}.", paperAndSize(s.Paper))} }

// PageOrder is the order of the pages, as the computer sends them by now.
type PageOrder struct{ Sends printer.Sends }

func (s PageOrder) Text() Text {
	if s.Sends == printer.LastPageFirst {
		return Text{
			Lead: say("Order of the pages: as it was when the profile was made, so that the last page is sent first."),
			More: []Sentence{say("If a box such as reverse order was ticked then, tick it now. If it was not, leave it: the computer turns the order round by itself.")},
		}
	}
	return Text{Lead: say("Reverse order of the pages: off. The first page is sent first.")}
}
