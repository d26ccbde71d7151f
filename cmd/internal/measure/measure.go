// Package measure is the bench figures of a prepared book: what was measured and chosen ([Asked]), the
// figures that follow from it and from the book's plan ([Asked.Sheets]), and how they are shown: as
// tables of text ([WriteTables]), as drawings to scale ([CoverOf], [BlockOf]), as files to print ([Files]).
//
// The command measure and the page in the browser stand on the same values. What follows from
// what is the business of package binding; nothing is worked out here.
package measure

import (
	"cmp"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Asked is what a person has measured and chosen; zero values are not given.
type Asked struct {
	Structure string        // a built-in structure or a YAML file; empty: the plan's
	Units     binding.Units // zero: the plan's
	Measured  binding.Measured
	Leaf      options.Dimensions // measured, as the pages are read
	TwoOn     bool               // two gatherings are sewn on with one length of thread
	Volume    int                // 0: all
	Bare      []phrase.Setting   // lengths that were given without a unit
}

// Length is a length in mm that a person has measured; 0 is not given.
type Length float64

// UnmarshalText reads a length greater than 0.
func (m *Length) UnmarshalText(text []byte) error {
	var l options.Length
	if err := l.UnmarshalText(text); err != nil {
		return err
	}
	if l <= 0 {
		return refusal.Use.New("%q must be greater than 0", text)
	}
	*m = Length(l)
	return nil
}

// Stack is a measured stack of leaves: 40=4.1mm.
type Stack struct{ *binding.Measured }

// UnmarshalText reads a number of leaves, =, and a length.
func (m Stack) UnmarshalText(text []byte) error {
	leaves, thick, two := strings.Cut(string(text), "=")
	n, err := strconv.Atoi(strings.TrimSpace(leaves))
	if !two || err != nil || n < 1 {
		return refusal.Use.New("%q is not a measured stack: use the number of leaves, = and its thickness, such as 40=4.1mm", text)
	}
	m.StackLeaves = n
	return (*Length)(&m.Stack).UnmarshalText([]byte(thick))
}

// Sheets works out the figures of each volume from the plan in a folder. The style writes the
// options that are named in advice.
func (a Asked) Sheets(folder string, made plan.Plan, style phrase.Style) ([]binding.Sheet, error) {
	books, err := made.Bench(folder)
	if err != nil {
		return nil, err
	}
	if a.Volume < 0 || a.Volume > len(books) {
		return nil, refusal.Plan.New("%s: the book has %s", phrase.Set("volume", a.Volume), reorder.Count(len(books), "volume"))
	}
	if a.Volume > 0 {
		books = books[a.Volume-1 : a.Volume]
	}
	if made.Options.Fold.Scheme().Strip {
		return nil, refusal.Plan.New("a concertina is not sewn").Advise("glue its ends to two boards, each a little larger than the leaf")
	}
	rules, err := a.rules(made)
	if err != nil {
		return nil, err
	}
	var out []binding.Sheet
	for _, b := range books {
		sheet, err := binding.Measure(b, rules)
		if err != nil {
			return nil, err
		}
		if note := marksWarning(made, sheet); !note.IsZero() {
			sheet.Advice = append(sheet.Advice, note.In(style))
		}
		out = append(out, sheet)
	}
	return out, nil
}

// UnitsOf is the units of a book's figures, if they are not given.
func UnitsOf(made plan.Plan) binding.Units {
	return cmp.Or(made.Options.Units, options.UnitsOf(made.Paper.Name))
}

// rules is how the book is bound: as the plan has it unless something else was
// asked for.
func (a Asked) rules(made plan.Plan) (binding.Options, error) {
	o := binding.Options{
		Structure: made.Structure, Units: cmp.Or(a.Units, UnitsOf(made)), Edges: made.Options.Fold.Scheme().Held == reorder.Edges,
		Measured: a.Measured,
	}
	if o.Units == binding.Inches && len(a.Bare) > 0 {
		return o, refusal.Use.New("%s: inches or millimetres?", phrase.Join(a.Bare, ", ")).Advise("write in or mm after the number")
	}
	o.Measured.Leaf = made.Options.Bind.TurnToSide(geom.Size{W: float64(a.Leaf.W), H: float64(a.Leaf.H)})
	name := a.Structure
	if name == "" && made.Structure.Name == "" {
		name = structure.Usual // there is none in the plan, where its stations did not fit
	}
	if name != "" {
		var err error
		if o.Structure, err = structure.Find(name); err != nil {
			return o, err
		}
	}
	// The plan's places are those of its own structure.
	if a.Measured.Supports == 0 && reflect.DeepEqual(o.Structure, made.Structure) {
		o.Measured.Supports = made.Options.Supports
		o.Measured.Stations = made.Options.Stations.Mm()
	}
	o.Structure.TwoOn = o.Structure.TwoOn || a.TwoOn
	return o, o.Structure.Check()
}

// marksWarning says so where the marks printed in the folds are not the
// stations of the sheet; it is zero where they are, or where there are none.
func marksWarning(made plan.Plan, sheet binding.Sheet) phrase.Sentence {
	if !made.Options.Marks.Stations || made.Structure.Sewn == binding.Side || len(made.Stations) == 0 {
		return phrase.Sentence{}
	}
	same := func(a, b float64) bool { return math.Abs(a-b) < 0.05 }
	if slices.EqualFunc(made.Stations, sheet.Stations.Places(), same) {
		return phrase.Sentence{}
	}
	return phrase.New("the marks printed in the folds are for other stations (%s): do not pierce by them. "+
		"To print these instead, prepare the book again with the same %s and %s", made.Structure.Title, phrase.Set("structure"), phrase.Set("supports"))
}
