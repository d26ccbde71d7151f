// Package learn is the conversation from which a printer is learned: what a
// person is asked, one question at a time, and what is said of the answers.
//
// [Heard] is what a person has told, by answers or by flags; [Heard.Conclude]
// makes a profile of it. An [Interview] is the questions that are still open, of
// a conversation at a terminal, [Ask], or of pages. What follows from an answer
// is found by package learning below package printer; here are only the words.
package learn

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/profiles"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// Heard is what a person has told of a printer. Zero fields were not told.
type Heard struct {
	learning.Answers
	learning.Measured
	// Three: three numbered sheets were printed, so there is an order to tell.
	Three bool
	// ActualSize: the print dialog said 100 percent, whatever the rulers say.
	ActualSize bool
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
			Because: "both prints are on one side, so nothing tells how far the back lies from the front",
			Again:   []learning.Question{learning.AskReading, learning.AskShift},
		}
	}
	fit, err := h.Fit(sheet, learned.Facts.FlipEdge)
	if err != nil {
		return Conclusion{}, err
	}
	fit.DoubtfulSize = fit.DoubtfulSize && !h.ActualSize
	p := profiles.Profile{
		Format: profiles.Format, Name: name, Facts: learned.Facts, Assumed: learned.Assumed,
		TraySheets: h.TraySheets, Tray: h.Tray, Process: h.Process, Paper: h.Paper,
		Registration: fit.Registration, Scale: fit.Scale, KeepClear: fit.KeepClear,
		Note: strings.Join(notes(fit), "; "),
	}
	round(&p.Registration, &p.Scale)
	return Conclusion{p, learned, fit}, nil
}

func (h Heard) hasMeasuredBack() bool {
	return len(h.Shifts) > 0 || h.Skew != nil || h.RulerBack.W != 0
}

// round makes what is written into a profile as close as it can be measured, and one
// digit closer.
func round(r *printer.Registration, s *printer.Scalings) {
	for _, mm := range []*float64{&r.Both.Right, &r.Both.Up, &r.Back.Right, &r.Back.Up} {
		*mm = roundTo(*mm, 100)
	}
	for _, scale := range []*float64{&s.Front.Across, &s.Front.Along, &s.Back.Across, &s.Back.Along} {
		*scale = roundTo(*scale, 10000)
	}
}

func roundTo(v, per float64) float64 { return math.Round(v*per) / per }

// listed is what stands between numbers and is surely no decimal comma.
var listed = regexp.MustCompile(`\s*[,;]\s+|\s+,\s*|\s*;\s*|\s+`)

// readNumbers reads as many numbers as one of the counts says, and hands them over. Commas stand between them
// unless something else does: then they are decimal commas.
func readNumbers(text, want, example string, take func([]float64), counts ...int) error {
	refused := refusal.Use.New("%q is not %s: write for example %s", text, want, example)
	words := listed.Split(strings.TrimSpace(strings.ReplaceAll(text, "mm", " ")), -1)
	if len(words) == 1 && !slices.Contains(counts, 1) {
		words = strings.Split(words[0], ",")
	}
	var out []float64
	for _, w := range words {
		v, err := strconv.ParseFloat(strings.Replace(w, ",", ".", 1), 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return refused
		}
		out = append(out, v)
	}
	if !slices.Contains(counts, len(out)) {
		return refused
	}
	take(out)
	return nil
}

// AddShift takes the readings of one more sheet: X,Y, or the four readings at
// the head, the right, the tail and the left, which tell the skew too.
func (h *Heard) AddShift(text string) error {
	return readNumbers(text, "a shift to the right and up, or four readings", "0.5, -0.25", func(v []float64) {
		if len(v) == 2 {
			h.Shifts = append(h.Shifts, printer.Shift{Right: v[0], Up: v[1]})
			return
		}
		r := learning.Readings{Head: v[0], Right: v[1], Tail: v[2], Left: v[3]}
		h.Shifts = append(h.Shifts, r.Shift())
		// The skew that is told is the largest one.
		if skew := r.Skew(); h.Skew == nil || math.Abs(skew) > math.Abs(*h.Skew) {
			h.Skew = &skew
		}
	}, 2, 4)
}

// SetSkew takes how much further right the back lies at the head than at the tail.
func (h *Heard) SetSkew(text string) error {
	return readNumbers(text, "one length in mm", "0.5", func(v []float64) { h.Skew = &v[0] }, 1)
}

// SetRulerFront and SetRulerBack take the lengths across and along.
func (h *Heard) SetRulerFront(text string) error { return setPair(text, &h.RulerFront) }
func (h *Heard) SetRulerBack(text string) error  { return setPair(text, &h.RulerBack) }

func setPair(text string, to *geom.Size) error {
	return readNumbers(text, "two lengths in mm", "170.5, 250", func(v []float64) { *to = geom.Size{W: v[0], H: v[1]} }, 2)
}

// SetMark takes the distances of the mark from the left edge and the lower one.
func (h *Heard) SetMark(text string) error {
	return readNumbers(text, "two distances in mm", "20.5, 23.5", func(v []float64) { h.Mark = &geom.Point{X: v[0], Y: v[1]} }, 2)
}

// AddEdges takes how far from its edges one more pass stopped: top, right,
// bottom, left, as the image stands upright.
func (h *Heard) AddEdges(text string) error {
	return readNumbers(text, "four edges in mm", "4, 4, 12, 4", func(v []float64) {
		h.Edges = append(h.Edges, printer.KeepClear{Head: v[0], Right: v[1], Tail: v[2], Left: v[3]})
	}, 4)
}
