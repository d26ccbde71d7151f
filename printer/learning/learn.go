package learning

import (
	"reflect"
	"slices"

	"foldwright/printer"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Learned is what follows from the answers.
type Learned struct {
	Facts printer.Facts
	// Assumed are the names of the facts that don't follow from the answers.
	Assumed []string
	// Harmless: whatever is true of the assumed facts, the print files are the same.
	Harmless bool
	// Turned: the two prints fell on one face, so the stack has to be put back
	// in another way than the test sheet was.
	Turned bool
}

type fact struct {
	name string
	get  func(printer.Facts) int
	put  func(to *printer.Facts, from printer.Facts)
}

// facts are in the order in which they are assumed: first those that hold for
// nearly every printer. Sheets fall on top of each other; what then is left
// open is more often the driver's order than the tray.
var facts = []fact{
	newFact("two-sided", func(f *printer.Facts) *printer.TwoSided { return &f.TwoSided }),
	newFact("flip-edge", func(f *printer.Facts) *printer.FlipEdge { return &f.FlipEdge }),
	newFact("reload", func(f *printer.Facts) *printer.Reload { return &f.Reload }),
	newFact("feed-face", func(f *printer.Facts) *printer.FeedFace { return &f.FeedFace }),
	newFact("lands", func(f *printer.Facts) *printer.Lands { return &f.Lands }),
	newFact("stacks", func(f *printer.Facts) *printer.Stacks { return &f.Stacks }),
	newFact("feed-from", func(f *printer.Facts) *printer.FeedFrom { return &f.FeedFrom }),
	newFact("sends", func(f *printer.Facts) *printer.Sends { return &f.Sends }),
}

func newFact[V ~int](name string, field func(*printer.Facts) *V) fact {
	return fact{
		name: name,
		get:  func(f printer.Facts) int { return int(*field(&f)) },
		put:  func(to *printer.Facts, from printer.Facts) { *field(to) = *field(&from) },
	}
}

// KnownFacts are the facts that follow from the answers given so far; the others
// are zero. The error is a [*Contradiction].
func (a Answers) KnownFacts() (printer.Facts, error) {
	var known printer.Facts
	left, err := a.candidates()
	if err != nil {
		return known, err
	}
	for _, f := range facts {
		if agreeOn(left, f) {
			f.put(&known, left[0])
		}
	}
	return known, nil
}

// Learn finds the printer. It refuses answers without the reading or, with a
// printer that does not turn the paper itself, without what was done with the
// sheet; else the error is a [*Contradiction].
func (a Answers) Learn() (Learned, error) {
	left, err := a.candidates()
	if err != nil {
		return Learned{}, err
	}
	var missing []Question
	if a.Reading == 0 {
		missing = append(missing, AskReading)
	}
	if a.Reload == 0 && a.TwoSided != printer.Automatic {
		missing = append(missing, AskReload)
	}
	if missing != nil {
		return Learned{}, refusal.Use.New("without %s nothing can be learned of the printer", join(missing, "and")).
			Advise("print a test sheet and write what you see on it; at a terminal, without %s, you are asked", phrase.Set("reading"))
	}
	all := slices.Clone(left)
	out := Learned{Turned: a.Reading.isSameFace()}
	for _, f := range facts {
		if !agreeOn(all, f) {
			out.Assumed = append(out.Assumed, f.name)
		}
		if !agreeOn(left, f) {
			left = slices.DeleteFunc(left, func(c printer.Facts) bool { return f.get(c) != f.get(printer.Usual) })
		}
	}
	out.Facts = left[0]
	out.Harmless = !slices.ContainsFunc(all, func(c printer.Facts) bool { return !sameFiles(c, out.Facts) })
	return out, nil
}

// candidates are the printers that agree with every answer.
func (a Answers) candidates() ([]printer.Facts, error) {
	claims := a.claims()
	left := findFulfilling(printer.Legal(), claims)
	if len(left) == 0 {
		return nil, a.findContradiction(claims)
	}
	return left, nil
}

func findFulfilling(printers []printer.Facts, claims []claim) []printer.Facts {
	return slices.DeleteFunc(slices.Clone(printers), func(f printer.Facts) bool {
		return slices.ContainsFunc(claims, func(c claim) bool { return !c.holds(f) })
	})
}

// agreeOn tells whether a fact is the same in all candidates.
func agreeOn(candidates []printer.Facts, f fact) bool {
	return !slices.ContainsFunc(candidates, func(c printer.Facts) bool { return f.get(c) != f.get(candidates[0]) })
}

// sameFiles compares the files of a run that tells every order apart.
func sameFiles(a, b printer.Facts) bool {
	return reflect.DeepEqual(a.Files(3, true), b.Files(3, true)) && reflect.DeepEqual(a.Files(3, false), b.Files(3, false))
}
