package runsheet

import (
	"fmt"
	"slices"

	"foldwright/printer"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
)

// Where readers are sent if something is wrong: from a run sheet to what befits the step, from
// a kit's page to the only part.
const troubleAnchor = "trouble"

var (
	troubleLink  = link{"If something is wrong", troubleAnchor}
	countLink    = link{"Wrong count, or paper jammed", troubleAnchor}
	continueLink = link{"Go on after the last good sheet", "trouble-continue"}
	singleLink   = link{"Print single sheets again", "trouble-sheet"}
	misfitLink   = link{"Wrong names, order or sides", "trouble-misfit"}
)

func troubleParts(j Job) []Part {
	e := exampleOf(j)
	count := Stage{Notes: []Note{askedEarly, leftOver, jam}, Steps: []Step{stopStep(e.isByHand()), startAgainStep}}
	if !j.SideNames {
		return []Part{shutPart(countLink, count), shutPart(misfitLink, misfitStage)}
	}
	count.Steps = []Step{stopStep(e.isByHand()), readNamesStep, e.sortOutStep()}
	parts := []Part{shutPart(countLink, count)}
	if e.Of >= fewest {
		good := Stage{Notes: []Note{e.lastGoodNote()}}
		if e.Portioned {
			good.Notes = append(good.Notes, onePortionNote(j.Profile.Stacks))
		}
		parts = append(parts, shutPart(continueLink, good, Stage{Heading: withProgram, Steps: []Step{e.continueStep()}}, Stage{
			Heading: withoutProgram, Steps: []Step{clearAwayStep, loadRemainderStep(e.isByHand()), e.printRemainderStep(), JoinPortion{Stacks: j.Profile.Stacks, Last: !e.Portioned}},
		}))
	}
	single := shutPart(singleLink, Stage{Heading: withProgram, Steps: []Step{e.reprintStep()}}, Stage{Heading: withoutProgram, Steps: []Step{e.printSheetStep()}})
	return append(parts, single, shutPart(misfitLink, misfitStage))
}

const withProgram, withoutProgram = "With the program", "Without the program"

func shutPart(to link, stages ...Stage) Part {
	return Part{Anchor: to.to, Heading: to.text, Stages: stages, Shut: true, Paper: true}
}

// reprintTrouble is the same for a reprint: its files hold nothing else.
func reprintTrouble(j Job) []Part {
	count := Stage{Notes: []Note{askedEarly, leftOver, jam}, Steps: []Step{stopStep(exampleOf(j).isByHand()), text("Keep the sheets that came out well on both sides, and print only the others again: {}, followed by their numbers.", j.Program.command("reprint", phrase.Set("sheet")))}}
	return []Part{shutPart(countLink, count), shutPart(misfitLink, misfitStage)}
}

var (
	askedEarly = text("The printer asks for paper before the file is done, or a sheet of the stack is blank: a {}. Or one sheet too few was counted in.", wDoubleFeed)
	leftOver   = text("Sheets are left in the tray when the file is done: too many were counted in, or the computer left pages out. Look at {} again.", dialogLink)
	jam        = text("The paper jams: get it out as the printer's manual says, down to the last torn piece. Parts inside may be hot.")
)

var misfitStage = Stage{Notes: []Note{
	text("The {} does not fit your printer, or a setting of the {} has changed. Print no more of this job.", wProfile, wPrintDialog).
		why("Look at {} first. If they are right, print the {} again and prepare the book with the profile that comes of it.", dialogLink, wTestSheet),
}}

func stopStep(byHand bool) Text {
	if byHand {
		return text("Stop: cancel what still waits to be printed. Do not print the second file on a stack that is not right.").
			why("Only if the printer asks for paper while it prints the fronts: give it one fresh sheet, and another if it asks again, until the file is done. A blank sheet is then in the stack and is taken out below.")
	}
	return text("Stop: cancel what still waits to be printed.")
}

var readNamesStep = text("Take the stack out without changing its order, and read the {} on each sheet, from the top to the bottom.", wSideName).
	why("The last numbers in it are the sheet's place in its {}. They must go up by one, or down by one, from sheet to sheet.", wRun)

func (e example) sortOutStep() Text {
	missing := say("To print what is missing, see {}.", singleLink)
	if e.Of >= fewest {
		missing = say("To print what is missing, see {} or {}.", continueLink, singleLink)
	}
	if !e.isByHand() {
		return text("Keep the sheets that bear the same sheet number on both sides, in their order. {}", missing)
	}
	return text("If it happened while the fronts were printed: take out every sheet without a name. If each number is now there once, and in order, the stack is good and you may go on.").
		why("If it happened while the backs were printed: keep the sheets that bear the same sheet number on both sides, in their order.").
		why("{} Only if nothing is in order any more begin the {} again, with fresh paper counted anew.", missing, wRun)
}

var startAgainStep = text("Begin the {} again, with fresh paper counted anew.", wRun).
	why("This job was prepared without names on the sheets, so the place of the fault cannot be told.")

// example is a sheet that is taken as an example of saving what is good, and what
// is known of its job for that.
type example struct {
	Program Program
	Orders  []FileOrder
	// Portioned is set where the tray does not hold the example's run.
	Portioned bool
	// Number is the sheet's in the book, Place that in its run, Of how many sheets the run has.
	Number, Run, Place, Of int
	ShortNames             bool // as in [Job]
}

// fewest is how many sheets a run has in which, whatever the order of its
// files, something follows its middle sheet.
const fewest = 3

