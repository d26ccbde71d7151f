package runsheet

import "foldwright/printer"

// kitTrouble saves what is good where nobody has the program, nor knows how the
// printer orders its sheets: every missing sheet is printed by its page.
func kitTrouble(k Kit) Part {
	part := Part{Anchor: troubleAnchor, Heading: troubleLink.text}
	s := Stage{Heading: countLink.text, Notes: []Note{askedEarly, leftOver, jam}, Steps: []Step{stopStep(!k.Start.isOneSided())}}
	if k.SideNames {
		s.Steps = append(s.Steps, listMissingStep(!k.Start.isOneSided()), PrintMissing{k.Start, exampleOf(k.Job)}, fillGapsStep)
	} else {
		s.Steps = append(s.Steps, startAgainStep)
	}
	misfit := Stage{Heading: misfitLink.text, Anchor: misfitLink.to, Notes: []Note{wrongOrderNote}}
	if !k.Start.isOneSided() {
		misfit.Notes = []Note{wrongChoiceNote, wrongOrderNote}
	}
	part.Stages = []Stage{s, misfit}
	return part
}

// wrongOrderNote puts sheets in order that are good in themselves.
var wrongOrderNote = text("Only the order is wrong, and every sheet is good: lay the sheets in order by the numbers of their pages. Nothing has to be printed again.")

// wrongChoiceNote says why sides do not fit.
var wrongChoiceNote = text("The sheet numbers on the two sides differ, or one side is upside down: the file was for the other numeral, the stack was put back differently than in the test, or a setting of the {} has changed. Stop printing.", wPrintDialog).
	why("Look at {} first. Then begin the test again with three fresh sheets: it shows which files fit.", dialogLink)

// listMissingStep finds out which sheets are missing.
func listMissingStep(twoFaces bool) Text {
	t := text("Keep the good sheets in their order. Read the {} on each, and write down which sheets are missing.", wSideName).
		why("The last two numbers in it are the sheet's place in its {}, and the number of sheets there.", wRun)
	if twoFaces {
		t.More = append(t.More, say("If the backs were being printed: sheets whose fronts are good and whose backs are blank are not missing. Leave them in the {} as they lie, or lay them back as they lay.", wTray))
	}
	return t
}

// PrintMissing prints single pages of the files of a kit.
type PrintMissing struct {
	Start   Start
	example example
}

// Ways are the kinds of files with the order of each.
func (p PrintMissing) Ways() []KitWay {
	if p.Start.isOneSided() {
		return []KitWay{
			{"I", FileOrder{Pass: printer.FrontPass}}, {"III", FileOrder{Pass: printer.FrontPass, Descending: true}},
		}
	}
	return []KitWay{
		{"III", FileOrder{Pass: printer.FrontPass}}, {"I", FileOrder{Pass: printer.FrontPass, Descending: true}},
		{"III", FileOrder{Pass: printer.BothPass}}, {"I", FileOrder{Pass: printer.BothPass, Descending: true}},
	}
}

// KitWay is the order of the files that have a numeral in their names: the front
// files and the back files, or those of both sides.
type KitWay struct {
	Numeral string
	Order   FileOrder
}

func (p PrintMissing) Text() Text {
	r := p.example
	t := text("Print only what is missing, with the same files: lay a fresh sheet for each into the {}, and in the {} write their pages instead of all. For the sheet {} these are:",
		wTray, wPrintDialog, r.name())
	for _, w := range p.Ways() {
		kind := "file"
		switch {
		case w.Order.Pass == printer.BothPass:
			kind = "two-sided file"
		case !p.Start.isOneSided():
			kind = "by-hand file"
		}
		t.List = append(t.List, say("{} with {} in its name: {}, and {}", kind, literal(w.Numeral), w.Order.Of(r.Place, r.Of).say(), w.Order.forOthers()))
	}
	if !p.Start.isOneSided() {
		t.More = []Sentence{say("By hand print the fronts first. Put the sheets back in the way that you have found in the test, and print the backs of the same sheets. Where only backs are missing, print only their pages of the back file.")}
	}
	return t
}

// fillGapsStep lays new sheets into their places.
var fillGapsStep = text("Lay the new sheets into their places, the same side up, their {} at the same end as on their neighbours, so that the numbers count on from sheet to sheet.", wSideName.as("side names"))
