package runsheet

import (
	"io"
	"strings"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/reorder"
)

// Reprint is sheets of a job that are printed once more. Its runs hold these
// sheets; with OnFronts the first file of each stands for the fronts that are
// there already and are not printed.
type Reprint struct {
	Job
	Numbers  string // of the sheets in the book: 7,9-11
	OnFronts bool   // good fronts are at hand, only their backs are printed
	Guide    string // with OnFronts: a file that prints one front onto scrap
	Alone    bool   // the stack holds no other sheets
}

// ReprintParts is the whole run sheet of a reprint.
func ReprintParts(r Reprint) []Part {
	r.smaller = say("reprint fewer sheets at a time")
	parts := []Part{{Anchor: "begin", Stages: []Stage{{Notes: []Note{reprintNote(r.Numbers, r.OnFronts)}}}}}
	if r.OnFronts {
		parts = append(parts, Part{Anchor: "set-up", Heading: "Before the first sheet", Stages: []Stage{SettingsStage(r.Job)}})
		for _, run := range r.Runs {
			parts = append(parts, backsPart(r, run))
		}
	} else {
		parts = append(parts, settledParts(r.Job, r.Runs)...)
	}
	put := Part{Anchor: "place", Heading: "Replace", Stages: []Stage{{
		Heading: "Put the new sheets in their places", Steps: []Step{PutInPlace{r.Numbers, r.SideNames, r.Alone}},
	}}}
	return append(append(parts, put), reprintTrouble(r.Job)...)
}

// backsPart prints backs on fronts that are at hand. How they must be laid in
// is known of the stack as it lies in the delivery after its first pass, but not
// which end of the tray the heads of the images lie at; a front on scrap shows it.
func backsPart(r Reprint, run Run) Part {
	once := firstDelivery(r.Profile.Facts, run)
	lay, backs := []Step{LayLike{once}}, backStages(r.Job, run)
	if portions := r.portions(run.Sheets); len(portions) > 1 {
		backs[0].Notes = []Note{portionsNote(run.Sheets, r.Profile.TraySheets, len(portions))}
		lay = append(lay, SetAside{r.Profile.Stacks})
		once.Where = drawing.Aside
	}
	return Part{Anchor: "run-1", Heading: "Print " + reorder.Count(run.Sheets, "back"), Stages: append([]Stage{
		{Heading: "See how a front comes out", Steps: []Step{EmptyTray{}, LoadOne{r.Paper, r.Profile.FeedFace}, PrintFile{File: r.Guide, Pass: printer.FrontPass}, leaveGuideStep}},
		{Heading: "Lay the good fronts in", Steps: append(lay, putBackSteps(r.Job, once)...)},
	}, backs...)}
}

func reprintNote(numbers string, onFronts bool) Text {
	t := text("These files print {} of the book once more, each side just as it was in the job.", literal(nameSheets(numbers))).
		why("Everything else of the book stays as it is. Throw the spoiled sheets away only when the new ones lie in their places.")
	if onFronts {
		t.Lead = say("These files print only the backs of {} once more, onto fronts that came out well and whose backs are still blank.", literal(nameSheets(numbers)))
		t.More = append(t.More, say("Beside them you need one sheet of scrap paper of the same size."))
	}
	return t
}

var leaveGuideStep = text("Leave the sheet in the {} as it lies: it shows which way round your good fronts have to lie.", wDelivery)

// LayLike lays sheets at hand onto the one in the delivery, as if they had just
// been printed.
type LayLike struct{ Stack drawing.Stack }

func (l LayLike) Text() Text {
	what, sides := "front", "side"
	if l.Stack.Sheets > 1 {
		what, sides = "fronts", "sides"
	}
	t := Text{
		Lead: say("Lay your good {} onto the scrap sheet, exactly as that one lies: the printed {} {}, and the print the same way round.", what, sides, l.Stack.Fronts().Way()),
		List: endNames(l.Stack),
	}
	if l.Stack.Sheets > 1 {
		t.More = append(t.More, say("Between these two they lie in the order of their numbers."))
	}
	t.More = append(t.More, say("If both could be seen through, print would lie upon the same print, head upon head. Then draw the scrap sheet out from under them and put it away."))
	return t
}

// PutInPlace puts the new sheets where the spoiled ones were.
type PutInPlace struct {
	Numbers   string
	SideNames bool
	Alone     bool // no other sheets are in the stack
}

func (p PutInPlace) Text() Text {
	t := text("Take the spoiled sheets out of the stack of the book, fronts up, and lay the new ones into the same places: {}.", literal(nameSheets(p.Numbers))).
		why("Turn each new sheet so that its front lies up and every page is where the same page was on the spoiled sheet.")
	switch {
	case p.Alone:
		t.Lead = say("Put the spoiled sheets away. The new ones are the stack of the book: lay them with their fronts up, in the order of their numbers: {}.", literal(nameSheets(p.Numbers)))
		t.More = nil
		if p.SideNames && strings.ContainsAny(p.Numbers, ",-") {
			t.More = []Sentence{say("Turn them all so that the {} begins at the same end.", wSideName)}
		}
	case p.SideNames:
		t.More = []Sentence{
			say("Turn each new sheet so that its front lies up and its {} begins at the same end as on the sheets next to it. Pages don't show this: on many sheets half of them are upside down either way.", wSideName),
			say("Then read the first number in the {} from sheet to sheet: from the top down they count up one by one, and none is missing.", wSideName),
		}
	}
	return t
}

// nameSheets are sheets by their numbers in the book: sheets 7,9-11.
func nameSheets(numbers string) string {
	if strings.ContainsAny(numbers, ",-") {
		return "sheets " + numbers
	}
	return "sheet " + numbers
}

// WriteReprint writes the run sheet of a reprint as one self-contained HTML
// page. The errors are those of w.
func WriteReprint(w io.Writer, r Reprint) error {
	figures := []string{nameSheets(r.Numbers) + " once more", reorder.Count(r.sheets(), "sheet") + " of " + r.Paper.Word()}
	if r.OnFronts {
		figures[0] = "backs of " + nameSheets(r.Numbers)
	}
	return write(w, page{Job: r.Job, Figures: figures, Parts: tell(ReprintParts(r))})
}
