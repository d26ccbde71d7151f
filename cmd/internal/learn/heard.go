// Package lesson is the conversation from which a printer is learned: what a
// person is asked, one question at a time, and what is said of the answers.
//
// [Heard] is what a person has told, by answers or by flags; [Heard.Conclude]
// makes a profile of it. [Ask] puts the questions that are still open. What
// follows from an answer is found by package learning below package printer;
// here are only the words.
package learn

import (
	"math"

	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/profiles"
)

// Heard is what a person has told of a printer. Zero fields were not told.
type Heard struct {
	learning.Answers
	learning.Measured
	// Three: three numbered sheets were printed, so there is an order to tell.
	Three      bool
	Paper      string // as reorder.ParsePaper takes it
	TraySheets int
	Tray       profiles.Tray
	Process    profiles.Process
}

// Conclusion is what follows from what was heard.
type Conclusion struct {
	Profile profiles.Profile
	Learned learning.Learned
	Fit     learning.Fit
}

// Conclude makes a profile of what was heard. sheet is the test sheet on the
// paper that was heard of. The errors are those of [learning.Answers.Learn]
// and [learning.Measured.Fit].
func (h Heard) Conclude(name string, sheet learning.Sheet) (Conclusion, error) {
	learned, err := h.Learn()
	if err != nil {
		return Conclusion{}, err
	}
	if learned.Turned && h.hasMeasuredBack() {
		return Conclusion{}, &learning.Contradiction{
			Because: "both prints lie on one face, so nothing tells how far the back lies from the front",
			Again:   []learning.Question{learning.AskReading, learning.AskShift},
		}
	}
	fit, err := h.Fit(sheet, learned.Facts.FlipEdge)
	if err != nil {
		return Conclusion{}, err
	}
	p := profiles.Profile{
		Format: profiles.Format, Name: name, Facts: learned.Facts, Assumed: learned.Assumed,
		TraySheets: h.TraySheets, Tray: h.Tray, Process: h.Process, Paper: h.Paper,
		Registration: roundRegistration(fit.Registration), Scale: roundScalings(fit.Scale),
		Note: fitNote(fit), KeepClear: fit.KeepClear,
	}
	return Conclusion{p, learned, fit}, nil
}

func (h Heard) hasMeasuredBack() bool {
	return len(h.Shifts) > 0 || h.Skew != nil || h.RulerBack.W != 0
}

// What is written into a profile is written as closely as it can be measured
// and one digit more.

func roundRegistration(r printer.Registration) printer.Registration {
	to := func(s printer.Shift) printer.Shift {
		return printer.Shift{Right: roundTo(s.Right, 100), Up: roundTo(s.Up, 100)}
	}
	return printer.Registration{Both: to(r.Both), Back: to(r.Back)}
}

func roundScalings(s printer.Scalings) printer.Scalings {
	to := func(s printer.Scaling) printer.Scaling {
		return printer.Scaling{Across: roundTo(s.Across, 10000), Along: roundTo(s.Along, 10000)}
	}
	return printer.Scalings{Front: to(s.Front), Back: to(s.Back)}
}

func roundTo(v, per float64) float64 { return math.Round(v*per) / per }
