package learn

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"foldwright/cmd/internal/runsheet"
	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Sentences are what a profile says of its printer, fact by fact.
func Sentences(p profiles.Profile) []string {
	var out []string
	for _, f := range runsheet.Facts(p) {
		s := f.Says.String()
		if f.Assumed {
			s += " (Assumed, not tested.)"
		}
		out = append(out, s)
	}
	return out
}

// Measured are what a profile says of what was measured of its printer, in sentences.
func Measured(p profiles.Profile) []phrase.Sentence {
	seen := learning.Fit{Scale: p.Scale, KeepClear: p.KeepClear}
	seen.Registration.Both = p.Registration.Both
	out := describeFit(seen)
	b := p.Registration.Back
	switch {
	case math.Abs(b.Right) < hairsBreadth && math.Abs(b.Up) < hairsBreadth:
		return out
	case p.Registration.Both == (printer.Shift{}):
		return slices.Insert(out, 0, phrase.New("The second printing lies %s. The print files correct it.", shiftText(b)))
	}
	return slices.Insert(out, 1, phrase.New("The second printing lies %s besides. The print files correct that, too.", shiftText(b)))
}

// Report is all that follows from what was heard, in sentences: the facts,
// what was measured, and what is not known yet. Facts that are not known are named by fact, nil: by their keys.
func (c Conclusion) Report(fact map[string]string) []phrase.Sentence {
	var out []phrase.Sentence
	add := func(format string, args ...any) { out = append(out, phrase.New(format, args...)) }
	for _, s := range Sentences(c.Profile) {
		add("%s", s)
	}
	if c.Learned.Turned {
		add("Both prints of the test sheet fell on one side. Put the stack back as it says here, not as you tried it: then the second print falls on the other side.")
	}
	out = append(out, describeFit(c.Fit)...)
	unknown := refusal.List(lists.Map(c.Learned.Assumed, func(key string) string { return cmp.Or(fact[key], key) }), "and")
	switch {
	case len(c.Learned.Assumed) == 0:
	case c.Learned.Harmless:
		add("Not tested: %s. But what you saw shows how they go together, and the print files come out the same.", unknown)
	default:
		add("Not known, so assumed to be as on most printers: %s. Three test sheets show it: %s.", unknown, threeSheets)
	}
	return out
}

// threeSheets makes the test sheets that show all there is to see.
var threeSheets = phrase.Command{Name: "testsheet", Settings: []phrase.Setting{phrase.Set("three")}}

// describeFit tells what was measured and what is done about it.
func describeFit(f learning.Fit) []phrase.Sentence {
	var out []phrase.Sentence
	add := func(format string, args ...any) { out = append(out, phrase.New(format, args...)) }
	if f.Sheets > 0 {
		add("%s", describeShift(f))
	}
	if b := f.Registration.Both; b != (printer.Shift{}) {
		add("On the paper everything lies %s. The print files correct it.", shiftText(b))
	}
	for _, s := range []struct {
		face string
		is   printer.Scaling
	}{{"front", f.Scale.Front}, {"back", f.Scale.Back}} {
		if s.is != (printer.Scaling{}) {
			add("The %s is printed at %.1f percent of its size across the sheet and %.1f percent along it. The print files correct it.",
				s.face, s.is.Across*100, s.is.Along*100)
		}
	}
	if f.DoubtfulSize {
		add("A print dialog makes such sizes too. If it did not say 100 percent, print the test sheet again at actual size and learn the printer anew.")
	}
	if f.Sheets == 1 {
		add("One sheet does not tell how much the second printing differs from sheet to sheet. Three do: %s.", threeSheets)
	}
	for _, note := range notes(f) {
		add("%s.", capitalize(note))
	}
	if k := f.KeepClear; k != nil {
		add("The printer stops %s mm from the edge at the head, %s at the right, %s at the tail and %s at the left.",
			shortLength(k.Head), shortLength(k.Right), shortLength(k.Tail), shortLength(k.Left))
	}
	return out
}

func describeShift(f learning.Fit) string {
	seen := f.Shift
	if math.Abs(seen.Right) < hairsBreadth && math.Abs(seen.Up) < hairsBreadth {
		return "The back lies on the front."
	}
	text := fmt.Sprintf("Seen through from the front, the back lies %s.", shiftText(seen))
	less := fmt.Sprintf("less than the %s mm by which sheets lie off their middle, and left alone.", shortLength(f.Scatter()))
	right, up := math.Abs(seen.Right) >= f.Scatter(), math.Abs(seen.Up) >= f.Scatter()
	switch {
	case right && up:
		return text + " The print files correct it."
	case right:
		return text + " The print files correct what lies across; along the sheet it is " + less
	case up:
		return text + " The print files correct what lies along; across the sheet it is " + less
	}
	return text + " That is " + less
}

