package runsheet

import (
	"fmt"
	"slices"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
)

// printingParts prints runs: the first is told in steps, if no gathering was tried, and the
// others in a table, for the steps are the same.
func printingParts(j Job, runs []Run) (parts []Part) {
	if j.eachRun || slices.ContainsFunc(runs, func(r Run) bool { return len(j.portions(r.Sheets)) > 1 }) {
		for _, r := range runs {
			parts = append(parts, runPart(j, r))
		}
	} else {
		if j.Trial == nil {
			parts, runs = []Part{runPart(j, runs[0])}, runs[1:]
		}
		if len(runs) > 0 {
			parts = append(parts, Part{Anchor: "run-others", Heading: "Print the rest", Stages: []Stage{{
				Heading: "The same steps once more", Steps: []Step{OtherRuns{j, runs}},
			}}})
		}
	}
	return parts
}

// settledParts prints runs where nothing is tried before: the settings of the dialog come where
// they are needed.
func settledParts(j Job, runs []Run) []Part {
	parts := printingParts(j, runs)
	first := &parts[0]
	first.Stages = slices.Insert(first.Stages, min(1, len(first.Stages)-1), SettingsStage(j))
	first.Stages[0].Drawers = append(first.Stages[0].Drawers, beforeDrawers(j)...)
	return parts
}

// beforeDrawers is what to know before the first sheet.
func beforeDrawers(j Job) []Stage {
	print := append(slices.Clone(printerCare.Notes), outcomeNote(j), legendNote(j))
	return []Stage{
		paperDrawer(j),
		{Heading: "Before you print", Notes: print, Paper: j.isCautious()},
	}
}

// trialPart prints the first gathering alone and folds it.
func trialPart(j Job) Part {
	alone := j
	alone.Gatherings, alone.Handwork, alone.Runs, alone.Volumes, alone.Blanks, alone.Copies, alone.Between = j.Gatherings[:1], j.Trial.Handwork, []Run{j.Trial.Run}, nil, 0, 0, ""
	part := runPart(alone, j.Trial.Run)
	part.Anchor, part.Heading = trialLink.to, trialLink.text
	part.Stages = append(append(part.Stages, alone.handStages()...), Stage{Heading: "Read it", Steps: []Step{readTrialStep}})
	return part
}

var trialLink = link{"Print and fold one gathering", "run-trial"}

var readTrialStep = text("Leaf through the {}: the pages must follow each other, upright, and lie at the same place on both sides of each {}.", wGathering, wLeaf).
	orElse("Otherwise print no more, and see {}.", misfitLink)

func runPart(j Job, r Run) Part {
	part := Part{Anchor: fmt.Sprintf("run-%d", r.Number), Heading: "Print"}
	switch {
	case j.Trial != nil && r.Number == j.Trial.Run.Number:
		part.Heading = "Print the rest: " + reorder.Count(r.Sheets, "sheet")
	case len(j.Runs) > 1:
		part.Heading = fmt.Sprintf("Print run %d: %s", r.Number, reorder.Count(r.Sheets, "sheet"))
	}
	first := r.Files[0]
	print := Stage{Heading: printHeading[first.Pass]}
	if portions := j.portions(r.Sheets); len(portions) > 1 {
		print.Notes = []Note{portionsNote(r.Sheets, j.Profile.TraySheets, len(portions))}
		print.Steps = feed{Job: j, file: first, portions: portions}.steps()
	} else {
		part.Stages = []Stage{{Heading: "Count the paper in", Steps: []Step{EmptyTray{}, j.loadFresh(r.Sheets)}}}
		print.Steps = []Step{first.print(""), CountOut{r.Sheets, len(r.Files) > 1}}
		if first.Pass == printer.BothPass {
			print.Steps = append(print.Steps, letRestStep(j.Profile.Process))
		}
	}
	part.Stages = append(append(part.Stages, print), stagesAfterFirst(j, r)...)
	return part
}

