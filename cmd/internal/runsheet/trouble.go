package runsheet

const troubleAnchor = "trouble"

var troubleLink = link{"If something is wrong", troubleAnchor}

func troublePart(j Job) Part {
	r := rescueOf(j)
	count := Stage{
		Heading: "A sheet is missing or left over, or the paper jams",
		Notes:   []Note{AskedEarly, LeftOver, Jam},
		Steps:   []Step{Stop{r.byHand()}},
	}
	stages := []Stage{count}
	if j.SideNames {
		stages[0].Steps = append(count.Steps, ReadNames{}, SortOut{r.byHand()})
		if r.Of >= fewest {
			stages = append(stages, r.restStage(j.Profile.Stacks))
		}
		stages = append(stages, r.sheetStage())
	} else {
		stages[0].Steps = append(count.Steps, StartAgain{})
	}
	stages = append(stages, Stage{
		Heading: "The count is right, but names, order or faces are not",
		Notes:   []Note{Misfit},
	})
	return Part{Anchor: troubleAnchor, Heading: troubleLink.text, Stages: stages}
}

// mendingTrouble is the same for sheets that are printed once more: their files
// hold nothing else.
func mendingTrouble(j Job) Part {
	return Part{Anchor: troubleAnchor, Heading: troubleLink.text, Stages: []Stage{
		{Notes: []Note{AskedEarly, LeftOver, Jam}, Steps: []Step{Stop{rescueOf(j).byHand()}, MendAgain{j.Folder}}},
		{Heading: "The count is right, but names, order or faces are not", Notes: []Note{Misfit}},
	}}
}

// Trouble is what a fault means.
type Trouble int

const (
	AskedEarly Trouble = iota + 1
	LeftOver
	Jam
	Misfit
)

var troubleSays = map[Trouble]Text{
	AskedEarly: {Lead: say("The printer asks for paper before the file is done, or a sheet of the stack is blank: a {}. Or one sheet too few was counted in.", wDoubleFeed)},
	LeftOver:   {Lead: say("Sheets are left in the tray when the file is done: too many were counted in, or the computer left pages out. Look at {} again.", dialogLink)},
	Jam:        {Lead: say("The paper jams: get it out as the printer's handbook says, down to the last torn piece. Parts inside may be hot.")},
	Misfit: {
		Lead: say("The {} does not fit your printer, or a setting of the {} has changed. Print no more of this job.", wProfile, wPrintDialog),
		More: []Sentence{say("Look at {} first. If they are right, print the {} and prepare the book again with the profile that comes of it.", dialogLink, wPrinterTest)},
	},
}

func (t Trouble) Text() Text { return troubleSays[t] }

// Stop keeps a fault from spoiling more paper.
type Stop struct{ ByHand bool }

func (s Stop) Text() Text {
	if s.ByHand {
		return Text{
			Lead: say("Stop: cancel what still waits to be printed. Do not print the second file on a stack that is not right."),
			More: []Sentence{say("Only if the printer asks for paper while it prints the fronts: give it one fresh sheet, and another if it asks again, until the file is done. A blank sheet is then in the stack and is taken out below.")},
		}
	}
	return Text{Lead: say("Stop: cancel what still waits to be printed.")}
}

// ReadNames finds the place of the fault.
type ReadNames struct{}

func (ReadNames) Text() Text {
	return Text{
		Lead: say("Take the stack out without changing its order, and read the {} on each sheet, from the top to the bottom.", wSideName),
		More: []Sentence{say("The last numbers in it are the sheet's place in its {}. They must go up by one, or down by one, from sheet to sheet.", wRun)},
	}
}

// SortOut keeps what is good.
type SortOut struct{ ByHand bool }

func (s SortOut) Text() Text {
	if !s.ByHand {
		return Text{
			Lead: say("Keep the sheets that bear the same sheet number on both faces, in their order. What is missing is printed as it says below."),
		}
	}
	return Text{
		Lead: say("If it happened while the fronts were printed: take out every sheet without a name. If each number is now there once, and in order, the stack is good and you may go on."),
		More: []Sentence{
			say("If it happened while the backs were printed: keep the sheets that bear the same sheet number on both faces, in their order."),
			say("What is missing is printed as it says below. Only if nothing is in order any more begin the {} again, with fresh paper counted anew.", wRun),
		},
	}
}

// StartAgain is what is left where no side names are printed.
type StartAgain struct{}

func (StartAgain) Text() Text {
	return Text{
		Lead: say("Begin the {} again, with fresh paper counted anew.", wRun),
		More: []Sentence{say("This job was prepared without names on the sheets, so the place of the fault cannot be told.")},
	}
}