// hairsBreadth is what the verniers cannot tell from nought, in mm.
const hairsBreadth = 0.125

// describeWander is the sentence for the person who plans margins.
func describeWander(f learning.Fit) string {
	if f.Sheets < 2 || f.Wander < hairsBreadth {
		return ""
	}
	return fmt.Sprintf("the second pass wanders by %s mm: leave margins of %.0f mm, and print no frames", shortLength(f.Wander), math.Ceil(f.Wander*10-1e-9))
}

func describeSkew(f learning.Fit) string {
	if f.Skew == nil || math.Abs(*f.Skew) <= 2*hairsBreadth {
		return ""
	}
	side := "right"
	if *f.Skew < 0 {
		side = "left"
	}
	return fmt.Sprintf("the back is askew, %s mm further %s at the head than at the tail: print files cannot correct that, but the guides of the tray can, if they touch the paper", shortLength(math.Abs(*f.Skew)), side)
}

// notes is what of the measured has to be known whenever the printer is used.
func notes(f learning.Fit) []string {
	return slices.DeleteFunc([]string{describeWander(f), describeSkew(f)}, func(s string) bool { return s == "" })
}

func shiftText(s printer.Shift) string {
	var words []string
	for _, by := range []struct {
		mm         float64
		more, less string
	}{{s.Right, "too far right", "too far left"}, {s.Up, "too high", "too low"}} {
		side := by.more
		if by.mm < 0 {
			side = by.less
		}
		if math.Abs(by.mm) >= hairsBreadth {
			words = append(words, fmt.Sprintf("%s mm %s", shortLength(math.Abs(by.mm)), side))
		}
	}
	return strings.Join(words, " and ")
}

// shortLength is a length as closely as one reads it, to a twentieth of a millimetre.
func shortLength(mm float64) string { return geom.Millimetres(roundTo(mm, 20)) }

func capitalize(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// FactWords are the facts of a printer as things that somebody can look at.
var FactWords = map[string]string{
	"two-sided": "whether it turns the paper itself", "feed-face": "which side of a loaded sheet gets printed",
	"feed-from": "which end of the stack is taken first", "lands": "which side lies up when a sheet comes out",
	"stacks": "where the next sheet lands", "sends": "in which order pages are sent",
	"reload": "how the stack goes back", "flip-edge": "about which edge a sheet is turned over",
}

// Summary is what a printer does with paper, in one sentence.
func Summary(p profiles.Profile) string {
	if p.TwoSided == printer.Automatic {
		return fmt.Sprintf("It turns the paper itself, about the %s edge, and sheets come out with the front %s.", p.FlipEdge, wayOf[p.Lands])
	}
	return fmt.Sprintf("It prints one side at a time, and sheets come out face %s. You put the stack back %s, so that a sheet is turned over about its %s edge between front and back.",
		wayOf[p.Lands], putBack[p.Reload], p.FlipEdge)
}

var wayOf = map[printer.Lands]string{printer.FaceUp: "up", printer.FaceDown: "down"}

var putBack = map[printer.Reload]string{
	printer.AsDelivered: "just as it came out",
	printer.RotateHalf:  "turned half round, flat on the table",
	printer.TurnLong:    "turned over like the page of a book",
	printer.TurnShort:   "turned over like the leaf of a wall calendar",
}

// Equipment is the paper and the tray that a profile names, and how it prints; empty if it names none.
func Equipment(p profiles.Profile) string {
	var words []string
	if paper, err := reorder.ParsePaper(p.Paper); err == nil {
		words = append(words, paper.Word()+" paper")
	}
	if tray := map[profiles.Tray]string{profiles.Drawer: "a drawer", profiles.Upright: "an upright tray", profiles.Slot: "a slot"}[p.Tray]; tray != "" {
		words = append(words, tray)
	}
	if p.TraySheets > 0 {
		words = append(words, "room for "+reorder.Count(p.TraySheets, "sheet"))
	}
	if p.Process != 0 {
		words = append(words, p.Process.String())
	}
	if words == nil {
		return ""
	}
	return capitalize(strings.Join(words, ", ") + ".")
}