// stagesAfterFirst is what follows the first pass of a run: its backs, if they are
// printed, and the finished stack.
func stagesAfterFirst(j Job, r Run) []Stage {
	once := firstDelivery(j.Profile.Facts, r)
	if len(r.Files) == 1 {
		return []Stage{finishStage(j, r, once)}
	}
	turn := Stage{Heading: "Put the stack back", Steps: []Step{LookAt{once}, letRestStep(j.Profile.Process)}}
	if len(j.portions(r.Sheets)) > 1 {
		once.Where = drawing.Aside
		turn = Stage{Heading: "Turn the stack for the backs", Steps: []Step{LookAt{once}}}
	}
	turn.Steps = append(turn.Steps, putBackSteps(j, once)...)
	return append([]Stage{turn}, backStages(j, r)...)
}

func backStages(j Job, r Run) []Stage {
	back := r.Files[1]
	loaded := feedEnds(j.Profile.Facts, firstDelivery(j.Profile.Facts, r).Put(j.Profile.Reload, drawing.Tray))
	print := Stage{Heading: printHeading[back.Pass], Steps: []Step{
		back.print(loaded.First), CountOut{r.Sheets, false}, letRestStep(j.Profile.Process),
	}}
	if portions := j.portions(r.Sheets); len(portions) > 1 {
		print.Steps = feed{Job: j, file: back, portions: portions, other: loaded.First}.steps()
	}
	return []Stage{print, finishStage(j, r, DeliveredStack(j.Profile.Facts, back.Pass, loaded))}
}

var printHeading = map[printer.Pass]string{printer.FrontPass: "Print the fronts", printer.BackPass: "Print the backs", printer.BothPass: "Print both sides"}

// OtherRuns repeats the steps of the first run.
type OtherRuns struct {
	Job
	Runs []Run
}

func (o OtherRuns) Text() Text {
	t := text("Do the same with {} in this table, in its order, with its count, files and names. Lay each finished stack aside, fronts up, with a slip of paper that says which run it is.", wRun.as("each run"))
	head := []Sentence{say("run"), say("sheets")}
	for i, f := range o.Runs[0].Files {
		shows := "the top sheet then shows"
		if i == len(o.Runs[0].Files)-1 {
			shows = "taken out, the top sheet shows"
		}
		head = append(head, say("{}; {}", printHeading[f.Pass], shows))
	}
	t.Table = [][]Sentence{head}
	for _, r := range o.Runs {
		row, tops := []Sentence{say("{}", r.Number), say("{}", r.Sheets)}, o.tops(r)
		for i, f := range r.Files {
			cell := say("{}", literal(f.Name))
			if f.Pages != (Pages{}) {
				cell = say("{} (only {})", cell, f.Pages.say())
			}
			row = append(row, say("{} {}", cell, shortName(tops[i])))
		}
		t.Table = append(t.Table, row)
	}
	return t
}

// tops is what is to be read on the fronts of the sheets that lie on top after each pass of
// a run, after the last one when the stack has been taken out.
func (o OtherRuns) tops(r Run) (tops []string) {
	for _, s := range Steps([]Part{{Stages: stagesAfterFirst(o.Job, r)}}) {
		if look, ok := s.(LookAt); ok && look.Stack.Where != drawing.Tray {
			tops = append(tops, look.Stack.Top)
		}
	}
	return tops
}

// EmptyTray makes sure that only counted sheets are printed.
type EmptyTray struct{}

func (EmptyTray) Text() Text {
	return text("Take all paper out of the {} and the {}.", wTray, wDelivery)
}

// LoadFresh puts fresh sheets into the tray.
type LoadFresh struct {
	Sheets   int
	Paper    reorder.Paper
	FeedFace printer.FeedFace // zero if the printer turns the sheets itself
	Tray     int              // how many sheets it takes, 0 if unknown
	Smaller  Sentence         // how to have smaller runs
}

