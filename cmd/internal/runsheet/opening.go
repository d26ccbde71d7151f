package runsheet

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// warningsPart is the warnings of the job, word for word; none if there are none.
func warningsPart(j Job) []Part {
	if len(j.Warnings) == 0 {
		return nil
	}
	t := text("Warnings:").markImportant()
	t.List = lists.Map(j.Warnings, func(warning string) Sentence { return say("{}", warning) })
	return []Part{{Anchor: "warnings", Stages: []Stage{{Notes: []Note{t}}}}}
}

// cautiousParts is what is done where nobody has seen yet what the printer does:
// a sheet, a gathering, and only then the rest.
func cautiousParts(j Job) []Part {
	parts := append([]Part{{Anchor: "begin", Stages: []Stage{{Notes: []Note{aheadNote(j), doubtNote(j)}}}}}, warningsPart(j)...)
	set := SettingsStage(j)
	set.Drawers = append(set.Drawers, beforeDrawers(j)...)
	parts = append(parts, Part{Anchor: "set-up", Heading: "Before the first sheet", Stages: []Stage{set}})
	if len(j.CheckSheet.Files) > 0 {
		parts = append(parts, checkSheetPart(j))
	}
	if j.Trial == nil {
		return append(append(parts, printingParts(j, j.Runs)...), makingPart(j))
	}
	return append(append(append(parts, trialPart(j)), printingParts(j, j.Trial.Rest)...), restPart(j))
}

// aheadNote is what will happen, how long it takes, and what to lay ready.
func aheadNote(j Job) Text {
	print := say("all of them")
	if j.Trial != nil {
		print = say("one {}, which you fold, then the rest", wGathering)
	}
	if j.Plates != nil {
		return text("You print {}, leaves of other paper for {}: first one sheet, then {}; then you cut them to size. Allow {}. Lay ready {} of {}, a ruler, a pin, a knife and a straightedge.",
			literal(j.Title), literal(j.Plates.Book), print, j.time(), reorder.Count(j.sheets(), "sheet"), j.Paper.Word())
	}
	return text("You print {}: first one sheet, then {}; then you fold the sheets and check the pages. "+
		"Allow {} for printing and folding, and a night for pressing. Lay ready {} of {}, a ruler, a pin, two clean boards and a weight.",
		literal(j.Title), print, j.time(), reorder.Count(max(j.sheetsToLayReady(), j.sheets()), "sheet"), j.Paper.Word())
}

// time is about how long printing and folding take, in words. A pass is reckoned with a
// quarter of an hour of rest and six seconds a side, a sheet with a minute to fold
// and nest (common practice, no source).
func (j Job) time() string {
	minutes := 30
	for _, r := range j.Runs {
		minutes += len(r.Files)*(15+r.Sheets/10) + r.Sheets
	}
	if quarters := (minutes + 14) / 15; quarters <= 6 {
		return fmt.Sprintf("about %d minutes", quarters*15)
	}
	return fmt.Sprintf("about %s", reorder.Count((minutes+59)/60, "hour"))
}

func doubtNote(j Job) Text {
	t := text("Nobody has tested the printer: {} is a guess. On a printer that works otherwise, pages come out upside down or in the wrong order.", literal(j.Profile.Name)).markImportant()
	if !j.Guessed {
		t.Lead = say("These facts of the {} {} are untested: {}.", wProfile, literal(j.Profile.Name), refusal.List(j.Profile.Assumed, "and"))
	}
	if j.Program != (Program{}) {
		t.More = []Sentence{say("One {} makes a guess a known printer: {} writes it, {} asks what you see on it.", wTestSheet, j.Program.other("testsheet"), j.Program.other("learn"))}
	}
	return t
}

// sheetsToLayReady is how many sheets are bought, those to spare among them; 0 if nobody has worked it out.
func (j Job) sheetsToLayReady() (n int) {
	for _, sheet := range j.Bench {
		for _, f := range sheet.Before {
			if f.Name == binding.SheetsToBuy {
				n += int(f.Amount.Most) * max(1, j.Copies)
			}
		}
	}
	return n
}

func legendNote(j Job) Text {
	t := text("In the drawings you stand at the lower edge: what is drawn low is near you.").
		item("A blank side is plain, a printed one is striped. A corner of the top sheet is lifted, so that you see its underside.").
		item("A black dot marks a corner of a stack, to show how it is turned. Dashed, the dot is on the underside.").
		item("On pictures of sheets a thick bar stands at the head of each page, and the number is the page's in the {}.", map[bool]string{true: "book", false: "PDF"}[j.Made]).
		item("A dashed stroke across paper is a crease, or the way of a knife.")
	if j.SideNames {
		t.List = append(t.List, say("A row of fine dots on a sheet is where the small grey text stands that names the sheet."))
	}
	return t
}

