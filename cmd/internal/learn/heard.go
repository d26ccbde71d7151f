// Package learn is the conversation from which a printer is learned: what a
// person is asked, one question at a time, and what is said of the answers.
//
// [Heard] is what a person has told, by answers or by flags; [Heard.Conclude]
// makes a profile of it. [Ask] puts the questions that are still open. What
// follows from an answer is found by package learning below package printer;
// here are only the words.
package learn

import (
	"math"
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

// parseNumbers reads so many numbers, with commas or spaces between them.
func parseNumbers(text, want string, counts ...int) ([]float64, error) {
	words := strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == ' ' || r == '\t' })
	var out []float64
	for _, w := range words {
		v, err := strconv.ParseFloat(strings.TrimSuffix(w, "mm"), 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, refuseNumbers(text, want)
		}
		out = append(out, v)
	}
	for _, n := range counts {
		if len(out) == n {
			return out, nil
		}
	}
	return nil, refuseNumbers(text, want)
}

// AddShift takes the readings of one more sheet: X,Y, or the four readings at
// the head, the right, the tail and the left, which tell the skew too. What it
// refuses it refuses .
func (h *Heard) AddShift(text string) error {
	v, err := parseNumbers(text, "a shift X,Y or four readings head,right,tail,left", 2, 4)
	if err != nil {
		return err
	}
	if len(v) == 2 {
		h.Shifts = append(h.Shifts, printer.Shift{Right: v[0], Up: v[1]})
		return nil
	}
	r := learning.Readings{Head: v[0], Right: v[1], Tail: v[2], Left: v[3]}
	h.Shifts = append(h.Shifts, r.Shift())
	// The skew that is told is the largest one.
	if skew := r.Skew(); h.Skew == nil || math.Abs(skew) > math.Abs(*h.Skew) {
		h.Skew = &skew
	}
	return nil
}

// SetSkew takes how much further right the back lies at the head than at the tail.
func (h *Heard) SetSkew(text string) error {
	v, err := parseNumbers(text, "one number of mm", 1)
	if err != nil {
		return err
	}
	h.Skew = &v[0]
	return nil
}

// SetRulerFront and SetRulerBack take the lengths across and along.
func (h *Heard) SetRulerFront(text string) error { return setPair(text, &h.RulerFront) }
func (h *Heard) SetRulerBack(text string) error  { return setPair(text, &h.RulerBack) }

func setPair(text string, to *geom.Size) error {
	v, err := parseNumbers(text, "two lengths X,Y in mm", 2)
	if err != nil {
		return err
	}
	*to = geom.Size{W: v[0], H: v[1]}
	return nil
}

// SetMark takes the distances of the mark from the left edge and the lower one.
func (h *Heard) SetMark(text string) error {
	v, err := parseNumbers(text, "two distances X,Y in mm", 2)
	if err != nil {
		return err
	}
	h.Mark = &geom.Point{X: v[0], Y: v[1]}
	return nil
}

// AddEdges takes how far from its edges one more pass stopped: top, right,
// bottom, left, as the image stands upright.
func (h *Heard) AddEdges(text string) error {
	v, err := parseNumbers(text, "four edges T,R,B,L in mm", 4)
	if err != nil {
		return err
	}
	h.Edges = append(h.Edges, printer.KeepClear{Head: v[0], Right: v[1], Tail: v[2], Left: v[3]})
	return nil
}

// refuseNumbers refuses a text that is not the numbers that are wanted.
func refuseNumbers(text, want string) error {
	return refusal.Use.New("%q is not %s: numbers with a point, commas between them", text, want)
}
