package runsheet

import (
	"fmt"
	"slices"

	"foldwright/reorder"
)

func openingPart(j Job) Part {
	printer := Stage{Heading: "Your printer"}
	if j.Guessed {
		printer.Notes = append(printer.Notes, Guess{j.Profile.Name, len(j.Gatherings) == 1})
	}
	printer.Notes = append(printer.Notes, knownFacts(j.Profile, j.Guessed))
	if len(j.Profile.Assumed) > 0 && !j.Guessed {
		printer.Notes = append(printer.Notes, Unseen{j.Profile.Assumed, len(j.Gatherings) == 1})
	}
	printer.Notes = append(printer.Notes, Changed{})
	out := Stage{Heading: "What comes out", Notes: []Note{newOutcome(j)}}
	grain := Stage{Heading: "Your paper", Notes: []Note{newGrain(j), FindGrain{}}}
	drawings := Stage{Heading: "The drawings", Notes: []Note{Legend{j.SideNames}}}
	care := Stage{Heading: "Take care at the printer", Notes: []Note{HandbookFirst, CleanSheets, HotParts}}
	part := Part{Anchor: "begin", Heading: "Before you begin", Stages: []Stage{printer, out, grain, drawings, care}}
	if len(j.Warnings) > 0 {
		part.Stages = slices.Insert(part.Stages, 2, Stage{Heading: "Warnings", Notes: []Note{Warned{j.Warnings}}})
	}
	return part
}

// Guess says that nobody named the printer.
type Guess struct {
	Profile string
	Trial   bool // the job is one gathering only
}

func (g Guess) Text() Text {
	return Text{
		Important: true,
		Lead: say("These files are a guess. Nobody named the printer, so the usual case is assumed, a {} called {}.",
			wProfile, literal(g.Profile)),
		More: []Sentence{
			say("On a printer that works otherwise, pages come out upside down, or in the wrong order, or printed over each other."),
			say("One sheet of paper makes a known printer of it: {} writes it, {} asks what you see on it.", literal("foldwright testsheet"), literal("foldwright learn")),
			trial(g.Trial),
		},
	}
}

// trial is the advice to spend little paper on what has not been tried.
func trial(already bool) Sentence {
	if already {
		return say("This job is a single {}: print it, fold it and see whether it reads right before you print a whole book.", wGathering)
	}
	return say("Print only one {} first: prepare the book once more with {}, print and fold what comes out, and see whether it reads right.",
		wGathering, literal("--only-gathering 1"))
}

// Unseen names facts of the profile that nobody has looked at.
type Unseen struct {
	Facts []string
	Trial bool // the job is one gathering only
}

func (u Unseen) Text() Text {
	return Text{
		Important: true,
		Lead:      say("Some of this is assumed and not known: {}.", listed(u.Facts)),
		More:      []Sentence{trial(u.Trial)},
	}
}

// Changed asks whether the profile still holds.
type Changed struct{}

func (Changed) Text() Text {
	return Text{
		Lead: say("Has anything changed: another {}, another {}, another kind of paper, another computer? Then print the {} again before you print these files.",
			wTray, wDelivery, wPrinterTest),
	}
}

// Legend says how the drawings are to be read.
type Legend struct{ SideNames bool }

func (l Legend) Text() Text {
	t := Text{
		Lead: say("In the drawings you stand at the lower edge: what is drawn low is near you."),
		List: []Sentence{
			say("A blank face is plain, a printed one is striped. A corner of the top sheet is lifted, so that you see its underside."),
			say("A black dot marks a corner of a stack, to show how it is turned. Dashed, the dot is on the underside."),
			say("In pictures of sheets a thick bar stands at the head of each page, and the number is the page's in the PDF."),
			say("A dashed stroke across paper is a crease, or the way of a knife."),
		},
	}
	if l.SideNames {
		t.List = append(t.List, say("A row of fine dots on a sheet is where the small grey text stands that names the sheet."))
	}
	return t
}

// Outcome is what the job makes.
type Outcome struct {
	Title         string
	Pages, Blanks int
	Sheets, Runs  int
	Paper         reorder.Paper
	Gatherings    []Alike
	Leaf          reorder.Size // mm
	Scale         float64      // 1 is 100 percent
	Bind          reorder.Bind
	Volumes       []Volume
	Trim          reorder.Trim
	Creep         string // how far inner leaves stand out at the fore-edge; may be empty
}