// outcomeNote is what the job makes.
func outcomeNote(j Job) Text {
	var list []Sentence
	for _, f := range j.Files {
		list = append(list, say("Pages {} to {} of this sheet are {}.", f.First, f.Last, literal(f.Name)))
	}
	if j.Copies > 1 {
		list = append(list, say("{} copies are printed, {} of paper in all. What follows is told of one.", j.Copies, reorder.Count(j.sheets(), "sheet")))
	}
	list = append(list,
		say("The paper is {}.", j.paperAndSize()),
		say("{}: {}.", wGathering.as("Gatherings"), gatheringSizes(j.Form, j.Gatherings)),
		say("A {} of the folded book is {}, before you {} it.", wLeaf, j.size(j.Leaf), wTrim),
		j.scaleSentence(),
		say("As the closed book lies before you, ready to be opened, its {} lies at the {}.", wSpine, j.Form.Bind))
	if j.Form.Bind == reorder.BindTop {
		list[len(list)-1] = say("{} It opens upwards like a wall calendar.", list[len(list)-1])
	}
	if j.Trim != (reorder.Trim{}) {
		list = append(list, say("Trimmed it is {}: {} are cut off at the head, {} at the tail and {} at the edge across from the spine.",
			j.size(j.Trim.Of(j.Leaf, j.Form.Bind)), j.length(j.Trim.Head), j.length(j.Trim.Tail), j.length(j.Trim.ForeEdge)))
	}
	if j.Margins != "" {
		list = append(list, say("The margins of most pages are: {}.", j.Margins))
	}
	if j.Numbers != "" {
		list = append(list, say("Running numbers stand at the foot of the pages, {}. Check the order of the leaves by them.", j.Numbers))
	}
	if j.Between != "" {
		list = append(list, say("To write in: {}.", j.Between))
	}
	if j.Creep != "" {
		list = append(list, say("{}: {}.", wCreep.as("Creep"), j.Creep))
	}
	return Text{Lead: say("From {}:", literal(j.Title)), List: list}
}

// scaleSentence says how large the pages are.
func (j Job) scaleSentence() Sentence {
	if j.Made {
		return say("The pages are as large as their leaves.")
	}
	return say("The pages stand at {} of their size in the PDF. The files are made at that size already.", trimNoughts(fmt.Sprintf("%.1f", j.Scale*100))+" percent")
}

// gatheringSizes says how many sheets, or pieces, each gathering has; neighbours of one size are told together.
func gatheringSizes(f reorder.Form, gatherings []Gathering) string {
	size := func(g Gathering) string {
		return reorder.Count(g.size(f), map[bool]string{false: "sheet", true: "piece"}[f.ByPieces])
	}
	if g := gatherings[0]; len(gatherings) == 1 && g.Number > 1 {
		return fmt.Sprintf("number %d, of %s", g.Number, size(g))
	}
	var told []string
	for i, n := 0, 0; i < len(gatherings); i += n {
		other := func(g Gathering) bool { return size(g) != size(gatherings[i]) }
		if n = slices.IndexFunc(gatherings[i:], other); n < 0 {
			n = len(gatherings) - i
		}
		told = append(told, fmt.Sprintf("%d of %s", n, size(gatherings[i])))
	}
	return strings.Join(told, ", then ")
}

// Dangers to hands and machines, and how to avoid them.
var (
	manualFirst = text("The printer's manual and the rules of the place where you work come first.")
	cleanSheets = text("Feed clean, square sheets only. Never feed paper that was cut with a knife, or that is torn, taped, stapled, damp or stained: " +
		"a laser printer presses it against a hot roller. Cut after printing. Paper cut by machine at a shop is fine.")
	hotParts = text("A laser printer is hot inside where the paper comes out, and stays so for a while.")
	knives   = text("Knives: cut along a metal straightedge, with several light strokes and the fingers behind its edge. Old blades go into a container of their own.")
	// smallPieces is for sheets that are cut into manyCuts pieces or more.
	smallPieces = text("Small pieces slip: hold them down with a second straightedge, and keep your fingertips off the line of the cut.")
	needles     = text("Needles and awls: stick them into a cork, count them before and after, and hold no finger behind the fold that you {}.", wPierce)
	adhesives   = text("Glue and leather dust: open a window, and wear a mask where there is dust.")
)

var printerCare = Stage{Heading: "Take care at the printer", Notes: []Note{manualFirst, cleanSheets, hotParts}}

// Fact is one fact of the profile, as it stands there.
type Fact struct {
	Name, Value string
	Says        Sentence
	Assumed     bool // nobody has looked
}