func (j Job) loadFresh(sheets int) LoadFresh {
	smaller := j.smaller
	if smaller == nil {
		smaller = say("prepare the book again with {} and a smaller number", j.Program.setting(phrase.Set("run")))
	}
	return LoadFresh{sheets, j.Paper, j.Profile.FeedFace, j.Profile.TraySheets, smaller}
}

func (l LoadFresh) Text() Text {
	t := text("Count exactly {} of {} paper, {} what you counted and lay it into the tray.", reorder.Count(l.Sheets, "sheet"), l.Paper.Word(), wFan).
		why("Count twice. An exact number is what shows you later that no two sheets went through together.")
	if l.Sheets == 1 {
		t.Lead = say("Lay exactly 1 sheet of {} paper into the tray.", l.Paper.Word())
	}
	if l.Tray == 0 && l.Sheets > 1 {
		t.More = append(t.More, say("If your tray or your delivery does not hold so many, {}, or say in the {} how many it holds.", l.Smaller, wProfile))
	}
	if l.FeedFace != 0 {
		t.More = append(t.More, say("The side that lies {} in the tray gets printed. If your paper has a better side, that side lies {}.", l.FeedFace, l.FeedFace))
	}
	return t
}

// PrintFile sends one file, or some of its pages.
type PrintFile struct {
	File  string
	Pass  printer.Pass
	Pages Pages // zero: all
	// FirstOut is what is to be read on the first sheet to come out, of an automatic printer's
	// sheet on its front; Other what on its other side, printed before. Empty: nothing is said.
	FirstOut, Other string
	Portion         string // of the run: 2 of 3; empty: it is printed at once
}

func (f File) print(other string) PrintFile {
	return PrintFile{File: f.Name, Pass: f.Pass, Pages: f.Pages, FirstOut: f.FirstOut, Other: other}
}

func (p PrintFile) Text() Text {
	t := text("Print {}.", literal(p.File))
	switch {
	case p.Portion != "":
		t.Lead = say("Portion {}: print {}, and of it only {}, instead of all pages.", p.Portion, literal(p.File), p.Pages.say())
	case p.Pages != (Pages{}):
		t.Lead = say("Print {}, and of it only {}, instead of all pages.", literal(p.File), p.Pages.say())
	}
	what := map[printer.Pass]Sentence{printer.FrontPass: say("the {}", wFront), printer.BackPass: say("the back"), printer.BothPass: say("both sides")}[p.Pass]
	t.More = []Sentence{say("It prints {} of every sheet. Look at {} first.", what, dialogLink)}
	if p.FirstOut != "" {
		first := say("The first sheet to come out shows {}", literal(p.FirstOut))
		if p.Other != "" {
			first = say("{}, and on its other side {}", first, literal(p.Other))
		}
		t.More = append(t.More, say("{}. Look at it if you can do so without reaching into the printer. If it shows something else, cancel the rest and see {}.", first, misfitLink))
	}
	return t
}

// CountOut compares what came out with what was counted in.
type CountOut struct {
	Sheets int
	More   bool // another file of the run follows
}

func (c CountOut) Text() Text {
	t := text("Count what came out: {}, and none left in the tray.", reorder.Count(c.Sheets, "sheet")).
		orElse("Otherwise see {}.", countLink).
		why("Keep them in their order, and lay them back just as they lay.")
	if c.More {
		t.Else = say("Otherwise don't print the second file; see {}.", countLink)
	}
	return t
}

func letRestStep(process profiles.Process) Text {
	t := text("Let the sheets rest, as they lie, until they are cool and dry.")
	if process != profiles.Inkjet {
		t.More = append(t.More, say("From a laser printer they are hot: wait until they are cool and lie flat, about ten minutes."))
	}
	if process != profiles.Laser {
		t.More = append(t.More, say("From an inkjet printer they are wet: wait until a finger leaves no smear, a quarter of an hour or longer."))
	}
	return t
}