// Alike is neighbouring gatherings of one size.
type Alike struct{ First, Last, Sheets int }

func newOutcome(j Job) Outcome {
	o := Outcome{
		Title: j.Title, Pages: j.Pages, Blanks: j.Blanks, Runs: len(j.Runs),
		Paper: j.Paper, Leaf: j.Leaf, Scale: j.Scale, Bind: j.Form.Bind,
		Trim: j.Trim, Creep: j.Creep, Volumes: j.Volumes,
	}
	for _, r := range j.Runs {
		o.Sheets += r.Sheets
	}
	for _, g := range j.Gatherings {
		if n := len(o.Gatherings); n > 0 && o.Gatherings[n-1].Sheets == g.Sheets {
			o.Gatherings[n-1].Last = g.Number
			continue
		}
		o.Gatherings = append(o.Gatherings, Alike{g.Number, g.Number, g.Sheets})
	}
	return o
}

func (o Outcome) Text() Text {
	pages := reorder.Count(o.Pages, "page")
	if o.Blanks > 0 {
		pages += " and " + reorder.Count(o.Blanks, "added blank page")
	}
	list := []Sentence{
		say("{} on {} of paper.", pages, reorder.Count(o.Sheets, "sheet")),
		say("The paper is {}.", paperAndSize(o.Paper)),
		o.sizes(),
		say("A {} of the folded book is {}, before you {} it.", wLeaf, bothUnits(o.Leaf), wTrim),
		say("The pages stand at {} of their size in the PDF. The files are made at that size already.", percent(o.Scale)),
		o.spine(),
	}
	if o.Trim != (reorder.Trim{}) {
		list = append(list, say("Trimmed it is {}: {} mm are cut off at the head, {} mm at the tail and {} mm at the edge across from the spine.",
			bothUnits(o.Trim.Of(o.Leaf, o.Bind)), reorder.Millimetres(o.Trim.Head), reorder.Millimetres(o.Trim.Tail), reorder.Millimetres(o.Trim.ForeEdge)))
	}
	if o.Creep != "" {
		list = append(list, say("{}: {}.", wCreep.as("Creep"), o.Creep))
	}
	if len(o.Volumes) > 1 {
		list = append(list, say("It is bound as {} {}.", len(o.Volumes), wVolume.as("volumes")))
	}
	if o.Runs > 1 {
		list = append(list, say("The sheets are printed in {} {}, one after the other.", o.Runs, wRun.as("runs")))
	}
	return Text{Lead: say("From {}:", literal(o.Title)), List: list}
}

func (o Outcome) spine() Sentence {
	s := say("As the closed book lies before you, ready to be opened, its {} lies at the {}.", wSpine, o.Bind)
	if o.Bind == reorder.BindTop {
		s = append(s, say(" It opens upwards like a wall calendar.")...)
	}
	return s
}

func (o Outcome) sizes() Sentence {
	if len(o.Gatherings) == 1 {
		a := o.Gatherings[0]
		if a.First == a.Last {
			return say("One {}, number {}, of {}.", wGathering, a.First, reorder.Count(a.Sheets, "sheet"))
		}
		return say("{} {}, each of {}.", a.Last-a.First+1, wGathering.as("gatherings"), reorder.Count(a.Sheets, "sheet"))
	}
	total, text := 0, ""
	for i, a := range o.Gatherings {
		total += a.Last - a.First + 1
		if i > 0 {
			text += ", "
		}
		text += a.String()
	}
	return say("{} {}: {}.", total, wGathering.as("gatherings"), text)
}

func (a Alike) String() string {
	switch a.Last - a.First {
	case 0:
		return fmt.Sprintf("number %d of %s", a.First, reorder.Count(a.Sheets, "sheet"))
	case 1:
		return fmt.Sprintf("%d and %d of %s", a.First, a.Last, reorder.Count(a.Sheets, "sheet"))
	}
	return fmt.Sprintf("%d to %d of %s", a.First, a.Last, reorder.Count(a.Sheets, "sheet"))
}

// Warned is the warnings of the job, word for word.
type Warned struct{ Warnings []string }

func (w Warned) Text() Text {
	t := Text{Lead: say("What the program noticed:")}
	for _, warning := range w.Warnings {
		t.List = append(t.List, say("{}", warning))
	}
	return t
}