// exampleOf takes the middle sheet of the first run that has so many sheets as its
// example, else the job's first sheet.
func exampleOf(j Job) example {
	i := max(0, slices.IndexFunc(j.Runs, func(r Run) bool { return r.Sheets >= fewest }))
	run := j.Runs[i]
	e := example{Program: j.Program, Orders: OrdersOf(j.Profile.Facts, j.Form.IsTwoSided()), Portioned: len(j.portions(run.Sheets)) > 1, Run: run.Number, Of: run.Sheets, Place: 1}
	if run.Sheets >= fewest {
		e.Place = (run.Sheets + 1) / 2
	}
	e.Number = j.Gatherings[0].First + e.Place - 1
	for _, before := range j.Runs[:i] {
		e.Number += before.Sheets
	}
	e.ShortNames = j.ShortNames
	return e
}

func (e example) isByHand() bool { return len(e.Orders) == 2 }

// name is how the example stands in a side name.
func (e example) name() literal {
	if e.ShortNames {
		return literal(fmt.Sprintf("sheet %d", e.Number))
	}
	return literal(fmt.Sprintf("run %d, %d of %d", e.Run, e.Place, e.Of))
}

// lastGoodNote says which sheet is the last good one.
func (e example) lastGoodNote() Text {
	t := text("The last good sheet is the one that came out last of all that are printed as they should be, with none missing before it. Read the {} on it.", wSideName).
		why("The number after the word sheet is its number in the book, the last two numbers are its place in the {}. The steps below take sheet {} as an example, with {}.",
			wRun, e.Number, e.name())
	if e.ShortNames {
		t.More = []Sentence{say("The number after the word sheet is its number in the book. Its place in the {} is that number, counted from the first sheet of the run. The steps below take {} as an example.", wRun, e.name())}
	}
	return t
}

// onePortionNote says that a run in portions goes on within the portion that was interrupted.
func onePortionNote(stacks printer.Stacks) Text {
	return text("Where the {} is printed in portions, only the portion that was interrupted is brought to its end here: count in what is missing of it, and print up to its last page. Then go on with the next portion.", wRun).
		why("Its good sheets come {} the portions before it that lie beside the printer.", joiningWord(stacks))
}

// continueStep lets the program make what is left of a run: a command line for each pass.
func (e example) continueStep() Text {
	t := text("Write this into a terminal, in the folder in which {} lies, with the number of your sheet in place of {}.", literal(e.Program.Folder), literal(fmt.Sprint(e.Number))).
		why("It makes a file of what is left, and a page that says how the stacks have to lie. Follow that page.")
	after := phrase.Set("after-sheet", e.Number)
	if !e.isByHand() {
		t.List = []Sentence{say("{}", e.Program.command("continue", after))}
		return t
	}
	t.List = []Sentence{
		say("if the fronts were being printed: {}", e.Program.command("continue", after, phrase.Set("pass", printer.FrontPass))),
		say("if the backs were being printed: {}", e.Program.command("continue", after, phrase.Set("pass", printer.BackPass))),
	}
	return t
}

var clearAwayStep = text("Take away every sheet that came out after the last good one, and whatever is torn or creased. Lay the good ones beside the printer just as they lie, without turning them.")

func loadRemainderStep(byHand bool) Text {
	if !byHand {
		return text("Empty the {}, and count in as many fresh sheets as are missing.", wTray)
	}
	return text("If the fronts were being printed: empty the {}, and count in as many fresh sheets as are missing. If the backs were: leave the sheets that still want theirs in the tray just as they lie.", wTray).
		why("A sheet that came out with its back still blank goes back to those in the tray, into its place by its number, laid like its neighbours. A sheet that is lost with its front is left out now, and printed at the end as a single sheet.")
}

func (e example) printRemainderStep() Text {
	t := text("Print the same file once more, but in the {} write the pages that are left, instead of all. After {}:", wPrintDialog, e.name())
	for _, o := range e.Orders {
		t.List = append(t.List, say("{}: {}; the {} of them is {}", fileOf[o.Pass], o.After(e.Place, e.Of).say(), map[bool]string{false: "first", true: "last"}[o.LastFirst], o.forOthers()))
	}
	if e.isByHand() {
		t.More = append(t.More, say("Leave out the page of every sheet that was lost with its front."))
	}
	return t
}

func (e example) reprintStep() Text {
	sheet := phrase.Set("sheet", e.Number)
	t := text("Write this into a terminal, in the folder in which {} lies, with the number of the spoiled sheet in place of {}, or with several as in {}.",
		literal(e.Program.Folder), literal(fmt.Sprint(e.Number)), literal("7,9-11")).
		item("{}", e.Program.command("reprint", sheet)).
		why("It makes files of these sheets alone, and a page that says what to do with them. Follow that page.")
	if e.isByHand() {
		t.List = append(t.List, say("if only the back is spoiled and you have a good front whose back is blank: {}", e.Program.command("reprint", sheet, phrase.Set("side", "back"))))
	}
	return t
}

func (e example) printSheetStep() Text {
	t := text("Lay one fresh sheet into the empty {}, and print nothing but its page. For the sheet {}:", wTray, e.name())
	t.List = lists.Map(e.Orders, func(o FileOrder) Sentence {
		return say("{}: {}, and {}", fileOf[o.Pass], o.Of(e.Place, e.Of).say(), o.forOthers())
	})
	if e.isByHand() {
		t.More = append(t.More, say("Between front and back put the sheet back exactly as you put back the stack."))
	}
	t.More = append(t.More, say("Lay it into the place of the spoiled one, the same side up, its {} at the same end as on its neighbours.", wSideName))
	return t
}
