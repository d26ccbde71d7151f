package runsheet

import (
	"slices"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
)

// Screen is one step of a run sheet, as it is shown alone, or the notes of a stage that has no steps.
type Screen struct {
	Part, Stage string // the headings it stands under
	Anchor      string // of the part
	Notes       []Note // what to know before the step
	Step        Step   // nil: there are notes only
	Drawers     []Stage
}

// Anchors of parts that whoever shows screens has to know.
const MakeAnchor, CheckAnchor, LostAnchor = "make", "check", "lost"

// Screens are the steps of a job as somebody goes through them who sees one at a time:
// every run has steps of its own. check tells whether the check sheet is printed first. What
// is only for those who are sent there is left out, and so are the figures for the bench.
func Screens(j Job, check bool) []Screen {
	j.eachRun = true
	parts := Parts(j)
	at := slices.IndexFunc(parts, func(p Part) bool { return p.Anchor == CheckAnchor })
	if at >= 0 {
		sheet := parts[at]
		sheet.Shut = false
		parts = slices.Delete(parts, at, at+1)
		if first := slices.IndexFunc(parts, Part.prints); check && first >= 0 {
			parts = slices.Insert(parts, first, sheet)
		}
	}
	return ScreensOf(parts)
}

// prints tells whether the part is a run's.
func (p Part) prints() bool { return len(p.Anchor) > 4 && p.Anchor[:4] == "run-" }

// ScreensOf are the steps of parts, but for those that are shut.
func ScreensOf(parts []Part) (out []Screen) {
	for _, p := range parts {
		if p.Shut || p.Anchor == benchAnchor {
			continue
		}
		for _, s := range p.Stages {
			one := Screen{Part: p.Heading, Stage: s.Heading, Anchor: p.Anchor, Notes: s.Notes, Drawers: s.Drawers}
			if len(s.Steps) == 0 {
				out = append(out, one)
			}
			for _, one.Step = range s.Steps {
				out = append(out, one)
				one.Notes, one.Drawers = nil, nil
			}
		}
	}
	return out
}

// SettingsStage is the settings of the print dialog.
func SettingsStage(j Job) Stage { return settingsStage(j) }

// DeliveredStack is the stack that lies in the delivery after a pass.
func DeliveredStack(f printer.Facts, pass printer.Pass, e Ends) drawing.Stack {
	return deliveredStack(f, pass, e)
}
