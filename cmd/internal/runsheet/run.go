package runsheet

import (
	"fmt"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
)

func runPart(j Job, r Run) Part {
	part := Part{
		Anchor:  fmt.Sprintf("run-%d", r.Number),
		Heading: fmt.Sprintf("Run %d: %s", r.Number, reorder.Count(r.Sheets, "sheet")),
	}
	if len(j.Runs) == 1 {
		part.Heading = "Print " + reorder.Count(r.Sheets, "sheet")
	}
	first := r.Files[0]
	print := Stage{Heading: printHeading(first.Pass)}
	var split []Note
	if r.Split {
		split = []Note{splitRunNote}
	}
	if portions := j.portions(r.Sheets); len(portions) > 1 {
		print.Notes = append([]Note{portionsNote(r.Sheets, j.Profile.TraySheets, len(portions), false)}, split...)
		print.Steps = feed{Job: j, file: first, portions: portions}.steps()
	} else {
		part.Stages = []Stage{{Heading: "Load the paper", Notes: split, Steps: []Step{
			EmptyTray{}, fanStep, LoadFresh{r.Sheets, j.Paper, j.Profile.FeedFace, j.Profile.TraySheets, j.smallerRuns()},
		}}}
		print.Steps = []Step{printStep(first, ""), CountOut{r.Sheets, len(r.Files) > 1}}
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
	turn := Stage{Heading: "Put the stack back", Steps: []Step{LookAt{once, r.Gaps}, letRestStep(j.Profile.Process)}}
	if len(j.portions(r.Sheets)) > 1 {
		once.Where = drawing.Aside
		turn = Stage{Heading: "Turn the stack for the backs", Steps: []Step{LookAt{once, r.Gaps}}}
	}
	turn.Steps = append(turn.Steps, putBackSteps(j, once, r.Gaps)...)
	return append([]Stage{turn}, backStages(j, r)...)
}

// backStages prints the backs onto a stack that was put back, and finishes it.
func backStages(j Job, r Run) []Stage {
	back := r.Files[1]
	loaded := feedEnds(j.Profile.Facts, firstDelivery(j.Profile.Facts, r).Put(j.Profile.Reload, drawing.Tray))
	print := Stage{Heading: printHeading(back.Pass), Steps: []Step{
		printStep(back, loaded.First), CountOut{r.Sheets, false}, letRestStep(j.Profile.Process),
	}}
	if portions := j.portions(r.Sheets); len(portions) > 1 {
		print.Steps = feed{Job: j, file: back, portions: portions, other: loaded.First}.steps()
	}
	return []Stage{print, finishStage(j, r, deliveredStack(j.Profile.Facts, back.Pass, loaded))}
}

// printStep prints a file.
func printStep(f File, other string) PrintFile {
	return PrintFile{f.Name, f.Pass, f.FirstOut, other, f.First, f.Last}
}

func printHeading(p printer.Pass) string {
	switch p {
	case printer.BackPass:
		return "Print the backs"
	case printer.BothPass:
		return "Print both faces"
	}
	return "Print the fronts"
}

// EmptyTray makes sure that only counted sheets are printed.
type EmptyTray struct{}

func (EmptyTray) Text() Text {
	return Text{Lead: say("Take all paper out of the {}, and out of the {}.", wTray, wDelivery)}
}

// fanStep loosens the sheets.
var fanStep = Text{Lead: say("{} the fresh paper and knock its edges even on the table.", wFan.as("Fan"))}

// smallerRuns is what helps where a run is too large for the tray.
func (j Job) smallerRuns() Sentence {
	return say("prepare the book again with {} and a smaller number", j.Program.setting(phrase.Set("run")))
}

// LoadFresh puts fresh sheets into the tray.
type LoadFresh struct {
	Sheets   int
	Paper    reorder.Paper
	FeedFace printer.FeedFace // zero if the printer turns the sheets itself
	Tray     int              // how many sheets it takes, 0 if unknown
	Smaller  Sentence         // how to have smaller runs
}

func (l LoadFresh) Text() Text {
	t := Text{
		Lead: say("Count exactly {} of {} paper, and lay what you counted into the tray.", reorder.Count(l.Sheets, "sheet"), l.Paper.Word()),
		More: []Sentence{say("Count twice. An exact number is what shows you later that no two sheets went through together.")},
	}
	if l.Tray == 0 && l.Sheets > 1 {
		t.More = append(t.More, say("If your tray or your delivery does not hold so many, {}, or say in the {} how many it holds.", l.Smaller, wProfile))
	}
	if l.FeedFace != 0 {
		t.More = append(t.More, say("The face that lies {} in the tray gets printed. If your paper has a better face, that face lies {}.", l.FeedFace, l.FeedFace))
	}
	return t
}

// splitRunNote says that the run holds a part of a gathering.
var splitRunNote = Text{
	Important: true,
	Lead:      say("This {} begins or ends in the middle of a {}.", wRun, wGathering),
	More:      []Sentence{say("Its sheets belong together with those of the run before it or after it. Fold nothing until all runs are printed.")},
}

// PrintFile sends one file.
type PrintFile struct {
	File string
	Pass printer.Pass
	// FirstOut is the side name on the first sheet to come out; of an
	// automatic printer's sheet that of its front. Other is the name on that
	// sheet's other face, printed before. Empty without side names.
	FirstOut, Other string
	// First and Last are the faces that are printed of the sheets that come
	// out first and last, in the plan's views; of one sheet alone they are one.
	First, Last drawing.Print
}

func (p PrintFile) Text() Text {
	var t Text
	if p.FirstOut != "" {
		t.List = append(t.List, say("{} on the first sheet to come out: {}", wSideName, literal(p.FirstOut)))
	}
	if p.Other != "" {
		t.List = append(t.List, say("on its other face: {}", literal(p.Other)))
	}
	switch p.Pass {
	case printer.FrontPass:
		t.Lead = say("Look at {} and print {}. It prints the {} of every sheet.", dialogLink, literal(p.File), wFront)
	case printer.BackPass:
		t.Lead = say("Look at {} and print {}. It prints the back of every sheet.", dialogLink, literal(p.File))
	default:
		t.Lead = say("Look at {} and print {}. It prints both faces of every sheet, the {} and the back.", dialogLink, literal(p.File), wFront)
	}
	if p.FirstOut != "" {
		t.More = append(t.More, say("Look at that sheet if you can do so without reaching into the printer. If you read another name, cancel the rest and read {}.", troubleLink))
	}
	return t
}

// CountOut compares what came out with what was counted in.
type CountOut struct {
	Sheets int
	More   bool // another file of the run follows
}

func (c CountOut) Text() Text {
	otherwise := say("If a sheet is missing or left over, read {}.", troubleLink)
	if c.More {
		otherwise = say("If a sheet is missing or left over, do not print the second file. Read {}.", troubleLink)
	}
	return Text{
		Lead: say("When the printer is done, count the sheets: {} in the {}, none left in the {}.", c.Sheets, wDelivery, wTray),
		More: []Sentence{say("Keep them in their order, and lay them back just as they lay."), otherwise},
	}
}

// letRestStep gives heat or ink time.
func letRestStep(process profiles.Process) Text {
	t := Text{Lead: say("Let the sheets rest. Do not turn them meanwhile or change their order.")}
	if process != profiles.Inkjet {
		t.More = append(t.More, say("From a laser printer they are hot: wait until they are cool and lie flat, about ten minutes."))
	}
	if process != profiles.Laser {
		t.More = append(t.More, say("From an inkjet printer they are wet: wait until a finger leaves no smear, a quarter of an hour or longer."))
	}
	return t
}
