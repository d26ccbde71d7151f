package runsheet

import (
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// CheckSheet is the one sheet that is printed before the stack.
type CheckSheet struct {
	Files []File  // in printing order; none: there is no such sheet
	Rule  float64 // the length of its rules, mm
	Marks []string
}

var checkLink = link{"print the check sheet", CheckAnchor}

func checkSheetPart(j Job) Part {
	first := j.CheckSheet.Files[0]
	print := Stage{Heading: "Print it", Steps: []Step{EmptyTray{}, LoadOne{Paper: j.Paper}, PrintFile{File: first.Name, Pass: first.Pass}}}
	look := Stage{Heading: "Look at it", Steps: []Step{MeasureRule{j.CheckSheet.Rule, j}}}
	if len(j.CheckSheet.Files) > 1 {
		back := j.CheckSheet.Files[1]
		stack := firstDelivery(j.Profile.Facts, Run{Sheets: 1, Files: j.CheckSheet.Files})
		print.Steps = append(print.Steps, oneAsStackStep, PutBack{Reload: j.Profile.Reload, Stack: stack}, PrintFile{File: back.Name, Pass: back.Pass})
	}
	if len(j.CheckSheet.Files) > 1 || first.Pass == printer.BothPass {
		look.Steps = append(look.Steps, pushPinStep(j.CheckSheet.Marks))
	}
	look.Steps = append(look.Steps, elseStopStep(j.Program))
	return Part{Anchor: checkLink.to, Heading: "Print the check sheet: one sheet, before a whole stack is spoiled", Stages: []Stage{print, look}}
}

// LoadOne puts a single sheet into the tray, fresh or, for a try, scrap.
type LoadOne struct {
	Paper     reorder.Paper
	ScrapFace printer.FeedFace // zero: it is fresh
}

func (l LoadOne) Text() Text {
	if l.ScrapFace != 0 {
		return text("Lay one sheet of scrap paper of the same size, {}, into the tray. A blank side lies {}: that one gets printed.", l.Paper.Word(), l.ScrapFace)
	}
	return text("Lay one sheet of {} paper into the {}, just as you will lay the stack.", l.Paper.Word(), wTray)
}

var oneAsStackStep = text("Let the sheet cool, or dry. The next step speaks of a stack: do it with this one sheet.")

// MeasureRule compares the printed rules with a real one.
type MeasureRule struct {
	Length float64 // mm
	Job
}

func (m MeasureRule) Text() Text {
	long := geom.Millimetres(m.Length) + " mm"
	if m.Units == binding.Inches {
		long = m.length(m.Length)
	}
	return text("Measure both rules from end to end. Each must be {} long, within half a millimetre.", long).
		why("If they are shorter or longer, the {} has changed the size. Look at {} again.", wPrintDialog, dialogLink)
}

func pushPinStep(marks []string) Text {
	return text("Push a pin straight through the crosses {} on the {}. On the back each hole must lie in the inner ring with the same letter.", strings.Join(marks, " and "), wFront).
		why("The arrows on the two sides must point to the same edge of the sheet.")
}

func elseStopStep(p Program) Text {
	return text("If anything differs, stop: print nothing of this job.").
		why("Look at {} first. If they are right, print the {}, made with {}, and prepare the book again with what it shows.", dialogLink, wTestSheet, p.other("testsheet"))
}
