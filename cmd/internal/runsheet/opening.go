package runsheet

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
)

func openingPart(j Job) Part {
	about := Stage{Heading: "Your printer"}
	if j.Guessed {
		about.Notes = append(about.Notes, guessNote(j))
	}
	about.Notes = append(about.Notes, factsNote(j.Profile, j.Guessed))
	if len(j.Profile.Assumed) > 0 && !j.Guessed {
		about.Notes = append(about.Notes, assumedNote(j))
	}
	about.Notes = append(about.Notes, changedNote)
	stages := []Stage{about, {Heading: "What comes out", Notes: []Note{outcomeNote(j)}}}
	if len(j.Warnings) > 0 {
		stages = append(stages, Stage{Heading: "Warnings", Notes: []Note{warningsNote(j.Warnings)}})
	}
	return Part{Anchor: "begin", Heading: "Before you begin", Stages: append(stages,
		Stage{Heading: "Your paper", Notes: []Note{grainNote(j), findGrainNote}},
		Stage{Heading: "The drawings", Notes: []Note{legendNote(j)}},
		printerCare,
	)}
}

var printerCare = Stage{Heading: "Take care at the printer", Notes: []Note{handbookFirst, cleanSheets, hotParts}}

// guessNote says that nobody named the printer.
func guessNote(j Job) Text {
	return Text{
		Important: true,
		Lead: say("These files are a guess. Nobody named the printer, so the usual case is assumed, a {} called {}.",
			wProfile, literal(j.Profile.Name)),
		More: []Sentence{
			say("On a printer that works otherwise, pages come out upside down, or in the wrong order, or printed over each other."),
			say("One sheet of paper makes a known printer of it: {} writes it, {} asks what you see on it.", j.Program.other("testsheet"), j.Program.other("learn")),
			tryOneFirst(j),
		},
	}
}

// tryOneFirst is the advice to spend little paper on what has not been tried.
func tryOneFirst(j Job) Sentence {
	if len(j.Gatherings) == 1 {
		return say("This job is a single {}: print it, fold it and see whether it reads right before you print a whole book.", wGathering)
	}
	return say("Print only one {} first: prepare the book once more with {}, print and fold what comes out, and see whether it reads right.",
		wGathering, j.Program.setting(phrase.Set("only-gathering", 1)))
}

// assumedNote names facts of the profile that nobody has looked at.
func assumedNote(j Job) Text {
	return Text{
		Important: true,
		Lead:      say("Some of this is assumed and not known: {}.", joinList(literals(j.Profile.Assumed))),
		More:      []Sentence{tryOneFirst(j)},
	}
}

// changedNote asks whether the profile still holds.
var changedNote = Text{
	Lead: say("Has anything changed: another {}, another {}, another kind of paper, another computer? Then print the {} again before you print these files.",
		wTray, wDelivery, wPrinterTest),
}

// legendNote says how the drawings are to be read.
func legendNote(j Job) Text {
	t := Text{
		Lead: say("In the drawings you stand at the lower edge: what is drawn low is near you."),
		List: []Sentence{
			say("A blank face is plain, a printed one is striped. A corner of the top sheet is lifted, so that you see its underside."),
			say("A black dot marks a corner of a stack, to show how it is turned. Dashed, the dot is on the underside."),
			say("In pictures of sheets a thick bar stands at the head of each page, and the number is the page's in the PDF."),
			say("A dashed stroke across paper is a crease, or the way of a knife."),
		},
	}
	if j.SideNames {
		t.List = append(t.List, say("A row of fine dots on a sheet is where the small grey text stands that names the sheet."))
	}
	return t
}