func factsNote(p profiles.Profile) Text {
	t := text("These files suit only this printer and this {}, the {} {}:", wTray, wProfile, literal(p.Name))
	if p.Note != "" {
		t.More = append(t.More, say("Its note: {}", p.Note))
	}
	for _, f := range Facts(p) {
		if f.Assumed {
			f.Says = say("{} (Untested.)", f.Says)
		}
		t.List = append(t.List, f.Says)
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
		key := f.Name + " " + f.Value
		if p.TwoSided == printer.Automatic && f.Name == "lands" { // the front is told, the side printed first
			key = "front " + key
		}
		if f.Says = factSays[key]; f.Says != nil {
			f.Assumed = slices.Contains(p.Assumed, f.Name)
			facts = append(facts, f)
		}
	}
	return facts
}

var factSays = map[string]Sentence{
	"two-sided by-hand":      say("It prints one side of the sheets at a time. You put the stack back for the other."),
	"two-sided automatic":    say("It turns the sheets and prints both sides by itself."),
	"feed-face up":           say("The side that lies up in the {} gets printed.", wTray),
	"feed-face down":         say("The side that lies down in the {} gets printed.", wTray),
	"feed-from top":          say("It takes the sheet at the top of the stack in the {} first.", wTray),
	"feed-from bottom":       say("It takes the sheet at the bottom of the stack in the {} first.", wTray),
	"lands face-up":          say("A sheet comes to rest in the {} with the side printed last up.", wDelivery),
	"lands face-down":        say("A sheet comes to rest in the {} with the side printed last down.", wDelivery),
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
	"flip-edge long":         say("Between front and back the sheet is turned over about its long edge."),
	"flip-edge short":        say("Between front and back the sheet is turned over about its short edge."),
}

// grainNote is how the paper's fibres must lie. In a book they run along the spine
// (Roberts and Etherington, Bookbinding and the Conservation of Books).
func grainNote(j Job) Text {
	along, grain := j.Form.SpineAlongHeight(j.Paper.Size), j.Own.Grain
	switch {
	case grain == 0:
		return unknownGrainNote(j)
	case (grain == profiles.GrainLong) == along:
		return text("The {} of your paper runs along its {} edge, and in this book along the {}, as it should.", wGrain, grain, wSpine)
	}
	t := text("The {} of your paper runs along its {} edge, and in this book across the {}. It should run along it.", wGrain, grain, wSpine).
		why(stiffly)
	if along {
		return t.why("The cure: paper of the same size whose grain runs along its long edge.")
	}
	return t.why(shortGrainCure, j.size(doubleSize(j.Paper.Size)), j.Paper.Word())
}

const (
	stiffly        = "Such a book can be made and read, but it opens stiffly and its pages may wave at the fold."
	shortGrainCure = "The cure: buy sheets of {} whose grain runs along their long edge, and have a shop cut each sheet in half, at right angles, into two of {}. Their grain then runs along the short edge."
)

// paperDrawer is what to know of the paper, which is there already if it is the person's own.
func paperDrawer(j Job) Stage {
	if j.Own.Name == "" {
		return Stage{Heading: "Before you buy paper", Notes: []Note{grainNote(j), findGrainNote}}
	}
	s := Stage{Heading: "Your paper", Notes: []Note{text("The book was planned for your paper {}.", j.Own.Name)}}
	if j.Own.Tray != "" {
		s.Notes[0] = text("The book was planned for your paper {}. It lies in the {} {}.", j.Own.Name, wTray, j.Own.Tray)
	}
	s.Notes = append(s.Notes, grainNote(j))
	if j.Own.Grain == 0 {
		s.Notes = append(s.Notes, findGrainNote)
	}
	return s
}

// unknownGrainNote is for paper of which nobody has said how its grain runs.
func unknownGrainNote(j Job) Text {
	if j.Form.SpineAlongHeight(j.Paper.Size) {
		return text("The {} of the paper should run along the {}, and with paper whose grain runs along its long edge it does. Most office paper is made so.", wGrain, wSpine)
	}
	return text("The {} of the paper should run along the {}. Most office paper has it along the long edge, and in this book it then runs across the spine.", wGrain, wSpine).
		why(stiffly).
		why(shortGrainCure, j.size(doubleSize(j.Paper.Size)), j.Paper.Word())
}

// doubleSize is the size of a sheet that halves into two of the given size.
func doubleSize(s geom.Size) geom.Size { return geom.Size{W: s.H, H: 2 * s.W}.Portrait() }

var findGrainNote = text("To find the {} of a paper, try a spare sheet, and do not print on it afterwards:", wGrain).
	item("Bend it loosely both ways, without a crease. It bends more easily when the bend runs along the grain.").
	item("Tear it both ways. Along the grain the tear runs straighter.").
	item("Dampen a piece. It rolls itself up, and the roll lies along the grain.")
