package runsheet

import (
	"strings"

	"foldwright/printer"
	"foldwright/reorder"
)

// Trial is the one sheet that is printed before the stack.
type Trial struct {
	Files []File  // in printing order; none: there is no such sheet
	Rule  float64 // the length of its rules, mm
	Marks []string
}

const trialAnchor = "trial"

func trialPart(j Job) Part {
	first := j.Trial.Files[0]
	print := Stage{
		Notes: []Note{WhyTrial{}},
		Steps: []Step{
			EmptyTray{}, LoadOne{j.Paper}, PrintOne{first.Name, first.Pass},
		},
	}
	if len(j.Trial.Files) > 1 {
		back := j.Trial.Files[1]
		print.Steps = append(print.Steps, OneAsStack{}, PutBack{Reload: j.Profile.Reload, Pile: printedOnce(j.Profile.Facts, 1, first)}, PrintOne{back.Name, back.Pass})
	}
	look := Stage{Heading: "Look at it", Steps: []Step{MeasureRule{j.Trial.Rule}}}
	if len(j.Trial.Files) > 1 || first.Pass == printer.BothPass {
		look.Steps = append(look.Steps, PushPin{j.Trial.Marks})
	}
	look.Steps = append(look.Steps, ElseStop{})
	return Part{Anchor: trialAnchor, Heading: "Try one sheet first", Stages: []Stage{print, look}}
}

// WhyTrial says what one sheet is for.
type WhyTrial struct{}

func (WhyTrial) Text() Text {
	return Text{Lead: say("One sheet shows whether the printer does today what the {} says, before a whole stack is spoilt.", wProfile)}
}

// LoadOne puts a single fresh sheet into the tray.
type LoadOne struct{ Paper reorder.Paper }

func (l LoadOne) Text() Text {
	return Text{Lead: say("Lay one sheet of {} paper into the {}, just as you will lay the stack.", paperWord(l.Paper), wTray)}
}

// PrintOne sends a file of the trial sheet.
type PrintOne struct {
	File string
	Pass printer.Pass
}

func (p PrintOne) Text() Text {
	t := Text{Lead: say("Look at {} and print {}.", dialogLink, literal(p.File))}
	switch p.Pass {
	case printer.FrontPass:
		t.More = append(t.More, say("It prints the {} of the sheet.", wFront))
	case printer.BackPass:
		t.More = append(t.More, say("It prints the back of the sheet."))
	default:
		t.More = append(t.More, say("It prints both faces of the sheet."))
	}
	return t
}

// OneAsStack says that the single sheet stands for a stack.
type OneAsStack struct{}

func (OneAsStack) Text() Text {
	return Text{Lead: say("Let the sheet cool, or dry. The next step speaks of a stack: do it with this one sheet.")}
}

// MeasureRule compares the printed rules with a real one.
type MeasureRule struct{ Length float64 }

func (m MeasureRule) Text() Text {
	return Text{
		Lead: say("Measure both rules from end to end. Each must be {} mm long, give or take half a millimetre.", reorder.Millimetres(m.Length)),
		More: []Sentence{say("If they are shorter or longer, the {} has changed the size. Look at {} again.", wPrintDialog, dialogLink)},
	}
}

// PushPin compares the two faces.
type PushPin struct{ Marks []string }

func (p PushPin) Text() Text {
	return Text{
		Lead: say("Push a pin straight through the crosses {} on the front. On the back each hole must lie in the inner ring with the same letter.", strings.Join(p.Marks, " and ")),
		More: []Sentence{say("The arrows on the two faces must point to the same edge of the sheet.")},
	}
}

// ElseStop keeps a whole stack from being spoilt.
type ElseStop struct{}

func (ElseStop) Text() Text {
	return Text{
		Lead: say("If anything differs, stop: print nothing of this job."),
		More: []Sentence{say("Look at {} first. If they are right, print the {}, made with {}, and prepare the book again with what it tells.", dialogLink, wPrinterTest, literal("foldwright testsheet"))},
	}
}