// outcomeNote is what the job makes.
func outcomeNote(j Job) Text {
	pages := reorder.Count(j.Pages, "page")
	if j.Blanks > 0 {
		pages += " and " + reorder.Count(j.Blanks, "added blank page")
	}
	list := []Sentence{
		say("{} on {} of paper.", pages, reorder.Count(j.sheets(), "sheet")),
		say("The paper is {}.", paperAndSize(j.Paper)),
		gatheringSizes(j.Gatherings),
		say("A {} of the folded book is {}, before you {} it.", wLeaf, bothUnits(j.Leaf), wTrim),
		say("The pages stand at {} of their size in the PDF. The files are made at that size already.", percent(j.Scale)),
		say("As the closed book lies before you, ready to be opened, its {} lies at the {}.", wSpine, j.Form.Bind),
	}
	if j.Form.Bind == reorder.BindTop {
		list[len(list)-1] = say("{} It opens upwards like a wall calendar.", list[len(list)-1])
	}
	if j.Trim != (reorder.Trim{}) {
		list = append(list, say("Trimmed it is {}: {} mm are cut off at the head, {} mm at the tail and {} mm at the edge across from the spine.",
			bothUnits(j.Trim.Of(j.Leaf, j.Form.Bind)), geom.Millimetres(j.Trim.Head), geom.Millimetres(j.Trim.Tail), geom.Millimetres(j.Trim.ForeEdge)))
	}
	if j.Creep != "" {
		list = append(list, say("{}: {}.", wCreep.as("Creep"), j.Creep))
	}
	if len(j.Volumes) > 1 {
		list = append(list, say("It is bound as {} {}.", len(j.Volumes), wVolume.as("volumes")))
	}
	if len(j.Runs) > 1 {
		list = append(list, say("The sheets are printed in {} {}, one after the other.", len(j.Runs), wRun.as("runs")))
	}
	return Text{Lead: say("From {}:", literal(j.Title)), List: list}
}

// gatheringSizes says how many sheets each gathering has; neighbours of one size
// are told together.
func gatheringSizes(gatherings []Gathering) Sentence {
	var told []string
	for i := 0; i < len(gatherings); {
		first, k := gatherings[i], i+1
		for k < len(gatherings) && gatherings[k].Sheets == first.Sheets {
			k++
		}
		sheets := reorder.Count(first.Sheets, "sheet")
		last := gatherings[k-1].Number
		switch {
		case len(gatherings) == 1:
			return say("One {}, number {}, of {}.", wGathering, first.Number, sheets)
		case k-i == len(gatherings):
			return say("{} {}, each of {}.", k, wGathering.as("gatherings"), sheets)
		case k == i+1:
			told = append(told, fmt.Sprintf("number %d of %s", first.Number, sheets))
		case k == i+2:
			told = append(told, fmt.Sprintf("%d and %d of %s", first.Number, last, sheets))
		default:
			told = append(told, fmt.Sprintf("%d to %d of %s", first.Number, last, sheets))
		}
		i = k
	}
	return say("{} {}: {}.", len(gatherings), wGathering.as("gatherings"), strings.Join(told, ", "))
}

// warningsNote is the warnings of the job, word for word.
func warningsNote(warnings []string) Text {
	t := Text{Lead: say("What the program noticed:")}
	for _, warning := range warnings {
		t.List = append(t.List, say("{}", warning))
	}
	return t
}

// Dangers to hands and machines, and how to avoid them.
var (
	handbookFirst = Text{Lead: say("The printer's handbook and the rules of the place where you work come first.")}
	cleanSheets   = Text{Lead: say("Feed clean, square sheets only. Never feed paper that was cut with a knife, or that is torn, taped, stapled, damp or stained: " +
		"a laser printer presses it against a hot roller. Cut after printing. Paper cut by machine at a shop is fine.")}
	hotParts  = Text{Lead: say("A laser printer is hot inside where the paper comes out, and stays so for a while.")}
	knives    = Text{Lead: say("Knives: cut along a metal straightedge, with several light strokes and the fingers behind its edge. Old blades go into a container of their own.")}
	needles   = Text{Lead: say("Needles and awls: stick them into a cork, count them before and after, and hold no finger behind the fold that you {}.", wPierce)}
	adhesives = Text{Lead: say("Glue and leather dust: open a window, and wear a mask where there is dust.")}
)

// Fact is one fact of the profile, as it stands there.
type Fact struct {
	Name, Value string
	Assumed     bool // nobody has looked
	automatic   bool // of a printer that turns the paper itself
}

// factsNote is what the profile says of the printer.
func factsNote(p profiles.Profile, guessed bool) Text {
	t := Text{Lead: say("The files fit one way through one printer only, the {} {}. It says:", wProfile, literal(p.Name))}
	if guessed {
		t.Lead = say("The files fit one way through one printer only, the {} {}. All this is assumed, nobody has looked:", wProfile, literal(p.Name))
	}
	if p.Note != "" {
		t.More = append(t.More, say("Its note: {}", p.Note))
	}
	for _, f := range Facts(p) {
		s := f.Says()
		if f.Assumed {
			s = say("{} (Assumed: nobody has looked.)", s)
		}
		t.List = append(t.List, s)
	}
	return t
}

// Facts are the facts of a profile that are given, in the order of its keys.
func Facts(p profiles.Profile) []Fact {
	var facts []Fact
	for _, f := range []Fact{
		{Name: "two-sided", Value: p.TwoSided.String()},
		{Name: "feed-face", Value: p.FeedFace.String()},
		{Name: "feed-from", Value: p.FeedFrom.String()},
		{Name: "lands", Value: p.Lands.String()},
		{Name: "stacks", Value: p.Stacks.String()},
		{Name: "sends", Value: p.Sends.String()},
		{Name: "reload", Value: p.Reload.String()},
		{Name: "flip-edge", Value: p.FlipEdge.String()},
	} {
		f.automatic = p.TwoSided == printer.Automatic
		if f.Says() == nil {
			continue
		}
		f.Assumed = slices.Contains(p.Assumed, f.Name)
		facts = append(facts, f)
	}
	return facts
}

// Says is the fact in a sentence, nil for one that is not given.
func (f Fact) Says() Sentence {
	if f.automatic && f.Name == "lands" { // the front is told, the face printed first
		return factSays["front lands "+f.Value]
	}
	return factSays[f.Name+" "+f.Value]
}

var factSays = map[string]Sentence{
	"two-sided by-hand":      say("It prints one face of the sheets at a time. You put the stack back for the other."),
	"two-sided automatic":    say("It turns the sheets and prints both faces by itself."),
	"feed-face up":           say("The face that lies up in the {} gets printed.", wTray),
	"feed-face down":         say("The face that lies down in the {} gets printed.", wTray),
	"feed-from top":          say("It takes the sheet at the top of the stack in the {} first.", wTray),
	"feed-from bottom":       say("It takes the sheet at the bottom of the stack in the {} first.", wTray),
	"lands face-up":          say("A sheet comes to rest in the {} with the face printed last up.", wDelivery),
	"lands face-down":        say("A sheet comes to rest in the {} with the face printed last down.", wDelivery),
	"front lands face-up":    say("A sheet comes to rest in the {} with its {} up.", wDelivery, wFront),
	"front lands face-down":  say("A sheet comes to rest in the {} with its {} down.", wDelivery, wFront),
	"stacks on-top":          say("Each new sheet lands on top of those before it."),
	"stacks beneath":         say("Each new sheet lands beneath those before it."),
	"sends first-page-first": say("The computer sends the first page of a file first."),
	"sends last-page-first":  say("The computer sends the last page of a file first."),
	"reload as-delivered":    say("The stack goes back as it was delivered, without a turn."),
	"reload rotate":          say("The stack goes back turned half round on the table."),
	"reload turn-long":       say("The stack goes back turned over like the page of a book."),
	"reload turn-short":      say("The stack goes back turned over like the leaf of a wall calendar."),
	"flip-edge long":         say("Between its two printings a sheet is, all in all, turned like the page of a book."),
	"flip-edge short":        say("Between its two printings a sheet is, all in all, turned like the leaf of a wall calendar."),
}

// grainNote is how the paper's fibres must lie. In a book they run along the spine
// (Roberts and Etherington, Bookbinding and the Conservation of Books).
func grainNote(j Job) Text {
	if j.Form.SpineAlongHeight(j.Paper.Size) {
		return Text{Lead: say("The {} of the paper should run along the {}, and with paper whose grain runs along its long edge it does. Most office paper is made so.", wGrain, wSpine)}
	}
	return Text{
		Lead: say("The {} of the paper should run along the {}. Most office paper has it along the long edge, and in this book it then runs across the spine.", wGrain, wSpine),
		More: []Sentence{
			say("Such a book can be made and read, but it opens stiffly and its pages may wave at the fold."),
			say("The cure: buy sheets of {} whose grain runs along their long edge, and have a shop cut each square into two sheets of {}. Their grain then runs along the short edge.", bothUnits(doubleSize(j.Paper.Size)), j.Paper.Word()),
		},
	}
}

// doubleSize is the size of a sheet that halves into two of the given size.
func doubleSize(s geom.Size) geom.Size { return geom.Size{W: s.H, H: 2 * s.W}.Portrait() }

// findGrainNote is how to find the grain of a paper.
var findGrainNote = Text{
	Lead: say("To find the {} of a paper, try a spare sheet, and do not print on it afterwards:", wGrain),
	List: []Sentence{
		say("Bend it loosely both ways, without a crease. It bends more easily when the bend runs along the grain."),
		say("Tear it both ways. Along the grain the tear runs straighter."),
		say("Dampen a piece. It rolls itself up, and the roll lies along the grain."),
	},
}
